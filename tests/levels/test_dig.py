"""The dig: its base, its sides and the gap, against pits worked on paper and over a fine grid."""

from __future__ import annotations

import math
from typing import Any

import pytest
import shapely

from builder.levels.dig import parallel_below
from tests.checks.by_hand import levels
from tests.levels import height_fields
from tests.levels.test_independent_geometry import ODDITIES, PLAIN

A, B, GAP, H = 6.02, 3.02, 0.3, 1.50 - 0.05  # outside the walls; base at 1500 mm, ground at 50 mm


@pytest.mark.parametrize("degrees", [30, 45, 60])
def test_a_pit_with_leaning_sides_is_a_rounded_frustum(degrees: int) -> None:
    hole = levels({"excavation": {"batter": f"{degrees} deg"}}).dig
    m = 1 / math.tan(math.radians(degrees))
    # at u above the base the plan is A by B grown round by s = GAP + m·u: A·B + 2(A + B)s + π·s²
    volume = A * B * H + 2 * (A + B) * (GAP * H + m * H**2 / 2)
    volume += math.pi * ((GAP + m * H) ** 3 - GAP**3) / (3 * m)
    assert hole.profile.volume_below(0.05) == pytest.approx(volume, rel=3e-4)  # corners in 16 chords
    for u in (0.2, 0.9):
        s = GAP + m * u
        area = A * B + 2 * (A + B) * s + math.pi * s**2
        assert hole.area(1.50 - u) == pytest.approx(area, rel=5e-4)
        assert hole.gap_area(1.42 - u) == pytest.approx(
            A * B + 2 * (A + B) * (s + m * 0.08) + math.pi * (s + m * 0.08) ** 2 - A * B, rel=2e-3
        )


def test_an_upright_pit_is_its_base_all_the_way_up() -> None:
    hole = levels().dig
    base = A * B + 2 * (A + B) * GAP + math.pi * GAP**2
    assert hole.area(0.05) == pytest.approx(base, rel=1e-4)
    assert hole.area(1.499) == pytest.approx(base, rel=1e-4)
    assert hole.area(0.04) == 0.0  # above the ground
    assert hole.profile.volume_below(0.05) == pytest.approx(base * H, rel=1e-4)
    assert (hole.base_length, hole.base_width) == pytest.approx((6.62, 3.62))


def test_overdig_lowers_the_base_and_leaves_the_bedding_where_it_is() -> None:
    placed = levels({"excavation": {"batter": "45 deg", "overdug": "100 mm", "makeup": "compacted"}})
    assert placed.dig.deepest == pytest.approx(1.60)
    assert placed.bedding_base == pytest.approx(1.50)
    assert max(z for _, z in placed.dig.bedding_line) == pytest.approx(1.50)


def test_the_base_follows_the_floor_and_is_level_beyond_the_ends() -> None:
    hole = levels({"shell.floor": [["0 m", "1.0 m"], ["6 m", "1.6 m"]], **PLAIN}).dig
    square = 0.08 * math.sqrt(1 + 0.1**2)  # 80 mm square to a slope of 1 in 10
    assert hole.base_depth(3.0) == pytest.approx(1.3 + 0.02 + square)
    assert hole.base_depth(-0.3) == hole.base_depth(0.0) == pytest.approx(1.02 + square)
    assert hole.base_depth(6.3) == hole.base_depth(6.0) == pytest.approx(1.62 + square)


def test_the_gap_holds_what_the_dig_holds_less_the_shell() -> None:
    placed = levels({"excavation": {"batter": "45 deg"}})
    hole, shell = placed.dig, placed.solid.outside_profile
    between = hole.profile.volume_below(0.3) - hole.profile.volume_below(1.1)
    taken = shell.volume_below(0.3) - shell.volume_below(1.1)
    assert hole.gap_volume(0.3, 1.1) == pytest.approx(between - taken)
    assert hole.mean_gap_area(0.3, 1.1) == pytest.approx((between - taken) / 0.8)
    assert hole.mean_gap_area(0.7, 0.7) == pytest.approx(hole.gap_area(0.7))


@pytest.mark.parametrize("batter", ["45 deg", "27 deg"])
@pytest.mark.parametrize("name", ["heron-82", "curlew-68", "avocet-77", "waist", "ell", "steep", "shelf"])
def test_a_dig_is_the_sum_of_its_depths_over_a_fine_grid(name: str, batter: str) -> None:
    change: dict[str, Any] = ODDITIES.get(name, {"shell": name})
    placed = levels({**PLAIN, **change, "excavation": {"batter": batter}})
    field = height_fields.dig(placed, 240)
    whole = placed.dig.profile.volume_below(placed.ground)
    for z in (placed.ground, 0.6, 1.1, 1.4):
        # corners mitred here and round there, and the grid itself: under a thousandth of the whole dig
        assert abs(placed.dig.profile.volume_below(z) - field.volume_below(z)) < 1e-3 * whole, z


@pytest.mark.parametrize("batter", ["60 deg", "45 deg", "27 deg", "20 deg"])
@pytest.mark.parametrize("name", ["curlew-68", "ell", "waist"])
def test_the_plan_of_a_dig_is_all_that_its_edges_sweep_and_has_no_spur(name: str, batter: str) -> None:
    # Flat sides reach past the short edge of an inner corner: it has vanished, and leaves no knife of soil.
    change: dict[str, Any] = ODDITIES.get(name, {"shell": name})
    placed = levels({**PLAIN, **change, "excavation": {"batter": batter}})
    highest = min(depth for _, depth in placed.dig.base_line)
    for z in (placed.ground, 0.4, highest - 0.1):
        plan = placed.dig.region(z)
        # the waist's inner bends of a few degrees are mitred here, each swept by itself there
        difference = plan.symmetric_difference(height_fields.swept(placed, z)).area
        assert difference < (1e-3 if name == "waist" else 1e-6)
        # filled out to a radius of 200 mm: the fillet of a square corner is (1 − π/4)·0.04 = 0.0086 m2
        assert plan.buffer(0.2).buffer(-0.2).difference(plan).area < 0.03


STEEP = math.sqrt(1 + 2**2)  # a slope of 2 in 1 moves down by 2.236 times the square distance


@pytest.mark.parametrize(
    ("line", "distance", "expected"),
    [
        # level, and one slope
        ([(0, 1.4), (6, 1.4)], 0.1, [(0, 1.5), (6, 1.5)]),
        ([(0, 1.0), (6, 1.6)], 0.1, [(0, 1 + 0.1 * math.sqrt(1.01)), (6, 1.6 + 0.1 * math.sqrt(1.01))]),
        # the same slope twice is one stretch
        (
            [(0, 1.0), (2, 1.2), (6, 1.6)],
            0.1,
            [(0, 1 + 0.1 * math.sqrt(1.01)), (6, 1.6 + 0.1 * math.sqrt(1.01))],
        ),
        # a crest, level then 3 in 4 down: the lines meet at 2 − 0.1·(1.25 − 1)/0.75
        (
            [(0, 1.0), (2, 1.0), (4, 2.5)],
            0.1,
            [(0, 1.1), (2 - 0.1 * 0.25 / 0.75, 1.1), (4, 2.5 + 0.125)],
        ),
        # a sag, 3 in 4 down then level: the lines meet at 2 + 0.1·(1 − 1.25)/0.75
        (
            [(0, 1.0), (2, 2.5), (4, 2.5)],
            0.1,
            [(0, 1.125), (2 - 0.1 * 0.25 / 0.75, 2.6), (4, 2.6)],
        ),
        # a hollow between two slopes of 2: wide enough, its level floor shrinks on both sides
        (
            [(0, 1.0), (0.5, 2.0), (1.5, 2.0), (2, 1.0)],
            0.2,
            [
                (0, 1.0 + 0.2 * STEEP),
                (0.5 - 0.2 * (STEEP - 1) / 2, 2.2),
                (1.5 + 0.2 * (STEEP - 1) / 2, 2.2),
                (2, 1.0 + 0.2 * STEEP),
            ],
        ),
        # a hump whose level top, 200 mm, does not survive: the slopes meet over its middle, at x = 3
        (
            [(0, 2.0), (2.5, 2.0), (2.9, 1.2), (3.1, 1.2), (3.5, 2.0), (6, 2.0)],
            0.3,
            [
                (0, 2.3),
                (2.5 + 0.3 * (STEEP - 1) / 2, 2.3),
                (3.0, 1.0 + 0.3 * STEEP),
                (3.5 - 0.3 * (STEEP - 1) / 2, 2.3),
                (6, 2.3),
            ],
        ),
        # a short steep end that does not survive leaves the level base alone, at either end
        ([(0, 1.2), (0.02, 1.24), (6, 1.24)], 0.075, [(0, 1.315), (6, 1.315)]),
        ([(0, 1.7), (7.36, 1.7), (7.4, 1.62)], 0.075, [(0, 1.775), (7.4, 1.775)]),
    ],
)
def test_a_line_moved_down_square_is_joined_where_lines_meet(
    line: list[tuple[float, float]], distance: float, expected: list[tuple[float, float]]
) -> None:
    found = parallel_below(line, distance)
    assert len(found) == len(expected)
    for point, other in zip(found, expected, strict=True):
        assert point == pytest.approx(other, abs=1e-9)


@pytest.mark.parametrize("distance", [0.02, 0.075, 0.2, 0.5])
def test_a_line_moved_down_runs_on_and_lies_its_distance_away(distance: float) -> None:
    line = [(0.0, 1.1), (1.5, 1.15), (2.0, 1.6), (2.3, 1.3), (4.0, 1.9), (5.0, 1.9), (6.0, 1.5)]
    found = parallel_below(line, distance)
    xs = [x for x, _ in found]
    assert xs == sorted(set(xs))
    assert (xs[0], xs[-1]) == (0.0, 6.0)
    floor = shapely.LineString([(-9, 1.1), *line, (15, 1.5)])
    for x, z in found:
        # a join lies farther off, never nearer; ends are cut at their stations
        assert floor.distance(shapely.Point(x, z)) > distance - 1e-6 or x in (0.0, 6.0)
