"""Sheets of paper true to size, and the PDF they become.

Page coordinates are millimetres from the top left corner, y down. Colours are the print colours of the
roles. Same bytes every time: no date, no name of a machine.
"""

from __future__ import annotations

import io
import math
from collections.abc import Iterable, Sequence
from contextlib import nullcontext
from functools import cache
from typing import NamedTuple

import matplotlib
from matplotlib.artist import Artist
from matplotlib.backend_bases import RendererBase
from matplotlib.backends.backend_pdf import PdfPages
from matplotlib.colors import to_rgb
from matplotlib.figure import Figure
from matplotlib.font_manager import FontProperties
from matplotlib.path import Path
from matplotlib.transforms import Affine2D

from builder.figures.canvas import Anchor
from builder.figures.lettering import bold as heavy
from builder.figures.lettering import width
from builder.figures.papers import Paper
from builder.figures.style import colour

INCH = 25.4  # mm
POINT = 72 / INCH  # points a millimetre
PRIMES = {0x2032: "'", 0x2033: '"'}  # as a typewriter has them, so that a core font can set feet and inches

Spot = tuple[float, float]
Pen = tuple[str, float, tuple[float, ...]]  # role, weight (0: a fill), dashes; mm


class Letter(NamedTuple):
    """A text as it is set: its base line's point, size in points, which end of it that is, and its turn."""

    text: str
    x: float
    y: float
    size: float
    anchor: Anchor
    bold: bool
    turn: float
    role: str


class Sheet:
    """What one sheet shows: paths by pen in the order first used, then text."""

    def __init__(self, paper: Paper) -> None:
        """Start an empty sheet."""
        self.paper = paper
        self.paths: dict[Pen, list[tuple[Sequence[Spot], bool]]] = {}
        self.letters: list[Letter] = []

    def stroke(
        self,
        lines: Iterable[Sequence[Spot]],
        role: str,
        weight: float,
        *,
        dash: tuple[float, ...] = (),
        closed: bool = False,
    ) -> None:
        """Stroke lines in a role's colour; weight and dashes in mm."""
        self.paths.setdefault((role, weight, dash), []).extend((line, closed) for line in lines)

    def fill(self, rings: Iterable[Sequence[Spot]], role: str) -> None:
        """Fill rings with a role's colour."""
        self.paths.setdefault((role, 0.0, ()), []).extend((ring, True) for ring in rings)

    def text(
        self,
        text: str,
        x: float,
        y: float,
        size: float,
        *,
        anchor: Anchor = "left",
        bold: bool = False,
        turn: float = 0.0,
        role: str = "ink",
    ) -> None:
        """Set a text with its base line at (x, y): size in points, turned `turn` degrees to the left."""
        self.letters.append(Letter(text.translate(PRIMES), x, y, size, anchor, bold, turn, role))


def text_width(text: str, size: float, *, bold: bool = False) -> float:
    """Return an upper bound for the width in mm of a text at a size in points."""
    return width(heavy(text) if bold else text, size) / POINT


def rectangle(x0: float, y0: float, x1: float, y1: float) -> list[Spot]:
    """Return the ring of an upright rectangle."""
    return [(x0, y0), (x1, y0), (x1, y1), (x0, y1)]


def pdf(sheets: Sequence[Sheet], title: str) -> bytes:
    """Return the sheets as one PDF, a page each, of exactly their papers' sizes."""
    out = io.BytesIO()
    facts = {"Title": title, "Creator": "Shellbed", "Producer": None, "CreationDate": None}
    with matplotlib.rc_context({"pdf.use14corefonts": True, "pdf.compression": 9, "savefig.bbox": None}):
        with PdfPages(out, metadata=facts) as pages:
            for sheet in sheets:
                size = (sheet.paper.width / INCH, sheet.paper.height / INCH)
                drawn = Figure(figsize=size, dpi=72, frameon=False)
                drawn.add_artist(_Ink(sheet))
                pages.savefig(drawn)
    return out.getvalue()


class _Ink(Artist):
    """Paints a sheet: one path a pen, then the text."""

    def __init__(self, sheet: Sheet) -> None:
        super().__init__()
        self.sheet = sheet

    def draw(self, renderer: RendererBase) -> None:
        high = self.sheet.paper.height * POINT
        page = Affine2D().scale(POINT, -POINT).translate(0, high)
        for (role, weight, dash), lines in self.sheet.paths.items():
            if not lines:
                continue
            tone = to_rgb(colour(role, "print"))
            gc = renderer.new_gc()
            gc.set_linewidth(weight * POINT)
            if weight:
                gc.set_foreground(tone)
                gc.set_joinstyle("miter")
                gc.set_capstyle("butt")
                if dash:
                    gc.set_dashes(0, [step * POINT for step in dash])
            renderer.draw_path(gc, _compound(lines), page, None if weight else tone)
            gc.restore()
        for letter in self.sheet.letters:
            self._set(renderer, letter, high)

    def _set(self, renderer: RendererBase, letter: Letter, high: float) -> None:
        font, core = _font(letter.text, letter.size, letter.bold)
        gc = renderer.new_gc()
        gc.set_foreground(to_rgb(colour(letter.role, "print")))
        with nullcontext() if core else matplotlib.rc_context({"pdf.use14corefonts": False}):
            back = 0.0
            if letter.anchor != "left":
                long = renderer.get_text_width_height_descent(letter.text, font, ismath=False)[0]
                back = long / 2 if letter.anchor == "center" else long
            angle = math.radians(letter.turn)
            x = letter.x * POINT - back * math.cos(angle)
            y = high - letter.y * POINT - back * math.sin(angle)
            renderer.draw_text(gc, x, y, letter.text, font, letter.turn)
        gc.restore()


def _font(text: str, size: float, bold: bool) -> tuple[FontProperties, bool]:
    """The font of a text, and whether it is one of those that every PDF viewer has.

    A text with letters that those lack is set in an open font that goes with the file.
    """
    try:
        text.encode("cp1252")
    except UnicodeEncodeError:
        return _properties("DejaVu Sans", size, bold), False
    return _properties("Helvetica", size, bold), True


@cache
def _properties(family: str, size: float, bold: bool) -> FontProperties:
    return FontProperties(family=[family], size=size, weight="bold" if bold else "medium")


def _compound(lines: Sequence[tuple[Sequence[Spot], bool]]) -> Path:
    points: list[Spot] = []
    codes: list[int] = []
    for line, closed in lines:
        points += line
        codes += [int(Path.MOVETO), *[int(Path.LINETO)] * (len(line) - 1)]
        if closed:
            points.append(line[0])
            codes.append(int(Path.CLOSEPOLY))
    path = Path(points, codes)
    path.should_simplify = False
    return path
