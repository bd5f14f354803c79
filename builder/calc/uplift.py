"""Will it float: weights against the water the outside solid displaces.

Grouping of EM 1110-2-2100: SF = (structure + water inside) / uplift, with the whole outside solid
below the groundwater, no side friction and no soil on the rim. Written in kilograms; g cancels.
"""

from __future__ import annotations

from builder.quantity import (
    CubicMetre,
    Kilogram,
    KilogramMetre,
    KilogramPerCubicMetre,
    Metre,
    MetreToTheFourth,
    Plain,
    calculated,
)

SOURCE = "usace-em-2100"


@calculated(
    symbol="SF",
    formula="(shell_mass + beam_mass + pool_density*water_inside)/(groundwater_density*displaced)",
    source=SOURCE,
)
def safety(
    *,
    shell_mass: Kilogram,
    beam_mass: Kilogram,
    pool_density: KilogramPerCubicMetre,
    water_inside: CubicMetre,
    groundwater_density: KilogramPerCubicMetre,
    displaced: CubicMetre,
) -> Plain:
    """Safety against floating; below 1.0 the shell rises.

    Raises ZeroDivisionError where nothing is displaced.
    """
    return (shell_mass + beam_mass + pool_density * water_inside) / (groundwater_density * displaced)


@calculated(
    symbol="m_beam", formula="concrete_density*volume - groundwater_density*volume_under_water", source=SOURCE
)
def beam_mass(
    *,
    concrete_density: KilogramPerCubicMetre,
    volume: CubicMetre,
    groundwater_density: KilogramPerCubicMetre,
    volume_under_water: CubicMetre,
) -> Kilogram:
    """What a tied beam weighs, less the groundwater it displaces."""
    return concrete_density * volume - groundwater_density * volume_under_water


@calculated(
    symbol="V_U",
    formula="(shell_mass + beam_mass + pool_density*water_inside)/(safety*groundwater_density)",
    source=SOURCE,
)
def displaced_at(
    *,
    shell_mass: Kilogram,
    beam_mass: Kilogram,
    pool_density: KilogramPerCubicMetre,
    water_inside: CubicMetre,
    safety: Plain,
    groundwater_density: KilogramPerCubicMetre,
) -> CubicMetre:
    """Displaced volume at which the safety is just `safety`."""
    return (shell_mass + beam_mass + pool_density * water_inside) / (safety * groundwater_density)


@calculated(
    symbol="V_in",
    formula="(safety*groundwater_density*displaced - shell_mass - beam_mass)/pool_density",
    source=SOURCE,
)
def water_needed(
    *,
    safety: Plain,
    groundwater_density: KilogramPerCubicMetre,
    displaced: CubicMetre,
    shell_mass: Kilogram,
    beam_mass: Kilogram,
    pool_density: KilogramPerCubicMetre,
) -> CubicMetre:
    """Water inside at which the safety is just `safety`; negative where the shell holds empty."""
    return (safety * groundwater_density * displaced - shell_mass - beam_mass) / pool_density


@calculated(symbol="h", formula="underside_deep - groundwater", source="archimedes")
def height_above_underside(*, underside_deep: Metre, groundwater: Metre) -> Metre:
    """How far a groundwater level stands above the lowest underside."""
    return underside_deep - groundwater


@calculated(
    symbol="M",
    formula="groundwater_density*(moment - foot*displaced) - shell_mass*(weight_centre - foot)",
    source="archimedes",
)
def tipping_moment(
    *,
    groundwater_density: KilogramPerCubicMetre,
    moment: MetreToTheFourth,
    foot: Metre,
    displaced: CubicMetre,
    shell_mass: Kilogram,
    weight_centre: Metre,
) -> KilogramMetre:
    """Uplift less weight, turning about the wall foot at station `foot`, in kg m towards greater x.

    moment          first moment of the displaced volume about x = 0
    foot            station of the wall foot it turns about
    weight_centre   station of the centre of the shell's weight
    Positive lifts the end at greater x, negative the end at lesser x.
    """
    return groundwater_density * (moment - foot * displaced) - shell_mass * (weight_centre - foot)


@calculated(
    symbol="h_panel", formula="floor_thickness*laminate_density/groundwater_density", source="archimedes"
)
def panel_head(
    *,
    floor_thickness: Metre,
    laminate_density: KilogramPerCubicMetre,
    groundwater_density: KilogramPerCubicMetre,
) -> Metre:
    """Water under an empty floor that carries the laminate's own weight: more lifts the panel."""
    return floor_thickness * laminate_density / groundwater_density


@calculated(symbol="h_empty", formula="min(float_height, tip_height, panel_head)", source="design-levels")
def empty_limit(*, float_height: Metre, tip_height: Metre, panel_head: Metre) -> Metre:
    """Groundwater above the lowest underside that an empty bare shell can bear: the least of three."""
    return min(float_height, tip_height, panel_head)


@calculated(symbol="h_empty", formula="min(float_height, panel_head)", source="design-levels")
def empty_limit_level(*, float_height: Metre, panel_head: Metre) -> Metre:
    """The same limit for a shell that no water up to the rim can tip."""
    return min(float_height, panel_head)


@calculated(symbol="z_line", formula="max(level_at_safety, water_level + margin)", source="design-levels")
def line_below_pool(*, level_at_safety: Metre, water_level: Metre, margin: Metre) -> Metre:
    """A groundwater line: the lower of the level at which a safety is reached and a margin under the pool.

    All three are depths or a length downwards, so the lower level is the greater depth.
    """
    return max(level_at_safety, water_level + margin)


@calculated(symbol="dip", formula="groundwater - mark", source="design-levels")
def dip(*, groundwater: Metre, mark: Metre) -> Metre:
    """Distance from a mark on the standpipe down to a groundwater level, both depths below the rim."""
    return groundwater - mark


@calculated(
    symbol="z_panel",
    formula="floor_deep - (groundwater_density*(underside_deep - groundwater)"
    " - laminate_density*floor_thickness)/pool_density - margin",
    source="design-levels",
)
def lowest_water_by_panel(
    *,
    floor_deep: Metre,
    groundwater_density: KilogramPerCubicMetre,
    underside_deep: Metre,
    groundwater: Metre,
    laminate_density: KilogramPerCubicMetre,
    floor_thickness: Metre,
    pool_density: KilogramPerCubicMetre,
    margin: Metre,
) -> Metre:
    """Lowest pool level with no net lift on the deepest floor and `margin` of water in hand."""
    lift = groundwater_density * (underside_deep - groundwater) - laminate_density * floor_thickness
    return floor_deep - lift / pool_density - margin
