"""Vertical cuts through the job, as polylines for the figures: shell faces and the cut ground."""

from __future__ import annotations

from dataclasses import dataclass

import shapely
from shapely.geometry import Polygon
from shapely.geometry.base import BaseGeometry

from builder.levels.place import Levels
from builder.levels.solid import Line, Solid
from builder.levels.strips import FAR
from builder.plan import chords, pieces


@dataclass(frozen=True)
class Section:
    """A vertical cut; every line is (distance along the cut, depth below the rim) in metres.

    inside, outside   the shell's faces from one rim over the floor to the other rim
    dig               the cut ground from the surface over the base to the surface
    axis              "x" for a cut along the shell, "y" for one across it; `at` is the other one
    """

    inside: Line
    outside: Line
    dig: Line
    axis: str
    at: float


def long_section(levels: Levels) -> Section:
    """Return the cut along the shell through the relief valve."""
    y = levels.valve[1]
    solid, dig = levels.solid, levels.dig
    t = solid.shell.floor_thickness
    ledges = [(g.x, g.x + g.length, g.depth) for g in solid.shell.ledges if g.y < y < g.y + g.width]
    base_low, base_high = _run_with(chords(dig.base.polygon, y=y), levels.valve[0])
    line = [(base_low, dig.base_depth(base_low))]
    line += [(x, z) for x, z in dig.base_line if base_low < x < base_high]
    line.append((base_high, dig.base_depth(base_high)))
    return Section(
        inside=_face(solid, solid.floor_line, ledges, y=y, wall=False, through=levels.valve[0]),
        outside=_face(
            solid,
            solid.underside_line,
            [(a, b, z + t) for a, b, z in ledges],
            y=y,
            wall=True,
            through=levels.valve[0],
        ),
        dig=_cut_ground(levels, line),
        axis="x",
        at=y,
    )


def cross_section(levels: Levels, x: float) -> Section:
    """Return the cut across the shell at station x."""
    solid, dig = levels.solid, levels.dig
    t = solid.shell.floor_thickness
    ledges = [(g.y, g.y + g.width, g.depth) for g in solid.shell.ledges if g.x < x < g.x + g.length]
    floor = solid.floor(x)
    middle = levels.valve[1]
    level_floor = ((-FAR, floor), (FAR, floor))
    base_low, base_high = _run_with(chords(dig.base.polygon, x=x), middle)
    base = dig.base_depth(x)
    return Section(
        inside=_face(solid, level_floor, ledges, x=x, wall=False, through=middle),
        outside=_face(
            solid,
            ((-FAR, floor + t), (FAR, floor + t)),
            [(a, b, z + t) for a, b, z in ledges],
            x=x,
            wall=True,
            through=middle,
        ),
        dig=_cut_ground(levels, [(base_low, base), (base_high, base)]),
        axis="y",
        at=x,
    )


def _face(
    solid: Solid,
    floor: Line,
    ledges: list[tuple[float, float, float]],
    *,
    wall: bool,
    through: float,
    x: float | None = None,
    y: float | None = None,
) -> Line:
    """The face of the shell in the cut: walls between rim and floor, the floor, less the ledges."""
    deep = max(z for _, z in floor)
    plan = solid.outset if wall else solid.inset
    top = _run_with(chords(plan(0.0), x=x, y=y), through)
    bottom = _run_with(chords(plan(deep), x=x, y=y), through)
    walls = Polygon([(top[0], 0.0), (bottom[0], deep), (bottom[1], deep), (top[1], 0.0)])
    low, high = min(top[0], bottom[0]) - 1.0, max(top[1], bottom[1]) + 1.0
    stretched = [(low, floor[0][1]), *[p for p in floor if low < p[0] < high], (high, floor[-1][1])]
    space: BaseGeometry = walls.intersection(Polygon([(low, -1.0), *stretched, (high, -1.0)]))
    for start, end, depth in ledges:
        reach = 3 * solid.shell.wall
        left = start - reach if start <= top[0] + reach else start
        right = end + reach if end >= top[1] - reach else end
        space = space.difference(shapely.box(left, depth, right, deep + 1.0))
    return _bottom_edge(pieces(space)[0])


def _bottom_edge(space: Polygon) -> Line:
    """The ring of the space from its left rim down and up to its right rim, without the top edge."""
    ring = list(shapely.geometry.polygon.orient(space, 1.0).exterior.coords)[:-1]
    rim = [at for at, (_, z) in enumerate(ring) if abs(z) < 1e-9]
    left = min(rim, key=lambda at: ring[at][0])
    right = max(rim, key=lambda at: ring[at][0])
    ordered = ring[left:] + ring[:left]
    if ordered[1] == ring[right]:  # the walk went along the top edge: walk the other way
        ordered = [ordered[0], *ordered[:0:-1]]
    last = ordered.index(ring[right])
    return tuple((float(x), float(z)) for x, z in ordered[: last + 1])


def _cut_ground(levels: Levels, base: list[tuple[float, float]]) -> Line:
    run, ground = levels.dig.run, levels.ground
    (x0, z0), (x1, z1) = base[0], base[-1]
    return ((x0 - (z0 - ground) * run, ground), *base, (x1 + (z1 - ground) * run, ground))


def _run_with(runs: list[tuple[float, float]], point: float) -> tuple[float, float]:
    """The run that holds `point`, else the longest."""
    for low, high in runs:
        if low <= point <= high:
            return low, high
    return max(runs, key=lambda run: run[1] - run[0])
