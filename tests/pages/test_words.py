"""Quantities as pages say them. Expected values are by hand; the rounding itself is tested in tests/base."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from builder.figures.wording import Words as FigureWords
from builder.pages.words import Words, lower_first
from builder.units import SafeSide
from tests.pages.reading import JOBS, results_of

METRIC, FEET = Words(feet=False), Words(feet=True)


def plain(text: str) -> str:
    return text.replace("\u00a0", " ")


@pytest.mark.parametrize(("value", "expected"), [(1.785, "1,785 mm"), (-0.0431, "−45 mm"), (0.0, "0 mm")])
def test_a_length_has_its_unit_and_its_sign(value: float, expected: str) -> None:
    assert plain(METRIC.length(value, "down")) == expected
    assert plain(METRIC.exact(0.0015)) == "1.5 mm"


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


def test_a_region_that_counts_in_feet_gets_them_first_and_the_rest_in_brackets() -> None:
    assert plain(FEET.length(1.785)) == "5 ft 10 1/4 in (1,785 mm)"
    assert plain(FEET.depth(-0.0381)) == "1 1/2 in (40 mm) above the rim"
    assert plain(FEET.exact(0.0015)) == "1.5 mm"  # no fraction of an inch comes near
    assert plain(FEET.exact(0.0762)) == "3 in (76 mm)"
    assert plain(FEET.quantity(0.0182, "m3", "up")) == "5 gal (20 L)"  # 4.81 gal
    assert plain(FEET.quantity(5.226 / 60000, "m3/s", "down")) == "1.3 gal/min (5.2 L/min)"
    assert plain(FEET.quantity(670, "kg", "nearest")) == "1,480 lb (670 kg)"  # 1477.1 lb
    assert plain(FEET.quantity(84_500, "kg", "up")) == "94 US tons (85 t)"  # 93.1, up


@pytest.mark.parametrize(
    ("value", "side", "expected"),
    [
        (0.4, "up", "1 ft 4 in (400 mm)"),  # 15.75 in
        (0.3, "down", "11 in (300 mm)"),  # 11.81 in
        (0.01, "down", "3/8 in (10 mm)"),  # 0.394 in = 6.3 sixteenths
        (0.05, "nearest", "2 in (50 mm)"),
    ],
)
def test_a_habit_of_the_trade_is_told_to_the_inch_on_its_side(
    value: float, side: SafeSide, expected: str
) -> None:
    assert plain(FEET.habit(value, side)) == expected
    assert "in" not in METRIC.habit(value, side)


@given(st.floats(0.001, 20), st.sampled_from(["up", "down", "nearest"]))
def test_picture_and_page_never_say_two_different_lengths(value: float, side: SafeSide) -> None:
    assert METRIC.length(value, side) == FigureWords(feet=False).mm(value, side)
    drawn = (
        FigureWords(feet=True).length(value, side).replace("\u2032", "\u00a0ft").replace("\u2033", "\u00a0in")
    )
    assert FEET.length(value, side).partition(" (")[0] == drawn


def test_a_name_starts_small_in_a_sentence_unless_it_is_an_abbreviation() -> None:
    assert lower_first("Stiff clay") == "stiff clay"
    assert lower_first("PVC pipe") == "PVC pipe"
    assert lower_first("5–7 mm gravel") == "5–7 mm gravel"


def test_by_hand_a_leak_is_told_by_the_eighth_of_an_inch_where_feet_are_used() -> None:
    number = results_of(JOBS / "sagebrush-court.yml")["care.bucket"]
    # by hand: 20.09 m2 lose 20.09 L a mm, up 21; an eighth of an inch is 3.175 mm: 63.8 L or 16.85 gal, up 17
    assert plain(METRIC.number(number, 20.09)) == "21 L for each millimetre"
    assert plain(FEET.number(number, 20.09)) == "17 gal for each 1/8 in (21 L for each millimetre)"
