"""The dig as a solid, and the gap between it and the shell.

The base follows the underside's long section moved out square by the bedding, then down by the
overdug, level beyond the shell's ends, over the outside outline grown by the working gap. From the
edge of the base the sides rise at the batter, from the local depth, to the ground.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from builder.levels.profile import STEP, Depths, Profile
from builder.levels.solid import Line, Solid, areas_and_moments, cut_to_runs, runs_deeper
from builder.levels.strips import within
from builder.plan import Outline, following, preceding, simple

AT_THE_BASE = 1e-8  # m: a side that reaches less far than this has not left the base
INWARDS = -1e-9  # sine of a turn, or m: less than this is inwards, or back
REFLEX = -math.sin(math.radians(10))  # an inner corner sharper than this is one; a bend is mitred

_Whole = tuple[NDArray[np.intp], NDArray[np.float64]]  # which depths, and their rings (m, n, 2)
_Looped = tuple[NDArray[np.intp], NDArray[np.object_]]  # which depths, and their plans


@dataclass(frozen=True)
class Dig:
    """The hole: depths below the rim, lengths in metres.

    ground        depth of the ground surface below the rim, negative where the ground is higher
    bedding       bedding thickness, square to the underside
    gap           working gap outside the shell at the base
    overdug       dug below the bedding's base
    batter        slope of the sides from the horizontal in rad; None for upright, shored sides
    """

    solid: Solid
    ground: float
    bedding: float
    gap: float
    overdug: float
    batter: float | None
    step: float = STEP

    @cached_property
    def base(self) -> Outline:
        """Plan of the base: the outside outline at the rim, grown round by the gap."""
        return self.solid.outside.grown_round(self.gap)

    @cached_property
    def base_line(self) -> Line:
        """(x, depth) of the base along the shell; level beyond both ends."""
        return tuple(
            (x, z + self.overdug) for x, z in parallel_below(self.solid.underside_line, self.bedding)
        )

    @cached_property
    def bedding_line(self) -> Line:
        """(x, depth) of the bedding's base, which is the dig's base before overdug."""
        return parallel_below(self.solid.underside_line, self.bedding)

    def base_depth(self, x: float) -> float:
        """Return the depth of the base at station x."""
        line = np.asarray(self.base_line)
        return float(np.interp(x, line[:, 0], line[:, 1]))

    @property
    def deepest(self) -> float:
        """Depth of the deepest base."""
        return max(z for _, z in self.base_line)

    @cached_property
    def base_length(self) -> float:
        """Length of the base along x."""
        low, _, high, _ = self.base.bounds
        return high - low

    @cached_property
    def base_width(self) -> float:
        """Width of the base along y."""
        _, low, _, high = self.base.bounds
        return high - low

    @cached_property
    def run(self) -> float:
        """Horizontal metres the sides go out for each metre up; 0 for upright sides."""
        return 0.0 if self.batter is None else 1.0 / math.tan(self.batter)

    def region(self, z: float) -> BaseGeometry:
        """Return the plan of the dig at depth z."""
        return self.regions(np.array([z]))[0]

    def regions(self, depths: Depths) -> list[BaseGeometry]:
        """Return the plan of the dig at each of the depths."""
        plans = np.empty(depths.size, dtype=object)
        whole, looped = self._sides(depths)
        for rows, rings in whole:
            plans[rows] = shapely.polygons(rings)
        for rows, mended in looped:
            plans[rows] = mended
        cut_to_runs(plans, list(self.base_line), depths)
        return list(plans)

    @cached_property
    def top(self) -> BaseGeometry:
        """Plan of the dig at the ground."""
        return self.region(self.ground)

    def top_edge(self, x: float) -> tuple[float, float]:
        """Return the least and the greatest y in metres of the dig at the ground, at station x."""
        _, low, _, high = self.top.bounds
        _, near, _, far = self.top.intersection(shapely.LineString([(x, low), (x, high)])).bounds
        return near, far

    @cached_property
    def profile(self) -> Profile:
        """The dig by depth, from the ground to the deepest base."""

        def slices(depths: Depths) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
            line = list(self.base_line)
            if self.run == 0:  # upright sides: the base's own plan all the way up
                return within(self.base.points[None], runs_deeper(line, depths))
            areas, moments = np.zeros(depths.size), np.zeros(depths.size)
            whole, looped = self._sides(depths)
            for rows, rings in whole:
                areas[rows], moments[rows] = within(rings, runs_deeper(line, depths[rows]))
            for rows, plans in looped:
                cut_to_runs(plans, line, depths[rows])
                areas[rows], moments[rows] = areas_and_moments(plans)
            return areas, moments

        return Profile(slices, self.ground, self.deepest, (z for _, z in self.base_line), self.step)

    @cached_property
    def bed_profile(self) -> Profile:
        """What fills the base under the level of the underside, by depth: bedding and make-up."""
        lines = (list(self.base_line), list(self.solid.underside_line))
        plan = self.base.points[None]

        def slices(depths: Depths) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
            (dug, dug_moment), (shell, shell_moment) = (
                within(plan, runs_deeper(line, depths)) for line in lines
            )
            return dug - shell, dug_moment - shell_moment

        top = min(z for _, z in self.solid.underside_line)
        return Profile(slices, top, self.deepest, (z for line in lines for _, z in line), self.step)

    @property
    def bedding_volume(self) -> float:
        """Bedding in m3, compacted, over the whole base."""
        return self.bed_profile.volume_below(self.bed_profile.top) - self.makeup_volume

    @property
    def makeup_volume(self) -> float:
        """Volume in m3 of what was dug below the bedding's base."""
        return float(self.base.polygon.area) * self.overdug

    def area(self, z: float) -> float:
        """Return the plan area of the dig in m2 at depth z; 0 above the ground."""
        return self.profile.area(z) if z >= self.ground else 0.0

    def gap_area(self, z: float) -> float:
        """Return dig less outside solid in m2 at depth z, below the ground."""
        return self.area(z) - self.solid.outside_profile.area(z)

    def gap_volume(self, upper: float, lower: float) -> float:
        """Return the volume in m3 of the gap between depths `upper` and `lower`."""
        dig = self.profile.volume_below(upper) - self.profile.volume_below(lower)
        shell = self.solid.outside_profile
        return dig - (shell.volume_below(upper) - shell.volume_below(lower))

    def backfill_between(self, upper: float, lower: float) -> float:
        """Return the backfill in m3 between two depths: the gap less bedding and make-up."""
        key = upper, lower
        if key not in self._backfills:  # schedules that are tried ask for the same lifts again
            self._backfills[key] = self.gap_volume(upper, lower) - self.bed_profile.between(upper, lower)
        return self._backfills[key]

    @cached_property
    def _backfills(self) -> dict[tuple[float, float], float]:
        return {}

    def mean_gap_area(self, upper: float, lower: float) -> float:
        """Return the mean gap area in m2 between two depths; at the depth itself where they meet."""
        if lower - upper < 1e-6:
            return self.gap_area(upper)
        return self.gap_volume(upper, lower) / (lower - upper)

    @cached_property
    def _edge(self) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
        """The base's edge with a vertex wherever the base line bends: points and their depths."""
        points = _with_stations(self.base, [x for x, _ in self.base_line])
        line = np.asarray(self.base_line)
        return points, np.interp(points[:, 0], line[:, 0], line[:, 1])

    def _sides(self, depths: Depths) -> tuple[list[_Whole], list[_Looped]]:
        """Return which depths, and for each of them what its sides reach: a ring, or a plan where rings loop.

        Nothing is cut yet to where the base lies deeper.
        """
        points, edge_depths = self._edge
        reach = (edge_depths - depths[:, None]) * self.run
        reach[np.abs(reach) < AT_THE_BASE] = 0.0
        turned = reach * following(reach, 1) < 0
        alike: dict[bytes, list[int]] = {}  # depths at which the same edges pass out of the base
        for at, row in enumerate(turned):
            alike.setdefault(row.tobytes(), []).append(at)
        whole: list[_Whole] = []
        looped: list[_Looped] = []
        for rows in alike.values():
            turns = np.flatnonzero(turned[rows[0]])
            alone, (edges, out) = np.array(rows), _with_level(points, reach[rows], turns)
            rings, back = _moved(edges, out)
            if back.any():
                swept = _through_corners(edges[back] if len(edges) > 1 else edges, out[back])
                looped.append((alone[back], swept))
            alone, rings = alone[~back], rings[~back]
            sound = simple(rings)
            whole.append((alone[sound], rings[sound]))
            if not sound.all():  # the sides of two places run into each other
                looped.append((alone[~sound], _mended(rings[~sound])))
        return whole, looped


def parallel_below(line: Sequence[tuple[float, float]], distance: float) -> Line:
    """Return the line of (x, depth) moved down square by `distance`, joined where lines meet.

    The ends stay at their stations. A stretch too short to survive the move is left out.
    """
    slopes = [(z1 - z0) / (x1 - x0) for (x0, z0), (x1, z1) in itertools.pairwise(line)]
    # Each stretch as z = slope x + height, moved down by the vertical measure of the square distance.
    lines = [
        (slope, z0 - slope * x0 + distance * math.sqrt(1 + slope * slope))
        for slope, (x0, z0) in zip(slopes, line, strict=False)
    ]
    first, last = line[0][0], line[-1][0]
    kept: list[tuple[float, float]] = []
    starts: list[float] = []
    for stretch in lines:
        start = first
        while kept:
            if abs(stretch[0] - kept[-1][0]) > 1e-12:  # else the same slope: one stretch
                start = (kept[-1][1] - stretch[1]) / (stretch[0] - kept[-1][0])
                if start > starts[-1]:
                    break
            kept.pop()
            start = starts.pop()
        if start >= last:  # it would begin beyond the end
            continue
        kept.append(stretch)
        starts.append(start)
    return tuple(
        (x, slope * x + height) for x, (slope, height) in zip([*starts, last], [*kept, kept[-1]], strict=True)
    )


def _mended(rings: NDArray[np.float64]) -> NDArray[np.object_]:
    """The plans of rings that cross themselves, their loops taken out."""
    # Where an edge vanishes on the way up the ring loops; no width of buffer keeps what is wound once.
    return np.asarray(shapely.buffer(shapely.polygons(rings), 0.0), dtype=object)


def _with_stations(outline: Outline, stations: Sequence[float]) -> NDArray[np.float64]:
    """Points of the outline with a vertex inserted wherever an edge passes a station."""
    starts, ends = outline.points, following(outline.points, 0)
    span = (ends - starts)[:, 0]
    along = np.abs(span) > 1e-9
    shares = (np.asarray(stations) - starts[:, :1]) / np.where(along, span, np.inf)[:, None]
    passed = (shares > 1e-9) & (shares < 1 - 1e-9)
    points: list[NDArray[np.float64]] = []
    for at, start in enumerate(starts):
        points.append(start)
        if passed[at].any():
            points.extend(start + share * (ends[at] - start) for share in np.sort(shares[at][passed[at]]))
    return np.array(points)


def _with_level(
    points: NDArray[np.float64], reach: NDArray[np.float64], turns: NDArray[np.intp]
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """The ring (n, 2) for every row of reach (m, n), with a vertex where the reach passes 0 along an edge.

    turns   the edges along which it does, in every row alike
    Where the base lies higher than the depth looked at the edge stays: no reach is below 0.
    """
    rings = points[None]
    if turns.size:
        here, there = reach[:, turns], following(reach, 1)[:, turns]
        share = (here / (here - there))[..., None]
        level = points[turns] + share * (following(points, 0)[turns] - points[turns])
        rings = np.broadcast_to(points, (len(reach), *points.shape))
        rings, reach = np.insert(rings, turns + 1, level, axis=1), np.insert(reach, turns + 1, 0.0, axis=1)
    return rings, np.maximum(reach, 0.0)


def _moved(
    points: NDArray[np.float64], reach: NDArray[np.float64]
) -> tuple[NDArray[np.float64], NDArray[np.bool_]]:
    """The rings with every edge moved out by the reach at its two ends, joined where edges meet.

    points (m, n, 2), or (1, n, 2) where the rings are the same; reach (m, n) in metres, 0 or more,
    straight along an edge. The rings' edges run the same ways. Also which rings (m) have an edge
    that runs back: its neighbours meet without it, and the ring is not right.
    """
    along, length, out_before, out = _ways(points)
    mitre = (out_before + out) / (1.0 + (out_before * out).sum(axis=2))[..., None]
    moved = points + reach[..., None] * mitre
    turns = _cross(out_before, out)[0]
    sharp = np.flatnonzero(turns < REFLEX)
    if sharp.size:
        # In an inner corner the moved edges meet short of the vertex, where each has its own reach.
        tilted = along + (following(reach, 1) - reach)[..., None] / length * out
        before, after = preceding(tilted, 1)[:, sharp], tilted[:, sharp]
        apart = reach[:, sharp, None] * (out - out_before)[:, sharp]
        share = _cross(apart, after) / _cross(before, after)
        corner = points[:, sharp] + reach[:, sharp, None] * out_before[:, sharp]
        moved[:, sharp] = corner + share[..., None] * before
    if (turns < INWARDS).any():
        back = (((following(moved, 1) - moved) * along).sum(axis=2) < INWARDS).any(axis=1)
    else:
        back = np.zeros(len(reach), dtype=bool)
    return np.asarray(moved), back


def _through_corners(points: NDArray[np.float64], reach: NDArray[np.float64]) -> NDArray[np.object_]:
    """The plans as in `_moved`, by rings that go by way of the base's own point at inner corners.

    Such a ring crosses itself. It winds round a place once for the base and once for every edge that
    sweeps it, so all that is wound at all is dug.
    """
    *_, out_before, out = _ways(points)
    outer = (out_before + out) / (1.0 + (out_before * out).sum(axis=2))[..., None]
    inner = _cross(out_before, out)[0] < INWARDS
    corners = np.repeat(np.arange(inner.size), np.where(inner, 3, 1))
    ways = outer[:, corners]
    first = np.searchsorted(corners, np.flatnonzero(inner))
    ways[:, first], ways[:, first + 1], ways[:, first + 2] = out_before[:, inner], 0.0, out[:, inner]
    return _mended(points[:, corners] + reach[:, corners, None] * ways)


def _ways(
    points: NDArray[np.float64],
) -> tuple[NDArray[np.float64], NDArray[np.float64], NDArray[np.float64], NDArray[np.float64]]:
    """Of every edge of the rings: along it, its length, and straight out of the edge before it and of it."""
    along = following(points, 1) - points
    length = np.linalg.norm(along, axis=2)[..., None]
    along = along / length
    out = np.stack([along[..., 1], -along[..., 0]], axis=-1)
    return along, length, preceding(out, 1), out


def _cross(a: NDArray[np.float64], b: NDArray[np.float64]) -> NDArray[np.float64]:
    return np.asarray(a[..., 0] * b[..., 1] - a[..., 1] * b[..., 0])
