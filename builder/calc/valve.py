"""The relief valve: when it opens and what it can let in."""

from __future__ import annotations

import math

from builder.quantity import (
    CubicMetre,
    CubicMetrePerSecond,
    Metre,
    MetrePerSecond,
    MetrePerSecondSquared,
    PerSecond,
    Plain,
    SecondPerSquareMetre,
    SquareMetre,
    calculated,
)

SOURCE = "shape-factors"


@calculated(symbol="h_open", formula="opening_head", source="job-spec")
def opening_head(*, opening_head: Metre) -> Metre:
    """Net head that opens the valve, as its maker gives it."""
    return opening_head


@calculated(
    symbol="h_seat", formula="max(seat - groundwater, 0) - max(seat - water_level, 0)", source="archimedes"
)
def head(*, seat: Metre, groundwater: Metre, water_level: Metre) -> Metre:
    """Net head at the seat, lifting when positive: groundwater over it less pool water over it."""
    return max(seat - groundwater, 0.0) - max(seat - water_level, 0.0)


@calculated(symbol="F_disc", formula="4*radius", source=SOURCE)
def disc_factor(*, radius: Metre) -> Metre:
    """Shape factor of a flat round opening on a half space."""
    return 4 * radius


@calculated(symbol="F_half", formula="2*pi*radius", source=SOURCE)
def half_sphere_factor(*, radius: Metre) -> Metre:
    """Shape factor of a half sphere in a half space."""
    return 2 * math.pi * radius


@calculated(symbol="F_layer", formula="2*pi*thickness/ln(outer_radius/radius)", source="thiem")
def layer_factor(*, thickness: Metre, outer_radius: Metre, radius: Metre) -> Metre:
    """Shape factor of radial flow through a layer from `outer_radius` to `radius`."""
    return 2 * math.pi * thickness / math.log(outer_radius / radius)


@calculated(symbol="r_s", formula="(3*width^2*depth/(2*pi))^(1/3)", source="geometry")
def sump_radius(*, width: Metre, depth: Metre) -> Metre:
    """Radius of the half sphere with the square sump's volume."""
    return float((3 * width * width * depth / (2 * math.pi)) ** (1 / 3))


@calculated(symbol="C_v", formula="discharge_coefficient*throat_area", source="orifice")
def effective_area(*, discharge_coefficient: Plain, throat_area: SquareMetre) -> SquareMetre:
    """Discharge coefficient times throat area."""
    return discharge_coefficient * throat_area


@calculated(
    symbol="Q",
    formula="2*(head - opening_head)"
    "/(resistance + sqrt(resistance^2 + 2*(head - opening_head)/(g*effective_area^2)))",
    source="orifice",
)
def flow(
    *,
    head: Metre,
    opening_head: Metre,
    resistance: SecondPerSquareMetre,
    effective_area: SquareMetre,
    g: MetrePerSecondSquared,
) -> CubicMetrePerSecond:
    """Flow in through the open valve: the positive root of head = opening + R Q + (Q/C)^2/2g.

    resistance is the head lost for each m3/s in bedding, sump and mesh, in s/m2. Holds for a head
    above the opening head; below it the valve is shut. Written with the roots in the denominator,
    so that a tight bedding takes no digits from the result.
    """
    over = head - opening_head
    root = math.sqrt(resistance * resistance + 2 * over / (g * effective_area * effective_area))
    return 2 * over / (resistance + root)


@calculated(symbol="R_mesh", formula="1/(permittivity*mesh_area)", source="astm-d4491")
def mesh_resistance(*, permittivity: PerSecond, mesh_area: SquareMetre) -> SecondPerSquareMetre:
    """Head lost in the mesh for each m3/s through it, in s/m2."""
    return 1 / (permittivity * mesh_area)


@calculated(symbol="R_flow", formula="1/(k*factor)", source=SOURCE)
def ground_resistance(*, k: MetrePerSecond, factor: Metre) -> SecondPerSquareMetre:
    """Head lost in a porous body for each m3/s drawn from it, in s/m2."""
    return 1 / (k * factor)


@calculated(symbol="dh_float", formula="water_level - float_level - opening_head", source="design-levels")
def float_margin(*, water_level: Metre, float_level: Metre, opening_head: Metre) -> Metre:
    """Head difference at which the full shell floats, less the head that opens the valve.

    float_level is the depth of the groundwater that floats the shell with the pool at water_level.
    """
    return water_level - float_level - opening_head


@calculated(
    symbol="dh_empty", formula="empty_limit - (opening_head + underside_deep - seat)", source="design-levels"
)
def opens_in_time(*, empty_limit: Metre, opening_head: Metre, underside_deep: Metre, seat: Metre) -> Metre:
    """How much groundwater an empty shell can still bear when the valve opens; negative: too late."""
    return empty_limit - (opening_head + underside_deep - seat)


@calculated(symbol="V_s", formula="pi/4*bead^2*pi*flange", source="sealant-geometry")
def sealant_volume(*, bead: Metre, flange: Metre) -> CubicMetre:
    """Sealant in one round bead along the flange's edge."""
    return math.pi / 4 * bead * bead * math.pi * flange


@calculated(symbol="t_turn", formula="pitch/4", source="geometry")
def turn_travel(*, pitch: Metre) -> Metre:
    """How far a quarter turn drives the thread in."""
    return pitch / 4
