"""The dig and what fills it: lengths, volumes, masses and the batter line."""

from __future__ import annotations

import math

from builder.quantity import (
    CubicMetre,
    Kilogram,
    KilogramPerCubicMetre,
    Metre,
    Plain,
    Radian,
    SquareMetre,
    calculated,
)


@calculated(symbol="d", formula="base - ground", source="design-levels")
def depth(*, base: Metre, ground: Metre) -> Metre:
    """Depth of the dig's base below the ground, both as depths below the rim."""
    return base - ground


@calculated(symbol="c", formula="sqrt(base_length^2 + base_width^2)", source="geometry")
def check_diagonal(*, base_length: Metre, base_width: Metre) -> Metre:
    """Diagonal of the rectangle that is pegged round the base: both must measure the same."""
    return math.sqrt(base_length**2 + base_width**2)


@calculated(symbol="V_dig", formula="hole + sump + pit + beam_trench", source="geometry")
def volume(*, hole: CubicMetre, sump: CubicMetre, pit: CubicMetre, beam_trench: CubicMetre) -> CubicMetre:
    """Ground to dig, in the bank: the hole, the sump, the tube's pit, and what a wide beam needs besides."""
    return hole + sump + pit + beam_trench


@calculated(symbol="V_loose", formula="volume*bulking", source="fm-5-434")
def bulked_volume(*, volume: CubicMetre, bulking: Plain) -> CubicMetre:
    """The same ground, loose on the heap."""
    return volume * bulking


@calculated(symbol="n", formula="ceil(bulked_volume/truck - 0.000001)", source="geometry")
def truckloads(*, bulked_volume: CubicMetre, truck: CubicMetre) -> Plain:
    """Whole loads of spoil."""
    return float(math.ceil(bulked_volume / truck - 0.000001))


@calculated(symbol="b", formula="bedding + overdug", source="design-levels")
def makeup(*, bedding: Metre, overdug: Metre) -> Metre:
    """Made-up material under the shell."""
    return bedding + overdug


@calculated(symbol="V_m", formula="base_area*overdug", source="geometry")
def makeup_volume(*, base_area: SquareMetre, overdug: Metre) -> CubicMetre:
    """Material that makes up what was dug too deep."""
    return base_area * overdug


@calculated(
    symbol="V_b",
    formula="dig - bedding - makeup - sump - pit - shell_below_ground - beam_below_ground",
    source="geometry",
)
def backfill_volume(
    *,
    dig: CubicMetre,
    bedding: CubicMetre,
    makeup: CubicMetre,
    sump: CubicMetre,
    pit: CubicMetre,
    shell_below_ground: CubicMetre,
    beam_below_ground: CubicMetre,
) -> CubicMetre:
    """What is left of the dig to fill beside the shell, placed."""
    return dig - bedding - makeup - sump - pit - shell_below_ground - beam_below_ground


@calculated(symbol="m", formula="volume*density", source="geometry")
def mass(*, volume: CubicMetre, density: KilogramPerCubicMetre) -> Kilogram:
    """Mass of a volume of material."""
    return volume * density


@calculated(symbol="V", formula="area*depth", source="geometry")
def prism(*, area: SquareMetre, depth: Metre) -> CubicMetre:
    """Volume of a prism."""
    return area * depth


@calculated(symbol="dx", formula="away - max(base_depth - footing_depth, 0)/tan(batter)", source="abcb-3.2.1")
def influence_margin(*, away: Metre, base_depth: Metre, footing_depth: Metre, batter: Radian) -> Metre:
    """How far a footing stands outside the batter line from the edge of the dig's base.

    away is measured from the base's edge; base and footing depths are below the ground. Negative:
    the footing bears on ground the dig can take away, or stands in the dig. A footing as deep as the
    base or deeper is outside by its whole distance.
    """
    return away - max(base_depth - footing_depth, 0.0) / math.tan(batter)


@calculated(symbol="m_lift", formula="shell_mass*spare", source="common-practice")
def lift_mass(*, shell_mass: Kilogram, spare: Plain) -> Kilogram:
    """What the crane lifts: the shell with rigging and whatever is left in it."""
    return shell_mass * spare


@calculated(symbol="L_f", formula="size + 2*fence_back", source="common-practice")
def fence(*, size: Metre, fence_back: Metre) -> Metre:
    """Length of one side of the fence: the dig's size at the ground, and so far back at both ends."""
    return size + 2 * fence_back


@calculated(symbol="a_h", formula="max(edge, depth, fence_back + heap_fence)", source="common-practice")
def heap_back(*, edge: Metre, depth: Metre, fence_back: Metre, heap_fence: Metre) -> Metre:
    """How far a heap stays back from the edge: as far as the dig is deep, and clear outside the fence."""
    return max(edge, depth, fence_back + heap_fence)


@calculated(symbol="a_c", formula="max(crane_times*depth - run, depth, fence_back)", source="common-practice")
def crane_back(*, crane_times: Plain, depth: Metre, run: Metre, fence_back: Metre) -> Metre:
    """How far the crane's feet stay back from the edge of the dig, at least.

    crane_times depths from the foot of the bank, whose run lies inside the edge; never nearer to the
    edge than the dig is deep, nor inside the fence.
    """
    return max(crane_times * depth - run, depth, fence_back)


def heap(*, volume: CubicMetre, length: Metre, most: Metre, slope: Radian) -> tuple[Metre, Metre]:
    """Return width and height in metres of a heap of a length that holds `volume` m3.

    All four sides rise at `slope`, to a flat top at `most` or to the ridge where they meet lower.
    """

    def height(width: float) -> float:
        return min(most, math.tan(slope) * min(length, width) / 2)

    def held(width: float) -> float:
        high = height(width)
        run = high / math.tan(slope)
        return high * (length * width - (length + width) * run + 4 / 3 * run**2)

    low, wide = 0.0, 1.0
    while held(wide) < volume:
        low, wide = wide, 2 * wide
    while wide - low > 1e-9:
        middle = (low + wide) / 2
        low, wide = (middle, wide) if held(middle) < volume else (low, middle)
    return wide, height(wide)
