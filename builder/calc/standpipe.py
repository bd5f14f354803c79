"""The standpipe: how long, how slotted, how much it passes, how late it reads."""

from __future__ import annotations

import math

import numpy as np

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

ENTRANCE_VELOCITY = (
    0.03  # m/s: Davis, Water and Wastewater Engineering, wells chapter (quoting two well handbooks)
)
SPARE_LENGTH_MM = 150  # cut long, trim at paving: common practice, no source
HOLE_DIAMETER, HOLE_WET_LENGTH = 0.100, 0.300  # the hand-augered hole that a watch is judged by (design)


@calculated(symbol="L_t", formula="tube_foot - tube_top", source="design-levels")
def length(*, tube_foot: Metre, tube_top: Metre) -> Metre:
    """Length of the trimmed tube, foot to top."""
    return tube_foot - tube_top


@calculated(
    symbol="L_cut", formula="ceil(floor(1000*length + 0.5 + spare_mm)/10)/100", source="common-practice"
)
def cut_length(*, length: Metre, spare_mm: Plain) -> Metre:
    """Length to cut: the trimmed length and a spare, up to the next 10 mm.

    Worked in whole millimetres, so an exact multiple of 10 mm stays what it is.
    """
    return math.ceil(math.floor(1000 * length + 0.5 + spare_mm) / 10) / 100


@calculated(symbol="L_m", formula="tube_foot", source="design-levels")
def build_mark(*, tube_foot: Metre) -> Metre:
    """Height of the build mark (the rim's level) above the tube's foot."""
    return tube_foot


@calculated(symbol="N", formula="rows*floor(slotted/pitch + 0.000001)", source="design-levels")
def slot_count(*, rows: Plain, slotted: Metre, pitch: Metre) -> Plain:
    """Number of slots: whole pitches in the slotted length, times the rows along the tube."""
    return rows * math.floor(slotted / pitch + 0.000001)


@calculated(symbol="A_open", formula="slot_count*slot_length*slot_width", source="geometry")
def open_area(*, slot_count: Plain, slot_length: Metre, slot_width: Metre) -> SquareMetre:
    """Open area of all slots."""
    return slot_count * slot_length * slot_width


@calculated(symbol="c", formula="rows*slot_length/(pi*outside_diameter)", source="geometry")
def girth_cut(*, rows: Plain, slot_length: Metre, outside_diameter: Metre) -> Plain:
    """Share of the tube's girth that the slots of one ring cut through."""
    return rows * slot_length / (math.pi * outside_diameter)


@calculated(symbol="Q_gentle", formula="entrance_velocity*open_area*0.5", source="davis-wells")
def gentle_flow(*, entrance_velocity: MetrePerSecond, open_area: SquareMetre) -> CubicMetrePerSecond:
    """Flow that draws no fines: the entrance velocity through half the open area (half is blocked).

    Holds while water stands over every slot.
    """
    return entrance_velocity * open_area * 0.5


@calculated(symbol="d_i", formula="outside_diameter - 2*wall", source="geometry")
def bore(*, outside_diameter: Metre, wall: Metre) -> Metre:
    """Inside diameter of the tube."""
    return outside_diameter - 2 * wall


@calculated(symbol="s", formula="bore - body", source="geometry")
def pump_clearance(*, bore: Metre, body: Metre) -> Metre:
    """Room between pump body and bore, both sides together."""
    return bore - body


@calculated(
    symbol="F",
    formula="2*pi*length/ln(length/diameter + sqrt(1 + (length/diameter)^2))",
    source="hvorslev-1951",
)
def shape_factor(*, length: Metre, diameter: Metre) -> Metre:
    """Hvorslev's shape factor of a well point open over `length` in a uniform ground."""
    slender = length / diameter
    return 2 * math.pi * length / math.log(slender + math.sqrt(1 + slender * slender))


@calculated(
    symbol="T_0",
    formula="pi/4*bore^2*ln(wet_length/diameter + sqrt(1 + (wet_length/diameter)^2))/(2*pi*wet_length*k)",
    source="hvorslev-1951",
)
def time_lag(*, bore: Metre, wet_length: Metre, diameter: Metre, k: MetrePerSecond) -> Second:
    """Hvorslev's basic time lag A/(F k) of a tube: the level difference falls to 37 % in this time.

    wet_length   slotted length under water: the less of it, the later the tube follows
    """
    return math.pi / 4 * bore * bore / (shape_factor(length=wet_length, diameter=diameter) * k)


@calculated(
    symbol="t_90",
    formula="ln(10)*pi/4*diameter^2*ln(wet/diameter + sqrt(1 + (wet/diameter)^2))/(2*pi*wet*k)",
    source="hvorslev-1951",
)
def hole_lag(*, diameter: Metre, wet: Metre, k: MetrePerSecond) -> Second:
    """Time in which an open hole with `wet` metres of water shows nine tenths of the groundwater."""
    return math.log(10) * time_lag(bore=diameter, wet_length=wet, diameter=diameter, k=k)


@calculated(symbol="t_bed", formula="porosity*distance^2/(k*thickness)", source="dimensional-drainage")
def time_lag_bedding(*, porosity: Plain, distance: Metre, k: MetrePerSecond, thickness: Metre) -> Second:
    """Time in which water spreads through a thin layer of bedding over `distance`."""
    return porosity * distance * distance / (k * thickness)


@calculated(symbol="T_soil", formula="porosity*gap_area/(4*equivalent_radius*k)", source="shape-factors")
def time_lag_soil(
    *, porosity: Plain, gap_area: SquareMetre, equivalent_radius: Metre, k: MetrePerSecond
) -> Second:
    """Time lag of the whole gap against the ground: pores of the gap over a disc's inflow."""
    return porosity * gap_area / (4 * equivalent_radius * k)


@calculated(symbol="r_e", formula="sqrt(base_length*base_width/pi)", source="geometry")
def equivalent_radius(*, base_length: Metre, base_width: Metre) -> Metre:
    """Radius of the circle with the area of the dig's rectangle."""
    return math.sqrt(base_length * base_width / math.pi)


@calculated(symbol="t_90", formula="ln(10)*time_lag", source="hvorslev-1951")
def ninety_percent(*, time_lag: Second) -> Second:
    """Time after which a reading has made up 90 % of a sudden difference."""
    return math.log(10) * time_lag


@calculated(symbol="t_90", formula="time_lag", source="dimensional-drainage")
def ninety_percent_bedding(*, time_lag: Second) -> Second:
    """Time after which water under the floor has followed: the spreading time itself."""
    return time_lag


@calculated(symbol="z_reach", formula="tube_foot - min_depth", source="design-levels")
def reach(*, tube_foot: Metre, min_depth: Metre) -> Metre:
    """Depth of the lowest level a pump in the tube can hold: it needs `min_depth` over the foot."""
    return tube_foot - min_depth


def wet_slots(*, rows: float, slotted: float, pitch: float, wet: float) -> float:
    """Return how many slots lie in the lowest `wet` metres of the tube, the first half a pitch up."""
    return rows * math.floor(min(slotted / pitch + 0.000001, wet / pitch + 0.500001))


def best_level(
    *,
    tube_foot: float,
    reach: float,
    in_gravel: float,
    slotted: float,
    pitch: float,
    rows: float,
    slot_length: float,
    slot_width: float,
    diameter: float,
    k_low: float,
) -> float:
    """Return the level of the water in the tube, m below the rim, at which the tube gives most.

    The deeper it stands the harder the gravel drives, and the fewer slots are under it. Tried from
    the reach up, a millimetre at a time, to the water in the gravel; the deepest of equals.
    Holds for water in the gravel above the reach, and a reach above the foot.
    """
    steps = max(math.ceil((reach - in_gravel) * 1000 - 1e-6), 1)
    levels = reach - np.arange(steps) / 1000
    wet = tube_foot - levels
    rings = np.floor(np.minimum(slotted / pitch + 0.000001, wet / pitch + 0.500001))
    gentle = ENTRANCE_VELOCITY * 0.5 * rows * rings * slot_length * slot_width
    length = np.minimum(slotted, wet)
    gravel = 2 * math.pi * length / np.arcsinh(length / diameter) * k_low * (levels - in_gravel)
    return float(levels[np.argmax(np.minimum(gentle, gravel))])


@calculated(
    symbol="Q_t",
    formula="min(entrance_velocity*0.5*wet_slots*slot_length*slot_width, "
    "2*pi*wet_length/ln(wet_length/diameter + sqrt(1 + (wet_length/diameter)^2))"
    "*k_low*(in_tube - in_gravel))",
    source="hvorslev-1951",
)
def tube_yield(
    *,
    entrance_velocity: MetrePerSecond,
    wet_slots: Plain,
    slot_length: Metre,
    slot_width: Metre,
    wet_length: Metre,
    diameter: Metre,
    k_low: MetrePerSecond,
    in_tube: Metre,
    in_gravel: Metre,
) -> CubicMetrePerSecond:
    """Flow the tube gives while it is pumped: what slots or gravel pass, whichever is less.

    Slots above the water in the tube are left out, though some water trickles in through them.

    wet_slots, wet_length   slots, and slotted length, below the water in the tube
    in_tube, in_gravel      depths of the water in the tube and in the gravel round it
    """
    gravel = shape_factor(length=wet_length, diameter=diameter) * k_low * (in_tube - in_gravel)
    return min(entrance_velocity * 0.5 * wet_slots * slot_length * slot_width, gravel)


@calculated(symbol="R_slot", formula="d85/slot_width", source="army-slots")
def slot_retains(*, d85: Metre, slot_width: Metre) -> Plain:
    """How many times the slot's width the backfill's D85 is; 1.2 or more keeps it out."""
    return d85 / slot_width


@calculated(symbol="dz", formula="underside_deep - underside_at_tube", source="design-levels")
def place(*, underside_deep: Metre, underside_at_tube: Metre) -> Metre:
    """How much higher the shell's underside is beside the tube than at its deepest."""
    return underside_deep - underside_at_tube


@calculated(
    symbol="V_proof",
    formula="max(least, sump_pores + (show + foot_above_base)*pore_area)",
    source="common-practice",
)
def proof_litres(
    *, least: CubicMetre, sump_pores: CubicMetre, show: Metre, foot_above_base: Metre, pore_area: SquareMetre
) -> CubicMetre:
    """Water to pour at the valve pocket so that it stands `show` deep in the tube, 20 litres at least.

    sump_pores        pores of the sump, which fill first; 0 without one
    pore_area         porosity times plan area of what joins pocket and tube (pit, or strip of bedding)
    foot_above_base   how far the tube's foot stands above the base the water spreads on
    """
    return max(least, sump_pores + (show + foot_above_base) * pore_area)


@calculated(
    symbol="h_proof",
    formula="min(room, (poured - sump_pores)/pore_area - foot_above_base)",
    source="common-practice",
)
def proof_rise(
    *, poured: CubicMetre, sump_pores: CubicMetre, pore_area: SquareMetre, foot_above_base: Metre, room: Metre
) -> Metre:
    """Water that must show in the tube after pouring, above its foot, with none soaked away.

    room   how far the gravel's top stands above the foot: what is poured beyond it runs off
    """
    return min(room, (poured - sump_pores) / pore_area - foot_above_base)
