"""What authors may write, and how readers' numbers are rounded."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from builder.units import DIMENSIONS, UNITS, NotAQuantity, parse, round_safe, to_unit

WRITTEN = [
    symbol for symbol, unit in UNITS.items() if unit.dimension in DIMENSIONS and symbol not in ("1", "%")
]


@pytest.mark.parametrize("symbol", WRITTEN)
def test_every_unit_is_read_and_given_back(symbol: str) -> None:
    unit = UNITS[symbol]
    assert parse(f"1 {symbol}", unit.dimension) == unit.si
    assert parse(f"-2.5 {symbol}", unit.dimension) == -2.5 * unit.si
    if not symbol[0].isdigit():  # the unit may follow at once
        assert parse(f"-2.5{symbol}", unit.dimension) == -2.5 * unit.si
    assert parse(f"  1e3  {symbol} ", unit.dimension) == pytest.approx(1e3 * unit.si)
    assert to_unit(parse(f"7 {symbol}", unit.dimension), symbol) == pytest.approx(7)


@pytest.mark.parametrize("symbol", WRITTEN)
def test_a_unit_of_one_kind_is_refused_for_every_other(symbol: str) -> None:
    for dimension in DIMENSIONS:
        if dimension == UNITS[symbol].dimension:
            continue
        with pytest.raises(NotAQuantity):
            parse(f"5 {symbol}", dimension)


@pytest.mark.parametrize("dimension", [d for d in DIMENSIONS if d != "1"])
def test_a_bare_number_is_refused_with_the_remedy(dimension: str) -> None:
    with pytest.raises(NotAQuantity) as refused:
        parse("75", dimension)
    _, example = DIMENSIONS[dimension]
    assert str(refused.value) == f"'75' has no unit. Write 75 {example.split(' ')[1]}"


@pytest.mark.parametrize("dimension", list(DIMENSIONS))
def test_every_example_a_fault_gives_can_be_written(dimension: str) -> None:
    what, example = DIMENSIONS[dimension]
    assert math.isfinite(parse(example, dimension))
    assert what.startswith(("a ", "an "))


@pytest.mark.parametrize(
    ("written", "dimension", "si"),
    [
        ("75 mm", "m", 0.075),
        ("1.9 m", "m", 1.9),
        (".5 m", "m", 0.5),
        ("5. m", "m", 5.0),
        ("+3 m", "m", 3.0),
        ("18 L/min", "m3/s", 18e-3 / 60),
        ("18 l/min", "m3/s", 18e-3 / 60),
        ("5 gal/min", "m3/s", 5 * 3.785411784e-3 / 60),
        ("45 deg", "rad", math.pi / 4),
        ("45°", "rad", math.pi / 4),
        ("60 m²", "m2", 60.0),
        ("8 m³", "m3", 8.0),
        ("3 d", "s", 259200.0),
        ("1e-3 m/s", "m/s", 1e-3),
        ("6 kPa", "Pa", 6000.0),
        ("0.6", "1", 0.6),
        ("60 %", "1", 0.6),
    ],
)
def test_what_authors_write_is_read(written: str, dimension: str, si: float) -> None:
    assert parse(written, dimension) == pytest.approx(si, rel=1e-12)


@pytest.mark.parametrize(
    ("written", "dimension", "sentence"),
    [
        ("75 kg", "m", "'75 kg' is not a length. Write a length in mm, cm, m, in, ft, such as 75 mm"),
        ("75 furlong", "m", "'furlong' is not a unit known here. Write mm, cm, m, in, ft, such as 75 mm"),
        ("wide", "m", "'wide' is not a length. Write a length such as 75 mm"),
        ("", "m", "'' is not a length. Write a length such as 75 mm"),
        ("1e400 m", "m", "'1e400 m' is too large a number. Write a length such as 75 mm"),
        ("1e308 t", "kg", "'1e308 t' is too large a number. Write a mass such as 780 kg"),
        ("0.6 m", "1", "'0.6 m' carries a unit. Write the bare number"),
        ("60 m2", "m", "'60 m2' is not a length. Write a length in mm, cm, m, in, ft, such as 75 mm"),
    ],
)
def test_a_refusal_says_what_is_wrong_and_what_to_write(written: str, dimension: str, sentence: str) -> None:
    with pytest.raises(NotAQuantity) as refused:
        parse(written, dimension)
    assert str(refused.value) == sentence
    assert f"{refused.value.wrong}. {refused.value.instead}" == sentence


@pytest.mark.parametrize(
    "written",
    [
        *(
            "1 900 mm",
            "1_900 mm",
            "nan m",
            "inf m",
            "0x10 m",
            "2-3 mm",
            "2..3 mm",
            "--2 mm",
            "5 mm mm",
            "½ m",
        ),
        *("5 M", "5 MM", "m", "mm 5", "5 m\n6 m", "5 mm #", "1/2 m", "1e m", "e3 m"),
    ],
)
def test_what_is_no_quantity_is_refused(written: str) -> None:
    with pytest.raises(NotAQuantity):
        parse(written, "m")


@pytest.mark.parametrize("written", ["1,9 m", "1,900 mm", "-,5 m", "1,9", "1,2,3 m"])
def test_a_comma_is_answered_with_a_point(written: str) -> None:
    with pytest.raises(NotAQuantity) as refused:
        parse(written, "m")
    assert str(refused.value) == (
        f"{written!r} has a comma. Write a point before decimals and nothing between thousands, such as 75 mm"
    )


@given(st.floats(-1e9, 1e9, allow_nan=False), st.sampled_from(WRITTEN))
def test_a_number_written_out_is_read_back(value: float, symbol: str) -> None:
    unit = UNITS[symbol]
    assert parse(f"{value!r} {symbol}", unit.dimension) == pytest.approx(
        value * unit.si, rel=1e-12, abs=1e-300
    )


@given(st.text(max_size=12), st.sampled_from(list(DIMENSIONS)))
def test_any_text_is_read_or_refused_never_anything_else(text: str, dimension: str) -> None:
    try:
        value = parse(text, dimension)
    except NotAQuantity:
        return  # no other error may come
    assert math.isfinite(value)


# --- rounding ------------------------------------------------------------------------------------

VALUES = st.floats(-1e4, 1e4, allow_nan=False)
STEPS = st.sampled_from([0.001, 0.005, 0.01, 0.1, 1.0, 5.0, 300.0])


def near(step: float) -> float:
    """What counts as a multiple already, with room for binary fractions."""
    return step * 1.1e-6 + 1e-9


@given(VALUES, STEPS)
def test_up_is_never_below_and_less_than_a_step_above(value: float, step: float) -> None:
    up = round_safe(value, step, "up")
    assert value - near(step) <= up < value + step + near(step)


@given(VALUES, STEPS)
def test_down_is_never_above_and_less_than_a_step_below(value: float, step: float) -> None:
    down = round_safe(value, step, "down")
    assert value - step - near(step) < down <= value + near(step)


@given(VALUES, STEPS)
def test_nearest_is_at_most_half_a_step_away(value: float, step: float) -> None:
    assert abs(round_safe(value, step, "nearest") - value) <= step / 2 + near(step)


@given(VALUES, STEPS)
def test_down_is_up_seen_from_the_other_side(value: float, step: float) -> None:
    assert round_safe(-value, step, "up") == pytest.approx(-round_safe(value, step, "down"))


@given(st.integers(-2_000_000, 2_000_000), STEPS, st.sampled_from(["up", "down", "nearest"]))
def test_a_multiple_of_the_step_stays_what_it_is(count: int, step: float, side: str) -> None:
    assert round_safe(count * step, step, side) == pytest.approx(count * step, rel=1e-12, abs=1e-12)  # type: ignore[arg-type]


@given(VALUES, STEPS, st.sampled_from(["up", "down", "nearest"]))
def test_rounding_twice_is_rounding_once(value: float, step: float, side: str) -> None:
    once = round_safe(value, step, side)  # type: ignore[arg-type]
    assert round_safe(once, step, side) == pytest.approx(once, rel=1e-12, abs=1e-12)  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("value", "step", "side", "expected"),
    [
        # by hand
        (1.785, 0.005, "up", 1.785),
        (1.7851, 0.005, "up", 1.790),
        (1.7899, 0.005, "down", 1.785),
        (1.7876, 0.005, "nearest", 1.790),
        (-0.011, 0.005, "up", -0.010),
        (-0.011, 0.005, "down", -0.015),
        (0.1 + 0.2, 0.1, "up", 0.3),
        (0.0, 0.005, "up", 0.0),
    ],
)
def test_rounding_by_hand(value: float, step: float, side: str, expected: float) -> None:
    assert round_safe(value, step, side) == pytest.approx(expected, abs=1e-12)  # type: ignore[arg-type]


@pytest.mark.parametrize("step", [0.0, -0.005])
def test_a_step_that_is_not_positive_is_refused(step: float) -> None:
    with pytest.raises(ValueError, match="positive"):
        round_safe(1.0, step, "up")
