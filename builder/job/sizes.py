"""Kinds that several parts of the schema share."""

from __future__ import annotations

from builder.job.scalars import Quantity
from builder.job.shapes import Pair


def length(low: float, high: float, about: str, example: str) -> Quantity:
    """A length from `low` to `high` in metres."""
    return Quantity("m", low, high, about, example)


_INSIDE = length(0.0, 30.0, "a place in a pool lies 0 m to 30 m along and across", "3.4 m")
_AROUND = length(-5.0, 35.0, "a place at a pool lies -5 m to 35 m along and across", "-0.2 m")
POINT_IN = Pair(_INSIDE, _INSIDE, "a place [x, y] such as [6.1 m, 1.7 m]")
POINT_AT = Pair(_AROUND, _AROUND, "a place [x, y] such as [6.1 m, -0.15 m]")
SHORT = 80  # characters of a name or a role
