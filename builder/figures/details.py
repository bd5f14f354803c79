"""Detail views: which place of a section is shown larger in another figure, and how it is marked.

In the section a circle lies round the place and the letter stands in its label; in the detail the
letter stands in a circle. A detail has one scale, true at the width at which its figure is printed: the
largest of SCALES that its frame has room for, from the one its kind is drawn at.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from builder.figures.canvas import Layer, Point, Sheet, View
from builder.figures.lettering import bold
from builder.figures.style import EDGE, TEXT, WIDTH
from builder.figures.wording import Words

VALVE, LID, SLOTS = "A", "B", "C"
LEAST = 7.0  # points: least radius of a circle
BADGE = 7.5  # points: radius of the circle round a letter
SIDES = 24
LOWER = math.radians(30.0)  # below level, where a leader meets a circle
SCALES = (1, 2, 3, 4, 5, 6, 8, 10, 15, 20, 30, 50, 100)  # 1 to so many
SHARES = {1: "its", 2: "half its", 3: "a third of its", 4: "a quarter of its", 5: "a fifth of its"}
HIGHEST = 330.0  # points
PRINTED, FEET_PRINTED = 0.1, 4 * 0.0254  # metres: how wide a detail's figure is printed; style says it too


def named(letter: str, name: str) -> str:
    """Return a label's line with the letter of its detail."""
    return f"{bold(letter)} {name}"


def ring(sheet: Sheet, view: View, at: Point, size: float) -> tuple[float, float]:
    """Draw the circle round a place `size` metres across; return its upper and lower page y."""
    x, y = view.at(*at)
    radius = _radius(view, size)
    _circle(sheet, (x, y), radius)
    return y - radius, y + radius


def on_ring(view: View, at: Point, size: float) -> tuple[Point, Point]:
    """Return the places of that circle, left and right, for the leader of a label: clear of the middle."""
    x, y = view.at(*at)
    out, down = _radius(view, size) * math.cos(LOWER), _radius(view, size) * math.sin(LOWER)
    return (x - out, y + down), (x + out, y + down)


def badge(sheet: Sheet, letter: str, at: Point) -> None:
    """Put a detail's letter in its circle."""
    sheet.text(bold(letter), at[0], at[1] + TEXT * 0.36, anchor="center")
    _circle(sheet, at, BADGE)


@dataclass(frozen=True)
class Scale:
    """A scale of 1 to `down`, true where the figure is `printed` metres wide."""

    down: int
    printed: float

    @property
    def points(self) -> float:
        """Points of the figure for a metre of the model."""
        return WIDTH / self.printed / self.down

    @property
    def short(self) -> str:
        """How large that is, in the figure itself: `half true size in print`."""
        share = SHARES.get(self.down, f"1/{self.down} of its").removesuffix("its").strip()
        return f"{share} true size in print".strip()

    def said(self, words: Words) -> str:
        """Return how large that is: `drawn at half its true size when printed 100 mm wide`."""
        share = SHARES.get(self.down, f"1/{self.down} of its")
        return f"drawn at {share} true size when printed {words.exact_mm(self.printed)} wide"


def fitting(wanted: int, wide: float, room: float, words: Words, *, high: float = 0.0) -> Scale:
    """Return the largest scale, as 1 to so many and not over `wanted`, at which a detail fits.

    wide, high: its size in metres; room: the points there are across, where HIGHEST is what it may be
    high. Raises ValueError where even the smallest does not do.
    """
    for down in SCALES:
        scale = Scale(down, FEET_PRINTED if words.feet else PRINTED)
        if down >= wanted and wide * scale.points <= room + 1e-6 and high * scale.points <= HIGHEST:
            return scale
    raise ValueError(f"a detail of {wide:.2f} m has no scale")


def _radius(view: View, size: float) -> float:
    return max(size * view.scale / 2 + 3.0, LEAST)


def _circle(sheet: Sheet, at: Point, radius: float) -> None:
    turns = [math.tau * number / SIDES for number in range(SIDES)]
    line = [(at[0] + radius * math.cos(turn), at[1] + radius * math.sin(turn)) for turn in turns]
    sheet.stroke([line], "ink", EDGE, Layer.FRONT, closed=True)
