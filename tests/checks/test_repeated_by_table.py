"""Methods that read a table or a list of corners, repeated from what is printed and nothing else."""

from __future__ import annotations

import json
import math
from itertools import pairwise
from typing import Any

import pytest

from builder.checks import work
from builder.job import read
from builder.levels import place
from tests.checks.by_hand import results
from tests.checks.demo import JOBS

CHANGED: dict[str, dict[str, Any]] = {
    "box": {},
    "box, light rain": {"ground.rain_overnight": "4 mm", "ground.catchment": "10 m2"},
    "box, dry": {"ground.groundwater": "3 m", "ground.rain_overnight": "9 mm"},
    "box, sloping sides": {"excavation": {"batter": "40 deg"}, "ground.rain_overnight": "7 mm"},
}
Printed = dict[str, Any]


def every() -> list[Any]:
    demo = [pytest.param(work(place(read(path))), id=path.stem) for path in JOBS]
    return demo + [pytest.param(results(changes), id=name) for name, changes in CHANGED.items()]


@pytest.fixture(scope="module", params=every())
def printed(request: pytest.FixtureRequest) -> Printed:
    found: Printed = json.loads(json.dumps(request.param.as_json()))
    return found


def given(entry: Printed) -> dict[str, float]:
    return {name: one["value"] for name, one in entry["inputs"].items()}


def rows(printed: Printed, key: str) -> list[dict[str, float]]:
    table = printed[key]["value"]
    names = [column["key"] for column in table["columns"]]
    return [dict(zip(names, row, strict=True)) for row in table["rows"]]


def volume_at(printed: Printed, key: str, level: float) -> float:
    (row,) = [row for row in rows(printed, key) if math.isclose(row["below_rim"], level, abs_tol=1e-9)]
    return row["volume"]


def test_the_rims_length_goes_from_corner_to_corner(printed: Printed) -> None:
    inputs = given(printed["shell.perimeter"])
    count = len(inputs) // 2
    corners = [(inputs[f"corner_{at}_x"], inputs[f"corner_{at}_y"]) for at in range(1, count + 1)]
    round_it = sum(math.dist(*pair) for pair in pairwise([*corners, corners[0]]))
    assert printed["shell.perimeter"]["value"] == pytest.approx(round_it, rel=1e-12)


def test_the_barriers_litres_stand_in_the_table_of_volumes(printed: Printed) -> None:
    inputs = given(printed["fill.barrier_litres"])
    level = inputs["floor_deep"] - inputs["barrier_depth"]
    assert inputs["level"] == pytest.approx(level, abs=1e-12)
    litres = 1000 * volume_at(printed, "shell.depth_volume", level)
    assert printed["fill.barrier_litres"]["value"] == pytest.approx(litres, rel=1e-9)


def test_a_nights_rain_fills_the_gap_as_its_table_says(printed: Printed) -> None:
    entry = printed["rain.forecast_rise"]
    inputs = given(entry)
    if inputs["porosity"] is None:
        assert (entry["value"], entry["verdict"]) == (None, "cannot tell")
        return
    shed = inputs["gap_area_at_ground"] + inputs["runoff"] * inputs["catchment"]
    filled = inputs["rain_overnight"] * shed / inputs["porosity"]
    start = volume_at(printed, "gap.depth_volume", inputs["from_level"])
    above = [row for row in rows(printed, "gap.depth_volume") if row["below_rim"] <= inputs["from_level"]]
    if filled > above[0]["volume"] - start:  # more than there is room for up to the ground
        assert above[0]["below_rim"] == inputs["ground"]
        assert entry["value"] == pytest.approx(inputs["from_level"] - inputs["ground"], abs=1e-9)
        return
    reached = min(above, key=lambda row: abs(row["volume"] - start - filled))
    assert reached["volume"] - start == pytest.approx(filled, rel=1e-6)
    assert entry["value"] == pytest.approx(inputs["from_level"] - reached["below_rim"], abs=1e-8)


def test_rain_to_the_watch_line_fills_the_gap_as_its_table_says(printed: Printed) -> None:
    entry = printed["rain.to_watch"]
    inputs = given(entry)
    if not entry["value"]:  # the water stands there already, or no rain can lift it so high
        assert entry["reason"]
        return
    shed = inputs["gap_area_at_ground"] + inputs["runoff"] * inputs["catchment"]
    line, start = (
        volume_at(printed, "gap.depth_volume", inputs[name]) for name in ("watch_line", "from_level")
    )
    assert entry["value"] == pytest.approx(inputs["porosity"] * (line - start) / shed, rel=1e-7)


def test_the_gaps_table_holds_its_own_areas(printed: Printed) -> None:
    # Between two rows the volume is the height times an area between theirs, or near it where it bends.
    for upper, lower in pairwise(rows(printed, "gap.depth_volume")):
        height = lower["below_rim"] - upper["below_rim"]
        assert height > 0
        assert upper["volume"] - lower["volume"] > 0


def test_both_ways_are_met() -> None:
    values = [results(changes)["rain.forecast_rise"] for changes in CHANGED.values()]
    assert {"fill the gap to the ground" in value.reason for value in values} == {True, False}
