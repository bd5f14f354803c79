"""Every number of a job laid open: value, formula, inputs put in, source, verdict and reason."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass

from markupsafe import Markup

from builder.catalogue.practice import practices
from builder.catalogue.rows import Row, Source
from builder.checks import Results
from builder.job import Job
from builder.pages.figured import UNIT_WORDS, figure, natural
from builder.pages.manifest import anchor
from builder.pages.shown import mark
from builder.pages.typed import typed
from builder.pages.wording import cautions
from builder.pages.words import Words
from builder.quantity import Column, Number, Table
from builder.say import SPACE, duration
from builder.units import to_unit

GROUPS = {
    "shell": "Shell",
    "level": "Levels",
    "ground": "Ground",
    "standpipe": "Standpipe",
    "proof": "Link test",
    "valve": "Relief valve",
    "filter": "Filter: what may wash into what",
    "bedding": "Bedding",
    "uplift": "Uplift",
    "wall": "Walls",
    "fill": "Filling and backfilling",
    "dig": "Dig",
    "backfill": "Backfill",
    "beam": "Ring beam",
    "lift": "Lifts",
    "order": "What to order",
    "drawdown": "Drawing the groundwater down",
    "pump": "Pump",
    "rain": "Rain",
    "gap": "Gap",
    "care": "Care",
}


@dataclass(frozen=True)
class Worked:
    """One number as the working page lays it open; every text is already escaped."""

    key: str
    anchor: str
    words: Markup
    value: Markup  # in the unit a reader would use
    exact: Markup  # the same in SI units where those are not a reader's, empty otherwise
    said: Markup  # the value in the words of the step pages, empty where it is the same or there is none
    verdict: Markup  # empty where there is nothing to judge: the reason stands in its place
    reason: Markup
    formula: Markup
    inputs: tuple[tuple[str, Markup], ...]
    source: Markup
    source_id: str
    head: tuple[Markup, ...]
    rows: tuple[tuple[Markup, ...], ...]


def groups(results: Results, words: Words) -> list[tuple[str, str, list[Worked]]]:
    """Return (title, id, numbers) for every group of keys, in the order of the numbers."""
    found: dict[str, list[Worked]] = {}
    catalogue = results.job.catalogue.sources
    for key, number in results.items():
        found.setdefault(key.partition(".")[0], []).append(worked(number, words, catalogue))
    return [(GROUPS.get(name, name.capitalize()), name, numbers) for name, numbers in found.items()]


def worked(number: Number, words: Words, sources: Mapping[str, Source]) -> Worked:
    """Return one number laid open."""
    table = number.value if isinstance(number.value, Table) else None
    source = sources.get(number.source)
    formula = number.formula.removeprefix("method:").strip()
    method = number.formula.startswith("method:")
    return Worked(
        key=number.key,
        anchor=anchor(number.key),
        words=typed(number.words[:1].upper() + number.words[1:]),
        value=_value(number, words),
        exact=_exact(number),
        said=_said(number, words),
        verdict=Markup("") if _nothing(number) else mark(number.verdict),
        reason=typed(words.sentence(number.reason)) if number.reason and not _nothing(number) else Markup(""),
        formula=typed(f"Method: {formula}" if method else f"{number.symbol} = {formula}"),
        inputs=tuple(
            (name, _input(given.value, given.low, given.high, given.unit))
            for name, given in number.inputs.items()
        ),
        source=typed(source.title if source else number.source),
        source_id=number.source,
        head=tuple(_heading(column) for column in table.columns) if table else (),
        rows=tuple(
            tuple(_cell(cell, column) for cell, column in zip(row, table.columns, strict=True))
            for row in table.rows
        )
        if table
        else (),
    )


def sources(results: Results) -> list[tuple[Source, list[str]]]:
    """Return every source the guide leans on with what it is used for, in the order first met."""
    job = results.job
    used: dict[str, list[str]] = {}

    def note(source: str, what: str) -> None:
        whats = used.setdefault(source, [])
        if what not in whats:
            whats.append(what)

    for key, number in results.items():
        name = key.partition(".")[0]
        note(number.source, f"numbers under {GROUPS.get(name, name)}")
    for _, row in job_rows(job):
        for source in row.sources:
            note(source, row.name)
    for caution in cautions().values():
        note(caution.source, "cautions")
    for practice in practices().values():
        note(practice.source, "common-practice values")
    known = job.catalogue.sources
    return [(known[source], whats) for source, whats in used.items() if source in known]


def job_rows(job: Job) -> list[tuple[str, Row]]:
    """Return every catalogue row the job uses: what for, and the row."""
    found: list[tuple[str, Row | None]] = [("region", job.region), ("tube", job.pipe)]
    found += [("ground", layer.soil) for layer in job.layers]
    found += [("bedding", job.bedding), ("backfill", job.backfill), ("sump fill", job.sump_fill)]
    found += [("mesh", job.mesh), ("valve thread", job.thread)]
    return [(use, row) for use, row in found if row is not None]


def memory_rows(job: Job) -> list[tuple[str, Row]]:
    """Return the rows the job uses that nobody has confirmed in print."""
    return [(use, row) for use, row in job_rows(job) if row.memory]


def _nothing(number: Number) -> bool:
    """Whether there is nothing to judge: the number does not apply to this job."""
    return number.value is None and number.verdict == "ok"


def _value(number: Number, words: Words) -> Markup:
    if _nothing(number):
        return typed(
            f"does not apply: {words.sentence(number.reason)}" if number.reason else "does not apply"
        )
    if number.value is None:
        return typed("no value")
    if isinstance(number.value, Table):
        return typed("a table")
    return typed(_ends(number, natural))


def _exact(number: Number) -> Markup:
    """The value in the unit of its formula, where the reader was told another."""
    if not isinstance(number.value, int | float):
        return Markup("")
    exact = _ends(number, figure)
    return Markup("") if exact == _ends(number, natural) else typed(exact)


def _ends(number: Number, tell: Callable[[float, str, int], str]) -> str:
    """A value, and its low and high end where it is a range."""
    printed = to_unit(number.si, number.unit)
    if number.low is None or number.high is None:
        return tell(printed, number.unit, 4)
    low, high = to_unit(number.low, number.unit), to_unit(number.high, number.unit)
    ends = [tell(end, number.unit, 2) for end in (low, printed, high)]
    return ends[1] if len(set(ends)) == 1 else f"{ends[1]} (from {ends[0]} to {ends[2]})"


def _said(number: Number, words: Words) -> Markup:
    if not isinstance(number.value, int | float) or number.audience == "working" or number.unit == "s":
        return Markup("")
    if number.low is not None and number.high is not None:
        low, high = words.number(number, number.low, "down"), words.number(number, number.high, "up")
        return typed(low if low == high else f"from {low} to {high}")
    return typed(words.number(number, number.value))


def _input(value: float | None, low: float | None, high: float | None, unit: str) -> Markup:
    if value is None:
        return typed("not known")
    if low is None or high is None:
        return typed(_with_words(value, unit))
    ends = [figure(end, unit, 2) for end in (value, low, high)]
    return typed(f"{ends[0]} (from {ends[1]} to {ends[2]})")


def _with_words(value: float, unit: str) -> str:
    text = figure(value, unit)
    if unit == "rad" and value:
        return f"{text} ({math.degrees(value):.1f}°)"
    if unit == "s" and value >= 120:
        return f"{duration(value, 'nearest')} ({text})"
    return text


def _heading(column: Column) -> Markup:
    words = column.key.replace("_", " ")
    unit = UNIT_WORDS.get(column.unit, column.unit)
    return typed(f"{words}, {unit}" if unit else words)


def _cell(cell: float | str | None, column: Column) -> Markup:
    if cell is None:
        return typed("none")
    if isinstance(cell, str):
        return typed(cell)
    return typed(figure(cell, "m").removesuffix(f"{SPACE}m") if column.unit == "m" else figure(cell, "1"))
