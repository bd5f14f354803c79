"""Filters: percentiles of a grading, and what keeps one material out of another.

A grading here is a curve of (sieve in m, fraction passing), coarse to fine. Percentiles are read
log-linear between sieves: the logarithm of size against the plain per cent.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence

from builder.quantity import (
    CubicMetrePerSecond,
    Metre,
    MetrePerSecond,
    NewtonPerCubicMetre,
    PascalSecond,
    PerSecond,
    Plain,
    calculated,
)

Curve = Sequence[tuple[float, float]]


@calculated(
    symbol="D",
    formula="exp(ln(small) + (passing - passing_small)/(passing_large - passing_small)"
    "*(ln(large) - ln(small)))",
    source="usace-rmc-filters",
)
def between_sieves(
    *, small: Metre, passing_small: Plain, large: Metre, passing_large: Plain, passing: Plain
) -> Metre:
    """Size that `passing` is finer than, between two sieves: log-size against linear per cent."""
    share = (passing - passing_small) / (passing_large - passing_small)
    return math.exp(math.log(small) + share * (math.log(large) - math.log(small)))


def bracket(curve: Curve, passing: float) -> tuple[float, float, float, float] | None:
    """Return (small, passing_small, large, passing_large) around a percentile; None off the curve.

    Where several sieves pass the same share, the finest such size is taken.
    """
    ordered = sorted(curve)
    for (small, low), (large, high) in itertools.pairwise(ordered):
        if low <= passing <= high and high > low:
            return small, low, large, high
    return None


def percentile(curve: Curve, passing: float) -> float | None:
    """Return the size in m that `passing` (a fraction) of the curve is finer than; None off the curve."""
    around = bracket(curve, passing)
    if around is None:
        return None
    small, low, large, high = around
    return between_sieves(small=small, passing_small=low, large=large, passing_large=high, passing=passing)


@calculated(symbol="Cu", formula="d60/d10", source="usace-em-1901")
def uniformity(*, d60: Metre, d10: Metre) -> Plain:
    """Coefficient of uniformity."""
    return d60 / d10


@calculated(symbol="R_ret", formula="d15_filter/d85_base", source="usace-em-1901")
def retention(*, d15_filter: Metre, d85_base: Metre) -> Plain:
    """Filter's D15 over the base's D85: up to 5 keeps the base where it is."""
    return d15_filter / d85_base


@calculated(symbol="R_flow", formula="d15_filter/d15_base", source="usace-em-1901")
def flow(*, d15_filter: Metre, d15_base: Metre) -> Plain:
    """Filter's D15 over the base's D15: 3 or more lets the water through freely."""
    return d15_filter / d15_base


@calculated(symbol="R_50", formula="d50_filter/d50_base", source="usace-em-1901")
def spread(*, d50_filter: Metre, d50_base: Metre) -> Plain:
    """Filter's D50 over the base's D50: over 25 the coarser one clogs with the finer."""
    return d50_filter / d50_base


@calculated(symbol="O_max", formula="b*d85", source="fhwa-geotextile")
def opening_max(*, b: Plain, d85: Metre) -> Metre:
    """Largest opening O95 that still holds the material back; b is the retention factor."""
    return b * d85


@calculated(symbol="O_min", formula="3*d15", source="fhwa-geotextile")
def opening_min(*, d15: Metre) -> Metre:
    """Smallest opening O95 that does not clog."""
    return 3 * d15


def retention_factor(cu: float, fines: float, *, nonwoven: bool) -> float:
    """Return FHWA's B for a geotextile against a soil of uniformity `cu` with `fines` under 0.075 mm.

    More than half fines: 1.8 for a nonwoven and 1 for a woven; otherwise 1 for Cu up to 2 or from
    8, half of Cu up to 4, 8/Cu beyond. Source: FHWA-NHI-07-092, rule from memory.
    """
    if fines > 0.5:
        return 1.8 if nonwoven else 1.0
    if cu <= 2 or cu >= 8:
        return 1.0
    return 0.5 * cu if cu <= 4 else 8 / cu


@calculated(symbol="R_open", formula="opening/limit", source="fhwa-geotextile")
def opening_ratio(*, opening: Metre, limit: Metre) -> Plain:
    """A fabric's opening over a limit on it."""
    return opening / limit


@calculated(symbol="R_psi", formula="permittivity/required", source="aashto-m288")
def permittivity_ratio(*, permittivity: PerSecond, required: PerSecond) -> Plain:
    """A fabric's permittivity over what drainage asks for: 1 or more is enough."""
    return permittivity / required


@calculated(symbol="R_Q", formula="with_mesh/without_mesh", source="design-levels")
def flow_left(*, with_mesh: CubicMetrePerSecond, without_mesh: CubicMetrePerSecond) -> Plain:
    """Share of the valve's flow that the mesh leaves."""
    return with_mesh / without_mesh


@calculated(symbol="R_throat", formula="d85/opening", source="army-slots")
def over_opening(*, d85: Metre, opening: Metre) -> Plain:
    """A material's D85 over a round hole: 1.0 or more keeps it out."""
    return d85 / opening


@calculated(symbol="k_H", formula="10000*d10^2", source="hazen")
def hazen(*, d10: Metre) -> MetrePerSecond:
    """Hazen's permeability of clean sand: k in m/s is 0.01 d10^2 with d10 in mm, 0.1 to 3 mm."""
    return 10000 * d10 * d10


@calculated(
    symbol="k_KC",
    formula="specific_weight/viscosity*porosity^3/(1 - porosity)^2*d10^2/180",
    source="kozeny-carman",
)
def kozeny_carman(
    *, specific_weight: NewtonPerCubicMetre, viscosity: PascalSecond, porosity: Plain, d10: Metre
) -> MetrePerSecond:
    """Kozeny-Carman permeability; specific weight and dynamic viscosity are the water's."""
    return specific_weight / viscosity * porosity**3 / (1 - porosity) ** 2 * d10 * d10 / 180
