"""How a quantity is said. Expected values are by hand; an inch is 25.4 mm, a US gallon 3.785411784 L."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from builder import say
from builder.units import SafeSide


def plain(text: str) -> str:
    return text.replace("\u00a0", " ")


@pytest.mark.parametrize(
    ("value", "side", "expected"),
    [
        (1.7822, "nearest", "1,780"),
        (1.7822, "up", "1,785"),
        (1.7822, "down", "1,780"),
        (1.785, "up", "1,785"),  # an exact multiple stays
        (0.0032, "down", "3"),  # 5 mm steps would leave nothing
        (0.00058, "nearest", "0.6"),
        (-0.0431, "down", "45"),  # the size alone; rounded down, so further below
        (0.0, "nearest", "0"),
    ],
)
def test_a_length_goes_to_five_millimetres_on_its_safe_side(
    value: float, side: SafeSide, expected: str
) -> None:
    assert say.mm(value, side) == expected


@pytest.mark.parametrize(
    ("millimetres", "side", "expected"),
    [
        (1785, "nearest", "5 ft 10 1/4 in"),  # 1785/25.4 = 70.276 in = 5 ft 10.276 in
        (1785, "up", "5 ft 10 3/8 in"),
        (1785, "down", "5 ft 10 1/4 in"),
        (304.8, "nearest", "1 ft"),
        (76.2, "nearest", "3 in"),
        (12.7, "nearest", "1/2 in"),
        (15, "up", "5/8 in"),  # 0.5906 in = 9.45 sixteenths, up to 10
        (15, "down", "9/16 in"),
        (2, "up", ""),  # under an eighth of an inch nothing is said in inches
    ],
)
def test_feet_and_inches_go_to_an_eighth_and_under_an_inch_to_a_sixteenth(
    millimetres: float, side: SafeSide, expected: str
) -> None:
    assert plain(say.feet_and_inches(millimetres / 1000, side)) == expected


@pytest.mark.parametrize(
    ("millimetres", "expected"),
    [
        (8, "5/16 in"),  # 0.315 in; 5/16 is 0.3125, 0.8 % off
        (7, "9/32 in"),  # 0.2756 in; 9/32 is 0.28125, 2 % off; no sixteenth comes near
        (0.8, "1/32 in"),  # 0.0315 in; 1/32 is 0.03125
        (1.524, ""),  # 0.06 in; the nearest, 1/16, is 4 % off: said in millimetres alone
        (76.2, "3 in"),
    ],
)
def test_a_size_as_typed_takes_the_coarsest_fraction_that_comes_near_it(
    millimetres: float, expected: str
) -> None:
    assert plain(say.feet_and_inches(millimetres / 1000, step=say.FINE)) == expected


def test_no_inch_is_ever_said_in_decimals() -> None:
    for tenth in range(1, 500):
        assert "." not in say.feet_and_inches(tenth / 10_000, step=say.FINE)


@given(st.floats(0.004, 20), st.sampled_from(["up", "down"]))
def test_feet_and_inches_keep_the_safe_side_within_an_eighth(value: float, side: SafeSide) -> None:
    feet, inches = say.feet(value, side) or (0, "")
    whole, _, part = inches.partition(say.SPACE) if say.SPACE in inches else ("0", "", inches or "0")
    top, _, below = part.partition("/")
    said = (12 * feet + int(whole) + int(top) / int(below or 1)) * say.INCH
    worse = said - value if side == "up" else value - said
    assert -1e-6 < worse < say.INCH / 8 + 1e-6


def test_a_sentence_in_millimetres_is_told_in_feet_first() -> None:
    assert plain(say.in_feet_too("stands 1,785 mm below the rim; 180 mm of water")) == (
        "stands 5 ft 10 1/4 in (1,785 mm) below the rim; 7 1/8 in (180 mm) of water"
    )
    assert say.in_feet_too("3–5 mm gravel") == "3–5 mm gravel"  # the name of a material, not a length
    assert plain(say.in_feet_too("pump no faster than 5.2 litres a minute")) == (
        "pump no faster than 1.3 gallons a minute (5.2 litres a minute)"  # 5.2 / 3.785 = 1.37, down
    )


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
    assert plain(say.duration(seconds)) == expected


def test_other_quantities_have_two_digits_or_five_units() -> None:
    assert plain(say.litres(0.0213, "up")) == "25 L"
    assert plain(say.litres(23e-6, "up")) == "25 mL"
    assert plain(say.flow(2.917 / 60000, "down")) == "2.9 L/min"
    assert plain(say.mass(782)) == "780 kg"
    assert plain(say.mass(12_345, "up")) == "13 t"
    assert say.two_digits(0.0234, "up") == "0.024"


@pytest.mark.parametrize(
    ("litres", "side", "expected"),
    [
        (18.2, "up", "5 gal"),  # 4.81, to half a gallon
        (10, "nearest", "2.5 gal"),  # 2.64
        (1430, "nearest", "378 gal"),  # 377.8
        (26_420, "nearest", "6,980 gal"),  # 6,979.4, to ten
        (1, "nearest", ""),  # under half a gallon
    ],
)
def test_gallons_are_told_to_what_a_bucket_or_a_meter_shows(
    litres: float, side: SafeSide, expected: str
) -> None:
    assert plain(say.gallons(litres / 1000, side)) == expected
