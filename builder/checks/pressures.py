"""Pressure on the deep end's wall at a stage, at its worst depth down to the floor. Pascals."""

from __future__ import annotations

from typing import TYPE_CHECKING

from builder.calc import walls as calc
from builder.calc.constants import FRESH, G
from builder.levels import Levels

if TYPE_CHECKING:
    from builder.checks.fill import Stage


def as_water(pressure: float) -> float:
    """Return the depth in m of fresh water that pushes as hard."""
    return pressure / (G * FRESH)


def outward(levels: Levels, stage: Stage, counted: float | None = None) -> float:
    """Return the water's push above the fill that counts: the lift just placed does not."""
    fill = min(stage.fill_before if counted is None else counted, levels.floor_deep)
    return calc.water_pressure(density=FRESH, depth=fill, water_level=stage.water_after)


def placed(levels: Levels, stage: Stage) -> float:
    """Return the inward push after the lift, the outside water at the dip."""
    return inward(levels, stage.fill_top, stage.groundwater, stage.water_after)


def flooded(levels: Levels, stage: Stage) -> float:
    """Return the inward push after the lift, the outside water at the fill's top, or above it at the dip."""
    return inward(levels, stage.fill_top, min(stage.fill_top, stage.groundwater), stage.water_after)


def fluid(levels: Levels, stage: Stage) -> float | None:
    """Return the inward push of a cement-bound lift as a liquid, until it sets.

    None for other fills, and for a lift that does not reach up to the deep floor.
    """
    backfill = levels.job.backfill
    if not backfill.cemented:
        return None
    bottom = min(stage.fill_before, levels.floor_deep)
    if stage.fill_top > bottom:
        return None  # a lift that ends under the deep floor touches no wall
    depths = {stage.fill_top, bottom, min(max(stage.water_after, stage.fill_top), bottom)}
    return max(
        backfill.unit_weight_saturated * (z - stage.fill_top) - G * FRESH * max(z - stage.water_after, 0.0)
        for z in depths
    )


def ahead_inward(levels: Levels, stage: Stage) -> float:
    """Return the inward push where one side is a lift higher than the plan, the water not yet raised."""
    top = max(stage.fill_top - stage.ahead, levels.ground)
    return inward(levels, top, stage.groundwater, stage.water_after)


def ahead_outward(levels: Levels, stage: Stage) -> float:
    """Return the outward push where one side is a lift lower than the plan."""
    return outward(levels, stage, min(stage.fill_before + stage.ahead, levels.underside_deep))


def emptied(levels: Levels, groundwater: float) -> float:
    """Return the inward push on an emptied pool, filled to the ground outside."""
    return inward(levels, levels.ground, groundwater, levels.floor_deep)


def inward(levels: Levels, fill_top: float, outside_water: float, inside_water: float) -> float:
    """Return the greatest net inward push over the wall between the fill's top and the deep floor."""
    backfill, floor = levels.job.backfill, levels.floor_deep
    at_rest = calc.at_rest(friction_angle=backfill.friction_angle)
    # Linear between these depths, so the worst is at one of them.
    depths = {z for z in (fill_top, outside_water, inside_water, floor) if fill_top <= z <= floor} or {floor}
    return max(
        calc.inward(
            at_rest=at_rest,
            unit_weight_moist=backfill.unit_weight_moist,
            unit_weight_saturated=backfill.unit_weight_saturated,
            depth=z,
            fill_top=fill_top,
            outside_water=outside_water,
            inside_water=inside_water,
            surcharge=calc.SURCHARGE,
            groundwater_density=levels.job.spec.water.density,
            pool_density=FRESH,
        )
        for z in depths
    )


def wet_beam(levels: Levels, passes: int) -> float:
    """Return the inward push of the wet ring beam poured in so many passes, the pool at its working level.

    In two passes each is half as deep, and the first is stiff before the second.
    """
    depth = levels.beam.depth
    height = depth / passes
    pours = [(depth - height * (at + 1), depth - height * at) for at in range(passes)]
    return max(
        calc.CONCRETE_WET * (z - top) - G * FRESH * max(z - levels.water, 0.0)
        for top, bottom in pours
        for z in {top, bottom, min(max(levels.water, top), bottom)}
    )
