"""Rain into the gap: how far a fall of rain lifts the water beside the shell."""

from __future__ import annotations

from builder.quantity import CubicMetre, Plain, SquareMetre, calculated


@calculated(symbol="r", formula="(share*runoff*catchment + gap_area)/(porosity*gap_area)", source="geometry")
def rise_per_mm(
    *, share: Plain, runoff: Plain, catchment: SquareMetre, gap_area: SquareMetre, porosity: Plain
) -> Plain:
    """Rise of the gap's water in mm for each mm of rain: on the gap itself and shed into it.

    share   how much of the runoff finds its way in: 1 for all
    """
    return (share * runoff * catchment + gap_area) / (porosity * gap_area)


@calculated(symbol="V_100", formula="0.1*porosity*gap_area", source="geometry")
def litres_per_100mm(*, porosity: Plain, gap_area: SquareMetre) -> CubicMetre:
    """Pore water in 100 mm of the gap's height."""
    return 0.1 * porosity * gap_area
