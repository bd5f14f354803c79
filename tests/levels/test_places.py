"""Where the valve and the tube stand."""

import pytest

from builder.errors import InputFaults
from tests.checks.by_hand import levels

SEAT = {"name": "seat", "at": ["0 m", "0 m"], "depth": "450 mm"}


@pytest.mark.parametrize(
    ("changes", "valve"),
    [
        ({}, (3.0, 1.5)),
        # the deepest run from 3.6 to 6 m; upright walls
        ({"shell.floor": [["0 m", "1.1 m"], ["3.6 m", "1.4 m"], ["6 m", "1.4 m"]]}, (4.8, 1.5)),
        # leaning walls: the run ends at the wall's foot, 6 − 1.4·tan 5° = 5.8775
        (
            {
                "shell.floor": [["0 m", "1.1 m"], ["3.6 m", "1.4 m"], ["6 m", "1.4 m"]],
                "shell.wall_batter": "5 deg",
            },
            ((3.6 + 5.877516) / 2, 1.5),
        ),
        # deepest at one point: the end wall; never nearer its foot than 90/2 + 150 mm
        ({"shell.floor": [["0 m", "1.1 m"], ["6 m", "1.4 m"]]}, (6 - 0.195, 1.5)),
        # a seat of 600 mm along one side: the middle of the 2.4 m left
        ({"shell.ledges": [{**SEAT, "size": ["6 m", "0.6 m"]}]}, (3.0, 0.6 + 1.2)),
        ({"shell.ledges": [{**SEAT, "size": ["6 m", "1.8 m"]}]}, (3.0, 1.8 + 0.6)),
        ({"shell.relief.at": ["2.2 m", "1.1 m"]}, (2.2, 1.1)),
    ],
)
def test_the_valve_sits_in_the_middle_of_the_lowest_free_floor(
    changes: dict[str, object], valve: tuple[float, float]
) -> None:
    assert levels(changes).valve == pytest.approx(valve, abs=1e-6)


def test_of_two_arms_the_valve_takes_the_wider_run_across() -> None:
    # a U: at the deepest run the outline is crossed twice, 1.0 m and 1.6 m wide
    points = [[0, 0], [6, 0], [6, 1], [2, 1], [2, 2], [6, 2], [6, 3.6], [0, 3.6]]
    changes = {
        "shell.outline": {"points": [[f"{x} m", f"{y} m"] for x, y in points]},
        "shell.floor": [["0 m", "1.2 m"], ["3 m", "1.2 m"], ["4 m", "1.4 m"], ["6 m", "1.4 m"]],
    }
    assert levels(changes).valve == pytest.approx((5.0, 2.8), abs=1e-6)


def test_a_floor_without_room_for_the_flange_is_a_fault() -> None:
    seats = [
        {**SEAT, "size": ["6 m", "1.35 m"]},
        {**SEAT, "name": "other", "at": ["0 m", "1.65 m"], "size": ["6 m", "1.35 m"]},
    ]
    with pytest.raises(InputFaults, match=r"shell\.relief\.flange"):
        levels({"shell.ledges": seats})


@pytest.mark.parametrize(
    ("changes", "place"),
    [
        ({}, (6.01 + 0.15, 1.5)),  # the deepest run reaches both ends: the far one
        (
            {
                "shell.floor": [["0 m", "1.4 m"], ["2 m", "1.4 m"], ["6 m", "1.1 m"]],
                "standpipe.foot_below_underside": "15 mm",
            },
            (-0.01 - 0.15, 1.5),
        ),
        (
            {"shell.skimmer": {"at": ["5 m", "0 m"]}, "standpipe.beside": "skimmer"},
            (5.0, -0.01 - 0.15),
        ),
        ({"standpipe.beside": {"at": ["2 m", "3.15 m"]}}, (2.0, 3.15)),
    ],
)
def test_the_tube_stands_in_the_middle_of_the_gap_beside_the_place_named(
    changes: dict[str, object], place: tuple[float, float]
) -> None:
    tube = levels(changes).tube
    assert (tube.x, tube.y) == pytest.approx(place, abs=1e-6)
    assert (tube.outside, tube.bore) == pytest.approx((0.080, 0.072))


def test_a_deepest_run_in_the_middle_has_its_tube_beside_the_long_wall() -> None:
    tube = levels(
        {"shell.floor": [["0 m", "1.1 m"], ["2.5 m", "1.4 m"], ["3.5 m", "1.4 m"], ["6 m", "1.1 m"]]}
    ).tube
    assert tube.x == pytest.approx(3.0)
    assert abs(tube.y - 1.5) == pytest.approx(1.5 + 0.01 + 0.15)
    assert tube.underside == pytest.approx(1.42)


def test_pit_and_sump_go_down_from_the_bedding_base() -> None:
    placed = levels({"sump": {"depth": "200 mm", "width": "400 mm", "fill": "stone"}})
    assert placed.bedding_base == pytest.approx(1.50)
    assert placed.pit_base == pytest.approx(1.80)
    assert placed.sump_base == pytest.approx(1.70)
    assert levels({"standpipe.pit": "none", "standpipe.foot_below_underside": "15 mm"}).pit_base is None


def test_the_beam_is_a_round_ring_with_its_top_at_the_rim() -> None:
    beam = levels().beam
    # 300 mm round 6.02 m by 3.02 m; round corners drawn in 16 chords a quarter
    assert beam.area == pytest.approx(2 * 9.04 * 0.3 + 3.14159265 * 0.09, rel=1e-4)
    assert beam.volume == pytest.approx(beam.area * 0.2)
    assert beam.volume_below(-0.5) == pytest.approx(beam.volume)
    assert beam.volume_below(0.05) == pytest.approx(beam.area * 0.15)
    assert beam.volume_below(0.3) == 0.0
