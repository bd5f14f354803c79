"""Solids with flat faces, their volumes, areas and moments by the prismoid rule on paper."""

import math

import pytest

from builder.levels import Levels
from tests.checks.by_hand import levels, results

WEDGE = {"shell.floor": [["0 m", "1.0 m"], ["6 m", "1.6 m"]], "standpipe.foot_below_underside": "15 mm"}
LEAN = math.tan(math.radians(5))


def prismoid(first: float, middle: float, last: float, height: float) -> float:
    """Exact for any solid whose sections are quadratic in height."""
    return height / 6 * (first + 4 * middle + last)


@pytest.fixture(scope="module")
def wedge() -> Levels:
    """The box with a floor that falls from 1.0 m to 1.6 m."""
    return levels(WEDGE)


@pytest.mark.parametrize(
    ("z", "area", "volume", "moment"),
    [
        # whole: 6·3·1.3, its moment the box of 1.0 m and the wedge below: 18·3 + ∫ x·0.1x·3 dx
        (0.0, 18.0, 23.4, 18 * 3 + 0.3 * 6**3 / 3),
        (1.0, 18.0, 5.4, 0.3 * 6**3 / 3),
        # halfway down the wedge: x from 3 to 6, u = x − 3 from 0 to 3
        (1.3, 9.0, 3 * 0.1 * 3**2 / 2, 0.3 * (3 * 3**2 / 2 + 3**3 / 3)),
        (1.6, 0.0, 0.0, 0.0),
    ],
)
def test_a_wedge_holds_what_paper_gives(
    wedge: Levels, z: float, area: float, volume: float, moment: float
) -> None:
    inside = wedge.solid.inside_profile
    assert inside.area(z) == pytest.approx(area, abs=1e-6)
    assert inside.volume_below(z) == pytest.approx(volume, abs=1e-9)
    assert inside.moment_below(z) == pytest.approx(moment, abs=1e-8)


def test_outside_a_wedge_the_underside_goes_on_level_under_the_end_walls(wedge: Levels) -> None:
    # 3.02 m wide: 6 m of mean depth 1.32 m, and 10 mm of wall at 1.02 m and at 1.62 m
    expected = 3.02 * (6 * 1.32 + 0.01 * 1.02 + 0.01 * 1.62)
    assert wedge.solid.outside_profile.volume_below(0.0) == pytest.approx(expected, rel=1e-9)


def test_a_wedge_floats_and_tips_where_paper_says() -> None:
    worked = results({**WEDGE, "shell.weight_centre": "3.5 m", "shell.laminate_density": "2500 kg/m3"})
    # h over the lowest underside of 1.62 m wets u = 6 − x from 0 to 10h: 3.02·(5h² + 0.01h) m3
    float_height = (-0.01 + math.sqrt(0.01**2 + 20 * 0.8 / 3.02)) / 10
    assert worked["uplift.float_height"].si == pytest.approx(float_height, abs=1e-7)

    def moment(h: float) -> float:  # about the left foot, x = 0, in m4
        slope = 6 * 5 * h**2 - h * (10 * h) ** 2 / 2 + 0.1 * (10 * h) ** 3 / 3
        return 3.02 * (slope + 0.01 * h * 6.005)

    low, high = 0.0, 0.6
    for _ in range(100):
        middle = (low + high) / 2
        low, high = (middle, high) if moment(middle) < 0.8 * 3.5 else (low, middle)
    # about the right foot: 3.02·(∫ u·(h − 0.1u) du less the strip beyond it) against 0.8·2.5
    right = (0.8 * 2.5 / 3.02 / (50 / 3)) ** (1 / 3)
    assert low < float_height < right  # the deep end lifts first
    assert worked["uplift.tip_height"].si == pytest.approx(low, abs=1e-7)


@pytest.mark.parametrize("z", [0.0, 0.12, 0.7, 1.39])
def test_a_battered_box_is_a_frustum(z: float) -> None:
    inside = levels({"shell.wall_batter": "5 deg"}).solid.inside_profile

    def area(depth: float) -> float:
        return (6 - 2 * depth * LEAN) * (3 - 2 * depth * LEAN)

    assert inside.area(z) == pytest.approx(area(z), rel=1e-9)
    expected = prismoid(area(z), area((z + 1.4) / 2), area(1.4), 1.4 - z)
    assert inside.volume_below(z) == pytest.approx(expected, rel=1e-9)


def test_a_battered_box_displaces_a_frustum_grown_by_the_wall() -> None:
    outside = levels({"shell.wall_batter": "5 deg"}).solid.outside_profile

    def area(depth: float) -> float:
        return (6.02 - 2 * depth * LEAN) * (3.02 - 2 * depth * LEAN)

    assert outside.volume_below(0.0) == pytest.approx(
        prismoid(area(0), area(0.71), area(1.42), 1.42), rel=1e-9
    )


def test_a_battered_wedge_is_cut_where_floor_and_leaning_ends_meet() -> None:
    placed = levels({**WEDGE, "shell.wall_batter": "5 deg"})
    # the end walls' feet: x = t·(1.0 + 0.1x) and 6 − x = t·(1.0 + 0.1x), with t the lean
    left, right = LEAN / (1 - 0.1 * LEAN), (6 - LEAN) / (1 + 0.1 * LEAN)
    assert placed.solid.wall_feet == pytest.approx((left, right), abs=1e-9)
    assert placed.floor_deep == pytest.approx(1.0 + 0.1 * right, abs=1e-9)
    # by depth: (x from the floor's cut to the leaning end) times the width, by many thin slices
    total, count = 0.0, 20000
    for at in range(count):
        z = (at + 0.5) / count * placed.floor_deep
        start = max(z * LEAN, (z - 1.0) / 0.1)
        total += max(6 - z * LEAN - start, 0) * (3 - 2 * z * LEAN) * placed.floor_deep / count
    assert placed.solid.inside_profile.volume_below(0.0) == pytest.approx(total, rel=1e-4)


def ledge(at: tuple[str, str], size: tuple[str, str], depth: str = "0.4 m") -> list[dict[str, object]]:
    return [{"name": "ledge", "at": list(at), "size": list(size), "depth": depth}]


def test_a_ledge_takes_its_own_plan_from_its_depth_down() -> None:
    placed = levels({"shell.ledges": ledge(("0 m", "0 m"), ("1 m", "3 m"))})
    inside, outside = placed.solid.inside_profile, placed.solid.outside_profile
    assert inside.volume_below(0.0) == pytest.approx(25.2 - 3 * 1.0)
    assert inside.area(0.399) == pytest.approx(18.0)
    assert inside.area(0.401) == pytest.approx(15.0)
    assert inside.moment_below(0.0) == pytest.approx(25.2 * 3 - 3 * 1.0 * 0.5)
    # outside the ledge goes out through the walls: 1.01 m by 3.02 m, from 0.42 m to 1.42 m
    assert outside.volume_below(0.0) == pytest.approx(25.816168 - 1.01 * 3.02 * 1.0, rel=1e-6)


def test_two_ledges_one_over_the_other_count_once() -> None:
    both = ledge(("0 m", "0 m"), ("1 m", "3 m")) + ledge(("0 m", "0 m"), ("2 m", "3 m"), "0.9 m")
    inside = levels({"shell.ledges": both}).solid.inside_profile
    assert inside.volume_below(0.0) == pytest.approx(25.2 - 3 * 0.5 - 6 * 0.5)


def test_round_corners_keep_their_true_area() -> None:
    inside = levels({"shell.outline": {"length": "6 m", "width": "3 m", "corner_radius": "500 mm"}}).solid
    assert inside.inside_profile.area(0.5) == pytest.approx(18 - (4 - math.pi) * 0.25, rel=1e-9)


@pytest.mark.parametrize("changes", [{}, WEDGE, {"shell.wall_batter": "5 deg"}])
def test_the_depth_that_holds_a_volume_holds_it(changes: dict[str, object]) -> None:
    for profile in (levels(changes).solid.inside_profile, levels(changes).solid.outside_profile):
        for share in (0.001, 0.1, 0.37, 0.5, 0.99, 1.0, 1.2):
            volume = share * profile.volume_below(0.0)
            assert profile.volume_below(profile.depth_holding(volume)) == pytest.approx(volume, rel=1e-9)
        assert profile.depth_holding(0.0) == profile.bottom
        assert profile.depth_holding(-1.0) == profile.bottom


def test_the_laminate_is_centred_where_the_volume_between_the_faces_is() -> None:
    assert levels().solid.weight_centre == pytest.approx(3.0)
    # the wedge: moment of the outside less the inside about x = 0, over the volume between
    outside = 3.02 * ((1.02 * 18 + 0.1 * 72) + 0.01 * 1.02 * -0.005 + 0.01 * 1.62 * 6.005)
    inside = 3.0 * (1.0 * 18 + 0.1 * 72)
    volume = 3.02 * (6 * 1.32 + 0.01 * 1.02 + 0.01 * 1.62) - 23.4
    assert levels(WEDGE).solid.weight_centre == pytest.approx((outside - inside) / volume, rel=1e-7)
