"""The four boxes of a job's page: dip, pool, lift done, rain; answered from that job's own tables.

`answers` reads what `tables.table` wrote and the page holds as data. It knows no rule about water; the
page's script is its twin, shared/theme/desk/boxes.js, and a test holds the two together. The dip itself is
looked up as in the guide (builder/pages/lookup.py).
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from builder.desk.sayings import FILLING
from builder.pages.lookup import answer, millimetres

RAIN = re.compile(r"([0-9]{1,3})(?:[.,]([0-9]{1,2}))? ?(?:mm)?")
DRY = re.compile(r"dry( to( the)? foot)?")
MOST_RAIN = 1000  # mm: more has not been read in a day in most places; asked again


@dataclass(frozen=True)
class Part:
    """One part of an answer: its kind, what it means, and what to do."""

    kind: str
    means: str
    say: str


def answers(boxes: Mapping[str, Any], given: Mapping[str, str]) -> list[Part]:
    """Return what to say of what was typed, the worst first.

    given: mark, unit, dip, pool, rain as typed, and lift: how many lifts are done, `done` or empty.
    """
    mark, unit, say = given["mark"], given["unit"], boxes["say"]
    parts: list[Part] = []
    if mark not in boxes["marks"]:
        return [Part("refused", "", say["mark"])]
    if unit not in boxes["units"]:
        return [Part("refused", "", say["unit"])]
    if given["lift"] not in ("", "done") and _next(boxes, given) is None:
        if boxes["lifts"]:
            return [Part("refused", "", say["which"].format(**boxes["with"]))]
        return [Part("lift-none", boxes["no_lifts"], say["no-plan"])]
    down = _dip(boxes, given)
    if given["dip"].strip():
        parts += _reading(boxes, given, down)
    if given["lift"]:
        parts += _lift(boxes, given, down)
    elif parts:
        parts.append(Part("ask", "", say["which"].format(**boxes["with"])))
    if given["rain"].strip():
        parts.append(_rained(boxes, given, down))
    if not parts:
        return [Part("refused", "", say["nothing"])]
    return sorted(parts, key=lambda part: boxes["order"].index(part.kind))


def _dip(boxes: Mapping[str, Any], given: Mapping[str, str]) -> int | None:
    """Return the dip in whole millimetres, the foot for a dry tube; None where it is no reading."""
    foot: int = boxes["marks"][given["mark"]]["foot"]
    if DRY.fullmatch(given["dip"].strip().lower()):
        return foot
    down = millimetres(given["dip"], given["unit"], up=False)
    return None if down is None or down > foot else down


def _reading(boxes: Mapping[str, Any], given: Mapping[str, str], down: int | None) -> list[Part]:
    """Say what the dip means with the pool level."""
    say, dips = boxes["say"], boxes["dip"]
    if dips is None:
        return [Part("cannot", "", boxes["no_dip"])]
    dry = DRY.fullmatch(given["dip"].strip().lower()) is not None
    unit, dip, pool = given["unit"], given["dip"], given["pool"]
    if down is None:
        return [Part("refused", "", answer(dips, given["mark"], unit, dip, "0").say)]
    level = "0"  # the pool at the rim: what holds only there depends on the level
    if pool.strip():
        found = millimetres(pool, unit, up=True)
        if found is None:
            return [Part("refused", "", dips["say"]["pool"][unit])]
        level = str(found)
    found_answer = answer(dips, given["mark"], "mm", str(down), level)
    kind, told = str(found_answer.kind), found_answer.say
    if kind == "refused":
        return [Part("refused", "", told)]
    means = boxes["means"]["dry" if dry else kind]
    if not pool.strip():
        if kind in ("stop", "above", "act"):
            told = f"{told} {say['sure']}"
        else:
            row = dips["rows"][found_answer.row]
            kind, told = "ask", say["pool"].format(lowest=row["words"])
            means = boxes["means"]["dry"] if dry else ""
    lift = _next(boxes, given)
    if lift is not None and kind in FILLING:
        told = _while_filling(boxes, kind, found_answer.row, lift)
    if dry:
        told += " " + say["dry"].format(foot=boxes["marks"][given["mark"]]["foot_words"])
    return [Part(kind, means, told)]


def _while_filling(boxes: Mapping[str, Any], kind: str, row: int | None, lift: Mapping[str, Any]) -> str:
    """Return what to do at a dip while the fill holds only so much water."""
    say, names = boxes["say"], {**lift, **boxes["with"]}
    if kind in ("holds", "watch"):
        return str(say["enough"])
    if kind == "raise" and row is not None:
        line = boxes["dip"]["rows"][row]
        told = boxes["dip"]["say"]["raise"] if line["lowest"] >= lift["most_mm"] else say["more"]
        return str(told.format(lowest=line["words"], **names))
    return str(say["most"].format(**names))


def _lift(boxes: Mapping[str, Any], given: Mapping[str, str], down: int | None) -> list[Part]:
    """Say what the next lift asks of dip and pool."""
    say, mark = boxes["say"], given["mark"]
    if given["lift"] == "done":
        lines = boxes["marks"][mark]
        said = {name: lines[name]["words"] for name in ("watch", "act")}
        return [Part("lines", "", say["done"].format(**said))]
    lift = _next(boxes, given)
    if lift is None:
        return []  # answered before
    names = {
        **lift,
        **boxes["with"],
        "stop": lift["stops"][mark]["words"],
        "hold": lift["hold"][mark]["words"],
    }
    names["act"] = say[lift["act"]].format(**names)
    parts = []
    if down is not None and lift["hold"][mark]["mm"] is not None and down < lift["hold"][mark]["mm"]:
        parts.append(Part("lift-pump", "", say["pump"].format(**names)))
    elif down is not None and down <= lift["stops"][mark]["mm"]:
        parts.append(Part("lift-stop", "", say["stop"].format(**names)))
    level = millimetres(given["pool"], given["unit"], up=True) if given["pool"].strip() else None
    if level is not None and level > lift["before_mm"]:
        parts.append(Part("lift-low", "", say["low"].format(**names)))
    if level is not None and level < lift["most_mm"]:
        parts.append(Part("lift-high", "", say["high"].format(**names)))
    means = say["next"].format(**names)
    if lift["hold"][mark]["mm"] is not None:
        means += " " + say["held"].format(**names)
    return [*parts, Part("lift", means, say["filling"].format(**names))]


def _rained(boxes: Mapping[str, Any], given: Mapping[str, str], down: int | None) -> Part:
    """Say what the rain since yesterday can do, all of it counted from the dip."""
    say, rain, unit = boxes["say"], boxes["rain"], "in" if given["unit"] == "in" else "mm"
    fell = rain_millimetres(given["rain"], unit)
    if fell is None:
        return Part("refused", "", say["not-rain"].format(such=boxes["such_rain"][unit]))
    if fell > MOST_RAIN:
        return Part("refused", "", say["again-rain"])
    if fell == 0:
        return Part("rain", "", say["none"])
    if not rain["rows"]:
        return Part("cannot", "", rain["none"])
    row = next((row for row in rain["rows"] if fell <= row["most"]), None)
    lift = _next(boxes, given)
    if row is None or row["fills"]:
        means = say["too-much"] if row is None else say["fills"].format(**row)
        full = "full" if lift is None else "filling-full"
        return Part("rain-act", means, say[full].format(**boxes["with"]))
    means = say["rise"].format(**row)
    if down is None:
        if rain["to_watch"] is not None and fell >= rain["to_watch"]:
            return Part("rain-watch", means, f"{rain['to_watch_words']} {say['no-dip']}")
        return Part("ask", means, say["no-dip"])
    lines = boxes["marks"][given["mark"]]
    reach = down - row["rise_mm"]
    if lift is not None:
        stopped = reach <= lift["stops"][given["mark"]]["mm"]
        told = say["to-stop"] if stopped else say["short-lift"]
        return Part("rain-act" if stopped else "rain", means, told.format(name=lift["name"], **boxes["with"]))
    if reach <= lines["ground"]:
        return Part("rain-act", means, say["to-ground"].format(**boxes["with"]))
    if lines["act"]["mm"] is not None and reach <= lines["act"]["mm"]:
        return Part("rain-act", means, say["to-act"].format(**boxes["with"]))
    if lines["watch"]["mm"] is None:
        return Part("cannot", means, say["no-line"])
    if reach <= lines["watch"]["mm"]:
        return Part("rain-watch", means, say["to-watch"])
    return Part("rain", means, say["short"])


def rain_millimetres(text: str, unit: str) -> int | None:
    """Return rain as whole millimetres, a part of one counted up; None where it is no reading."""
    if unit == "in":
        return millimetres(text, "in", up=True)
    found = RAIN.fullmatch(re.sub("[ \t\u00a0]+", " ", text).strip(" "))
    if found is None:
        return None
    return int(found[1]) + (1 if int(found[2] or "0") else 0)


def _next(boxes: Mapping[str, Any], given: Mapping[str, str]) -> Mapping[str, Any] | None:
    """Return the lift that comes next; None where all is filled, or none is known."""
    lifts: list[dict[str, Any]] = boxes["lifts"]
    done = given["lift"]
    if not re.fullmatch("[0-9]{1,3}", done) or int(done) >= len(lifts):
        return None
    return lifts[int(done)]
