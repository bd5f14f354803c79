"""The guide as one HTML file, for a phone without reception: all pages, drawings and the look-up of a dip.

Pages are changed by exact text, tag by tag, as the site's finishing pass does. Each page's ids get the
page's name in front, and every link leads inside the file. A drawing stands once; other pages lead to it.
"""

from __future__ import annotations

import base64
import hashlib
import posixpath
import re
from collections.abc import Mapping
from html import escape
from pathlib import Path
from typing import TYPE_CHECKING

from builder.website.look import script, stylesheet

if TYPE_CHECKING:
    from builder.pages import Guide

BEGIN, END = '<main id="_main">', '<nav class="onward'
TAG = re.compile(r"""<[a-zA-Z](?:[^>"']|"[^"]*"|'[^']*')*>""")
ATTRIBUTE = re.compile(r'\s(id|href|for|headers|list|aria-labelledby|aria-describedby)="([^"]*)"')
PAINT = re.compile(r"url\(#([^)]*)\)")
LINK_OUT = re.compile(r'<a href="[^"#]*\.pdf">(.*?)</a>', re.S)
FIGURE = re.compile(r'<figure class="drawing" id="(fig-[^"]*)".*?<b>(.*?)</b>.*?</figure>', re.S)
TICKED = re.compile(r'<section id="_ticked".*?</section>', re.S)
WORDS = re.compile(r'<p class="words" hidden>.*?</p>', re.S)
HEAD_LINK = re.compile(r'<a class="headerlink".*?</a>', re.S)
SCRIPTS = ("look", "dip")  # ticks and the search go by pages, and stay with the folder
HELD = frozenset({"dip-form", "dip-data", "dip-answer"})  # ids the look-up's script asks for
TABLE = ("water/read.html", "table")  # the heading that script finds its table by
MORE = (  # what a file of many pages needs besides: a line between them, and the contents in reach
    ".page+.page{margin-top:3rem;border-top:.125rem solid var(--ink);padding-top:1.5rem}\n"
    "@media (min-width:62rem){#_contents{position:sticky;top:0;align-self:start;max-height:100vh;"
    "overflow-y:auto}}\n"
    "@media print{.page+.page{break-before:page;border:0}}\n"
)
BACK = '<p class="onward no-print"><a href="#_contents">Contents</a></p>'
ICON = (
    "data:image/svg+xml,%3Csvg%20xmlns='http://www.w3.org/2000/svg'%20viewBox='0%200%2024%2024'%3E%3Cpath%20"
    "fill='%230a5c92'%20d='M2%203h20v2H2zM7%207h10l-5%207zM3%2016h18v2H3zM6%2020h12v2H6z'/%3E%3C/svg%3E"
)


def one_file(guide: Guide, site: Path, line: str) -> bytes:
    """Return the guide as one HTML file that asks for nothing outside itself.

    line: reference, issue and day, as they stand on every page.
    """
    names = {page.path.removesuffix(".md") + ".html": _name(page.path) for page in guide.pages}
    drawn: dict[str, str] = {}  # figure -> id of the one place it stands at
    moved: dict[tuple[str, str], str] = {}  # page and figure that stood there -> that id
    bodies = {}
    for address in names:
        text = (site / address).read_text(encoding="utf-8")
        body = text[text.index(BEGIN) + len(BEGIN) : text.index(END)]
        body = HEAD_LINK.sub("", WORDS.sub("", TICKED.sub("", LINK_OUT.sub(r"\1", body))))
        bodies[address] = _once(body, address, f"{names[address]}--", drawn, moved)
    pages = "\n".join(_section(body, address, names, moved) for address, body in bodies.items())
    return _whole(guide, line, _contents(guide), pages).encode()


def _name(path: str) -> str:
    """Return the name of a page in the file: its path with dashes."""
    return path.removesuffix(".md").replace("/", "-")


def _once(
    body: str, address: str, prefix: str, drawn: dict[str, str], moved: dict[tuple[str, str], str]
) -> str:
    """Return a page with a link in place of every drawing that stands on an earlier page."""

    def place(found: re.Match[str]) -> str:
        figure, title = found.groups()
        if figure not in drawn:
            drawn[figure] = prefix + figure
            return found.group()
        moved[address, figure] = drawn[figure]
        return f'<p>The drawing: <a href="#{figure}">{title}</a></p>'

    return FIGURE.sub(place, body)


def _section(body: str, address: str, names: Mapping[str, str], moved: Mapping[tuple[str, str], str]) -> str:
    """Return a page as a section whose ids and links are the file's own."""

    def own(anchor: str, page: str = address) -> str:
        if (page, anchor) in moved:
            return moved[page, anchor]
        held = anchor in HELD or (page, anchor) == TABLE
        return anchor if held else f"{names[page]}--{anchor}"

    def attribute(found: re.Match[str]) -> str:
        key, value = found.groups()
        if key != "href":
            return f' {key}="{" ".join(own(one) for one in value.split())}"'
        path, _, anchor = value.partition("#")
        target = posixpath.normpath(posixpath.join(posixpath.dirname(address), path)) if path else address
        if target not in names:
            raise ValueError(f"{address}: {value} leads out of the guide")
        return f' href="#{own(anchor, target) if anchor else names[target]}"'

    def tag(found: re.Match[str]) -> str:
        changed = ATTRIBUTE.sub(attribute, found.group())
        return PAINT.sub(lambda paint: f"url(#{own(paint.group(1))})", changed)

    return f'<section class="page" id="{names[address]}">\n{TAG.sub(tag, body).strip()}\n{BACK}\n</section>'


def _contents(guide: Guide) -> str:
    def entry(title: str, path: str) -> str:
        return f'<li><a href="#{_name(path)}">{escape(title)}</a></li>'

    parts = []
    for title, below in guide.nav:
        if isinstance(below, str):
            parts.append(f"<ul>{entry(title, below)}</ul>")
        else:
            rows = "".join(entry(*page) for page in below)
            parts.append(f"<p>{escape(title)}</p>\n<ul>{rows}</ul>")
    return "\n".join(parts)


def _whole(guide: Guide, line: str, contents: str, pages: str) -> str:
    style, code = stylesheet() + MORE, script(SCRIPTS)
    title, region = escape(guide.title), f" · {escape(guide.region)}" if guide.region else ""
    first = _name(guide.pages[0].path)
    return f"""<!doctype html>
<html lang="en" data-job="{escape(guide.ref)}" data-issue="{escape(guide.issue or "")}">
<head>
<meta charset="utf-8">
<meta http-equiv="Content-Security-Policy" content="{_policy(style, code)}">
<meta name="generator" content="Shellbed">
<meta name="viewport" content="width=device-width, initial-scale=1">
<meta name="color-scheme" content="light dark">
<meta name="robots" content="noindex">
<meta name="referrer" content="no-referrer">
<title>{title}, the whole guide</title>
<link rel="icon" href="{ICON}">
<style>{style}</style>
<script>{code}</script>
</head>
<body>
<a class="skip" href="#_main">To the pages</a>
<header class="top">
<a class="job" href="#{first}">
<b>{title}</b> <small>{escape(line)}</small></a>
<nav class="bar" aria-label="Always at hand">
<a href="#_contents">Contents</a><a class="rising" href="#water-rises">Water is rising</a>
</nav>
</header>
<div class="frame">
<main id="_main">
{pages}
</main>
<nav id="_contents" aria-label="Contents">
<button type="button" id="_look" hidden>Dark page</button>
{contents}
</nav>
</div>
<footer>
<p>{title} · {escape(line)}{region}<br>
For this shell in this ground only. Never use its numbers on another job.</p>
</footer>
</body>
</html>
"""


def _policy(style: str, code: str) -> str:
    """Return what the file may do: its own style, its own script, nothing from outside."""
    return (
        "default-src 'none'; base-uri 'none'; form-action 'none'; img-src data:; font-src data:; "
        f"style-src '{_hash(style)}'; script-src '{_hash(code)}'"
    )


def _hash(text: str) -> str:
    return f"sha256-{base64.b64encode(hashlib.sha256(text.encode()).digest()).decode()}"
