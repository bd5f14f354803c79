"""What pushes the box's wall, worked out on paper, and the verdicts with and without a maker's limit.

Wall from the rim down to the floor at 1.40 m; fill 16 kN/m3 moist, 20 saturated, 35 degrees; 5 kPa beside it.
"""

from __future__ import annotations

import math
from typing import Any

import pytest

from builder.checks import Results, pressures
from builder.checks.fill import Stage
from builder.quantity import Table
from tests.checks.by_hand import levels, parts, results

G = 9.80665
K0 = 1 - math.sin(math.radians(35))  # 0.42642
DRY = {"ground.groundwater": "2 m"}
EVEN = {**DRY, "ring_beam.depth": "220 mm"}  # from 1420 to 220 mm: eight lifts of 150 mm


def row(worked: Results, name: str) -> dict[str, float | None]:
    value = worked[f"wall.{name}"].value
    assert isinstance(value, Table)
    (only,) = value.records()
    return only  # type: ignore[return-value]


# Dry, tops 1.27, 1.12 … 0.37, 0.22; pools 1.13, 0.98 … 0.23, 0.12, 0.12.
def test_the_wall_as_the_fill_is_placed() -> None:
    placed = row(results(EVEN), "placed")
    # Out: from lift 2 on the pool stands 290 mm over the fill before; lift 1 only 270 mm over the floor.
    assert placed["outward"] == pytest.approx(G * 1000 * 0.29)
    assert placed["outward_stage"] in range(2, 8)
    # In: a metre of depth adds 16 K0 = 6.8 of fill and takes 9.8 of water, so the top of the fill is worst:
    # 5 K0 less the water over it, least at the end: K0·5 − 9.80665·0.10 kPa, lift 8.
    assert placed["inward"] == pytest.approx(5000 * K0 - G * 1000 * 0.10)
    assert placed["inward_stage"] == 8


def test_the_wall_with_the_fill_flooded() -> None:
    flooded = row(results(EVEN), "flooded")
    # Now a metre adds (20 − 9.80665) K0 + 9.80665 − 9.80665: worst at the floor, fill 1.18 m high, and
    # the pool 100 mm higher than the water outside.
    assert flooded["inward"] == pytest.approx(K0 * (10193.35 * 1.18 + 5000) - G * 1000 * 0.10)
    assert flooded["inward_stage"] == 8
    assert flooded["outward"] == pytest.approx(G * 1000 * 0.29)


def test_one_side_a_lift_ahead() -> None:
    ahead = row(results(EVEN), "ahead")
    # Out: a side left a lift lower, 290 + 150 mm.
    assert ahead["outward"] == pytest.approx(G * 1000 * 0.44)
    # In: at lift 8 (top 0.22, pool 0.12) a side up to 0.07: at its top 5 K0, at the pool 16·0.05 K0 more,
    # below it falls: 5.8 K0 = 2.473 kPa. At lift 7 (top 0.37, pool 0.23) up to 0.22: 5.16 K0.
    assert ahead["inward"] == pytest.approx(K0 * (5000 + 16000 * 0.05))
    assert ahead["inward_stage"] == 8


def test_groundwater_beside_the_placed_fill() -> None:
    # 0.55 is held by the pool from lift 8 on. At the floor, lift 8 (top 0.22, pool 0.12):
    # K0 (16·0.33 + 10.19335·0.85 + 5) + 9.80665·0.85 − 9.80665·1.28 = 3.861 kPa.
    placed = row(results({"ring_beam.depth": "220 mm"}), "placed")
    expected = K0 * (16000 * 0.33 + 10193.35 * 0.85 + 5000) + G * 1000 * (0.85 - 1.28)
    assert placed["inward"] == pytest.approx(expected)
    assert expected == pytest.approx(3861, abs=1)


def test_water_that_stands_over_the_fill_pushes_with_its_whole_height() -> None:
    # Fill up to 0.50, groundwater at 0.30, pool at 0.45: at the floor
    # K0 (10.19335·0.90 + 5) + 9.80665 (1.10 − 0.95); at the top of the fill 5 K0 + 9.80665 (0.20 − 0.05).
    at_floor = K0 * (10193.35 * 0.90 + 5000) + G * 1000 * (1.10 - 0.95)
    assert pressures.inward(levels(), 0.50, 0.30, 0.45) == pytest.approx(at_floor)
    stage = Stage(3, 0.65, 0.50, 0.60, 0.45, 0.0, 0.0, 0.30, 0.15)
    assert pressures.placed(levels(), stage) == pytest.approx(at_floor)
    # flooded to its top is then no less than that
    assert pressures.flooded(levels(), stage) == pytest.approx(at_floor)


def test_wet_cement_bound_fill_pushes_like_a_liquid_down_to_the_floor() -> None:
    mix = next(each for each in parts().materials.values() if each.cemented)
    weight = mix.unit_weight_saturated
    box = levels({"backfill.material": mix.id})
    # Lift 1 goes from the underside at 1.42 up to 1.27; the wall's foot is the floor at 1.40, pool at 1.13.
    first = Stage(1, 1.42, 1.27, 1.25, 1.13, 0.0, 0.0, 1.5, 0.15)
    assert pressures.fluid(box, first) == pytest.approx(weight * 0.13 - G * 1000 * 0.27)
    # Above a pool at its working level the whole height counts: lift 9, 0.05 up to … 0.30, pool at 0.12
    last = Stage(9, 0.30, 0.05, 0.12, 0.12, 0.0, 0.0, 1.5, 0.15)
    assert pressures.fluid(box, last) == pytest.approx(weight * 0.25 - G * 1000 * 0.18)
    worked = results({"backfill.material": mix.id, **EVEN})
    fluid = row(worked, "fluid")
    assert fluid["outward"] is None
    # The 150 mm of lift 8, from 0.37 up to 0.22, pool 0.12: at 0.37, or lift 1's at the floor.
    least = max(weight * 0.15 - G * 1000 * 0.25, weight * 0.13 - G * 1000 * 0.27)
    assert fluid["inward"] == pytest.approx(least)
    assert results(DRY)["wall.fluid"].value is None
    assert results(DRY)["wall.fluid"].reason == "this backfill is never liquid"


@pytest.mark.parametrize(
    ("limit", "passes", "inward", "verdict"),
    [
        (None, 1, 4015.468, "cannot tell"),
        ("4.1 kPa", 1, 4015.468, "ok"),
        ("4.0 kPa", 2, 2400.0, "watch"),
        ("2.4 kPa", 2, 2400.0, "watch"),
        ("2.3 kPa", 1, 4015.468, "stop"),
    ],
)
def test_the_wet_beam_in_one_pass_or_two(limit: str | None, passes: int, inward: float, verdict: str) -> None:
    # Whole, 200 mm: 24·0.20 − 9.80665·0.08 = 4.0155 kPa. Halves: the lower from 0.10 to 0.20 gives at most
    # 24·0.10 − 9.80665·0.08 = 1.6155, the upper 24·0.10 = 2.4 with no water behind it.
    changes: dict[str, Any] = dict(DRY)
    if limit:
        changes["shell.wall_limit"] = {"inward": limit}
    worked = results(changes)
    beam = row(worked, "beam")
    assert (beam["outward"], beam["passes"]) == (None, passes)
    assert beam["inward"] == pytest.approx(inward)
    assert worked["wall.beam"].verdict == verdict
    assert ("two passes" in worked["wall.beam"].reason) == (verdict == "watch")


def test_how_hard_the_fill_must_push_back() -> None:
    box = results({"ring_beam.depth": "220 mm"})
    # Lift 2 (top 1.12, pool 0.98): 9.80665·0.42/(16·0.28) = 0.9194; every later lift asks less.
    assert box["wall.k_needed"].si == pytest.approx(9.80665 * 0.42 / (16 * 0.28))
    assert box["wall.k_needed"].verdict == "ok"
    # Lifts of 100 mm: 2·100 − 20 mm of fill at the floor: 9.80665·0.32/(16·0.18) = 1.0896.
    thin = results({**EVEN, "backfill.lift": "100 mm"})
    assert thin["wall.k_needed"].si == pytest.approx(9.80665 * 0.32 / (16 * 0.18))
    assert thin["wall.k_needed"].verdict == "watch"
    assert "at lift 2 the pool leans on the fill" in thin["wall.k_needed"].reason


WITHIN = {"outward": "4.4 kPa", "inward": "7 kPa"}  # ahead 4.217 out; flooded 6.564 in


def test_within_the_makers_limit_every_wall_is_ok() -> None:
    worked = results({**DRY, "shell.wall_limit": WITHIN})
    for name in ("placed", "flooded", "fluid", "ahead", "beam"):
        assert worked[f"wall.{name}"].verdict == "ok", name


def test_without_a_limit_the_push_is_said_as_water_and_not_judged() -> None:
    worked = results(EVEN)
    for name in ("placed", "flooded", "ahead", "beam"):
        assert worked[f"wall.{name}"].verdict == "cannot tell", name
        assert worked[f"wall.{name}"].reason.endswith("; the maker gives no limit for this wall")
        assert worked[f"wall.{name}"].reason.count("no limit") == 1
    said = worked["wall.placed"].reason
    assert "at lift 2 the pool pushes the wall out like 290 mm of water" in said
    # 5 K0 − 0.981 = 1.151 kPa is 117.4 mm, said on the safe side
    assert "at lift 8 the fill pushes the wall in like 120 mm of water" in said
    assert "kPa" not in said


def test_a_limit_on_one_side_leaves_the_other_untold() -> None:
    worked = results({**DRY, "shell.wall_limit": {"outward": "5 kPa"}})
    assert worked["wall.placed"].verdict == "cannot tell"
    assert "out" not in worked["wall.placed"].reason  # that side is judged and fine
    over = results({**DRY, "shell.wall_limit": {"outward": "0.5 kPa"}})
    assert over["wall.placed"].verdict == "stop"


def test_flooded_fill_over_the_limit_is_watched_and_pumped() -> None:
    worked = results({**DRY, "shell.wall_limit": {"outward": "5 kPa", "inward": "4.2 kPa"}})
    assert worked["wall.flooded"].verdict == "watch"
    assert "keep the gap pumped" in worked["wall.flooded"].reason
    assert worked["fill.stages"].verdict == "ok"  # a flood is no rule of the schedule


@pytest.mark.parametrize(
    ("limit", "stopped"),
    [
        ({"outward": "2.8 kPa", "inward": "9 kPa"}, "ahead"),
        ({"outward": "9 kPa", "inward": "2.4 kPa"}, "ahead"),  # 2.610 kPa: lift 9, up to 0.05, pool 0.12
        ({"outward": "9 kPa", "inward": "1.3 kPa"}, "placed"),  # 1.348 kPa
        ({"outward": "9 kPa", "inward": "1.3 kPa"}, "beam"),
    ],
)
def test_a_push_over_the_limit_stops_the_job(limit: dict[str, str], stopped: str) -> None:
    worked = results({**DRY, "shell.wall_limit": limit})
    assert worked[f"wall.{stopped}"].verdict == "stop"
    assert "more than the maker allows" in worked[f"wall.{stopped}"].reason or stopped == "beam"
