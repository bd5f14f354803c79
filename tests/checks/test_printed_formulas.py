"""The printed formula, evaluated from the printed inputs, gives the printed value."""

from typing import Any

import pytest
from hypothesis import given, settings

from builder.checks import Results, work
from builder.formula import evaluate, names
from builder.job import read
from builder.levels import place
from builder.units import UNITS
from tests.checks.by_hand import results
from tests.checks.demo import JOBS
from tests.checks.drawn_at_random import jobs


def repeat(worked: Results) -> int:
    """Evaluate every printed formula of the JSON, case by case; return how many values were repeated."""
    repeated = 0
    for key, entry in worked.as_json().items():
        assert isinstance(entry, dict)
        formula: str = entry["formula"]
        if formula.startswith("method:"):
            assert formula.removeprefix("method:").strip(), key
            continue
        names(formula)  # parses, even where there is no value
        if entry["value"] is None:
            continue
        assert names(formula) == set(entry["inputs"]), key
        for case in ("low", "typical", "high") if "low" in entry else ("value",):
            inputs: dict[str, Any] = {
                name: given[case] if case in given else given["value"]
                for name, given in entry["inputs"].items()
            }
            value = evaluate(formula, inputs) / UNITS[entry["unit"]].si
            assert value == pytest.approx(entry[case], rel=1e-9, abs=1e-12), (key, case)
            repeated += 1
    return repeated


@pytest.mark.parametrize("path", JOBS, ids=lambda path: path.stem)
def test_a_demo_jobs_printed_formulas_give_its_printed_values(path: Any) -> None:
    assert repeat(work(place(read(path)))) > 40


def test_the_boxs_printed_formulas_give_its_printed_values(box: Results) -> None:
    assert repeat(box) > 40


@settings(max_examples=15, deadline=None, print_blob=True)
@given(jobs())
def test_any_jobs_printed_formulas_give_its_printed_values(changes: dict[str, Any]) -> None:
    assert repeat(results(changes)) > 40
