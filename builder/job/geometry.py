"""Faults of a shell's own shape: outline, floor, walls and mass that cannot be built together."""

from __future__ import annotations

import math

import numpy as np
import shapely

from builder import plan
from builder.job.floor import Floor, runs_at
from builder.job.looks import Look, run, size
from builder.job.reading import Reading

EXACT = 1e-3  # m: a millimetre of rounding, as from feet and inches, is no fault
SHARPEST = math.radians(25)  # a corner in plan that laminate can still be laid into
STEEPEST = 2.0  # fall over run of a floor that bedding still lies on
MASS_RATIO = (0.2, 6.0)  # of the laminate's own weight by area, thickness and density


def outline_place(reading: Reading, outline: plan.Outline) -> None:
    """The outline starts at x = 0, y = 0, runs along x, and has no corner too sharp."""
    at = ("shell", "outline")
    low_x, low_y, high_x, high_y = outline.bounds
    if abs(low_x) > EXACT or abs(low_y) > EXACT:
        wrong = f"the outline starts at x = {size(low_x)}, y = {size(low_y)}"
        reading.fault_at(at, wrong, "Move it so that its least x and its least y are 0 m")
    length, width = high_x - low_x, high_y - low_y
    if width > length + EXACT:
        wrong = f"it is {size(length)} along x and {size(width)} across, but x runs along the long axis"
        reading.fault_at(at, wrong, "Swap the two")
    if length < 1.0 or width < 0.8:
        wrong = f"it is only {size(length)} by {size(width)}"
        reading.fault_at(at, wrong, "Write the inside of the shell at the rim, such as 7.4 m by 3.4 m")
    before, after = np.roll(outline.normals, 1, axis=0), outline.normals
    inside = math.pi - np.arccos(np.clip((before * after).sum(axis=1), -1.0, 1.0))
    for corner in np.flatnonzero(inside < SHARPEST)[:1]:
        x, y = outline.points[corner]
        wrong = (
            f"the corner at x = {size(x)}, y = {size(y)} has only {math.degrees(inside[corner]):.0f} degrees"
        )
        reading.fault_at(at, wrong, "Check that point, or round the corner with more points")


def floor_stations(reading: Reading, floor: Floor) -> None:
    """Stations rise strictly along x, from 0, and no run between them is steeper than a floor can be."""
    at = ("shell", "floor")
    if abs(floor[0][0]) > EXACT:
        reading.fault_at(
            (*at, 0), f"the floor starts at x = {size(floor[0][0])}", "Start it at 0 m, under the rim"
        )
    for index in range(1, len(floor)):
        (x0, z0), (x1, z1) = floor[index - 1], floor[index]
        if x1 <= x0:
            wrong = f"x = {size(x1)} does not lie beyond the station before it, x = {size(x0)}"
            reading.fault_at((*at, index), wrong, "List the stations from x = 0 m on, each farther along")
        elif abs(z1 - z0) > STEEPEST * (x1 - x0):
            wrong = (
                f"the floor falls or rises {size(abs(z1 - z0))} within {size(x1 - x0)}, "
                "too steep for any bedding"
            )
            reading.fault_at(
                (*at, index), wrong, "Check x and depth of this station, or draw the step as a ledge"
            )


def floor_covers(reading: Reading, outline: plan.Outline, floor: Floor) -> None:
    """The stations cover the outline's whole length."""
    length, last = outline.bounds[2], floor[-1][0]
    if abs(last - length) > EXACT:
        wrong = f"the floor ends at x = {size(last)}, but the outline at {size(length)}"
        reading.fault_at(("shell", "floor", len(floor) - 1), wrong, f"End it at {length:.6g} m")


def walls_meet(reading: Reading, outline: plan.Outline, floor: Floor, batter: float) -> None:
    """The walls' lean leaves a floor, in one piece, at the shallowest and at the deepest station."""
    if not batter:
        return
    at = ("shell", "wall_batter")
    shallow, deep = min(z for _, z in floor), max(z for _, z in floor)
    shift = math.tan(batter) * deep
    runs = [(0.0, outline.bounds[2], shallow)]
    runs += [(x0, x1, deep) for x0, x1 in runs_at(floor, deep - STEEPEST * shift - EXACT)]
    for x0, x1, depth in runs:
        strip = shapely.box(x0 - EXACT, -1.0, x1 + EXACT, outline.bounds[3] + 1.0)
        left = plan.pieces(outline.offset(-depth * math.tan(batter)).intersection(strip))
        if not left:
            wrong = (
                f"walls that lean in by {math.degrees(batter):.3g} degrees meet above "
                f"the floor at {size(depth)}"
            )
            reading.fault_at(
                at, wrong, "Write the lean from the vertical, such as 4 deg, or check the depths"
            )
            return
        if len(left) > len(plan.pieces(outline.polygon.intersection(strip))):
            wrong = (
                f"walls that lean in by {math.degrees(batter):.3g} degrees part the "
                f"floor in {len(left)} at {size(depth)}"
            )
            reading.fault_at(at, wrong, "Write a smaller lean, or widen the outline's narrow place")
            return


def weight_place(reading: Reading, outline: plan.Outline, centre: float | None) -> None:
    """The weight's centre lies over the shell."""
    if centre is not None and not 0.0 < centre < outline.bounds[2]:
        wrong = f"the weight's centre lies at x = {size(centre)}, off the shell of {size(outline.bounds[2])}"
        reading.fault_at(("shell", "weight_centre"), wrong, "Write its x along the shell, such as 3.9 m")


def mass_likely(
    reading: Reading,
    outline: plan.Outline,
    floor: Floor,
    wall: float,
    thickness: float,
    density: float,
    mass: float,
) -> None:
    """The mass is of the order that area, thickness and density of the laminate make."""
    xs, zs = np.array([x for x, _ in floor]), np.array([z for _, z in floor])
    mean = float(np.trapezoid(zs, xs) / (xs[-1] - xs[0]))
    likely = density * (outline.polygon.length * mean * wall + outline.polygon.area * thickness)
    if not MASS_RATIO[0] * likely <= mass <= MASS_RATIO[1] * likely:
        about = float(f"{likely:.2g}")
        wrong = f"{mass:.4g} kg can't be: laminate this thick weighs about {about:g} kg by its area"
        reading.fault_at(
            ("shell", "mass"), wrong, "Check the mass, the wall and the density with the shell's maker"
        )


def look(reading: Reading) -> None:
    """Report every fault of the shell's shape that its sound parts show."""
    run(_FIRST, reading, spoils=True)
    run(_LOOKS, reading)


_FIRST: tuple[Look, ...] = (
    (outline_place, ("shell.outline",)),
    (floor_stations, ("shell.floor",)),
)
_LOOKS: tuple[Look, ...] = (
    (floor_covers, ("shell.outline", "shell.floor")),
    (walls_meet, ("shell.outline", "shell.floor", "shell.wall_batter")),
    (weight_place, ("shell.outline", "shell.weight_centre")),
    (
        mass_likely,
        (
            "shell.outline",
            "shell.floor",
            "shell.wall",
            "shell.floor_thickness",
            "shell.laminate_density",
            "shell.mass",
        ),
    ),
)
