"""How a quantity is said: the rounding and the units that pictures, sentences, tables and reasons share.

SI values in, words out. Lengths go to 5 mm on the safe side, finer where that would leave nothing;
what was typed in a spec stays as typed. In a region that counts in feet a length has its feet and
inches too: to an eighth, under an inch to a sixteenth, and under an eighth in millimetres alone.
A number and its unit never part at a line's end.
"""

from __future__ import annotations

import math
import re
from collections.abc import Callable

from builder.units import UNITS, SafeSide, round_safe

SPACE = "\u00a0"
MINUS = "\u2212"
COARSE = 0.005  # metres: what a tape held in wet hands can be read to
FINE = 0.0001  # metres: as typed in a spec
INCH = UNITS["in"].si
ROUGH = 0.1  # metres: from here on a habit of the trade is told to the inch
NEAR = 0.025  # of its size: as near as a fraction of an inch must come to a size that was typed
MINUTE, HOUR, DAY, WEEK, MONTH = 60.0, 3600.0, 86400.0, 7 * 86400.0, 30.4375 * 86400.0
YEAR = 12 * MONTH
LIFETIME = 50 * YEAR  # nobody waits longer
GALLONS = ((20.0, 0.5), (1000.0, 1.0), (math.inf, 10.0))  # up to so many US gallons: said to this step
_MILLIMETRES = re.compile(r"(?<![\d,.\u2013\u2212-])(\d[\d,]*) mm(?=[ .,;:)]|\Z)(?! \()")
_LITRES_A_MINUTE = re.compile(r"(?<![\d,.\u2013\u2212-])(\d[\d,.]*) litres a minute")


def mm(value: float, side: SafeSide = "nearest", step: float = COARSE) -> str:
    """Return the size of a length in metres as millimetres without unit: `1,785`, `1.5`."""
    return decimals(abs(kept(value, step, side)) * 1000, 1)


def feet(value: float, side: SafeSide = "nearest", step: float = COARSE) -> tuple[int, str] | None:
    """Return the size of a length as whole feet, and inches in words: `(5, "10 1/4")`, `(1, "")`.

    A size as typed (`step` FINE) under an inch takes the coarsest fraction that comes near it. None
    where nothing can be said in inches: under an eighth, or where no fraction comes near.
    """
    inches = abs(value) / INCH
    parts = 8 if inches >= 1 else 16
    if step == FINE and inches < 1:
        near = [n for n in (8, 16, 32) if abs(round(inches * n) / n - inches) <= NEAR * inches]
        if not near:
            return None
        parts, side = near[0], "nearest"
    elif inches < 1 / 8:
        return None
    count = round(abs(round_safe(value / INCH * parts, 1, side)))
    whole_feet, rest = divmod(count, 12 * parts)
    whole, part = divmod(rest, parts)
    shared = math.gcd(part, parts)
    fraction = f"{part // shared}/{parts // shared}" if part else ""
    figures = str(whole) if whole or not (fraction or whole_feet) else ""
    return whole_feet, SPACE.join(piece for piece in (figures, fraction) if piece)


def habit(value: float, side: SafeSide = "nearest") -> float:
    """Return a length of common practice in metres, rounded as it is told in inches."""
    return round_safe(value, INCH if value >= ROUGH else INCH / 16 if value < INCH else INCH / 8, side)


def feet_and_inches(value: float, side: SafeSide = "nearest", step: float = COARSE) -> str:
    """Return the size of a length in metres as `5 ft 10 1/4 in`; empty where inches cannot say it."""
    found = feet(value, side, step)
    if found is None:
        return ""
    whole, inches = found
    parts = ([f"{whole}{SPACE}ft"] if whole else []) + ([f"{inches}{SPACE}in"] if inches else [])
    return SPACE.join(parts)


def in_feet_too(text: str) -> str:
    """Return a sentence with the millimetres and litres a minute in it told in feet and gallons first."""

    def length(found: re.Match[str]) -> str:
        said = feet_and_inches(float(found[1].replace(",", "")) / 1000)
        return f"{said} ({found[1]}{SPACE}mm)" if said else found[0]

    def pumped(found: re.Match[str]) -> str:
        litres_a_minute = float(found[1].replace(",", ""))
        return f"{two_digits(litres_a_minute / GALLON_LITRES, 'down')} gallons a minute ({found[0]})"

    return _LITRES_A_MINUTE.sub(pumped, _MILLIMETRES.sub(length, text))


GALLON_LITRES = UNITS["gal"].si * 1000


def litres(value: float, side: SafeSide = "nearest") -> str:
    """Return m3 as litres to 5 L; under 5 L as millilitres."""
    if abs(value) < 0.005:
        return f"{decimals(kept(value * 1e6, 5, side), 0)}{SPACE}mL"
    return f"{decimals(kept(value * 1000, 5, side), 1)}{SPACE}L"


def gallons(value: float, side: SafeSide = "nearest") -> str:
    """Return m3 as US gallons; empty under half a gallon."""
    size = value / UNITS["gal"].si
    if abs(size) < 0.5:
        return ""
    step = next(step for most, step in GALLONS if abs(size) < most)
    return f"{decimals(kept(size, step, side), 1)}{SPACE}gal"


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


def clock(value: float, side: SafeSide) -> str:
    """Return seconds to five minutes on `side`, for work done by the watch: `45 min`, `2 h 20 min`."""
    hours, minutes = divmod(round(round_safe(value / MINUTE, 5, side)), 60)
    parts = [f"{hours}{SPACE}h"] if hours else []
    if minutes or not hours:
        parts.append(f"{minutes}{SPACE}min")
    return SPACE.join(parts)


def flow(value: float, side: SafeSide = "nearest") -> str:
    """Return m3/s as litres a minute with two digits."""
    return f"{two_digits(value / UNITS['L/min'].si, side)}{SPACE}L/min"


def mass(value: float, side: SafeSide = "nearest") -> str:
    """Return kilograms to 5 kg; from ten tonnes on as tonnes with two digits."""
    if value >= 1e4:
        return f"{two_digits(value / 1000, side)}{SPACE}t"
    return f"{decimals(kept(value, 5, side), 1)}{SPACE}kg"


def area(value: float, side: SafeSide = "nearest") -> str:
    """Return m2; under a tenth of a square metre as cm2."""
    if value < 0.1:
        return f"{two_digits(value * 1e4, side)}{SPACE}cm²"
    return f"{decimals(round_safe(value, 0.1, side), 1)}{SPACE}m²"


def plain(value: float, side: SafeSide = "nearest") -> str:
    """Return a bare number: whole numbers as they are, others with two digits."""
    whole = round(value)
    return f"{whole:,}" if abs(value - whole) < 1e-9 else two_digits(value, side)


def degrees(value: float, _side: SafeSide = "nearest") -> str:
    """Return radians as degrees."""
    return f"{decimals(math.degrees(value), 1)}°"


def two_digits(value: float, side: SafeSide = "nearest") -> str:
    """Return `value` with two digits that count, rounded on `side`."""
    if value == 0:
        return "0"
    power = math.floor(math.log10(abs(value))) - 1
    return decimals(round_safe(value, 10.0**power, side), max(0, -power))


def kept(value: float, step: float, side: SafeSide) -> float:
    """Round to `step`, or finer where that would leave nothing, or change the value by a third."""
    for finer in (step, step / 5, step / 50):
        rounded = round_safe(value, finer, side)
        if value == 0 or (rounded != 0 and abs(rounded - value) <= abs(value) / 3):
            return rounded
    return round_safe(value, step / 500, side)


def decimals(value: float, most: int) -> str:
    """Return a number with a comma at the thousand and at most so many decimals, no trailing noughts."""
    text = f"{value:,.{most}f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


def _counted(count: float, name: str) -> str:
    text = decimals(count, 1)
    return f"{text}{SPACE}{name}" + ("" if text == "1" else "s")


BY_DIMENSION: dict[str, Callable[[float, SafeSide], str]] = {
    "m2": area,
    "m3": litres,
    "m3/s": flow,
    "kg": mass,
    "s": duration,
    "1": plain,
    "rad": degrees,
}
