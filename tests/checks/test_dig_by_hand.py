"""The sizes of the dig, who may go into it and what it may not undermine, worked on paper.

The box: 6.02 m by 3.02 m outside, base 300 mm wider all round, at 1500 mm; ground at 50 mm, peg 500 mm
above the rim. The ground of the tests stands at 45 degrees; a deep dig is one of 1.5 m or more.
"""

from __future__ import annotations

import math
from typing import Any

import pytest

from builder.checks import Results
from tests.checks.by_hand import results

DEPTH = 1.50 - 0.05
SLOPED = {"shell.floor": [["0 m", "1.0 m"], ["2.5 m", "1.0 m"], ["4.5 m", "1.6 m"], ["6 m", "1.6 m"]]}


def test_the_upright_dig_is_as_wide_at_the_ground_as_at_the_base(box: Results) -> None:
    expected = {
        "dig.depth_deep": DEPTH,
        "dig.depth_shallow": DEPTH,
        "dig.people": DEPTH,
        "dig.top_length": 6.02 + 2 * 0.3,
        "dig.top_width": 3.02 + 2 * 0.3,
        "dig.check_diagonal": math.sqrt(6.62**2 + 3.62**2),
    }
    assert {key: box[key].si for key in expected} == pytest.approx(expected)


@pytest.mark.parametrize("degrees", [30, 45, 60])
def test_a_sloped_dig_is_wider_at_the_ground_by_its_run_on_both_sides(degrees: int) -> None:
    worked = results({"excavation": {"batter": f"{degrees} deg"}})
    run = DEPTH / math.tan(math.radians(degrees))
    assert worked["dig.top_length"].si == pytest.approx(6.62 + 2 * run)
    assert worked["dig.top_width"].si == pytest.approx(3.62 + 2 * run)
    assert worked["dig.check_diagonal"].si == pytest.approx(math.hypot(6.62, 3.62))  # of the base


def test_stations_stand_every_metre_at_each_bend_and_at_both_ends() -> None:
    worked = results(SLOPED)
    rows = worked["dig.stations"].table.records()
    # 80 mm square to a slope of 0.3 is 80·√1.09 = 83.52 mm down; the bends move towards the shallow end
    # by 80·(√1.09 − 1)/0.3 = 11.74 mm
    down = 0.08 * math.sqrt(1.09)
    bend = 0.08 * (math.sqrt(1.09) - 1) / 0.3
    xs = [-0.31, 0, 1, 2, 2.5 - bend, 3, 4, 4.5 - bend, 5, 6, 6.31]
    assert [row["x"] for row in rows] == pytest.approx(xs, abs=1e-6)
    for row in rows:
        x = float(row["x"])  # type: ignore[arg-type]
        slope = 1.0 + 0.3 * (x - 2.5) + 0.02 + down
        depth = min(max(slope, 1.02 + 0.08), 1.62 + 0.08)
        assert row["below_rim"] == pytest.approx(depth, abs=1e-6)
        assert row["below_peg"] == pytest.approx(depth + 0.5, abs=1e-6)
        assert row["below_ground"] == pytest.approx(depth - 0.05, abs=1e-6)
    assert worked["dig.depth_deep"].si == pytest.approx(1.65)
    assert worked["dig.depth_shallow"].si == pytest.approx(1.05)


def test_overdig_lowers_every_station() -> None:
    plain = results()["dig.stations"].table.records()
    lower = results({"excavation.overdug": "60 mm"})["dig.stations"].table.records()
    for before, after in zip(plain, lower, strict=True):
        assert after["below_peg"] == pytest.approx(float(before["below_peg"]) + 0.06)  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("excavation", "verdict", "word"),
    [
        # 1.45 m deep: not yet a deep dig
        ({"batter": "45 deg"}, "ok", "no steeper"),
        ({"batter": "45.4 deg"}, "ok", "no steeper"),  # half a degree is the pitch of a level
        ({"batter": "46 deg"}, "watch", "steeper than"),
        # 1.50 m: just a deep one
        ({"batter": "45 deg", "overdug": "50 mm"}, "watch", "counts as deep"),
        ({"batter": "45 deg", "overdug": "49 mm"}, "ok", "no steeper"),
        ({"batter": "60 deg", "overdug": "50 mm"}, "stop", "steeper than"),
        # upright, shored
        ({"batter": "none", "shoring": "engineer"}, "watch", "shoring"),
        ({"batter": "none", "shoring": "engineer", "overdug": "50 mm"}, "watch", "shoring"),
    ],
)
def test_who_may_go_into_the_dig(excavation: dict[str, str], verdict: str, word: str) -> None:
    number = results({"excavation": excavation})["dig.people"]
    assert number.verdict == verdict
    assert word in number.reason


def test_the_flattest_of_the_grounds_the_dig_meets_says_how_steep_it_may_be() -> None:
    # soft clay stands at 26.57 degrees (2 to 1); the second layer begins above, or below, the base
    for top, verdict in (("1.4 m", "watch"), ("1.5 m", "ok")):
        layers = [{"to": top, "soil": "fair-ground"}, {"soil": "soft-clay"}]
        worked = results({"ground.soil": None, "ground.layers": layers, "excavation": {"batter": "45 deg"}})
        assert worked["dig.people"].verdict == verdict, top


def neighbours(*given: tuple[str, str], **changes: Any) -> Results:
    listed = [{"what": "footing", "away": away, "depth": depth} for away, depth in given]
    return results({"ground.neighbours": listed, **changes})


@pytest.mark.parametrize(
    ("away", "depth", "margin"),
    [
        # from the base's edge: away less 10 mm of wall and 300 mm of gap; 1450 mm deep, 45 degrees
        ("2.4 m", "400 mm", 2.4 - 0.31 - 1.05),
        ("1.2 m", "400 mm", 1.2 - 0.31 - 1.05),
        ("1.36 m", "400 mm", 0.0),
        # as deep as the base, or deeper: its whole distance, no more
        ("1 m", "1.45 m", 0.69),
        ("1 m", "3 m", 0.69),
        # it stands in the dig, however deep it goes
        ("200 mm", "3 m", -0.11),
    ],
)
def test_how_far_a_footing_stands_outside_the_line(away: str, depth: str, margin: float) -> None:
    number = neighbours((away, depth))["dig.influence"]
    (row,) = number.table.records()
    assert row["margin"] == pytest.approx(margin, abs=1e-9)
    assert number.verdict == row["verdict"] == ("stop" if margin < -1e-6 else "ok")
    assert ("engineer" in number.reason) == (margin < -1e-6)


def test_one_footing_inside_the_line_stops_all_and_is_named() -> None:
    number = neighbours(("5 m", "400 mm"), ("1.2 m", "400 mm"))["dig.influence"]
    assert [row["verdict"] for row in number.table.records()] == ["ok", "stop"]
    assert number.verdict == "stop"
    assert "160 mm inside the line" in number.reason


@pytest.mark.parametrize(
    ("batter", "slope"),
    [
        ("45 deg", 45),
        ("30 deg", 30),  # cut flatter than the ground stands: the cut itself reaches out farther
        ("60 deg", 45),  # cut steeper: the ground's own line counts
        ("none", 45),
    ],
)
def test_the_line_is_the_flatter_of_ground_and_cut(batter: str, slope: float) -> None:
    excavation = {"batter": batter} | ({"shoring": "engineer"} if batter == "none" else {})
    number = neighbours(("2.4 m", "400 mm"), excavation=excavation)["dig.influence"]
    (row,) = number.table.records()
    assert row["margin"] == pytest.approx(2.09 - 1.05 / math.tan(math.radians(slope)))


def test_without_a_neighbour_there_is_nothing_to_undermine(box: Results) -> None:
    assert box["dig.influence"].value is None
    assert box["dig.influence"].verdict == "ok"
    assert box["dig.influence"].reason


@pytest.mark.parametrize(
    ("ground", "value", "verdict", "word"),
    [
        # bedding base 1450 mm below the ground; the pump holds what runs in through tight ground
        ({"groundwater": "1.0 m", "soil": "tight-ground"}, 0.45, "watch", "pump the pit first"),
        # water that no tube holds: the start of filling stops, and so does the base
        ({"groundwater": "0.2 m", "soil": "open-ground"}, 1.25, "stop", ""),
        ({"groundwater": "1.45 m"}, 0.0, "ok", "no water"),
        ({"groundwater": "1.5 m"}, -0.05, "ok", "no water"),
        ({"groundwater": {"not_seen_to": "2 m", "watched_for": "3 d"}}, -0.55, "ok", "no water"),
        # planned at ground level
        ({"groundwater": {"not_seen_to": "1 m", "watched_for": "3 d"}}, 1.45, "cannot tell", "hole ended"),
        # dry today, but it has stood there, or the tide brings it
        ({"groundwater": "1.9 m", "highest_known": "1.2 m"}, -0.45, "watch", "rise 250 mm over"),
        ({"groundwater": "1.9 m", "highest_known": "1.5 m"}, -0.45, "ok", "no water"),
        ({"groundwater": "1.9 m", "tidal": "yes"}, -0.45, "watch", "high water"),
    ],
)
def test_water_over_the_base(ground: dict[str, Any], value: float, verdict: str, word: str) -> None:
    number = results({f"ground.{key}": given for key, given in ground.items()})["dig.base"]
    assert number.si == pytest.approx(value, abs=1e-9)
    assert number.verdict == verdict
    assert word in number.reason


def test_without_a_pit_water_over_the_base_stops() -> None:
    dry_foot = {"standpipe.pit": "none", "standpipe.foot_below_underside": "15 mm"}
    assert results(dry_foot)["dig.base"].verdict == "stop"


# --- round the dig: shared/practice.yml has fence 1.5 m back, spoil 1 m from edge and fence, heap 2 m high
# at 35 degrees, crane's feet twice the depth from the foot of the bank

RUN = 2.0 / math.tan(math.radians(35))  # 2.8563 m that a side of a 2 m heap takes


def test_the_fence_stands_a_metre_and_a_half_outside_the_dig_on_all_sides(box: Results) -> None:
    assert box["dig.fence_length"].si == pytest.approx(6.02 + 0.6 + 3.0)
    assert box["dig.fence_width"].si == pytest.approx(3.02 + 0.6 + 3.0)


def test_a_heap_stands_outside_the_fence_and_no_nearer_than_the_dig_is_deep(box: Results) -> None:
    assert box["dig.heap_back"].si == pytest.approx(1.5 + 1.0)  # 1.45 m deep
    deep = results({"shell.floor": [["0 m", "2.7 m"], ["6 m", "2.7 m"]]})
    # 2.7 + 0.02 of floor + 0.08 of bedding - 0.05 of ground under the rim
    assert deep["dig.heap_back"].si == pytest.approx(deep["dig.depth_deep"].si) == pytest.approx(2.75)


@pytest.mark.parametrize(
    ("degrees", "depths"),
    [
        (None, 2.0),  # upright: twice the depth, from foot and edge alike
        (60, 2.0 - 1 / math.tan(math.radians(60))),  # the bank's run lies inside the edge: 1.42 depths
        (30, 1.0),  # 2 less 1.73 is under one depth: never nearer than that
    ],
)
def test_the_cranes_feet_stay_twice_the_depth_from_the_foot_of_the_bank(
    degrees: int | None, depths: float
) -> None:
    worked = results({"excavation": {"batter": f"{degrees} deg"}} if degrees else {})
    assert worked["dig.crane_back"].si == pytest.approx(max(depths * DEPTH, 1.5))


def test_the_heap_of_all_the_spoil_is_as_wide_as_its_volume_asks(box: Results) -> None:
    # A heap with a flat top: 2 m of the middle plan less a third of the corners' share,
    # V = h (L b - (L + b) r + 4/3 r^2), so b = (V/h + L r - 4/3 r^2) / (L - r)
    length, volume = 9.62, box["dig.bulked_volume"].si
    flat = (volume / 2 + length * RUN - 4 / 3 * RUN**2) / (length - RUN)
    assert flat < 2 * RUN  # too narrow for a flat top: this heap ends in a ridge, lower than 2 m
    width, height = box["dig.heap_width"].si, box["dig.heap_height"].si
    assert height == pytest.approx(width / 2 * math.tan(math.radians(35)))
    # a ridge: a prism of length L - b over half of b h, and two half pyramids at the ends, b^2 h / 3
    assert (length - width) * width * height / 2 + width**2 * height / 3 == pytest.approx(volume)


def test_a_large_heap_has_a_flat_top_at_two_metres() -> None:
    worked = results({"excavation": {"batter": "30 deg"}})
    length, volume = worked["dig.fence_length"].si, worked["dig.bulked_volume"].si
    flat = (volume / 2 + length * RUN - 4 / 3 * RUN**2) / (length - RUN)
    assert flat > 2 * RUN
    assert worked["dig.heap_width"].si == pytest.approx(flat)
    assert worked["dig.heap_height"].si == pytest.approx(2.0)
