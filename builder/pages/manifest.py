"""Which pages a guide has, in reading order, and the addresses that must never die."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path

from builder.catalogue.fields import Fields
from builder.catalogue.reader import read_file

CONTENT = Path(__file__).resolve().parents[2] / "content"
MOVED = " -> "  # between an address whose place is gone and the one that took its place
ROWS = ("region", "tube", "ground", "bedding", "backfill", "sump fill", "mesh", "valve thread")


@dataclass(frozen=True)
class Entry:
    """One page of content/pages.yml.

    concerns: patterns of number keys whose stop, cannot tell or watch is said on the page before
    the act. rows: the catalogue rows the page leans on. working: whether it may show any number.
    words: what an asker calls the things of the page; search finds the page by them, nobody sees them.
    """

    path: str
    title: str
    short: str  # in the navigation
    group: str  # in the navigation; empty for a page of its own
    working: bool
    concerns: tuple[str, ...]
    rows: tuple[str, ...]
    words: str


@lru_cache(maxsize=4)
def entries(folder: Path = CONTENT) -> tuple[Entry, ...]:
    """Return the pages in reading order; raises InputFaults."""
    return tuple(read_file(folder / "pages.yml", f"{folder.name}/pages.yml", _entry).values())


def addresses(folder: Path = CONTENT) -> tuple[str, ...]:
    """Return the permanent addresses, such as steps/pocket.html#check: a list that only grows."""
    return tuple(address for address, _ in _lines(folder))


def questions(folder: Path = CONTENT) -> tuple[str, ...]:
    """Return the ids of the questions people ask, such as q-how-heavy; retired ones too."""
    places = (address.partition("#")[2] for address in addresses(folder))
    return tuple(place for place in places if place.startswith("q-"))


def retired(folder: Path = CONTENT) -> dict[str, str]:
    """Return the addresses whose place is gone, each with the address that took its place."""
    return {address: new for address, new in _lines(folder) if new}


@lru_cache(maxsize=4)
def _lines(folder: Path) -> tuple[tuple[str, str], ...]:
    """Return (address, what took its place or nothing) for each line of the list."""
    lines = (folder / "addresses.txt").read_text("utf-8").splitlines()
    kept = [line.partition(MOVED) for line in lines if line.strip() and not line.startswith("# ")]
    return tuple((address.strip(), new.strip()) for address, _, new in kept)


def anchor(key: str) -> str:
    """Return the id of a number's place on the working page."""
    return key.replace(".", "-")


def _entry(key: str, fields: Fields) -> Entry:
    title = fields.text("title")
    concerns = fields.text("concerns").split() if fields.has("concerns") else []
    rows = fields.text("rows").split(", ") if fields.has("rows") else []
    for row in rows:
        if row not in ROWS:
            fields.fault("rows", f"{row!r} is no row of a job", f"Write some of {', '.join(ROWS)}")
    return Entry(
        path=key,
        title=title,
        short=fields.text("short") if fields.has("short") else title,
        group=fields.text("group") if fields.has("group") else "",
        working=fields.has("working") and fields.flag("working"),
        concerns=tuple(concerns),
        rows=tuple(rows),
        words=fields.text("words") if fields.has("words") else "",
    )
