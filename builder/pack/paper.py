"""From a page of the built site to what stands on paper: plain blocks and runs of text, as data.

A block is a mapping whose `k` says what it is; the print template (shared/print) knows each:
    h       l: level, id, t: runs
    p       c: class, t: runs
    list    o: numbered, c: class, items: a list of blocks each
    table   write: which columns are left to write in, head: runs each, rows: runs each
    nums    rows: c: class, dt: runs, b: runs, small: runs
    box     c: class, t: title in runs, blocks, long: too long to stand on one page for sure
    fig     name
A run is a string, or {b: runs}, {v: verdict, t: words}, {to: place, t: runs}, {br: true}, {tick: true}.
Text is text: nothing of it is ever read as markup again.
"""

from __future__ import annotations

import posixpath
import re
from collections.abc import Collection, Iterator, Mapping, Sequence
from itertools import zip_longest
from pathlib import Path
from typing import Any

from lxml import html
from lxml.html import HtmlElement

Block = dict[str, Any]
Runs = list[Any]

BEGIN, END = '<main id="_main">', '<nav class="onward'
WORKING = re.compile(r'\s*\(<a href="[^"]*working\.html#[^"]*">working</a>\)')
SPACES = re.compile(r"[ \t\r\n\f]+")
LONG = 2500  # letters in a box: more than about half a page
LONG_WORD = re.compile(r"\S{40}(?=\S)")  # no word of a language: it may break here
FROM = "from"  # the last section of a page: where its numbers come from
INLINE = frozenset("a abbr b br code em i input label mark small span strong sub sup".split())
NOTHING = frozenset("script style form button details svg nav textarea template".split())
LEFT_OUT = frozenset({"words", "where", "headerlink", "no-print"})
BOX = re.compile(r"admonition ([a-z-]+)")


def page_of(site: Path, address: str) -> HtmlElement:
    """Return what stands between head and foot of a page of the built site."""
    text = (site / address).read_text(encoding="utf-8")
    body = text[text.index(BEGIN) + len(BEGIN) : text.index(END)]
    return html.fragment_fromstring(WORKING.sub("", body), create_parent="main")


class Paper:
    """Turns pages into blocks. A link to a page on the same paper leads there; another names its page."""

    def __init__(self, printed: Collection[str], titles: Mapping[str, str]) -> None:
        """Take the addresses of the pages on this paper, and the titles of all pages by address."""
        self._printed = frozenset(printed)
        self._titles = titles
        self._address = ""
        self._level = 0

    def blocks(self, page: HtmlElement, address: str) -> list[Block]:
        """Return the blocks of a page."""
        self._address, self._level = address, 0
        out: list[Block] = []
        for block in self._inside(page):
            if block["k"] == "h" and block["id"] == FROM:
                break
            out.append(block)
        return out

    def _inside(self, parent: HtmlElement) -> Iterator[Block]:
        """Yield the blocks in an element; words between them become paragraphs."""
        loose: Runs = _text(parent.text)
        for child in parent:
            if not isinstance(child.tag, str) or _left_out(child):
                pass
            elif child.tag in INLINE:
                loose += self._run(child)
            else:
                yield from _paragraph(loose)
                loose = []
                yield from self._block(child)
            loose += _text(child.tail)
        yield from _paragraph(loose)

    def _block(self, element: HtmlElement) -> Iterator[Block]:
        tag, kind = element.tag, element.get("class") or ""
        if tag in {"h1", "h2", "h3", "h4"}:
            self._level = min(int(tag[1]), self._level + 1)
            place = f"{self._address}#{element.get('id') or ''}"
            yield {
                "k": "h",
                "l": self._level,
                "id": element.get("id") or "",
                "to": place,
                "t": self._runs(element),
            }
        elif tag == "p":
            yield from _paragraph(self._runs(element), kind)
        elif tag in {"ul", "ol"}:
            items = [list(self._inside(item)) for item in element.iterchildren("li")]
            within = (element.getparent().get("class") or "") if element.getparent() is not None else ""
            yield {"k": "list", "o": tag == "ol", "c": f"{kind} {within}".split(), "items": items}
        elif tag == "table":
            yield self._table(element)
        elif tag == "dl" and "numbers" in kind:
            yield {"k": "nums", "rows": [self._number(row) for row in element.iterchildren("div")]}
        elif found := BOX.match(kind):
            title = element.find("p[@class='admonition-title']")
            words = self._runs(title) if title is not None else []
            if title is not None:
                title.drop_tree()
            long = len(str(element.text_content())) > LONG
            inside = list(self._inside(element))
            yield {"k": "box", "c": found.group(1), "t": words, "blocks": inside, "long": long}
        elif tag == "figure":
            yield {"k": "fig", "name": (element.get("id") or "").removeprefix("fig-")}
        elif tag == "dt":
            yield from _paragraph([{"b": self._runs(element)}])
        else:
            yield from self._inside(element)

    def _table(self, table: HtmlElement) -> Block:
        rows = [[self._runs(cell) for cell in row.iterchildren("td", "th")] for row in table.iter("tr")]
        heads = len(table.findall("thead/tr"))
        head, body = rows[0] if heads else [], rows[heads:]
        write = [not any(cells) for cells in zip_longest(*body, fillvalue=[])]
        return {"k": "table", "write": write, "head": head, "rows": body}

    def _number(self, row: HtmlElement) -> Block:
        dt, dd = row.find("dt"), row.find("dd")
        bold, small = dd.find("b"), dd.find("small")
        return {
            "c": row.get("class") or "",
            "dt": self._runs(dt),
            "b": self._runs(bold) if bold is not None else self._runs(dd),
            "small": self._runs(small) if small is not None and bold is not None else [],
        }

    def _runs(self, element: HtmlElement) -> Runs:
        """Return the words in an element, its blocks too, as runs without blanks at their ends."""
        runs: Runs = _text(element.text)
        for child in element:
            if isinstance(child.tag, str) and not _left_out(child):
                if child.tag in INLINE:
                    runs += self._run(child)
                else:
                    runs += [*([{"br": True}] if trimmed(runs) else []), *self._runs(child)]
            runs += _text(child.tail)
        return trimmed(runs)

    def _run(self, element: HtmlElement) -> Runs:
        tag, kind = element.tag, element.get("class") or ""
        if tag == "br":
            return [{"br": True}]
        if tag == "input":
            return [{"tick": True}] if element.get("type") == "checkbox" else []
        inner = _text(element.text)
        for child in element:
            if isinstance(child.tag, str) and not _left_out(child):
                inner += self._run(child) if child.tag in INLINE else self._runs(child)
            inner += _text(child.tail)
        if not inner:
            return []
        if tag in {"b", "strong"}:
            return [{"b": inner}]
        if kind.startswith("verdict "):
            return [{"v": kind.removeprefix("verdict "), "t": inner}]
        return self._link(element.get("href") or "", inner) if tag == "a" and kind != "term" else inner

    def _link(self, href: str, inner: Runs) -> Runs:
        path, _, anchor = href.partition("#")
        address = posixpath.normpath(posixpath.join(posixpath.dirname(self._address), path))
        if not path or address == self._address:
            return inner
        if address in self._printed:
            return [{"to": f"{address}#{anchor}", "t": inner}]
        title = self._titles.get(address, "")
        named = not title or "".join(map(str, inner)).casefold() == title.casefold()
        return inner if named else [*inner, f" (“{title}”)"]


def settled(pages: Sequence[list[Block]]) -> None:
    """Make every link in pages lead to a heading that is there: else to the heading of its page."""
    there = {block["to"] for page in pages for block in page if block["k"] == "h"}
    tops = {page[0]["to"].partition("#")[0]: page[0]["to"] for page in pages}

    def settle(part: Any) -> None:
        if isinstance(part, list):
            for one in part:
                settle(one)
        elif isinstance(part, dict):
            if "to" in part and part.get("k") != "h" and part["to"] not in there:
                part["to"] = tops[part["to"].partition("#")[0]]
            for value in part.values():
                settle(value)

    settle(list(pages))


def trimmed(runs: Runs) -> Runs:
    """Return runs without blanks before and after."""
    runs = list(runs)
    while runs and isinstance(runs[0], str):
        runs[0] = runs[0].lstrip(" ")
        if runs[0]:
            break
        runs.pop(0)
    while runs and isinstance(runs[-1], str):
        runs[-1] = runs[-1].rstrip(" ")
        if runs[-1]:
            break
        runs.pop()
    return runs


def _paragraph(runs: Runs, kind: str = "") -> Iterator[Block]:
    if kept := trimmed(runs):
        yield {"k": "p", "c": kind, "t": kept}


def _text(text: str | None) -> Runs:
    return [LONG_WORD.sub("\\g<0>\u200b", SPACES.sub(" ", text))] if text else []


def _left_out(element: HtmlElement) -> bool:
    kinds = (element.get("class") or "").split()
    return element.tag in NOTHING or bool(LEFT_OUT.intersection(kinds)) or element.get("id") == "_ticked"
