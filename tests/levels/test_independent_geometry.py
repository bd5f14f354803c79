"""Volumes, areas and moments against the same solids worked in other ways.

Tolerances are those of the other way: 3e-4 for a grid of 10 mm, 1e-3 for 200 thin slices.
"""

from __future__ import annotations

import math
from itertools import pairwise
from typing import Any

import numpy as np
import pytest
import shapely

from builder.catalogue import load
from builder.job import read
from builder.levels import Levels, place
from tests.checks.by_hand import levels
from tests.checks.demo import JOBS
from tests.levels import height_fields

SHELLS = sorted(load().shells)
CELL = 0.010  # m: every outline and ledge here ends on the grid
PLAIN: dict[str, Any] = {
    "standpipe.pit": None,
    "standpipe.foot_below_underside": None,
    "standpipe.slotted": "300 mm",
}


def polygon(*points: tuple[float, float]) -> dict[str, Any]:
    return {"points": [[f"{x} m", f"{y} m"] for x, y in points]}


ELL = polygon((0, 0), (6.8, 0), (6.8, 4.6), (4, 4.6), (4, 3), (0, 3))
WAIST = polygon((0, 0), (3, 0.9), (3.6, 0.9), (6.6, 0), (6.6, 3), (3.6, 2.1), (3, 2.1), (0, 3))
ODD = polygon(
    (0, 0.4), (0.5, 0), (4.8, 0), (6.1, 1.1), (6.1, 2.4), (5.0, 3.3), (2.2, 3.3), (1.6, 2.7), (0, 2.6)
)
SLOPE = [["0 m", "1.1 m"], ["3.4 m", "1.2 m"], ["4.6 m", "1.5 m"]]
ODDITIES: dict[str, dict[str, Any]] = {
    "ell": {"shell.outline": ELL, "shell.floor": [*SLOPE, ["6.8 m", "1.5 m"]], "shell.wall_batter": "6 deg"},
    "waist": {
        "shell.outline": WAIST,
        "shell.floor": [*SLOPE, ["6.6 m", "1.5 m"]],
        "shell.wall_batter": "4 deg",
    },
    "odd": {"shell.outline": ODD, "shell.floor": [*SLOPE, ["6.1 m", "1.3 m"]], "shell.wall_batter": "8 deg"},
    "shelf": {  # so short that, dug at 27 degrees, its sides would reach past the drop
        "shell.floor": [["0 m", "1 m"], ["0.5 m", "1 m"], ["0.9 m", "1.8 m"], ["6 m", "1.8 m"]],
        "shell.wall_batter": "3 deg",
    },
    "steep": {
        "shell.floor": [["0 m", "1 m"], ["2 m", "1 m"], ["2.5 m", "1.9 m"], ["6 m", "1.9 m"]],
        "shell.wall_batter": "3 deg",
    },
}


def placed(name: str, step: float | None = None, **more: Any) -> Levels:
    change = ODDITIES.get(name, {"shell": name})
    return levels({**PLAIN, **change, **more}, step=step)


def sliced(levels: Levels, z: float, *, outside: bool) -> Any:
    """The plan at depth z by the drawing library's own mitred buffer, a strip of x, and the ledges."""
    shell = levels.solid.shell
    wall, lowered = (shell.wall, shell.floor_thickness) if outside else (0.0, 0.0)
    rim = shapely.Polygon(shell.outline.points)
    plan = rim.buffer(wall - z * math.tan(shell.wall_batter), join_style="mitre", mitre_limit=50)
    low_x, _, high_x, high_y = rim.bounds
    line = [(x, depth + lowered) for x, depth in shell.floor]
    air = shapely.Polygon(
        [(low_x - 9, 0), (low_x - 9, line[0][1]), *line, (high_x + 9, line[-1][1]), (high_x + 9, 0)]
    )
    cut = air.intersection(shapely.LineString([(low_x - 9, z), (high_x + 9, z)]))
    runs = [part.bounds for part in getattr(cut, "geoms", [cut]) if part.length > 0]
    plan = plan.intersection(shapely.union_all([shapely.box(run[0], -9, run[2], 99) for run in runs]))
    for ledge in shell.ledges:
        if ledge.depth + lowered <= z:
            box = [ledge.x, ledge.y, ledge.x + ledge.length, ledge.y + ledge.width]
            if outside:  # a ledge against the wall goes out through it
                box[0] -= 1.0 if box[0] < 1e-3 else 0.0
                box[1] -= 1.0 if box[1] < 1e-3 else 0.0
                box[2] += 1.0 if box[2] > high_x - 1e-3 else 0.0
                box[3] += 1.0 if box[3] > high_y - 1e-3 else 0.0
            plan = plan.difference(shapely.box(*box))
    return plan


@pytest.mark.parametrize("name", [*SHELLS, *ODDITIES])
def test_plans_are_those_of_another_way_of_offsetting(name: str) -> None:
    found = placed(name)
    for share in np.linspace(0.013, 0.987, 9):
        for outside, bottom in ((False, found.floor_deep), (True, found.underside_deep)):
            z = float(share * bottom)
            plan = found.solid.outside_at(z) if outside else found.solid.inside(z)
            other = sliced(found, z, outside=outside)
            assert plan.symmetric_difference(other).area < 1e-6, (z, outside)


@pytest.mark.parametrize("name", [*SHELLS, *ODDITIES])
def test_volumes_and_moments_are_the_sums_of_thin_slices(name: str) -> None:
    found = placed(name)
    for outside, profile in ((False, found.solid.inside_profile), (True, found.solid.outside_profile)):
        count = 200
        height = profile.bottom / count
        plans = [sliced(found, (at + 0.5) * height, outside=outside) for at in range(count)]
        volume = sum(plan.area for plan in plans) * height
        moment = sum(plan.area * plan.centroid.x for plan in plans if plan.area > 0) * height
        # a slice through a level floor or a ledge is right to half a slice of that floor
        assert profile.volume_below(0.0) == pytest.approx(volume, rel=1e-3)
        assert profile.moment_below(0.0) == pytest.approx(moment, rel=1e-3)


# not the two with a square inner corner: the walls' lean is mitred there, which a distance is not
@pytest.mark.parametrize("name", [*(name for name in SHELLS if name != "curlew-68"), "waist", "odd", "steep"])
def test_water_is_the_sum_of_its_depths_over_a_fine_grid(name: str) -> None:
    found = placed(name)
    field = height_fields.water(found, round(found.solid.outline.bounds[2] / CELL))
    profile = found.solid.inside_profile
    for z in (0.0, 0.12, 1.0):
        # within a few ten-thousandths of the whole: a leaning wall crosses a cell in a few steps
        assert abs(profile.volume_below(z) - field.volume_below(z)) < 3e-4 * profile.volume_below(0.0)
        assert abs(profile.moment_below(z) - field.moment_below(z)) < 3e-4 * profile.moment_below(0.0)


def test_an_ell_is_the_union_of_two_boxes_at_every_depth() -> None:
    found = placed("ell")
    lean = math.tan(math.radians(6))
    for z in (0.0, 0.3, 0.9):  # above the floor: 6.8 by 3.0 and 2.8 by 4.6, both inset by d
        d = z * lean
        area = (6.8 - 2 * d) * (3.0 - 2 * d) + (2.8 - 2 * d) * 1.6
        assert found.solid.inside_profile.area(z) == pytest.approx(area, rel=1e-6)


@pytest.mark.parametrize("name", ["heron-82", "avocet-77"])
def test_a_million_random_points_fill_the_shell_as_often_as_its_volume_says(name: str) -> None:
    found = placed(name)
    seed, count = 20261125, 1_000_000
    random = np.random.default_rng(seed)
    low_x, low_y, high_x, high_y = found.solid.outline.bounds
    box = (high_x - low_x) * (high_y - low_y) * found.floor_deep
    x, y = random.uniform(low_x, high_x, count), random.uniform(low_y, high_y, count)
    z = random.uniform(0, found.floor_deep, count)
    # depth of a column from the grid's own rule, taken from the nearest cell
    field = height_fields.water(found, 400)
    rows = field.x.size // 400
    column = np.minimum(((x - low_x) / (high_x - low_x) * 400).astype(int), 399)
    row = np.minimum(((y - low_y) / (high_y - low_y) * rows).astype(int), rows - 1)
    share = float((z < field.depth[row * 400 + column]).mean())
    spread = 4 * box * math.sqrt(share * (1 - share) / count)
    assert abs(box * share - found.solid.inside_profile.volume_below(0.0)) < spread, seed


def every_job() -> list[Any]:
    own = [pytest.param(lambda step, at=name: placed(at, step), id=name) for name in (*SHELLS, *ODDITIES)]
    battered = {"excavation": {"batter": "27 deg"}}
    own += [
        pytest.param(lambda step, at=name: placed(at, step, **battered), id=f"{name} at 27 degrees")
        for name in ("heron-82", "curlew-68", "avocet-77")
    ]
    return own + [pytest.param(lambda step, at=path: place(read(at), step), id=path.stem) for path in JOBS]


@pytest.mark.parametrize("make", every_job())
def test_halving_the_step_moves_no_volume_by_more_than_a_ten_thousandth(make: Any) -> None:
    coarse, fine = make(0.05), make(0.025)
    for name in ("inside_profile", "outside_profile"):
        one, other = getattr(coarse.solid, name), getattr(fine.solid, name)
        assert one.volume_below(0.0) == pytest.approx(other.volume_below(0.0), rel=1e-4)
        assert one.volume_below(coarse.water) == pytest.approx(other.volume_below(coarse.water), rel=1e-4)
        assert one.moment_below(0.0) == pytest.approx(other.moment_below(0.0), rel=1e-4)
    top = coarse.ground
    assert coarse.dig.profile.volume_below(top) == pytest.approx(fine.dig.profile.volume_below(top), rel=1e-4)


@pytest.mark.parametrize("name", [*SHELLS, *ODDITIES])
def test_what_lies_deeper_lies_inside_what_lies_above_it(name: str) -> None:
    found = placed(name, excavation={"batter": "45 deg"})
    depths = np.linspace(found.ground + 0.01, found.dig.deepest - 0.01, 9)
    for upper, lower in pairwise(depths):
        wide, narrow = found.dig.region(float(upper)), found.dig.region(float(lower))
        assert narrow.difference(wide).area < 1e-6
    for z in depths:
        depth = float(z)
        inside, outside = found.solid.inside(depth), found.solid.outside_at(depth)
        assert inside.difference(outside).area < 1e-6
        assert outside.difference(found.dig.region(depth)).area < 1e-6
        gap = found.dig.region(depth).difference(outside).area
        assert found.dig.gap_area(depth) == pytest.approx(gap, abs=2e-3 * found.dig.area(depth))
