"""Every number of a job laid open: value, formula, inputs put in, source, verdict and reason."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

from markupsafe import Markup

from builder.catalogue.rows import Row, Source
from builder.checks import Results
from builder.job import Job
from builder.pages.manifest import anchor
from builder.pages.shown import mark
from builder.pages.typed import typed
from builder.pages.wording import cautions, practices
from builder.pages.words import MINUS, SPACE, Words, duration, two_digits
from builder.quantity import Column, Number, Table
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
UNIT_WORDS = {
    "m2": "m²",
    "m3": "m³",
    "m4": "m⁴",
    "m3/s": "m³/s",
    "m2/s": "m²/s",
    "kg/m3": "kg/m³",
    "N/m3": "N/m³",
    "1": "",
}
RAISED = str.maketrans("0123456789-", "⁰¹²³⁴⁵⁶⁷⁸⁹⁻")
MILLIMETRES = 0.0099  # metres: from here on a length is told to the millimetre, below it finer
SMALL, LARGE = 1e-5, 1e6  # outside these a value is printed with a power of ten


@dataclass(frozen=True)
class Worked:
    """One number as the working page lays it open; every text is already escaped."""

    key: str
    anchor: str
    words: Markup
    value: Markup
    said: Markup  # the value in the words of the step pages, empty where it is the same or there is none
    verdict: Markup
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
        value=_value(number),
        said=_said(number, words),
        verdict=mark(number.verdict),
        reason=typed(number.reason) if number.reason else Markup(""),
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


def figure(value: float, unit: str, digits: int = 4) -> str:
    """Return a value with its unit as the working prints it: four digits that count, no false ones."""
    suffix = UNIT_WORDS.get(unit, unit)
    text = f"{value:.3f}" if unit == "m" and MILLIMETRES <= abs(value) < LARGE else _digits(value, digits)
    text = text.replace("-", MINUS)
    return f"{text}{SPACE}{suffix}" if suffix else text


def _digits(value: float, digits: int) -> str:
    if value == 0:
        return "0"
    if digits == 2 and SMALL <= abs(value) < LARGE:
        return two_digits(value)
    if not SMALL <= abs(value) < LARGE:
        power = math.floor(math.log10(abs(value)))
        return f"{value / 10.0**power:.{digits}g} × 10{str(power).translate(RAISED)}"
    places = max(0, digits - 1 - math.floor(math.log10(abs(value))))
    text = f"{value:,.{places}f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


def _value(number: Number) -> Markup:
    if number.value is None:
        return typed("no value" if number.verdict == "ok" else number.verdict)
    if isinstance(number.value, Table):
        return typed("table below")
    printed = to_unit(number.value, number.unit)
    if number.low is None or number.high is None:
        return typed(figure(printed, number.unit))
    low, high = to_unit(number.low, number.unit), to_unit(number.high, number.unit)
    ends = [figure(end, number.unit, 2) for end in (low, printed, high)]
    return typed(f"{ends[1]} (from {ends[0]} to {ends[2]})")


def _said(number: Number, words: Words) -> Markup:
    if not isinstance(number.value, int | float) or (number.audience == "working" and number.unit != "s"):
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
    return typed(f"{figure(value, unit, 2)} (from {figure(low, unit, 2)} to {figure(high, unit, 2)})")


def _with_words(value: float, unit: str) -> str:
    text = figure(value, unit)
    if unit == "rad" and value:
        return f"{text} ({math.degrees(value):.1f}°)"
    if unit == "s" and value >= 120:
        return f"{text} ({duration(value, 'nearest')})"
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
