"""Pool water and groundwater in a section: their lines, marks, labels and sentences."""

from __future__ import annotations

from builder.figures.canvas import Point, Sheet, View
from builder.figures.cut import STRIP, Cut
from builder.figures.lettering import bold
from builder.figures.marks import level_line, water_mark
from builder.figures.parts import Anchors
from builder.figures.placer import Note, along
from builder.figures.reader import Reader


def pool(sheet: Sheet, view: View, read: Reader, anchors: Anchors) -> tuple[Note, str]:
    """Mark the pool's water level; return its label and sentence."""
    start, end = view.at(*anchors["water.left"]), view.at(*anchors["water.right"])
    water_mark(sheet, (start[0] + (end[0] - start[0]) * 0.3, start[1]), "water-line")
    # The label points well clear of the mark.
    spots = along((start[0] + (end[0] - start[0]) * 0.36, start[1]), (end[0] - 3, end[1]))
    return (
        Note(("pool water", bold(read.level("level.water"))), spots),
        f"Pool water stands {read.spoken('level.water')}.",
    )


def ground(sheet: Sheet, view: View, cut: Cut, read: Reader) -> tuple[Note, str]:
    """Draw and mark the groundwater beside and under the shell; return its label and sentence."""
    level = read.groundwater.used
    lines, said = read.water()
    if read.groundwater.state == "below" or not cut.shows(level):
        return Note((*lines, "deeper than shown"), _under(view, cut)), said
    runs = [view.line([(start, level), (end, level)]) for start, end in cut.outside_shell(level)]
    level_line(sheet, runs, "groundwater", known=read.groundwater.state == "seen")
    marked = max(runs, key=lambda run: run[1][0] - run[0][0])
    start, end = marked[0][0], marked[1][0]
    outer = start if marked is runs[0] and len(runs) > 1 else end
    inward = 1 if outer == start else -1
    water_mark(sheet, (outer + inward * min(9.0, (end - start) / 2), marked[0][1]), "groundwater")
    spots = tuple(
        spot for run in runs for spot in along((run[0][0] + 18, run[0][1]), (run[1][0] - 18, run[1][1]), 5)
    )
    return Note(lines, spots), said


def _under(view: View, cut: Cut) -> tuple[Point, ...]:
    """Places in the ground under the base, from where one looks on downwards."""
    (x0, z0), (x1, z1) = cut.base[0], cut.base[-1]
    drop = STRIP / 2
    ends = (view.x(x0), view.y(z0) + drop), (view.x(x1), view.y(z1) + drop)
    return (ends[0], ends[1], *along(view.at(x0, cut.dug), view.at(x1, cut.dug), 4))
