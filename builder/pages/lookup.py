"""The look-up a reader makes with a dip and a pool level, in this job's own table.

`look_up_table` is what the page holds as data: limits in whole millimetres, each on its safe side, and
the sentences. `answer` reads it. It knows no rule about water; the script of the page is its twin,
shared/theme/scripts/dip.js, and a test holds the two together.
"""

from __future__ import annotations

import json
import math
import re
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Literal

from markupsafe import Markup

from builder.pages.lowest import metres
from builder.pages.typed import markup
from builder.pages.words import Words
from builder.quantity import Number
from builder.units import SafeSide, round_safe

Kind = Literal["holds", "watch", "raise", "act", "stop", "above", "refused"]
SIXTEENTHS = 16000  # parts of an inch: sixteenths and thousandths are both whole
STEP = 0.005  # metres: as the page says a level
SLACK = 1e-6  # of a millimetre: what a sum of floats may be off
PATTERNS = {
    "mm": re.compile(r"([0-9]{1,5}|[1-9][0-9]?,[0-9]{3}) ?(?:mm)?"),
    "m": re.compile(r"([0-9]{1,2})(?:[.,]([0-9]{1,3}))? ?m?"),
    "in": re.compile(
        r"(?:([0-9]{1,2}) ?(?:ft|'|′) ?)?(?:([0-9]{1,3})(?:[.,]([0-9]{1,3}))?)?"
        r"(?: ?([0-9]{1,2})/(2|4|8|16))? ?(?:in|\"|″)?"
    ),
}
SUCH_AS = {
    "mm": "whole millimetres, such as 1250",
    "m": "metres, such as 1.25",
    "in": "inches, such as 49 1/4 or 4 ft 1 1/4 in",
}
WORDS: Mapping[Kind, str] = {
    "holds": "It holds",
    "watch": "Watch",
    "raise": "Raise the water",
    "act": "Act",
    "stop": "Stop",
    "above": "Stop",
    "refused": "Not a reading",
}
SAY = {
    "holds": "The pool water may fall to {lowest}, and no lower.",
    "watch": "Keep the pool at its working level or higher. Dip every day until the water has fallen back.",
    "raise": "Raise the pool water to {lowest} or higher, now.",
    "act": "Keep everyone out, fill the pool to the overflow, and pump the tube gently.",
    "stop": "No level of this pool is sure at this dip. Keep everyone out, fill the pool to the overflow, "
    "keep it full, pump the tube, and call.",
    "above": "The water outside stands higher than this table goes. Keep everyone out, fill the pool to the "
    "overflow, keep it full, pump the tube, and call.",
    "used": "From the row with a dip of {dip}.",
    "mark": "Choose the mark you measured from.",
    "unit": "Choose the unit you measured in.",
    "foot": "The tube ends {foot} from this mark, so no dip is longer. If the stick came up dry at the foot, "
    "that is not a number: see “Dry to the foot”.",
    "floor": "The deepest floor is {floor}: no pool water stands lower. If the pool is empty, stop and call.",
}


@dataclass(frozen=True)
class Answer:
    """What to do at a reading. row: the row of the table it comes from; None where none was reached."""

    kind: Kind
    row: int | None
    say: str


def look_up_table(results: Mapping[str, Number], words: Words, one_mark: bool) -> dict[str, Any] | None:
    """Return the table of uplift.lowest_water as the page holds it; None where it has no value.

    one_mark: build mark and tube top stand level, so only `mark` is there. Rows go from the highest
    groundwater down. A dip that a row asks for is rounded up, a level the pool may fall to is as the
    page prints it, rounded towards more water.
    """
    number = results["uplift.lowest_water"]
    if number.value is None:
        return None
    foot, floor = results["level.tube_foot"].si, results["level.floor_deep"].si
    zeros = {"mark": 0.0} if one_mark else {"mark": 0.0, "top": results["level.tube_top"].si}
    lines = {"mark": ("watch_dip_build", "act_dip_build"), "top": ("watch_dip", "act_dip")}
    rows = []
    for record in sorted(number.table.records(), key=lambda row: metres(row["groundwater"])):
        row: dict[str, Any] = {"lowest": None, "words": ""}
        if record["lowest"] is not None:
            level = metres(record["lowest"])
            row |= {
                "lowest": _millimetres(level, "down", STEP),
                "words": words.depth(level, "the rim", "down"),
            }
        for mark, zero in zeros.items():
            dip = metres(record["groundwater"]) - zero
            row[mark] = math.ceil(dip * 1000 - SLACK)
            size = words.length(abs(dip), "nearest", 0.001)
            row[f"{mark}_words"] = size if dip >= 0 else f"{size} above the mark"
        rows.append(row)
    return {
        "units": ["in", "mm"] if words.feet else ["mm", "m"],
        "marks": {
            mark: {
                "foot": round((foot - zero) * 1000),
                "foot_words": words.length(foot - zero, "nearest", 0.001),
                "watch": _line(results, lines[mark][0], words),
                "act": _line(results, lines[mark][1], words),
            }
            for mark, zero in zeros.items()
        },
        "floor": round(floor * 1000),
        "floor_words": words.depth(floor),
        "rows": rows,
        "words": dict(WORDS),
        "say": SAY
        | {
            "dip": {unit: f"The dip is not a reading: write {such}." for unit, such in SUCH_AS.items()},
            "pool": {
                unit: f"The pool level is not a reading: write how far it stands below the rim, in {such}."
                for unit, such in SUCH_AS.items()
            },
        },
    }


def as_data(table: Mapping[str, Any]) -> Markup:
    """Return the table as JSON that can stand in a page: no sign of HTML is left in it."""
    text = json.dumps(table, ensure_ascii=False, separators=(",", ":"))
    for sign in "<>&":
        text = text.replace(sign, f"\\u{ord(sign):04x}")
    return markup(text)


def answer(table: Mapping[str, Any], mark: str, unit: str, dip: str, pool: str) -> Answer:
    """Return what to do at a dip from `mark` and a pool level below the rim, both as typed, in `unit`.

    Between two rows the one with the smaller dip counts: higher groundwater. A part of a millimetre
    counts as more groundwater and less pool water.
    """
    say = table["say"]
    zero = table["marks"].get(mark)
    if zero is None:
        return Answer("refused", None, say["mark"])
    if unit not in table["units"]:
        return Answer("refused", None, say["unit"])
    down = millimetres(dip, unit, up=False)
    if down is None:
        return Answer("refused", None, say["dip"][unit])
    if down > zero["foot"]:
        return Answer("refused", None, say["foot"].format(foot=zero["foot_words"]))
    level = millimetres(pool, unit, up=True)
    if level is None:
        return Answer("refused", None, say["pool"][unit])
    if level > table["floor"]:
        return Answer("refused", None, say["floor"].format(floor=table["floor_words"]))
    row = -1
    while row + 1 < len(table["rows"]) and table["rows"][row + 1][mark] <= down:
        row += 1
    if row < 0:
        return Answer("above", None, say["above"])
    line = table["rows"][row]
    kind: Kind
    if line["lowest"] is None:
        kind = "stop"
    elif zero["act"] is not None and down <= zero["act"]:
        kind = "act"
    elif level > line["lowest"]:
        kind = "raise"
    elif zero["watch"] is not None and down <= zero["watch"]:
        kind = "watch"
    else:
        kind = "holds"
    return Answer(kind, row, say[kind].format(lowest=line["words"]))


def millimetres(text: str, unit: str, *, up: bool) -> int | None:
    """Return what was typed as whole millimetres, a part of one counted up or down; None: not a length."""
    typed = re.sub("[ \t\u00a0]+", " ", text).strip(" ")
    found = PATTERNS[unit].fullmatch(typed)
    if not found:
        return None
    if unit == "mm":
        return int(found[1].replace(",", ""))
    if unit == "m":
        return int(found[1]) * 1000 + int((found[2] or "").ljust(3, "0"))
    feet, whole, decimals, over, under = found.groups()
    if feet is whole is over is None or (decimals is not None and over is not None):
        return None
    if over is not None:
        run_together = whole is not None and not re.search("[0-9] [0-9]+/", typed)
        if int(over) >= int(under) or run_together:
            return None
    if feet is not None and int(whole or 0) >= 12:
        return None
    parts = (int(feet or 0) * 12 + int(whole or 0)) * SIXTEENTHS + int((decimals or "").ljust(3, "0")) * 16
    parts += 0 if over is None else int(over) * SIXTEENTHS // int(under)
    size = parts * 254
    return -(-size // (SIXTEENTHS * 10)) if up else size // (SIXTEENTHS * 10)


def at_least(value: float, words: Words) -> int:
    """Return metres as the whole millimetres that count as far as what is printed of them, rounded up.

    Where a length is told in feet, its eighths of an inch may be more than its millimetres.
    """
    size = max(round_safe(value, STEP, "up"), words.taped(value, "up"))
    return math.ceil(size * 1000 - SLACK)


def at_most(value: float, words: Words) -> int:
    """Return the same rounded down."""
    size = min(round_safe(value, STEP, "down"), words.taped(value, "down"))
    return math.floor(size * 1000 + SLACK)


def _line(results: Mapping[str, Number], name: str, words: Words) -> int | None:
    number = results[f"uplift.{name}"]
    return None if number.value is None else at_least(number.si, words)


def _millimetres(value: float, side: SafeSide, step: float) -> int:
    return round(round_safe(value, step, side) * 1000)
