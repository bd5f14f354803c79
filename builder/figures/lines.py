"""Plain geometry of lines in a vertical cut: moved square, cut at a level. Metres, depth down."""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import pairwise

from builder.figures.canvas import Point

Line = Sequence[Point]


def moved(line: Line, distance: float) -> list[Point]:
    """Return an open line moved square by `distance`, mitred.

    Above 0 it moves to the left of the way it runs, with depth counted downwards: a line from left
    to right moves up.
    """
    kept = [line[0], *(b for a, b in pairwise(line) if math.dist(a, b) > 1e-9)]
    ways = [_unit(a, b) for a, b in pairwise(kept)]
    out = []
    for at, (x, z) in enumerate(kept):
        before, after = ways[max(at - 1, 0)], ways[min(at, len(ways) - 1)]
        normals = (before[1], -before[0]), (after[1], -after[0])
        share = 1.0 + normals[0][0] * normals[1][0] + normals[0][1] * normals[1][1]
        if share < 0.1:  # the line turns back on itself: no mitre
            out += [(x + distance * nx, z + distance * nz) for nx, nz in normals]
        else:
            out.append(
                (
                    x + distance * (normals[0][0] + normals[1][0]) / share,
                    z + distance * (normals[0][1] + normals[1][1]) / share,
                )
            )
    return out


def below(ring: Line, level: float) -> list[Point]:
    """Return the part of a ring at or below a level (its depth at least `level`)."""
    out: list[Point] = []
    if not ring:
        return out
    for (x0, z0), (x1, z1) in zip(ring, [*ring[1:], ring[0]], strict=True):
        if z0 >= level:
            out.append((x0, z0))
        if (z0 - level) * (z1 - level) < 0:
            out.append((x0 + (x1 - x0) * (level - z0) / (z1 - z0), level))
    return out


def within(ring: Line, left: float, right: float) -> list[Point]:
    """Return the part of a ring between two x."""
    kept = below([(z, x) for x, z in ring], left)
    kept = below([(z, -x) for z, x in kept], -right)
    return [(-x, z) for z, x in kept]


def cut(line: Line, level: float) -> list[float]:
    """Return the x, rising, at which a line passes a level."""
    found = []
    for (x0, z0), (x1, z1) in pairwise(line):
        if (z0 < level) != (z1 < level):
            found.append(x0 + (x1 - x0) * (level - z0) / (z1 - z0))
    return sorted(found)


def plainer(line: Line, tolerance: float) -> list[Point]:
    """Return a line without the points that move it by less than a tolerance (Douglas and Peucker)."""
    if len(line) < 3:
        return list(line)
    start, end = line[0], line[-1]
    long = math.dist(start, end)

    def off(point: Point) -> float:
        if long < 1e-12:
            return math.dist(point, start)
        return (
            abs((end[0] - start[0]) * (point[1] - start[1]) - (end[1] - start[1]) * (point[0] - start[0]))
            / long
        )

    far = max(range(1, len(line) - 1), key=lambda at: off(line[at]))
    if off(line[far]) < tolerance:
        return [start, end]
    return [*plainer(line[: far + 1], tolerance)[:-1], *plainer(line[far:], tolerance)]


def _unit(a: Point, b: Point) -> Point:
    length = math.dist(a, b)
    return (b[0] - a[0]) / length, (b[1] - a[1]) / length
