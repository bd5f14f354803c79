"""The printed formula, evaluated from the printed inputs, gives the printed value."""

import json
from typing import Any

import pytest
from click.testing import CliRunner
from hypothesis import given, settings

from builder.checks import Results
from builder.cli import main
from builder.formula import evaluate, names
from builder.units import UNITS
from tests.checks.by_hand import results
from tests.checks.demo import JOBS
from tests.checks.drawn_at_random import jobs

CASES = ("low", "typical", "high")
NOT_HERE = "method: does not apply"
IN_ITS_ROWS = {"standpipe.ties"}  # what is measured from, and to, stands in each row of the table


def repeat(printed: dict[str, Any]) -> set[str]:
    """Evaluate every printed formula of the JSON, case by case; return the keys whose value was repeated."""
    repeated = set()
    for key, entry in printed.items():
        formula: str = entry["formula"]
        if formula.startswith("method:"):
            told(key, entry)
            continue
        names(formula)  # parses, even where there is no value
        if entry["value"] is None:
            assert entry["reason"], key
            continue
        assert names(formula) == set(entry["inputs"]), key
        ranged = "low" in entry
        for case in CASES if ranged else ("value",):
            inputs = {name: value_of(one, case) for name, one in entry["inputs"].items()}
            value = evaluate(formula, inputs) / UNITS[entry["unit"]].si
            assert value == pytest.approx(entry[case], rel=1e-9, abs=1e-12), (key, case)
        if ranged:
            assert entry["low"] <= entry["typical"] == entry["value"] <= entry["high"], key
            assert any("low" in one for one in entry["inputs"].values()), key
        repeated.add(key)
    return repeated


def value_of(one: dict[str, Any], case: str) -> float:
    """An input in a case of its number; one that is no range is the same in all."""
    assert "low" not in one or one["typical"] == one["value"]
    value: float = one[case] if case in one else one["value"]
    return value


def told(key: str, entry: dict[str, Any]) -> None:
    """A method says how, and with what: a reader can repeat it, or it does not apply and says why."""
    assert entry["formula"].removeprefix("method:").strip(), key
    if entry["formula"] == NOT_HERE:
        assert (entry["value"], entry["verdict"]) == (None, "ok"), key
        assert entry["reason"], key
        return
    assert entry["inputs"] or (key in IN_ITS_ROWS and entry["value"]["rows"]), key
    for name, one in entry["inputs"].items():
        assert set(one) >= {"value", "unit"}, (key, name)
    if entry["inputs"] and entry["value"] is not None and entry["verdict"] != "cannot tell":
        assert any(one["value"] is not None for one in entry["inputs"].values()), key


def parsed(worked: Results) -> dict[str, Any]:
    """The numbers as they are printed, read back."""
    found: dict[str, Any] = json.loads(json.dumps(worked.as_json(), allow_nan=False))
    return found


def test_there_are_five_demo_jobs() -> None:
    assert len(JOBS) == 5


@pytest.mark.parametrize("path", JOBS, ids=lambda path: path.stem)
def test_a_demo_jobs_printed_formulas_give_its_printed_values(path: Any) -> None:
    printed = json.loads(CliRunner().invoke(main, ["numbers", str(path), "--json"]).stdout)
    repeated = repeat(printed)
    assert repeated == {
        key
        for key, entry in printed.items()
        if not entry["formula"].startswith("method:") and entry["value"] is not None
    }
    assert len(repeated) > 40
    assert sum("low" in printed[key] for key in repeated) >= 10


def test_the_boxs_printed_formulas_give_its_printed_values(box: Results) -> None:
    assert len(repeat(parsed(box))) > 40


@settings(max_examples=15, deadline=None, print_blob=True)
@given(jobs())
def test_any_jobs_printed_formulas_give_its_printed_values(changes: dict[str, Any]) -> None:
    assert len(repeat(parsed(results(changes)))) > 40
