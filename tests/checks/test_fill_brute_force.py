"""The schedule against every pool level of a 5 mm grid, by rules written out again here.

The rules: the fill's top never over the water; never more than 300 mm of water over placed fill; 100 to
140 mm of it over the coming top, unless the pool is at its working level or was fuller already; the wall's
limits as placed and with one side a lift ahead; pool 50 mm over the held water and safety 1.2.
"""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from builder import yamlfile
from builder.checks import fill, work
from builder.checks.groundwater import Groundwater
from builder.job import WallLimit, of
from builder.levels import Levels, place
from builder.levels.solid import Solid
from tests.checks.by_hand import levels as box_levels
from tests.checks.by_hand import parts
from tests.checks.demo import FOLDER

G = 9.80665
GRID = 0.005
NEAR = 1e-6
NAMES = ("quandong-rise", "harakeke-flat", "sagebrush-court", "box")


def placed(name: str) -> Levels:
    if name == "box":
        return box_levels()
    path = FOLDER / f"{name}.yml"
    return place(of(yamlfile.parse(path.read_bytes(), path.name), path.name, parts()))


def limited(levels: Levels, outward: float | None, inward: float | None) -> Levels:
    shell = replace(levels.solid.shell, wall_limit=WallLimit(outward, inward))
    return replace(levels, solid=Solid(shell))


def inward(levels: Levels, top: float, outside: float, pool: float) -> float:
    """Greatest inward push in Pa from the fill's top to the floor, looked for at 200 depths."""
    fill_ = levels.job.backfill
    k0 = 1 - math.sin(fill_.friction_angle)
    water = G * levels.job.spec.water.density
    worst = -math.inf
    bends = [z for z in (outside, pool) if top < z < levels.floor_deep]
    for z in [top + (levels.floor_deep - top) * at / 200 for at in range(201)] + bends:
        earth = fill_.unit_weight_moist * max(min(z, outside) - top, 0)
        earth += (fill_.unit_weight_saturated - water) * max(z - max(outside, top), 0)
        push = k0 * (earth + 5000) + water * max(z - outside, 0) - G * 1000 * max(z - pool, 0)
        worst = max(worst, push)
    return worst


def wall_holds(levels: Levels, before: float, top: float, held: float, pool: float) -> bool:
    limit = levels.solid.shell.wall_limit
    if limit is None:
        return True
    height = levels.job.spec.backfill.lift
    if limit.outward is not None:
        bare = min(before + height, levels.underside_deep, levels.floor_deep)
        if G * 1000 * (bare - pool) > limit.outward + NEAR:
            return False
    if limit.inward is not None:
        for reached in (top, max(top - height, levels.ground)):
            if inward(levels, reached, held, pool) > limit.inward + NEAR:
                return False
    return True


def floats(levels: Levels, pool: float, held: float) -> bool:
    under = levels.solid.outside_profile.volume_below(held)
    if under <= 0:
        return False
    weight = levels.solid.shell.mass + 1000 * levels.solid.inside_profile.volume_below(pool)
    if pool > held - 0.05 + NEAR:
        return True
    return weight / (levels.job.spec.water.density * under) < 1.2 - NEAR


def allowed(
    levels: Levels,
    before: float,
    top: float,
    held: float,
    pools: tuple[float, float],
    leads: tuple[float, float],
) -> bool:
    """Whether a lift may be placed after raising the pool from one level to another."""
    old, new = pools
    if new > old + NEAR or new > top + NEAR or before - new > 0.3 + NEAR:
        return False
    full = abs(new - levels.water) < NEAR
    if not full and top - new < leads[0] - NEAR:
        return False
    if abs(new - old) > NEAR and top - new > leads[1] + NEAR:
        return False
    return wall_holds(levels, before, top, held, new) and not floats(levels, old, held)


def reached(levels: Levels, schedule: fill.Schedule, leads: tuple[float, float]) -> int:
    """How many lifts of the schedule's tops can be placed at all, the pool anywhere on the grid."""
    first = levels.floor_deep - 0.150
    count = round((first - levels.water) / GRID) + 1
    grid = {levels.water} | {first - GRID * at for at in range(count) if first - GRID * at > levels.water}
    for stage in schedule.stages:
        grid.add(max(stage.fill_top - leads[0], levels.water))
        grid.add(max(stage.fill_top - leads[1], levels.water))
    pools = {first}
    for stage in schedule.stages:
        new = {
            pool
            for pool in grid
            if any(
                allowed(levels, stage.fill_before, stage.fill_top, stage.groundwater, (old, pool), leads)
                for old in pools
            )
        }
        if not new:
            return stage.number - 1
        pools = new
    return len(schedule.stages)


def known(levels: Levels) -> Groundwater:
    return work(levels).groundwater


@pytest.mark.parametrize("name", NAMES)
def test_a_demo_jobs_schedule_keeps_every_rule_with_the_larger_lead(name: str) -> None:
    levels = placed(name)
    schedule = fill.find(levels, known(levels))
    assert schedule.broken is None
    assert schedule.lead == 0.140
    for stage in schedule.stages:
        pools = (stage.water_before, stage.water_after)
        assert allowed(levels, stage.fill_before, stage.fill_top, stage.groundwater, pools, (0.140, 0.140)), (
            stage
        )
    assert reached(levels, schedule, (0.140, 0.140)) == len(schedule.stages)


@pytest.mark.parametrize("name", NAMES)
def test_the_smaller_lead_comes_only_where_no_larger_one_is_allowed(name: str) -> None:
    # One side a lift lower: between 100 and 140 mm of lead over two lifts.
    plain = placed(name)
    two = 2 * plain.job.spec.backfill.lift
    levels = limited(plain, G * 1000 * (two + 0.120), None)
    schedule = fill.find(levels, known(plain))
    assert schedule.broken is None
    assert schedule.lead == 0.100
    for stage in schedule.stages:
        pools = (stage.water_before, stage.water_after)
        assert allowed(levels, stage.fill_before, stage.fill_top, stage.groundwater, pools, (0.100, 0.100)), (
            stage
        )
    assert reached(levels, schedule, (0.140, 0.140)) < len(schedule.stages)


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize(
    ("outward", "inward_limit"), [(0.8, None), (None, 0.8), (1.4, None), (None, 1.6), (2.4, 2.4), (3.3, 1.2)]
)
def test_a_broken_rule_has_no_schedule_of_any_lead_with_that_lift(
    name: str, outward: float | None, inward_limit: float | None
) -> None:
    plain = placed(name)
    levels = limited(
        plain,
        None if outward is None else outward * 1000,
        None if inward_limit is None else inward_limit * 1000,
    )
    groundwater = known(plain)
    schedule = fill.find(levels, groundwater)
    most = reached(levels, schedule, (0.100, 0.140))
    if schedule.broken is None:
        assert most == len(schedule.stages)
        return
    assert most < len(schedule.stages)
    # whatever lift the reason asks for has a schedule, and no thicker one of those tried has
    asked = schedule.broken.change.removeprefix("place lifts of ").removesuffix(" mm")
    for lift in fill.LOWER_LIFTS:
        if lift >= levels.job.spec.backfill.lift - NEAR:
            continue
        thinner = replace(
            levels,
            job=replace(
                levels.job,
                spec=replace(levels.job.spec, backfill=replace(levels.job.spec.backfill, lift=lift)),
            ),
        )
        tried = fill.find(thinner, groundwater)
        if f"{lift * 1000:g}" == asked:
            assert tried.broken is None
            assert reached(thinner, tried, (0.100, 0.140)) == len(tried.stages)
            return
        assert tried.broken is not None
        assert reached(thinner, tried, (0.100, 0.140)) < tried.broken.lift
    assert schedule.broken.change == "ask the maker or an engineer how to brace the wall"


@pytest.mark.parametrize("name", NAMES)
def test_lifts_of_300_mm_have_no_schedule_anywhere_on_the_grid(name: str) -> None:
    plain = placed(name)
    spec = plain.job.spec
    levels = replace(
        plain, job=replace(plain.job, spec=replace(spec, backfill=replace(spec.backfill, lift=0.300)))
    )
    schedule = fill.find(levels, known(plain))
    assert schedule.broken is not None
    assert (schedule.broken.lift, schedule.broken.change) == (1, "place lifts of 200 mm")
    assert reached(levels, schedule, (0.100, 0.140)) == 0
