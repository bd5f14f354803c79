"""Marks: leaders with labels, dimensions, water marks, flow arrows. Each means the same everywhere."""

from __future__ import annotations

import math
from collections.abc import Sequence

from builder.figures.canvas import Anchor, Layer, Point, Sheet
from builder.figures.lettering import width
from builder.figures.placer import LEAD, Note, Placed, Span, place
from builder.figures.style import EDGE, LEVEL, MARGIN, TEXT, THIN

HEAD = 5.0  # points: length of an arrow head
HEAD_HALF = 1.5
DOT = 1.25  # points: radius of the dot at a leader's end
GAP = 5.0  # points between the drawing and the first row
DROP = 3.1  # points from a row's middle to the base line of its text


def dot(sheet: Sheet, at: Point) -> None:
    """Put the dot in which a leader ends."""
    x, y = at
    ring = [(x + DOT * math.cos(a * math.pi / 4), y + DOT * math.sin(a * math.pi / 4)) for a in range(8)]
    sheet.fill([ring], "dimension", Layer.NOTE)


def round_mark(sheet: Sheet, at: Point, radius: float, fill: str, line: str) -> None:
    """Put a round thing seen from above, such as the tube: a filled ring; radius in points."""
    x, y = at
    ring = [
        (x + radius * math.cos(a * math.pi / 12), y + radius * math.sin(a * math.pi / 12)) for a in range(24)
    ]
    sheet.fill([ring], fill, Layer.FRONT)
    sheet.stroke([ring], line, EDGE, Layer.FRONT, closed=True)


def head(sheet: Sheet, tip: Point, angle: float, role: str = "dimension", size: float = HEAD) -> None:
    """Put an arrow head with its tip at a point, pointing along `angle` (rad, from +x towards +y)."""
    half = HEAD_HALF * size / HEAD
    back = (tip[0] - size * math.cos(angle), tip[1] - size * math.sin(angle))
    across = (-math.sin(angle) * half, math.cos(angle) * half)
    ring = [tip, (back[0] + across[0], back[1] + across[1]), (back[0] - across[0], back[1] - across[1])]
    sheet.fill([ring], role, Layer.FRONT if role != "dimension" else Layer.NOTE)


def arrow(sheet: Sheet, points: Sequence[Point], role: str, weight: float = 1.3, size: float = 6.5) -> None:
    """Draw an arrow along points, for what flows or pushes."""
    (x0, y0), (x1, y1) = points[-2], points[-1]
    angle = math.atan2(y1 - y0, x1 - x0)
    short = (x1 - size * 0.8 * math.cos(angle), y1 - size * 0.8 * math.sin(angle))
    sheet.stroke([[*points[:-1], short]], role, weight, Layer.FRONT)
    head(sheet, (x1, y1), angle, role, size)


def water_mark(sheet: Sheet, at: Point, role: str) -> None:
    """Put the water mark: a triangle standing on its tip on the level, with short lines below."""
    x, y = at
    sheet.fill([[(x, y), (x - 3.6, y - 5.8), (x + 3.6, y - 5.8)]], role, Layer.FRONT)
    lines = [
        [(x - half, y + drop), (x + half, y + drop)] for half, drop in ((4.2, 2.2), (2.6, 4.0), (1.0, 5.8))
    ]
    sheet.stroke(lines, role, 0.7, Layer.FRONT)


def level_line(sheet: Sheet, lines: Sequence[Sequence[Point]], role: str, *, known: bool = True) -> None:
    """Draw a water level: solid for pool water, dashed on a casing of paper for groundwater."""
    if role == "groundwater":
        sheet.stroke(lines, "paper", LEVEL + 2.4, Layer.CASING)
        sheet.stroke(lines, role, LEVEL + 0.2, Layer.LEVEL, dash=(7.0, 2.5) if known else (2.0, 2.5))
    else:
        sheet.stroke(lines, role, LEVEL, Layer.LEVEL)


def across(sheet: Sheet, x0: float, x1: float, y: float, text: str) -> None:
    """Draw a horizontal dimension with its text in the line, or right of it where it does not fit."""
    wide = width(text, TEXT)
    middle = (x0 + x1) / 2
    fits = wide + 2 * HEAD + 6 <= x1 - x0
    _dimension_line(sheet, x0, x1, y, (middle - wide / 2, middle + wide / 2) if fits else None)
    if fits:
        sheet.text(text, middle, y + DROP, anchor="center")
    else:
        sheet.text(text, x1 + HEAD + 5, y + DROP)


def upright(
    sheet: Sheet, x: float, y0: float, y1: float, text: str, *, side: Anchor = "center", ground: str = "paper"
) -> None:
    """Draw an upright dimension from y0 to y1; its text on the line, or beside it (left, right)."""
    upright_arrow(sheet, x, y0, y1)
    middle = (y0 + y1) / 2 + DROP
    if side == "center":
        sheet.backed(text, x, middle, ground=ground)
    else:
        sheet.text(text, x + (4 if side == "left" else -4), middle, anchor=side)


def upright_arrow(sheet: Sheet, x: float, y0: float, y1: float) -> None:
    """Draw the line of an upright dimension from y0 down to y1, heads outside where it is short."""
    if y1 - y0 >= 2 * HEAD + 2:
        sheet.stroke([[(x, y0), (x, y1)]], "dimension", THIN, Layer.NOTE)
        head(sheet, (x, y0), -math.pi / 2)
        head(sheet, (x, y1), math.pi / 2)
    else:
        reach = HEAD + 5
        sheet.stroke([[(x, y0 - reach), (x, y1 + reach)]], "dimension", THIN, Layer.NOTE)
        head(sheet, (x, y0), math.pi / 2)
        head(sheet, (x, y1), -math.pi / 2)


def level_arrow(sheet: Sheet, x0: float, x1: float, y: float) -> None:
    """Draw the line of a level dimension from x0 to x1, heads outside where it is short."""
    _dimension_line(sheet, x0, x1, y, None)


def skirt(sheet: Sheet, items: Sequence[Note | Span], edge: float, *, down: bool) -> float:
    """Hang labels and dimensions off the edge of the drawing; return where they end.

    edge: page y of the drawing's outermost line on that side; down: away is down the page, else up.
    """
    placed = place(items, MARGIN, sheet.width - MARGIN)
    way = 1.0 if down else -1.0
    for one in placed:
        near = edge + way * (GAP + one.start)
        if len(one.leaders) > 1:
            _set_span(sheet, one, near + way * LEAD / 2, way)
        else:
            _set_note(sheet, one, isinstance(one.item, Span) or one.item.dot, near, down=down)
    return edge + way * (GAP + max((one.start + one.height for one in placed), default=0.0))


def _set_note(sheet: Sheet, one: Placed, with_dot: bool, near: float, *, down: bool) -> None:
    (x, y), way = one.leaders[0], 1.0 if down else -1.0
    middles = [near + way * LEAD * (at + 0.5) for at in range(len(one.lines))]
    lines = one.lines if down else one.lines[::-1]
    anchor: Anchor = "right" if one.side == "left" else "left"
    if one.side == "over":
        path = [(x, y), (x, near + way * 0.5)]
        anchor = "center"
    else:
        tail = middles[-1] + way * LEAD * 0.34
        path = [(x, y), (x, tail)]
    sheet.stroke([path], "dimension", THIN, Layer.NOTE)
    if with_dot:
        dot(sheet, (x, y))
    at = {"left": one.x0, "right": one.x1, "center": (one.x0 + one.x1) / 2}[anchor]
    for text, level in zip(lines, middles, strict=True):
        sheet.text(text, at, level + DROP, anchor=anchor)


def _set_span(sheet: Sheet, one: Placed, y: float, way: float) -> None:
    (x0, y0), (x1, y1) = one.leaders
    beyond = 2.0 if y > y0 else -2.0
    sheet.stroke([[(x0, y0), (x0, y + beyond)], [(x1, y1), (x1, y + beyond)]], "dimension", THIN, Layer.NOTE)
    _dimension_line(sheet, x0, x1, y, (one.x0, one.x1) if one.side == "over" else None)
    anchor: Anchor = "left" if one.side == "right" else "right" if one.side == "left" else "center"
    at = {"center": (one.x0 + one.x1) / 2, "left": one.x0, "right": one.x1}[anchor]
    sheet.text(one.lines[0], at, y + DROP + (way * LEAD if one.side == "under" else 0.0), anchor=anchor)


def _dimension_line(
    sheet: Sheet, x0: float, x1: float, y: float, opening: tuple[float, float] | None
) -> None:
    if opening is not None:
        sheet.stroke(
            [[(x0, y), (opening[0] - 2, y)], [(opening[1] + 2, y), (x1, y)]], "dimension", THIN, Layer.NOTE
        )
        head(sheet, (x0, y), math.pi)
        head(sheet, (x1, y), 0.0)
    elif x1 - x0 >= 2 * HEAD + 2:
        sheet.stroke([[(x0, y), (x1, y)]], "dimension", THIN, Layer.NOTE)
        head(sheet, (x0, y), math.pi)
        head(sheet, (x1, y), 0.0)
    else:
        sheet.stroke([[(x0 - HEAD - 4, y), (x1 + HEAD + 4, y)]], "dimension", THIN, Layer.NOTE)
        head(sheet, (x0, y), 0.0)
        head(sheet, (x1, y), math.pi)
