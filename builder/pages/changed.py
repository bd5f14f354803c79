"""What moved since an earlier issue, as the guide tells it: the lines to stop at first."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Any

from markupsafe import Markup

from builder.checks import against
from builder.pages.shown import bold, mark
from builder.pages.typed import markup
from builder.pages.words import Words, upper_first
from builder.quantity import Number, Table
from builder.units import UNITS, SafeSide

NONE, TABLE, OTHER = markup("none"), markup("a table"), markup("a table with other rows")
ENDS: tuple[tuple[str, SafeSide], ...] = (("low", "down"), ("high", "up"))


@dataclass(frozen=True)
class Earlier:
    """An issue that went out before: its letter or letters, its numbers as JSON by key."""

    issue: str
    entries: Mapping[str, Mapping[str, Any]]


@dataclass(frozen=True)
class MovedRow:
    """One number that moved: the number as it is, and how it was and is in words."""

    number: Number
    what: str
    before: Markup
    now: Markup

    @property
    def table(self) -> bool:
        """Whether the number is a table, which a row has no room for."""
        return isinstance(self.number.value, Table)


@dataclass(frozen=True)
class Changed:
    """What moved since the last issue, as far as a page prints it."""

    issue: str
    stop_lines: tuple[MovedRow, ...]
    others: tuple[MovedRow, ...]


def changed(earlier: Earlier | None, results: Mapping[str, Number], words: Words) -> Changed | None:
    """Return what a reader must know of the numbers that moved; None where there is no earlier issue.

    A number for the working alone is told only where its verdict moved.
    """
    if earlier is None:
        return None
    now = {key: number.as_json() for key, number in results.items()}
    stops: list[MovedRow] = []
    others: list[MovedRow] = []
    for key in against.apart(earlier.entries, now):
        row = _row(results[key], earlier.entries[key], words)
        if row is not None:
            (stops if against.is_stop_line(key, earlier.entries[key], now[key]) else others).append(row)
    return Changed(earlier.issue, tuple(stops), tuple(others))


def _row(number: Number, old: Mapping[str, Any], words: Words) -> MovedRow | None:
    """Return one row; None where a reader would see no difference."""
    new = number.as_json()
    told = number.audience == "step"
    before, now = (_said(number, entry, words) if told else markup("") for entry in (old, new))
    if old["verdict"] != new["verdict"]:
        before, now = _judged(before, old), _judged(now, new)
    elif before == now and before != TABLE:
        return None
    elif not told:
        return None
    return MovedRow(number, upper_first(number.words), before, OTHER if before == now == TABLE else now)


def _judged(said: Markup, entry: Mapping[str, Any]) -> Markup:
    return Markup(" ").join(part for part in (said, mark(entry["verdict"])) if part)


def _said(number: Number, entry: Mapping[str, Any], words: Words) -> Markup:
    """Return an entry's value as step pages say it, rounded on the number's safe side."""
    if entry["value"] is None:
        return NONE
    if isinstance(entry["value"], dict):
        return TABLE
    if entry.get("low") is None:
        return _worded(number, entry, "value", number.safe_side, words)
    ends = [_worded(number, entry, end, side, words) for end, side in ENDS]
    return ends[0] if ends[0] == ends[1] else markup(f"{ends[0]} to {ends[1]}")


def _worded(number: Number, entry: Mapping[str, Any], part: str, side: SafeSide, words: Words) -> Markup:
    value = entry[part] * UNITS[entry["unit"]].si
    return markup(bold(words.number(replace(number, unit=entry["unit"]), value, side)))
