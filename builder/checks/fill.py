"""The fill schedule: water and backfill turn by turn, found so that every rule holds at every lift.

Water is raised first, then the lift is placed. The rules, in the order they are tried: the fill's
top never above the water, the water never more than 300 mm above placed fill, the wall within its
maker's limits, and the shell safe against floating on the groundwater that is held meanwhile.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from builder.calc import uplift as uplift_calc
from builder.calc.constants import FRESH
from builder.checks import pressures
from builder.checks.groundwater import Groundwater
from builder.checks.pool_level import lowest_water
from builder.checks.say import mm
from builder.checks.uplift import groundwater_at
from builder.levels import Levels

FIRST_WATER = 0.150  # m on the deep floor before lift 1, up to 200 mm (design; common practice)
LEADS = (0.140, 0.100)  # m of water above the coming fill's top (design)
MOST_OVER_FILL = 0.300  # m of water above placed fill (design; common practice)
SAFETY, SAFETY_OVERNIGHT = 1.2, 1.3  # EM 1110-2-2100 Table 3-4 unusual, usual (numbers from memory)
POOL_OVER_DIP, POOL_OVER_DIP_OVERNIGHT = 0.050, 0.100  # m (design)
THIN = 0.005  # m: a last lift thinner than this joins the one below
LOWER_LIFTS = (0.250, 0.200, 0.175, 0.150, 0.125, 0.100, 0.075)  # m tried where the job's lift breaks a rule
_SLACK = 1e-9


@dataclass(frozen=True)
class Stage:
    """One lift: water first, then fill. Depths below the rim in m, volumes in m3.

    fill_before and fill_top are the fill's top before and after the lift; groundwater is what is
    held while it is placed.
    """

    number: int
    fill_before: float
    fill_top: float
    water_before: float
    water_after: float
    water: float
    backfill: float
    groundwater: float


@dataclass(frozen=True)
class Broken:
    """The rule that broke, at which lift, and the single change that would free the schedule."""

    lift: int
    rule: str
    change: str


@dataclass(frozen=True)
class Schedule:
    """The stages and, where no schedule holds, what broke; pumped_until None: nothing is pumped.

    holds_from is the first stage whose pool holds the spec's groundwater without pumping; None
    where no stage does.
    """

    stages: tuple[Stage, ...]
    lead: float
    broken: Broken | None
    pumped: bool
    holds_from: int | None
    last_water: float


def fill_tops(levels: Levels, lift: float) -> list[float]:
    """Return the fill's top after each lift, from the bottom up, depths below the rim in m."""
    end = max(levels.beam_underside, levels.ground)
    tops: list[float] = []
    top = levels.underside_deep
    while top - end > THIN:
        top = max(top - lift, end)
        if top - end < THIN:
            top = end
        tops.append(round(top, 9))
    return tops


def find(levels: Levels, groundwater: Groundwater) -> Schedule:
    """Return the schedule with the larger lead that keeps every rule, else the one that got furthest."""
    lift = levels.job.spec.backfill.lift
    tried = [_schedule(levels, groundwater, lift, lead) for lead in LEADS]
    for schedule in tried:
        if schedule.broken is None:
            return schedule
    furthest = max(tried, key=lambda schedule: schedule.broken.lift if schedule.broken else 0)
    broken = furthest.broken
    if broken is None:
        raise RuntimeError("a schedule without a broken rule was passed over")
    change = _freeing_change(levels, groundwater, lift, broken)
    return Schedule(
        furthest.stages,
        furthest.lead,
        Broken(broken.lift, broken.rule, change),
        furthest.pumped,
        furthest.holds_from,
        furthest.last_water,
    )


def _schedule(levels: Levels, groundwater: Groundwater, lift: float, lead: float) -> Schedule:
    pumped = groundwater.state == "unknown" or groundwater.used < levels.bedding_base - _SLACK
    tops = fill_tops(levels, lift)
    waters = _waters(levels, tops, lead)
    holds_from = _holds_from(levels, groundwater, waters) if pumped else None
    inside = levels.solid.inside_profile
    stages = []
    for at, top in enumerate(tops):
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
            )
        )
    last = levels.water
    return Schedule(tuple(stages), lead, _first_broken(levels, stages, last), pumped, holds_from, last)


def _waters(levels: Levels, tops: Sequence[float], lead: float) -> list[float]:
    """Water before lift 1 and after each raise: a lead above the coming top, at most the working level."""
    waters = [levels.floor_deep - FIRST_WATER]
    for top in tops:
        waters.append(min(waters[-1], max(top - lead, levels.water)))
    return waters


def _holds_from(levels: Levels, groundwater: Groundwater, waters: Sequence[float]) -> int | None:
    lowest = min(lowest_water(levels, groundwater.used))
    for at, water in enumerate(waters[:-1]):
        if water <= lowest + _SLACK:
            return at + 1
    return None


def _first_broken(levels: Levels, stages: Sequence[Stage], last_water: float) -> Broken | None:
    for stage in stages:
        rule = _broken_rule(levels, stage)
        if rule:
            return Broken(stage.number, rule, "")
    if stages and stages[-1].fill_top - last_water > MOST_OVER_FILL + _SLACK:
        over = mm(stages[-1].fill_top - last_water, "up")
        return Broken(len(stages), f"the working level stands {over} above the last fill", "")
    return None


def _broken_rule(levels: Levels, stage: Stage) -> str:
    limit = levels.solid.shell.wall_limit
    over = stage.fill_before - stage.water_after
    if stage.water_after > stage.fill_top + _SLACK:
        return f"the fill's top would stand {mm(stage.water_after - stage.fill_top, 'up')} above the water"
    if over > MOST_OVER_FILL + _SLACK:
        return f"the water would stand {mm(over, 'up')} above the placed fill"
    if limit is not None and limit.outward is not None:
        outward = pressures.outward(levels, stage)
        if outward > limit.outward + 1e-6:
            return f"the water would push the wall out with {_as_water(outward)}, more than its maker allows"
    if limit is not None and limit.inward is not None:
        for name, inward in (
            ("fill", pressures.placed(levels, stage)),
            ("wet fill", pressures.fluid(levels, stage)),
        ):
            if inward is not None and inward > limit.inward + 1e-6:
                return (
                    f"the {name} would push the wall in with {_as_water(inward)}, more than its maker allows"
                )
    if stage.number > 1 or stage.groundwater < levels.underside_deep:
        if (
            stage.water_before > stage.groundwater - POOL_OVER_DIP + _SLACK
            and stage.groundwater < levels.underside_deep
        ):
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
    """Return the water level at which a hose left running must be off: the walls' limit or 300 mm."""
    over = MOST_OVER_FILL
    limit = levels.solid.shell.wall_limit
    if limit is not None and limit.outward is not None:
        over = min(over, pressures.as_water(limit.outward))
    return stage.fill_before - over


def _as_water(pressure: float) -> str:
    return f"{mm(pressures.as_water(pressure), 'up')} of water"


def _freeing_change(levels: Levels, groundwater: Groundwater, lift: float, broken: Broken) -> str:
    for lower in LOWER_LIFTS:
        if lower < lift - _SLACK and any(
            _schedule(levels, groundwater, lower, lead).broken is None for lead in LEADS
        ):
            return f"place lifts of {mm(lower)}"
    if "groundwater" in broken.rule:
        return "drain the ground first, until no water stands above the bottom of the bedding"
    if "above the last fill" in broken.rule:
        return "have an engineer say that the wall stands it, or raise the ground"
    return "have an engineer brace the wall, or say what the wall stands"
