"""The Fill and backfill numbers: the table of stages, where filling starts, and the barrier."""

from __future__ import annotations

from dataclasses import replace

from builder.calc import filling as calc
from builder.calc import standpipe as tube_calc
from builder.checks import fill, pressures
from builder.checks.fill import Schedule
from builder.checks.groundwater import Groundwater
from builder.checks.say import mm
from builder.checks.sheet import Sheet
from builder.levels import Levels
from builder.quantity import Column, Table, Verdict, worst

STANDING_OVER_GROUND = 0.300  # m: more water than this above the ground is an engineer's (design)
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
    until = "through the last lift" if schedule.holds_from is None else f"until lift {schedule.holds_from}"
    held = mm(levels.bedding_base, "up")
    plan = f"pump the pit until its water stands {held} below the rim, and hold it there {until}"
    pit, pump = levels.pit_base, levels.job.spec.pump
    if pit is None:
        return "stop", "there is water above the bedding and no pit to pump it from"
    if pit - pump.min_depth < levels.bedding_base:
        short = mm(levels.bedding_base - pit + pump.min_depth, "up")
        return "stop", f"the pit is {short} too shallow for the pump to hold the water under the bedding"
    if groundwater.state == "unknown":
        return "cannot tell", f"{groundwater.said}; {plan}"
    inflow, duty = sheet.range("drawdown.inflow"), sheet.si("pump.duty_flow")
    if inflow is None or duty is None:
        return "cannot tell", f"what runs into the dig or what the pump moves is not known; {plan}"
    if duty <= inflow.high:
        return (
            "stop",
            "more water can run into the dig than this pump moves: a larger pump, or a dewatering contractor",
        )
    given = sheet.si("standpipe.yield")
    if given is not None and given <= inflow.high:
        slotted = slots_that_hold(levels, groundwater, inflow.high)
        if slotted is None:
            return (
                "stop",
                "once the tube stands, no slotted length in it holds the water: dewatering contractor",
            )
        return "watch", f"{plan}; the tube holds it only with {mm(slotted, 'up')} of slots"
    return "watch", plan


def slots_that_hold(levels: Levels, groundwater: Groundwater, inflow: float) -> float | None:
    """Return the least slotted length in m, in whole pitches, that gives more than `inflow`; None if none."""
    spec, backfill = levels.job.spec.standpipe, levels.job.backfill
    if backfill.k is None:
        return None
    reach = tube_calc.reach(tube_foot=levels.tube_foot, min_depth=levels.job.spec.pump.min_depth)
    for count in range(1, int(levels.tube_foot / spec.pitch) + 1):
        slotted = count * spec.pitch
        area = tube_calc.open_area(
            slot_count=float(spec.rows * count), slot_length=spec.slot_length, slot_width=spec.slot_width
        )
        gentle = tube_calc.gentle_flow(entrance_velocity=tube_calc.ENTRANCE_VELOCITY, open_area=area)
        found = tube_calc.tube_yield(
            gentle_flow=gentle,
            slotted=slotted,
            diameter=levels.tube.outside,
            k_low=backfill.k.low,
            reach=reach,
            groundwater=groundwater.used,
        )
        if found > inflow:
            return slotted
    return None


def _table(sheet: Sheet, levels: Levels, groundwater: Groundwater, schedule: Schedule) -> None:
    verdict, reason = _table_verdict(sheet, levels, groundwater, schedule)
    spec = levels.job.spec
    sheet.method(
        "fill.stages",
        "water and backfill, turn by turn",
        Table(COLUMNS, tuple(_rows(sheet, levels, groundwater, schedule))),
        unit="1",
        symbol="-",
        how="lifts from the underside to the lower of the beam's underside and the ground; before each the "
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
            "lead": (schedule.lead, "m"),
            "first_water": (fill.FIRST_WATER, "m"),
            "flow": (spec.water.flow, "m3/s"),
            "water_level": (levels.water, "m"),
            "forecast_rise": (sheet.si("rain.forecast_rise"), "m"),
        },
    )


def _table_verdict(
    sheet: Sheet, levels: Levels, groundwater: Groundwater, schedule: Schedule
) -> tuple[Verdict, str]:
    found: list[tuple[Verdict, str]] = []
    if schedule.broken is not None:
        found.append(
            ("stop", f"at lift {schedule.broken.lift} {schedule.broken.rule}: {schedule.broken.change}")
        )
    limit = levels.solid.shell.wall_limit
    over = levels.ground - levels.water
    allowed = limit is not None and limit.outward is not None and pressures.as_water(limit.outward) >= over
    if over > STANDING_OVER_GROUND and not allowed:
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
    return verdict, next(text for each, text in found if each == verdict)


def _rows(
    sheet: Sheet, levels: Levels, groundwater: Groundwater, schedule: Schedule
) -> list[tuple[float | str | None, ...]]:
    inside, flow = levels.solid.inside_profile, levels.job.spec.water.flow
    rise = sheet.si("rain.forecast_rise")
    dry = groundwater.state != "seen" or groundwater.used > levels.underside_deep
    overnight = (levels.underside_deep if dry else groundwater.used) - (rise if rise is not None else 0.0)
    rows: list[tuple[float | str | None, ...]] = []
    for stage in schedule.stages:
        limit_level = fill.leave_by(levels, stage)
        before = inside.volume_below(stage.water_before)
        safe = None if rise is None else fill.safe_overnight(levels, stage, overnight)
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
                (inside.volume_below(limit_level) - before) / flow / 60,
                "cannot tell" if safe is None else "yes" if safe else "no",
            )
        )
    last = schedule.stages[-1]
    water = inside.volume_below(schedule.last_water) - inside.volume_below(last.water_after)
    # After the last lift every fill counts, and nothing more is placed.
    done = replace(
        last, fill_before=last.fill_top, water_before=last.water_after, water_after=schedule.last_water
    )
    rows.append(
        (
            last.fill_top,
            last.water_after,
            schedule.last_water,
            water * 1e3,
            water / flow / 60,
            inside.volume_below(schedule.last_water) * 1e3,
            0.0,
            pressures.outward(levels, done) / 1e3,
            pressures.inward(levels, last.fill_top, groundwater.used, schedule.last_water) / 1e3,
            pressures.inward(levels, last.fill_top, last.fill_top, schedule.last_water) / 1e3,
            fill.safety_of(levels, last.water_after, groundwater.used),
            fill.stop_dip(levels, last.water_after),
            None,
            "yes",
        )
    )
    return rows


def _barrier(sheet: Sheet, levels: Levels) -> None:
    region, deep = levels.job.region, levels.floor_deep
    volume = levels.solid.inside_profile.volume_below(deep - region.barrier_depth)
    reason = "the barrier stands before the shell can hold water, rain included"
    sheet.method(
        "fill.barrier_litres",
        "water with which the deep end passes the barrier depth",
        volume,
        unit="L",
        symbol="V_bar",
        how="volume below the level that stands the region's barrier depth over the deepest floor",
        source=region.source,
        inputs={"barrier_depth": (region.barrier_depth, "m"), "floor_deep": (deep, "m")},
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
