"""The fill schedule: water and backfill turn by turn, found so that every rule holds at every lift.

Water is raised first, then the lift is placed. The rules, in the order they are tried: the fill's
top never above the water, the water never more than 300 mm above placed fill, the wall within its
maker's limits, and the shell safe against floating on the groundwater that is held meanwhile.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

from builder.calc import uplift as uplift_calc
from builder.calc.constants import FRESH
from builder.checks import pressures
from builder.checks.groundwater import Groundwater
from builder.checks.pool_level import lowest_water
from builder.checks.say import mm
from builder.checks.uplift import groundwater_at
from builder.levels import Levels
from builder.units import UNITS

FIRST_WATER = 0.150  # m on the deep floor before lift 1, up to 200 mm (design; common practice)
LEADS = (0.140, 0.100)  # m of water above the coming fill's top (design)
MOST_OVER_FILL = 0.300  # m of water above placed fill (design; common practice)
SAFETY, SAFETY_OVERNIGHT = 1.2, 1.3  # EM 1110-2-2100 Table 3-4 unusual, usual (numbers from memory)
POOL_OVER_DIP, POOL_OVER_DIP_OVERNIGHT = 0.050, 0.100  # m (design)
STEPS = {"metric": 0.005, "us": 0.25 * UNITS["in"].si}  # m below the rim, on which tops of lifts stand
LOWER_LIFTS = (0.250, 0.200, 0.175, 0.150, 0.125, 0.100, 0.075)  # m tried where the job's lift breaks a rule
UNDER_FILL, OVER_LAST = "the fill's top would stand", "the working level stands"
OVER_PLACED = "the water would stand"
TOO_MUCH = "more than its maker allows"
_SLACK = 1e-9


@dataclass(frozen=True)
class Stage:
    """One lift: water first, then fill. Depths below the rim in m, volumes in m3.

    fill_before and fill_top are the fill's top before and after the lift; groundwater is what is
    held while it is placed; ahead is how far one side may be higher than another meanwhile, the
    job's lift, as the step says. The last water is a stage too, of no backfill.
    """

    number: int
    fill_before: float
    fill_top: float
    water_before: float
    water_after: float
    water: float
    backfill: float
    groundwater: float
    ahead: float


@dataclass(frozen=True)
class Broken:
    """The rule that broke, at which lift, and the single change that would free the schedule.

    The lift after the last is the last water.
    """

    lift: int
    rule: str
    change: str


@dataclass(frozen=True)
class Schedule:
    """The lifts, the last water and, where no schedule holds, what broke.

    holds_from is the first stage whose pool holds the spec's groundwater without pumping: a lift,
    the last water (one more), or the pool at its working level (two more). None where nothing is
    pumped, or where not even that pool holds it.
    """

    stages: tuple[Stage, ...]
    last: Stage
    lead: float
    broken: Broken | None
    pumped: bool
    holds_from: int | None

    @property
    def rows(self) -> tuple[Stage, ...]:
        """The lifts and the last water."""
        return (*self.stages, self.last)


def fill_tops(levels: Levels, lift: float) -> list[float]:
    """Return the fill's top after each lift, from the bottom up, depths below the rim in m.

    As few even lifts as there can be of no more than `lift`, their tops on whole steps of the tape.
    """
    start, end = levels.underside_deep, max(levels.beam_underside, levels.ground)
    step = STEPS[levels.job.region.units]
    count = max(math.ceil((start - end) / lift - _SLACK), 1)
    while True:
        even = (start - end) / count
        tops = [round(round((start - even * at) / step) * step, 9) for at in range(1, count)] + [end]
        if max(lower - upper for lower, upper in pairwise([start, *tops])) <= lift + _SLACK:
            return tops
        count += 1  # a step more or less made one of them too thick


def find(levels: Levels, groundwater: Groundwater) -> Schedule:
    """Return the schedule with the larger lead that keeps every rule, else the one that got furthest."""
    lift = levels.job.spec.backfill.lift
    tried = []
    for lead in LEADS:
        schedule = _schedule(levels, groundwater, lift, lead)
        if schedule.broken is None:
            return schedule
        tried.append(schedule)
    furthest = max(tried, key=lambda schedule: schedule.broken.lift if schedule.broken else 0)
    broken = furthest.broken
    if broken is None:
        raise RuntimeError("a schedule without a broken rule was passed over")
    change = _freeing_change(levels, groundwater, lift, broken)
    return replace(furthest, broken=replace(broken, change=change))


def _schedule(levels: Levels, groundwater: Groundwater, lift: float, lead: float) -> Schedule:
    pumped = groundwater.state == "unknown" or groundwater.used < levels.bedding_base - _SLACK
    tops = fill_tops(levels, lift)
    waters = _waters(levels, tops, lead)
    holds_from = _holds_from(levels, groundwater, waters) if pumped else None
    inside = levels.solid.inside_profile
    stages = []
    # The last water is a stage of its own, the fill's top unchanged.
    for at, top in enumerate((*tops, tops[-1])):
        before = levels.underside_deep if at == 0 else tops[at - 1]
        held = (
            levels.bedding_base
            if pumped and (holds_from is None or at + 1 < holds_from)
            else groundwater.used
        )
        water_before, water_after = waters[at], waters[at + 1]
        upper, lower = (top, before) if at else (top, levels.dig.deepest)
        stages.append(
            Stage(
                number=at + 1,
                fill_before=before,
                fill_top=top,
                water_before=water_before,
                water_after=water_after,
                water=inside.volume_below(water_after) - inside.volume_below(water_before),
                backfill=levels.dig.backfill_between(upper, lower),
                groundwater=held,
                ahead=lift if at < len(tops) else 0.0,
            )
        )
    *lifts, last = stages
    return Schedule(tuple(lifts), last, lead, _first_broken(levels, stages), pumped, holds_from)


def _waters(levels: Levels, tops: Sequence[float], lead: float) -> list[float]:
    """Water before lift 1 and after each raise: a lead above the coming top, at most the working level.

    The last raise goes to the working level.
    """
    waters = [levels.floor_deep - FIRST_WATER]
    for top in tops:
        waters.append(min(waters[-1], max(top - lead, levels.water)))
    return [*waters, levels.water]


def _holds_from(levels: Levels, groundwater: Groundwater, waters: Sequence[float]) -> int | None:
    lowest = min(lowest_water(levels, groundwater.used))
    for at, water in enumerate(waters):
        if water <= lowest + _SLACK:
            return at + 1
    return None


def _first_broken(levels: Levels, stages: Sequence[Stage]) -> Broken | None:
    for stage in stages:
        rule = _broken_rule(levels, stage, last=stage is stages[-1])
        if rule:
            return Broken(stage.number, rule, "")
    return None


def _broken_rule(levels: Levels, stage: Stage, *, last: bool) -> str:
    limit = levels.solid.shell.wall_limit
    over = stage.fill_before - stage.water_after
    if stage.water_after > stage.fill_top + _SLACK:
        return f"{UNDER_FILL} {mm(stage.water_after - stage.fill_top, 'up')} above the water"
    if over > MOST_OVER_FILL + _SLACK:
        if not last:
            return f"{OVER_PLACED} {mm(over, 'up')} above the placed fill"
        # No fill follows: the working level may stand higher where the wall's maker allows the push.
        if limit is None or limit.outward is None:
            return f"{OVER_LAST} {mm(over, 'up')} above the last fill"
    if limit is not None and limit.outward is not None:
        for outward, how in (
            (pressures.outward(levels, stage), ""),
            (pressures.ahead_outward(levels, stage), "with one side a lift lower "),
        ):
            if outward > limit.outward + 1e-6:
                return f"{how}the pool would push the wall out {_as_water(outward)}, {TOO_MUCH}"
    if limit is not None and limit.inward is not None:
        for inward, how in (
            (pressures.placed(levels, stage), "the fill"),
            (pressures.fluid(levels, stage), "the wet fill"),
            (pressures.ahead_inward(levels, stage), "with one side a lift higher the fill"),
        ):
            if inward is not None and inward > limit.inward + 1e-6:
                return f"{how} would push the wall in {_as_water(inward)}, {TOO_MUCH}"
    if stage.groundwater < levels.underside_deep:
        if stage.water_before > stage.groundwater - POOL_OVER_DIP + _SLACK:
            return "the pool would stand less than 50 mm above the groundwater"
        safety = safety_of(levels, stage.water_before, stage.groundwater)
        if safety is not None and safety < SAFETY - _SLACK:
            return "the shell would be too light for the groundwater"
    return ""


def safety_of(levels: Levels, water_level: float, groundwater: float) -> float | None:
    """Return the safety against floating without the beam; None where no water stands over the underside."""
    displaced = levels.solid.outside_profile.volume_below(groundwater)
    if displaced <= 0:
        return None
    return uplift_calc.safety(
        shell_mass=levels.solid.shell.mass,
        beam_mass=0.0,
        pool_density=FRESH,
        water_inside=levels.solid.inside_profile.volume_below(water_level),
        groundwater_density=levels.job.spec.water.density,
        displaced=displaced,
    )


def stop_dip(levels: Levels, water_level: float) -> float:
    """Return the groundwater level (depth below the rim, so the dip from the build mark) that stops work."""
    return max(groundwater_at(levels, SAFETY, water_level, beam=False), water_level + POOL_OVER_DIP)


def safe_overnight(levels: Levels, stage: Stage, groundwater: float) -> bool:
    """Return whether the shell may be left for the night after a stage, with groundwater risen to a level."""
    if stage.water_after > groundwater - POOL_OVER_DIP_OVERNIGHT + _SLACK:
        return False
    safety = safety_of(levels, stage.water_after, groundwater)
    return safety is None or safety >= SAFETY_OVERNIGHT - _SLACK


def leave_by(levels: Levels, stage: Stage) -> float:
    """Return the water level at which a hose left running must be off.

    The lower of the wall's limit and 300 mm of water over the placed fill, and never above the
    overflow, where it would run into the fill.
    """
    over = MOST_OVER_FILL
    limit = levels.solid.shell.wall_limit
    if limit is not None and limit.outward is not None:
        stands = pressures.as_water(limit.outward)
        # No fill follows the last water: what the maker allows is the whole rule.
        over = stands if stage.fill_top == stage.fill_before else min(over, stands)
    return max(stage.fill_before - over, levels.overflow)


def name_of(schedule: Schedule, number: int) -> str:
    """Return how a row of the schedule is called in a sentence: `at lift 3`, `with the last water`."""
    return f"at lift {number}" if number <= len(schedule.stages) else "with the last water"


def _as_water(pressure: float) -> str:
    return f"like {mm(pressures.as_water(pressure), 'up')} of water"


def _freeing_change(levels: Levels, groundwater: Groundwater, lift: float, broken: Broken) -> str:
    for lower in LOWER_LIFTS:
        if lower < lift - _SLACK and any(
            _schedule(levels, groundwater, lower, lead).broken is None for lead in LEADS
        ):
            return f"place lifts of {mm(lower)}"
    if broken.rule.startswith(UNDER_FILL):
        return f"pour a ring beam {mm(levels.water, 'up')} deep, or set the working level higher"
    if broken.rule.startswith(OVER_LAST):
        return _lower_standing(levels)
    if broken.rule.startswith(OVER_PLACED):
        return (
            f"place lifts of {mm(MOST_OVER_FILL - LEADS[-1])} at most, and ask the maker or an engineer "
            "how to brace the wall"
        )
    if "groundwater" in broken.rule:
        return "drain the ground first, until no water stands above the bottom of the bedding"
    return "ask the maker or an engineer how to brace the wall"


def _lower_standing(levels: Levels) -> str:
    """Say what lets the last fill end no more than 300 mm under the working level."""
    high = levels.water + MOST_OVER_FILL
    changes = []
    if levels.ground > high + _SLACK:
        changes.append(f"raise the ground by {mm(levels.ground - high, 'up')}")
    if levels.beam_underside > high + _SLACK:
        changes.append(f"pour a ring beam no more than {mm(high, 'down')} deep")
    return f"{' and '.join(changes)}, or have an engineer say that the wall stands it"
