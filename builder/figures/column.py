"""Labels in a column beside a drawing, each tied by a leader to what it names."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from builder.figures.canvas import Layer, Point, Sheet
from builder.figures.ladder import ladder
from builder.figures.lettering import wrapped
from builder.figures.marks import DROP, dot
from builder.figures.placer import LEAD, PAD
from builder.figures.style import MARGIN, THIN

TIE = 3.0  # points between a leader's end and its text


@dataclass(frozen=True)
class Tag:
    """A label of one or more lines and the place its leader points to."""

    lines: tuple[str, ...]
    at: Point
    dot: bool = True


def column(sheet: Sheet, tags: Sequence[Tag], *, edge: float, x: float, low: float, high: float) -> float:
    """Set labels in a column that starts at x, right of the drawing.

    Leaders run level from what they name to `edge`, then straight to their text, in the order of
    height, so that none crosses another. low, high: the page y the column should keep to; returns
    where it ends, which is below `high` where the labels take more.
    """
    ordered = sorted(tags, key=lambda tag: (tag.at[1], -tag.at[0]))
    room = sheet.width - MARGIN - x
    texts = [tuple(line for text in tag.lines for line in wrapped(text, room)) for tag in ordered]
    heights = [len(lines) * LEAD + PAD for lines in texts]
    middles = ladder([tag.at[1] for tag in ordered], heights, low, high)
    leaders = []
    for tag, lines, middle in zip(ordered, texts, middles, strict=True):
        leaders.append([tag.at, (edge, tag.at[1]), (x - TIE, middle)])
        if tag.dot:
            dot(sheet, tag.at)
        first = middle - LEAD * (len(lines) - 1) / 2
        for number, text in enumerate(lines):
            sheet.text(text, x, first + LEAD * number + DROP)
    sheet.stroke(leaders, "dimension", THIN, Layer.NOTE)
    return max(middle + height / 2 for middle, height in zip(middles, heights, strict=True))
