"""Everything of a job that goes on paper or into one file, from its built guide."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypedDict

from builder.figures import papers_of
from builder.pack import qr
from builder.pack.crew import crew_pdf
from builder.pack.drawings import in_words, on_paper
from builder.pack.one_file import one_file
from builder.pack.paper import Block, Paper, Runs, page_of, settled
from builder.pack.typeset import forget, pdf

if TYPE_CHECKING:
    from builder.checks import Results
    from builder.figures import Drawn
    from builder.pages import Guide

FIRST = ("water/rises.md", "Water is rising")  # what a frightened reader looks for stands first
UNPRINTED = frozenset(
    {"questions.md", "working.md", "assumptions.md", "sources.md", "glossary.md", "lists/crew.md"}
)
HOLD = "Hold point: "
SHEETS = {"a4": "a4", "letter": "us-letter"}  # a paper of the figures -> the typesetter's name for it


class Part(TypedDict):
    """A group of printed pages, their blocks page by page."""

    title: str
    pages: list[list[Block]]


def documents(
    worked: Results,
    guide: Guide,
    drawn: Mapping[str, Drawn],
    papers: Mapping[str, bytes],
    site: Path,
    address: str | None,
) -> Mapping[str, bytes]:
    """Return every document of a job by its file name.

    papers: the sheets that are true to size, by their place in the guide. site: the built guide's
    folder. address: where this guide stands on the web, None where it stands nowhere; then no code
    and no address is printed. The same bytes every time. Raises InputFaults where a page can't be
    set on paper: the crew sheet that does not fit one side.
    """
    forget()
    said = head(worked, guide, address)
    titles = {_address(page.path): page.title for page in guide.pages}
    parts = _printed(guide, titles, site)
    return {
        "guide.pdf": pdf("guide.typ", {**said, "groups": parts, "figures": figures(drawn)}),
        "crew.pdf": crew_pdf(said, list(_holds(parts)), titles, site),
        "guide.html": one_file(guide, site, said["line"]),
        **{path.rpartition("/")[2]: content for path, content in papers.items()},
    }


def _printed(guide: Guide, titles: Mapping[str, str], site: Path) -> list[Part]:
    """Return the pages of the printable guide, group by group."""
    groups = list(_groups(guide))
    paper = Paper([_address(path) for _, paths in groups for path in paths], titles)
    parts: list[Part] = []
    for title, paths in groups:
        pages = [paper.blocks(page_of(site, _address(path)), _address(path)) for path in paths]
        parts.append({"title": title, "pages": pages})
    settled([page for part in parts for page in part["pages"]])
    return parts


def _holds(parts: list[Part]) -> Iterator[Runs]:
    """Yield what the hold points of the steps are called, in their order."""
    for part in parts:
        for page in part["pages"]:
            for block in page:
                if block["k"] == "box" and block["c"] == "hold":
                    first, *others = block["t"]
                    said = str(first).removeprefix(HOLD)
                    yield [said[:1].upper() + said[1:], *others]


def head(worked: Results, guide: Guide, address: str | None) -> dict[str, Any]:
    """Return what every sheet says of its job."""
    issue = f"issue {guide.issue}" if guide.issue else ""
    return {
        "paper": SHEETS[papers_of(worked.job.region.units)[0]],
        "title": guide.title,
        "ref": guide.ref,
        "line": " · ".join(part for part in (guide.ref, issue, guide.issued) if part),
        "facts": [
            [what, said]
            for what, said in (
                ("Reference", guide.ref),
                ("Issue", guide.issue),
                ("Date", guide.issued),
                ("Place", guide.region),
            )
            if said
        ],
        "address": address,
        "code": qr.svg(address) if address else "",
    }


def figures(drawn: Mapping[str, Drawn]) -> dict[str, dict[str, Any]]:
    """Return the figures as a print template takes them."""
    return {
        name: {
            "svg": on_paper(drawing),
            "title": drawing.title,
            "caption": drawing.caption,
            "words": in_words(drawing),
            "width": drawing.width_in,
        }
        for name, drawing in drawn.items()
    }


def _groups(guide: Guide) -> Iterator[tuple[str, list[str]]]:
    """Yield the printed pages by group, what to do when the water rises before all others."""
    first, title = FIRST
    yield title, [first]
    loose: list[str] = []
    for name, below in (*guide.nav, ("", ())):
        if isinstance(below, str):
            loose.append(below)
            continue
        groups = (("Start", loose), (name, [path for _, path in below]))
        loose = []
        for heading, paths in groups:
            if printed := [path for path in paths if path not in UNPRINTED and path != first]:
                yield heading, printed


def _address(path: str) -> str:
    return path.removesuffix(".md") + ".html"
