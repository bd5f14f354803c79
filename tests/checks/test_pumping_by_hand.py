"""Inflow, mound, duty and drawdown, worked on paper for the box.

Groundwater at 550 mm, bedding base 1500 mm, pit base 1800 mm, reach 1700 mm below the rim; base 6.62 m
by 3.62 m; the dig upright. Ground of 1e-7, 1e-6 and 1e-5 m/s; bedding of 1e-3, 1e-2 and 1e-1.
"""

from __future__ import annotations

import math
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from builder.calc import pump, wells
from builder.checks import Results
from builder.checks.pumping import inflow_class
from tests.checks.by_hand import results
from tests.checks.drawn_at_random import jobs

FEW = settings(max_examples=8, deadline=None)
R_E = math.sqrt(6.62 * 3.62 / math.pi)
DISC = 32 * math.sin(math.pi / 32)  # a disc of radius 1 in 64 chords
A, B = 6.02, 3.02
GAP = 2 * (A + B) * 0.3 + DISC * 0.3**2
BASE = A * B + GAP
DRY_FOOT = {"standpipe.pit": "none", "standpipe.foot_below_underside": "15 mm"}


def by_hand(k: float, s: float, saturated: float) -> float:
    """The larger of Dupuit-Thiem and 4·k·r·s, the depth left never under 0."""
    left = max(saturated - s, 0.0)
    outer = R_E + 3000 * s * math.sqrt(k)
    sideways = math.pi * k * (saturated**2 - left**2) / (math.log(outer) - math.log(R_E))
    return max(sideways, 4 * k * R_E * s)


@pytest.mark.parametrize(
    ("changes", "s", "saturated"),
    [
        # held to the pit's base: s = 1800 − 550; aquifer 1.5·(1.45 + 1.25) = 4.05 m below the ground,
        # 4.10 m below the rim
        ({}, 1.25, 4.10 - 0.55),
        # no pit: held to the bedding base
        (DRY_FOOT, 0.95, 1.5 * (1.45 + 0.95) + 0.05 - 0.55),
        # a sump of 200 mm lies over the pit's base of 300 mm; without the pit it counts itself
        ({"sump": {"depth": "200 mm", "width": "400 mm", "fill": "stone"}}, 1.25, 4.10 - 0.55),
        (
            {**DRY_FOOT, "sump": {"depth": "200 mm", "width": "400 mm", "fill": "stone"}},
            1.15,
            1.5 * (1.45 + 1.15) + 0.05 - 0.55,
        ),
        # over the sump's base, under the bedding base: held in the sump alone
        (
            {
                **DRY_FOOT,
                "sump": {"depth": "200 mm", "width": "400 mm", "fill": "stone"},
                "ground.groundwater": "1.55 m",
            },
            0.10,
            1.5 * (1.45 + 0.10) + 0.05 - 1.60,
        ),
        # the aquifer's base is given: 6 m below the ground; or 1.3 m, over the level that is held
        ({"ground.aquifer_base": "6 m"}, 1.25, 6.05 - 0.55),
        ({"ground.aquifer_base": "1.3 m"}, 1.25, 1.35 - 0.55),
        # dug 60 mm too deep: the dig's depth counts in the aquifer's, not in what is held
        ({"excavation.overdug": "60 mm"}, 1.25, 1.5 * (1.51 + 1.25) + 0.05 - 0.55),
        # at ground level
        ({"ground.groundwater": "0 m"}, 1.75, 1.5 * (1.45 + 1.75) + 0.05 - 0.05),
    ],
)
def test_the_inflow_is_the_larger_of_sideways_and_from_below(
    changes: dict[str, Any], s: float, saturated: float
) -> None:
    number = results(changes)["drawdown.inflow"]
    assert number.inputs["drawdown"].value == pytest.approx(s)
    assert number.inputs["saturated"].value == pytest.approx(saturated)
    assert number.low == pytest.approx(by_hand(1e-7, s, saturated), rel=1e-9)
    assert number.si == pytest.approx(by_hand(1e-6, s, saturated), rel=1e-9)
    assert number.high == pytest.approx(by_hand(1e-5, s, saturated), rel=1e-9)


def test_both_ways_in_count_for_the_box(box: Results) -> None:
    # typical: π·1e-6·(3.55² − 2.30²)/ln(1 + 3.75/2.7619) = 2.678e-5, over 4·1e-6·2.7619·1.25 = 1.381e-5
    assert box["drawdown.inflow"].si == pytest.approx(2.678e-5, rel=2e-4)
    # high: π·1e-5·7.3125/ln(1 + 11.859/2.7619) = 1.3787e-4, just under 4·1e-5·2.7619·1.25 = 1.3810e-4
    assert box["drawdown.inflow"].high == pytest.approx(4e-5 * R_E * 1.25, rel=1e-12)


@pytest.mark.parametrize(
    ("radius", "outer", "s", "saturated", "k", "potential"),
    [
        # thiem([r], R, k, rate=-1e-5) of anaflow 1.2.0, a public groundwater library: the drawdown in a
        # layer of transmissivity k is, for Dupuit's flow at the same rate, half the fall of h squared
        (2.761902503069729, 6.511902503069729, 1.25, 3.55, 1e-6, 1.3650908890943514),
        (3.9894, 33.9894, 1.0, 6.0, 1e-4, 0.03409748022550242),
        (3.2, 56.86563145999496, 0.8, 9.0, 5e-4, 0.009159495356684031),
    ],
)
def test_the_inflow_sideways_is_the_librarys_well(
    radius: float, outer: float, s: float, saturated: float, k: float, potential: float
) -> None:
    assert wells.influence_radius(equivalent_radius=radius, drawdown=s, k=k) == pytest.approx(outer)
    ours = wells.inflow(k=k, saturated=saturated, drawdown=s, equivalent_radius=radius)
    assert ours == pytest.approx(1e-5 * (saturated**2 - (saturated - s) ** 2) / 2 / potential, rel=1e-9)


def test_a_drawdown_of_a_hair_lets_in_a_hair() -> None:
    # ln(1 + x) of a tiny x: s²-terms fall away, Q → 2πk·H·r/(3000·√k) sideways
    ours = wells.inflow(k=1e-6, saturated=2.0, drawdown=1e-12, equivalent_radius=2.5)
    assert ours == pytest.approx(2 * math.pi * 1e-6 * 2.0 * 2.5 / (3000 * 1e-3), rel=1e-3)


@pytest.mark.parametrize(
    ("changes", "verdict", "word"),
    [
        ({"ground.groundwater": "1.45 m"}, "ok", "nothing runs in"),  # just at the bedding base
        ({"ground.groundwater": "1.4500000001 m"}, "ok", "nothing runs in"),
        ({"ground.groundwater": "1.4499999 m"}, "ok", "nothing runs in"),  # a tenth of a micron
        ({"ground.groundwater": "2.5 m"}, "ok", "nothing runs in"),
        ({"ground.groundwater": {"not_seen_to": "2 m", "watched_for": "3 d"}}, "ok", "nothing runs in"),
        ({"ground.groundwater": {"not_seen_to": "1 m", "watched_for": "3 d"}}, "cannot tell", "not known"),
    ],
)
def test_where_nothing_runs_in_or_nobody_knows_there_is_no_number(
    changes: dict[str, Any], verdict: str, word: str
) -> None:
    worked = results(changes)
    for key in ("drawdown.inflow", "drawdown.mound_under_floor"):
        assert worked[key].value is None
        assert worked[key].verdict == verdict
        assert word in worked[key].reason


def test_the_most_open_layer_under_the_groundwater_lets_the_water_in() -> None:
    def k(*layers: tuple[str | None, str]) -> float | None:
        given = [({"to": to} if to else {}) | {"soil": soil} for to, soil in layers]
        worked = results({"ground.soil": None, "ground.layers": given})
        return worked["drawdown.inflow"].inputs["k"].value

    # the groundwater stands 0.5 m, the aquifer's base 4.05 m below the ground
    assert k(("0.4 m", "open-ground"), (None, "fair-ground")) == 1e-6
    assert k(("0.6 m", "open-ground"), (None, "fair-ground")) == 1e-3
    assert k(("4 m", "tight-ground"), (None, "open-ground")) == 1e-3
    assert k(("4.1 m", "tight-ground"), (None, "open-ground")) == 1e-8


@pytest.mark.parametrize(
    ("litres_a_minute", "needed"),
    [
        (1.0, "a bucket"),
        (1.1, "a tube pump"),
        (40, "a tube pump"),
        (41, "a hire pump"),
        (600, "a hire pump"),
        (601, "a dewatering contractor"),
    ],
)
def test_an_inflow_is_said_as_what_keeps_up_with_it(litres_a_minute: float, needed: str) -> None:
    assert inflow_class(litres_a_minute / 60000) == needed


def test_a_contractors_inflow_stops_and_any_other_is_watched() -> None:
    assert results({"ground.soil": "tight-ground"})["drawdown.inflow"].verdict == "watch"
    stopped = results({"ground.soil": "open-ground"})["drawdown.inflow"]  # 1e-2 m/s at its high end
    assert stopped.verdict == "stop"
    assert "contractor" in stopped.reason


@pytest.mark.parametrize(
    ("ground", "word"),
    [
        ({"highest_known": "0.2 m"}, "highest known level"),
        ({"highest_known": "0.5 m"}, ""),  # as high as today
        ({"tidal": "yes"}, "high tide"),
        ({"tidal": "yes", "highest_known": "0.2 m"}, "highest known level"),
    ],
)
def test_a_water_that_can_stand_higher_is_said_to_let_more_in(ground: dict[str, str], word: str) -> None:
    number = results({f"ground.{key}": value for key, value in ground.items()})["drawdown.inflow"]
    assert number.si == pytest.approx(by_hand(1e-6, 1.25, 3.55))
    assert number.reason.endswith(word or "keep up with the water")
    assert word in number.reason


def test_a_dip_under_the_aquifers_base_is_a_contradiction() -> None:
    dip = {"on": "2026-12-01", "dip": "1.2 m", "mark": "build"}
    worked = results({"ground.aquifer_base": "1 m", "as_built": {"dips": [dip]}})
    assert worked["drawdown.inflow"].value is None
    assert worked["drawdown.inflow"].verdict == "cannot tell"
    assert "one of them is wrong" in worked["drawdown.inflow"].reason
    assert worked["drawdown.time"].verdict == "cannot tell"


def test_the_water_mounds_over_the_low_permeability_of_the_bedding(box: Results) -> None:
    # 1.51 m from the valve to the backfill; h = 1.51·√(Q/(base·1e-3))
    number = box["drawdown.mound_under_floor"]
    inflow = box["drawdown.inflow"]
    for case, q in (("low", inflow.low), ("value", inflow.si), ("high", inflow.high)):
        assert q is not None
        assert getattr(number, case) == pytest.approx(1.51 * math.sqrt(q / (BASE * 1e-3)), rel=1e-6)
    # 115 mm at the high end, over 80 mm of bedding
    assert number.verdict == "watch"
    assert results({"ground.soil": "tight-ground"})["drawdown.mound_under_floor"].verdict == "ok"
    unknown = results({"bedding.material": "riddle"})["drawdown.mound_under_floor"]
    assert (unknown.value, unknown.verdict) == (None, "cannot tell")


# --- the pump ------------------------------------------------------------------------------------


def hose(bore: str, length: str, rise: str, *curve: tuple[str, str], body: str = "50 mm") -> Results:
    return results(
        {
            "pump": {
                "body": body,
                "min_depth": "50 mm",
                "curve": [list(point) for point in curve],
                "hose": {"bore": bore, "length": length, "rise": rise},
            }
        }
    )


def test_a_slow_pump_meets_its_hose_where_a_quadratic_says() -> None:
    # Laminar: f = 64/Re, so friction is 128·ν·L·Q/(π·g·D⁴); fittings and exit 2.5·v²/2g; the pump
    # gives 7 m − 7 m/(1.3 L/min)·Q, straight. 1700 mm of reach and 500 mm of rise.
    worked = hose("12 mm", "100 m", "0.5 m", ("0 L/min", "7 m"), ("1.3 L/min", "0 m"))
    bore, g = 0.012, 9.80665
    area = math.pi / 4 * bore**2
    a = 2.5 / (2 * g * area**2)
    b = 128 * 1.0034e-6 * 100 / (math.pi * g * bore**4) + 7 / (1.3e-3 / 60)
    c = 7 - (1.70 + 0.5)
    flow = (-b + math.sqrt(b * b + 4 * a * c)) / (2 * a)
    assert 4 * flow / (math.pi * bore * 1.0034e-6) < 2300
    assert worked["pump.duty_flow"].si == pytest.approx(flow, rel=1e-9)
    assert worked["pump.duty_head"].si == pytest.approx(7 - 7 * flow / (1.3e-3 / 60), rel=1e-9)


def test_a_fast_pump_meets_its_hose_where_friction_takes_what_is_left(box: Results) -> None:
    # the default pump: 7 m, less 2 m for each 60 L/min; 15 m of 25 mm hose, 2.2 m up. At 56.9 L/min it
    # gives 5.104 m; v is 1.931 m/s and Re 48,120. Colebrook's f below by its own fixed point.
    flow = box["pump.duty_flow"].si
    speed = flow / (math.pi / 4 * 0.025**2)
    reynolds = speed * 0.025 / 1.0034e-6
    f = 0.02
    for _ in range(60):
        f = (-2 * math.log10(1.5e-6 / 0.025 / 3.7 + 2.51 / (reynolds * math.sqrt(f)))) ** -2
    asked = 2.2 + (f * 15 / 0.025 + 2.5) * speed**2 / (2 * 9.80665)
    assert asked == pytest.approx(7 - 2 * flow / 1e-3, abs=1e-6)
    assert box["pump.duty_head"].si == pytest.approx(asked, abs=1e-6)


def test_a_pump_that_cannot_lift_so_high_stops() -> None:
    worked = hose("25 mm", "15 m", "5.4 m", ("0 L/min", "7 m"), ("60 L/min", "5 m"))
    for key in ("pump.duty_flow", "pump.duty_head"):
        assert worked[key].value is None
        assert worked[key].verdict == "stop"
        assert "7,100 mm" in worked[key].reason
    assert worked["drawdown.time"].value is None


def test_a_pump_whose_curve_ends_early_runs_at_its_end() -> None:
    worked = hose("50 mm", "2 m", "0 m", ("0 L/min", "7 m"), ("30 L/min", "6 m"))
    assert worked["pump.duty_flow"].si == pytest.approx(0.5e-3)
    assert worked["pump.duty_head"].si == pytest.approx(6.0)


def test_a_pump_is_throttled_to_what_the_tube_gives(box: Results) -> None:
    assert box["pump.throttle_to"].si == pytest.approx(YIELD)
    assert "1.1 litres a minute: more draws fines" in box["pump.throttle_to"].reason
    # a pump that gives less than the tube is left alone
    weak = hose("25 mm", "15 m", "0.5 m", ("0 L/min", "7 m"), ("1 L/min", "0 m"))
    assert weak["pump.throttle_to"].reason == ""
    for state, verdict in (("2 m", "ok"), ("1 m", "cannot tell")):
        water = {"not_seen_to": state, "watched_for": "3 d"}
        number = results({"ground.groundwater": water})["pump.throttle_to"]
        assert (number.value, number.verdict) == (None, verdict)


def test_the_curves_meet_at_the_duty_and_pass_through_the_pumps_own_points(box: Results) -> None:
    rows = {round(flow, 6): (gives, asks) for flow, gives, asks in box["pump.curves"].table.rows}
    # by hand: 2200 mm up at no flow, where nothing rubs; the default pump gives 7, 5 and 0 m
    assert rows[0.0] == pytest.approx((7.0, 2.2))
    assert rows[60.0][0] == pytest.approx(5.0)
    assert rows[120.0][0] == pytest.approx(0.0)
    gives, asks = rows[round(box["pump.duty_flow"].si * 60e3, 6)]
    assert gives == pytest.approx(asks, abs=1e-6)
    assert gives == pytest.approx(box["pump.duty_head"].si)
    # the flow to throttle to has a row of its own, on the line from 7 m at no flow to 5 m at 60 L/min
    throttled = YIELD * 60e3
    assert rows[round(throttled, 6)][0] == pytest.approx(7 - 2 * throttled / 60)


def test_a_pump_that_cannot_lift_so_high_has_curves_that_do_not_meet() -> None:
    curves = hose("25 mm", "15 m", "5.4 m", ("0 L/min", "7 m"), ("60 L/min", "5 m"))["pump.curves"]
    assert curves.verdict == "stop"
    assert all(gives < asks for _, gives, asks in curves.table.rows)


# --- the time ------------------------------------------------------------------------------------

# The tube's foot at 1750 mm, the gravel's water held at the bedding base of 1500. With the water in the
# tube at 1512 the lowest ten rings of slots, at 12.5 to 237.5 mm, are under it and the gravel gives
# F(238 mm)·2e-3·12 mm, a little less than those slots pass: 30 · 30 · 1.5 mm², half open, at 30 mm/s. A
# millimetre lower the tenth ring is out: 27 slots, 1.82e-5.
YIELD = 2 * math.pi * 0.238 / math.asinh(0.238 / 0.08) * 2e-3 * 0.012
assert 27 * 0.03 * 0.0015 * 0.5 * 0.03 < YIELD < 30 * 0.03 * 0.0015 * 0.5 * 0.03
# pore water: gap from 550 to 1420 mm in the backfill (0.3), the whole dig from there to 1500 mm (0.4)
PORES = 0.3 * GAP * (1.42 - 0.55) + 0.4 * BASE * 0.08


def test_the_gap_is_pumped_down_by_what_the_tube_gives_over_what_runs_in() -> None:
    worked = results({"ground.soil": "tight-ground"})
    inflow = by_hand(1e-7, 1.25, 3.55)
    assert worked["drawdown.time"].si == pytest.approx(PORES / (YIELD - inflow), rel=1e-6)


def test_a_weak_pump_takes_longer_than_the_tube_would() -> None:
    changes = {
        "ground.soil": "tight-ground",
        "pump": {"body": "50 mm", "min_depth": "50 mm", "curve": [["0 L/min", "7 m"], ["0.9 L/min", "6 m"]]},
    }
    worked = results(changes)
    assert worked["pump.duty_flow"].si == pytest.approx(0.9e-3 / 60)
    inflow = by_hand(1e-7, 1.25, 3.55)
    assert worked["drawdown.time"].si == pytest.approx(PORES / (0.9e-3 / 60 - inflow), rel=1e-6)


def test_water_that_stands_in_the_bedding_alone_leaves_its_pores() -> None:
    worked = results({"ground.soil": "tight-ground", "ground.groundwater": "1.42 m"})  # 1470 mm
    inflow = worked["drawdown.inflow"].high
    assert inflow is not None
    assert worked["drawdown.time"].si == pytest.approx(0.4 * BASE * 0.03 / (YIELD - inflow), rel=1e-6)


@pytest.mark.parametrize(
    ("changes", "verdict", "word"),
    [
        ({}, "cannot tell", "than the tube gives"),  # 8.3 L/min runs in at most, the tube gives 1.2
        (
            {
                "pump": {"body": "50 mm", "curve": [["0 L/min", "7 m"], ["0.3 L/min", "6 m"]]},
                "ground.soil": "tight-ground",
            },
            "cannot tell",
            "than the pump moves",
        ),
        (
            {
                "pump": {"body": "50 mm", "curve": [["0 L/min", "2 m"], ["60 L/min", "1 m"]]},
                "ground.soil": "tight-ground",
            },
            "cannot tell",
            "cannot lift",
        ),
        ({"ground.groundwater": "1.6 m"}, "ok", "nothing to pump down"),  # under the dig, over the reach
        ({"ground.groundwater": "2 m"}, "ok", "below what the pump can reach"),
        ({"ground.groundwater": {"not_seen_to": "1 m"}}, "cannot tell", "not known"),
        ({"backfill.material": "riddle", "ground.soil": "tight-ground"}, "cannot tell", "known"),
        (  # reach 1495 mm, the bedding base at 1500
            {"standpipe.foot_below_underside": "125 mm", "ground.soil": "tight-ground"},
            "cannot tell",
            "cannot hold the water under the bedding",
        ),
    ],
)
def test_a_time_that_cannot_be_had_says_why(changes: dict[str, Any], verdict: str, word: str) -> None:
    number = results(changes)["drawdown.time"]
    assert number.value is None
    assert number.verdict == verdict
    assert word in number.reason


# --- for any job ---------------------------------------------------------------------------------


@FEW
@given(jobs(), st.integers(0, 2500), st.integers(1, 500))
def test_more_groundwater_lets_more_in(changes: dict[str, Any], depth: int, rise: int) -> None:
    tube = {
        "standpipe.pit": {"depth": "300 mm", "width": "400 mm"},
        "standpipe.foot_below_underside": "200 mm",
    }
    lower = results({**changes, **tube, "ground.groundwater": f"{depth} mm"})["drawdown.inflow"]
    higher = results({**changes, **tube, "ground.groundwater": f"{max(depth - rise, 0)} mm"})[
        "drawdown.inflow"
    ]
    if lower.value is not None:
        assert higher.si >= lower.si
        assert (higher.low or 0) >= (lower.low or 0)
        assert (higher.high or 0) >= (lower.high or 0)


@given(
    st.floats(-9, -2), st.floats(0.0, 2.0), st.floats(0.01, 1.5), st.floats(-1.5, 6.0), st.floats(1.0, 6.0)
)
def test_held_to_the_same_level_over_the_same_base_more_groundwater_never_lets_less_in(
    log_k: float, fall: float, more: float, under: float, radius: float
) -> None:
    # `under`: how far the aquifer's base lies under the level held; below 0 it lies over it
    def q(drawdown: float) -> float:
        return wells.inflow(
            k=10**log_k, saturated=drawdown + under, drawdown=drawdown, equivalent_radius=radius
        )

    fall = max(fall, 0.01 - min(under, 0.0))  # some water stands over the base
    assert q(fall + more) >= q(fall) * (1 - 1e-9)


def test_water_held_below_the_aquifers_base_reaches_no_further_than_its_own_depth() -> None:
    # By hand: 1.2 m of water in 1e-4 m/s over a base 0.8 m above the level held, r_e 3 m:
    # pi·1e-4·1.44/ln(1 + 3000·1.2·0.01/3) = 4.524e-4/2.5649 = 1.7637e-4; from below 4·1e-4·3·2 is more.
    given = {"saturated": 1.2, "equivalent_radius": 3.0}
    assert wells.inflow(k=1e-4, drawdown=2.0, **given) == pytest.approx(2.4e-3)
    # In 1e-8 m/s: pi·1e-8·1.44/ln(1 + 3000·1.2·1e-4/3) = 4.5239e-8/0.113329 = 3.9918e-7; below 2.4e-7.
    deep = wells.inflow(k=1e-8, drawdown=2.0, **given)
    assert deep == pytest.approx(3.9918e-7, rel=1e-4)
    assert deep == wells.inflow(k=1e-8, drawdown=1.2, **given)


@FEW
@given(
    st.floats(-9, -2), st.floats(1.01, 5.0), st.floats(0.01, 3.0), st.floats(0.5, 8.0), st.floats(1.0, 6.0)
)
def test_more_open_ground_and_more_drawdown_let_more_in(
    log_k: float, times: float, s: float, saturated: float, radius: float
) -> None:
    def q(k: float, drawdown: float) -> float:
        return wells.inflow(k=k, saturated=saturated, drawdown=drawdown, equivalent_radius=radius)

    k = 10**log_k
    assert q(k * times, s) > q(k, s) > 0
    assert q(k, s) >= 4 * k * radius * s


@given(
    st.floats(0.010, 0.08), st.floats(1.01, 2.0), st.floats(1, 60), st.floats(0.1, 6.0), st.floats(0.05, 1.0)
)
@settings(max_examples=60, deadline=None)
def test_a_bigger_hose_moves_more_and_a_longer_or_higher_one_less(
    bore: float, times: float, length: float, static: float, more: float
) -> None:
    curve = [(0.0, 7.0), (1e-3, 5.0), (2e-3, 0.0)]

    def flow(bore: float, length: float, static: float) -> float:
        found = pump.duty(curve, static=static, bore=bore, length=length)
        assert found is not None
        return found[0]

    now = flow(bore, length, static)
    slack = 1e-12
    assert flow(bore * times, length, static) >= now - slack
    assert flow(bore, length * times, static) <= now + slack
    assert flow(bore, length, static + more if static + more < 7 else 6.99) <= now + slack
