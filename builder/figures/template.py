"""The slot template: the tube's slotted wall rolled out at its true size, to wrap round the tube."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence

from builder.figures.lettering import safe
from builder.figures.paper import Sheet, Spot, rectangle, text_width
from builder.figures.paper_frame import (
    DOTS,
    EDGE,
    FINE,
    along,
    framed,
    joined,
    page_map,
    room,
    stopped,
)
from builder.figures.papers import Paper
from builder.figures.reader import Reader
from builder.figures.tiling import Piece, cuts, pieces

MEET = (
    0.002  # metres: a pipe's girth, and two turns of paper, may be off by so much; common practice, no source
)
WRAP = 12.0  # mm of paper that goes round a second time, to tape it by
NUMBER = 6.5  # points: the height above the foot beside a ring of slots
CLEAR = 5.0  # mm from a slot to where the drawing may be cut in two, where there is so much
ROOM = 4.0  # mm from one such number to the next, at least

STOPS = ("standpipe.girth_cut", "standpipe.length", "standpipe.reads_floor", "standpipe.place")
Rect = tuple[float, float, float, float]
At = Callable[[float, float], Spot]

STEPS = (
    "1. Cut each page at its dashed lines and at the edges of the template. Lay it on the line of the same "
    "letter, mark on mark, and tape it.",
    "2. Wrap it round the tube, foot edge at the foot. The edge must meet its line all the way up, within "
    "{meet}. If not, stop: measure the bars and the tube.",
    "3. Tape it, and saw each dark bar through the paper.",
)


def template(read: Reader, paper: Paper) -> list[Sheet]:
    """Return the sheets of the slot template; mm, from its top left corner, foot at the bottom."""
    levels, words = read.levels, read.words
    spec = levels.job.spec.standpipe
    girth, high = math.pi * levels.tube.outside * 1000, spec.slotted * 1000
    box = room(paper, words.feet)
    slots = _slots(read, girth, high)
    pitch = spec.pitch * 1000
    clear_x = min(CLEAR, (girth / spec.rows - spec.slot_length * 1000) / 2)
    clear_y = min(CLEAR, (pitch - spec.slot_width * 1000) / 2)
    grid = pieces(
        cuts(girth + WRAP, box.x1 - box.x0, [(x0 - clear_x, x1 + clear_x) for x0, _, x1, _ in slots]),
        cuts(high, box.y1 - box.y0, [(y0 - clear_y, y1 + clear_y) for _, y0, _, y1 in slots]),
        clear_x=[girth * row / spec.rows for row in range(spec.rows + 1)],
        clear_y=[high - pitch * ring for ring in range(math.floor(high / pitch) + 1)],
    )
    length, width, every = (words.exact_mm(size) for size in (spec.slot_length, spec.slot_width, spec.pitch))
    about = (
        f"{safe(levels.job.pipe.name)}. {read.si('standpipe.slot_count') or 0:,.0f} slots in {spec.rows} "
        f"{'row' if spec.rows == 1 else 'rows'}, {length} round the tube, {width} wide, every {every}."
    )
    steps = stopped(read, *STOPS) or [step.format(meet=words.exact_mm(MEET)) for step in STEPS]
    sheets = []
    for piece in grid:
        sheet = framed(paper, read, "Slot template, true to size", about, steps)
        x, y = box.x0 - piece.core[0], box.y0 - piece.core[1]

        def at(across: float, down: float, x: float = x, y: float = y) -> Spot:
            return x + across, y + down

        kept = [part for slot in slots if (part := _clipped(slot, piece.shown))]
        sheet.fill([rectangle(*at(*part[:2]), *at(*part[2:])) for part in kept], "tube-line")
        _lines(sheet, piece, at, spec.rows, girth, high)
        _heights(sheet, piece, at, read, slots, high)
        joined(sheet, piece, at, "page")
        page_map(sheet, grid, piece)
        sheets.append(sheet)
    return sheets


def _slots(read: Reader, girth: float, high: float) -> list[Rect]:
    """Every slot as x0, y0, x1, y1: rings from the foot up, each from the first row on."""
    spec = read.levels.job.spec.standpipe
    rings = round((read.si("standpipe.slot_count") or 0) / spec.rows)
    half, thick = spec.slot_length * 500, spec.slot_width * 500
    found = []
    for ring in range(rings):
        y = high - (ring + 0.5) * spec.pitch * 1000
        for row in range(spec.rows):
            x = girth * (row + 0.5) / spec.rows
            found.append((x - half, y - thick, x + half, y + thick))
    return found


def _clipped(rect: Rect, window: Rect) -> Rect | None:
    x0, y0 = max(rect[0], window[0]), max(rect[1], window[1])
    x1, y1 = min(rect[2], window[2]), min(rect[3], window[3])
    return (x0, y0, x1, y1) if x0 < x1 and y0 < y1 else None


def _lines(sheet: Sheet, piece: Piece, at: At, rows: int, girth: float, high: float) -> None:
    """The template's own edges, the line its other edge must meet, and the line of each row."""
    x0, y0, x1, y1 = piece.shown
    wide, tall = x1 - x0, y1 - y0
    centres = [girth * (row + 0.5) / rows for row in range(rows)]
    sheet.stroke([[at(x, y0), at(x, y1)] for x in centres if x0 <= x <= x1], "dimension", FINE, dash=DOTS)

    def upright(text: str, x: float) -> None:
        along(sheet, text, at(x, (y0 + y1) / 2), tall, turn=90.0)

    if piece.left is None:
        sheet.stroke([[at(0.0, y0), at(0.0, y1)]], "ink", EDGE)
        upright("this edge meets the line on the far side", -1.5)
    if x0 <= girth <= x1:
        sheet.stroke([[at(girth, y0), at(girth, y1)]], "ink", EDGE)
        upright("the other edge meets this line", girth - 1.5)
    if piece.right is None:
        sheet.stroke([[at(girth + WRAP, y0), at(girth + WRAP, y1)]], "ink", FINE)
        upright("lap: tape it here", girth + WRAP / 2 + 1.0)
    if piece.above is None:
        sheet.stroke([[at(x0, 0.0), at(x1, 0.0)]], "ink", EDGE)
        top = "TOP: this edge towards the rim, no slots above it"
        along(sheet, top, at((x0 + x1) / 2, -1.5), wide, bold=True)
    if piece.below is None:
        sheet.stroke([[at(x0, high), at(x1, high)]], "ink", EDGE)
        foot = "FOOT: this edge to the foot of the tube"
        along(sheet, foot, at((x0 + x1) / 2, high + 3.5), wide, bold=True)


def _heights(sheet: Sheet, piece: Piece, at: At, read: Reader, slots: Sequence[Rect], high: float) -> None:
    """How far above the foot the slots stand, beside the first row that leaves room for it."""
    x0, y0, x1, y1 = piece.core
    rows = read.levels.job.spec.standpipe.rows
    last = -math.inf
    said = [(slot, read.words.exact((high - (slot[1] + slot[3]) / 2) / 1000)) for slot in slots]
    wide = max(text_width(text, NUMBER) for _, text in said)
    for row in range(rows):
        column = said[row::rows]
        start = column[0][0][2] + 1.0
        if x0 <= start and start + wide <= x1:
            break
    else:
        return  # a strip too narrow for numbers
    for (_, top, _, low), text in sorted(column, key=lambda entry: entry[0][1]):
        y = (top + low) / 2
        if y0 + 1.5 <= y <= y1 - 1.5 and y - last >= ROOM:
            sheet.text(text, *at(start, y + 0.8), NUMBER, role="dimension")
            last = y
