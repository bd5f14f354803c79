"""The Fill and backfill numbers: the table of stages, where filling starts, and the barrier."""

from __future__ import annotations

from builder.calc import filling as calc
from builder.calc import standpipe as tube_calc
from builder.checks import fill, pressures
from builder.checks.fill import Schedule, Stage
from builder.checks.groundwater import Groundwater
from builder.checks.rain import start_level
from builder.checks.readings import LEAST_FALL, held_in_gravel, holds_base, yield_inputs
from builder.checks.say import mm
from builder.checks.sheet import Sheet
from builder.checks.shell import barrier_level
from builder.levels import Levels
from builder.quantity import Column, Table, Verdict, worst

STANDING_OVER_GROUND = 0.300  # m: more water than this above the ground is an engineer's (design)
SLACK = 1e-9  # m: what a sum of levels may be off by
COLUMNS = tuple(
    Column(key, unit)
    for key, unit in (
        ("backfill_top", "m"),
        ("water_before", "m"),
        ("water_after", "m"),
        ("litres", "L"),
        ("tap_minutes", "min"),
        ("cumulative_litres", "L"),
        ("backfill_m3", "m3"),
        ("outward_kpa", "kPa"),
        ("inward_kpa", "kPa"),
        ("inward_flooded_kpa", "kPa"),
        ("sf", "1"),
        ("dip_stop_build", "m"),
        ("leave_by_minutes", "min"),
        ("safe_stop", "text"),
    )
)


def work(sheet: Sheet, levels: Levels, groundwater: Groundwater, schedule: Schedule) -> None:
    """Write fill.*; needs drawdown.inflow, pump.duty_flow, standpipe.yield and rain.forecast_rise."""
    _start(sheet, levels, groundwater, schedule)
    _table(sheet, levels, groundwater, schedule)
    _barrier(sheet, levels)


def _start(sheet: Sheet, levels: Levels, groundwater: Groundwater, schedule: Schedule) -> None:
    verdict, reason = _start_verdict(sheet, levels, groundwater, schedule)
    sheet.work(
        "fill.start_groundwater",
        "highest groundwater level for setting the shell",
        calc.start_groundwater,
        side="up",
        audience="step",
        judge=lambda _: (verdict, reason),
        bedding_base=levels.bedding_base,
    )
    sheet.work(
        "fill.start_dip_build",
        "the same, as a dip from the build mark",
        calc.start_groundwater,
        side="up",
        audience="step",
        judge=lambda _: (verdict, reason),
        bedding_base=levels.bedding_base,
    )


def _start_verdict(
    sheet: Sheet, levels: Levels, groundwater: Groundwater, schedule: Schedule
) -> tuple[Verdict, str]:
    if not schedule.pumped:
        return "ok", "the groundwater stays under the bedding"
    held = mm(levels.bedding_base, "up")
    until = _until(schedule, groundwater)
    plan = f"pump the pit until its water stands {held} below the rim, and hold it there {until}"
    pit, pump = levels.pit_base, levels.job.spec.pump
    if pit is None:
        water = "may be" if groundwater.state == "unknown" else "is"
        return "stop", f"there {water} water above the bottom of the bedding and no pit to pump it from"
    short = levels.bedding_base - pit + pump.min_depth
    if short > SLACK:
        return (
            "stop",
            f"the pit is {mm(short, 'up')} too shallow for the pump to hold the water under the bedding",
        )
    tube_holds = schedule.holds_from != 1  # else nothing is pumped once the tube stands
    reach = sheet["standpipe.reach"].si
    if tube_holds and not holds_base(levels, reach):
        high = mm(levels.bedding_base - reach + LEAST_FALL, "up")
        return "stop", f"a pump in the tube holds the water {high} too high: set the tube's foot deeper"
    if groundwater.state == "unknown":
        return "cannot tell", f"{groundwater.said}; {plan}"
    inflow, duty = sheet.range("drawdown.inflow"), sheet.si("pump.duty_flow")
    if inflow is None or duty is None:
        return "cannot tell", f"nobody can say what runs into the dig, or what the pump moves; {plan}"
    if duty <= inflow.high:
        return (
            "stop",
            "more water can run into the dig than this pump moves: get a larger pump or "
            "a dewatering contractor",
        )
    given = sheet.si("standpipe.yield")
    if tube_holds and given is None:
        return "cannot tell", f"nobody can say what flows into the tube; {plan}"
    if tube_holds and given is not None and given <= inflow.high:
        slotted = slots_that_hold(levels, groundwater, inflow.high)
        if slotted is None:
            return (
                "stop",
                "once the tube stands, no length of slots lets enough water into it: "
                "set its foot deeper, or get a dewatering contractor",
            )
        return "watch", f"{plan}; for that the tube needs {mm(slotted, 'up')} of slots"
    return "watch", plan


def _until(schedule: Schedule, groundwater: Groundwater) -> str:
    if schedule.holds_from is None:
        if groundwater.state == "unknown":
            return "until the dips show water that the pool can hold"
        return "until the groundwater itself has fallen: not even the full pool holds it"
    if schedule.holds_from <= len(schedule.stages):
        return f"until lift {schedule.holds_from}"
    if schedule.holds_from == schedule.last.number:
        return "until the last lift is placed"
    return "until the pool stands at its working level"


def slots_that_hold(levels: Levels, groundwater: Groundwater, inflow: float) -> float | None:
    """Return the least slotted length in m, in whole pitches, that gives more than `inflow`; None if none."""
    pitch, k = levels.job.spec.standpipe.pitch, levels.job.backfill.k
    if k is None:
        return None
    reach = tube_calc.reach(tube_foot=levels.tube_foot, min_depth=levels.job.spec.pump.min_depth)

    def gives(slotted: float) -> float:
        given = yield_inputs(levels, groundwater, reach, slotted)
        return tube_calc.tube_yield(**{name: value for name, value in given.items() if value is not None})

    # Slots over the water in the gravel give nothing more.
    most = int((levels.tube_foot - held_in_gravel(levels, groundwater, reach)) / pitch + 1)
    if gives(most * pitch) <= inflow:
        return None
    return next(count * pitch for count in range(1, most + 1) if gives(count * pitch) > inflow)


def _table(sheet: Sheet, levels: Levels, groundwater: Groundwater, schedule: Schedule) -> None:
    verdict, reason = _table_verdict(sheet, levels, groundwater, schedule)
    spec = levels.job.spec
    sheet.method(
        "fill.stages",
        "water and backfill, turn by turn",
        Table(COLUMNS, tuple(_rows(sheet, levels, groundwater, schedule))),
        unit="1",
        symbol="-",
        how="even lifts from the underside to the lower of the beam's underside and the ground, as few as "
        "there can be of no more than lift, tops on whole steps below the rim; before each the "
        f"water is raised {round(schedule.lead * 1000)} mm above the coming top, at most to the working "
        "level; every rule tried at every lift",
        source="design-levels",
        side="nearest",
        audience="step",
        verdict=verdict,
        reason=reason,
        inputs={
            "underside_deep": (levels.underside_deep, "m"),
            "beam_underside": (levels.beam_underside, "m"),
            "ground": (levels.ground, "m"),
            "lift": (spec.backfill.lift, "m"),
            "step": (fill.STEPS[levels.job.region.units], "m"),
            "lead": (schedule.lead, "m"),
            "first_water": (fill.FIRST_WATER, "m"),
            "flow": (spec.water.flow, "m3/s"),
            "water_level": (levels.water, "m"),
            "forecast_rise": (sheet.si("rain.forecast_rise"), "m"),
            "groundwater": (groundwater.used, "m"),
            "bedding_base": (levels.bedding_base, "m"),
        },
    )


def _table_verdict(
    sheet: Sheet, levels: Levels, groundwater: Groundwater, schedule: Schedule
) -> tuple[Verdict, str]:
    found: list[tuple[Verdict, str]] = []
    if schedule.broken is not None:
        found.append(
            (
                "stop",
                f"{fill.name_of(schedule, schedule.broken.lift)} {schedule.broken.rule}: "
                f"{schedule.broken.change}",
            )
        )
    limit = levels.solid.shell.wall_limit
    over = levels.ground - levels.water
    stands = limit.outward if limit is not None else None
    most = max(STANDING_OVER_GROUND, pressures.as_water(stands) if stands is not None else 0.0)
    if over > most + SLACK:
        found.append(
            (
                "stop",
                f"the pool stands {mm(over, 'up')} above the ground: ask an engineer about the wall",
            )
        )
    if schedule.pumped:
        start = sheet["fill.start_groundwater"]
        found.append((start.verdict, start.reason))
    if not found:
        return "ok", ""
    verdict = worst(*(each for each, _ in found))
    return verdict, "; ".join(text for each, text in found if each == verdict)


def _rows(
    sheet: Sheet, levels: Levels, groundwater: Groundwater, schedule: Schedule
) -> list[tuple[float | str | None, ...]]:
    inside, flow = levels.solid.inside_profile, levels.job.spec.water.flow
    rise = sheet.si("rain.forecast_rise")
    rows: list[tuple[float | str | None, ...]] = []
    for stage in schedule.rows:
        before = inside.volume_below(stage.water_before)
        rows.append(
            (
                stage.fill_top,
                stage.water_before,
                stage.water_after,
                stage.water * 1e3,
                stage.water / flow / 60,
                inside.volume_below(stage.water_after) * 1e3,
                stage.backfill,
                pressures.outward(levels, stage) / 1e3,
                pressures.placed(levels, stage) / 1e3,
                pressures.flooded(levels, stage) / 1e3,
                fill.safety_of(levels, stage.water_before, stage.groundwater),
                fill.stop_dip(levels, stage.water_before),
                (inside.volume_below(fill.leave_by(levels, stage)) - before) / flow / 60,
                _safe_stop(levels, groundwater, stage, rise),
            )
        )
    return rows


def _safe_stop(levels: Levels, groundwater: Groundwater, stage: Stage, rise: float | None) -> str:
    """Say whether the shell may be left for the night after a stage.

    Where the groundwater or the rain's rise is not known, only a shell that holds with water at the
    ground may be left, and one that does not even hold without the rise may not.
    """
    lowest = start_level(levels, groundwater) - (rise if rise is not None else 0.0)
    if not fill.safe_overnight(levels, stage, lowest):
        return "no"
    known = rise is not None and groundwater.state != "unknown"
    return "yes" if known or fill.safe_overnight(levels, stage, levels.ground) else "cannot tell"


def _barrier(sheet: Sheet, levels: Levels) -> None:
    region, deep, level = levels.job.region, levels.floor_deep, barrier_level(levels)
    volume = levels.solid.inside_profile.volume_below(level)
    reason = "the barrier stands before the shell can hold water, rain included"
    sheet.method(
        "fill.barrier_litres",
        "water with which the deep end passes the barrier depth",
        volume,
        unit="L",
        symbol="V_bar",
        how="the volume of shell.depth_volume at the level that stands the region's barrier depth over the "
        "deepest floor, where that table has a row",
        source=region.source,
        inputs={
            "barrier_depth": (region.barrier_depth, "m"),
            "floor_deep": (deep, "m"),
            "level": (level, "m"),
        },
        side="down",
        audience="step",
        reason=reason,
    )
    sheet.work(
        "fill.barrier_minutes",
        "time in which the tap reaches the barrier depth",
        calc.tap_time,
        unit="min",
        side="down",
        audience="step",
        note=reason,
        volume=volume,
        flow=levels.job.spec.water.flow,
    )
