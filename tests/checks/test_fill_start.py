"""Where filling may start, what holds the water meanwhile, and the rules a schedule can break."""

from __future__ import annotations

import math
import re
from typing import Any

import pytest

from builder.checks import Results
from tests.checks.by_hand import results

G = 9.80665
START = "fill.start_groundwater"
# Dry, and from 1420 to 220 mm: eight lifts of 150 mm, six of 200, five of 240, four of 300, sixteen of 75.
EVEN = {"ground.groundwater": "2 m", "ring_beam.depth": "220 mm"}


def rows(worked: Results) -> list[dict[str, Any]]:
    return worked["fill.stages"].table.records()


def lead(worked: Results) -> float:
    return worked["fill.stages"].inputs["lead"].value or 0.0


def test_a_pit_without_room_for_the_pump_stops_the_job() -> None:
    # Pit base 1.50 + 0.10; the pump needs 130 mm of water: 1.47 is 30 mm above the bedding base.
    worked = results(
        {
            "standpipe.pit": {"depth": "100 mm", "width": "400 mm"},
            "standpipe.foot_below_underside": "165 mm",
            "pump.min_depth": "130 mm",
        }
    )
    assert worked[START].verdict == "stop"
    assert worked[START].reason.startswith("the pit is 30 mm too shallow")
    assert worked["fill.stages"].verdict == "stop"


def test_a_pit_just_deep_enough_for_the_pump_holds() -> None:
    # 100 mm of pit for 100 mm of water: the sum of levels must not call it a hair too shallow.
    worked = results(
        {
            "standpipe.pit": {"depth": "100 mm", "width": "400 mm"},
            "standpipe.foot_below_underside": "180 mm",
            "pump.min_depth": "100 mm",
            "ground.soil": "tight-ground",
        }
    )
    # The tube's foot on the pit's base: its pump draws level with the bedding base, and nothing flows to it.
    assert worked[START].reason.startswith("a pump in the tube holds the water 1 mm too high")


def test_water_above_the_bedding_and_no_pit_stops_the_job() -> None:
    worked = results({"standpipe.pit": "none", "standpipe.foot_below_underside": "15 mm"})
    assert worked[START].verdict == "stop"
    assert worked[START].reason == "there is water above the bottom of the bedding and no pit to pump it from"
    unknown = {"not_seen_to": "2 m", "watched_for": "0 d"}
    worked = results(
        {"standpipe.pit": "none", "standpipe.foot_below_underside": "15 mm", "ground.groundwater": unknown}
    )
    assert worked[START].verdict == "stop"
    assert "there may be water" in worked[START].reason


def test_a_tube_whose_pump_cannot_reach_under_the_bedding_stops_the_job() -> None:
    # Foot 1.42 + 0.015, less 50 mm of water: held no lower than 1.385, 115 mm over the bedding base.
    worked = results({"standpipe.foot_below_underside": "15 mm", "ground.soil": "tight-ground"})
    assert worked[START].verdict == "stop"
    assert worked[START].reason == (
        "a pump in the tube holds the water 120 mm too high: set the tube's foot deeper"
    )
    # level with the bedding base nothing flows to it; 10 mm under it two rings of slots are under water,
    # 4.1 mL/s at most, and 6.4 run in; another 50 mm take in enough
    for foot, verdict in (("130 mm", "stop"), ("140 mm", "stop"), ("190 mm", "watch")):
        freed = results({"standpipe.foot_below_underside": foot, "ground.soil": "tight-ground"})
        assert freed[START].verdict == verdict


def test_a_tube_is_asked_nothing_where_the_first_water_holds_the_ground() -> None:
    # Groundwater at 1.45, between underside and bedding base: the pool's first 150 mm hold it.
    worked = results(
        {
            "ground.groundwater": "1.4 m",
            "standpipe.foot_below_underside": "15 mm",
            "ground.soil": "tight-ground",
        }
    )
    assert worked[START].verdict == "watch"
    assert worked[START].reason.endswith("hold it there until lift 1")
    assert [row["sf"] for row in rows(worked)] == [None] * 10


def test_a_small_pump_stops_the_job() -> None:
    worked = results({"ground.soil": "open-ground"})
    assert worked["drawdown.inflow"].high > worked["pump.duty_flow"].si  # type: ignore[operator]
    assert worked[START].verdict == "stop"
    assert worked[START].reason.startswith("more water can run into the dig than this pump moves")
    assert worked["dig.base"].verdict == "stop"


def test_a_tube_that_gives_too_little_says_how_many_slots_would_hold() -> None:
    # The slots rule: 0.03 m/s · half of 3 · 30 mm · 1.5 mm a ring of slots, 2.025 mL/s each; 6.4 mL/s run in.
    wet = {"ground.soil": "tight-ground", "standpipe.slotted": "50 mm"}
    box = results(wet)
    inflow = box["drawdown.inflow"].high
    assert inflow is not None
    needed = math.floor(inflow / (0.03 * 0.5 * 3 * 0.030 * 0.0015)) + 1
    assert needed == 4
    assert box["standpipe.yield"].si <= inflow < box["pump.duty_flow"].si
    said = re.search(r"the tube needs ([\d,]+) mm of slots", box[START].reason)
    assert said
    assert float(said[1].replace(",", "")) == 25 * needed
    assert box[START].verdict == "watch"
    # cut so, it holds; a row fewer does not
    cut = results({**wet, "standpipe.slotted": f"{25 * needed} mm"})
    assert cut["standpipe.yield"].si > inflow
    assert cut[START].verdict == "watch"
    assert "slots" not in cut[START].reason
    short = results({**wet, "standpipe.slotted": f"{25 * (needed - 1)} mm"})
    assert short["standpipe.yield"].si <= inflow
    assert "slots" in short[START].reason


def test_a_tube_with_too_few_slots_under_the_held_water_stops_the_job_however_long_it_is_slotted() -> None:
    # 8.3 L/min can run in; the 250 mm of tube under the bedding base have ten rings, for 1.2 L/min.
    for slotted in ("600 mm", "1.5 m"):
        worked = results({"standpipe.slotted": slotted})
        assert worked["drawdown.inflow"].high * 60e3 == pytest.approx(8.3, abs=0.05)  # type: ignore[operator]
        assert worked[START].verdict == "stop"
        assert "no length of slots lets enough water into it: set its foot deeper" in worked[START].reason


def test_a_foot_set_deeper_lets_enough_water_in() -> None:
    # From 1350 to 1800 mm: 4·1e-5·2.7619·0.45, 49.7 mL/s. Slots of 3 mm pass 4.05 mL/s a ring, a ring each
    # 12 mm: 13 rings at least, with their water under the bedding base, and a fall that drives the gravel.
    changes = {
        "ground.groundwater": "1.3 m",
        "standpipe.slot_width": "3 mm",
        "standpipe.pitch": "12 mm",
    }
    shallow = results({**changes, "standpipe.foot_below_underside": "190 mm"})
    assert shallow[START].verdict == "stop"
    assert "set its foot deeper" in shallow[START].reason
    deep = results(changes)
    assert deep["standpipe.yield"].si > (deep["drawdown.inflow"].high or 0.0)
    assert deep[START].verdict == "watch"
    assert "slots" not in deep[START].reason


def test_a_tube_whose_flow_nobody_knows_is_never_passed() -> None:
    worked = results({"backfill.material": "riddle", "ground.soil": "tight-ground"})  # permeability not known
    assert worked["standpipe.yield"].value is None
    assert worked[START].verdict == "cannot tell"
    assert "nobody can say what flows into the tube" in worked[START].reason


# limit out, lead: one side a lift lower is 140 + 2·150 mm = 4.315 kPa, or with 100 mm 3.923 kPa
@pytest.mark.parametrize(
    ("limit", "expected"), [("4.32 kPa", 0.140), ("4.31 kPa", 0.100), ("3.93 kPa", 0.100)]
)
def test_the_smaller_lead_only_where_the_wall_asks_for_it(limit: str, expected: float) -> None:
    worked = results({**EVEN, "shell.wall_limit": {"outward": limit}})
    assert lead(worked) == expected
    assert worked["fill.stages"].verdict == "ok"
    table = rows(worked)
    for row in table[:7]:
        assert row["water_after"] == pytest.approx(row["backfill_top"] - expected)
    assert table[2]["outward_kpa"] == pytest.approx(G * (0.15 + expected))


def test_a_lift_too_high_for_the_larger_lead_takes_the_smaller() -> None:
    # 200 + 140 mm is over 300; 200 + 100 is not. 240 + 100 is too much too.
    assert lead(results({**EVEN, "backfill.lift": "160 mm"})) == 0.140
    worked = results({**EVEN, "backfill.lift": "200 mm"})
    assert lead(worked) == 0.100
    assert worked["fill.stages"].verdict == "ok"
    worked = results({**EVEN, "backfill.lift": "240 mm"})
    assert worked["fill.stages"].verdict == "stop"
    assert worked["fill.stages"].reason.startswith(
        "at lift 1 the water would stand 380 mm above the placed fill: place lifts of 200 mm"
    )


def test_a_hose_left_running_is_off_at_the_makers_limit() -> None:
    # 4.0 kPa would be 408 mm, so 300 mm rules; with 2.5 kPa 254.9 mm do.
    wide = results({**EVEN, "shell.wall_limit": {"outward": "4.4 kPa"}})
    assert rows(wide)[1]["leave_by_minutes"] == pytest.approx(1000 * 18 * (1.13 - 0.97) / 18)
    tight = results({**EVEN, "shell.wall_limit": {"outward": "2.5 kPa"}, "backfill.lift": "75 mm"})
    assert tight["fill.stages"].verdict == "ok"
    second = rows(tight)[1]
    assert second["leave_by_minutes"] == pytest.approx(
        1000 * (second["water_before"] - (1.345 - 2500 / (1000 * G)))
    )


CHANGES = (
    # what breaks, what the reason says, what it asks for
    (
        {"backfill.lift": "300 mm"},
        "at lift 1 the water would stand 440 mm above",
        {"backfill.lift": "200 mm"},
    ),
    (
        {"shell.wall_limit": {"outward": "2.5 kPa"}},
        "at lift 2 with one side a lift lower the pool would push the wall out like 380 mm of water",
        {"backfill.lift": "75 mm"},
    ),
    (  # the beam's underside is over the working level: the last lift ends above the pool
        {"levels.water_below_rim": "300 mm", "ring_beam.depth": "200 mm"},
        "the fill's top would stand 100 mm above the water: pour a ring beam 300 mm deep",
        {"ring_beam.depth": "300 mm"},
    ),
    (
        {"ring_beam.depth": "500 mm"},
        "the working level stands 380 mm above the last fill: pour a ring beam no more than 420 mm deep",
        {"ring_beam.depth": "420 mm"},
    ),
    (
        {"levels.rim_above_ground": "460 mm"},
        "with the last water the working level stands 340 mm above the last fill: raise the ground by 40 mm",
        {"levels.rim_above_ground": "420 mm"},
    ),
)


@pytest.mark.parametrize(("changes", "said", "asked"), CHANGES)
def test_a_broken_rule_names_lift_and_change_and_the_change_frees_it(
    changes: dict[str, Any], said: str, asked: dict[str, Any]
) -> None:
    worked = results({**EVEN, **changes})
    assert worked["fill.stages"].verdict == "stop"
    assert said in worked["fill.stages"].reason
    assert results({**EVEN, **changes, **asked})["fill.stages"].verdict == "ok"


def test_a_pool_high_above_the_ground_needs_an_engineer() -> None:
    # Rim 0.46 above ground, water 0.12: 340 mm stand free.
    high = {"levels.rim_above_ground": "460 mm", "ground.groundwater": "2 m"}
    worked = results(high)
    assert worked["fill.stages"].verdict == "stop"
    assert (
        "the pool stands 340 mm above the ground: ask an engineer about the wall"
        in worked["fill.stages"].reason
    )
    # 340 mm push 3.334 kPa, one side a lift lower 4.315 kPa with the large lead and 3.923 with the small one
    allowed = results({**high, "shell.wall_limit": {"outward": "3.93 kPa"}})
    assert allowed["fill.stages"].verdict == "ok"
    assert rows(allowed)[-1]["outward_kpa"] == pytest.approx(G * 0.34)
    # an allowance of 330 mm, lifts of 100 mm: all lifts hold, the standing pool does not
    refused = results({**high, "shell.wall_limit": {"outward": "3.24 kPa"}, "backfill.lift": "100 mm"})
    assert refused["fill.stages"].verdict == "stop"
    assert (
        "with the last water the pool would push the wall out like 340 mm of water"
        in refused["fill.stages"].reason
    )
    # at 300 mm nobody is asked
    assert (
        results({"levels.rim_above_ground": "420 mm", "ground.groundwater": "2 m"})["fill.stages"].verdict
        == "ok"
    )


def test_two_stops_are_both_said() -> None:
    worked = results({"ground.soil": "open-ground", "backfill.lift": "300 mm"})
    reason = worked["fill.stages"].reason
    assert "above the placed fill" in reason
    assert "than this pump moves" in reason


def test_a_pump_between_the_least_and_the_most_that_can_run_in_is_too_small() -> None:
    # Fair ground lets a hundred times more in at its most open than at its tightest.
    worked = results({"pump.curve": [["0 L/min", "7 m"], ["3 L/min", "0 m"]]})
    inflow, duty = worked["drawdown.inflow"], worked["pump.duty_flow"].si
    assert inflow.low is not None
    assert inflow.high is not None
    assert inflow.low < duty < inflow.high
    assert worked[START].verdict == "stop"
    assert worked[START].reason.startswith("more water can run into the dig than this pump moves")
