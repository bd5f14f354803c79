"""A number that knows its unit, formula, inputs and source, and its JSON shape."""

from __future__ import annotations

import itertools
import json

import pytest

from builder.quantity import (
    VERDICTS,
    Column,
    Input,
    Metre,
    Number,
    Plain,
    Second,
    Table,
    Verdict,
    calculated,
    worst,
)


@calculated(symbol="t", formula="length/ratio", source="geometry")
def invented(*, length: Metre, ratio: Plain) -> Second:
    """An invented calculation."""
    return length / ratio


def number(**changes: object) -> Number:
    given: dict[str, object] = {
        "key": "standpipe.length",
        "words": "length of the tube",
        "value": 1.785,
        "unit": "mm",
        "symbol": "L",
        "formula": "foot - top",
        "source": "design-levels",
        "inputs": {"foot": Input(1.775, "m"), "top": Input(-0.01, "m")},
        "safe_side": "up",
        "audience": "step",
    }
    return Number(**{**given, **changes})  # type: ignore[arg-type]


def test_a_calculation_is_called_like_its_function_and_knows_its_units() -> None:
    assert invented(length=3.0, ratio=2.0) == 1.5
    assert (invented.symbol, invented.formula, invented.source) == ("t", "length/ratio", "geometry")
    assert invented.unit == "s"
    assert invented.units == {"length": "m", "ratio": "1"}
    assert (invented.__name__, invented.__doc__) == ("invented", "An invented calculation.")


def test_a_calculation_takes_its_arguments_by_name_only() -> None:
    with pytest.raises(TypeError):
        invented(3.0, 2.0)  # type: ignore[call-arg,misc]


def test_an_argument_without_a_unit_is_refused() -> None:
    def bare(*, length: float) -> Metre:
        return length

    with pytest.raises(TypeError, match="annotated with one of the units"):
        calculated(symbol="x", formula="length", source="geometry")(bare)


def test_json_has_the_printed_unit_outside_and_si_inside() -> None:
    assert number().as_json() == {
        "value": pytest.approx(1785.0),
        "unit": "mm",
        "symbol": "L",
        "formula": "foot - top",
        "inputs": {"foot": {"value": 1.775, "unit": "m"}, "top": {"value": -0.01, "unit": "m"}},
        "source": "design-levels",
        "verdict": "ok",
        "reason": "",
        "safe_side": "up",
        "audience": "step",
    }


def test_a_range_adds_low_typical_and_high() -> None:
    ranged = number(
        low=1.0, value=2.0, high=3.0, inputs={"k": Input(2e-3, "m/s", low=3e-3, high=1e-3)}, unit="m"
    )
    shape = ranged.as_json()
    assert list(shape)[:4] == ["value", "low", "typical", "high"]
    assert (shape["low"], shape["typical"], shape["high"], shape["value"]) == (1.0, 2.0, 3.0, 2.0)
    # The low input is the one that gives the low number, be it the larger.
    assert shape["inputs"]["k"] == {"value": 2e-3, "unit": "m/s", "low": 3e-3, "typical": 2e-3, "high": 1e-3}


def test_a_range_is_printed_in_its_unit() -> None:
    shape = number(low=0.5, value=1.0, high=2.0, unit="mm").as_json()
    assert (shape["low"], shape["typical"], shape["high"]) == pytest.approx((500.0, 1000.0, 2000.0))


def test_a_number_that_cannot_be_had_is_null_with_its_reason() -> None:
    shape = number(value=None, verdict="cannot tell", reason="the groundwater is not known").as_json()
    assert shape["value"] is None
    assert (shape["verdict"], shape["reason"]) == ("cannot tell", "the groundwater is not known")
    assert "low" not in shape


def test_a_table_is_columns_and_rows() -> None:
    table = Table(
        (Column("head", "m"), Column("flow", "m3/s"), Column("note", "text")), ((0.1, None, "shut"),)
    )
    shape = number(value=table, unit="1").as_json()
    assert shape["value"] == {
        "columns": [
            {"key": "head", "unit": "m"},
            {"key": "flow", "unit": "m3/s"},
            {"key": "note", "unit": "text"},
        ],
        "rows": [[0.1, None, "shut"]],
    }
    assert table.records() == [{"head": 0.1, "flow": None, "note": "shut"}]
    assert number(value=table).table is table
    assert json.loads(json.dumps(shape)) == shape


def test_a_row_of_the_wrong_length_is_refused() -> None:
    with pytest.raises(ValueError, match="zip"):
        Table((Column("head", "m"),), ((0.1, 0.2),)).records()


def test_a_table_or_a_missing_number_has_no_single_value() -> None:
    for value in (None, Table((), ())):
        with pytest.raises(ValueError, match="no single value"):
            _ = number(value=value).si
    with pytest.raises(ValueError, match="not a table"):
        _ = number().table
    assert number().si == 1.785


def test_the_json_of_a_number_is_json() -> None:
    text = json.dumps(number().as_json(), allow_nan=False)
    assert json.loads(text)["unit"] == "mm"


@pytest.mark.parametrize(("better", "worse"), list(itertools.combinations(VERDICTS, 2)))
def test_the_worse_of_two_verdicts_counts(better: Verdict, worse: Verdict) -> None:
    assert worst(better, worse) == worst(worse, better) == worse
    assert worst(better, better) == better


def test_verdicts_from_best_to_worst() -> None:
    assert list(VERDICTS) == ["ok", "watch", "cannot tell", "stop"]
    assert worst() == "ok"
    assert worst("watch", "ok", "stop", "cannot tell") == "stop"
    assert worst("watch", "ok", "cannot tell") == "cannot tell"
