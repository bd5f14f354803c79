"""Story-pole strips: every fill and water mark of the job at its true size, to stick on a batten."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import NamedTuple

from builder.figures.canvas import Anchor
from builder.figures.ladder import ladder
from builder.figures.paper import Sheet, Spot, text_width
from builder.figures.paper_frame import EDGE, FINE, LINE, PAD, Box, along, framed, joined, room, stopped
from builder.figures.papers import Paper
from builder.figures.reader import Reader
from builder.figures.style import HATCH_ROLES
from builder.figures.tiling import Piece, cuts, pieces
from builder.figures.turns import turns
from builder.units import UNITS

WIDE = 66.0  # mm: the strip
APART = 2 * PAD  # mm between two pieces on a sheet
MIDDLE = 5.0  # mm: half of the scale's band
SIGN = 5.0  # mm from an edge to its join marks, clear of the words
TICK = 8.0  # mm: a mark's line, from the edge
BLOCK = 9.0  # mm: how high a mark's two lines of text are
SPARE = 20.0  # mm of strip under its lowest mark
READING, NAME, SCALE = 9.0, 8.5, 7.0  # points

STEPS = (
    "1. Cut out each piece. Lay it on the line of the same letter, mark on mark, and tape it.",
    "2. Stick the strip on a straight batten, its top at the batten's end. Hold that end level with the rim.",
    "3. A mark's line is the level; its number is rounded to what a tape shows.",
)


class Mark(NamedTuple):
    """One mark: its depth below the rim in mm, what it is called and how its depth is read."""

    depth: float
    name: str
    reading: str


Placed = Sequence[tuple[Mark, float]]
At = Callable[[float, float], Spot]


def marks(read: Reader) -> tuple[list[Mark], list[Mark]]:
    """Return the fill marks and the water marks of a job, from the rim down; none without a plan."""
    plan, say = turns(read)[::-1], read.words.length
    fills = [Mark(turn.fill * 1000, turn.name, say(turn.fill)) for turn in plan if turn.fills]
    waters = [Mark(turn.water * 1000, turn.name, say(turn.water)) for turn in plan if turn.waters]
    return fills, waters


def strips(read: Reader, paper: Paper) -> list[Sheet]:
    """Return the sheets of the story-pole strips; none where there is no plan of filling."""
    fills, waters = marks(read)
    if not fills and not waters:
        return []
    long = max(mark.depth for mark in (*fills, *waters)) + SPARE
    box = room(paper, read.words.feet)
    placed = [_placed(side, long) for side in (fills, waters)]
    blocks = [
        (min(y, mark.depth) - BLOCK / 2 - 1, max(y, mark.depth) + BLOCK / 2 + 1)
        for side in placed
        for mark, y in side
    ]
    parts = pieces((0.0, WIDE), cuts(long, box.y1 - box.y0, blocks), (SIGN, WIDE - SIGN), ())
    abreast = int((box.x1 - box.x0 + APART) / (WIDE + APART))
    about = f"Top of the fill on the left, pool water on the right; {read.words.unit} below the rim."
    steps = stopped(read, "fill.stages") or STEPS
    sheets = []
    for first in range(0, len(parts), abreast):
        sheet = framed(paper, read, "Story-pole strips, true to size", about, steps)
        for nth, piece in enumerate(parts[first : first + abreast]):
            _piece(sheet, piece, (box.x0 + nth * (WIDE + APART), box.y0), read, placed)
        sheets.append(sheet)
    return sheets


def _placed(side: Sequence[Mark], long: float) -> list[tuple[Mark, float]]:
    """Each mark with the middle of its text, so that no two texts overlap."""
    middles = ladder([mark.depth for mark in side], [BLOCK] * len(side), 1.0, long)
    return list(zip(side, middles, strict=True))


def _piece(sheet: Sheet, piece: Piece, origin: Spot, read: Reader, placed: Sequence[Placed]) -> None:
    y0, y1, end = piece.core[1], piece.core[3], piece.shown[3]

    def at(x: float, y: float) -> Spot:
        return origin[0] + x, origin[1] + y - y0

    sheet.stroke([[at(x, y0), at(x, end)] for x in (0.0, WIDE)], "ink", LINE)
    _scale(sheet, Box(0.0, y0, WIDE, end), at, read)
    for side, left in zip(placed, (True, False), strict=True):
        role = HATCH_ROLES[read.levels.job.backfill.hatch][1] if left else "water-line"
        for mark, middle in side:
            _mark(sheet, mark, middle, at, Box(0.0, y0, WIDE, end), (y0, y1), role, left=left)
    if piece.above is None:
        sheet.stroke([[at(0.0, 0.0), at(WIDE, 0.0)]], "ink", EDGE)
        along(sheet, f"piece {piece.number}, TOP: level with the rim", at(WIDE / 2, -1.5), WIDE, bold=True)
    if piece.below is None:
        sheet.stroke([[at(0.0, end), at(WIDE, end)]], "ink", LINE)
        along(sheet, "lower end", at(WIDE / 2, end + 3.5), WIDE)
    joined(sheet, piece, at, "piece", f"piece {piece.number}: ")


def _scale(sheet: Sheet, shown: Box, at: At, read: Reader) -> None:
    """A scale down the middle, with numbers."""
    feet = read.words.feet
    step, every = (UNITS["in"].si * 1000, 3) if feet else (10.0, 10)
    middle = WIDE / 2
    ticks = []
    for nth in range(int(shown.y0 / step) + 1, int(shown.y1 / step) + 1):
        y = nth * step
        if nth % every == 0 and shown.y0 + 2 <= y <= shown.y1 - 2:
            text = read.words.exact(y / 1000)
            sheet.text(text, *at(middle, y + 0.9), SCALE, anchor="center", role="dimension")
            half = text_width(text, SCALE) / 2 + 0.6
            ticks += [
                [at(middle - MIDDLE - 1, y), at(middle - half, y)],
                [at(middle + half, y), at(middle + MIDDLE + 1, y)],
            ]
        else:
            ticks.append([at(middle - 1.5, y), at(middle + 1.5, y)])
    sheet.stroke(ticks, "dimension", FINE)


def _mark(
    sheet: Sheet,
    mark: Mark,
    middle: float,
    at: At,
    shown: Box,
    core: tuple[float, float],
    role: str,
    *,
    left: bool,
) -> None:
    """One mark where this piece shows it: a line from the edge, a sign on it, its reading and its name."""
    if not shown.y0 - 1e-6 <= mark.depth <= shown.y1 + 1e-6:
        return
    way, edge = (1.0, 0.0) if left else (-1.0, WIDE)
    y = mark.depth
    if left:
        sheet.fill(
            [
                [
                    at(0.0, y),
                    at(TICK - 2, y),
                    at(TICK - 2, min(y + 3, shown.y1)),
                    at(0.0, min(y + 3, shown.y1)),
                ]
            ],
            role,
        )
    else:
        x, top = edge - TICK / 2, max(y - 3.4, shown.y0)
        half = (y - top) / 1.8
        sheet.fill([[at(x - half, top), at(x + half, top), at(x, y)]], role)
    sheet.stroke([[at(edge, y), at(edge + way * TICK, y)]], "ink", EDGE)
    if not core[0] <= middle < core[1]:
        return  # its words stand on the next piece
    start = edge + way * (TICK + 1.5)
    if abs(middle - y) > 0.5:
        sheet.stroke([[at(edge + way * TICK, y), at(start - way * 0.4, middle)]], "dimension", FINE)
    anchor: Anchor = "left" if left else "right"
    sheet.text(mark.reading, *at(start, middle - 0.4), READING, anchor=anchor, bold=True)
    sheet.text(mark.name, *at(start, middle + 3.4), NAME, anchor=anchor)
