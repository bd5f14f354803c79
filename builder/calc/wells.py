"""Groundwater that runs into the dig, and what a tube must draw to hold it down."""

from __future__ import annotations

import math

from builder.quantity import (
    CubicMetre,
    CubicMetrePerSecond,
    Metre,
    MetrePerSecond,
    Plain,
    Second,
    SquareMetre,
    calculated,
)

SICHARDT = 3000.0  # s^0.5/m^0.5: radius of influence R = 3000 s sqrt(k), radial flow, metres and m/s


@calculated(symbol="R_0", formula="equivalent_radius + 3000*drawdown*sqrt(k)", source="sichardt")
def influence_radius(*, equivalent_radius: Metre, drawdown: Metre, k: MetrePerSecond) -> Metre:
    """Radius at which the water stands undisturbed: Sichardt's, from the edge of the equivalent well."""
    return equivalent_radius + SICHARDT * drawdown * math.sqrt(k)


@calculated(
    symbol="Q",
    formula="max(pi*k*(saturated^2 - max(saturated - drawdown, 0)^2)"
    "/ln(1 + 3000*min(drawdown, saturated)*sqrt(k)/equivalent_radius), 4*k*equivalent_radius*drawdown)",
    source="dupuit-thiem",
)
def inflow(
    *, k: MetrePerSecond, saturated: Metre, drawdown: Metre, equivalent_radius: Metre
) -> CubicMetrePerSecond:
    """Steady inflow to a dig held down by `drawdown`: Dupuit-Thiem, or a disc from below if more.

    saturated   groundwater down to the aquifer's base before pumping
    Holds for a drawdown above 0. The outer radius is Sichardt's plus the equivalent radius; water is
    drawn down no further than to the aquifer's base, so neither does it reach further.
    """
    left = max(saturated - drawdown, 0.0)
    # ln(R0/r_e), whole also where the drawdown is a hair and R0 next to r_e
    spread = math.log1p(SICHARDT * min(drawdown, saturated) * math.sqrt(k) / equivalent_radius)
    sideways = math.pi * k * (saturated**2 - left**2) / spread
    return max(sideways, 4 * k * equivalent_radius * drawdown)


@calculated(symbol="h_m", formula="distance*sqrt(inflow/(base_area*k))", source="dupuit-mound")
def mound_under_floor(
    *, distance: Metre, inflow: CubicMetrePerSecond, base_area: SquareMetre, k: MetrePerSecond
) -> Metre:
    """Height water mounds under the middle of the floor over the pumped gap.

    Dupuit's parabola over an impermeable base for an even inflow from below through a layer of
    permeability k, drained at `distance` on both sides.
    """
    return distance * math.sqrt(inflow / (base_area * k))


@calculated(
    symbol="V_p",
    formula="backfill_porosity*volume_above + bedding_porosity*volume_below",
    source="geometry",
)
def pore_water(
    *, backfill_porosity: Plain, volume_above: CubicMetre, bedding_porosity: Plain, volume_below: CubicMetre
) -> CubicMetre:
    """Water in the gap's pores between groundwater and bedding base, above and below the underside."""
    return backfill_porosity * volume_above + bedding_porosity * volume_below


@calculated(
    symbol="t_d",
    formula="(backfill_porosity*volume_above + bedding_porosity*volume_below)"
    "/(min(tube_yield, pump_flow) - inflow)",
    source="geometry",
)
def drawdown_time(
    *,
    backfill_porosity: Plain,
    volume_above: CubicMetre,
    bedding_porosity: Plain,
    volume_below: CubicMetre,
    tube_yield: CubicMetrePerSecond,
    pump_flow: CubicMetrePerSecond,
    inflow: CubicMetrePerSecond,
) -> Second:
    """Time to pump the gap down to the bedding base.

    By the tube's yield or the pump's flow, whichever is less. Holds where that is above the inflow.
    """
    water = pore_water(
        backfill_porosity=backfill_porosity,
        volume_above=volume_above,
        bedding_porosity=bedding_porosity,
        volume_below=volume_below,
    )
    return water / (min(tube_yield, pump_flow) - inflow)


@calculated(symbol="Q", formula="tube_yield", source="davis-wells")
def throttle(*, tube_yield: CubicMetrePerSecond) -> CubicMetrePerSecond:
    """Flow to throttle the pump to: what the tube gives while it holds the water down."""
    return tube_yield
