"""Sheets of paper true to size, and the PDF they become.

Page coordinates are millimetres from the top left corner, y down. Colours are the print colours of the
roles. Same bytes every time: no date, no name of a machine.
"""

from __future__ import annotations

import hashlib
import io
import math
from collections.abc import Iterable, Sequence
from functools import cache
from pathlib import Path
from typing import NamedTuple

import matplotlib
from reportlab import rl_config
from reportlab.lib.colors import HexColor
from reportlab.pdfbase.pdfdoc import PDFDictionary, PDFDocument, PDFInfo, PDFString
from reportlab.pdfbase.pdfmetrics import registerFont, stringWidth
from reportlab.pdfbase.ttfonts import TTFont
from reportlab.pdfgen.canvas import Canvas
from reportlab.pdfgen.pathobject import PDFPathObject

from builder.figures.canvas import Anchor
from builder.figures.lettering import bold as heavy
from builder.figures.lettering import width
from builder.figures.papers import Paper
from builder.figures.style import colour

INCH = 25.4  # mm
rl_config.useA85 = 0  # plain compressed streams
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
    page = Canvas(out, invariant=1, pageCompression=1)
    file = page._doc  # type: ignore[attr-defined]  # the one way to leave the day and the clock out
    file.info = _Facts(title)
    file.signature = hashlib.md5(title.encode(), usedforsecurity=False)
    for sheet in sheets:
        high = sheet.paper.height * POINT
        page.setPageSize((sheet.paper.width * POINT, high))
        for (role, weight, dash), lines in sheet.paths.items():
            if lines:
                _draw(page, _path(page, lines, high), role, weight, dash)
        for letter in sheet.letters:
            _set(page, letter, high)
        page.showPage()
    page.save()
    return out.getvalue()


class _Facts(PDFInfo):
    """What the file says of itself: its title and what made it, and no day."""

    def __init__(self, title: str) -> None:
        super().__init__()
        self.title = title

    def format(self, document: PDFDocument) -> bytes:
        facts = {"Title": PDFString(self.title), "Creator": PDFString("Shellbed")}
        return bytes(PDFDictionary(facts).format(document))


def _draw(page: Canvas, path: PDFPathObject, role: str, weight: float, dash: tuple[float, ...]) -> None:
    tone = HexColor(colour(role, "print"))
    if not weight:
        page.setFillColor(tone)
        page.drawPath(path, stroke=0, fill=1)
        return
    page.setStrokeColor(tone)
    page.setLineWidth(weight * POINT)
    page.setDash([step * POINT for step in dash])
    page.drawPath(path)


def _path(page: Canvas, lines: Sequence[tuple[Sequence[Spot], bool]], high: float) -> PDFPathObject:
    path = page.beginPath()
    for line, closed in lines:
        (x, y), *rest = line
        path.moveTo(x * POINT, high - y * POINT)
        for x, y in rest:
            path.lineTo(x * POINT, high - y * POINT)
        if closed:
            path.close()
    return path


def _set(page: Canvas, letter: Letter, high: float) -> None:
    font = _font(letter.text, letter.bold)
    back = 0.0
    if letter.anchor != "left":
        long = stringWidth(letter.text, font, letter.size)
        back = long / 2 if letter.anchor == "center" else long
    cos, sin = math.cos(math.radians(letter.turn)), math.sin(math.radians(letter.turn))
    text = page.beginText()
    text.setFont(font, letter.size)
    text.setFillColor(HexColor(colour(letter.role, "print")))
    x, y = letter.x * POINT - back * cos, high - letter.y * POINT - back * sin
    text.setTextTransform(cos, sin, -sin, cos, x, y)
    text.textOut(letter.text)
    page.drawText(text)


def _font(text: str, bold: bool) -> str:
    """The font of a text: one that every PDF viewer has, or an open one that goes with the file.

    The second where the text has letters that the first lacks.
    """
    try:
        text.encode("cp1252")
    except UnicodeEncodeError:
        return _open_font("DejaVuSans-Bold" if bold else "DejaVuSans")
    return "Helvetica-Bold" if bold else "Helvetica"


@cache
def _open_font(name: str) -> str:
    registerFont(TTFont(name, str(Path(matplotlib.get_data_path()) / "fonts" / "ttf" / f"{name}.ttf")))
    return name
