"""Volumes of shell and dig from slices cut here, with nothing taken from the profiles the numbers come from.

A mitred inset's area is a parabola in depth, and a sloping floor cuts it along a straight line: Gauss's
two points, which are exact for cubics, between any two depths at which a floor, a base or a ledge begins.
"""

from __future__ import annotations

import math
from bisect import bisect_right
from collections.abc import Callable, Iterable, Sequence
from itertools import pairwise

import shapely
from shapely.geometry.base import BaseGeometry

from builder.levels import Levels

FAR = 1e3
CELL = 0.040  # m: the greatest height of a slice, for edges that vanish on the way


def deeper(line: Sequence[tuple[float, float]], z: float) -> BaseGeometry:
    """Plan of the stations where a line of (x, depth), level beyond its ends, lies deeper than z."""
    points = [(-FAR, line[0][1]), *line, (FAR, line[-1][1])]
    boxes = []
    for (x0, z0), (x1, z1) in pairwise(points):
        if min(z0, z1) >= z and max(z0, z1) > z:
            boxes.append(shapely.box(x0, -FAR, x1, FAR))
        elif max(z0, z1) > z:
            meets = x0 + (x1 - x0) * (z - z0) / (z1 - z0)
            low, high = (meets, x1) if z1 > z else (x0, meets)
            boxes.append(shapely.box(low, -FAR, high, FAR))
    return shapely.union_all(boxes)


def shell_area(levels: Levels, z: float, *, outside: bool) -> float:
    """Plan area of the water space, or of the outside solid, at depth z: the design's own words."""
    shell = levels.solid.shell
    low = shell.floor_thickness if outside else 0.0
    inset = shell.outline.polygon.buffer(-z * math.tan(shell.wall_batter), join_style="mitre", mitre_limit=99)
    plan = inset
    if outside:
        plan = inset.buffer(shell.wall, join_style="mitre", mitre_limit=99)
    plan = plan.intersection(deeper([(x, depth + low) for x, depth in shell.floor], z))
    for ledge in shell.ledges:
        if ledge.depth + low <= z:
            solid = shapely.box(ledge.x, ledge.y, ledge.x + ledge.length, ledge.y + ledge.width)
            plan = plan.difference(solid)
            if outside:  # where a ledge ends at the wall it goes on through it
                grown = solid.buffer(2 * shell.wall, join_style="mitre")
                plan = plan.difference(grown.difference(shell.outline.polygon))
    return float(plan.area)


def backfill_area(levels: Levels, z: float) -> float:
    """Plan area of the backfill at depth z: the dig, less the shell, less bedding and make-up."""
    dig, thick = levels.dig, levels.solid.shell.floor_thickness
    under = [(x, depth + thick) for x, depth in levels.solid.shell.floor]
    bed = dig.base.polygon.intersection(deeper(dig.base_line, z)).difference(deeper(under, z))
    return float(dig.region(z).area) - shell_area(levels, z, outside=True) - float(bed.area)


class Stack:
    """The integral of an area over depth, cell by cell, from the bottom up."""

    def __init__(self, area: Callable[[float], float], top: float, bottom: float, breaks: Iterable[float]):
        """Cut the height between top and bottom at every break and every 25 mm."""
        self.area = area
        marks = {top, bottom, *(z for z in breaks if top < z < bottom)}
        ends = [top]
        for upper, lower in pairwise(sorted(marks)):
            count = math.ceil((lower - upper) / CELL)
            ends += [upper + (lower - upper) * at / count for at in range(1, count + 1)]
        self.ends = ends
        self.sums: dict[int, float] = {len(ends) - 1: 0.0}

    def below(self, z: float) -> float:
        """Volume below depth z in m3; nothing stands above the top."""
        if z >= self.ends[-1]:
            return 0.0
        at = bisect_right(self.ends, z)
        return self._slice(z, self.ends[at]) + self._sum(at)

    def _sum(self, at: int) -> float:
        first = min(self.sums)
        for cell in range(first - 1, at - 1, -1):
            self.sums[cell] = self.sums[cell + 1] + self._slice(self.ends[cell], self.ends[cell + 1])
        return self.sums[at]

    def _slice(self, upper: float, lower: float) -> float:
        middle, half = (upper + lower) / 2, (lower - upper) / 2
        return half * (self.area(middle - half / math.sqrt(3)) + self.area(middle + half / math.sqrt(3)))


class Sliced:
    """A job's volumes below a depth, in m3: water space, outside solid, backfill."""

    def __init__(self, levels: Levels) -> None:
        """Note where floors, bases and ledges begin."""
        shell = levels.solid.shell
        floors = [z for _, z in shell.floor] + [ledge.depth for ledge in shell.ledges]
        under = [z + shell.floor_thickness for z in floors]
        bases = [*under, *(z for _, z in levels.dig.base_line)]
        top = min(levels.ground, 0.0)
        self.inside = Stack(
            lambda z: shell_area(levels, z, outside=False), top, levels.floor_deep, floors
        ).below
        self.outside = Stack(
            lambda z: shell_area(levels, z, outside=True), top, levels.underside_deep, under
        ).below
        self.backfill = Stack(
            lambda z: backfill_area(levels, z), levels.ground, levels.dig.deepest, bases
        ).below
