"""The rain numbers: how fast rain lifts the water beside the shell, and the gap by level that it fills."""

from __future__ import annotations

import math

from builder.calc import rain as calc
from builder.checks.groundwater import Groundwater
from builder.checks.readings import gap_window
from builder.checks.say import mm
from builder.checks.sheet import Sheet
from builder.checks.shell import stations
from builder.levels import Levels
from builder.quantity import Column, Table, Verdict

SOME = 0.3  # share of the runoff that finds its way in where surface water is kept off (design)
GAP_STEP = 0.1  # m between the rows of the gap's table
LEVEL = 1e-9  # m: levels nearer than this are one
HEAVY = 0.025  # m: a rain after which the tube is read; common practice, no source


def work(sheet: Sheet, levels: Levels, groundwater: Groundwater) -> None:
    """Write rain.* and gap.*. Needs uplift.watch_groundwater."""
    spec, backfill = levels.job.spec.ground, levels.job.backfill
    area = levels.dig.mean_gap_area(*gap_window(levels, groundwater))
    missing = f"the pores of {backfill.name.lower()} are not known"
    catchment = spec.catchment if spec.catchment is not None else 0.0
    for key, words, share in (
        ("rain.rise_per_mm", "rise of the gap's water for each mm of rain, all runoff getting in", 1.0),
        ("rain.rise_per_mm_30", "the same with three tenths of the runoff getting in", SOME),
    ):
        sheet.work(
            key,
            words,
            calc.rise_per_mm,
            side="up",
            audience="step",
            missing=missing,
            share=share,
            runoff=spec.runoff,
            catchment=catchment,
            gap_area=area,
            porosity=backfill.porosity,
        )
    sheet.work(
        "gap.litres_per_100mm",
        "water in the gap for each 100 mm of height",
        calc.litres_per_100mm,
        unit="L",
        side="down",
        audience="step",
        missing=missing,
        porosity=backfill.porosity,
        gap_area=area,
    )
    _overnight(sheet, levels, groundwater, catchment)
    _to_watch(sheet, levels, groundwater, catchment)
    _by_level(sheet, levels, groundwater)


def start_level(levels: Levels, groundwater: Groundwater) -> float:
    """Return the level rain fills up from: the dip, or the deepest underside of a dry or unknown dig.

    The ground where the dip stands above it: no gap is left to fill.
    """
    if groundwater.state != "seen":
        return levels.underside_deep
    return max(min(groundwater.used, levels.underside_deep), levels.ground)


def _given(levels: Levels, groundwater: Groundwater, catchment: float) -> dict[str, tuple[float | None, str]]:
    return {
        "porosity": (levels.job.backfill.porosity, "1"),
        "runoff": (levels.job.spec.ground.runoff, "1"),
        "catchment": (catchment, "m2"),
        "gap_area_at_ground": (levels.dig.gap_area(levels.ground), "m2"),
        "from_level": (start_level(levels, groundwater), "m"),
        "ground": (levels.ground, "m"),
    }


def _overnight(sheet: Sheet, levels: Levels, groundwater: Groundwater, catchment: float) -> None:
    spec, porosity = levels.job.spec.ground, levels.job.backfill.porosity
    start = start_level(levels, groundwater)
    value = None
    verdict: Verdict = "cannot tell"
    reason = f"the pores of {levels.job.backfill.name.lower()} are not known"
    if porosity is not None:
        water = spec.rain_overnight * (levels.dig.gap_area(levels.ground) + spec.runoff * catchment)
        value = start - level_after(levels, start, water / porosity)
        verdict = "ok"
        rain = mm(spec.rain_overnight)
        reason = f"{rain} of rain overnight can lift the water beside the shell by {mm(value, 'up')}"
        if start - value <= levels.ground + 1e-9:
            verdict, reason = (
                "watch",
                f"{mm(spec.rain_overnight)} of rain overnight can fill the gap to the ground",
            )
    sheet.method(
        "rain.forecast_rise",
        "how far a night's rain lifts the water beside the shell",
        value,
        unit="m",
        symbol="h_rain",
        how="rain_overnight*(gap_area_at_ground + runoff*catchment)/porosity of gap is filled, from "
        "from_level up to the level whose volume in gap.depth_volume is so much more, where it has a row; "
        "never above the ground",
        source="geometry",
        side="up",
        audience="step",
        verdict=verdict,
        reason=reason,
        inputs=_given(levels, groundwater, catchment) | {"rain_overnight": (spec.rain_overnight, "m")},
    )


def level_after(levels: Levels, start: float, gap: float) -> float:
    """Return the level reached from `start` after filling `gap` m3 of gap; the ground where that is less."""
    if levels.dig.gap_volume(levels.ground, start) <= gap:
        return levels.ground
    low, high = levels.ground, start
    while high - low > 1e-9:
        middle = (low + high) / 2
        if levels.dig.gap_volume(middle, start) > gap:
            low = middle
        else:
            high = middle
    return high


def _to_watch(sheet: Sheet, levels: Levels, groundwater: Groundwater, catchment: float) -> None:
    spec, porosity = levels.job.spec.ground, levels.job.backfill.porosity
    start, watch = start_level(levels, groundwater), sheet["uplift.watch_groundwater"].si
    value: float | None = None
    verdict: Verdict
    if porosity is None:
        verdict, reason = "cannot tell", f"the pores of {levels.job.backfill.name.lower()} are not known"
    elif watch >= start:
        value, verdict, reason = 0.0, "watch", "the water stands at the watch line already"
    elif watch < levels.ground:
        verdict, reason = "ok", "the watch line is above the ground: rain cannot lift the water to it"
    else:
        receiving = levels.dig.gap_area(levels.ground) + spec.runoff * catchment
        value = porosity * levels.dig.gap_volume(watch, start) / receiving
        verdict, reason = (
            "ok",
            f"{mm(value, 'down', 0.001)} of rain, all of it getting in, lifts the water to the watch line",
        )
        if groundwater.state == "unknown":
            verdict, reason = "cannot tell", f"{groundwater.said}; in a dry dig {reason}"
        elif value < HEAVY:
            verdict = "watch"
    sheet.method(
        "rain.to_watch",
        "rain that lifts the water beside the shell to the watch line",
        value,
        unit="m",
        symbol="P_w",
        how="porosity times the volume of gap.depth_volume at the watch line less that at from_level, where "
        "that table has rows, over gap_area_at_ground + runoff*catchment",
        source="geometry",
        side="down",
        audience="step",
        verdict=verdict,
        reason=reason,
        inputs=_given(levels, groundwater, catchment) | {"watch_line": (watch, "m")},
    )


def _by_level(sheet: Sheet, levels: Levels, groundwater: Groundwater) -> None:
    """Write the gap by level, with a row wherever rain.* reads it."""
    dig, start = levels.dig, start_level(levels, groundwater)
    marks = {levels.ground, start, levels.underside_deep, sheet["uplift.watch_groundwater"].si}
    rise = sheet.si("rain.forecast_rise")
    if rise is not None:
        marks.add(start - rise)
    first = math.ceil(levels.ground / GAP_STEP)
    marks |= {at * GAP_STEP for at in range(first, math.ceil(dig.deepest / GAP_STEP))}
    depths = sorted({round(z, 9) for z in marks if levels.ground - LEVEL <= z < dig.deepest - LEVEL})
    rows = tuple((z, dig.gap_area(z), dig.gap_volume(z, dig.deepest)) for z in depths)
    sheet.method(
        "gap.depth_volume",
        "gap between dig and shell by level, bedding with it",
        Table((Column("below_rim", "m"), Column("area", "m2"), Column("volume", "m3")), rows),
        unit="1",
        symbol="V_gap(z)",
        how="plan of the dig less plan of the shell; its integral from each level down to the dig's base",
        source="geometry",
        inputs=stations(levels)
        | {
            "ground": (levels.ground, "m"),
            "base_deep": (dig.deepest, "m"),
            "working_gap": (dig.gap, "m"),
            "bedding": (dig.bedding, "m"),
            "batter": (dig.batter, "rad"),
        },
    )
