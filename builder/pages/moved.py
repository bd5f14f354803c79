"""Addresses that were given out and whose place is gone: each leads to what took its place.

A line `questions.html#q-plug -> questions.html#q-take-plug-out` of content/addresses.txt retires an
address. Where both are on one page the old id stands at the new heading; otherwise the old page, which
is kept for that, has a line that names the new place.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping

from builder.errors import Fault, InputFaults
from builder.pages.guide import Page
from builder.pages.manifest import Entry

TITLE = "This has moved"
GROUP = "Moved"  # of the pages kept for their addresses alone, last in the navigation


def marked(markdown: str, entry: Entry, gone: Mapping[str, str]) -> str:
    """Return a page's Markdown with a place for every retired address of that page.

    gone: retired address -> the one that took its place. Raises InputFaults where that is not there.
    """
    html = _html(entry)
    for old, new in gone.items():
        page, _, name = old.partition("#")
        there, _, target = new.partition("#")
        if page != html:
            continue
        if there != html:
            markdown += f"\n{_line(page, new)}{{#{name}}}\n"
            continue
        heading = re.compile(rf"^(#+ [^\n]*\{{#{re.escape(target)}\}})$", re.MULTILINE)
        markdown, found = heading.subn(rf'<span id="{name}"></span>\n\n\1', markdown, count=1)
        if not found:
            wrong = f"{old} leads to {new}, which is not there"
            raise InputFaults(
                [Fault("content/addresses.txt", 1, 1, "", wrong, "Name a heading that is there")]
            )
    return markdown


def pages(listed: Iterable[Entry], gone: Mapping[str, str]) -> tuple[Page, ...]:
    """Return a page for every retired page: it names what took its place."""
    kept = {_html(entry) for entry in listed}
    paths = dict.fromkeys(old.partition("#")[0] for old in gone)
    found = []
    for path in (path for path in paths if path not in kept):
        lines = [f"# {TITLE}"]
        for old, new in gone.items():
            if old.partition("#")[0] == path:
                name = old.partition("#")[2]
                lines.append(_line(path, new) + (f"{{#{name}}}" if name else ""))
        found.append(Page(path.removesuffix(".html") + ".md", TITLE, "\n\n".join(lines) + "\n", ()))
    return tuple(found)


def _line(page: str, new: str) -> str:
    """Return a link from a page of the guide to the new place."""
    path, mark, name = new.partition("#")
    return f"[{TITLE}]({'../' * page.count('/')}{path.removesuffix('.html')}.md{mark}{name})"


def _html(entry: Entry) -> str:
    return entry.path.removesuffix(".md") + ".html"
