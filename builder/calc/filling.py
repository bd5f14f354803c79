"""Filling: where it may start, and how long the tap takes."""

from __future__ import annotations

from builder.quantity import CubicMetre, CubicMetrePerSecond, Metre, Second, SquareMetre, calculated


@calculated(symbol="z_start", formula="bedding_base", source="design-levels")
def start_groundwater(*, bedding_base: Metre) -> Metre:
    """Groundwater level above which no shell is set: the bottom of the bedding."""
    return bedding_base


@calculated(symbol="t_tap", formula="volume/flow", source="geometry")
def tap_time(*, volume: CubicMetre, flow: CubicMetrePerSecond) -> Second:
    """Time the tap takes for a volume."""
    return volume / flow


@calculated(symbol="L_leak", formula="water_area", source="geometry")
def leak_per_mm(*, water_area: SquareMetre) -> SquareMetre:
    """Water lost for each mm the pool falls faster than a bucket standing in it: m3/m, litres a mm."""
    return water_area


@calculated(symbol="s_d", formula="max(held_to - groundwater, 0)", source="design-levels")
def drawdown(*, held_to: Metre, groundwater: Metre) -> Metre:
    """How far the groundwater must be drawn down, both depths below the rim."""
    return max(held_to - groundwater, 0.0)
