"""The Uplift numbers: will the shell float, tip or lift its floor, and where the stop lines are."""

from __future__ import annotations

import math
from collections.abc import Callable

from builder.calc import uplift as calc
from builder.calc.constants import CONCRETE, FRESH
from builder.checks.groundwater import Groundwater
from builder.checks.say import mm
from builder.checks.sheet import Sheet
from builder.checks.shell import stations
from builder.levels import Levels
from builder.quantity import Number, Verdict

SF_IN_SERVICE, SF_ACT = 1.3, 1.1  # EM 1110-2-2100 Table 3-4, usual and extreme (numbers from memory)
WATCH_UNDER_POOL, ACT_UNDER_POOL = 0.150, 0.050  # m (design)
NEAR_GROUND = 0.050  # m: overflow this near the ground is watch (design)
UNDER_SHELL = "water is under the shell"


def work(sheet: Sheet, levels: Levels, groundwater: Groundwater) -> float:
    """Write uplift.* and return the groundwater level at which the full shell reaches safety 1.0."""
    _empty(sheet, levels)
    _lines(sheet, levels)
    _today(sheet, levels, groundwater)
    _flooded(sheet, levels)
    return groundwater_at(levels, 1.0, levels.water)


def beam_mass(levels: Levels, groundwater: float) -> float:
    """Return the beam's weight in kg that counts in service: only if tied, buoyant under water."""
    if not levels.job.spec.ring_beam.tied:
        return 0.0
    return calc.beam_mass(
        concrete_density=CONCRETE,
        volume=levels.beam.volume,
        groundwater_density=levels.job.spec.water.density,
        volume_under_water=levels.beam.volume_below(groundwater),
    )


def groundwater_at(levels: Levels, safety: float, water_level: float, *, beam: bool = True) -> float:
    """Return the groundwater depth in m at which the shell, filled to `water_level`, has `safety`.

    beam: whether a tied beam counts; it does not until it is poured and cured.

    Levels above the rim are worked with the rim's area and come out negative.
    """
    inside = levels.solid.inside_profile.volume_below(water_level)
    outside = levels.solid.outside_profile

    def level(beam: float) -> float:
        displaced = calc.displaced_at(
            shell_mass=levels.solid.shell.mass,
            beam_mass=beam,
            pool_density=FRESH,
            water_inside=inside,
            safety=safety,
            groundwater_density=levels.job.spec.water.density,
        )
        return outside.depth_holding(displaced)

    if not (beam and levels.job.spec.ring_beam.tied):
        return level(0.0)
    # The drier the beam the more it weighs, so level(beam at z) - z falls through zero once.
    return _root(lambda z: level(beam_mass(levels, z)) - z, level(beam_mass(levels, math.inf)), level(0.0))


def _empty(sheet: Sheet, levels: Levels) -> None:
    solid, density = levels.solid, levels.job.spec.water.density
    shell, outside, deep = solid.shell, solid.outside_profile, levels.underside_deep
    given = stations(levels) | {"shell_mass": (shell.mass, "kg"), "groundwater_density": (density, "kg/m3")}
    float_at = outside.depth_holding(shell.mass / density)
    floats = sheet.method(
        "uplift.float_height",
        "groundwater over the lowest underside that floats the empty shell",
        deep - float_at,
        unit="m",
        symbol="h_float",
        how="root of groundwater_density times outside volume below the level = shell_mass",
        source="usace-em-2100",
        inputs=given,
        side="down",
    )
    feet, centre = solid.wall_feet, solid.weight_centre

    def moment(z: float, foot: float) -> float:
        """Kilogram metres that lift the far end about `foot`."""
        turning = calc.tipping_moment(
            groundwater_density=density,
            moment=outside.moment_below(z),
            foot=foot,
            displaced=outside.volume_below(z),
            shell_mass=shell.mass,
            weight_centre=centre,
        )
        return turning if foot == feet[0] else -turning

    tips = []
    for foot in feet:
        if moment(0.0, foot) > 0:
            tips.append(deep - _root(lambda z, foot=foot: moment(z, foot), 0.0, deep))  # type: ignore[misc]
    tip = sheet.method(
        "uplift.tip_height",
        "groundwater over the lowest underside that lifts one end of the empty shell",
        min(tips) if tips else None,
        unit="m",
        symbol="h_tip",
        how="the smaller root, over both wall feet, of uplift's moment = weight's moment about the foot",
        source="archimedes",
        side="down",
        inputs=given
        | {"foot_left": (feet[0], "m"), "foot_right": (feet[1], "m"), "weight_centre": (centre, "m")},
        verdict="ok",
        reason="" if tips else "with water up to the rim neither end lifts",
    )
    panel = sheet.work(
        "uplift.panel_head",
        "water under the empty floor that balances the floor's own weight",
        calc.panel_head,
        side="down",
        floor_thickness=shell.floor_thickness,
        laminate_density=shell.laminate_density,
        groundwater_density=density,
    )
    limit = min(floats.si, tip.si if tips else math.inf, panel.si)
    part = (
        "lift the floor of"
        if limit == panel.si
        else "lift one end of"
        if tips and limit == tip.si
        else "float"
    )
    key, words = "uplift.empty_limit", "groundwater over the lowest underside that an empty shell can bear"
    note = (
        f"as little as {mm(limit, 'down', 0.01)} of water under the deepest floor can {part} an empty shell"
    )
    if tips:
        sheet.work(
            key,
            words,
            calc.empty_limit,
            side="down",
            audience="step",
            note=note,
            float_height=floats.si,
            tip_height=tip.si,
            panel_head=panel.si,
        )
    else:
        sheet.work(
            key,
            words,
            calc.empty_limit_level,
            side="down",
            audience="step",
            note=note,
            float_height=floats.si,
            panel_head=panel.si,
        )


def _lines(sheet: Sheet, levels: Levels) -> None:
    for name, words, safety, margin in (
        ("watch", "groundwater level from which to watch the pool", SF_IN_SERVICE, WATCH_UNDER_POOL),
        ("act", "groundwater level from which to act", SF_ACT, ACT_UNDER_POOL),
    ):
        at_safety = groundwater_at(levels, safety, levels.water)
        line = sheet.work(
            f"uplift.{name}_groundwater",
            words,
            calc.line_below_pool,
            side="up",
            audience="step",
            level_at_safety=at_safety,
            water_level=levels.water,
            margin=margin,
        ).si
        for key, mark, where in (
            (f"uplift.{name}_dip", levels.tube_top, "the trimmed tube's top"),
            (f"uplift.{name}_dip_build", 0.0, "the build mark"),
        ):
            dry = line > levels.tube_foot
            sheet.work(
                key,
                f"dip from {where} at which to {name}",
                calc.dip,
                side="up",
                audience="step",
                judge=lambda _, dry=dry: (
                    ("stop", "the tube is too short to show this line") if dry else ("ok", "")
                ),  # type: ignore[misc]
                groundwater=line,
                mark=mark,
            )


def _safety(
    sheet: Sheet,
    levels: Levels,
    key: str,
    words: str,
    *,
    groundwater: float,
    pool: float,
    judge: Callable[[float], tuple[Verdict, str]],
) -> Number:
    return sheet.work(
        key,
        words,
        calc.safety,
        side="down",
        judge=judge,
        shell_mass=levels.solid.shell.mass,
        beam_mass=beam_mass(levels, groundwater),
        pool_density=FRESH,
        water_inside=levels.solid.inside_profile.volume_below(pool),
        groundwater_density=levels.job.spec.water.density,
        displaced=levels.solid.outside_profile.volume_below(groundwater),
    )


def _today(sheet: Sheet, levels: Levels, groundwater: Groundwater) -> None:
    key, words = "uplift.safety_today", "safety against floating today, pool at its working level"
    if groundwater.used >= levels.underside_deep:
        sheet.without(key, words, calc.safety, reason=UNDER_SHELL, side="down")
        return
    watch, act = sheet["uplift.watch_groundwater"].si, sheet["uplift.act_groundwater"].si
    level = groundwater.used

    def judge(_: float) -> tuple[Verdict, str]:
        verdict: Verdict
        if level <= act:
            verdict, said = "stop", f"the groundwater stands {mm(act - level, 'up')} above the act line"
        elif level <= watch:
            verdict, said = (
                "watch",
                f"groundwater may rise another {mm(level - act, 'down')} before the act line",
            )
        else:
            verdict, said = (
                "ok",
                f"groundwater may rise another {mm(level - act, 'down')} before the act line",
            )
        if groundwater.state == "unknown":
            return "cannot tell", f"{groundwater.said}; with water there, {said}"
        return verdict, said

    _safety(sheet, levels, key, words, groundwater=level, pool=levels.water, judge=judge)


def _flooded(sheet: Sheet, levels: Levels) -> None:
    above = levels.ground - levels.overflow  # how far the overflow stands above the ground
    brim = calc.safety(
        shell_mass=levels.solid.shell.mass,
        beam_mass=beam_mass(levels, levels.ground),
        pool_density=FRESH,
        water_inside=levels.solid.inside_profile.volume_below(0.0),
        groundwater_density=levels.job.spec.water.density,
        displaced=levels.solid.outside_profile.volume_below(levels.ground),
    )

    def judge(_: float) -> tuple[Verdict, str]:
        if brim < 1.0:
            return "stop", "with the ground flooded even a brim-full pool floats"
        if above >= NEAR_GROUND - 1e-9:
            return (
                "ok",
                f"the overflow stands {mm(above, 'down')} above the ground: a full pool outweighs a flood",
            )
        if above >= -NEAR_GROUND - 1e-9:
            return (
                "watch",
                "the overflow stands level with the ground: in a flood keep the pool full and spilling",
            )
        return (
            "stop",
            f"the overflow stands {mm(-above, 'up')} below the ground: a flood would outweigh the full pool",
        )

    _safety(
        sheet,
        levels,
        "uplift.safety_flooded",
        "safety with the ground flooded and the pool full to its overflow",
        groundwater=levels.ground,
        pool=levels.overflow,
        judge=judge,
    )


def _root(function: Callable[[float], float], low: float, high: float) -> float:
    """Return where `function` changes sign between `low` and `high`, to a tenth of a micrometre."""
    sign = function(low) >= 0
    for _ in range(100):
        middle = (low + high) / 2
        if (function(middle) >= 0) == sign:
            low = middle
        else:
            high = middle
        if abs(high - low) < 1e-8:
            break
    return (low + high) / 2
