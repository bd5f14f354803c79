"""Plan geometry: simple polygons, their insets and growth, in metres.

Used by job (to find outlines that cannot be built) and levels (to build the solid). Insets are
mitred and exact: every vertex of a mitred inset moves along a straight line until an edge
vanishes, so areas by depth are exact quadratics, with no smoothing by a buffer routine.
"""

from __future__ import annotations

import math
from functools import cached_property

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry import LineString, MultiPolygon, Point, Polygon
from shapely.geometry.base import BaseGeometry

Points = NDArray[np.float64]
ARC_STEP = math.radians(7.5)  # a quarter circle in 12 chords: area short by 0.3 % of the corner itself


class Outline:
    """A simple polygon, counter-clockwise, with its exact mitred offsets.

    points: (n, 2) in metres, not closed. Raises ValueError where the polygon is not simple.
    """

    def __init__(self, points: Points) -> None:
        """Orient the ring, drop repeated and collinear vertices."""
        ring = _clean(np.asarray(points, dtype=float))
        polygon = Polygon(ring)
        if len(ring) < 3 or not polygon.is_valid or polygon.area <= 0:
            raise ValueError("the outline crosses or touches itself")
        self.points: Points = ring if polygon.exterior.is_ccw else ring[::-1].copy()

    @cached_property
    def polygon(self) -> Polygon:
        """The outline as a polygon."""
        return Polygon(self.points)

    @cached_property
    def bounds(self) -> tuple[float, float, float, float]:
        """Least x, least y, greatest x, greatest y."""
        low, high = self.points.min(axis=0), self.points.max(axis=0)
        return float(low[0]), float(low[1]), float(high[0]), float(high[1])

    @cached_property
    def convex(self) -> bool:
        """Whether no corner turns inwards."""
        return bool((self._turns >= -1e-12).all())

    @cached_property
    def _edges(self) -> Points:
        return following(self.points, 0) - self.points

    @cached_property
    def normals(self) -> Points:
        """(n, 2) outward unit normals of the edges."""
        along = self._edges / np.linalg.norm(self._edges, axis=1, keepdims=True)
        return np.column_stack([along[:, 1], -along[:, 0]])

    @cached_property
    def _turns(self) -> NDArray[np.float64]:
        before, after = preceding(self.normals, 0), self.normals
        return np.asarray(before[:, 0] * after[:, 1] - before[:, 1] * after[:, 0])

    @cached_property
    def mitres(self) -> Points:
        """(n, 2) how far each vertex moves for an outward offset of 1."""
        before, after = preceding(self.normals, 0), self.normals
        bisector = before + after
        return np.asarray(bisector / (1.0 + (before * after).sum(axis=1))[:, None])

    @cached_property
    def _straight_limits(self) -> tuple[float, float]:
        """(inwards, outwards): offsets up to which no edge vanishes, both positive."""
        along = self._edges / np.linalg.norm(self._edges, axis=1, keepdims=True)
        growth = ((following(self.mitres, 0) - self.mitres) * along).sum(axis=1)
        length = np.linalg.norm(self._edges, axis=1)
        inwards = np.min(np.where(growth > 1e-15, length / np.where(growth > 1e-15, growth, 1.0), np.inf))
        outwards = np.min(np.where(growth < -1e-15, -length / np.where(growth < -1e-15, growth, 1.0), np.inf))
        return float(inwards), float(outwards)

    def offset(self, distance: float) -> BaseGeometry:
        """Return the mitred offset: outwards for a positive distance in metres, inwards below 0.

        The result may be empty, or in several pieces where walls meet.
        """
        inwards, outwards = self._straight_limits
        if -inwards < distance < outwards:
            moved = Polygon(self.points + distance * self.mitres)
            if moved.is_valid:
                return moved
        elif self.convex and distance < 0:
            return Polygon() if self._shrunk is None else self._shrunk.offset(distance + inwards)
        return self._swept(distance)

    def offset_bounds(self, distance: float) -> tuple[float, float, float, float]:
        """Return the bounds of the mitred offset: least x, least y, greatest x, greatest y."""
        inwards, outwards = self._straight_limits
        if self.convex and -inwards < distance < outwards:
            moved = self.points + distance * self.mitres
            low, high = moved.min(axis=0), moved.max(axis=0)
            return float(low[0]), float(low[1]), float(high[0]), float(high[1])
        low_x, low_y, high_x, high_y = self.offset(distance).bounds
        return low_x, low_y, high_x, high_y

    @cached_property
    def _shrunk(self) -> Outline | None:
        """What is left of a convex outline where its first edges vanish inwards; None where nothing is.

        The edges that are left go on inwards from there as they came.
        """
        try:
            return Outline(self.points - self._straight_limits[0] * self.mitres)
        except ValueError:
            return None

    def offsets(self, distances: Points) -> NDArray[np.object_]:
        """Return the mitred offsets for many distances at once, an object array of geometries."""
        rings, straight = self.rings(distances)
        inwards, _ = self._straight_limits
        moved = np.empty(len(distances), dtype=object)
        moved[straight] = shapely.polygons(rings[straight])
        beyond = (distances <= -inwards) if self.convex else np.zeros(distances.shape, dtype=bool)
        if beyond.any():
            left = self._shrunk
            moved[beyond] = Polygon() if left is None else left.offsets(distances[beyond] + inwards)
        for at in np.flatnonzero(~straight & ~beyond):
            moved[at] = self._swept(float(distances[at]))
        return moved

    def rings(self, distances: Points) -> tuple[Points, NDArray[np.bool_]]:
        """Return the mitred offsets as rings (m, n, 2), and where those are right: no edge has vanished."""
        inwards, outwards = self._straight_limits
        rings = self.points[None] + distances[:, None, None] * self.mitres[None]
        straight = (distances > -inwards) & (distances < outwards)
        if not self.convex:  # one wall can run into another before an edge vanishes
            straight[straight] = simple(rings[straight])
        return rings, straight

    def _swept(self, distance: float) -> BaseGeometry:
        """The mitred offset by taking away (or adding) the strip each edge sweeps."""
        ends = following(self.points, 0)
        strips = []
        for at in range(len(self.points)):
            shift = self.normals[at] * distance
            start, end = self.points[at], ends[at]
            next_at = (at + 1) % len(self.points)
            start_turn, end_turn = self._turns[at], self._turns[next_at]
            # Where the strip has room at a corner it runs on to the mitre.
            first = start + distance * self.mitres[at] if start_turn * distance > 0 else start + shift
            last = end + distance * self.mitres[next_at] if end_turn * distance > 0 else end + shift
            strips.append(Polygon([start, end, last, first]).buffer(0))
        swept = shapely.union_all(strips)
        return self.polygon.difference(swept) if distance < 0 else self.polygon.union(swept)

    def grown_round(self, distance: float, quad_segments: int = 16) -> Outline:
        """Return the outline grown outwards by `distance` with round corners."""
        if self.convex:
            return outline_of(self.polygon.buffer(distance, quad_segs=quad_segments))
        # From edge to edge: round an outer corner in chords, at an inner one by way of the corner itself.
        before, after = preceding(self.normals, 0), self.normals
        starts = np.arctan2(before[:, 1], before[:, 0])
        turns = np.arctan2(self._turns, (before * after).sum(axis=1))
        ring: list[Points] = []
        for at, corner in enumerate(self.points):
            if turns[at] < 0:
                ring.append(corner + distance * np.array([before[at], [0.0, 0.0], after[at]]))
                continue
            count = math.ceil(turns[at] / (math.pi / 2 / quad_segments) - 1e-9)
            ways = starts[at] + turns[at] * np.linspace(0.0, 1.0, count + 1)
            ring.append(corner + distance * np.column_stack([np.cos(ways), np.sin(ways)]))
        return outline_of(Polygon(np.concatenate(ring)).buffer(0.0))


def following(ring: Points, axis: int) -> Points:
    """Return at the place of each entry the one after it, round the ring: np.roll, and far quicker."""
    ends = (slice(None),) * axis
    return np.concatenate([ring[(*ends, slice(1, None))], ring[(*ends, slice(1))]], axis)


def preceding(ring: Points, axis: int) -> Points:
    """Return at the place of each entry the one before it, round the ring."""
    ends = (slice(None),) * axis
    return np.concatenate([ring[(*ends, slice(-1, None))], ring[(*ends, slice(-1))]], axis)


def rectangle(length: float, width: float, corner_radius: float = 0.0) -> Outline:
    """Return a rectangle from x = 0, y = 0 with round corners of `corner_radius`, in metres.

    The arc's points lie on a slightly larger circle, so that the corner keeps its true area.
    """
    if corner_radius <= 0:
        return Outline(np.array([[0.0, 0.0], [length, 0.0], [length, width], [0.0, width]]))
    steps = math.ceil(math.pi / 2 / ARC_STEP)
    angles = np.linspace(0.0, math.pi / 2, steps + 1)
    radius = np.full(steps + 1, corner_radius)
    # Sector area of the chords with inner points at radius r': r r' and r'^2 terms; solved for pi/4 r^2.
    sine = math.sin(math.pi / 2 / steps)
    inner = _inner_radius(corner_radius, steps, sine)
    radius[1:-1] = inner
    corners = [
        (length - corner_radius, corner_radius, -math.pi / 2),
        (length - corner_radius, width - corner_radius, 0.0),
        (corner_radius, width - corner_radius, math.pi / 2),
        (corner_radius, corner_radius, math.pi),
    ]
    points = [
        [cx + r * math.cos(start + angle), cy + r * math.sin(start + angle)]
        for cx, cy, start in corners
        for angle, r in zip(angles, radius, strict=True)
    ]
    return Outline(np.array(points))


def simple(rings: Points) -> NDArray[np.bool_]:
    """Return which of the counter-clockwise rings (m, n, 2), in metres, neither cross nor touch themselves.

    A ring that turns to the left all the way once round a point does neither, and most are seen to
    do so round the middle of their vertices; only the others are given to GEOS.
    """
    x, y = np.moveaxis(rings - rings.mean(axis=1, keepdims=True), 2, 0)
    next_x, next_y = following(x, 1), following(y, 1)
    to_the_left = (x * next_y - y * next_x > 1e-9).all(axis=1)
    once = ((y < 0) & (next_y >= 0)).sum(axis=1) == 1
    found: NDArray[np.bool_] = to_the_left & once
    if not found.all():
        found[~found] = shapely.is_valid(shapely.polygons(rings[~found]))
    return found


def outline_of(shape: BaseGeometry) -> Outline:
    """Return the outer ring of the largest polygon in `shape`; raises ValueError where there is none."""
    found = pieces(shape)
    if not found:
        raise ValueError("the shape has no area")
    return Outline(np.asarray(found[0].exterior.coords)[:-1])


def pieces(shape: BaseGeometry) -> list[Polygon]:
    """Return the polygons of `shape`, largest first; slivers under a square millimetre are dropped."""
    if isinstance(shape, Polygon):
        found = [shape]
    elif isinstance(shape, MultiPolygon) or hasattr(shape, "geoms"):
        found = [part for part in shape.geoms if isinstance(part, Polygon)]
    else:
        found = []
    return sorted((part for part in found if part.area > 1e-6), key=lambda part: -part.area)


def chords(
    shape: BaseGeometry, *, x: float | None = None, y: float | None = None
) -> list[tuple[float, float]]:
    """Return the runs of `shape` across the line x = const (in y) or y = const (in x), in order."""
    if (x is None) == (y is None):
        raise ValueError("a chord runs along one of x and y")
    low_x, low_y, high_x, high_y = shape.bounds
    if x is not None:
        line, axis = LineString([(x, low_y - 1.0), (x, high_y + 1.0)]), 1
    else:
        line, axis = LineString([(low_x - 1.0, y or 0.0), (high_x + 1.0, y or 0.0)]), 0
    cut = shape.intersection(line)
    parts = cut.geoms if hasattr(cut, "geoms") else [cut]
    runs = [
        (
            float(min(part.coords[0][axis], part.coords[-1][axis])),
            float(max(part.coords[0][axis], part.coords[-1][axis])),
        )
        for part in parts
        if part.geom_type == "LineString" and not part.is_empty
    ]
    return sorted(runs)


def clearance(shape: BaseGeometry, x: float, y: float) -> float:
    """Return the distance in metres from (x, y) to the edge of `shape`."""
    return float(shape.boundary.distance(Point(x, y)))


def nearest_on_edge(polygon: Polygon, x: float, y: float) -> tuple[float, float]:
    """Return the point of a polygon's outer edge nearest to (x, y), in metres."""
    at = polygon.exterior.interpolate(polygon.exterior.project(Point(x, y)))
    return float(at.x), float(at.y)


def _clean(points: Points) -> Points:
    points = points[np.hypot(*(points - preceding(points, 0)).T) > 1e-9]
    before, after = points - preceding(points, 0), following(points, 0) - points
    cross = before[:, 0] * after[:, 1] - before[:, 1] * after[:, 0]
    dot = (before * after).sum(axis=1)
    straight = (np.abs(cross) <= 1e-9 * np.hypot(*before.T) * np.hypot(*after.T)) & (dot > 0)
    kept: Points = points[~straight]
    return kept


def _inner_radius(radius: float, steps: int, sine: float) -> float:
    if steps < 2:
        return radius
    # steps triangles: two with one inner point (r r' sine / 2), steps - 2 with two (r'^2 sine / 2).
    a, b, c = (steps - 2) * sine / 2, radius * sine, -math.pi / 4 * radius**2
    if a == 0:
        return -c / b
    return (-b + math.sqrt(b * b - 4 * a * c)) / (2 * a)
