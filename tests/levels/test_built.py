"""What was measured takes over from the plan: levels worked on paper, in the box and in a demo job."""

from __future__ import annotations

from typing import Any

import pytest

from builder.checks import Results, work
from builder.job import read
from builder.levels import place
from tests.checks.by_hand import levels, results
from tests.checks.demo import FOLDER


@pytest.fixture(scope="module")
def mallee() -> Results:
    return work(place(read(FOLDER / "mallee-lane.yml")))


def built(**measured: Any) -> dict[str, Any]:
    return {"as_built": measured}


def dips(*given: tuple[str, str, str]) -> dict[str, Any]:
    return built(dips=[{"on": on, "dip": dip, "mark": mark} for on, dip, mark in given])


def test_the_demo_jobs_record_gives_its_levels(mallee: Results) -> None:
    # tube 2.33 m long, its top 20 mm above the rim; water 112 mm, paving 50 mm; the last dip 2.24 m from
    # the top. Planned: floor 1900 + 9 mm, bedding 60 mm, pit 350 mm, foot 50 mm above its base: 2269 mm.
    expected = {
        "level.tube_top": -0.020,
        "level.tube_foot": -0.020 + 2.33,
        "level.water": 0.112,
        "level.paving": -0.050,
        "level.groundwater": -0.020 + 2.24,
        "standpipe.length": 2.33,
        "standpipe.build_mark": 2.31,
        "standpipe.reach": 2.31 - mallee.job.spec.pump.min_depth,
        # the link test came before: by the planned foot, 50 mm above the pit's base
        "level.underside_deep": 1.909,
    }
    assert {key: mallee[key].si for key in expected} == pytest.approx(expected)
    assert mallee["proof.litres"].inputs["foot_above_base"].value == pytest.approx(0.050)
    for line in ("watch", "act"):
        build = mallee[f"uplift.{line}_dip_build"].si
        assert mallee[f"uplift.{line}_dip"].si == pytest.approx(build + 0.020)
    assert mallee.groundwater.state == "seen"  # by the dip, where the hole of the spec stayed dry
    assert "18 November 2026" in mallee["level.groundwater"].reason
    assert mallee["level.groundwater"].formula == "mark + dip"


def test_a_level_that_was_not_measured_stays_as_planned() -> None:
    plain, measured = levels(), levels(built(water_below_rim="130 mm"))
    assert measured.water == pytest.approx(0.130)
    for name in ("paving", "tube_top", "tube_foot", "groundwater", "overflow", "peg", "ground"):
        assert getattr(measured, name) == getattr(plain, name), name


def test_a_paving_laid_higher_lifts_a_tube_top_that_was_not_measured() -> None:
    # 30 mm below a lid at 60 mm above the rim
    placed = levels(built(paving_above_rim="60 mm"))
    assert placed.paving == pytest.approx(-0.060)
    assert placed.tube_top == pytest.approx(0.030 - 0.060)
    assert placed.tube_foot == pytest.approx(1.75)


def test_a_measured_tube_ends_its_length_under_its_top() -> None:
    assert levels(built(tube_length="1.7 m")).tube_foot == pytest.approx(-0.010 + 1.7)  # the planned top
    both = levels(built(tube_length="1.7 m", tube_top_above_rim="-25 mm"))
    assert (both.tube_top, both.tube_foot) == pytest.approx((0.025, 1.725))


def test_the_rims_readings_move_no_level() -> None:
    places = (("0 m", "0 m"), ("6 m", "0 m"), ("6 m", "3 m"), ("0 m", "3 m"))
    rim = [{"at": list(at), "below_peg": "510 mm"} for at in places]
    assert levels(built(rim=rim)).peg == levels().peg == -0.5


@pytest.mark.parametrize(
    ("given", "depth"),
    [
        # the build mark is the rim; the top of the tube stands 10 mm above it
        ([("2026-11-01", "900 mm", "build")], 0.900),
        ([("2026-11-01", "900 mm", "top")], 0.890),
        # the latest day counts, however they are listed
        ([("2026-11-09", "700 mm", "top"), ("2026-11-02", "900 mm", "build")], 0.690),
        # of one day's dips the last written
        ([("2026-11-09", "700 mm", "top"), ("2026-11-09", "900 mm", "build")], 0.900),
    ],
)
def test_the_latest_dip_is_todays_groundwater(given: list[tuple[str, str, str]], depth: float) -> None:
    for water in ("0.5 m", {"not_seen_to": "1 m"}, {"not_seen_to": "3 m", "watched_for": "5 d"}):
        worked = results({**dips(*given), "ground.groundwater": water})
        assert worked["level.groundwater"].si == pytest.approx(depth)
        assert worked["level.groundwater"].verdict == "ok"
        assert worked.groundwater.used == pytest.approx(depth)


def test_a_dip_moves_what_hangs_on_the_groundwater() -> None:
    by_dip = results(dips(("2026-11-01", "760 mm", "top")))
    by_hole = results({"ground.groundwater": "700 mm"})  # 750 mm below the rim, the same water
    for key in ("uplift.safety_today", "drawdown.inflow", "rain.forecast_rise", "standpipe.yield"):
        assert by_dip[key].si == pytest.approx(by_hole[key].si), key


def test_a_tube_dry_to_its_foot_gives_no_level() -> None:
    # the foot is 1.76 m under the top
    for dip in ("1.76 m", "1.7595 m", "2.4 m"):
        worked = results(dips(("2026-11-01", dip, "top")))
        assert worked["level.groundwater"].si == pytest.approx(0.55), dip  # as the spec says
    assert results(dips(("2026-11-01", "1.75 m", "top")))["level.groundwater"].si == pytest.approx(1.74)


def test_a_later_dry_dip_takes_an_earlier_wet_one_back() -> None:
    worked = results(dips(("2026-11-01", "900 mm", "top"), ("2026-11-05", "2 m", "top")))
    assert worked["level.groundwater"].si == pytest.approx(0.55)


def test_a_tube_that_ends_over_the_underside_stops() -> None:
    # 1.42 m: the underside
    short = results(built(tube_length="1.4 m", tube_top_above_rim="0 mm"))["level.tube_foot"]
    assert short.verdict == "stop"
    assert "20 mm above the shell's underside" in short.reason
    assert results(built(tube_length="1.43 m"))["level.tube_foot"].verdict == "ok"
    assert results()["level.tube_foot"].verdict == "ok"


def test_a_dip_above_the_ground_is_water_over_the_ground() -> None:
    worked = results(dips(("2026-11-01", "-100 mm", "build")))
    assert worked["level.groundwater"].si == pytest.approx(-0.1)
    assert worked["uplift.safety_today"].verdict == "stop"
    first = worked["uplift.lowest_water"].table.rows[0]
    assert first[0] == pytest.approx(-0.1)
    assert worked["uplift.lowest_water"].verdict == "stop"


def test_the_default_pit_and_foot_follow_the_specs_groundwater_not_the_dip() -> None:
    # Water far under the bedding: no pit, foot 15 mm under the underside; a dip found more since.
    planned = {"standpipe.pit": None, "standpipe.foot_below_underside": None, "ground.groundwater": "3 m"}
    worked = levels({**planned, **dips(("2026-11-01", "900 mm", "build"))})
    assert worked.groundwater == pytest.approx(0.900)
    assert worked.pit_base is None
    assert worked.tube_foot == pytest.approx(1.42 + 0.015)
