"""The crew sheet: today's numbers on one side of one sheet of paper."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path
from typing import Any

from builder.errors import Fault, InputFaults
from builder.pack.paper import Block, Paper, Runs, page_of
from builder.pack.typeset import pages, pdf

PAGE = "lists/crew.md"
SIZES = (10.0, 9.5, 9.0, 8.5, 8.0, 7.5, 7.0)
LIFTS = "lifts"  # the section whose table takes the whole width
PAPERS = {"a4": "A4", "us-letter": "Letter"}


def crew_pdf(head: Mapping[str, Any], holds: Sequence[Runs], titles: Mapping[str, str], site: Path) -> bytes:
    """Return the crew sheet, in the largest type that fits one side.

    holds: the hold points of the job in their order, titles: of all pages by address. Raises
    InputFaults where even the smallest does not: nothing is ever left out of it.
    """
    address = PAGE.removesuffix(".md") + ".html"
    name, lead, *blocks = Paper([address], titles).blocks(page_of(site, address), address)
    listed = [[{"k": "p", "c": "", "t": [{"tick": True}, *hold]}] for hold in holds]
    blocks.append({"k": "list", "o": False, "c": ["close"], "items": listed})
    sections = list(_sections(blocks))
    data = {
        **head,
        "name": "".join(name["t"]),
        "lead": lead["t"],
        "beside": [section for section in sections if section[0]["id"] != LIFTS],
        "lifts": [block for section in sections if section[0]["id"] == LIFTS for block in section],
    }
    for size in SIZES:
        made = pdf("crew.typ", {**data, "size": size})
        if pages(made) == 1:
            return made
    wrong = f"the crew sheet does not fit one side of {PAPERS[head['paper']]} in {SIZES[-1]:g} pt"
    raise InputFaults([Fault(PAGE, 1, 1, "", wrong, "Shorten its sentences; its rows must stay")])


def _sections(blocks: list[Block]) -> Iterator[list[Block]]:
    """Yield the blocks by section, each from its heading on."""
    section: list[Block] = []
    for block in blocks:
        if block["k"] == "h" and section:
            yield section
            section = []
        section.append(block)
    yield section
