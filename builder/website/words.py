"""What a guide is searched by: the text of its pages, heading by heading, as one small script.

Only what the pages say is in it. Drawings, formulas and complete HTML come into a page later, or carry
`data-search-exclude`; the list at a page's end that says where its numbers come from is left out too,
for it would be found everywhere. A `<p class="words" hidden>` is searched and never shown.
"""

from __future__ import annotations

import html
import json
import re
from collections.abc import Iterable
from dataclasses import dataclass, field

BEGIN, END = '<main id="_main">', '<nav class="onward'
PIECE = re.compile(
    r"""<(/?)([a-zA-Z][a-zA-Z0-9]*)([^>"']*(?:(?:"[^"]*"|'[^']*')[^>"']*)*)>|<!--.*?-->""", re.S
)
ID = re.compile(r'\bid="([^"]*)"')
HEADINGS = frozenset({"h1", "h2", "h3"})
VOID = frozenset("area base br col embed hr img input link meta source track wbr".split())
INLINE = frozenset("a abbr b code em i mark small span strong sub sup".split())
UNREAD = frozenset({"svg", "script", "style"})
LEFT_OUT = ("data-search-exclude", 'class="headerlink"', 'class="where"')
FROM = "from"  # the last section of a page, by its id


@dataclass
class _Place:
    """One heading and what stands under it."""

    anchor: str
    heading: list[str] = field(default_factory=list)
    text: list[str] = field(default_factory=list)
    words: list[str] = field(default_factory=list)


def index(pages: Iterable[tuple[str, str, str]]) -> str:
    """Return the script that holds the words of `pages`: (address, title, its built HTML) of each."""
    listed: list[list[str]] = []
    entries: list[list[str | int]] = []
    for at, (address, title, built) in enumerate(pages):
        places = _places(built)
        own = _joined(places[0].words) if places else ""
        listed.append([address, title, own] if own else [address, title])
        for place in places:
            heading, text = _joined(place.heading), _joined(place.text)
            words = _joined(place.words) if place.anchor else ""
            if (heading or text or words) and place.anchor != FROM:
                entries.append([at, place.anchor, heading, text, *([words] if words else [])])
    said = json.dumps([listed, entries], ensure_ascii=False, separators=(",", ":"))
    return f"var shellbedWords={said}\n"


def _places(built: str) -> list[_Place]:
    """Return the sections of a page; the first is the page itself, with its title's text left out."""
    body = built[built.index(BEGIN) + len(BEGIN) : built.index(END)]
    here = _Place("")
    found = [here]
    goes_to = here.text
    skipping, depth, end = "", 0, 0
    inside: list[tuple[str, list[str]]] = []  # element that gathers elsewhere -> where to go on after it
    for piece in PIECE.finditer(body):
        closing, tag, attributes = piece.group(1) or "", (piece.group(2) or "").lower(), piece.group(3) or ""
        if not skipping:
            goes_to.append(body[end : piece.start()])
        end = piece.end()
        if not tag:
            continue
        if skipping:
            if tag == skipping:
                depth += -1 if closing else 1
                skipping = skipping if depth else ""
            continue
        if tag not in INLINE:
            goes_to.append(" ")
        if closing:
            if inside and inside[-1][0] == tag:
                goes_to = inside.pop()[1]
        elif tag not in VOID and (tag in UNREAD or any(mark in attributes for mark in LEFT_OUT)):
            skipping, depth = tag, 1
        elif tag in HEADINGS:
            name = ID.search(attributes)
            if tag != "h1":
                here = _Place(html.unescape(name.group(1)) if name else here.anchor)
                found.append(here)
            inside.append((tag, here.text))
            goes_to = here.heading
        elif tag == "p" and 'class="words"' in attributes:
            inside.append((tag, goes_to))
            goes_to = here.words
    return found


def _joined(parts: list[str]) -> str:
    return " ".join(html.unescape("".join(parts)).split())
