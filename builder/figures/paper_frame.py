"""What stands round a true-size drawing on every sheet: what it is, whose, how to check and join it."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import NamedTuple

from builder import say
from builder.figures.canvas import Anchor
from builder.figures.lettering import safe, wrapped
from builder.figures.paper import POINT, Sheet, Spot, rectangle, text_width
from builder.figures.papers import Paper
from builder.figures.reader import Reader
from builder.figures.tiling import Join, Piece
from builder.units import UNITS

MARGIN = 10.0  # mm that no printer needs
HEAD, HEAD_FEET = 34.0, 40.5  # mm from the margin to the drawing's window, with one bar and with two
ASIDE, ASIDE_FEET = 10.0, 19.0  # mm from the margin to the window, with one upright bar and with two
FOOT = 12.0  # mm under the window, for three lines
PAD = 5.0  # mm of the window round the drawing, for words on its edges
MAP = 24.0  # mm: the widest a map of the sheets may be
BAR, BAR_FEET = 0.1, 4 * UNITS["in"].si  # metres
BIG, PLAIN, SMALL = 13.0, 9.0, 7.5  # points
FINE, LINE, EDGE = 0.15, 0.3, 0.5  # mm
NARROW = 1.1  # how much more of a core font goes in a line than of the broad font that lines are measured by
MARK = 4.0  # mm from the middle of a join mark to its tips
DASH, DOTS = (3.0, 1.5), (0.6, 1.2)
STOPPED = "Use this sheet only when somebody has answered for that, as the guide says."
PRINT = (
    "Print at 100 %, not fitted to the page. Measure both bars before you cut. "
    "If a bar is not 100 mm long, don't use this sheet."
)
PRINT_FEET = (
    "Print at 100 %, not fitted to the page. Measure the bars before you cut. "
    "If a bar is not 100 mm (or 4 inches) long, don't use this sheet."
)


class Box(NamedTuple):
    """A rectangle of a sheet in mm."""

    x0: float
    y0: float
    x1: float
    y1: float


def room(paper: Paper, feet: bool) -> Box:
    """Return where on a sheet a drawing may stand, without the pad for words on its edges."""
    aside, head = (ASIDE_FEET, HEAD_FEET) if feet else (ASIDE, HEAD)
    return Box(
        MARGIN + aside + PAD,
        MARGIN + head + PAD,
        paper.width - MARGIN - PAD,
        paper.height - MARGIN - FOOT - PAD,
    )


def stopped(read: Reader, *keys: str) -> tuple[str, ...]:
    """Return what stops the use of a sheet, in place of what to do with it; nothing where nothing does."""
    reasons = [read.results[key].reason for key in keys if read.results[key].verdict == "stop"]
    if not reasons:
        return ()
    said = say.in_feet_too(reasons[0]) if read.words.feet else reasons[0]
    return (f"STOP: {said.rstrip('.')}.", STOPPED)


def framed(paper: Paper, read: Reader, title: str, about: str, steps: Sequence[str]) -> Sheet:
    """Return a sheet with its heading, bars and the lines under the drawing."""
    sheet = Sheet(paper)
    spec, feet = read.levels.job.spec, read.words.feet
    sheet.text(title, MARGIN, MARGIN + 4.2, BIG, bold=True)
    whose = " · ".join((spec.ref, safe(spec.title), f"issue {spec.issue}"))
    wide = paper.width - 2 * MARGIN - MAP - 4
    size = min(PLAIN, PLAIN * wide / text_width(whose, PLAIN))
    sheet.text(whose, MARGIN, MARGIN + 9.2, size)
    sheet.text(about, MARGIN, MARGIN + 13.2, min(PLAIN, PLAIN * wide / text_width(about, PLAIN)))
    y = MARGIN + 17.8
    for line in wrapped(PRINT_FEET if feet else PRINT, wide * POINT, PLAIN):
        sheet.text(line, MARGIN, y, PLAIN, bold=True)
        y += 4.0
    aside, head = (ASIDE_FEET, HEAD_FEET) if feet else (ASIDE, HEAD)
    left, top = MARGIN + aside + PAD, MARGIN + head + PAD
    bars = [(BAR, "100 mm"), *([(BAR_FEET, f"{read.words.exact(BAR_FEET)} (4 in)")] if feet else [])]
    for number, (length, name) in enumerate(bars):
        _bar(sheet, (left, y + 1.0 + 6.5 * number), length * 1000, name, upright=False)
        _bar(sheet, (MARGIN + 2.0 + 9.0 * number, top), length * 1000, name, upright=True)
    y = paper.height - MARGIN - FOOT + 3.0
    stop = STOPPED in steps
    for line in wrapped(" ".join(steps), (paper.width - 2 * MARGIN) * POINT * (1.0 if stop else NARROW), 8.5):
        sheet.text(line, MARGIN, y, 8.5, bold=stop, role="act" if stop else "ink")
        y += 3.8
    return sheet


def number_pages(sheets: Sequence[Sheet]) -> None:
    """Write on each sheet which one it is, of how many."""
    for number, sheet in enumerate(sheets, 1):
        right = sheet.paper.width - MARGIN
        sheet.text(
            f"{sheet.paper.name}, page {number} of {len(sheets)}",
            right,
            MARGIN + 4.2,
            10.0,
            anchor="right",
            bold=True,
        )


def page_map(sheet: Sheet, grid: Sequence[Piece], here: Piece) -> None:
    """Draw how the sheets lie together, and which of them this is."""
    across, down = grid[-1].column + 1, grid[-1].row + 1
    wide = min(MAP / across, 20.0 / down, 6.0)
    left = sheet.paper.width - MARGIN - across * wide
    for piece in grid:
        x, y = left + piece.column * wide, MARGIN + 7.0 + piece.row * wide
        ring = rectangle(x, y, x + wide, y + wide)
        if piece is here:
            sheet.fill([ring], "ink")
        sheet.stroke([ring], "ink", FINE, closed=True)
        role = "paper" if piece is here else "ink"
        size = min(SMALL, wide * 1.6)
        sheet.text(str(piece.number), x + wide / 2, y + wide / 2 + size / 8, size, anchor="center", role=role)


def joined(sheet: Sheet, piece: Piece, at: Callable[[float, float], Spot], word: str, own: str = "") -> None:
    """Draw a piece's edges, join lines and join marks.

    at: from the drawing to the sheet; word: what a piece is called; own: what stands before what to do
    where it is cut.
    """
    x0, y0, x1, y1 = piece.core
    end_x, end_y = piece.shown[2:]
    for side, join in piece.joins:
        if side in ("left", "right"):
            x = x0 if side == "left" else x1
            line = [at(x, y0), at(x, end_y)]
            spots = [(name, at(x, place)) for name, place in join.marks]
        else:
            y = y0 if side == "above" else y1
            line = [at(x0, y), at(end_x, y)]
            spots = [(name, at(place, y)) for name, place in join.marks]
        cut = side in ("left", "above")
        sheet.stroke([line], "groundwater", LINE, dash=DASH if cut else ())
        half = (at(x0, y0)[0] + at(end_x, y0)[0]) / 2
        for name, spot in spots:
            _mark(sheet, spot, name, left=side in ("above", "below") and spot[0] > half)
        _words(sheet, side, join, cut, Box(*at(x0, y0), *at(end_x, end_y)), word, own)
    outer = []
    if piece.right:
        outer.append([at(end_x, y0), at(end_x, end_y)])
    if piece.below:
        outer.append([at(x0, end_y), at(end_x, end_y)])
    sheet.stroke(outer, "dimension", FINE, dash=DOTS)


def along(
    sheet: Sheet,
    text: str,
    middle: Spot,
    edge: float,
    *,
    turn: float = 0.0,
    bold: bool = False,
    role: str = "ink",
) -> None:
    """Set words along an edge of a length, centred, smaller where the edge is short."""
    size = min(SMALL, SMALL * edge / text_width(text, SMALL, bold=bold))
    sheet.text(text, *middle, size, anchor="center", turn=turn, bold=bold, role=role)


def _words(sheet: Sheet, side: str, join: Join, cut: bool, drawn: Box, word: str, own: str) -> None:
    """What to do at an edge, beside it."""
    if cut:
        text = f"{own}cut here, lay on line {join.letter} of {word} {join.neighbour}"
    else:
        text = f"line {join.letter}: {word} {join.neighbour} goes on top"
    x, y = (drawn.x0 + drawn.x1) / 2, (drawn.y0 + drawn.y1) / 2
    middle, upright = {
        "left": ((drawn.x0 - MARK - 0.6, y), True),
        "right": ((drawn.x1 + 3.5, y), True),
        "above": ((x, drawn.y0 - MARK - 1.7), False),  # clear of the names of the join marks
        "below": ((x, drawn.y1 + 3.5), False),
    }[side]
    edge = drawn.y1 - drawn.y0 if upright else drawn.x1 - drawn.x0
    along(sheet, text, middle, edge, turn=90.0 if upright else 0.0, role="groundwater")


def _mark(sheet: Sheet, spot: Spot, name: str, *, left: bool) -> None:
    """A join mark: a diamond with a cross through it, and its name to the right or the left of it."""
    x, y = spot
    tips = [(x - MARK, y), (x, y - MARK), (x + MARK, y), (x, y + MARK)]
    sheet.stroke([tips], "groundwater", LINE, closed=True)
    sheet.stroke([[tips[0], tips[2]], [tips[1], tips[3]]], "groundwater", FINE)
    aside = -2.2 if left else 2.2
    anchor: Anchor = "right" if left else "left"
    sheet.text(name, x + aside, y - 2.6, SMALL, anchor=anchor, bold=True, role="groundwater")


def _bar(sheet: Sheet, start: Spot, length: float, name: str, *, upright: bool) -> None:
    """A bar to measure: its two end ticks are `length` apart, middle to middle."""
    x, y = start

    def at(along: float, off: float) -> Spot:
        return (x + off, y + along) if upright else (x + along, y + off)

    tenths = [[at(length * step / 10, -0.8), at(length * step / 10, 0.8)] for step in range(1, 10)]
    sheet.stroke([[at(0.0, 0.0), at(length, 0.0)]], "ink", EDGE)
    sheet.stroke([[at(end, -1.8), at(end, 1.8)] for end in (0.0, length)], "ink", FINE)
    sheet.stroke(tenths, "ink", FINE)
    if upright:
        sheet.text(name, x + 4.2, y + length / 2, PLAIN, anchor="center", bold=True, turn=90.0)
    else:
        sheet.text(name, x + length + 2.0, y + 1.2, PLAIN, bold=True)
