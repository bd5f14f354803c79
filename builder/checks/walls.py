"""The Walls numbers: every case at its worst stage, against the maker's limit or as water depth."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from builder.calc import walls as calc
from builder.calc.constants import FRESH
from builder.checks import fill, pressures
from builder.checks.fill import Schedule, Stage
from builder.checks.say import mm
from builder.checks.sheet import Sheet
from builder.levels import Levels
from builder.quantity import Column, Table, Verdict, worst

Push = Callable[[Levels, Stage], float | None]
CASES: tuple[tuple[str, str, Push | None, Push], ...] = (
    ("placed", "the wall as the fill is placed", pressures.outward, pressures.placed),
    ("flooded", "the wall with the fill flooded to its top", pressures.outward, pressures.flooded),
    ("fluid", "the wall beside cement-bound fill before it sets", None, pressures.fluid),
    (
        "ahead",
        "the wall with one side a lift ahead",
        pressures.ahead_outward,
        pressures.ahead_inward,
    ),
)
# Who pushes the wall out, and who pushes it in.
PUSHERS = {
    "placed": ("the pool", "the fill"),
    "flooded": ("the pool", "the flooded fill"),
    "fluid": ("the pool", "the wet fill"),
    "ahead": ("beside a side left a lift lower the pool", "on a side a lift higher the fill"),
}
NO_LIMIT = "the maker gives no limit for this wall"


def work(sheet: Sheet, levels: Levels, schedule: Schedule) -> None:
    """Write wall.* from the stages of the schedule."""
    for name, words, out, into in CASES:
        _case(sheet, levels, name, words, schedule, out, into)
    _beam(sheet, levels)
    _support(sheet, levels, schedule.stages)


def _case(
    sheet: Sheet, levels: Levels, name: str, words: str, schedule: Schedule, out: Push | None, into: Push
) -> None:
    limit = levels.solid.shell.wall_limit
    outward, inward = _worst(levels, schedule.rows, out), _worst(levels, schedule.rows, into)
    if inward is None:
        sheet.method(
            f"wall.{name}",
            words,
            None,
            unit="Pa",
            symbol="p",
            how="does not apply",
            source="design-levels",
            inputs={},
            side="up",
            reason="this backfill is never liquid",
        )
        return
    said: list[tuple[Verdict, str]] = []
    for way, pair, most in (
        ("out", outward, limit.outward if limit else None),
        ("in", inward, limit.inward if limit else None),
    ):
        if pair is None:
            continue
        said.append(_judged(name, way, pair[0], fill.name_of(schedule, pair[1]), most))
    verdict = worst(*(found for found, _ in said))
    sentences = [text for found, text in said if found == verdict]
    if verdict == "cannot tell":
        sentences.append(NO_LIMIT)
    row = (
        outward[0] if outward else None,
        inward[0],
        float(outward[1]) if outward else None,
        float(inward[1]),
    )
    columns = (
        Column("outward", "Pa"),
        Column("inward", "Pa"),
        Column("outward_stage", "1"),
        Column("inward_stage", "1"),
    )
    backfill = levels.job.backfill
    sheet.method(
        f"wall.{name}",
        words,
        Table(columns, (row,)),
        unit="Pa",
        symbol="p",
        how="the worst row of fill.stages, at its worst depth down to the deep floor: outward the water "
        "above the fill that counts; inward the fill at rest and the surcharge with the outside water, "
        "less the pool's water",
        source="jaky-1944",
        side="up",
        verdict=verdict,
        reason="; ".join(sentences),
        inputs={
            "friction_angle": (backfill.friction_angle, "rad"),
            "unit_weight_moist": (backfill.unit_weight_moist, "N/m3"),
            "unit_weight_saturated": (backfill.unit_weight_saturated, "N/m3"),
            "surcharge": (calc.SURCHARGE, "Pa"),
            "floor_deep": (levels.floor_deep, "m"),
            "limit_outward": (limit.outward if limit else None, "Pa"),
            "limit_inward": (limit.inward if limit else None, "Pa"),
        },
    )


def _worst(levels: Levels, stages: Sequence[Stage], push: Push | None) -> tuple[float, int] | None:
    if push is None:
        return None
    pushes = [(found, stage.number) for stage in stages if (found := push(levels, stage)) is not None]
    if not pushes:
        return None
    most = max(push for push, _ in pushes)
    # The first of equal ones: sums of levels differ in the last digits.
    return next(pair for pair in pushes if pair[0] > most - 1e-6)


def _judged(name: str, way: str, pressure: float, when: str, limit: float | None) -> tuple[Verdict, str]:
    if pressure <= 0:
        return "ok", f"nothing pushes the wall {way}"
    water = mm(pressures.as_water(pressure), "up")
    push = f"{when} {PUSHERS[name][way == 'in']} pushes the wall {way} like {water} of water"
    if limit is None:
        return "cannot tell", push
    if pressure <= limit + 1e-6:
        return "ok", push
    if name == "flooded":
        return "watch", f"{push}, more than the maker allows: keep the gap pumped"
    return "stop", f"{push}, more than the maker allows"


def _beam(sheet: Sheet, levels: Levels) -> None:
    limit = levels.solid.shell.wall_limit
    most = limit.inward if limit else None
    whole, half = pressures.wet_beam(levels, 1), pressures.wet_beam(levels, 2)
    passes = 1
    push = f"the wet beam pushes the wall in like {mm(pressures.as_water(whole), 'up')} of water"
    verdict: Verdict
    if most is None:
        verdict, reason = "cannot tell", f"{push}; {NO_LIMIT}"
    elif whole <= most + 1e-6:
        verdict, reason = "ok", push
    elif half <= most + 1e-6:
        passes = 2
        verdict, reason = (
            "watch",
            "pour the beam in two passes of half its depth, the first stiff before the second",
        )
    else:
        verdict, reason = (
            "stop",
            "even half the beam's depth of wet concrete pushes more than the maker allows",
        )
    columns = (Column("outward", "Pa"), Column("inward", "Pa"), Column("passes", "1"))
    sheet.method(
        "wall.beam",
        "the wall beside the wet ring beam",
        Table(columns, ((None, whole if passes == 1 else half, float(passes)),)),
        unit="Pa",
        symbol="p",
        how="24 kN/m3 times the depth of one pour, less the pool's water, at its worst depth",
        source="en-1991-1-1",
        side="up",
        verdict=verdict,
        reason=reason,
        inputs={
            "concrete_wet": (calc.CONCRETE_WET, "N/m3"),
            "depth": (levels.beam.depth, "m"),
            "water_level": (levels.water, "m"),
            "one_pass": (whole, "Pa"),
            "two_passes": (half, "Pa"),
            "limit_inward": (most, "Pa"),
        },
    )


def _support(sheet: Sheet, levels: Levels, stages: Sequence[Stage]) -> None:
    key, words = (
        "wall.k_needed",
        "how hard the fill must push back to hold the pool's water at the deep floor",
    )
    floor = levels.floor_deep
    later = [stage for stage in stages if stage.number > 1 and stage.fill_top < floor]
    if not later:
        sheet.without(key, words, calc.support_needed, reason="there is only one lift", side="up")
        return
    weight = levels.job.backfill.unit_weight_moist
    # The lift just placed counts, with the water raised for it.
    hardest = max(later, key=lambda stage: (floor - stage.water_after) / (floor - stage.fill_top))
    sheet.work(
        key,
        words,
        calc.support_needed,
        side="up",
        judge=lambda k: (
            (
                "watch",
                f"at lift {hardest.number} the pool leans on the fill harder than the fill's own weight "
                "presses down: pack that lift tight before the next water",
            )
            if k > 1.0
            else ("ok", "")
        ),
        pool_density=FRESH,
        depth=floor,
        water_level=hardest.water_after,
        unit_weight_moist=weight,
        fill_top=hardest.fill_top,
    )
