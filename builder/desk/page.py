"""The desk's pages as HTML: the search over all jobs, and one page for an issue of a job."""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path
from typing import Any

import jinja2
from markupsafe import Markup

from builder.checks import most_pumped
from builder.desk.questions import Question
from builder.desk.sent import Shown
from builder.desk.since import Step
from builder.desk.tables import table
from builder.pages.lookup import as_data
from builder.pages.shown import MARKS, mark
from builder.pages.typed import unfenced
from builder.pages.words import upper_first
from builder.quantity import VERDICTS, Number

TEMPLATES = Path(__file__).resolve().parents[2] / "shared" / "theme" / "desk"
CARDS = (  # (key, title, what follows, kind): what a caller is told most often
    ("uplift.watch_dip_build", "Watch: dip from the build mark", "or less", "watch"),
    ("uplift.watch_dip", "Watch: dip from the tube top", "or less", "watch"),
    ("uplift.act_dip_build", "Act: dip from the build mark", "or less", "stop"),
    ("uplift.act_dip", "Act: dip from the tube top", "or less", "stop"),
    ("level.water", "Working level of the pool", "below the rim", ""),
    ("level.overflow", "The pool runs over at", "below the rim", ""),
    ("standpipe.cut_length", "Cut the tube at", "with the spare", ""),
    ("standpipe.length", "Tube, trimmed", "", ""),
    ("dig.depth_deep", "Deepest dig", "below the ground", ""),
    ("backfill.mass", "Backfill", "before waste", ""),
    ("bedding.mass", "Bedding", "before waste", ""),
)
OLD_RECORD = "this issue went out before its numbers had all that these boxes need: read its guide instead"


@dataclass(frozen=True)
class Around:
    """What stands round an issue on its page.

    others: (words, file) of the job's other issues. newest: the issue that took its place, if one did.
    since: the steps from issue to issue. now: what today's numbers would be other, None where they can't be
    worked or nothing was sent; why: why they can't. rewritten: the spec is another than the one sent.
    """

    others: tuple[tuple[str, str], ...] = ()
    newest: str = ""
    since: tuple[Step, ...] = ()
    now: Step | None = None
    why: str = ""
    rewritten: bool = False
    in_folder: bool = True


def job_page(shown: Shown, questions: Sequence[Question], around: Around) -> str:
    """Return the page of one issue of a job, or of a job that was never issued."""
    try:
        boxes: dict[str, Any] | None = table(shown.numbers, shown.words, shown.accepted)
    except KeyError:
        boxes = None
    themes: dict[str, list[Question]] = {}
    for question in questions:
        themes.setdefault(question.theme, []).append(question)
    return _page(
        "job.html",
        shown=shown,
        around=around,
        root="../../",
        title=f"{shown.ref} {shown.title}",
        boxes=boxes,
        data=Markup("") if boxes is None else as_data(boxes),
        old_record=OLD_RECORD,
        cards=[card for card in (_card(shown, *one) for one in _cards(shown)) if card],
        pump=_pump(shown),
        verdicts=[(verdict, shown.reasons(verdict)) for verdict in reversed(VERDICTS[1:])],
        themes=themes,
        told=any(question.points for question in questions),
        numbers=[(number, value(shown, number)) for number in shown.numbers.values()],
    )


def index_page(jobs: int, not_worked: int) -> str:
    """Return the page of the search over so many jobs."""
    return _page("index.html", root="", title="Support desk", jobs=jobs, not_worked=not_worked)


def search_script(rows: Sequence[Sequence[Any]]) -> str:
    """Return the jobs as the search reads them: a script, so that it opens from a folder."""
    lines = ",\n".join(json.dumps(row, separators=(",", ":")) for row in rows)
    return f"var shellbedJobs=[\n{_harmless(lines)}\n]\n"


def value(shown: Shown, number: Number) -> str:
    """Return a number's value in words, rounded on its safe side."""
    if number.value is None:
        return "none"
    if not isinstance(number.value, int | float):
        return f"a table of {len(number.table.rows)} rows"
    words = shown.words
    try:
        if number.low is None or number.high is None:
            return words.number(number, number.si)
        ends = words.number(number, number.low, "down"), words.number(number, number.high, "up")
        return ends[0] if ends[0] == ends[1] else f"{ends[0]} to {ends[1]}"
    except KeyError:  # no words are kept for this kind of unit
        return f"{number.printed(number.si):.4g} {number.unit}"


def _cards(shown: Shown) -> tuple[tuple[str, str, str, str], ...]:
    """Return the cards without those of the tube top where it stands at the build mark."""
    top = shown.numbers.get("level.tube_top")
    if top is not None and top.value is not None and abs(top.si) < 0.0005:
        return tuple(one for one in CARDS if one[0] not in ("uplift.watch_dip", "uplift.act_dip"))
    return CARDS


def _card(shown: Shown, key: str, title: str, follows: str, kind: str) -> tuple[str, str, str, str] | None:
    """Return (title, large, small, kind); None where the issue has no such number."""
    number = shown.numbers.get(key)
    if number is None:
        return None
    if number.value is None:
        return title, number.verdict, upper_first(shown.words.sentence(number.reason)), "watch"
    large, _, metric = value(shown, number).partition(" (")
    small = ", ".join(part for part in (metric.rstrip(")"), follows) if part)
    return title, large, small, kind


def _pump(shown: Shown) -> tuple[str, str] | None:
    """Return what may be pumped from the tube at most, and why nothing where nothing may."""
    try:
        most = most_pumped(shown.numbers.__getitem__)
    except KeyError:
        return None
    if most.value is None:
        return "Leave the pump out of the tube", upper_first(shown.words.sentence(most.reason))
    return value(shown, most), "at most"


def _page(template: str, **given: Any) -> str:
    return _environment().get_template(template).render(given)


@lru_cache(maxsize=1)
def _environment() -> jinja2.Environment:
    made = jinja2.Environment(
        loader=jinja2.FileSystemLoader(TEMPLATES),
        undefined=jinja2.StrictUndefined,
        autoescape=True,
        trim_blocks=True,
        lstrip_blocks=True,
        keep_trailing_newline=True,
        auto_reload=False,
    )
    made.filters.update(upper_first=upper_first, cell=_cell, sentences=_sentences)
    made.globals.update(mark=mark, shapes=MARKS)
    return made


def _cell(said: Markup) -> Markup:
    """Return a cell of what moved as it stands in a page."""
    return Markup(unfenced(said))  # noqa: S704 (worded and escaped by pages)


def _sentences(text: str) -> str:
    """Return a reason as sentences, one for each of its parts."""
    said = ". ".join(upper_first(part) for part in text.strip().split("; "))
    return said if not said or said.endswith((".", "!", "?")) else f"{said}."


def _harmless(text: str) -> str:
    for sign in "<>&":
        text = text.replace(sign, f"\\u{ord(sign):04x}")
    return text
