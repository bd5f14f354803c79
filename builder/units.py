"""Units: what authors may write, SI inside, and readers' rounding.

Inside the builder every value is SI. `parse` reads "75 mm" as 0.075 for the dimension asked for;
`to_unit` turns SI into a printed unit; `round_safe` rounds to a step on the side that is safe.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import lru_cache
from typing import Literal

SafeSide = Literal["up", "down", "nearest"]

# dimension (an SI unit symbol) -> what authors call it, and an example of how to write it
DIMENSIONS: Mapping[str, tuple[str, str]] = {
    "m": ("a length", "75 mm"),
    "m2": ("an area", "60 m2"),
    "m3": ("a volume", "8 m3"),
    "kg": ("a mass", "780 kg"),
    "kg/m3": ("a density", "1600 kg/m3"),
    "m3/s": ("a flow", "18 L/min"),
    "Pa": ("a pressure", "6 kPa"),
    "N/m3": ("a unit weight", "16 kN/m3"),
    "m/s": ("a speed or permeability", "1e-3 m/s"),
    "rad": ("an angle", "4 deg"),
    "s": ("a time", "3 d"),
    "1/s": ("a permittivity", "0.5 1/s"),
    "1": ("a plain number", "0.6"),
}


@dataclass(frozen=True)
class Unit:
    """A unit: its dimension's SI symbol and how many SI units one of it is."""

    dimension: str
    si: float


# Exact by definition: inch and foot (international, 1959), pound, US gallon; the rest are decimal.
UNITS: Mapping[str, Unit] = {
    "mm": Unit("m", 1e-3),
    "cm": Unit("m", 1e-2),
    "m": Unit("m", 1.0),
    "in": Unit("m", 0.0254),
    "ft": Unit("m", 0.3048),
    "mm2": Unit("m2", 1e-6),
    "cm2": Unit("m2", 1e-4),
    "m2": Unit("m2", 1.0),
    "ft2": Unit("m2", 0.3048**2),
    "mL": Unit("m3", 1e-6),
    "L": Unit("m3", 1e-3),
    "m3": Unit("m3", 1.0),
    "gal": Unit("m3", 3.785411784e-3),
    "yd3": Unit("m3", 0.9144**3),
    "g": Unit("kg", 1e-3),
    "kg": Unit("kg", 1.0),
    "t": Unit("kg", 1e3),
    "lb": Unit("kg", 0.45359237),
    "kg/m3": Unit("kg/m3", 1.0),
    "L/s": Unit("m3/s", 1e-3),
    "L/min": Unit("m3/s", 1e-3 / 60),
    "L/h": Unit("m3/s", 1e-3 / 3600),
    "m3/h": Unit("m3/s", 1 / 3600),
    "m3/s": Unit("m3/s", 1.0),
    "gal/min": Unit("m3/s", 3.785411784e-3 / 60),
    "Pa": Unit("Pa", 1.0),
    "kPa": Unit("Pa", 1e3),
    "N/m3": Unit("N/m3", 1.0),
    "kN/m3": Unit("N/m3", 1e3),
    "m/s": Unit("m/s", 1.0),
    "mm/s": Unit("m/s", 1e-3),
    "m/d": Unit("m/s", 1 / 86400),
    "deg": Unit("rad", math.pi / 180),
    "rad": Unit("rad", 1.0),
    "s": Unit("s", 1.0),
    "min": Unit("s", 60.0),
    "h": Unit("s", 3600.0),
    "d": Unit("s", 86400.0),
    "1/s": Unit("1/s", 1.0),
    "m2/s": Unit("m2/s", 1.0),
    "m4": Unit("m4", 1.0),
    "1": Unit("1", 1.0),
    "%": Unit("1", 1e-2),
    "L/mm": Unit("m2", 1.0),  # a litre a millimetre is a cubic metre a metre
}
_SIGNS = {"²": "2", "³": "3", "°": "deg", "µ": "u"}
_SPELLINGS = {"l/min": "L/min", "l/s": "L/s", "ltr": "L"}
_QUANTITY = re.compile(r"([-+]?(?:\d+(?:\.\d*)?|\.\d+)(?:[eE][-+]?\d+)?)\s*(\S.*)?\Z")


class NotAQuantity(ValueError):
    """Text that is no quantity of the dimension asked for: what is wrong, and what to write."""

    def __init__(self, wrong: str, instead: str) -> None:
        """Keep both halves of the fault."""
        self.wrong = wrong
        self.instead = instead
        super().__init__(f"{wrong}. {instead}")


@lru_cache(maxsize=4096)
def parse(text: str, dimension: str) -> float:
    """Return the SI value of `text`, which must carry a unit of `dimension` (an SI symbol).

    A bare number is refused unless the dimension is "1". Raises NotAQuantity.
    """
    what, example = DIMENSIONS[dimension]
    typed = text.strip()
    if re.match(r"[-+]?\d*,\d", typed):
        remedy = f"Write a point before decimals and nothing between thousands, such as {example}"
        raise NotAQuantity(f"{typed!r} has a comma", remedy)
    match = _QUANTITY.match(typed)
    if match is None:
        raise NotAQuantity(f"{typed!r} is not {what}", f"Write {what} such as {example}")
    value = float(match.group(1))
    symbol = (match.group(2) or "").strip()
    for sign, plain in _SIGNS.items():
        symbol = symbol.replace(sign, plain)
    symbol = _SPELLINGS.get(symbol, symbol)
    if not math.isfinite(value):
        raise NotAQuantity(f"{typed!r} is too large a number", f"Write {what} such as {example}")
    if dimension == "1":
        if symbol not in ("", "%", "1"):
            raise NotAQuantity(f"{typed!r} carries a unit", "Write the bare number")
        return value / 100 if symbol == "%" else value
    if not symbol:
        raise NotAQuantity(f"{typed!r} has no unit", f"Write {_with_unit(match.group(1), example)}")
    unit = UNITS.get(symbol)
    if unit is None:
        raise NotAQuantity(
            f"{symbol!r} is not a unit known here", f"Write {_known(dimension)}, such as {example}"
        )
    if unit.dimension != dimension:
        raise NotAQuantity(
            f"{typed!r} is not {what}", f"Write {what} in {_known(dimension)}, such as {example}"
        )
    si = value * unit.si
    if not math.isfinite(si):
        raise NotAQuantity(f"{typed!r} is too large a number", f"Write {what} such as {example}")
    return si


def spellings(symbols: Iterable[str]) -> list[str]:
    """Return every way `parse` reads these unit symbols: as they are, with signs, in other spellings."""
    out: dict[str, None] = {}
    for symbol in symbols:
        out |= dict.fromkeys([symbol, *(typed for typed, plain in _SPELLINGS.items() if plain == symbol)])
        for sign, plain in _SIGNS.items():
            if plain in symbol:
                out[symbol.replace(plain, sign)] = None
    return list(out)


def to_unit(value: float, unit: str) -> float:
    """Return the SI `value` expressed in `unit`."""
    return value / UNITS[unit].si


def round_safe(value: float, step: float, side: SafeSide) -> float:
    """Return `value` rounded to a whole `step`, up, down or to the nearest.

    A value within a millionth of a step of a multiple counts as that multiple, so that binary
    fractions never push 1.785 up to the next step. Raises ValueError for a step that is not
    positive.
    """
    if step <= 0:
        raise ValueError("a rounding step is positive")
    steps = value / step
    whole = round(steps)
    if side == "nearest" or abs(steps - whole) < 1e-6:
        return whole * step
    return (math.ceil(steps) if side == "up" else math.floor(steps)) * step


def _known(dimension: str) -> str:
    return ", ".join(s for s, unit in UNITS.items() if unit.dimension == dimension and "/mm" not in s)


def _with_unit(number: str, example: str) -> str:
    return f"{number} {example.split(' ', 1)[1]}"
