"""What holds for every function of the calc room: print and code say the same, units, words, source."""

from __future__ import annotations

import inspect
import re
from fnmatch import fnmatchcase as fnmatch
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import builder.calc
from builder import formula
from builder.catalogue import load
from builder.quantity import Calculation
from tests.calc.calculations import ALL, BY_NAME, BY_UNIT, EACH, inputs_of


def test_the_room_has_calculations() -> None:
    assert len(ALL) > 50


@EACH
@settings(max_examples=12)
@given(data=st.data())
def test_the_printed_formula_gives_the_functions_value(
    calculation: Calculation[Any], data: st.DataObject
) -> None:
    inputs = data.draw(inputs_of(calculation))
    worked = calculation(**inputs)
    assert isinstance(worked, float | int)
    # Sums of depths and weights may cancel: the digits left are those of the largest term.
    largest = max(abs(value) for value in inputs.values())
    cancels = calculation.unit in ("m", "kg") and "-" in calculation.formula
    allowed = 1e-12 * largest if cancels else 0.0
    if calculation.unit in ("m3", "kg m") and "-" in calculation.formula:
        allowed = 1e-7  # of products that may cancel to nothing
    assert formula.evaluate(calculation.formula, inputs) == pytest.approx(worked, rel=1e-9, abs=allowed)


@EACH
def test_the_formula_uses_every_argument_and_nothing_else(calculation: Calculation[Any]) -> None:
    assert formula.names(calculation.formula) == set(calculation.units)
    reserved = {*formula.FUNCTIONS, *formula.CONSTANTS}
    assert not reserved & set(calculation.units)


@EACH
def test_arguments_are_given_by_name(calculation: Calculation[Any]) -> None:
    parameters = inspect.signature(calculation.function).parameters.values()
    assert all(parameter.kind is parameter.KEYWORD_ONLY for parameter in parameters)
    assert all(parameter.default is parameter.empty for parameter in parameters)


WITHOUT_UNITS = {
    "hazen": "an empirical rule: its constant carries a unit",
    "cut_length": "works in whole millimetres",
    "litres_per_100mm": "counts 100 mm of height",
}
# A constant in the formula carries a unit: time is scaled with length so that the constant stays as it is.
TIME_BY_LENGTH = {
    "water_pressure": 0.5,  # standard gravity, m/s2
    "inward": 0.5,
    "support_needed": 0.5,
    "influence_radius": 1.0,  # Sichardt's 3000, (s/m)^0.5
    "inflow": 1.0,
}


@pytest.mark.parametrize(
    "calculation",
    [c for c in ALL if c.__name__ not in WITHOUT_UNITS],
    ids=lambda c: c.__name__,
)
def test_the_units_on_both_sides_are_the_same(calculation: Calculation[Any]) -> None:
    """Scaling the metre, the kilogram and the second scales the result as its unit says."""
    inputs = {name: middle(name, unit) for name, unit in calculation.units.items()}
    length, mass, time = 1.7, 2.3, 3.1
    if calculation.__name__ in TIME_BY_LENGTH:
        time = length ** TIME_BY_LENGTH[calculation.__name__]
    scaled = {
        name: value * scale(calculation.units[name], length, mass, time) for name, value in inputs.items()
    }
    expected = calculation(**inputs) * scale(calculation.unit, length, mass, time)
    assert calculation(**scaled) == pytest.approx(expected, rel=1e-9)


def middle(name: str, unit: str) -> float:
    low, high = BY_NAME.get(name, BY_UNIT[unit])
    # Differ a little from name to name, so that differences do not vanish.
    return low + (high - low) * (0.3 + 0.4 * (sum(map(ord, name)) % 97) / 97)


def scale(unit: str, length: float, mass: float, time: float) -> float:
    metre, kilogram, second = {
        "m": (1, 0, 0),
        "m2": (2, 0, 0),
        "m3": (3, 0, 0),
        "m4": (4, 0, 0),
        "kg": (0, 1, 0),
        "kg m": (1, 1, 0),
        "kg/m3": (-3, 1, 0),
        "m3/s": (3, 0, -1),
        "m/s": (1, 0, -1),
        "s/m2": (-2, 0, 1),
        "m/s2": (1, 0, -2),
        "1/s": (0, 0, -1),
        "s": (0, 0, 1),
        "Pa": (-1, 1, -2),
        "Pa s": (-1, 1, -1),
        "N/m3": (-2, 1, -2),
        "1": (0, 0, 0),
        "rad": (0, 0, 0),
    }[unit]
    return float(length**metre * mass**kilogram * time**second)


# The room's own list of names that mean the same in every function: `name, name   meaning`.
LISTED = [
    name
    for line in (builder.calc.__doc__ or "").splitlines()
    if (entry := re.match(r" {4}([a-z0-9_*, ]+?) {2,}\S", line))
    for name in entry[1].split(", ")
]


@EACH
def test_every_argument_is_explained_or_obvious(calculation: Calculation[Any]) -> None:
    words = re.sub(r"[^a-z0-9]+", " ", (calculation.__doc__ or "").lower()).split()
    unexplained = [
        name
        for name in calculation.units
        if not any(fnmatch(name, listed) for listed in LISTED)
        and not any(said(part, words) for part in name.split("_"))
    ]
    assert not unexplained


def test_every_listed_name_is_used() -> None:
    used = {name for calculation in ALL for name in calculation.units}
    unused = [listed for listed in LISTED if not any(fnmatch(name, listed) for name in used)]
    assert not unused
    assert len(LISTED) == len(set(LISTED)) > 50


def said(part: str, words: list[str]) -> bool:
    """Whether a part of a name stands in the docstring, in any ending."""
    stem = part[:5] if len(part) > 5 else part
    return any(word == part or (len(stem) > 2 and word.startswith(stem)) for word in words)


@EACH
def test_the_source_is_in_the_catalogue(calculation: Calculation[Any]) -> None:
    assert calculation.source in load().sources


@EACH
def test_the_docstring_is_a_sentence(calculation: Calculation[Any]) -> None:
    first = (calculation.__doc__ or "").strip().splitlines()[0]
    assert first.endswith(".")
    assert first[0].isupper()
