"""Gradings of the job's materials: the side of an envelope that is unfavourable, and percentiles."""

from __future__ import annotations

from builder.calc.filters import Curve, percentile
from builder.catalogue.rows import Grading, Ground, Material

Graded = Ground | Material


def curve(grading: Grading, side: str) -> Curve:
    """Return the `fine` limit (most passing), the `coarse` limit or the `mid` curve of an envelope."""
    if side == "fine":
        return [(size, most) for size, _, most in grading.sieves]
    if side == "coarse":
        return [(size, least) for size, least, _ in grading.sieves]
    return [(size, (least + most) / 2) for size, least, most in grading.sieves]


def size_at(row: Graded, passing: float, side: str) -> float | None:
    """Return the size in m that `passing` of the row's curve is finer than; None where unknown."""
    return None if row.grading is None else percentile(curve(row.grading, side), passing)


def fine_side(row: Graded, passing: float) -> float | None:
    """Return the percentile of the fine limit: unfavourable for what must be held back."""
    return size_at(row, passing, "fine")


def coarse_side(row: Graded, passing: float) -> float | None:
    """Return the percentile of the coarse limit: unfavourable for what must hold back."""
    return size_at(row, passing, "coarse")


def fines_at_most(row: Graded) -> float | None:
    """Return a bound on the share finer than 0.075 mm, from the finest sieve at or above it."""
    if row.grading is None:
        return None
    above = [(size, most) for size, _, most in row.grading.sieves if size >= 74e-6]
    return min(above)[1] if above else None
