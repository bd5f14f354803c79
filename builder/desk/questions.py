"""The questions callers ask, each with its address in the guide that was sent, and what to read out there."""

from __future__ import annotations

import hashlib
import html
import re
from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path

from builder.checks import Results
from builder.desk.sent import Shown
from builder.pack import manifest
from builder.pack.order import SITE
from builder.pack.record import Record
from builder.pages import one_page
from builder.pages.manifest import CONTENT

PAGE = "questions.html"
THEME = re.compile(r"^## (.+?) \{#[a-z0-9-]+\}$", re.M)
HEADING = re.compile(r"^### (.+?) \{#(q-[a-z0-9-]+)\}$", re.M)
ASKED = re.compile(r'asked\("([^"]*)"\)')
POINT = re.compile(r"^- \*\*([^*]+)\*\*: (.+)$", re.M)
BUILT_HEADING = re.compile(r'<h3 id="(q-[a-z0-9-]+)">(.*?)<a class="headerlink"')
BUILT_POINT = re.compile(r"<li><strong>([^<]+)</strong>: (.*?)</li>", re.S)
VERDICT = re.compile(r'<span class="verdict [^"]*">(.)([^<]*)</span>')
TAG = re.compile(r"<[^>]*>")
LINKED = re.compile(r"\[([^\]]*)\]\([^)]*\)(?:\{[^}]*\})?")

Points = tuple[tuple[str, str], ...]  # (read out, what), (ask back, what), (stop the call, when)


@dataclass(frozen=True)
class Question:
    """One question of a job's guide. points: what to read out, in plain text; empty where it isn't known.

    asked: the words callers use. address: what to copy.
    """

    id: str
    title: str
    theme: str
    asked: str
    address: str
    points: Points


def questions(shown: Shown, told: Mapping[str, tuple[str, Points]]) -> tuple[Question, ...]:
    """Return the questions of a job's guide in order.

    told: title and points by id, of `sent_points` or `todays_points`.
    """
    known = {one.id: one for one in of_content()}
    ids = [*known] if shown.questions is None else shown.questions
    found = []
    for name in ids:
        here = known.get(name, Question(name, name, "Other questions", "", "", ()))
        title, points = told.get(name, (here.title, ()))
        where = f"{shown.address or shown.place}{PAGE}#{name}"
        found.append(Question(name, title, here.theme, here.asked, where, points))
    return tuple(found)


@lru_cache(maxsize=1)
def of_content() -> tuple[Question, ...]:
    """Return the questions as content/ has them today, without what to read out."""
    text = (CONTENT / "questions.md").read_text(encoding="utf-8")
    themes = [(place.start(), place[1]) for place in THEME.finditer(text)]
    found = []
    headings = list(HEADING.finditer(text))
    for at, heading in enumerate(headings):
        end = headings[at + 1].start() if at + 1 < len(headings) else len(text)
        theme = [name for start, name in themes if start < heading.start()][-1]
        asked = ", ".join(ASKED.findall(text, heading.end(), end))
        found.append(Question(heading[2], heading[1], theme, asked, "", ()))
    return tuple(found)


def todays_points(results: Results) -> dict[str, tuple[str, Points]]:
    """Return what to read out as the guide would say it today: title and points by question."""
    markdown = one_page(results, "questions.md").markdown
    return {
        heading[2]: (_text(heading[1]), tuple((_text(a), _text(b)) for a, b in POINT.findall(block)))
        for heading, block in _blocks(HEADING, markdown)
    }


def sent_points(record: Record, send: Path) -> dict[str, tuple[str, Points]] | None:
    """Return what to read out as the guide says it that was sent; None where that guide is not here.

    The page counts only where its sum is the one the record kept.
    """
    page = sent_page(record, send)
    if page is None:
        return None
    return {
        heading[1]: (_built(heading[2]), tuple((_built(a), _built(b)) for a, b in BUILT_POINT.findall(block)))
        for heading, block in _blocks(BUILT_HEADING, page)
    }


def sent_page(record: Record, send: Path) -> str | None:
    """Return the page of questions of a sent guide, where it is here and is the one that was sent."""
    listed = manifest.read(record.folder)
    try:
        page = (send / record.link / record.issue / SITE / PAGE).read_bytes()
        kept = (listed or {"files": {}})["files"][f"{SITE}/{PAGE}"]["sha256"]
    except (OSError, KeyError, TypeError):
        return None
    return page.decode() if hashlib.sha256(page).hexdigest() == kept else None


def _blocks(heading: re.Pattern[str], text: str) -> list[tuple[re.Match[str], str]]:
    found = list(heading.finditer(text))
    ends = [one.start() for one in found[1:]] + [len(text)]
    return [(one, text[one.end() : end]) for one, end in zip(found, ends, strict=True)]


def _text(markdown: str) -> str:
    """Return the text of a line of a page's Markdown; what was typed in a spec stands as entities in it."""
    return _built(LINKED.sub(r"\1", markdown).replace("**", ""))


def _built(marked: str) -> str:
    said = VERDICT.sub(lambda found: f"{found[1].upper()}{found[2]}:", marked)
    return html.unescape(TAG.sub("", said)).strip()
