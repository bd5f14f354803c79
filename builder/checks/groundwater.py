"""What is known of the groundwater: seen, known to stay below a hole's bottom, or not known."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from builder.calc import levels as level_calc
from builder.calc import standpipe as calc
from builder.catalogue.rows import Ground
from builder.checks.say import day, duration, mm
from builder.checks.sheet import Sheet
from builder.job import NotSeen
from builder.levels import Levels
from builder.quantity import Verdict

LONG_WATCH = 7 * 86400.0  # s: a watch this long is enough to say no water stands in the hole (design)


@dataclass(frozen=True)
class Groundwater:
    """What the numbers rest on.

    state   seen (level is where), below (known to stay below `used`), unknown (level is None)
    used    the depth below the rim that the numbers are worked with
    """

    state: Literal["seen", "below", "unknown"]
    level: float | None
    used: float
    verdict: Verdict
    said: str


def work(sheet: Sheet, levels: Levels) -> Groundwater:
    """Write `ground.lag_90` and `level.groundwater`, and return what is known."""
    soil = tightest(levels, levels.underside_deep, _hole_bottom(levels))
    needed = calc.hole_lag(diameter=calc.HOLE_DIAMETER, wet=calc.HOLE_WET_LENGTH, k=soil.k.typical)
    lag = sheet.work(
        "ground.lag_90",
        "how long an open hole takes to show the groundwater",
        calc.hole_lag,
        side="up",
        audience="step",
        note=f"in {soil.name.lower()} an open hole shows nine tenths of the water after {duration(needed)}",
        diameter=calc.HOLE_DIAMETER,
        wet=calc.HOLE_WET_LENGTH,
        k=soil.k.typical,
    ).si
    known = _judge(levels, lag)
    words = "groundwater below the rim"
    reading = levels.built.reading
    if reading is not None:
        sheet.work(
            "level.groundwater",
            words,
            level_calc.groundwater_dipped,
            side="down",
            audience="step",
            note=known.said,
            mark=reading.mark,
            dip=reading.dip,
        )
    elif known.state == "seen":
        water = levels.job.spec.ground.groundwater
        depth = None if isinstance(water, NotSeen) else water.depth
        sheet.work(
            "level.groundwater",
            words,
            level_calc.groundwater,
            side="down",
            audience="step",
            note=known.said,
            rim_above_ground=levels.ground,
            groundwater_below_ground=depth,
        )
    else:
        sheet.method(
            "level.groundwater",
            words,
            None,
            unit="m",
            symbol="z_gw",
            how="no water was seen; the hole's depth and the time it was watched decide what that means",
            source="design-levels",
            inputs={
                "not_seen_to": (levels.not_seen_to, "m"),
                "watched_for": (_watched(levels), "s"),
                "lag_90": (lag, "s"),
            },
            side="down",
            audience="step",
            verdict=known.verdict,
            reason=known.said,
        )
    return known


def tightest(levels: Levels, upper: float, lower: float) -> Ground:
    """Return the tightest ground between two depths below the rim, by its typical permeability."""
    return min(touching(levels, upper, lower), key=lambda soil: soil.k.typical)


def touching(levels: Levels, upper: float, lower: float) -> list[Ground]:
    """Return the grounds between two depths below the rim, from the top down, each once."""
    found: list[Ground] = []
    for layer in levels.job.layers:
        top, bottom = layer.top + levels.ground, layer.bottom + levels.ground
        if top < max(lower, upper + 1e-9) and bottom > upper and layer.soil not in found:
            found.append(layer.soil)
    return found


def _hole_bottom(levels: Levels) -> float:
    bottom = levels.not_seen_to if levels.not_seen_to is not None else levels.groundwater
    return levels.underside_deep if bottom is None else max(bottom, levels.underside_deep)


def _watched(levels: Levels) -> float | None:
    water = levels.job.spec.ground.groundwater
    return water.watched_for if isinstance(water, NotSeen) else None


def _judge(levels: Levels, lag: float) -> Groundwater:
    water = levels.job.spec.ground.groundwater
    if levels.groundwater is not None:
        said = f"water was seen {mm(levels.groundwater, 'down')} below the rim"
        if levels.built.reading is not None:
            said = f"{said} on {day(levels.built.reading.on)}, by a dip"
        return Groundwater("seen", levels.groundwater, levels.groundwater, "ok", said)
    if not isinstance(water, NotSeen) or levels.not_seen_to is None:
        raise TypeError("groundwater is either seen or not seen")
    planned = "this guide plans for water at ground level"
    if levels.not_seen_to < levels.bedding_base:
        short = mm(levels.bedding_base - levels.not_seen_to, "up")
        said = f"no water was seen, but the hole ended {short} above the bottom of the bedding; {planned}"
        return Groundwater("unknown", None, levels.ground, "cannot tell", said)
    if water.watched_for < min(lag, LONG_WATCH):
        need = duration(min(lag, LONG_WATCH))
        watched = (
            "was not watched"
            if water.watched_for == 0
            else f"was watched for {duration(water.watched_for, 'down')}"
        )
        said = f"no water was seen, but the hole {watched} and this ground needs {need}; {planned}"
        return Groundwater("unknown", None, levels.ground, "cannot tell", said)
    said = f"no water was seen down to {mm(levels.not_seen_to, 'down')} below the rim"
    if lag > LONG_WATCH:
        said += "; this ground gives no water in a week, so rain is what fills the dig"
        return Groundwater("below", None, levels.not_seen_to, "watch", said)
    return Groundwater("below", None, levels.not_seen_to, "ok", said)
