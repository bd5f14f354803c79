"""Every printed table of stages keeps the design's rules, re-worked from what is printed and the spec."""

from __future__ import annotations

from collections.abc import Callable
from functools import cache
from typing import Any

import pytest

from builder.catalogue import load
from builder.checks import Results, work
from builder.job import read
from builder.levels import place
from tests import random_jobs
from tests.checks.by_hand import results
from tests.checks.demo import JOBS
from tests.checks.stage_rules import Rules

SEED, DRAWN, BATCH = 412, 150, 15
WITH_HEAP = 10  # every so-manieth drawn job has its heap sliced too: it takes longest


@pytest.mark.parametrize("path", JOBS, ids=lambda path: path.stem)
def test_a_demo_jobs_stages_keep_every_rule(path: Any) -> None:
    assert list(Rules(work(place(read(path)))).faults(backfill=True)) == []


@pytest.mark.parametrize("batch", range(DRAWN // BATCH))
def test_the_stages_of_drawn_jobs_keep_every_rule(batch: int) -> None:
    catalogue = load()
    found = {}
    for number in range(batch * BATCH, (batch + 1) * BATCH):
        _, worked, _ = random_jobs.valid(SEED, number, catalogue)
        faults = list(Rules(worked).faults(backfill=number % WITH_HEAP == 0))
        if faults:
            found[number] = faults
    assert found == {}


@cache
def demo(stem: str) -> Results:
    return work(place(read(next(path for path in JOBS if path.stem == stem))))


def add(column: str, by: float, row: int = 4) -> Callable[[Rules], None]:
    """Change one cell by so much."""

    def spoil(rules: Rules) -> None:
        rules.rows[row][column] += by

    return spoil


def pool(row: int, by: float) -> Callable[[Rules], None]:
    """Change where the pool stands after a row, and before the next."""

    def spoil(rules: Rules) -> None:
        rules.rows[row]["water_after"] += by
        rules.rows[row + 1]["water_before"] += by

    return spoil


def put(column: str, value: object, row: int = 4) -> Callable[[Rules], None]:
    """Put another value into one cell."""

    def spoil(rules: Rules) -> None:
        rules.rows[row][column] = value

    return spoil


def weak(rules: Rules) -> None:
    """Give the wall a limit that the printed rows pass, with nothing said about it."""
    rules.outward = 2000.0


def wet(rules: Rules) -> None:
    """Stop pumping from the first: the spec's water stands round a shell that is too light."""
    rules.held = lambda: [rules.groundwater] * len(rules.rows)  # type: ignore[method-assign,list-item]


# The fault each spoilt cell must give, by how it begins. On Harakeke Flat the pit is pumped until lift 6.
SPOILT: list[tuple[str, Callable[[Rules], None]]] = [
    ("water_before: first water", add("water_before", 0.010, 0)),
    ("water_before: first water", add("water_before", -0.060, 0)),
    ("water_before of row 5 is not where row 4 left it", add("water_before", 0.010)),
    ("water_after: no one lead", pool(4, 0.010)),
    ("water_after: no one lead", pool(4, -0.010)),
    ("water_after of row 5: the fill stands over the water", pool(4, 0.150)),
    ("water_after of row 5: the water stands", pool(4, -0.050)),
    ("water_after of row 5: the pool is let down", add("water_after", 0.310)),
    ("water_after: the last water ends", add("water_after", -0.005, -1)),
    ("backfill_top: the last water places fill", add("backfill_top", -0.005, -1)),
    ("backfill_top: the fill ends", add("backfill_top", 0.005, -1)),
    ("backfill_top: lift 6 is", add("backfill_top", 0.020)),
    ("backfill_top: lift 5 is", add("backfill_top", -0.020)),
    ("litres of row 5", add("litres", 45.0)),
    ("cumulative_litres of row 5", add("cumulative_litres", 45.0)),
    ("cumulative_litres: the last", add("cumulative_litres", 1.0, -1)),
    ("tap_minutes of row 5", add("tap_minutes", 0.01)),
    ("backfill_m3 of row 5", add("backfill_m3", 0.2)),
    ("backfill_m3: ", add("backfill_m3", 20.0)),
    ("outward_kpa of row 5:", add("outward_kpa", 0.001)),
    ("outward_kpa of row 1 passes", weak),
    ("inward_kpa of row 5:", add("inward_kpa", 0.001)),
    ("inward_flooded_kpa of row 5:", add("inward_flooded_kpa", 0.001)),
    ("sf of row 8", add("sf", 0.03, 7)),
    ("sf of row 8", put("sf", None, 7)),
    ("sf of row 1: the shell floats", wet),
    ("water_before of row 1: less than 50 mm", wet),
    ("dip_stop_build of row 5 is lower", add("dip_stop_build", 0.005)),
    ("dip_stop_build of row 5 is too high", add("dip_stop_build", -0.005)),
    ("leave_by_minutes of row 5:", add("leave_by_minutes", 2.0)),
    ("safe_stop of row 1 says yes", put("safe_stop", "yes", 0)),
    ("safe_stop of row 9 says no", put("safe_stop", "no", 8)),
    ("a stop at row 3 for a rule that holds", lambda rules: setattr(rules, "said", 3)),
]


@pytest.mark.parametrize(
    ("fault", "spoil"), SPOILT, ids=[f"{at} {fault}" for at, (fault, _) in enumerate(SPOILT)]
)
def test_a_spoilt_table_is_found_out(fault: str, spoil: Callable[[Rules], None]) -> None:
    rules = Rules(demo("harakeke-flat"))
    spoil(rules)
    found = list(rules.faults(backfill=fault.startswith("backfill_m3")))
    assert any(one.startswith(fault) for one in found), found


def test_a_stop_at_another_lift_than_the_rows_break_at_is_found_out() -> None:
    # Lifts of 300 mm: with 100 mm of water over the first the pool stands 400 mm over the underside.
    rules = Rules(results({"backfill.lift": "300 mm"}))
    assert rules.said == 1
    assert list(rules.faults()) == []
    rules.said = 2
    assert any(fault.startswith("a stop at row 2, but") for fault in rules.faults())
    rules.said = None
    assert any(fault.startswith("water_after of row 1: the water stands") for fault in rules.faults())
