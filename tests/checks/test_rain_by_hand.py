"""Rain into the gap, worked on paper: by the upright box's even gap, and by a sloped dig's by level.

Groundwater at 550 mm, ground at 50 mm, underside at 1420 mm; pores of the backfill 0.3; 60 m2 shed
rain into the gap unless the job says otherwise. The watch line of the full box stands at 411.3 mm.
"""

from __future__ import annotations

import math
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import quad
from scipy.optimize import brentq

from builder.checks import Results
from tests.checks.by_hand import results
from tests.checks.drawn_at_random import jobs

FEW = settings(max_examples=8, deadline=None)
DISC = 32 * math.sin(math.pi / 32)  # a disc of radius 1 in 64 chords
A, B = 6.02, 3.02
GAP = 2 * (A + B) * 0.3 + DISC * 0.3**2
WATCH = 1.42 - (800 + 18000 * 1.28) / 1300 / (A * B)
SLOPED = {"excavation": {"batter": "45 deg"}}


def sloped_gap(z: float) -> float:
    """Gap area of the dig at 45 degrees: 300 mm at the base of 1500 mm, wider by as much as it is higher."""
    s = 0.3 + 1.5 - z
    return 2 * (A + B) * s + mitred(s)


def mitred(s: float) -> float:
    """The corners: round at the base, in 64 chords, and on from there along straight mitred edges."""
    # moved out by m, each edge gains area m times its length and each turn m²·tan(half the turn): a
    # quarter has 15 turns of a 64th circle, and two of half that where it meets the straight sides
    m = s - 0.3
    chords = 64 * 2 * 0.3 * math.sin(math.pi / 64)
    turns = 4 * (15 * math.tan(math.pi / 64) + 2 * math.tan(math.pi / 128))
    return DISC * 0.09 + chords * m + turns * m * m


@pytest.mark.parametrize(
    ("ground", "per_mm", "some"),
    [
        ({}, (60 + GAP) / (0.3 * GAP), (18 + GAP) / (0.3 * GAP)),
        ({"catchment": "0 m2"}, 1 / 0.3, 1 / 0.3),  # the rain on the gap alone
        (
            {"catchment": "200 m2", "runoff": "0.4"},
            (80 + GAP) / (0.3 * GAP),
            (24 + GAP) / (0.3 * GAP),
        ),
    ],
)
def test_each_millimetre_of_rain_lifts_the_gap_by_what_is_shed_over_its_pores(
    ground: dict[str, str], per_mm: float, some: float
) -> None:
    worked = results({f"ground.{key}": value for key, value in ground.items()})
    assert worked["rain.rise_per_mm"].si == pytest.approx(per_mm, rel=1e-7)
    assert worked["rain.rise_per_mm_30"].si == pytest.approx(some, rel=1e-7)


def test_the_gap_of_a_sloped_dig_counts_with_its_mean_over_the_300_mm_above_the_water() -> None:
    mean = quad(sloped_gap, 0.25, 0.55)[0] / 0.3
    worked = results(SLOPED)
    assert worked["gap.litres_per_100mm"].as_json()["value"] == pytest.approx(100 * 0.3 * mean, rel=1e-6)
    assert worked["rain.rise_per_mm"].si == pytest.approx((60 + mean) / (0.3 * mean), rel=1e-6)


def test_100_mm_of_the_upright_gap_hold_a_tenth_of_its_pores(box: Results) -> None:
    assert box["gap.litres_per_100mm"].unit == "L"
    assert box["gap.litres_per_100mm"].si == pytest.approx(0.1 * 0.3 * GAP, rel=1e-7)


def rise(**ground: Any) -> Results:
    return results({f"ground.{key}": value for key, value in ground.items()})


def test_a_nights_rain_rises_by_its_water_over_the_pores() -> None:
    # 5 mm on 5.7 m2 of gap and 60 m2 beside it: 0.3285 m3 into 0.3·5.706 m2 → 192 mm
    number = rise(rain_overnight="5 mm")["rain.forecast_rise"]
    assert number.si == pytest.approx(0.005 * (60 + GAP) / (0.3 * GAP), rel=1e-6)
    assert number.verdict == "ok"
    assert "195 mm" in number.reason


def test_rain_on_a_sloped_dig_fills_it_level_by_level() -> None:
    water = 0.020 * (60 + sloped_gap(0.05))
    top = brentq(lambda z: 0.3 * quad(sloped_gap, z, 0.55)[0] - water, 0.05, 0.55)
    number = results({**SLOPED, "ground.rain_overnight": "20 mm"})["rain.forecast_rise"]
    assert number.si == pytest.approx(0.55 - top, abs=1e-6)
    assert number.verdict == "ok"


@pytest.mark.parametrize(
    ("ground", "room"),
    [
        ({"rain_overnight": "50 mm"}, 0.55 - 0.05),  # from the dip to the ground, no more
        ({"groundwater": "3 m", "rain_overnight": "200 mm"}, 1.42 - 0.05),  # a dry dig: from the underside
        ({"groundwater": {"not_seen_to": "3 m", "watched_for": "3 d"}, "rain_overnight": "200 mm"}, 1.37),
        ({"groundwater": {"not_seen_to": "1 m"}, "rain_overnight": "200 mm"}, 1.37),  # not known: the same
        ({"groundwater": "0 m"}, 0.0),  # at the ground already
    ],
)
def test_rain_fills_the_gap_to_the_ground_and_no_further(ground: dict[str, Any], room: float) -> None:
    number = rise(**ground)["rain.forecast_rise"]
    assert number.si == pytest.approx(room, abs=1e-9)
    assert number.verdict == "watch"
    assert "to the ground" in number.reason


def test_a_dip_above_the_ground_leaves_no_gap_to_fill() -> None:
    flooded = {"on": "2026-12-01", "dip": "-20 mm", "mark": "build"}
    worked = results({"as_built": {"dips": [flooded]}})
    assert worked["level.groundwater"].si == pytest.approx(-0.02)
    assert worked["rain.forecast_rise"].si == 0.0


def test_the_rain_to_the_watch_line_fills_the_pores_up_to_it(box: Results) -> None:
    number = box["rain.to_watch"]
    assert number.si == pytest.approx(0.3 * GAP * (0.55 - WATCH) / (60 + GAP), rel=1e-6)
    assert number.verdict == "watch"  # 3.6 mm, and a rain of 25 mm is one to read the tube after
    # from a dry dig: 1420 − 411 mm of the gap; 26 mm where next to nothing is shed into it
    dry = rise(groundwater="3 m", catchment="60 m2")["rain.to_watch"]
    assert dry.si == pytest.approx(0.3 * GAP * (1.42 - WATCH) / (60 + GAP), rel=1e-6)
    alone = rise(groundwater="3 m", catchment="5 m2")["rain.to_watch"]
    assert alone.si == pytest.approx(0.3 * GAP * (1.42 - WATCH) / (5 + GAP), rel=1e-6)
    assert alone.verdict == "ok"


def test_the_rain_to_the_watch_line_of_a_sloped_dig_is_summed_by_level() -> None:
    number = results(SLOPED)["rain.to_watch"]
    pores = 0.3 * quad(sloped_gap, WATCH, 0.55)[0]
    assert number.si == pytest.approx(pores / (60 + sloped_gap(0.05)), rel=1e-5)


def test_water_over_the_watch_line_needs_no_rain() -> None:
    number = rise(groundwater="300 mm")["rain.to_watch"]
    assert number.si == 0.0
    assert number.verdict == "watch"


def test_a_watch_line_above_the_ground_is_never_reached_by_rain() -> None:
    # 5.4 t of shell: SF 1.3 at 1.42 − 28.44/1.3/18.18 = 217 mm, so 150 mm under the pool: 270 mm; the
    # ground lies at 280 mm
    worked = results({"shell.mass": "5400 kg", "levels.rim_above_ground": "280 mm"})
    assert worked["uplift.watch_groundwater"].si == pytest.approx(0.270)
    assert worked["rain.to_watch"].value is None
    assert worked["rain.to_watch"].verdict == "ok"
    assert "above the ground" in worked["rain.to_watch"].reason


def test_an_unknown_groundwater_makes_the_rain_to_the_watch_line_a_guess() -> None:
    number = rise(groundwater={"not_seen_to": "1 m"})["rain.to_watch"]
    assert number.verdict == "cannot tell"
    assert "dry dig" in number.reason


def test_without_pores_there_is_no_rise() -> None:
    worked = results({"backfill.material": "riddle"})
    for key in (
        "rain.rise_per_mm",
        "rain.rise_per_mm_30",
        "rain.forecast_rise",
        "rain.to_watch",
        "gap.litres_per_100mm",
    ):
        assert (worked[key].value, worked[key].verdict) == (None, "cannot tell"), key
        assert worked[key].reason


@FEW
@given(jobs(), st.integers(0, 120), st.integers(1, 120), st.integers(0, 150), st.integers(1, 150))
def test_more_rain_or_more_catchment_rises_higher(
    changes: dict[str, Any], rain: int, more: int, area: int, wider: int
) -> None:
    def forecast(rain: int, area: int) -> Results:
        shed = {"ground.rain_overnight": f"{rain} mm", "ground.catchment": f"{area} m2"}
        return results({**changes, "backfill.material": "fill", **shed})

    now = forecast(rain, area)
    assert forecast(rain + more, area)["rain.forecast_rise"].si >= now["rain.forecast_rise"].si - 1e-8
    wet = forecast(rain, area + wider)
    assert wet["rain.forecast_rise"].si >= now["rain.forecast_rise"].si - 1e-8
    assert wet["rain.rise_per_mm"].si > now["rain.rise_per_mm"].si
    assert now["rain.rise_per_mm"].si >= now["rain.rise_per_mm_30"].si
    assert 0 <= now["rain.forecast_rise"].si <= now.levels.underside_deep - now.levels.ground + 1e-9
    if wet["rain.to_watch"].value is not None:
        assert wet["rain.to_watch"].si <= now["rain.to_watch"].si + 1e-12
