"""The theme's frame around a page, rendered once for all jobs and filled with each job's content and name."""

from __future__ import annotations

import hashlib
import re
from collections.abc import Callable, Iterator, Mapping
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from jinja2 import Template

CONTENT, NAME, LINE, REGION = "\ue010", "\ue011", "\ue012", "\ue013"  # what fills a frame
FRAMED = re.compile(f"([{CONTENT}{NAME}{LINE}{REGION}])")


class Frame:
    """Stands in for the theme's page template; renders each page's frame once and fills it."""

    def __init__(self, template: Template, remembered: Callable[[str, Callable[[], str]], str]) -> None:
        """Render by `template` where `remembered` has nothing for a key."""
        self._template = template
        self._remembered = remembered

    def render(self, context: Mapping[str, Any]) -> str:
        """Return the page; the context's site name and job are filled in, as they are, afterwards."""
        page, config = context["page"], context["config"]
        job = config.extra["job"]
        has_title = "<h1" in page.content
        headings = "\n".join(f"{link.level} {link.id} {link.title}" for link in entries_of(page.toc))
        nav = "\n".join(f"{item.title} {item.url}" for item in context["nav"].pages)
        key = digest(page.file.src_uri, str(page.title), headings, nav, str(has_title), str("region" in job))
        fills = {CONTENT: page.content, NAME: config.site_name, LINE: job["line"]}
        fills[REGION] = job.get("region", "")
        pieces = FRAMED.split(self._remembered(key, lambda: self._rendered(context, has_title)))
        pieces[1::2] = [fills[sign] for sign in pieces[1::2]]
        return "".join(pieces)

    def _rendered(self, context: Mapping[str, Any], has_title: bool) -> str:
        page, config = context["page"], context["config"]
        before = page.content, config.site_name, config.extra["job"]
        page.content = CONTENT
        if has_title:  # the theme adds a heading where it finds none
            page.content = f"<h1{CONTENT}"
        config.site_name = NAME
        config.extra["job"] = {"line": LINE} | ({"region": REGION} if before[2].get("region") else {})
        try:
            return self._template.render(context).replace(page.content, CONTENT)
        finally:
            page.content, config.site_name, config.extra["job"] = before


def entries_of(links: Any) -> Iterator[Any]:
    """Yield every heading of a page's table of contents, in order."""
    for link in links:
        yield link
        yield from entries_of(link.children)


def digest(*texts: str) -> str:
    """Return a key that texts which differ do not share."""
    return hashlib.sha256("\0".join(texts).encode()).hexdigest()[:32]
