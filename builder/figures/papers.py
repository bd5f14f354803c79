"""The papers a true-size sheet is made for, and where its file stands in a guide. Loads nothing heavy."""

from __future__ import annotations

from collections.abc import Mapping
from typing import NamedTuple


class Paper(NamedTuple):
    """A sheet of paper, upright; sizes in mm."""

    name: str
    width: float
    height: float


# A sizes: ISO 216. Letter: 8 1/2 by 11 in, ANSI/ASME Y14.1 size A.
PAPERS: Mapping[str, Paper] = {
    "a4": Paper("A4", 210.0, 297.0),
    "a3": Paper("A3", 297.0, 420.0),
    "letter": Paper("Letter", 215.9, 279.4),
}


def papers_of(units: str) -> tuple[str, ...]:
    """Return the papers a region that counts in these units prints on."""
    return ("letter", "a4", "a3") if units == "us" else ("a4", "a3")


def path_of(paper: str) -> str:
    """Return where the file for a paper stands in a guide's folder."""
    return f"paper/true-size-{paper}.pdf"
