"""What the four boxes of a job's page are answered from: limits in whole millimetres, and sentences.

Each limit is on its safe side, and counts as far as what is printed of it.
"""

from __future__ import annotations

import math
from collections.abc import Collection, Mapping
from typing import Any

from builder.catalogue.practice import practices
from builder.checks import most_pumped
from builder.desk.sayings import MEANS, ORDER, SAY, SHAPES, SUCH_RAIN, WORDS
from builder.pages.lookup import at_least, at_most, look_up_table
from builder.pages.words import Words
from builder.quantity import Number
from builder.say import INCH, MINUTE, clock

NEAR = 0.0005  # metres: a tape cannot tell two marks as near as this apart
RAINS = (*range(1, 11), 12, *range(15, 51, 5), *range(60, 101, 10), 125, 150, 200, 250, 300)  # mm
EIGHTHS = (*range(1, 9), *range(10, 17, 2), 20, 24, 28, 32, 40, 48, 64, 80, 96)  # of an inch, up to a foot


def table(
    numbers: Mapping[str, Number], words: Words, accepted: Collection[str] = frozenset()
) -> dict[str, Any]:
    """Return a job's four boxes as the page holds them; accepted: the keys of stops somebody answers for."""
    top = numbers["level.tube_top"].si
    one_mark = abs(top) < NEAR
    dips = look_up_table(numbers, words, one_mark)
    zeros = {"mark": 0.0} if one_mark else {"mark": 0.0, "top": top}
    lead = practices()["lead-most"].value
    lines = {"mark": ("watch_dip_build", "act_dip_build"), "top": ("watch_dip", "act_dip")}
    return {
        "dip": dips,
        "no_dip": words.sentence(numbers["uplift.lowest_water"].reason),
        "units": ["in", "mm"] if words.feet else ["mm", "m"],
        "marks": {
            mark: {
                "foot": round((numbers["level.tube_foot"].si - zero) * 1000),
                "foot_words": words.length(numbers["level.tube_foot"].si - zero, "nearest", 0.001),
                "ground": at_least(numbers["level.ground"].si - zero, words),
                "watch": _line(numbers[f"uplift.{lines[mark][0]}"], words),
                "act": _line(numbers[f"uplift.{lines[mark][1]}"], words),
            }
            for mark, zero in zeros.items()
        },
        "lifts": [] if _blocked(numbers, accepted) else _lifts(numbers, words, zeros, lead),
        "no_lifts": words.sentence(_sentence(numbers["fill.stages"].reason)),
        "rain": _rain(numbers, words),
        "order": list(ORDER),
        "shapes": SHAPES,
        "words": WORDS,
        "means": MEANS,
        "say": SAY,
        "with": {
            "lead": words.habit(lead, "down"),
            "again": clock(practices()["act-again"].value, "down"),
            "pump": _pump(numbers, words),
        },
        "such_rain": SUCH_RAIN,
    }


def _blocked(numbers: Mapping[str, Number], accepted: Collection[str]) -> bool:
    """Whether no lift may be placed: the guide's own rule, a stop of the plan that nobody answers for."""
    stopped = numbers["fill.stages"].verdict == "stop"
    return stopped and not {"fill.stages", "fill.start_dip_build"} & set(accepted)


def _lifts(
    numbers: Mapping[str, Number], words: Words, zeros: Mapping[str, float], lead: float
) -> list[dict[str, Any]]:
    """Return every lift as the boxes need it, from the first to the last water."""
    stages = numbers["fill.stages"]
    if stages.value is None:
        return []
    start = numbers["fill.start_dip_build"]
    filled = numbers["level.underside_deep"].si
    records = stages.table.records()
    found = []
    for at, row in enumerate(records, 1):
        last = at == len(records)
        if last and not _size(row["litres"]):
            break
        before, after, fill = (_size(row[key]) for key in ("water_before", "water_after", "backfill_top"))
        pumped = start.verdict != "ok" and row["sf"] is None
        leave = row["leave_by_minutes"]
        most = filled - lead
        act = "water-late" if leave is None else "water"
        if last or not _size(row["litres"]):
            act = "last" if last else "still"
        found.append(
            {
                "name": "the last water" if last else f"lift {at}",
                "title": "The last water" if last else f"Lift {at}",
                "act": act,
                "before": words.depth(before, side="down"),
                "before_mm": at_most(before, words),
                "after": words.depth(after),
                "fill": words.depth(fill),
                "most": words.depth(most, side="up"),
                "most_mm": at_least(most, words),
                "night": {"yes": "ok", "no": "stop"}.get(str(row["safe_stop"]), "cannot tell"),
                "leave": "" if leave is None else clock(_size(leave) * MINUTE, "down"),
                "stops": {
                    mark: _dip_line(_size(row["dip_stop_build"]) - zero, words)
                    for mark, zero in zeros.items()
                },
                "hold": {
                    mark: _dip_line(start.si - zero, words) if pumped else {"mm": None, "words": ""}
                    for mark, zero in zeros.items()
                },
            }
        )
        filled = fill
    return found


def _rain(numbers: Mapping[str, Number], words: Words) -> dict[str, Any]:
    """Return how far rain lifts the water, row by row, and how much reaches the watch line."""
    each, watch = numbers["rain.rise_per_mm"], numbers["rain.to_watch"]
    rows = []
    if each.value is not None:
        deepest = numbers["level.underside_deep"].si - numbers["level.ground"].si
        told = [eighth * INCH / 8 for eighth in EIGHTHS] if words.feet else [most / 1000 for most in RAINS]
        for rain in told:
            most = math.ceil(rain * 1000 - 1e-6)
            rise = each.si * most / 1000
            rows.append(
                {
                    "most": most,
                    "rain": words.length(rain, "nearest", 0.001),
                    "rise": words.length(rise, "up"),
                    "rise_mm": at_least(rise, words),
                    "fills": rise >= deepest,
                }
            )
            if rise >= deepest:
                break
    return {
        "rows": rows,
        "none": words.sentence(_sentence(each.reason)),
        "to_watch": None if watch.value is None else math.floor(watch.si * 1000),
        "to_watch_words": words.sentence(_sentence(watch.reason)),
    }


def _pump(numbers: Mapping[str, Number], words: Words) -> str:
    """Return what to do with the pump: gently so much, or nothing where no flow is safe."""
    most = most_pumped(numbers.__getitem__)
    if most.value is None:
        return SAY["pump-not"]
    return SAY["pump-flow"].format(flow=words.number(most, most.si))


def _line(number: Number, words: Words) -> dict[str, Any]:
    return {"mm": None, "words": "cannot tell"} if number.value is None else _dip_line(number.si, words)


def _dip_line(dip: float, words: Words) -> dict[str, Any]:
    return {"mm": at_least(dip, words), "words": words.length(dip, "up")}


def _size(value: object) -> float:
    if not isinstance(value, int | float):
        raise TypeError("a cell of a table that has to be a number is none")
    return float(value)


def _sentence(text: str) -> str:
    said = ". ".join(part[:1].upper() + part[1:] for part in text.strip().split("; "))
    return said if not said or said.endswith((".", "!", "?")) else f"{said}."
