"""Break lines: a drawing that stops where the thing goes on, or leaves out a piece and keeps its scale."""

from __future__ import annotations

import math
from dataclasses import dataclass

from builder.figures.canvas import Layer, Point, Sheet, View
from builder.figures.style import THIN

EVERY = 46.0  # points from zigzag to zigzag of a break line
SWING = 3.4  # points: how far a zigzag swings to either side
ZIGZAG = ((-2.4, 0), (-1.0, -1), (1.0, 1), (2.4, 0))  # along the line in points, and to which side
APART = 3.0  # points: between the two lines of a break
Gap = tuple[float, float]


@dataclass(frozen=True)
class Broken(View):
    """A view with pieces left out across and in depth, the nearest first; no scale changes."""

    wide: tuple[Gap, ...] = ()
    deep: tuple[Gap, ...] = ()

    def x(self, x: float) -> float:
        """Return the page x of a model x; what is left out lies on the break."""
        return super().x(_closed(x, self.wide))

    def y(self, z: float) -> float:
        """Return the page y of a depth; what is left out lies on the break."""
        return super().y(_closed(z, self.deep))


def left_out(high: float, low: float, most: float, kept: float) -> tuple[Gap, ...]:
    """Return what is left out from `high` to `low`: nothing up to `most`, else all but `kept`."""
    return ((high + kept / 2, low - kept / 2),) if low - high > most else ()


def length(gaps: tuple[Gap, ...]) -> float:
    """Return how much is left out in all."""
    return sum(end - start for start, end in gaps)


def broken(sheet: Sheet, start: Point, end: Point, *, edge: bool = False) -> None:
    """Draw a break from page point to page point, upright or level: two thin zigzag lines, paper between.

    edge: one line, where the drawing stops and the thing goes on. Source: ISO 128-2, the continuous thin
    straight line with zigzags (from memory).
    """
    long = math.dist(start, end)
    along = (end[0] - start[0]) / long, (end[1] - start[1]) / long
    off = abs(along[1]), abs(along[0])
    count = max(1, round(long / EVERY))
    course = [(0.0, 0.0)]
    for at in range(count):
        middle = long * (at + 0.5) / count
        course += [(middle + by, SWING * side) for by, side in ZIGZAG]
    course.append((long, 0.0))
    lines = [
        [
            (
                start[0] + along[0] * at + off[0] * (by + shift),
                start[1] + along[1] * at + off[1] * (by + shift),
            )
            for at, by in course
        ]
        for shift in ((0.0,) if edge else (-APART / 2, APART / 2))
    ]
    if not edge:
        sheet.fill([[*lines[0], *lines[1][::-1]]], "paper", Layer.NOTE)
    sheet.stroke(lines, "edge", THIN, Layer.NOTE)


def _closed(at: float, gaps: tuple[Gap, ...]) -> float:
    for start, end in reversed(gaps):
        at = min(at, start) + max(at - end, 0.0)
    return at
