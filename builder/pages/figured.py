"""Figures as the working prints them: in the units of the formula, and in those a reader would use."""

from __future__ import annotations

import math

from builder.say import MINUS, SPACE, duration, two_digits
from builder.units import UNITS, to_unit

UNIT_WORDS = {
    "m2": "m²",
    "cm2": "cm²",
    "m3": "m³",
    "m4": "m⁴",
    "m3/s": "m³/s",
    "m2/s": "m²/s",
    "kg/m3": "kg/m³",
    "N/m3": "N/m³",
    "1": "",
}
RAISED = str.maketrans("0123456789-", "⁰¹²³⁴⁵⁶⁷⁸⁹⁻")
MILLIMETRES = 0.0099  # metres: from here on a length is told to the millimetre, below it finer
NATURAL = {  # unit of a formula -> below this it is told in the other
    "m": (MILLIMETRES, "mm"),
    "m2": (0.01, "cm2"),
    "m3": (1.0, "L"),
    "m3/s": (1.0, "L/min"),
}
SMALL, LARGE = 1e-5, 1e6  # outside these a value is printed with a power of ten


def figure(value: float, unit: str, digits: int = 4) -> str:
    """Return a value with its unit as the working prints it: four digits that count, no false ones."""
    suffix = UNIT_WORDS.get(unit, unit)
    text = f"{value:.3f}" if unit == "m" and MILLIMETRES <= abs(value) < LARGE else _digits(value, digits)
    text = text.replace("-", MINUS)
    return f"{text}{SPACE}{suffix}" if suffix else text


def _digits(value: float, digits: int) -> str:
    if value == 0:
        return "0"
    if digits == 2 and SMALL <= abs(value) < LARGE:
        return two_digits(value)
    if not SMALL <= abs(value) < LARGE:
        power = math.floor(math.log10(abs(value)))
        return f"{value / 10.0**power:.{digits}g} × 10{str(power).translate(RAISED)}"
    places = max(0, digits - 1 - math.floor(math.log10(abs(value))))
    text = f"{value:,.{places}f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


def natural(value: float, unit: str, digits: int = 4) -> str:
    """Return a value in the unit a reader would use: days for seconds, L for m³, mm for a thousandth of m."""
    if unit == "s":
        return duration(value, "nearest")
    small, other = NATURAL.get(unit, (0.0, ""))
    if value and abs(value) < small:
        return figure(to_unit(value * UNITS[unit].si, other), other, digits)
    return figure(value, unit, digits)
