"""Whether a built folder is sound: every link leads somewhere, and nothing leads outside.

Looks at every address a browser would follow or fetch: attributes of the pages and of the drawings
in them, `url()` and `@import` in stylesheets. Scripts are not read; that none of them asks for
anything is the theme's settings' doing.
"""

from __future__ import annotations

import html
import re
from collections import Counter
from dataclasses import dataclass, field
from pathlib import Path, PurePosixPath
from urllib.parse import unquote, urlsplit

from lxml import etree

from builder.errors import Fault

ADDRESSES = frozenset(
    "href src poster action formaction data cite background manifest ping xlink:href".split()
)
REFERENCES = frozenset("for aria-labelledby aria-describedby aria-controls headers list".split())
STYLE_ADDRESS = re.compile(r"""(?:url\(\s*|@import\s+(?:url\(\s*)?)["']?([^"')\s;]+)""", re.I)
TAG = re.compile(r"""<[a-zA-Z][^<>"'=]*(?:="[^"]*"(?=[\s/>])[^<>"'=]*)*>""")
NAMES = "|".join(sorted({"id", "srcset", "imagesrcset", "content", *ADDRESSES, *REFERENCES}))
ATTRIBUTE = re.compile(rf'''\s({NAMES})="([^"]*)"''')
FETCHED = re.compile(r"""[uU][rR][lL]\(\s*(?:["']|&quot;|&#39;)?([^"')\s;&]+)""")
INSIDE = frozenset({"", "data", "tel"})


@dataclass
class _Read:
    ids: Counter[str] = field(default_factory=Counter)
    links: list[tuple[int, str]] = field(default_factory=list)
    references: list[tuple[int, str, str]] = field(default_factory=list)
    lines: dict[str, int] = field(default_factory=dict)


def faults_in(site: Path) -> list[Fault]:
    """Return what is wrong with the folder, page by page; an empty list where it is sound.

    Found: a missing file or anchor, an address outside the folder or outside the device, an id that
    stands twice on a page, a label or description that points at no id.
    """
    files = {path.relative_to(site).as_posix() for path in site.rglob("*") if path.is_file()}
    pages = {name: _read((site / name).read_bytes()) for name in sorted(files) if name.endswith(".html")}
    faults: list[Fault] = []
    followed: dict[tuple[str, str], tuple[str, str] | None] = {}  # most addresses stand on every page

    def follow(name: str, line: int, address: str) -> None:
        key = (name if address.startswith("#") else name.rpartition("/")[0] + "/", address)
        if key not in followed:
            followed[key] = _follow(name, address, files, pages)
        if found := followed[key]:
            wrong, instead = found
            faults.append(Fault(name, line, 1, "", f"{address!r} {wrong}", instead))

    for name, page in pages.items():
        for line, address in page.links:
            follow(name, line, address)
        faults += [
            Fault(
                name,
                page.lines[repeated],
                1,
                "",
                f"the id {repeated!r} stands {count} times on this page",
                "Give each its own",
            )
            for repeated, count in page.ids.items()
            if count > 1
        ]
        faults += [
            Fault(
                name,
                line,
                1,
                "",
                f"{attribute} points at {wanted!r}, and nothing here has that id",
                "Name an id of this page",
            )
            for line, attribute, wanted in page.references
            if wanted not in page.ids
        ]
    for name in sorted(files):
        if name.endswith((".css", ".svg")):
            text = (site / name).read_text(encoding="utf-8")
            for found in STYLE_ADDRESS.finditer(text):
                follow(name, text.count("\n", 0, found.start()) + 1, found.group(1))
    return faults


def _read(page: bytes) -> _Read:
    """Read a page by its text where every tag is written as ours are; else as a browser does."""
    text = page.decode("utf-8")
    read = _Read()
    opening = text.count("<") - text.count("</") - text.count("<!")
    if sum(1 for _ in TAG.finditer(text)) != opening or "<style" in text:
        _read_as_browsers_do(page, read)
        return read
    for pattern in (ATTRIBUTE, FETCHED):
        line, end = 1, 0
        for found in pattern.finditer(text):
            line += text.count("\n", end, found.start())
            end = found.start()
            if pattern is FETCHED:
                read.links.append((line, html.unescape(found.group(1))))
            else:
                _take(read, line, found.group(1), html.unescape(found.group(2)))
    return read


def _read_as_browsers_do(page: bytes, read: _Read) -> None:
    root = etree.fromstring(page, etree.HTMLParser(encoding="utf-8", huge_tree=True))
    for element in root.iter(etree.Element):
        line = int(str(element.sourceline or 1))
        if element.tag == "style":
            read.links += [(line, found) for found in STYLE_ADDRESS.findall(str(element.text or ""))]
        for name, value in element.items():
            _take(read, line, str(name), str(value))


def _take(read: _Read, line: int, name: str, value: str) -> None:
    if name == "id":
        read.ids[value] += 1
        read.lines[value] = line
    elif name in ADDRESSES:
        read.links.append((line, value))
    elif name in {"srcset", "imagesrcset"}:
        read.links += [(line, part.split()[0]) for part in value.split(",") if part.strip()]
    elif name in REFERENCES:
        read.references += [(line, name, wanted) for wanted in value.split()]
    elif "url(" in value.lower():
        read.links += [(line, found) for found in STYLE_ADDRESS.findall(value)]
    elif name == "content" and "url=" in value.lower():
        read.links.append((line, re.split("url=", value, flags=re.I)[1]))


def _follow(name: str, address: str, files: set[str], pages: dict[str, _Read]) -> tuple[str, str] | None:
    """Return what is wrong with an address and what to do instead; None where it leads somewhere."""
    parts = urlsplit(address.strip())
    if parts.scheme not in INSIDE or parts.netloc:
        return "leads outside the guide", "Say it in words, or bring what is needed into the guide"
    if parts.scheme:
        return None
    target = _resolve(name, unquote(parts.path)) if parts.path else name
    if target is None or target not in files:
        return "leads to a file that is not in the guide", "Link to a page or file that is there"
    anchor = unquote(parts.fragment)
    if anchor and target in pages and anchor not in pages[target].ids:
        return "leads to a place that is not on that page", "Name an id that is there"
    return None


def _resolve(page: str, path: str) -> str | None:
    parts: list[str] = [] if path.startswith("/") else list(PurePosixPath(page).parent.parts)
    if path.startswith("/"):
        return None  # from the root of a disk, not of the guide
    for part in path.split("/"):
        if part == "..":
            if not parts:
                return None
            parts.pop()
        elif part not in {"", "."}:
            parts.append(part)
    if path.endswith("/") or not parts:
        parts.append("index.html")
    return "/".join(parts)
