"""The slots at their true size: a piece of the tube's wall rolled out, from the foot up."""

from __future__ import annotations

import math
from itertools import pairwise

from builder.figures import details
from builder.figures.breaks import Broken, broken, left_out, length
from builder.figures.canvas import Layer, Sheet, rectangle
from builder.figures.lettering import bold, width
from builder.figures.marks import DROP, across, upright
from builder.figures.placer import LEAD
from builder.figures.reader import Reader
from builder.figures.style import MARGIN, OUTLINE, TEXT, THIN, WIDTH

DOWN = 1  # 1 to so many, as long as a slot fits
LAND = 0.006  # metres: wall shown beside a slot, at least
PART, PART_KEPT = 0.032, 0.024  # metres: a greater distance from slot to slot is cut to this
STEP = 8.0  # points from the wall to its dimensions


def strip(sheet: Sheet, read: Reader, top: float) -> tuple[details.Scale, bool]:
    """Draw the wall below page y `top`; return its scale, and whether a piece is left out in its height.

    Shown is the tube's wall from its foot to half a pitch over the second ring of slots, and round the
    tube as many rows as the frame has room for.
    """
    words, spec = read.words, read.levels.job.spec.standpipe
    rings = min(2, math.floor(spec.slotted / spec.pitch + 1e-9))
    spacing = math.pi * read.levels.tube.outside / spec.rows
    pitch, first = words.exact(spec.pitch), words.exact(spec.pitch / 2)
    room = WIDTH - 2 * MARGIN - max(width(pitch, TEXT), width(first, TEXT)) - STEP - 6
    scale = details.fitting(DOWN, min(spacing, spec.slot_length + 2 * LAND), room, words)
    rows = max(1, math.floor(room / scale.points / spacing))
    wide = min(rows * spacing, room / scale.points)
    heights = [(ring + 0.5) * spec.pitch for ring in range(rings)]
    marks = [0.0, *heights]
    gaps = tuple(gap for low, high in pairwise(marks) for gap in left_out(low, high, PART, PART_KEPT))
    over = min(spec.pitch / 2, PART_KEPT / 2)
    tall = heights[-1] + over - length(gaps)
    text = f"{details.named(details.SLOTS, 'slots')}, the wall rolled out, {scale.short}"
    sheet.text(text, MARGIN, top + TEXT)
    y0 = top + TEXT + LEAD * 2 + 3
    view = Broken(scale.points, 0.0, 0.0, MARGIN, y0 + tall * scale.points, up=True, deep=gaps)
    low, right, high = view.y(0.0), view.x(wide), view.y(heights[-1] + over)
    sheet.fill([rectangle(MARGIN, high, right, low)], "tube", Layer.TUBE)
    sheet.stroke([[(MARGIN, low), (right, low)]], "tube-line", OUTLINE, Layer.EDGE)
    broken(sheet, (MARGIN, high), (right, high), edge=True)
    for x in (MARGIN, right):
        broken(sheet, (x, high), (x, low), edge=True)
    for start, _ in gaps:
        broken(sheet, (MARGIN, view.y(start)), (right, view.y(start)))
    middles = [wide / 2 + (row - (rows - 1) / 2) * spacing for row in range(rows)]
    half, thick = spec.slot_length / 2, spec.slot_width / 2
    sheet.fill(
        [view.line(rectangle(x - half, z - thick, x + half, z + thick)) for x in middles for z in heights],
        "ink",
        Layer.EDGE,
    )
    ends = view.x(middles[0] - half), view.x(middles[0] + half)
    line = high - LEAD / 2 - 4
    sheet.stroke([[(x, view.y(heights[-1]) - 4), (x, line - 2)] for x in ends], "dimension", THIN, Layer.NOTE)
    across(sheet, *ends, line, words.exact(spec.slot_length))
    x = right + STEP
    sheet.stroke(
        [[(view.x(middles[-1] + half) + 3, view.y(z)), (x + 3, view.y(z))] for z in heights]
        + [[(right + 3, low), (x + 3, low)]],
        "dimension",
        THIN,
        Layer.NOTE,
    )
    for (lower, upper), said in zip(pairwise(marks), (first, pitch), strict=False):
        upright(sheet, x, view.y(upper), view.y(lower), said, side="left")
    thin = words.exact(spec.slot_width)
    if ends[0] - MARGIN > width(thin, TEXT) + 2 * STEP:
        z = heights[-1]
        upright(sheet, ends[0] - 5, view.y(z + thick), view.y(z - thick), thin, side="right")
    sheet.text(bold("foot of the tube"), MARGIN, low + LEAD + DROP - 2)
    return scale, bool(gaps)
