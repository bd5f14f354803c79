"""Reads a PDF of ours back: what is stroked, filled and written on each page, in mm from its top left."""

from __future__ import annotations

import io
from dataclasses import dataclass, field

from pypdf import PdfReader
from pypdf.generic import ContentStream

MM = 72 / 25.4  # points a millimetre, by the definition of both
Spot = tuple[float, float]


@dataclass
class Drawn:
    """One subpath: its points, whether it is closed and filled, its colour in 0-255, its width in mm."""

    points: list[Spot]
    closed: bool
    filled: bool
    colour: tuple[int, int, int]
    width: float

    @property
    def box(self) -> tuple[float, float, float, float]:
        xs, ys = [x for x, _ in self.points], [y for _, y in self.points]
        return min(xs), min(ys), max(xs), max(ys)


@dataclass
class Sheet:
    """One page: its size in mm, its paths, and its texts with where each begins."""

    width: float
    height: float
    paths: list[Drawn] = field(default_factory=list)
    texts: list[tuple[str, float, float]] = field(default_factory=list)

    def filled(self, colour: str) -> list[Drawn]:
        return [path for path in self.paths if path.filled and path.colour == rgb(colour)]

    def stroked(self, colour: str) -> list[Drawn]:
        return [path for path in self.paths if not path.filled and path.colour == rgb(colour)]

    @property
    def words(self) -> str:
        return " ".join(text for text, _, _ in self.texts)


def rgb(code: str) -> tuple[int, int, int]:
    return int(code[1:3], 16), int(code[3:5], 16), int(code[5:7], 16)


def read(content: bytes) -> list[Sheet]:
    return [_sheet(page) for page in PdfReader(io.BytesIO(content)).pages]


def _sheet(page) -> Sheet:
    left, low, right, high = (float(edge) for edge in page.mediabox)
    assert (left, low) == (0.0, 0.0)
    sheet = Sheet(right / MM, high / MM)
    matrix, stack = (1.0, 0.0, 0.0, 1.0, 0.0, 0.0), []
    stroke = fill = (0, 0, 0)
    width = 1.0
    subpaths: list[tuple[list[Spot], bool]] = []
    text_at = (1.0, 0.0, 0.0, 1.0, 0.0, 0.0)

    def at(x: float, y: float) -> Spot:
        a, b, c, d, e, f = matrix
        return (a * x + c * y + e) / MM, (high - (b * x + d * y + f)) / MM

    def paint(filled: bool) -> None:
        for points, closed in subpaths:
            tone = fill if filled else stroke
            sheet.paths.append(Drawn(points, closed, filled, tone, width / MM))
        subpaths.clear()

    for operands, raw in ContentStream(page.get_contents(), page.pdf).operations:
        op = raw.decode()
        numbers = [float(n) for n in operands] if op in _NUMERIC else []
        if op == "q":
            stack.append((matrix, stroke, fill, width))
        elif op == "Q":
            matrix, stroke, fill, width = stack.pop()
        elif op == "cm":
            matrix = _times(tuple(numbers), matrix)
        elif op == "w":
            width = numbers[0]
        elif op in ("RG", "rg", "G", "g"):
            tone = tuple(round(n * 255) for n in (numbers if len(numbers) == 3 else numbers * 3))
            stroke, fill = (tone, fill) if op in ("RG", "G") else (stroke, tone)
        elif op == "m":
            subpaths.append(([at(*numbers)], False))
        elif op == "l":
            subpaths[-1][0].append(at(*numbers))
        elif op == "re":
            x, y, w, h = numbers
            subpaths.append(([at(x, y), at(x + w, y), at(x + w, y + h), at(x, y + h)], True))
        elif op == "h":
            subpaths[-1] = (subpaths[-1][0], True)
        elif op in ("S", "s"):
            paint(filled=False)
        elif op in ("f", "F", "f*"):
            paint(filled=True)
        elif op == "n":
            subpaths.clear()
        elif op in ("B", "b", "B*", "b*", "c", "v", "y", "W", "W*"):
            raise AssertionError(f"this reader does not know {op}")
        elif op == "BT":
            text_at = (1.0, 0.0, 0.0, 1.0, 0.0, 0.0)
        elif op == "Td":
            text_at = _times((1.0, 0.0, 0.0, 1.0, *numbers), text_at)
        elif op == "Tm":
            text_at = tuple(numbers)
        elif op in ("Tj", "TJ"):
            parts = operands[0] if op == "TJ" else operands
            said = "".join(str(part) for part in parts if not isinstance(part, int | float))
            x, y = text_at[4:]
            sheet.texts.append((said, *at(x, y)))
    return sheet


_NUMERIC = frozenset("cm w RG rg G g m l re Td Tm".split())


def _times(one, other):
    a, b, c, d, e, f = one
    p, q, r, s, t, u = other
    return (a * p + b * r, a * q + b * s, c * p + d * r, c * q + d * s, e * p + f * r + t, e * q + f * s + u)
