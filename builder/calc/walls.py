"""Pressure on a wall of the shell at one depth: water, fill, and wet concrete. Pascals, depths in m."""

from __future__ import annotations

import math

from builder.calc.constants import G
from builder.quantity import (
    KilogramPerCubicMetre,
    Metre,
    NewtonPerCubicMetre,
    Pascal,
    Plain,
    Radian,
    calculated,
)

CONCRETE_WET = 24000.0  # N/m3: EN 1991-1-1 plain concrete, fresh taken as the same (design)
SURCHARGE = 5000.0  # Pa: people and barrows at the edge, unless given (design; common practice)


@calculated(symbol="K_0", formula="1 - sin(friction_angle)", source="jaky-1944")
def at_rest(*, friction_angle: Radian) -> Plain:
    """Earth pressure at rest over the vertical pressure, by Jaky."""
    return 1 - math.sin(friction_angle)


@calculated(symbol="p_out", formula="9.80665*density*(depth - water_level)", source="hydrostatics")
def water_pressure(*, density: KilogramPerCubicMetre, depth: Metre, water_level: Metre) -> Pascal:
    """Pressure of standing water at `depth` below the rim; holds at or below its level."""
    return G * density * (depth - water_level)


@calculated(
    symbol="p_in",
    formula="at_rest*(unit_weight_moist*max(min(depth, outside_water) - fill_top, 0)"
    " + (unit_weight_saturated - 9.80665*groundwater_density)*max(depth - max(outside_water, fill_top), 0)"
    " + surcharge) + 9.80665*groundwater_density*max(depth - outside_water, 0)"
    " - 9.80665*pool_density*max(depth - inside_water, 0)",
    source="jaky-1944",
)
def inward(
    *,
    at_rest: Plain,
    unit_weight_moist: NewtonPerCubicMetre,
    unit_weight_saturated: NewtonPerCubicMetre,
    depth: Metre,
    fill_top: Metre,
    outside_water: Metre,
    inside_water: Metre,
    surcharge: Pascal,
    groundwater_density: KilogramPerCubicMetre,
    pool_density: KilogramPerCubicMetre,
) -> Pascal:
    """Net inward pressure: fill at rest and surcharge, with the outside water, less the pool's.

    Holds for a depth below the fill's top. Soil above the outside water counts moist, below it
    submerged.
    """
    water = G * groundwater_density
    moist = unit_weight_moist * max(min(depth, outside_water) - fill_top, 0.0)
    submerged = (unit_weight_saturated - water) * max(depth - max(outside_water, fill_top), 0.0)
    outside = water * max(depth - outside_water, 0.0)
    return (
        at_rest * (moist + submerged + surcharge)
        + outside
        - G * pool_density * max(depth - inside_water, 0.0)
    )


@calculated(
    symbol="k_req",
    formula="9.80665*pool_density*(depth - water_level)/(unit_weight_moist*(depth - fill_top))",
    source="design-levels",
)
def support_needed(
    *,
    pool_density: KilogramPerCubicMetre,
    depth: Metre,
    water_level: Metre,
    unit_weight_moist: NewtonPerCubicMetre,
    fill_top: Metre,
) -> Plain:
    """Earth-pressure coefficient the fill must answer with to hold the pool's push at `depth`."""
    return G * pool_density * (depth - water_level) / (unit_weight_moist * (depth - fill_top))
