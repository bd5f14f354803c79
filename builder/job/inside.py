"""Faults of what stands in a shell: ledges, relief valve and skimmer that find no place in it."""

from __future__ import annotations

import math
from typing import Literal

import shapely
from shapely.geometry.base import BaseGeometry

from builder import plan
from builder.job.floor import Floor, Point, depth_at, runs_at
from builder.job.looks import Look, run, size
from builder.job.reading import Reading
from builder.job.shell import Bead, Ledge, Relief

EXACT = 1e-3  # m: a millimetre of rounding, as from feet and inches, is no fault
WALL_CLEAR = 0.15  # m between the valve's flange and the wall's foot


def ledges_fit(reading: Reading, outline: plan.Outline, ledges: tuple[Ledge, ...]) -> None:
    """Every ledge lies inside the outline."""
    high_x, high_y = outline.bounds[2:]
    for index, ledge in enumerate(ledges):
        at = ("shell", "ledges", index)
        if ledge.x + ledge.length > high_x + EXACT or ledge.y + ledge.width > high_y + EXACT:
            wrong = (
                f"the ledge reaches x = {size(ledge.x + ledge.length)}, y = {size(ledge.y + ledge.width)}, "
                f"but the outline ends at {size(high_x)}, {size(high_y)}"
            )
            reading.fault_at(at, wrong, "Check at (the corner of least x and y) and size")
        elif outline.polygon.intersection(_box(ledge)).area < 0.5 * ledge.length * ledge.width:
            wrong = "most of the ledge lies outside the outline"
            reading.fault_at(at, wrong, "Check at (the corner of least x and y) and size")


def ledges_stand(reading: Reading, floor: Floor, ledges: tuple[Ledge, ...]) -> None:
    """No ledge lies as deep as the floor under it."""
    for index, ledge in enumerate(ledges):
        ends = (ledge.x, ledge.x + ledge.length)
        under = [depth_at(floor, x) for x in ends] + [z for x, z in floor if ends[0] < x < ends[1]]
        if ledge.depth >= min(under) - 1e-9:
            wrong = (
                f"the ledge lies {size(ledge.depth)} below the rim, "
                f"but the floor under it only {size(min(under))}"
            )
            reading.fault_at(
                ("shell", "ledges", index, "depth"),
                wrong,
                "Write the depth of the ledge's top, less than the floor's",
            )


def valve_place(
    reading: Reading,
    outline: plan.Outline,
    floor: Floor,
    batter: float,
    ledges: tuple[Ledge, ...],
    place: Literal["lowest"] | Point,
    flange: float,
) -> None:
    """The relief valve has room on the floor, away from ledges and the wall's foot."""
    covered = shapely.union_all([_box(ledge) for ledge in ledges])
    if place != "lowest":
        _given_place(reading, outline, floor, batter, covered, place, flange)
        return
    deep = max(z for _, z in floor)
    inside = outline.offset(-deep * math.tan(batter))
    if not plan.pieces(inside):
        return  # told by walls_meet
    foot_left, _low, foot_right, _high = inside.bounds
    strips = []
    for x0, x1 in runs_at(floor, deep):
        middle = min(max((x0 + x1) / 2, foot_left + EXACT), foot_right - EXACT)
        start, end = max(x0, foot_left), min(x1, foot_right)
        if end - start < 2 * EXACT:
            start, end = middle - EXACT, middle + EXACT
        strips.append(shapely.box(start, -1.0, end, outline.bounds[3] + 1.0))
    lowest = shapely.union_all(strips)
    if not plan.pieces(inside.difference(covered).intersection(lowest)):
        wrong = "the ledges cover all of the lowest floor"
        reading.fault_at(("shell", "ledges"), wrong, "Leave the deepest floor free, for the valve sits there")
        return
    clear = flange / 2 + WALL_CLEAR
    room = inside.difference(covered).buffer(-clear)
    if not plan.pieces(room.intersection(lowest.buffer(clear + EXACT))):
        wrong = (
            f"a flange of {size(flange)} with {size(WALL_CLEAR)} to the wall's foot "
            "finds no room on the lowest floor"
        )
        reading.fault_at(
            ("shell", "relief", "flange"), wrong, "Write a smaller flange, or name a place under at"
        )


def _given_place(
    reading: Reading,
    outline: plan.Outline,
    floor: Floor,
    batter: float,
    covered: BaseGeometry,
    place: Point,
    flange: float,
) -> None:
    at = ("shell", "relief", "at")
    x, y = place
    spot = shapely.Point(x, y)
    inside = outline.offset(-depth_at(floor, x) * math.tan(batter))
    if not inside.contains(spot):
        wrong = f"the place x = {size(x)}, y = {size(y)} is not on the floor"
        reading.fault_at(at, wrong, "Write lowest, or a place inside the walls' foot")
    elif covered.covers(spot):
        reading.fault_at(at, "a ledge covers this place", "Write lowest, or a place on the floor itself")
    elif plan.clearance(inside.difference(covered), x, y) < flange / 2:
        wrong = f"a flange of {size(flange)} does not fit there"
        reading.fault_at(at, wrong, "Move the place away from the wall's foot or the ledge, or write lowest")


def relief_parts(reading: Reading, relief: Relief) -> None:
    """The flange is wider than the throat, and its land takes the bead."""
    land = (relief.flange - relief.throat) / 2
    if land <= 0:
        wrong = f"a flange of {size(relief.flange)} does not cover a throat of {size(relief.throat)}"
        reading.fault_at(
            ("shell", "relief", "flange"),
            wrong,
            "Write the flange's outside diameter, larger than the throat",
        )
    elif isinstance(relief.seal, Bead) and relief.seal.bead > land:
        wrong = f"a bead of {size(relief.seal.bead)} is wider than the flange's land of {size(land)}"
        reading.fault_at(
            ("shell", "relief", "seal", "bead"), wrong, "Write the diameter of the bead as it leaves the gun"
        )


def skimmer_place(reading: Reading, outline: plan.Outline, skimmer: Point | None) -> None:
    """The skimmer sits in the wall at the rim."""
    if skimmer is None:
        return
    away = plan.clearance(outline.polygon, *skimmer)
    if away <= 0.05:
        return
    side = "inside" if outline.polygon.contains(shapely.Point(skimmer)) else "outside"
    wrong = f"the skimmer stands {size(away)} {side} the outline, but it sits in the wall"
    reading.fault_at(("shell", "skimmer", "at"), wrong, "Write a place on the outline, such as [6.9 m, 0 m]")


def look(reading: Reading) -> None:
    """Report every fault of what stands in the shell."""
    run(_LOOKS, reading)


_LOOKS: tuple[Look, ...] = (
    (ledges_fit, ("shell.outline", "shell.ledges")),
    (ledges_stand, ("shell.floor", "shell.ledges")),
    (
        valve_place,
        (
            "shell.outline",
            "shell.floor",
            "shell.wall_batter",
            "shell.ledges",
            "shell.relief.at",
            "shell.relief.flange",
        ),
    ),
    (relief_parts, ("shell.relief",)),
    (skimmer_place, ("shell.outline", "shell.skimmer")),
)


def _box(ledge: Ledge) -> BaseGeometry:
    return shapely.box(ledge.x, ledge.y, ledge.x + ledge.length, ledge.y + ledge.width)
