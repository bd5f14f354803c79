"""Sentences and values that are worded once and used on many pages, read from the project's shared/.

    shared/cautions.yml   hazards: signal word, hazard, what happens, how to avoid it
    shared/glossary.yml   the trade's words and what they mean

They are read like the catalogue: as text with its lines, every fault of a file at once.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path

from builder.catalogue.fields import Fields
from builder.catalogue.reader import read_file

SHARED = Path(__file__).resolve().parents[2] / "shared"
SIGNAL_WORDS = ("DANGER", "WARNING", "CAUTION", "NOTICE")  # ISO 3864 / ANSI Z535.6, worst first


@dataclass(frozen=True)
class Caution:
    """A hazard as a reader is told of it; the sentences may hold template look-ups."""

    id: str
    word: str  # one of SIGNAL_WORDS
    hazard: str
    consequence: str
    avoid: str
    source: str
    memory: bool
    place: tuple[str, int]  # file and line, for faults


@dataclass(frozen=True)
class Term:
    """A word of the trade: the forms it takes in prose, and what it means."""

    id: str
    term: str
    forms: tuple[str, ...]
    means: str


@lru_cache(maxsize=4)
def cautions(folder: Path = SHARED) -> Mapping[str, Caution]:
    """Return the cautions by id; raises InputFaults."""
    return read_file(folder / "cautions.yml", f"{folder.name}/cautions.yml", _caution)


@lru_cache(maxsize=4)
def glossary(folder: Path = SHARED) -> Mapping[str, Term]:
    """Return the terms by id, in the order of the alphabet; raises InputFaults."""
    found = read_file(folder / "glossary.yml", f"{folder.name}/glossary.yml", _term)
    return dict(sorted(found.items(), key=lambda pair: pair[1].term.lower()))


def _caution(key: str, fields: Fields) -> Caution:
    return Caution(
        id=key,
        word=fields.choice("word", SIGNAL_WORDS),
        hazard=fields.text("hazard"),
        consequence=fields.text("consequence"),
        avoid=fields.text("avoid"),
        source=fields.text("source"),
        memory=fields.flag("memory"),
        place=(fields.faults.file, fields.key.line),
    )


def _term(key: str, fields: Fields) -> Term:
    term = fields.text("term")
    also = fields.text("also").split(", ") if fields.has("also") else []
    return Term(key, term, (term, *also), fields.text("means"))
