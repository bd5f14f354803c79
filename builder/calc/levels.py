"""Levels below the rim: depths positive downwards, the top of the rim's inside edge is 0."""

from __future__ import annotations

from builder.quantity import Kilogram, Metre, SquareMetre, calculated

SOURCE = "design-levels"


@calculated(symbol="z_ground", formula="rim_above_ground", source=SOURCE)
def ground(*, rim_above_ground: Metre) -> Metre:
    """Depth of the ground surface: as far below the rim as the rim stands above it."""
    return rim_above_ground


@calculated(symbol="z_paving", formula="-paving_above_rim", source=SOURCE)
def paving(*, paving_above_rim: Metre) -> Metre:
    """Depth of the paving's top: negative, for it stands above the rim."""
    return -paving_above_rim


@calculated(symbol="z_water", formula="water_below_rim", source=SOURCE)
def water(*, water_below_rim: Metre) -> Metre:
    """Depth of the working water level."""
    return water_below_rim


@calculated(symbol="z_overflow", formula="overflow_below_rim", source=SOURCE)
def overflow(*, overflow_below_rim: Metre) -> Metre:
    """Depth of the level at which the pool spills."""
    return overflow_below_rim


@calculated(symbol="z_peg", formula="-peg_above_rim", source=SOURCE)
def peg(*, peg_above_rim: Metre) -> Metre:
    """Depth of the peg's mark: negative, for it stands above the rim."""
    return -peg_above_rim


@calculated(symbol="z_underside", formula="floor_deep + floor_thickness", source=SOURCE)
def underside_deep(*, floor_deep: Metre, floor_thickness: Metre) -> Metre:
    """Depth of the underside of the deepest floor."""
    return floor_deep + floor_thickness


@calculated(symbol="z_bedding", formula="underside_deep + bedding", source=SOURCE)
def bedding_base(*, underside_deep: Metre, bedding: Metre) -> Metre:
    """Depth of the bedding's base under the deepest floor."""
    return underside_deep + bedding


@calculated(symbol="z_gw", formula="rim_above_ground + groundwater_below_ground", source=SOURCE)
def groundwater(*, rim_above_ground: Metre, groundwater_below_ground: Metre) -> Metre:
    """Depth of the groundwater below the rim."""
    return rim_above_ground + groundwater_below_ground


@calculated(symbol="z_foot", formula="underside_deep + foot_below_underside", source=SOURCE)
def tube_foot(*, underside_deep: Metre, foot_below_underside: Metre) -> Metre:
    """Depth of the standpipe's foot."""
    return underside_deep + foot_below_underside


@calculated(symbol="z_top", formula="below_lid - paving_above_rim", source=SOURCE)
def tube_top(*, below_lid: Metre, paving_above_rim: Metre) -> Metre:
    """Depth of the trimmed standpipe's top: negative where it stands above the rim."""
    return below_lid - paving_above_rim


@calculated(symbol="z_top", formula="-tube_top_above_rim", source="job-spec")
def tube_top_measured(*, tube_top_above_rim: Metre) -> Metre:
    """Depth of the trimmed standpipe's top, as measured."""
    return -tube_top_above_rim


@calculated(symbol="z_foot", formula="tube_top + tube_length", source="job-spec")
def tube_foot_measured(*, tube_top: Metre, tube_length: Metre) -> Metre:
    """Depth of the standpipe's foot, from its top and its measured length."""
    return tube_top + tube_length


@calculated(symbol="z_gw", formula="mark + dip", source="job-spec")
def groundwater_dipped(*, mark: Metre, dip: Metre) -> Metre:
    """Depth of the groundwater below the rim, by a dip from a mark whose depth is known."""
    return mark + dip


@calculated(symbol="m", formula="mass", source="job-spec")
def shell_mass(*, mass: Kilogram) -> Kilogram:
    """Weight of the bare shell, as its maker gives it."""
    return mass


@calculated(symbol="A_w", formula="water_area", source="geometry")
def litres_per_mm(*, water_area: SquareMetre) -> SquareMetre:
    """Water for each millimetre of pool level: a square metre holds a litre a millimetre."""
    return water_area
