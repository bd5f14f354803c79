"""Expected values are by hand; an inch is 25.4 mm by definition."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from builder.pages.words import Words, duration, feet_and_inches, flow, litres, lower_first, mass, two_digits

METRIC, FEET = Words(feet=False), Words(feet=True)


def plain(text: str) -> str:
    return text.replace("\u00a0", " ")


@pytest.mark.parametrize(
    ("value", "side", "expected"),
    [
        (1.7822, "nearest", "1,780 mm"),
        (1.7822, "up", "1,785 mm"),
        (1.7822, "down", "1,780 mm"),
        (1.785, "up", "1,785 mm"),  # an exact multiple stays
        (0.0032, "down", "3 mm"),  # 5 mm steps would leave nothing
        (0.00058, "nearest", "0.6 mm"),
        (-0.0431, "down", "−45 mm"),
        (0.0, "nearest", "0 mm"),
    ],
)
def test_a_length_is_rounded_to_five_millimetres_on_its_safe_side(
    value: float, side: str, expected: str
) -> None:
    assert plain(METRIC.length(value, side)) == expected  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("value", "expected"),
    [
        (1.785, "1,785 mm below the rim"),
        (-0.04, "40 mm above the rim"),
        (0.0, "level with the rim"),
        (0.001, "1 mm below the rim"),
    ],
)
def test_a_depth_says_which_side_of_its_mark(value: float, expected: str) -> None:
    assert plain(METRIC.depth(value)) == expected


@pytest.mark.parametrize(
    ("millimetres", "side", "expected"),
    [
        (1785, "nearest", "5 ft 10 1/4 in"),  # 1785/25.4 = 70.276 in = 5 ft 10.276 in
        (1785, "up", "5 ft 10 3/8 in"),
        (1785, "down", "5 ft 10 1/4 in"),
        (304.8, "nearest", "1 ft"),
        (76.2, "nearest", "3 in"),
        (12.7, "nearest", "1/2 in"),
        (15, "up", "5/8 in"),  # 0.5906 in, 4.72 eighths
    ],
)
def test_feet_and_inches_go_to_an_eighth_on_the_safe_side(
    millimetres: float, side: str, expected: str
) -> None:
    assert plain(feet_and_inches(millimetres / 1000, side)) == expected  # type: ignore[arg-type]


def test_a_region_that_counts_in_feet_gets_both() -> None:
    assert plain(FEET.length(1.785)) == "1,785 mm (5 ft 10 1/4 in)"
    assert plain(FEET.depth(-0.0381)) == "40 mm (1 1/2 in) above the rim"
    assert plain(FEET.exact(0.0015)) == "1.5 mm"  # under an eighth of an inch nothing can be said in inches


@given(st.floats(0.001, 20), st.sampled_from(["up", "down"]))
def test_the_safe_side_is_kept_in_both_systems(value: float, side: str) -> None:
    text = plain(FEET.length(value, side))  # type: ignore[arg-type]
    metric = float(text.split(" mm")[0].replace(",", "")) / 1000
    worse = metric - value if side == "up" else value - metric
    assert worse > -1e-6
    assert worse < 0.005 + 1e-6


@pytest.mark.parametrize(
    ("seconds", "expected"),
    [
        (5, "less than a minute"),
        (65, "2 minutes"),
        (12.2 * 60, "15 minutes"),
        (3 * 3600 + 60, "4 hours"),
        (3 * 86400, "3 days"),
        (20 * 86400, "3 weeks"),
        (140 * 86400, "5 months"),
        (5 * 365.25 * 86400, "5 years"),
        (1e11, "more than 50 years"),
    ],
)
def test_a_time_is_told_in_the_unit_a_person_would_use_and_rounded_up(seconds: float, expected: str) -> None:
    assert plain(duration(seconds)) == expected


def test_other_quantities_have_two_digits_or_five_units() -> None:
    assert plain(litres(0.0213, "up")) == "25 L"
    assert plain(litres(23e-6, "up")) == "25 mL"
    assert plain(flow(2.917 / 60000, "down")) == "2.9 L/min"
    assert plain(mass(782)) == "780 kg"
    assert plain(mass(12_345, "up")) == "13 t"
    assert two_digits(0.0234, "up") == "0.024"


def test_a_name_starts_small_in_a_sentence_unless_it_is_an_abbreviation() -> None:
    assert lower_first("Stiff clay") == "stiff clay"
    assert lower_first("PVC pipe") == "PVC pipe"
    assert lower_first("5–7 mm gravel") == "5–7 mm gravel"
