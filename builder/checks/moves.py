"""What moved between two results of a job, in words for a terminal."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from builder.checks.against import Difference, Moved
from builder.checks.causes import same


def lines(difference: Difference) -> Iterator[str]:
    """Yield the difference in words, a line a number."""
    total, moved = len(difference.now), len(difference.moved)
    verdicts = sum(one.verdict_moved for one in difference.moved)
    if not (moved or difference.new or difference.gone):
        yield f"nothing moved: all {total} numbers are as they were"
        return
    yield (
        f"{moved} of {total} numbers moved, {verdicts} of them in their verdict; "
        f"{len(difference.new)} new, {len(difference.gone)} gone"
    )
    if difference.corrected:
        yield f"rows of the catalogue with other figures: {', '.join(difference.corrected)}"
    for one in difference.moved:
        verdict = f"  {one.before['verdict']} -> {one.now['verdict']}" if one.verdict_moved else ""
        why = (" and " if one.certain else " or ").join(one.causes)
        yield f"{one.key}{verdict}  {change(one.before, one.now)}  by {why}{_by(one)}"
    for key in difference.new:
        yield f"{key}  new: {_value(difference.now[key])}  {difference.now[key]['verdict']}"
    for key in difference.gone:
        yield f"{key}  gone: was {_value(difference.before[key])}  {difference.before[key]['verdict']}"


def change(entry: Mapping[str, Any], entry_now: Mapping[str, Any]) -> str:
    """Say how one entry (DESIGN section 6) moved: `1.2 m -> 1.25 m`; of a table, its first cell that did."""
    before, now = entry["value"], entry_now["value"]
    if isinstance(before, dict) and isinstance(now, dict):
        return _rows(before, now)
    old, new = _value(entry), _value(entry_now)
    if old != new:
        return f"{old} -> {new}"
    return f"stays {new}" if same(before, now) else f"{old} -> {new}, by less than is printed"


def _value(entry: Mapping[str, Any]) -> str:
    value = entry["value"]
    if value is None:
        return "none"
    if isinstance(value, dict):
        return f"a table of {len(value['rows'])} rows"
    unit = "" if entry["unit"] == "1" else f" {entry['unit']}"
    if entry.get("low") is None:
        return f"{value:.6g}{unit}"
    return f"{value:.6g}{unit} ({entry['low']:.3g} to {entry['high']:.3g})"


def _rows(before: Mapping[str, Any], now: Mapping[str, Any]) -> str:
    """Say in short how a table moved: how many rows, and the first cell that did."""
    if before["columns"] != now["columns"]:
        return "a table with other columns"
    old, new = before["rows"], now["rows"]
    count = f"{len(new)} rows" if len(old) == len(new) else f"{len(old)} -> {len(new)} rows"
    differ = [at for at, pair in enumerate(zip(old, new, strict=False)) if not same(*pair)]
    if not differ:
        return f"a table, {count}" + (", the shared ones as they were" if len(old) != len(new) else "")
    first = differ[0]
    at = next(n for n, pair in enumerate(zip(old[first], new[first], strict=True)) if not same(*pair))
    column = now["columns"][at]
    unit = "" if column["unit"] in ("", "1", "text") else f" {column['unit']}"
    cell = f"{column['key']} {_cell(old[first][at])} -> {_cell(new[first][at])}{unit}"
    return f"a table, {count}, {len(differ)} moved, first row {first + 1}: {cell}"


def _cell(value: Any) -> str:
    return "none" if value is None else f"{value:.6g}" if isinstance(value, int | float) else str(value)


def _by(one: Moved) -> str:
    """Name the inputs that moved, the first three with their values, in SI."""
    named = []
    for name, (before, now) in list(one.inputs.items())[:3]:
        unit = (now or before or {}).get("unit", "1")
        sign = "" if unit == "1" else f" {unit}"
        pair = f"{_cell((before or {}).get('value'))} -> {_cell((now or {}).get('value'))}{sign}"
        named.append(f"{name} {pair}")
    more = len(one.inputs) - len(named)
    return (": " + ", ".join(named) + (f" and {more} more" if more else "")) if named else ""
