"""Quantities in words: SI values as a reader on site sees them, rounded on the safe side.

Lengths in millimetres with a comma at the thousand, to 5 mm; litres to 5 L; times to 5 minutes;
flows to two digits. Where the region counts in feet and inches, lengths carry those too, to an
eighth of an inch and on the same safe side. A number and its unit never part at a line's end.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

from builder.quantity import Number
from builder.units import UNITS, SafeSide, round_safe

SPACE = "\u00a0"
MINUS = "\u2212"
COARSE = 0.005  # metres: what a tape held in wet hands can be read to
FINE = 0.0001  # metres: as typed in a spec
INCH = UNITS["in"].si
MINUTE, HOUR, DAY, WEEK, MONTH = 60.0, 3600.0, 86400.0, 7 * 86400.0, 30.4375 * 86400.0
YEAR = 12 * MONTH
LIFETIME = 50 * YEAR  # nobody waits longer


@dataclass(frozen=True)
class Words:
    """The wording of quantities for one region; feet: lengths in feet and inches as well."""

    feet: bool

    def length(self, value: float, side: SafeSide = "nearest", step: float = COARSE) -> str:
        """Return metres as `1,785 mm`, rounded to `step` metres on `side`."""
        return _signed(self._size(value, side, step), value)

    def exact(self, value: float) -> str:
        """Return metres as typed, to a tenth of a millimetre: `7,400 mm`, `1.5 mm`."""
        return self.length(value, "nearest", FINE)

    def depth(
        self, value: float, mark: str = "the rim", side: SafeSide = "nearest", step: float = COARSE
    ) -> str:
        """Return a depth below `mark`, positive downwards: `1,785 mm below the rim`."""
        size = self._size(value, side, step)
        if size.startswith(f"0{SPACE}"):
            return f"level with {mark}"
        return f"{size} {'above' if value < 0 else 'below'} {mark}"

    def _size(self, value: float, side: SafeSide, step: float) -> str:
        shown = _kept(value, step, side)
        text = f"{_decimals(abs(shown) * 1000, 1)}{SPACE}mm"
        if self.feet and abs(value) >= INCH / 8:
            text += f" ({feet_and_inches(value, side)})"
        return text

    def number(self, number: Number, value: float, side: SafeSide | None = None) -> str:
        """Return `value` (SI) of `number` in the words of its kind of unit."""
        side = side or number.safe_side
        if number.unit == "L/mm":
            return f"{two_digits(value, side)}{SPACE}L for each millimetre"
        return self.quantity(value, UNITS[number.unit].dimension, side)

    def quantity(self, value: float, dimension: str, side: SafeSide) -> str:
        """Return an SI value of `dimension` (an SI symbol) in words; KeyError where none are kept for it."""
        if dimension == "m":
            return self.length(value, side)
        return _BY_DIMENSION[dimension](value, side)


def feet_and_inches(value: float, side: SafeSide = "nearest") -> str:
    """Return the size of a length in metres as `5 ft 10 1/4 in`, to an eighth on `side`."""
    eighths = round(abs(round_safe(value / INCH * 8, 1, side)))
    feet, rest = divmod(eighths, 96)
    inches, part = divmod(rest, 8)
    shared = math.gcd(part, 8) if part else 1
    fraction = f"{part // shared}/{8 // shared}" if part else ""
    whole = str(inches) if inches or not (fraction or feet) else ""
    parts = [f"{feet}{SPACE}ft"] if feet else []
    inch = SPACE.join(piece for piece in (whole, fraction) if piece)
    if inch:
        parts.append(f"{inch}{SPACE}in")
    return SPACE.join(parts)


def litres(value: float, side: SafeSide = "nearest") -> str:
    """Return m3 as litres to 5 L; under 5 L as millilitres."""
    if abs(value) < 0.005:
        return f"{_decimals(_kept(value * 1e6, 5, side), 0)}{SPACE}mL"
    return f"{_decimals(_kept(value * 1000, 5, side), 1)}{SPACE}L"


def duration(value: float, side: SafeSide = "up") -> str:
    """Return seconds in the unit a person would use, never falsely sharp."""
    if value < MINUTE:
        return "less than a minute"
    if value < 2 * HOUR:
        step = 5 if value >= 10 * MINUTE else 1
        return _counted(round_safe(value / MINUTE, step, side), "minute")
    for size, name, end in ((HOUR, "hour", 2 * DAY), (DAY, "day", 2 * WEEK), (WEEK, "week", 3 * MONTH)):
        if value < end:
            return _counted(round_safe(value / size, 1, side), name)
    if value < 24 * MONTH:
        return _counted(round_safe(value / MONTH, 1, side), "month")
    if value > LIFETIME:
        return f"more than {LIFETIME / YEAR:.0f}{SPACE}years"
    return _counted(float(two_digits(value / YEAR, side).replace(",", "")), "year")


def flow(value: float, side: SafeSide = "nearest") -> str:
    """Return m3/s as litres a minute with two digits."""
    return f"{two_digits(value / UNITS['L/min'].si, side)}{SPACE}L/min"


def mass(value: float, side: SafeSide = "nearest") -> str:
    """Return kilograms to 5 kg; from ten tonnes on as tonnes with two digits."""
    if value >= 1e4:
        return f"{two_digits(value / 1000, side)}{SPACE}t"
    return f"{_decimals(_kept(value, 5, side), 1)}{SPACE}kg"


def area(value: float, side: SafeSide = "nearest") -> str:
    """Return m2; under a tenth of a square metre as cm2."""
    if value < 0.1:
        return f"{two_digits(value * 1e4, side)}{SPACE}cm²"
    return f"{_decimals(round_safe(value, 0.1, side), 1)}{SPACE}m²"


def push(value: float, side: SafeSide = "nearest") -> str:
    """Return a pressure in Pa as the depth of standing fresh water that pushes as hard."""
    return f"as much as {_decimals(_kept(value / 9.80665, 5, side), 0)}{SPACE}mm of water"


def plain(value: float, side: SafeSide = "nearest") -> str:
    """Return a bare number: whole numbers as they are, others with two digits."""
    whole = round(value)
    return f"{whole:,}" if abs(value - whole) < 1e-9 else two_digits(value, side)


def two_digits(value: float, side: SafeSide = "nearest") -> str:
    """Return `value` with two digits that count, rounded on `side`."""
    if value == 0:
        return "0"
    power = math.floor(math.log10(abs(value))) - 1
    rounded = round_safe(value, 10.0**power, side)
    return _decimals(rounded, max(0, -power))


def listed(words: list[str] | tuple[str, ...], last: str = "and") -> str:
    """Return `a, b and c`."""
    if len(words) < 2:
        return "".join(words)
    return f"{', '.join(words[:-1])} {last} {words[-1]}"


def lower_first(name: str) -> str:
    """Return a row's name as it stands in a sentence; an abbreviation keeps its capitals."""
    return name[:1].lower() + name[1:] if name[1:2].islower() else name


def upper_first(text: str) -> str:
    """Return text as it starts a sentence."""
    return text[:1].upper() + text[1:]


def _kept(value: float, step: float, side: SafeSide) -> float:
    """Round to `step`, or finer where that would leave nothing, or change the value by a third."""
    for finer in (step, step / 5, step / 50):
        rounded = round_safe(value, finer, side)
        if value == 0 or (rounded != 0 and abs(rounded - value) <= abs(value) / 3):
            return rounded
    return round_safe(value, step / 500, side)


def _decimals(value: float, most: int) -> str:
    text = f"{value:,.{most}f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


def _signed(size: str, value: float) -> str:
    return f"{MINUS}{size}" if value < 0 and not size.startswith(f"0{SPACE}") else size


def _counted(count: float, name: str) -> str:
    text = _decimals(count, 1)
    return f"{text}{SPACE}{name}" + ("" if text == "1" else "s")


_BY_DIMENSION: dict[str, Callable[[float, SafeSide], str]] = {
    "m2": area,
    "m3": litres,
    "m3/s": flow,
    "kg": mass,
    "s": duration,
    "Pa": push,
    "1": plain,
    "rad": lambda value, side: f"{_decimals(math.degrees(value), 1)}°",
}
