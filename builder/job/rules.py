"""Defaults that follow from other parts of the spec: each rule returns what an author would write.

A rule gets the mapping its key is missing from and everything read so far; it returns the default
as text, or BROKEN where what it rests on could not be read (that is reported already).
"""

from __future__ import annotations

import math
from collections.abc import Mapping as MappingABC
from typing import Any

from builder.catalogue import Ground
from builder.errors import InputFaults
from builder.job.reading import BROKEN, Path, Reading
from builder.units import NotAQuantity, parse
from builder.yamlfile import Mapping, Text

Seen = MappingABC[Path, Any]

FOOT_IN_BEDDING = 0.015  # m below the underside: the trade's habit
PIT_DEPTH, PIT_WIDTH = 0.3, 0.4  # m, below the bedding base
FOOT_ABOVE_PIT = 0.05  # m, gravel left under the tube
STAYS_BELOW = 0.3  # m below the bedding base from which water is no matter for the tube's foot
WEEK = 7 * 86400.0  # s
HOLE_DIAMETER, HOLE_WET = 0.1, 0.3  # m, the hole that water is looked for in


def same_as_wall(_node: Mapping, seen: Seen, _reading: Reading) -> Any:
    """The floor is as thick as the wall."""
    wall = seen.get(("shell", "wall"))
    return BROKEN if wall is None else millimetres(wall)


def batter(node: Mapping, _seen: Seen, reading: Reading) -> Any:
    """The flattest of the batters at which the grounds stand, to the half degree below; none where shored."""
    if "shoring" in node.entries:
        return "none"
    grounds = dig_grounds(reading)
    if not grounds:
        return BROKEN
    steepest = math.degrees(min(ground.batter for ground in grounds))
    return f"{math.floor(2 * steepest + 1e-9) / 2:g} deg"


def pit(node: Mapping, seen: Seen, reading: Reading) -> Any:
    """No pit where water is known to stay well below; else one, deep enough for a foot that is given."""
    thickness = seen.get(("bedding", "thickness"))
    foot: float | None = None
    given = node.entries.get("foot_below_underside")
    if given is not None:
        try:
            foot = parse(given.text, "m") if isinstance(given, Text) else None
        except NotAQuantity:
            foot = None
        if foot is None or thickness is None:
            return BROKEN  # reported where that key is read
        if foot <= thickness:
            return "none"
        depth = max(PIT_DEPTH, foot - thickness + FOOT_ABOVE_PIT)
    else:
        low = known_low(seen, reading)
        if low is None:
            return BROKEN
        if low:
            return "none"
        depth = PIT_DEPTH
    return f"{{depth: {millimetres(depth)}, width: {millimetres(PIT_WIDTH)}}}"


def foot(_node: Mapping, seen: Seen, _reading: Reading) -> Any:
    """In the bedding without a pit; 50 mm above the pit's base with one."""
    path = ("standpipe", "pit")
    thickness = seen.get(("bedding", "thickness"))
    if path not in seen or thickness is None:
        return BROKEN
    if seen[path] is None:
        return millimetres(FOOT_IN_BEDDING)
    return millimetres(thickness + seen[path].depth - FOOT_ABOVE_PIT)


def known_low(seen: Seen, reading: Reading) -> bool | None:
    """Whether groundwater is known to stay 300 mm or more below the bedding base; None: unreadable.

    Seen counts at its highest known level. Not seen counts where the hole went that deep and was
    watched for the shorter of a week and the time the ground needs to give its water.
    """
    base, rim = bedding_base(seen), seen.get(("levels", "rim_above_ground"))
    water, tidal = seen.get(("ground", "groundwater")), seen.get(("ground", "tidal"))
    if base is None or rim is None or water is None or tidal is None:
        return None
    if tidal:
        return False
    limit = base - rim + STAYS_BELOW  # below ground
    highest = seen.get(("ground", "highest_known"))
    if highest is not None and highest < limit - 1e-9:
        return False
    if hasattr(water, "depth"):
        return bool(water.depth >= limit - 1e-9)
    grounds = dig_grounds(reading, top=base - rim, bottom=water.not_seen_to)
    if not grounds:
        return None
    enough = min(WEEK, max(hole_lag(ground.k.typical) for ground in grounds))
    return bool(water.not_seen_to >= limit - 1e-9 and water.watched_for >= enough)


def hole_lag(k: float) -> float:
    """Seconds until a hole shows nine tenths of the water level, in ground of permeability k (m/s).

    ln 10 · A/(F·k) with F = 2πL/ln(L/D + √(1 + (L/D)²)), a hole of 100 mm with 300 mm of it wet
    (Hvorslev 1951, case of a wall without a filter).
    """
    slender = HOLE_WET / HOLE_DIAMETER
    shape = 2 * math.pi * HOLE_WET / math.log(slender + math.sqrt(1 + slender**2))
    return math.log(10) * math.pi / 4 * HOLE_DIAMETER**2 / (shape * k)


def bedding_base(seen: Seen) -> float | None:
    """Depth of the bedding's base at the deepest floor, m below the rim; None where unreadable."""
    floor, floor_thickness = seen.get(("shell", "floor")), seen.get(("shell", "floor_thickness"))
    thickness = seen.get(("bedding", "thickness"))
    if floor is None or floor_thickness is None or thickness is None:
        return None
    return float(max(z for _, z in floor) + floor_thickness + thickness)


def dig_grounds(reading: Reading, top: float = 0.0, bottom: float = math.inf) -> list[Ground]:
    """Return the grounds between two depths below ground (m); empty where they could not be read."""
    soil, layers = reading.seen.get(("ground", "soil")), reading.seen.get(("ground", "layers"))
    ids: list[str] = []
    if soil is not None:
        ids = [soil]
    elif layers:
        above = 0.0
        for at, layer in enumerate(layers):
            below = math.inf if at == len(layers) - 1 or layer.to is None else layer.to
            if below > top + 1e-9 and (above < bottom - 1e-9 or above <= top):
                ids.append(layer.soil)
            above = below
    try:
        return [reading.catalogue.grounds[name] for name in ids]
    except InputFaults as exc:
        reading.borrow(exc.faults)
        return []


def millimetres(value: float) -> str:
    """Return metres as an author would write them."""
    return f"{value * 1000:.10g} mm"
