"""The floor's line: depth by x, straight between stations."""

from __future__ import annotations

from itertools import pairwise

import numpy as np

Point = tuple[float, float]
Floor = tuple[Point, ...]


def depth_at(floor: Floor, x: float) -> float:
    """Return the floor's depth at x, in m below the rim."""
    return float(np.interp(x, [at for at, _ in floor], [z for _, z in floor]))


def runs_at(floor: Floor, depth: float) -> list[Point]:
    """Return the stretches of x over which the floor lies at `depth` or deeper."""
    marks = {x for x, _ in floor}
    for (x0, z0), (x1, z1) in pairwise(floor):
        if (z0 - depth) * (z1 - depth) < 0:
            marks.add(x0 + (x1 - x0) * (depth - z0) / (z1 - z0))
    runs: list[Point] = []
    xs = sorted(marks)
    for x in xs:
        if depth_at(floor, x) < depth - 1e-9:
            continue
        if runs and depth_at(floor, (runs[-1][1] + x) / 2) >= depth - 1e-9:
            runs[-1] = (runs[-1][0], x)
        else:
            runs.append((x, x))
    return runs
