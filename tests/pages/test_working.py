"""Figures as the working page prints them; expected values by hand."""

import pytest

from builder.pages.figured import figure, natural
from builder.pages.words import Words
from builder.pages.working import worked
from tests.pages.reading import JOBS, results_of


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


@pytest.mark.parametrize(
    ("value", "unit", "expected"),
    [
        (7.2e8, "s", "23 years"),  # 7.2e8 / 31.557e6 = 22.8
        (174_464.0, "s", "2 days"),  # 2.02
        (0.000059, "m", "0.059 mm"),
        (1.8322, "m", "1.832 m"),
        (0.00001342, "m3", "0.01342 L"),
        (34.2912, "m3", "34.29 m³"),
        (0.0000871, "m3/s", "5.226 L/min"),
        (0.005806, "m2", "58.06 cm²"),
        (0.0, "m3", "0 m³"),
    ],
)
def test_a_reader_is_told_the_unit_he_would_use(value: float, unit: str, expected: str) -> None:
    assert natural(value, unit).replace("\u00a0", " ") == expected


def test_a_number_that_does_not_apply_says_why_and_is_not_called_ok() -> None:
    results = results_of(JOBS / "quandong-rise.yml")
    found = [number for number in results.values() if number.value is None and number.verdict == "ok"]
    assert found
    for number in found:
        one = worked(number, Words(feet=False), results.job.catalogue.sources)
        assert not one.verdict
        assert number.reason, number.key
        assert one.value.startswith("\ue000does not apply"), number.key


def test_the_units_of_the_formula_stand_inside_wherever_the_reader_was_told_another() -> None:
    results = results_of(JOBS / "quandong-rise.yml")
    one = worked(results["ground.lag_90"], Words(feet=False), results.job.catalogue.sources)
    assert "months" in one.value or "days" in one.value or "weeks" in one.value
    assert one.exact.endswith("s\ue001")
