"""One job's results in, one guide of complete Markdown out."""

from __future__ import annotations

import datetime
import re
from collections.abc import Iterable, Mapping
from pathlib import Path
from typing import Any

from markupsafe import Markup

from builder.catalogue.practice import practices
from builder.checks import Results
from builder.pages import moved, regions, turns, working
from builder.pages.changed import Earlier, changed
from builder.pages.facts import Facts
from builder.pages.glossary import linked
from builder.pages.guide import Guide, NavEntry, Page
from builder.pages.lookup import as_data, look_up_table
from builder.pages.lowest import dip_rows
from builder.pages.manifest import CONTENT, Entry, entries, retired
from builder.pages.orders import order_rows
from builder.pages.templates import Templates, templates
from builder.pages.ties import tie_rows
from builder.pages.tools import Tools, asked, memory_words, plainly, standard_line
from builder.pages.typed import unfenced
from builder.pages.wording import glossary
from builder.pages.words import Words

LEAD = "{.lead}\n"
MONTHS = "January February March April May June July August September October November December".split()


def render(results: Results, content: Path = CONTENT, earlier: Earlier | None = None) -> Guide:
    """Return the guide of one job; raises InputFaults where a template or a data file is wrong.

    earlier: the issue that went out before this one, for what the start page says of numbers that moved.
    """
    spec = results.job.spec
    listed = entries(content)
    engine = templates(content)
    gone = retired(content)
    left = moved.pages(listed, gone)
    pages = tuple(_page(entry, results, listed, engine, gone, earlier) for entry in listed)
    return Guide(
        ref=spec.ref,
        title=spec.title,
        issue=spec.issue,
        issued=_day(spec.issued),
        region=results.job.region.name,
        audience=spec.audience,
        pages=(*pages, *left),
        nav=(
            *_nav(listed),
            *([(moved.GROUP, tuple((page.title, page.path) for page in left))] if left else []),
        ),
    )


def one_page(results: Results, path: str, content: Path = CONTENT) -> Page:
    """Return one page of a job's guide, such as questions.md; raises InputFaults, KeyError where none is."""
    listed = entries(content)
    entry = {one.path: one for one in listed}[path]
    return _page(entry, results, listed, templates(content), retired(content), None)


def _page(
    entry: Entry,
    results: Results,
    listed: tuple[Entry, ...],
    engine: Templates,
    gone: Mapping[str, str],
    earlier: Earlier | None,
) -> Page:
    job, levels = results.job, results.levels
    words = Words(feet=job.region.units == "us")
    facts = Facts(job, levels, words, results.groundwater.state)
    context: dict[str, Any] = {
        "entry": entry,
        "job": facts,
        "spec": job.spec,
        "levels": levels,
        "region": job.region,
        "full": not facts.crew,
        "water": results.groundwater,
        "words": words,
    }
    tools = Tools(
        entry,
        results,
        words,
        levels.peg,
        job.region,
        listed,
        working.job_rows(job),
        lambda text, place: engine.sentence(text, place, context),
    )
    context |= tools.names()
    context["used"] = tools
    context["moved_since"] = lambda: changed(earlier, results, words)
    context["dip_rows"] = lambda: dip_rows(results, words)
    context["look_up_table"] = lambda: _data(results, words, facts)
    context |= turns.tools(results, words)
    context["tie_rows"] = lambda: tie_rows(results, words)
    context["regions"] = lambda: regions.places(job)
    context["region_rows"] = regions.rows
    context["order_rows"] = lambda: order_rows(results, words)
    if entry.working:
        context |= _working(results, words, tools)
    markdown = _tidied(engine.render(entry.path, context))
    if entry.words:  # under the title, so that search leads to the page and not to its last section
        markdown = _after_lead(markdown, str(asked(entry.words)))
    markdown = unfenced(linked(moved.marked(markdown, entry, gone), entry, glossary()))
    return Page(entry.path, entry.title, markdown, tuple(tools.figures))


def _working(results: Results, words: Words, tools: Tools) -> Mapping[str, Any]:
    """Return what only the pages behind the numbers may ask for."""
    return {
        "groups": lambda: working.groups(results, words),
        "sources": lambda: working.sources(results),
        "memory_rows": working.memory_rows(results.job),
        "memory_words": memory_words,
        "plainly": plainly,
        "all_practices": [(row, tools.habit(row)) for row in practices().values()],
        "terms": tuple(glossary().values()),
        "standard_line": standard_line,
        "job_defaults": results.job.defaults_used,
    }


def _data(results: Results, words: Words, facts: Facts) -> Markup:
    """Return the look-up's table as data for the page; empty where there is none."""
    table = look_up_table(results, words, facts.one_mark)
    return Markup("") if table is None else as_data(table)


def _nav(listed: Iterable[Entry]) -> tuple[NavEntry, ...]:
    groups: dict[str, list[tuple[str, str]]] = {}
    for entry in listed:
        groups.setdefault(entry.group or entry.path, []).append((entry.short, entry.path))
    return tuple(
        (name, tuple(pages)) if name not in (path for _, path in pages) else pages[0]
        for name, pages in groups.items()
    )


def _day(day: datetime.date | None) -> str:
    """Return a date as a reader writes it; nothing where the job bears none."""
    return "" if day is None else f"{day.day} {MONTHS[day.month - 1]} {day.year}"


def _after_lead(markdown: str, words: str) -> str:
    """Return Markdown with a paragraph put behind the page's first one, or at its end where there is none."""
    before, lead, after = markdown.partition(LEAD)
    return f"{before}{lead}{words}{after}"


def _tidied(text: str) -> str:
    """Return Markdown with no trailing blanks and no run of empty lines."""
    text = re.sub(r"[ \t]+$", "", text, flags=re.MULTILINE)
    return re.sub(r"\n{3,}", "\n\n", text).strip() + "\n"
