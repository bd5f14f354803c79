"""Quantities in words, as a page has room for: SI values as a reader on site sees them.

How a number is rounded, and how a length is said in feet, stands in builder/say.py, so that picture,
sentence and table agree. Where the region counts in feet, a length comes in feet and inches first, then
in millimetres, a volume in gallons first, then in litres, and so on.
"""

from __future__ import annotations

from dataclasses import dataclass

from builder import say
from builder.pages.typed import OPEN
from builder.quantity import Number
from builder.say import COARSE, FINE, MINUS, SPACE
from builder.units import UNITS, SafeSide, round_safe

WATER = 9806.65  # N/m3, fresh water
MILLIMETRE = 0.001
HEAVY = 1e4  # kg: from here on a mass is told in tonnes
SHORT_TON = 2000 * UNITS["lb"].si


@dataclass(frozen=True)
class Words:
    """The wording of quantities for one region; feet: it counts in feet, gallons and pounds."""

    feet: bool

    def length(self, value: float, side: SafeSide = "nearest", step: float = COARSE) -> str:
        """Return metres as `1,785 mm`, rounded to `step` metres on `side`."""
        size = self._size(value, side, step)
        return f"{MINUS}{size}" if value < 0 and not _nothing(size) else size

    def exact(self, value: float) -> str:
        """Return metres as typed, to a tenth of a millimetre: `7,400 mm`, `1.5 mm`."""
        return self.length(value, "nearest", FINE)

    def habit(self, value: float, side: SafeSide = "nearest") -> str:
        """Return a length of common practice: as typed, its inches rounded on `side` as a tape is read."""
        if not self.feet:
            return self.exact(value)
        return _both(say.feet_and_inches(say.habit(value, side)), self._millimetres(value, FINE))

    def taped(self, value: float, side: SafeSide) -> float:
        """Return metres as `length` tells them first: to an eighth of an inch, or to 5 mm."""
        return round_safe(value, say.INCH / 8 if self.feet else COARSE, side)

    def depth(
        self, value: float, mark: str = "the rim", side: SafeSide = "nearest", step: float = COARSE
    ) -> str:
        """Return a depth below `mark`, positive downwards: `1,785 mm below the rim`."""
        size = self._size(value, side, step)
        if _nothing(size):
            return f"level with {mark}"
        return f"{size} {'above' if value < 0 else 'below'} {mark}"

    def number(self, number: Number, value: float, side: SafeSide | None = None) -> str:
        """Return `value` (SI) of `number` in the words of its kind of unit."""
        side = side or number.safe_side
        if number.unit == "L/mm":
            said = f"{say.two_digits(value, side)}{SPACE}L for each millimetre"
            eighth = f"{say.gallons(value * say.INCH / 8, side)} for each 1/8{SPACE}in"
            return _both(eighth, said) if self.feet else said
        return self.quantity(value, UNITS[number.unit].dimension, side)

    def quantity(self, value: float, dimension: str, side: SafeSide) -> str:
        """Return an SI value of `dimension` (an SI symbol) in words; KeyError where none are kept for it."""
        if dimension == "m":
            return self.length(value, side)
        if dimension == "Pa":
            return f"as much as {self.length(value / WATER, side)} of water"
        said = say.BY_DIMENSION[dimension](value, side)
        return _both(_customary(value, dimension, side), said) if self.feet else said

    def sentence(self, text: str) -> str:
        """Return a sentence written in millimetres and litres as this region says it."""
        return say.in_feet_too(text) if self.feet else text

    def _size(self, value: float, side: SafeSide, step: float) -> str:
        size = self._millimetres(value, step, side)
        return _both(say.feet_and_inches(value, side, step), size) if self.feet else size

    def _millimetres(self, value: float, step: float, side: SafeSide = "nearest") -> str:
        if self.feet and step == FINE and abs(value) >= say.INCH / 2:
            step = MILLIMETRE  # what was typed in inches has no tenths of a millimetre to keep
        return f"{say.mm(value, side, step)}{SPACE}mm"


def listed(words: list[str] | tuple[str, ...], last: str = "and") -> str:
    """Return `a, b and c`."""
    if len(words) < 2:
        return "".join(words)
    return f"{', '.join(words[:-1])} {last} {words[-1]}"


def lower_first(name: str) -> str:
    """Return a row's name as it stands in a sentence; an abbreviation keeps its capitals."""
    return name[:1].lower() + name[1:] if name[1:2].islower() else name


def upper_first(text: str) -> str:
    """Return text as it starts a sentence; the fence of typed text stays before it."""
    at = 1 if text[:1] == OPEN else 0
    return text[:at] + text[at : at + 1].upper() + text[at + 1 :]


def _nothing(size: str) -> bool:
    return size.startswith(f"0{SPACE}")


def _both(first: str, then: str) -> str:
    return f"{first} ({then})" if first else then


def _customary(value: float, dimension: str, side: SafeSide) -> str:
    """Return gallons, gallons a minute, pounds or square feet; empty for what is told the same everywhere."""
    if dimension == "m3":
        return say.gallons(value, side)
    if dimension == "m3/s":
        return f"{say.two_digits(value / UNITS['gal/min'].si, side)}{SPACE}gal/min"
    if dimension == "kg" and value >= HEAVY:
        return f"{say.two_digits(value / SHORT_TON, side)}{SPACE}US tons"
    if dimension == "kg":
        return f"{say.decimals(say.kept(value / UNITS['lb'].si, 10, side), 1)}{SPACE}lb"
    if dimension == "m2" and value >= UNITS["ft2"].si:
        return f"{say.decimals(round_safe(value / UNITS['ft2'].si, 1, side), 0)}{SPACE}ft²"
    return ""
