"""How a number is said inside a reason: rounded to the safe side, in words a layman uses."""

from __future__ import annotations

from builder.units import SafeSide, round_safe

YEAR = 86400.0 * 365.25
_TIMES = ((YEAR * 2, YEAR, "years"), (86400.0 * 60, 86400.0 * 30.4, "months"), (86400.0 * 2, 86400.0, "days"))
LONGEST = 50 * YEAR  # s: beyond this a lag is said as a bound, for nobody waits it out


def mm(value: float, side: SafeSide = "nearest", step: float = 0.005) -> str:
    """Return a length in metres as `1,785 mm`, rounded to `step` metres on the side given."""
    return f"{round(round_safe(value, step, side) * 1000):,} mm"


def two_digits(value: float, side: SafeSide) -> float:
    """Return `value` rounded to two significant digits on the side given."""
    if value == 0:
        return 0.0
    step = 10.0 ** (len(f"{abs(value):.0f}") - 2) if abs(value) >= 1 else 0.1
    return round_safe(value, step, side)


def duration(seconds: float, side: SafeSide = "up") -> str:
    """Return a time in its natural unit with two digits, such as `20 minutes` or `34 hours`."""
    if seconds > LONGEST:
        return "more than 50 years"
    for least, unit, name in (*_TIMES, (7200.0, 3600.0, "hours")):
        if seconds >= least:
            return f"{_whole(seconds / unit, side)} {name}"
    if seconds < 60:
        return "less than a minute"
    count = _whole(seconds / 60, side)
    return f"{count} minute{'' if count == 1 else 's'}"


def _whole(count: float, side: SafeSide) -> int:
    """A count in whole units and two digits, on the side given."""
    return round(two_digits(round_safe(count, 1.0, side), side))


def per_minute(flow: float, side: SafeSide = "down") -> str:
    """Return a flow in m3/s as litres a minute with two digits."""
    return f"{two_digits(flow * 60000, side):.3g} litres a minute"
