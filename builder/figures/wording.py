"""Lengths in words, as a figure has room for: `1,785`, `1,785 below rim`; rounded on the safe side.

In millimetres; in a region that counts so, in feet and inches to an eighth: `5' 10 1/4"`.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from builder.units import UNITS, SafeSide, round_safe

SPACE = "\u00a0"  # a measure never parts at the end of a line
COARSE = 0.005  # metres: what a tape is read to on site
FINE = 0.0001  # metres: sizes as typed in a spec
INCH = UNITS["in"].si
NEAR_EIGHTH = 0.1  # of an eighth of an inch
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
        """Return the size of a length without its sign: `1,785` or `5' 10 1/4"`."""
        if self.feet:
            return _feet(metres, side)
        shown = abs(round_safe(metres, step, side)) * 1000
        text = f"{shown:,.1f}"
        return text.removesuffix(".0")

    def exact(self, metres: float) -> str:
        """Return the size of a length as typed in a spec, to a tenth of a millimetre."""
        return self.length(metres, "nearest", FINE)

    def mm(self, metres: float, side: SafeSide = "nearest", step: float = COARSE) -> str:
        """Return a length with its unit: `1,785 mm`."""
        return self.length(metres, side, step) + ("" if self.feet else f"{SPACE}mm")

    def exact_mm(self, metres: float) -> str:
        """Return a length as typed, with its unit: `1.5 mm`."""
        return self.mm(metres, "nearest", FINE)

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


def _feet(metres: float, side: SafeSide) -> str:
    """Feet and inches to an eighth; a small size that no eighth comes near in decimals of an inch."""
    inches = abs(metres) / INCH
    if 0 < inches < 1 and abs(inches * 8 - round(inches * 8)) > NEAR_EIGHTH:
        return f"{inches:.2f}\u2033"
    eighths = round(abs(round_safe(metres / INCH * 8, 1, side)))
    feet, rest = divmod(eighths, 96)
    whole, part = divmod(rest, 8)
    shared = math.gcd(part, 8) if part else 1
    pieces = [str(whole)] if whole or not (part or feet) else []
    if part:
        pieces.append(f"{part // shared}/{8 // shared}")
    size = SPACE.join(pieces) + "\u2033" if pieces else ""
    return SPACE.join(piece for piece in (f"{feet}\u2032" if feet else "", size) if piece)
