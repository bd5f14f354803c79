"""A plot with two scales, drawn with the marks of the other figures."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from builder.figures.canvas import Layer, Point, Sheet, rectangle
from builder.figures.lettering import width
from builder.figures.marks import DROP
from builder.figures.placer import LEAD
from builder.figures.style import EDGE, MARGIN, SMALL, TEXT, THIN, WIDTH

TICK = 3.5  # points
FROM_AXIS = 3.0  # points between a tick and its number
GRID = (0.6, 3.0)


@dataclass(frozen=True)
class Scale:
    """Values from one end of a scale to the other (left to right, or top to bottom), and its numbers."""

    start: float
    end: float
    ticks: tuple[tuple[float, str], ...]
    name: str

    def share(self, value: float) -> float:
        """Return where a value lies: 0 at the start, 1 at the end."""
        return (value - self.start) / (self.end - self.start)

    @property
    def numbers(self) -> str:
        """Its numbers, for a sentence."""
        return ", ".join(text for _, text in self.ticks)


@dataclass(frozen=True)
class Chart:
    """A plot: its two scales and its box on the page, in points."""

    across: Scale
    down: Scale
    left: float
    top: float
    wide: float
    high: float

    @classmethod
    def on_sheet(cls, across: Scale, down: Scale, high: float, right: float = MARGIN) -> Chart:
        """Return a plot as wide as a sheet leaves beside the numbers of its upright scale."""
        room = max(width(text, SMALL) for _, text in down.ticks)
        left = MARGIN + room + TICK + FROM_AXIS
        return cls(across, down, left, 0.0, WIDTH - right - left, high)

    def at(self, across: float, down: float) -> Point:
        """Return the page point of a pair of values."""
        return self.left + self.across.share(across) * self.wide, self.top + self.down.share(down) * self.high

    def line(self, pairs: Iterable[Point]) -> list[Point]:
        """Return the page points of pairs of values."""
        return [self.at(a, b) for a, b in pairs]

    @property
    def low(self) -> float:
        """The page y of the plot's lower edge."""
        return self.top + self.high

    def axes(self, sheet: Sheet) -> float:
        """Draw frame, ticks, grid and numbers; return where the numbers and names under the plot end."""
        box = rectangle(self.left, self.top, self.left + self.wide, self.low)
        sheet.stroke([box], "ink", EDGE, Layer.EDGE, closed=True)
        ticks: list[Sequence[Point]] = []
        grid: list[Sequence[Point]] = []
        beyond = -1e9
        for value, text in sorted(self.across.ticks, key=lambda tick: self.across.share(tick[0])):
            x, _ = self.at(value, self.down.start)
            ticks.append([(x, self.low), (x, self.low + TICK)])
            grid.append([(x, self.top), (x, self.low)])
            half = width(text, SMALL) / 2
            middle = min(max(x, MARGIN + half), WIDTH - MARGIN - half)
            if middle - half > beyond:
                sheet.text(
                    text, middle, self.low + TICK + FROM_AXIS + SMALL * 0.8, anchor="center", size=SMALL
                )
                beyond = middle + half + 4
        for value, text in self.down.ticks:
            _, y = self.at(self.across.start, value)
            ticks.append([(self.left - TICK, y), (self.left, y)])
            grid.append([(self.left, y), (self.left + self.wide, y)])
            sheet.text(text, self.left - TICK - FROM_AXIS, y + DROP, anchor="right", size=SMALL)
        sheet.stroke(ticks, "ink", THIN, Layer.EDGE)
        sheet.stroke(grid, "dimension", THIN, Layer.BACKFILL, dash=GRID)
        name = self.low + TICK + FROM_AXIS + SMALL + TEXT + 4
        sheet.text(f"\u2192 {self.across.name}", self.left, name)
        way = "\u2191" if self.down.start > self.down.end else "\u2193"  # to where the values grow
        sheet.text(f"{way} {self.down.name}", self.left, name + LEAD)
        return name + LEAD + 3


def steps(low: float, high: float, step: float) -> tuple[float, ...]:
    """Return the whole multiples of a step from low to high."""
    first, last = -(-low // step), high // step + 1e-9
    return tuple(step * number for number in range(round(first), int(last) + 1))


def nice(span: float, most: int) -> float:
    """Return the least step of 1, 2 or 5 times a power of ten that gives at most `most` parts of a span."""
    power = 1e-4
    while True:
        for factor in (1, 2, 5):
            if span / (factor * power) <= most:
                return factor * power
        power *= 10
