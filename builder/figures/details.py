"""Detail views: which place of a section is shown larger in another figure, and how it is marked.

In the section a circle lies round the place and the letter stands in its label; in the detail the
letter stands in a circle.
"""

from __future__ import annotations

import math

from builder.figures.canvas import Layer, Point, Sheet, View
from builder.figures.cut import Cut
from builder.figures.lettering import bold
from builder.figures.style import EDGE, TEXT
from builder.levels import Levels, long_section

VALVE, LID, SLOTS = "A", "B", "C"
LEAST = 7.0  # points: least radius of a circle
BADGE = 7.5  # points: radius of the circle round a letter
SIDES = 24


def named(letter: str, name: str) -> str:
    """Return a label's line with the letter of its detail."""
    return f"{bold(letter)} {name}"


def ring(sheet: Sheet, view: View, at: Point, size: float) -> tuple[float, float]:
    """Draw the circle round a place `size` metres across; return its upper and lower page y."""
    x, y = view.at(*at)
    radius = max(size * view.scale / 2 + 3.0, LEAST)
    _circle(sheet, (x, y), radius)
    return y - radius, y + radius


def badge(sheet: Sheet, letter: str, at: Point) -> None:
    """Put a detail's letter in its circle."""
    sheet.text(bold(letter), at[0], at[1] + TEXT * 0.36, anchor="center")
    _circle(sheet, at, BADGE)


def times(levels: Levels, scale: float) -> str:
    """Return how much larger than in the long section a detail is, its scale in points a metre."""
    return f"{scale / Cut(levels, long_section(levels)).view().scale:.0f}"


def _circle(sheet: Sheet, at: Point, radius: float) -> None:
    turns = [math.tau * number / SIDES for number in range(SIDES)]
    line = [(at[0] + radius * math.cos(turn), at[1] + radius * math.sin(turn)) for turn in turns]
    sheet.stroke([line], "ink", EDGE, Layer.FRONT, closed=True)
