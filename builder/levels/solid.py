"""The shell as a solid: what stands where, inside and outside, by depth below the rim.

Inside at depth z: the outline inset (mitred) by z tan(batter), cut to the stations where the floor
lies deeper than z, less the ledges that start at z or above. Outside: the inset outline grown
(mitred) by the wall, floor and ledges lowered by the floor's thickness.
"""

from __future__ import annotations

import itertools
import math
from dataclasses import dataclass
from functools import cached_property

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry import Point, Polygon
from shapely.geometry.base import BaseGeometry
from shapely.ops import nearest_points

from builder.job import Ledge, Shell
from builder.levels.profile import STEP, Depths, Profile
from builder.levels.strips import EVERYWHERE, FAR, within
from builder.plan import Outline, chords, clearance, outline_of

VALVE_TO_WALL = 0.150  # metres kept between the valve's flange and the wall's foot (DESIGN, common practice)
Line = tuple[tuple[float, float], ...]


@dataclass(frozen=True)
class Solid:
    """The shell's geometry; `step` is the panel height of the profiles in metres."""

    shell: Shell
    step: float = STEP

    @cached_property
    def lean(self) -> float:
        """Horizontal metres a wall leans in for each metre down."""
        return math.tan(self.shell.wall_batter)

    @property
    def outline(self) -> Outline:
        """The inside outline at the rim."""
        return self.shell.outline

    @cached_property
    def outside(self) -> Outline:
        """The outside outline at the rim."""
        return outline_of(self.outline.offset(self.shell.wall))

    @property
    def floor_line(self) -> Line:
        """(x, depth) of the inside floor."""
        return self.shell.floor

    @cached_property
    def underside_line(self) -> Line:
        """(x, depth) of the floor's underside."""
        return tuple((x, z + self.shell.floor_thickness) for x, z in self.shell.floor)

    def floor(self, x: float) -> float:
        """Return the inside floor's depth at station x; level beyond the ends."""
        stations = np.asarray(self.shell.floor)
        return float(np.interp(x, stations[:, 0], stations[:, 1]))

    def inset(self, z: float) -> BaseGeometry:
        """Return the plan inside the walls at depth z, whatever the floor does there."""
        return self.outline.offset(-z * self.lean)

    def outset(self, z: float) -> BaseGeometry:
        """Return the plan of the walls' outside face at depth z."""
        return self.outline.offset(self.shell.wall - z * self.lean)

    def inside(self, z: float) -> BaseGeometry:
        """Return the plan of the water space at depth z."""
        return _cut(self.inset(z), self._bands(z, 0.0), self._ledges(z, 0.0, 0.0))

    def outside_at(self, z: float) -> BaseGeometry:
        """Return the plan of the outside solid at depth z."""
        t = self.shell.floor_thickness
        return _cut(self.outset(z), self._bands(z, t), self._ledges(z, t, self.shell.wall))

    @cached_property
    def floor_deep(self) -> float:
        """Depth of the deepest inside floor: deepest between the wall feet."""
        left, right = self.wall_feet
        return max(
            self.floor(left), self.floor(right), *(z for x, z in self.floor_line if left <= x <= right), 0.0
        )

    @cached_property
    def underside_deep(self) -> float:
        """Depth of the deepest underside."""
        return self.floor_deep + self.shell.floor_thickness

    @cached_property
    def wall_feet(self) -> tuple[float, float]:
        """Stations x where the end walls meet the floor, inside."""
        low, _, high, _ = self.outline.bounds
        left, right = low, high
        for _ in range(200):
            new_left = self.outline.offset_bounds(-self.floor(left) * self.lean)[0]
            new_right = self.outline.offset_bounds(-self.floor(right) * self.lean)[2]
            moved = max(abs(new_left - left), abs(new_right - right))
            left, right = new_left, new_right
            if moved < 1e-12:
                break
        return left, right

    @cached_property
    def deep_run(self) -> tuple[float, float]:
        """(x, x) of the longest run of the floor at its greatest depth, between the wall feet."""
        left, right = self.wall_feet
        deep = self.floor_deep
        stations = [x for x, _ in self.floor_line if left < x < right]
        points = [left, *stations, right]
        at_depth = [abs(self.floor(x) - deep) < 1e-9 for x in points]
        runs: list[tuple[float, float]] = []
        for x, deep_here in zip(points, at_depth, strict=True):
            if not deep_here:
                continue
            if runs and abs(self.floor((runs[-1][1] + x) / 2) - deep) < 1e-9:
                runs[-1] = (runs[-1][0], x)
            else:
                runs.append((x, x))
        return max(runs, key=lambda run: run[1] - run[0])

    @cached_property
    def valve(self) -> tuple[float, float] | None:
        """(x, y) of the relief valve; None where the floor has no room for its flange.

        The middle of the deepest run, in the middle of the widest run across it, but never nearer
        the wall's foot, or a ledge's, than half the flange and 150 mm.
        """
        relief = self.shell.relief
        if relief.at != "lowest":
            return relief.at
        floor = _cut(self.inset(self.floor_deep), None, self._ledges(self.floor_deep, 0.0, 0.0))
        x = sum(self.deep_run) / 2
        across = chords(floor, x=x)
        if across:
            low, high = max(across, key=lambda run: run[1] - run[0])
            y = (low + high) / 2
        else:
            y = floor.centroid.y
        room = relief.flange / 2 + VALVE_TO_WALL
        if floor.contains(Point(x, y)) and clearance(floor, x, y) >= room:
            return x, y
        allowed = floor.buffer(-room)
        if allowed.is_empty:
            return None
        nearest = nearest_points(allowed, Point(x, y))[0]
        return float(nearest.x), float(nearest.y)

    def to_outside(self, x: float, y: float) -> float:
        """Return the metres from (x, y) to the outside outline at the floor's own depth there."""
        return clearance(self.outset(self.floor(x)), x, y)

    @cached_property
    def inside_profile(self) -> Profile:
        """The water space by depth, from the rim to the deepest floor."""
        return self._profile(0.0, 0.0)

    @cached_property
    def outside_profile(self) -> Profile:
        """The outside solid by depth, from the rim to the deepest underside."""
        return self._profile(self.shell.floor_thickness, self.shell.wall)

    @cached_property
    def laminate_centre(self) -> float:
        """Station x of the centre of the laminate between the two faces."""
        inside, outside = self.inside_profile, self.outside_profile
        volume = outside.volume_below(0.0) - inside.volume_below(0.0)
        return (outside.moment_below(0.0) - inside.moment_below(0.0)) / volume

    @property
    def weight_centre(self) -> float:
        """Station x of the shell's weight: the maker's, else the laminate's own spread."""
        given = self.shell.weight_centre
        return self.laminate_centre if given is None else given

    def _profile(self, lowered: float, wall: float) -> Profile:
        breaks = [z + lowered for _, z in self.floor_line] + [
            ledge.depth + lowered for ledge in self.shell.ledges
        ]
        bottom = self.floor_deep + lowered

        def slices(depths: Depths) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
            return _slices(self, depths, lowered, wall)

        return Profile(slices, 0.0, bottom, breaks, self.step)

    def _bands(self, z: float, lowered: float) -> list[tuple[float, float]] | None:
        """Runs of x where the (lowered) floor is deeper than z; None for everywhere."""
        line = [(x, depth + lowered) for x, depth in self.floor_line]
        return deeper_than(line, z)

    def _ledges(self, z: float, lowered: float, wall: float) -> list[Polygon]:
        return [
            _ledge_plan(self.outline, ledge, wall)
            for ledge in self.shell.ledges
            if ledge.depth + lowered <= z
        ]


def deeper_than(line: list[tuple[float, float]], z: float) -> list[tuple[float, float]] | None:
    """Return the runs of x where the line of (x, depth) lies deeper than z; None for everywhere.

    The line goes on level beyond its ends.
    """
    if all(depth > z for _, depth in line):
        return None
    return _crossed(line, z)


def _crossed(line: list[tuple[float, float]], z: float) -> list[tuple[float, float]]:
    """The runs of a line that somewhere is no deeper than z."""
    runs: list[tuple[float, float]] = []
    start = -FAR if line[0][1] > z else None
    for (x0, z0), (x1, z1) in itertools.pairwise(line):
        if (z0 > z) != (z1 > z):
            x = x0 + (x1 - x0) * (z - z0) / (z1 - z0)
            if z1 > z:
                start = x
            elif start is not None:
                runs.append((start, x))
                start = None
    if start is not None:
        runs.append((start, FAR))
    return runs


def band(runs: list[tuple[float, float]]) -> BaseGeometry:
    """Return the plan of the runs of x, endless across."""
    boxes = [shapely.box(low, -FAR, high, FAR) for low, high in runs]
    return boxes[0] if len(boxes) == 1 else shapely.union_all(boxes)


def runs_deeper(line: list[tuple[float, float]], depths: Depths) -> list[list[tuple[float, float]]]:
    """Return the runs of x where the line lies deeper, for many depths; `EVERYWHERE` where all of it does."""
    highest = min(depth for _, depth in line)
    return [EVERYWHERE if z < highest else _crossed(line, z) for z in depths.tolist()]


def cut_to_runs(plans: NDArray[np.object_], line: list[tuple[float, float]], depths: Depths) -> None:
    """Cut the plan at each depth, in place, to where the line of (x, depth) lies deeper."""
    runs = runs_deeper(line, depths)
    single = [at for at, found in enumerate(runs) if len(found) == 1 and found is not EVERYWHERE]
    if single:
        low, high = np.array([runs[at][0] for at in single]).T
        plans[single] = shapely.intersection(plans[single], shapely.box(low, -FAR, high, FAR))
    for at, found in enumerate(runs):
        if len(found) != 1:
            plans[at] = plans[at].intersection(band(found))


def _cut(plan: BaseGeometry, runs: list[tuple[float, float]] | None, ledges: list[Polygon]) -> BaseGeometry:
    if runs is not None:
        plan = plan.intersection(band(runs))
    for ledge in ledges:
        plan = plan.difference(ledge)
    return plan


def _ledge_plan(outline: Outline, ledge: Ledge, wall: float) -> Polygon:
    """The ledge's rectangle; a side that lies on the outline's edge goes out through the wall."""
    x, y, length, width = ledge.x, ledge.y, ledge.length, ledge.width
    low_x, low_y, high_x, high_y = outline.bounds
    reach = wall * 2 + 1e-6 if wall else 0.0
    near = 1e-3
    return shapely.box(
        x - (reach if x <= low_x + near else 0.0),
        y - (reach if y <= low_y + near else 0.0),
        x + length + (reach if x + length >= high_x - near else 0.0),
        y + width + (reach if y + width >= high_y - near else 0.0),
    )


def _slices(
    solid: Solid, depths: Depths, lowered: float, wall: float
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Areas and moments at many depths, in one go."""
    line = [(x, z + lowered) for x, z in solid.floor_line]
    distances = wall - depths * solid.lean
    areas, moments = np.zeros(depths.size), np.zeros(depths.size)
    # Above every ledge, and as long as no edge has vanished, the rings themselves are enough.
    rings, plain = solid.outline.rings(distances)
    plain &= depths < min((ledge.depth + lowered for ledge in solid.shell.ledges), default=math.inf)
    areas[plain], moments[plain] = within(rings[plain], runs_deeper(line, depths[plain]))
    if not plain.all():
        areas[~plain], moments[~plain] = _slices_of_plans(solid, depths[~plain], lowered, wall)
    return areas, moments


def _slices_of_plans(
    solid: Solid, depths: Depths, lowered: float, wall: float
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    plans = solid.outline.offsets(wall - depths * solid.lean)
    cut_to_runs(plans, [(x, z + lowered) for x, z in solid.floor_line], depths)
    for ledge in solid.shell.ledges:
        under = depths >= ledge.depth + lowered
        if under.any():
            plans[under] = shapely.difference(plans[under], _ledge_plan(solid.outline, ledge, wall))
    return areas_and_moments(plans)


def areas_and_moments(plans: NDArray[np.object_]) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Return area in m2 and first moment about x = 0 in m3 of each plan; 0 for an empty one."""
    areas = np.asarray(shapely.area(plans))
    moments = np.zeros(areas.size)
    there = areas > 0  # an empty plan has no centroid to read
    moments[there] = areas[there] * shapely.get_x(shapely.centroid(plans[there]))
    return areas, moments
