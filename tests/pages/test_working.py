"""Figures as the working page prints them; expected values by hand."""

import pytest

from builder.pages.working import figure


@pytest.mark.parametrize(
    ("value", "unit", "digits", "expected"),
    [
        (1.7822, "m", 4, "1.782 m"),
        (-0.04, "m", 4, "−0.040 m"),
        (0.00312, "m", 4, "0.00312 m"),
        (34.2912, "m3", 4, "34.29 m³"),
        (31_295.4, "L", 4, "31,295 L"),
        (4.86e-7, "m3/s", 4, "4.86 × 10⁻⁷ m³/s"),
        (3.14e8, "s", 2, "3.1 × 10⁸ s"),
        (1742.0, "s", 2, "1,700 s"),
        (1.0053, "1", 4, "1.005"),
        (0.0, "Pa", 4, "0 Pa"),
    ],
)
def test_a_figure_has_the_digits_that_count(value: float, unit: str, digits: int, expected: str) -> None:
    assert figure(value, unit, digits).replace("\u00a0", " ") == expected
