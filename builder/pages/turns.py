"""The tables a step page works from, row by row in words: lifts, stations of the base, neighbours.

The rows are those of `fill.stages`, `dig.stations` and `dig.influence`; nothing is worked out here but
distances from peg A and the water that is in the shell before the first lift.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from markupsafe import Markup

from builder.checks import Results
from builder.checks.groundwater import LONG_WATCH
from builder.pages.shown import bold, bold_depth
from builder.pages.typed import markup, typed
from builder.pages.words import Words, upper_first
from builder.quantity import Verdict
from builder.say import DAY, clock

BROKEN = "at lift "  # how the reason of fill.stages starts where no schedule holds
LITRE, MINUTE = 1e-3, 60.0
WHOLE, NEAR = 1e-6, 0.1  # metres


@dataclass(frozen=True)
class Lift:
    """One turn of water and fill in words; the last one is water alone.

    pumped: the groundwater must still be held under the bedding while this turn is done.
    leave_by: how long the tap may run before this lift's fill is in, at most; empty for the last. Both
    times are rounded down, so that rounding never puts the tap's time past the limit.
    """

    number: int
    last: bool  # water to the working level, no fill
    runs: bool  # whether water is run in at all
    pumped: bool
    water_from: Markup  # below the rim
    water: Markup  # below the rim
    fill: Markup  # below the rim
    litres: Markup
    minutes: Markup
    stop_dip: Markup  # from the build mark
    leave_by: Markup
    safe_stop: str  # yes, no or cannot tell


@dataclass(frozen=True)
class Station:
    """A place along the base: how far from the line A D, how deep, and where the dig's top edge stands."""

    along: Markup
    below_peg: Markup
    below_ground: Markup
    beside_ab: Markup  # the top edge, outside the line A B
    beside_dc: Markup  # the same, outside D C


@dataclass(frozen=True)
class Neighbour:
    """Something near the dig, how far away, how deep, and whether the dig could take its ground away."""

    what: Markup
    away: Markup
    depth: Markup
    verdict: Verdict


@dataclass(frozen=True)
class FirstWater:
    """The water run in before the first lift."""

    level: Markup  # below the rim
    deep: Markup  # over the deepest floor
    litres: Markup
    minutes: Markup


def tools(results: Results, words: Words) -> Mapping[str, Any]:
    """Return what a step page may ask for besides single numbers, by name."""
    return {
        "lifts": lambda: lifts(results, words),
        "first_water": lambda: first_water(results, words),
        "stations": lambda: stations(results, words),
        "neighbours": lambda: neighbours(results, words),
        "top_ends": lambda: top_ends(results, words),
        "base_sides": lambda: base_sides(results, words),
        "batter": lambda: batter(results, words),
        "pumped_until": lambda: pumped_until(results, words),
        "ground_shows": lambda: ground_shows(results),
        "blocked": lambda key: blocked(results, key),
        "answers": lambda key: answers(results, key),
    }


def ground_shows(results: Results) -> str:
    """Return how fast an open hole shows the groundwater: at once (in a day), in days, or slowly."""
    lag = results["ground.lag_90"].si
    return "at once" if lag < DAY else "slowly" if lag > LONG_WATCH else "in days"


def blocked(results: Results, key: str) -> bool:
    """Whether a number says stop and nobody answers for it."""
    return results[key].verdict == "stop" and results.accepted(key) is None


def answers(results: Results, key: str) -> Markup:
    """Return who answers for a stop, and how; empty where there is no stop or nobody does."""
    accepted = results.accepted(key) if results[key].verdict == "stop" else None
    if accepted is None:
        return Markup("")
    said = upper_first(accepted.reason.strip().rstrip("."))
    return Markup("{}: {}.").format(typed(upper_first(accepted.by)), typed(said))


def lifts(results: Results, words: Words) -> tuple[Lift, ...]:
    """Return every turn from the first lift to the last water; empty where no schedule holds."""
    records = _stages(results)
    held = results.groundwater.used < results.levels.bedding_base
    found = []
    for at, row in enumerate(records, 1):
        litres, before, after = (_size(row[key]) for key in ("litres", "water_before", "water_after"))
        leave = row["leave_by_minutes"]
        found.append(
            Lift(
                number=at,
                last=at == len(records),
                runs=litres > 0,
                pumped=held and row["sf"] is None,
                water_from=bold_depth(words.depth(before)),
                water=bold_depth(words.depth(after)),
                fill=bold_depth(words.depth(_size(row["backfill_top"]))),
                litres=markup(bold(words.quantity(litres * LITRE, "m3", "nearest"))),
                minutes=markup(bold(clock(_size(row["tap_minutes"]) * MINUTE, "down"))),
                stop_dip=markup(bold(words.length(_size(row["dip_stop_build"]), "up"))),
                leave_by=Markup("") if leave is None else markup(bold(clock(_size(leave) * MINUTE, "down"))),
                safe_stop=str(row["safe_stop"]),
            )
        )
    return tuple(found)


def first_water(results: Results, words: Words) -> FirstWater | None:
    """Return the water before the first lift; None where no schedule holds."""
    records = _stages(results)
    if not records:
        return None
    first, levels = records[0], results.levels
    level = _size(first["water_before"])
    volume = (_size(first["cumulative_litres"]) - _size(first["litres"])) * LITRE
    return FirstWater(
        level=bold_depth(words.depth(level)),
        deep=markup(bold(words.length(levels.floor_deep - level))),
        litres=markup(bold(words.quantity(volume, "m3", "nearest"))),
        minutes=markup(bold(clock(volume / levels.job.spec.water.flow, "up"))),
    )


def pumped_until(results: Results, words: Words) -> str:
    """Return when pumping may end: never, last (after the last lift), or a lift's number."""
    rows = lifts(results, words)
    if not any(row.pumped for row in rows):
        return "never"
    free = [row.number for row in rows if not row.pumped and not row.last]
    return str(free[0]) if free else "last"


def stations(results: Results, words: Words) -> tuple[Station, ...]:
    """Return the stations of the base from the line A D on, without a whole metre beside a break."""
    dig = results.levels.dig
    left, near, _, far = dig.base.bounds
    records = list(results["dig.stations"].table.records())
    places = [_size(row["x"]) for row in records]
    found = []
    for place, row in zip(places, records, strict=True):
        if _beside_a_break(place, places):
            continue
        first, last = dig.top_edge(place)
        found.append(
            Station(
                along=markup(bold(words.length(place - left))),
                below_peg=markup(bold(words.length(_size(row["below_peg"])))),
                below_ground=markup(bold(words.length(_size(row["below_ground"])))),
                beside_ab=markup(bold(words.length(near - first, "up"))),
                beside_dc=markup(bold(words.length(last - far, "up"))),
            )
        )
    return tuple(found)


def neighbours(results: Results, words: Words) -> tuple[Neighbour, ...]:
    """Return what stands near the dig; empty where the job names nothing."""
    number = results["dig.influence"]
    if number.value is None:
        return ()
    return tuple(
        Neighbour(
            what=typed(str(row["what"])),
            away=markup(bold(words.exact(_size(row["away"])))),
            depth=markup(bold(words.exact(_size(row["depth"])))),
            verdict=_verdict(row["verdict"]),
        )
        for row in number.table.records()
    )


def base_sides(results: Results, words: Words) -> tuple[Markup, Markup]:
    """Return the sides A B and A D of the rectangle pegged round the base."""
    left, near, right, far = results.levels.dig.base.bounds
    return markup(bold(words.length(right - left))), markup(bold(words.length(far - near)))


def top_ends(results: Results, words: Words) -> tuple[Markup, Markup]:
    """Return how far the dig's top edge goes out past the lines A D and B C, at most."""
    dig = results.levels.dig
    (left, _, right, _), (first, _, last, _) = dig.base.bounds, dig.top.bounds
    return markup(bold(words.length(left - first, "up"))), markup(bold(words.length(last - right, "up")))


def batter(results: Results, words: Words) -> Markup | None:
    """Return the slope of the banks from the level; None where they are shored upright."""
    angle = results.job.spec.excavation.batter
    return None if angle is None else markup(bold(words.quantity(angle, "rad", "down")))


def _beside_a_break(place: float, places: list[float]) -> bool:
    """Whether a whole metre stands so near a break of the floor that one mark does for both."""

    def whole(x: float) -> bool:
        return abs(x - round(x)) < WHOLE

    return whole(place) and any(not whole(x) and abs(x - place) < NEAR for x in places)


def _stages(results: Results) -> list[Mapping[str, float | str | None]]:
    """Return the rows of fill.stages; none where the schedule broke a rule."""
    number = results["fill.stages"]
    if number.value is None or (number.verdict == "stop" and number.reason.startswith(BROKEN)):
        return []
    return list(number.table.records())


def _size(cell: float | str | None) -> float:
    if not isinstance(cell, int | float):
        raise ValueError("a size in a table of the dig or the fill is not a number")
    return float(cell)


def _verdict(cell: float | str | None) -> Verdict:
    for known in ("ok", "watch", "stop", "cannot tell"):
        if cell == known:
            return known
    raise ValueError(f"a table holds a verdict {cell!r} that is none")
