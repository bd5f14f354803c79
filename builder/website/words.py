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
INSIDE = r"""(?:[^>"']|"[^"]*"|'[^']*')*"""  # a tag's attributes
HEADING = re.compile(rf"<(h[1-3])\b({INSIDE})>(.*?)</\1>", re.S)
WORDS = re.compile(rf'<p\b(?=[^>]*class="words"){INSIDE}>(.*?)</p>', re.S)
ID = re.compile(r'\bid="([^"]*)"')
INLINE = "a|abbr|b|code|em|i|mark|small|span|strong|sub|sup"
UNSEEN = re.compile(rf"</?(?:{INLINE})(?=[\s/>]){INSIDE}>|<!--.*?-->", re.S)  # parts no two words
TAG = re.compile(rf"</?[a-zA-Z]{INSIDE}>")
MARK = re.compile(r'data-search-exclude|class="headerlink"|class="where"|<(?:svg|script|style)\b')
OPENS = re.compile(rf"<([a-zA-Z][a-zA-Z0-9]*){INSIDE}>")
FROM = "from"  # the last section of a page, by its id


@dataclass
class _Place:
    """One heading and what stands under it."""

    anchor: str
    heading: list[str] = field(default_factory=list)
    text: list[str] = field(default_factory=list)
    words: list[str] = field(default_factory=list)

    def take(self, body: str) -> None:
        """Take what stands between two headings."""
        self.words += [_bare(said) for said in WORDS.findall(body)]
        self.text += [_bare(WORDS.sub(" ", body)), " "]


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
    body = _without_left_out(built[built.index(BEGIN) + len(BEGIN) : built.index(END)])
    here = _Place("")
    found = [here]
    end = 0
    for heading in HEADING.finditer(body):
        here.take(body[end : heading.start()])
        end = heading.end()
        tag, attributes, said = heading.groups()
        if tag != "h1":
            name = ID.search(attributes)
            here = _Place(html.unescape(name.group(1)) if name else here.anchor)
            found.append(here)
        here.heading.append(_bare(said))
    here.take(body[end:])
    return found


def _without_left_out(body: str) -> str:
    kept: list[str] = []
    end = at = 0
    while mark := MARK.search(body, at):
        at = mark.end()
        opens = OPENS.match(body, body.rfind("<", 0, at))
        if opens is None or opens.end() < at:
            continue  # somebody typed it
        kept += [body[end : opens.start()], " "]
        end, depth = opens.end(), 1
        for edge in re.compile(rf"<(/?){opens.group(1)}(?=[\s/>])").finditer(body, end):
            depth += -1 if edge.group(1) else 1
            end = edge.end()
            if not depth:
                end = body.index(">", end) + 1
                break
        at = end
    return "".join([*kept, body[end:]])


def _bare(text: str) -> str:
    return TAG.sub(" ", UNSEEN.sub("", text))


def _joined(parts: list[str]) -> str:
    return " ".join(html.unescape("".join(parts)).split())
