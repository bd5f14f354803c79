"""How a number is said inside a reason: rounded to the safe side, in words a layman uses.

The rounding is that of builder/say.py. A reason is plain text in millimetres and litres, whatever the
region: pages that count in feet put those beside it.
"""

from __future__ import annotations

import datetime

from builder import say
from builder.say import SPACE
from builder.units import UNITS, SafeSide

MONTHS = "January February March April May June July August September October November December".split()


def mm(value: float, side: SafeSide = "nearest", step: float = say.COARSE) -> str:
    """Return a length in metres as `1,785 mm`, rounded to `step` metres on the side given."""
    size = say.mm(value, side, step)
    return f"{say.MINUS if value < 0 and size != '0' else ''}{size} mm"


def duration(seconds: float, side: SafeSide = "up") -> str:
    """Return a time in its natural unit, such as `20 minutes` or `34 hours`."""
    return say.duration(seconds, side).replace(SPACE, " ")


def day(on: datetime.date) -> str:
    """Return a day as `18 November 2026`."""
    return f"{on.day} {MONTHS[on.month - 1]} {on.year}"


def per_minute(flow: float, side: SafeSide = "down") -> str:
    """Return a flow in m3/s as litres a minute with two digits."""
    return f"{say.two_digits(flow / UNITS['L/min'].si, side)} litres a minute"
