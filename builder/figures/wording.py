"""Lengths in words, as a figure has room for: `1,785`, `1,785 below rim`; rounded on the safe side.

In millimetres; in a region that counts so, in feet and inches alone: `5′ 10 1/4″`, the first of the two
ways its pages say it. What inches cannot say is in millimetres there too: `1.5 mm`. How a length is
rounded stands in builder/say.py.
"""

from __future__ import annotations

from dataclasses import dataclass

from builder import say
from builder.say import COARSE, FINE, SPACE
from builder.units import UNITS, SafeSide

DATUM = 0.00005  # metres: nearer than this, two levels are one


@dataclass(frozen=True)
class Words:
    """The wording of one region; feet: lengths in feet and inches."""

    feet: bool

    @property
    def unit(self) -> str:
        """What lengths are in, for a caption."""
        return "feet and inches" if self.feet else "millimetres"

    def length(self, metres: float, side: SafeSide = "nearest", step: float = COARSE) -> str:
        """Return the size of a length without its sign: `1,785` or `5′ 10 1/4″`."""
        size = say.mm(metres, side, step)
        if not self.feet:
            return size
        found = say.feet(metres, side, step)
        if found is None:
            return "0″" if size == "0" else f"{size}{SPACE}mm"
        whole, inches = found
        parts = ([f"{whole}\u2032"] if whole else []) + ([f"{inches}\u2033"] if inches else [])
        return SPACE.join(parts)

    def exact(self, metres: float) -> str:
        """Return the size of a length as typed in a spec, to a tenth of a millimetre."""
        return self.length(metres, "nearest", FINE)

    def mm(self, metres: float, side: SafeSide = "nearest", step: float = COARSE) -> str:
        """Return a length with its unit: `1,785 mm`."""
        return self.length(metres, side, step) + ("" if self.feet else f"{SPACE}mm")

    def exact_mm(self, metres: float) -> str:
        """Return a length as typed, with its unit: `1.5 mm`."""
        return self.mm(metres, "nearest", FINE)

    def habit(self, metres: float, side: SafeSide = "nearest", *, unit: bool = False) -> str:
        """Return a length of common practice as pages say it: as typed, or to the inch: `1,500`, `5′`."""
        if not self.feet:
            return self.exact_mm(metres) if unit else self.exact(metres)
        return self.length(say.habit(metres, side))

    def cubic(self, volume: float, side: SafeSide = "nearest") -> str:
        """Return a volume of soil with two digits: `110 m³`, `150 cu yd`."""
        if self.feet:
            return f"{say.two_digits(volume / UNITS['yd3'].si, side)}{SPACE}cu{SPACE}yd"
        return f"{say.two_digits(volume, side)}{SPACE}m³"

    def level(self, depth: float, mark: str = "rim", side: SafeSide = "nearest") -> str:
        """Return a level by its depth below a mark: `1,785 below rim`, `40 above rim`."""
        if abs(depth) < DATUM:
            return f"level with {mark}"
        return f"{self.length(depth, side)} {'above' if depth < 0 else 'below'} {mark}"

    def spoken_level(self, depth: float, side: SafeSide = "nearest") -> str:
        """Return the level for a sentence, with its unit: `1,785 mm below the rim`."""
        if abs(depth) < DATUM:
            return "level with the rim"
        return f"{self.mm(depth, side)} {'above' if depth < 0 else 'below'} the rim"
