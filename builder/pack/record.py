"""The record of what was sent, `issued/<ref>/<issue>/`: spec as typed, rows used, numbers, manifest."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

from builder import __version__, yamlfile
from builder.checks import Results
from builder.checks.stirring import used_rows
from builder.errors import InputFaults
from builder.pack.manifest import as_json
from builder.pack.order import MANIFEST, NUMBERS, place_of

if TYPE_CHECKING:
    from builder.pages import Guide

SPEC, ROWS, RECORD = "spec.yml", "rows.json", "record.json"
FILES = (SPEC, ROWS, NUMBERS, MANIFEST, RECORD)
QUESTION = re.compile(r"\{#(q-[a-z0-9-]+)\}")
ISSUE = re.compile(r"[A-Z]{1,2}")


@dataclass(frozen=True)
class Record:
    """One issue that went out: its folder in issued/, and what its record says first."""

    folder: Path
    ref: str
    issue: str
    issued: str
    link: str
    version: str
    address: str = ""  # of the issue's site, where it was packed with a base URL

    def rows(self) -> Mapping[str, Any]:
        """Return what the issue rested on: rows by shelf/id, sources by id, questions."""
        found: Mapping[str, Any] = json.loads((self.folder / ROWS).read_text(encoding="utf-8"))
        return found


def records(issued: Path, ref: str | None = None) -> Iterator[Record]:
    """Yield the records of one job, or of all, oldest issue first; what is no record is passed over."""
    folders = [issued / ref] if ref is not None else sorted(_folders(issued))
    for job in folders:
        for folder in sorted(_folders(job), key=lambda path: place_of(path.name)):
            if ISSUE.fullmatch(folder.name) and (record := _read(folder)) is not None:
                yield record


def before(issued: Path, ref: str, issue: str) -> Record | None:
    """Return the newest record of a job that is older than an issue; None where there is none."""
    older = [one for one in records(issued, ref) if place_of(one.issue) < place_of(issue)]
    return older[-1] if older else None


def contents(
    worked: Results, guide: Guide, numbers: bytes, listed: bytes, address: str | None
) -> dict[str, bytes]:
    """Return the files of a record by name; raises InputFaults where the spec file changed meanwhile.

    address: of the issue's site; None where nobody said where it is published.
    """
    job = worked.job
    typed = Path(job.file).read_bytes()
    if yamlfile.parse(typed, job.file) != job.node:
        raise InputFaults([job.fault((), "the file was changed while it was packed", "Pack it again")])
    spec = job.spec
    return {
        SPEC: typed,
        ROWS: as_json(_rows(worked, guide)),
        NUMBERS: numbers,
        MANIFEST: listed,
        RECORD: as_json(
            {
                "ref": spec.ref,
                "issue": spec.issue,
                "issued": spec.issued.isoformat() if spec.issued else "",
                "link": spec.link,
                "version": __version__,
                "address": address or "",
            }
        ),
    }


def _rows(worked: Results, guide: Guide) -> dict[str, Any]:
    """Return the catalogue rows the job used, as typed, the sources named, the questions in its guide."""
    catalogue = worked.job.catalogue
    rows, sources = {}, {number.source for number in worked.values()}
    for used in used_rows(worked.job):
        row = getattr(catalogue, used.shelf)[used.id]
        rows[f"{used.shelf}/{used.id}"] = _typed(catalogue.folder / f"{used.shelf}.yml", used.id)
        sources |= set(row.sources)
    named = [name for name in catalogue.sources if name in sources]
    return {
        "rows": rows,
        "sources": {name: _typed(catalogue.folder / "sources.yml", name) for name in named},
        "questions": [name for page in guide.pages for name in QUESTION.findall(page.markdown)],
    }


def _typed(path: Path, name: str) -> Any:
    return yamlfile.plain(_file(path).entries[name])


def _file(path: Path) -> yamlfile.Mapping:
    if path not in _FILES:
        _FILES[path] = yamlfile.read(path)
    return _FILES[path]


_FILES: dict[Path, yamlfile.Mapping] = {}


def _folders(folder: Path) -> list[Path]:
    return [path for path in folder.iterdir() if path.is_dir()] if folder.is_dir() else []


def _read(folder: Path) -> Record | None:
    try:
        found = json.loads((folder / RECORD).read_text(encoding="utf-8"))
        ref, issue, issued, link, version = (
            str(found[key]) for key in ("ref", "issue", "issued", "link", "version")
        )
        return Record(folder, ref, issue, issued, link, version, str(found.get("address", "")))
    except (OSError, ValueError, KeyError, TypeError):
        return None
