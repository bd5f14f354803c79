"""The finishing pass over the built folder: what Markdown and the page's template do not do.

Each page is changed by exact text alone, so that every other byte stays as it was written.
"""

from __future__ import annotations

import html
import re
from collections.abc import Mapping
from pathlib import Path
from typing import TYPE_CHECKING

from builder.errors import Fault, InputFaults

if TYPE_CHECKING:
    from builder.figures import Drawn

PLACE = re.compile(r'<div data-figure="([^"]*)"></div>')
FIGURE = re.compile(r'<div data-figure="([^"]*)" id="fig-[^"]*"></div>')
LEFT = re.compile(r'<[a-z](?:[^<>"]|"[^"]*")*?\sdata-figure=')
WHOLE = re.compile(r'<section class="whole">.*?</section>', re.S)
TABLE = re.compile(r"<table>.*?</table>", re.S)
WIDE = ('<div class="wide">', '<div class="wide">\n')
REFUSED = (  # what the page's policy would drop without a word
    (re.compile(' style="'), "a style attribute", "Write a class, and its rule in guide.css"),
    (re.compile("<style"), "a stylesheet in the page", "Write the rules in guide.css"),
    (re.compile(' on[a-z]{3,}="'), "a script in an attribute", "Write it in shared/theme/scripts"),
    (
        re.compile('<script(?! src=| type="application/json")'),
        "a script in the page",
        "Write it in shared/theme/scripts",
    ),
)
SIGNALS = ("danger", "warning", "caution", "notice")
SIGNAL_BOX = re.compile(
    rf'<div class="admonition ({"|".join(SIGNALS)})[^"]*">\s*<p class="admonition-title">(.*?)</p>', re.S
)


def prepared(markdown: str) -> tuple[str, list[str]]:
    """Return a page's Markdown as mkdocs is to have it, and the blocks lifted out of it.

    A `<section class="whole">` is complete HTML: it is lifted out before Markdown parses the page,
    which costs more than all else, and put back by `finish`. The place of each figure gets its id,
    so that links to it are checked; formulas are kept out of the search.
    """
    lifted: list[str] = []

    def lift(block: re.Match[str]) -> str:
        lifted.append(block.group())
        return f'<div data-whole="{len(lifted) - 1}"></div>'

    placed = PLACE.sub(r'<div data-figure="\1" id="fig-\1"></div>', WHOLE.sub(lift, markdown))
    return placed.replace('<p class="formula">', '<p class="formula" data-search-exclude>'), lifted


def finish(site: Path, drawn: Mapping[str, Drawn], lifted: Mapping[str, list[str]]) -> None:
    """Put blocks and figures in, let wide tables scroll, and hold each page against its own policy.

    lifted: the blocks `prepared` took out, by the page's address in the site. Raises InputFaults
    with everything that is wrong on all pages.
    """
    faults: list[Fault] = []
    for path in sorted(site.rglob("*.html")):
        page = _Page(path.relative_to(site).as_posix(), path.read_text(encoding="utf-8"), faults)
        page.check_signal_words()
        page.put_back(lifted.get(page.name, []))
        page.wrap_tables()
        page.put_figures(drawn)
        page.check_policy()
        path.write_bytes(page.text.encode())
    if faults:
        raise InputFaults(faults)


def figure_html(name: str, drawing: Drawn) -> str:
    """Return one drawing as a figure: the picture, what it shows, and the same in words."""
    words = " ".join(html.escape(sentence) for sentence in drawing.long_description)
    return (
        f'<figure class="drawing" id="fig-{name}" data-search-exclude>\n{drawing.svg.strip()}\n<figcaption>'
        f"<p><b>{html.escape(drawing.title)}</b> {html.escape(drawing.caption)}</p>\n"
        f"<details><summary>This drawing in words</summary><p>{words}</p></details></figcaption>\n</figure>"
    )


class _Page:
    def __init__(self, name: str, text: str, faults: list[Fault]) -> None:
        self.name = name
        self.text = text
        self.faults = faults

    def wrap_tables(self) -> None:
        """Let a table that is too wide for a phone scroll by itself."""

        def wide(table: re.Match[str]) -> str:
            has_its_own = table.string.endswith(WIDE, 0, table.start())
            return table.group() if has_its_own else f'<div class="wide">{table.group()}</div>'

        self.text = TABLE.sub(wide, self.text)

    def check_policy(self) -> None:
        for pattern, what, instead in REFUSED:
            if found := pattern.search(self.text):
                self._fault(found.start(), f"{what}, which the page's policy does not let through", instead)

    def check_signal_words(self) -> None:
        for box in SIGNAL_BOX.finditer(self.text):
            word, title = box.group(1).upper(), box.group(2)
            if not title.startswith(f"<strong>{word}</strong>"):
                self._fault(
                    box.start(),
                    f"the title of a {box.group(1)} box does not begin with its signal word",
                    f'Begin it with the word in bold, as in !!! {box.group(1)} "**{word}** What can happen"',
                )

    def put_back(self, blocks: list[str]) -> None:
        for at, block in enumerate(blocks):
            self.text = self.text.replace(f'<div data-whole="{at}"></div>', block, 1)

    def put_figures(self, drawn: Mapping[str, Drawn]) -> None:
        parts: list[str] = []
        end = 0
        for place in FIGURE.finditer(self.text):
            name = place.group(1)
            parts.append(self.text[end : place.start()])
            end = place.end()
            if name in drawn:
                parts.append(figure_html(name, drawn[name]))
            else:
                known = ", ".join(sorted(drawn)) or "none"
                self._fault(
                    place.start(), f"no figure is called {name!r}", f"Write one of those drawn: {known}"
                )
        self.text = "".join(parts) + self.text[end:]
        if left := LEFT.search(self.text):
            self._fault(
                left.start(),
                "a figure's place is not written as it must be",
                'Write <div data-figure="name"></div> as a block of its own',
            )

    def _fault(self, at: int, wrong: str, instead: str) -> None:
        self.faults.append(Fault(self.name, self.text.count("\n", 0, at) + 1, 1, "", wrong, instead))
