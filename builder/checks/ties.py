"""Tie measures: how far the lid over the tube is from fixed places, so that it is found again.

Two tapes held at two places of the rim cross at the lid, and on the other side of the line between
them; a third tape tells which. The rim's four corners and the skimmer are the places that stay.
"""

from __future__ import annotations

import itertools
import math

from builder.checks.sheet import Sheet
from builder.levels import Levels
from builder.plan import nearest_on_edge
from builder.quantity import Column, Table

CORNERS = "ABCD"  # as the pegs are lettered in the plan
APART = 0.5  # m: marks nearer than this to each other are one place
CROSSING = math.radians(30)  # two tapes that cross flatter than this do not tell a place
_COLUMNS = (
    Column("from", "text"),
    *(Column(key, "m") for key in ("away", "x", "y", "lid_x", "lid_y")),
)

Mark = tuple[str, float, float]


def work(sheet: Sheet, levels: Levels) -> None:
    """Write standpipe.ties."""
    tube = levels.tube
    rows = [(name, _away(levels, (name, x, y)), x, y, tube.x, tube.y) for name, x, y in chosen(levels)]
    sheet.method(
        "standpipe.ties",
        "how far the middle of the lid is from fixed places of the rim",
        Table(_COLUMNS, tuple(rows)),
        unit="1",
        symbol="t",
        how="the level distance from the rim's inside edge to the tube's middle: the two nearest places from "
        "which tapes cross at 30 to 150 degrees, and the nearest other one, off the line of the first two",
        source="geometry",
        inputs={},  # the places stand in the rows
        audience="step",
    )


def chosen(levels: Levels) -> list[Mark]:
    """Return three marks, the nearest first.

    Tapes from two of them cross well at the tube; the third tells their two crossings apart.
    """
    found = marks(levels)
    pairs = list(itertools.combinations(found, 2))

    def long(marks: tuple[Mark, ...]) -> float:
        return sum(_away(levels, mark) for mark in marks)

    good = [pair for pair in pairs if CROSSING <= _angle(levels, *pair) <= math.pi - CROSSING]
    if good:
        first = min(good, key=long)
    else:  # no pair crosses well: the one that crosses best
        first = max(pairs, key=lambda pair: math.sin(_angle(levels, *pair)))
    rest = [mark for mark in found if mark not in first and _off_line(first, mark) > APART]
    third = sorted(rest, key=lambda mark: _away(levels, mark))[:1]
    return sorted([*first, *third], key=lambda mark: _away(levels, mark))


def marks(levels: Levels) -> list[Mark]:
    """Return the rim's four corners, lettered as the pegs, and the skimmer: places nobody moves."""
    low_x, low_y, high_x, high_y = levels.solid.outline.bounds
    boxed = ((low_x, low_y), (high_x, low_y), (high_x, high_y), (low_x, high_y))
    found: list[Mark] = []
    for letter, corner in zip(CORNERS, boxed, strict=True):
        found.append((f"rim corner {letter}", *nearest_on_edge(levels.solid.outline.polygon, *corner)))
    skimmer = levels.solid.shell.skimmer
    if skimmer is not None and all(math.dist(skimmer, mark[1:]) >= APART for mark in found):
        found.append(("middle of the skimmer", *skimmer))
    return found


def _away(levels: Levels, mark: Mark) -> float:
    return math.dist(mark[1:], (levels.tube.x, levels.tube.y))


def _angle(levels: Levels, one: Mark, other: Mark) -> float:
    """The angle in rad at which tapes from two marks cross at the tube."""
    ways = [math.atan2(mark[2] - levels.tube.y, mark[1] - levels.tube.x) for mark in (one, other)]
    return abs((ways[0] - ways[1] + math.pi) % math.tau - math.pi)


def _off_line(pair: tuple[Mark, Mark], mark: Mark) -> float:
    """How far a mark lies off the line through two others, in m."""
    (_, x0, y0), (_, x1, y1) = pair
    return abs((x1 - x0) * (mark[2] - y0) - (y1 - y0) * (mark[1] - x0)) / math.dist((x0, y0), (x1, y1))
