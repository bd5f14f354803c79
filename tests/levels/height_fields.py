"""Shell and dig worked another way: the depth over every point of a fine grid, no section anywhere.

Over a point of the plan the water is as deep as the least of floor, ledge and leaning wall allow; the
dig is as deep as the base, or as the nearest edge of the base less the rise of the side up to there.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from builder.levels import Levels

Values = NDArray[np.float64]


@dataclass(frozen=True)
class Field:
    """Depths over the middles of equal cells."""

    x: Values
    depth: Values
    cell: float

    def volume_below(self, z: float) -> float:
        """Volume in m3 between z and the depth."""
        return float(np.maximum(self.depth - z, 0.0).sum() * self.cell)

    def moment_below(self, z: float) -> float:
        """First moment in m4 of that volume about x = 0."""
        return float((np.maximum(self.depth - z, 0.0) * self.x).sum() * self.cell)


def grid(bounds: tuple[float, float, float, float], count: int) -> tuple[Values, Values, float]:
    """Middles of about `count` cells along x, and as many across as keep them square."""
    low_x, low_y, high_x, high_y = bounds
    across = max(1, round(count * (high_y - low_y) / (high_x - low_x)))
    x = low_x + (np.arange(count) + 0.5) / count * (high_x - low_x)
    y = low_y + (np.arange(across) + 0.5) / across * (high_y - low_y)
    every_x, every_y = np.meshgrid(x, y)
    return every_x.ravel(), every_y.ravel(), (high_x - low_x) * (high_y - low_y) / count / across


def water(levels: Levels, count: int) -> Field:
    """The water space of an outline whose inner corners are no sharper than a bend."""
    shell = levels.solid.shell
    polygon = shapely.Polygon(shell.outline.points)
    x, y, cell = grid(polygon.bounds, count)
    within = shapely.contains_xy(polygon, x, y)
    line = np.asarray(shell.floor)
    depth = np.interp(x, line[:, 0], line[:, 1])
    for ledge in shell.ledges:
        under = (x > ledge.x) & (x < ledge.x + ledge.length) & (y > ledge.y) & (y < ledge.y + ledge.width)
        depth[under] = np.minimum(depth[under], ledge.depth)
    if levels.solid.lean > 0:
        depth = np.minimum(depth, _to_edges(shell.outline.points, x, y) / levels.solid.lean)
    return Field(x, np.where(within, depth, 0.0), cell)


def dig(levels: Levels, count: int) -> Field:
    """The dig: straight out from every edge of the base, in fans round its corners."""
    hole = levels.dig
    run = hole.run
    reach = (hole.deepest - levels.ground) * run
    low_x, low_y, high_x, high_y = hole.base.bounds
    x, y, cell = grid((low_x - reach, low_y - reach, high_x + reach, high_y + reach), count)
    within = shapely.contains_xy(hole.base.polygon, x, y)
    depth = np.where(within, _along(hole.base_line, x), levels.ground)
    out_x, out_y = x[~within], y[~within]
    best = np.full(out_x.shape, -1e9)
    points = _with_breaks(hole.base.points, [at for at, _ in hole.base_line])
    for at in range(len(points)) if run > 0 else ():
        before, start, end = points[at - 1], points[at], points[(at + 1) % len(points)]
        along, past = _unit(end - start), _unit(start - before)
        share = (out_x - start[0]) * along[0] + (out_y - start[1]) * along[1]
        away = (out_x - start[0]) * along[1] - (out_y - start[1]) * along[0]
        beside = (share >= 0) & (share <= np.hypot(*(end - start))) & (away >= 0)
        side = _along(hole.base_line, start[0] + share * along[0]) - away / run
        best = np.where(beside, np.maximum(best, side), best)
        fan = (share < 0) & ((out_x - start[0]) * past[0] + (out_y - start[1]) * past[1] > 0)
        radius = np.hypot(out_x - start[0], out_y - start[1])
        corner = _along(hole.base_line, np.array([start[0]]))[0] - radius / run
        best = np.where(fan, np.maximum(best, corner), best)
    depth[~within] = np.maximum(best, levels.ground)
    return Field(x, depth, cell)


def swept(levels: Levels, z: float) -> BaseGeometry:
    """The plan of the dig at depth z, over all its base: the base and each edge's strip, joined."""
    hole = levels.dig
    points = _with_breaks(hole.base.points, [at for at, _ in hole.base_line])
    reach = (_along(hole.base_line, points[:, 0]) - z) * hole.run
    parts = [shapely.Polygon(points)]
    for at, start in enumerate(points):
        after = (at + 1) % len(points)
        ends = [
            place
            + reach[corner] * (_out(points, at) if _turns_in(points, corner) else _mitre(points, corner))
            for corner, place in ((after, points[after]), (at, start))
        ]
        parts.append(shapely.Polygon([start, points[after], *ends]).buffer(0))
    return shapely.union_all(parts)


def _out(points: Values, at: int) -> Values:
    along = _unit(points[(at + 1) % len(points)] - points[at])
    return np.array([along[1], -along[0]])


def _turns_in(points: Values, at: int) -> bool:
    before, after = _out(points, at - 1), _out(points, at)
    return bool(before[0] * after[1] - before[1] * after[0] < -1e-9)


def _mitre(points: Values, at: int) -> Values:
    before, after = _out(points, at - 1), _out(points, at)
    return np.asarray((before + after) / (1 + before @ after))


def _along(line: tuple[tuple[float, float], ...], x: Values) -> Values:
    stations = np.asarray(line)
    return np.asarray(np.interp(x, stations[:, 0], stations[:, 1]))


def _unit(vector: Values) -> Values:
    return np.asarray(vector / np.hypot(*vector))


def _to_edges(points: Values, x: Values, y: Values) -> Values:
    """Least distance to any edge."""
    least = np.full(x.shape, np.inf)
    for start, end in zip(points, np.roll(points, -1, axis=0), strict=True):
        along = _unit(end - start)
        share = np.clip((x - start[0]) * along[0] + (y - start[1]) * along[1], 0, np.hypot(*(end - start)))
        least = np.minimum(least, np.hypot(x - start[0] - share * along[0], y - start[1] - share * along[1]))
    return least


def _with_breaks(points: Values, stations: list[float]) -> Values:
    found = []
    for start, end in zip(points, np.roll(points, -1, axis=0), strict=True):
        found.append(start)
        span = end[0] - start[0]
        if abs(span) > 1e-9:
            shares = sorted((at - start[0]) / span for at in stations)
            found.extend(start + share * (end - start) for share in shares if 1e-9 < share < 1 - 1e-9)
    return np.array(found)
