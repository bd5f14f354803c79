"""The sheet a figure is drawn on, and the view that brings model metres to it.

Page coordinates are points, x to the right, y down. The frame's height is not known while a figure
grows: y may run below 0, and `Sheet.close` brings everything into the frame at the end. Strokes and
fills of one style on one layer become one path.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from enum import IntEnum
from typing import Any, Literal

from builder.figures.drawn import TextBox
from builder.figures.lettering import ASCENT, DESCENT, spoken, width
from builder.figures.style import HATCH_ROLES, MARGIN, TEXT, WIDTH

Point = tuple[float, float]
Line = Sequence[Point]
Anchor = Literal["left", "center", "right"]
Dash = tuple[float, ...]
FINEST = 0.12  # points: finer steps of an edge cannot be seen


class Layer(IntEnum):
    """What lies over what."""

    GROUND = 0
    BACKFILL = 1
    MAKEUP = 2
    BEDDING = 3
    CUT = 4
    POCKET = 5
    BEAM = 6
    TUBE = 7
    EDGE = 8
    BODY = 9
    CASING = 10
    LEVEL = 11
    NOTE = 12
    BACKING = 13
    FRONT = 14
    TEXT = 15


@dataclass(frozen=True)
class Letter:
    """A text as it is set: its base line's point, which end of it that is, its size and role."""

    text: str
    x: float
    y: float
    size: float
    anchor: Anchor
    role: str

    def box(self) -> TextBox:
        """Return the box the text may take, by the broad font's measure."""
        wide = width(self.text, self.size)
        x0 = self.x - {"left": 0.0, "center": wide / 2, "right": wide}[self.anchor]
        return TextBox(
            spoken(self.text),
            x0,
            self.y - ASCENT * self.size,
            x0 + wide,
            self.y + DESCENT * self.size,
            self.size,
        )


@dataclass(frozen=True)
class View:
    """Model metres to page points: (x0, z0) goes to (left, top); down is down unless `up`."""

    scale: float  # points a metre
    x0: float
    z0: float
    left: float = MARGIN
    top: float = 0.0
    up: bool = False  # the model's second axis points up the page, as in plan

    def x(self, x: float) -> float:
        """Return the page x of a model x."""
        return self.left + (x - self.x0) * self.scale

    def y(self, z: float) -> float:
        """Return the page y of the model's second coordinate."""
        return self.top + (z - self.z0) * self.scale * (-1 if self.up else 1)

    def at(self, x: float, z: float) -> Point:
        """Return the page point of a model point."""
        return self.x(x), self.y(z)

    def line(self, points: Iterable[Point]) -> list[Point]:
        """Return the page points of model points."""
        return [self.at(x, z) for x, z in points]

    def region(self, shape: Any) -> list[list[Point]]:
        """Return the page rings of a plane region (one polygon or several), holes wound backwards.

        Points that move the edge by less than FINEST are left out.
        """
        plain = shape.simplify(FINEST / self.scale)
        parts = plain.geoms if hasattr(plain, "geoms") else [plain]
        rings: list[list[Point]] = []
        for part in parts:
            if part.geom_type != "Polygon" or part.area < 1e-7:
                continue
            rings.append(_wound(self.line(part.exterior.coords[:-1]), forwards=True))
            rings += [_wound(self.line(hole.coords[:-1]), forwards=False) for hole in part.interiors]
        return rings


@dataclass(frozen=True)
class Pen:
    """How a batch is painted: a line where weight is above 0, else a fill."""

    layer: Layer
    role: str
    weight: float = 0.0
    dash: Dash = ()
    round_ends: bool = False


class Sheet:
    """Collects what a figure shows; nothing is painted until `svg` asks for it."""

    def __init__(self, wide: float = WIDTH) -> None:
        """Start an empty sheet of a width in points."""
        self.width = wide
        self.height = 0.0
        self.batches: dict[Pen, list[tuple[list[Point], bool]]] = {}
        self.letters: list[Letter] = []
        self.offset = 0.0

    def fill(self, rings: Iterable[Line], role: str, layer: Layer) -> None:
        """Fill rings with a role's colour; holes are rings wound the other way."""
        self._put(Pen(layer, role), rings, closed=True)

    def hatch(self, rings: Iterable[Line], hatch: str, layer: Layer) -> None:
        """Fill rings with the ground colour of a hatch, and its marks over it."""
        kept = self._put(Pen(layer, HATCH_ROLES[hatch][0]), rings, closed=True)
        self.batches.setdefault(Pen(layer, f"hatch:{hatch}"), []).extend(kept)

    def stroke(
        self,
        lines: Iterable[Line],
        role: str,
        weight: float,
        layer: Layer = Layer.EDGE,
        *,
        dash: Dash = (),
        closed: bool = False,
        round_ends: bool = False,
    ) -> None:
        """Stroke lines in a role's colour; weight in points."""
        self._put(Pen(layer, role, weight, dash, round_ends), lines, closed=closed)

    def text(
        self, text: str, x: float, y: float, *, anchor: Anchor = "left", size: float = TEXT, role: str = "ink"
    ) -> TextBox:
        """Set a text with its base line at (x, y); return the box it may take."""
        letter = Letter(text, round(x, 2), round(y, 2), size, anchor, role)
        self.letters.append(letter)
        return letter.box()

    def backed(
        self,
        text: str,
        x: float,
        y: float,
        *,
        anchor: Anchor = "center",
        size: float = TEXT,
        role: str = "ink",
        ground: str = "paper",
    ) -> TextBox:
        """Set a text on a patch of its own, so that no line or hatch runs through it."""
        box = self.text(text, x, y, anchor=anchor, size=size, role=role)
        self.fill([rectangle(box.x0 - 1.5, box.y0 - 0.5, box.x1 + 1.5, box.y1)], ground, Layer.BACKING)
        return box

    def close(self, margin: float = MARGIN) -> None:
        """Fix the frame: as high as what is drawn, with a margin above and below."""
        heights = [y for batch in self.batches.values() for line, _ in batch for _, y in line]
        low, high = min(heights), max(heights)
        boxes = [letter.box() for letter in self.letters]
        low = min([low, *(box.y0 for box in boxes)])
        high = max([high, *(box.y1 for box in boxes)])
        self.offset = round(margin - low, 1)
        self.height = 3.0 * math.ceil((high - low + 2 * margin) / 3)  # whole CSS pixels: 4 for 3 points

    def boxes(self) -> tuple[TextBox, ...]:
        """Return the boxes of all text, in the closed frame's coordinates."""
        found = []
        for letter in self.letters:
            box = letter.box()
            found.append(
                TextBox(box.text, box.x0, box.y0 + self.offset, box.x1, box.y1 + self.offset, box.size_pt)
            )
        return tuple(found)

    def _put(self, pen: Pen, lines: Iterable[Line], *, closed: bool) -> list[tuple[list[Point], bool]]:
        """Keep lines to a tenth of a point; return what was kept."""
        rounded = ([(round(x, 1), round(y, 1)) for x, y in line] for line in lines)
        kept = [(points, closed) for points in rounded if len(points) > 1]
        self.batches.setdefault(pen, []).extend(kept)
        return kept


def rectangle(x0: float, y0: float, x1: float, y1: float) -> list[Point]:
    """Return the ring of an upright rectangle."""
    return [(x0, y0), (x1, y0), (x1, y1), (x0, y1)]


def _wound(ring: list[Point], *, forwards: bool) -> list[Point]:
    twice = sum(x0 * y1 - x1 * y0 for (x0, y0), (x1, y1) in zip(ring, ring[1:] + ring[:1], strict=True))
    return ring if (twice > 0) == forwards else ring[::-1]
