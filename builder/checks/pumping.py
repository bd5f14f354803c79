"""The Groundwater numbers: what runs in, what the pump moves, how long it takes."""

from __future__ import annotations

from collections.abc import Callable

from builder.calc import pump as pump_calc
from builder.calc import standpipe as tube_calc
from builder.calc import wells as calc
from builder.checks.groundwater import Groundwater, touching
from builder.checks.readings import LEAST_PUMPED, RUNS_DRY, holds_base
from builder.checks.say import mm, per_minute
from builder.checks.sheet import Sheet
from builder.levels import Levels
from builder.quantity import Column, Number, Table, Verdict
from builder.units import UNITS

AQUIFER_FACTOR = 1.5  # times dig depth and drawdown, where the aquifer's base is not known (design)
DROP = 1e-6  # m3: less gap than this holds no water
# What it takes, by the inflow's high end in m3/s: common practice, no source.
CLASSES = ((1 / 60e3, "a bucket"), (40 / 60e3, "a tube pump"), (600 / 60e3, "a hire pump"))
POINTS = 12  # equal steps of flow along the pump's curve, besides its own points
SAME = 1e-6  # m: levels nearer than this are one level
BEYOND = "a dewatering contractor"


def work(sheet: Sheet, levels: Levels, groundwater: Groundwater) -> None:
    """Write drawdown.* and pump.*; needs standpipe.yield and standpipe.reach."""
    _inflow(sheet, levels, groundwater)
    _mound(sheet, levels, groundwater)
    _pump(sheet, levels)
    _time(sheet, levels, groundwater)


def most_pumped(number: Callable[[str], Number]) -> Number:
    """Return the number that tells the most the tube may be pumped at, or that it is not pumped.

    The flow to throttle to; where water is too low or not known, what draws no fines through the slots.

    number   gives a job's number by its key
    """
    given = number("pump.throttle_to")
    tells = given.value is not None or given.verdict == "watch"
    return given if tells else number("standpipe.gentle_flow")


def inflow_class(flow: float) -> str:
    """Return what it takes to keep up with an inflow in m3/s."""
    return next((name for most, name in CLASSES if flow <= most), BEYOND)


def held_to(levels: Levels, groundwater: Groundwater) -> float:
    """Return the level the water is held to: the lowest of bedding base, sump and pit base.

    Where the groundwater stays at or below the bedding base (the sump's base if there is one) it
    is that groundwater: nothing is drawn down.
    """
    least = levels.sump_base if levels.sump_base is not None else levels.bedding_base
    if groundwater.used >= least - SAME:
        return groundwater.used
    return max(
        level for level in (levels.bedding_base, levels.sump_base, levels.pit_base) if level is not None
    )


def _inflow(sheet: Sheet, levels: Levels, groundwater: Groundwater) -> None:
    key, words = "drawdown.inflow", "groundwater that runs into the dig while it is held down"
    if groundwater.state == "unknown":
        sheet.without(
            key,
            words,
            calc.inflow,
            reason=f"{groundwater.said}; what runs in is not known",
            verdict="cannot tell",
            side="up",
            audience="step",
        )
        return
    drawn = held_to(levels, groundwater) - groundwater.used
    if drawn <= 0:
        sheet.without(
            key,
            words,
            calc.inflow,
            reason="the water stands under the dig: nothing runs in",
            side="up",
            audience="step",
        )
        return
    base = levels.job.spec.ground.aquifer_base
    dig_depth = levels.dig.deepest - levels.ground
    bottom = base if base is not None else AQUIFER_FACTOR * (dig_depth + drawn)
    saturated = levels.ground + bottom - groundwater.used
    if saturated <= SAME:
        sheet.without(
            key,
            words,
            calc.inflow,
            reason="the water was dipped under the aquifer's base that the job gives: one of them is wrong",
            verdict="cannot tell",
            side="up",
            audience="step",
        )
        return
    soils = touching(levels, groundwater.used, levels.ground + bottom)
    most_open = max(soils, key=lambda soil: soil.k.typical)

    def judge(flow: float) -> tuple[Verdict, str]:
        needed = inflow_class(flow)
        said = f"it takes {needed} to keep up with the water{_at_worst(levels, groundwater)}"
        return ("stop" if needed == BEYOND else "watch", said)

    sheet.work(
        key,
        words,
        calc.inflow,
        side="up",
        audience="step",
        judge=judge,
        k=most_open.k,
        saturated=saturated,
        drawdown=drawn,
        equivalent_radius=tube_calc.equivalent_radius(
            base_length=levels.dig.base_length, base_width=levels.dig.base_width
        ),
    )


def _at_worst(levels: Levels, groundwater: Groundwater) -> str:
    """What to add where the water is known to stand higher than today, or moves with the tide."""
    ground = levels.job.spec.ground
    if ground.highest_known is not None and levels.ground + ground.highest_known < groundwater.used - SAME:
        return "; more runs in when it rises to its highest known level"
    return "; more runs in at high tide" if ground.tidal else ""


def _mound(sheet: Sheet, levels: Levels, groundwater: Groundwater) -> None:
    key, words = "drawdown.mound_under_floor", "how far water mounds under the floor above the pumped gap"
    inflow = sheet["drawdown.inflow"]
    if inflow.value is None:
        sheet.without(
            key, words, calc.mound_under_floor, reason=inflow.reason, verdict=inflow.verdict, side="up"
        )
        return

    def judge(height: float) -> tuple[Verdict, str]:
        if height > levels.dig.bedding:
            return (
                "watch",
                f"with the gap pumped, water can stand {mm(height, 'up')} high under the middle of the floor",
            )
        return "ok", ""

    k = levels.job.bedding.k
    sheet.work(
        key,
        words,
        calc.mound_under_floor,
        side="up",
        judge=judge,
        missing=f"no permeability is known for {levels.job.bedding.name.lower()}",
        distance=levels.valve_to_backfill,
        inflow=sheet.range("drawdown.inflow"),
        base_area=float(levels.dig.base.polygon.area),
        k=k.low if k else None,
    )


def _pump(sheet: Sheet, levels: Levels) -> None:
    pump = levels.job.spec.pump
    static = sheet["standpipe.reach"].si + pump.hose.rise
    duty = pump_calc.duty(pump.curve, static=static, bore=pump.hose.bore, length=pump.hose.length)
    given: dict[str, tuple[float | None, str]] = {
        "static_lift": (static, "m"),
        "hose_bore": (pump.hose.bore, "m"),
        "hose_length": (pump.hose.length, "m"),
        "roughness": (pump_calc.ROUGHNESS, "m"),
        "viscosity": (pump_calc.VISCOSITY, "m2/s"),
        "minor_losses": (pump_calc.MINOR + pump_calc.EXIT, "1"),
    }
    for at, (flow, head) in enumerate(pump.curve, 1):
        given[f"flow_{at}"], given[f"head_{at}"] = (flow, "m3/s"), (head, "m")
    verdict: Verdict = "ok" if duty else "stop"
    reason = "" if duty else f"this pump cannot lift water {mm(static, 'up')} to the end of its hose"
    how = (
        "where the pump's curve, straight between its points, meets static lift plus Darcy-Weisbach friction "
        "(Colebrook)"
    )
    sheet.method(
        "pump.duty_flow",
        "what the pump moves through its hose",
        duty[0] if duty else None,
        unit="m3/s",
        symbol="Q_p",
        how=how,
        source="colebrook-1939",
        inputs=given,
        side="down",
        audience="step",
        verdict=verdict,
        reason=reason,
    )
    sheet.method(
        "pump.duty_head",
        "head at which it moves that",
        duty[1] if duty else None,
        unit="m",
        symbol="H_p",
        how=how,
        source="colebrook-1939",
        inputs=given,
        verdict=verdict,
        reason=reason,
    )
    _throttle(sheet, levels, duty[0] if duty else None)
    met = [value for key in ("pump.duty_flow", "pump.throttle_to") if (value := sheet.si(key)) is not None]
    sheet.method(
        "pump.curves",
        "what the pump gives and what its hose asks for, by flow",
        Table(_CURVES, tuple(_curves(levels, static, met))),
        unit="1",
        symbol="H(Q)",
        how=f"pump: straight between its points; hose: {how.partition(' meets ')[2]}; at the pump's points, "
        "in equal steps between, at the duty flow and at the flow to throttle to",
        source="colebrook-1939",
        inputs=given,
        verdict=verdict,
        reason=reason,
    )


_CURVES = (Column("flow", "L/min"), Column("pump_head", "m"), Column("system_head", "m"))


def _curves(levels: Levels, static: float, met: list[float]) -> list[tuple[float, float, float]]:
    """Rows of flow in L/min, the pump's head and the head its hose asks for, from no flow to the curve's end.

    met: flows in m3/s that have a row of their own, as far as they lie on the pump's curve.
    """
    pump = levels.job.spec.pump
    first, last = pump.curve[0][0], pump.curve[-1][0]
    flows = {flow for flow, _ in pump.curve} | {flow for flow in met if first <= flow <= last}
    flows |= {first + (last - first) * step / POINTS for step in range(POINTS + 1)}
    return [
        (
            flow / UNITS["L/min"].si,
            pump_calc.pump_head(pump.curve, flow),
            pump_calc.system_head(flow, static=static, bore=pump.hose.bore, length=pump.hose.length),
        )
        for flow in sorted(flows)
        if flow <= last
    ]


def _throttle(sheet: Sheet, levels: Levels, duty: float | None) -> None:
    key, words = "pump.throttle_to", "flow to throttle the pump to, so that it draws no fines"
    given = sheet["standpipe.yield"]
    if levels.job.backfill.drains is False or (given.value is not None and given.si < LEAST_PUMPED):
        sheet.without(
            key, words, calc.throttle, reason=RUNS_DRY, verdict="watch", side="down", audience="step"
        )
        return
    if given.value is None:
        sheet.without(
            key,
            words,
            calc.throttle,
            reason=given.reason,
            verdict=given.verdict,
            side="down",
            audience="step",
        )
        return
    reason = ""
    if duty is not None and duty > given.si:
        reason = f"throttle the pump to {per_minute(given.si)}: more draws fines or runs the tube dry"
    sheet.work(
        key,
        words,
        calc.throttle,
        side="down",
        audience="step",
        note=reason,
        tube_yield=given.si,
    )


def _time(sheet: Sheet, levels: Levels, groundwater: Groundwater) -> None:
    key, words = "drawdown.time", "time to pump the gap down to the bottom of the bedding"
    given, runs_in = sheet["standpipe.yield"], sheet["drawdown.inflow"]
    unknown = next((number for number in (given, runs_in) if number.verdict == "cannot tell"), None)
    if unknown is not None or given.value is None:
        said = unknown or given
        sheet.without(
            key,
            words,
            calc.drawdown_time,
            reason=said.reason,
            verdict=said.verdict,
            side="up",
            audience="step",
        )
        return
    inflow = sheet.range("drawdown.inflow")
    high = inflow.high if inflow is not None else 0.0
    duty = sheet.si("pump.duty_flow")
    reason = ""
    if not holds_base(levels, sheet["standpipe.reach"].si):
        reason = "a pump in this tube cannot hold the water under the bedding: it never gets there"
    elif duty is None:
        reason = "this pump cannot lift the water so high: it never gets there"
    elif min(given.si, duty) <= high:
        what = "the tube gives" if given.si <= duty else "the pump moves"
        reason = f"more water can run in than {what}: it never gets there"
    if reason:
        sheet.without(
            key,
            words,
            calc.drawdown_time,
            reason=reason,
            verdict="cannot tell",
            side="up",
            audience="step",
        )
        return
    middle, base = levels.underside_deep, levels.bedding_base
    upper = max(groundwater.used, levels.ground)
    above = levels.dig.gap_volume(upper, middle) if upper < middle else 0.0
    below = levels.dig.gap_volume(max(upper, middle), base) if upper < base else 0.0
    if above + below < DROP:
        sheet.without(
            key,
            words,
            calc.drawdown_time,
            reason="no water stands in the gap: there is nothing to pump down",
            side="up",
            audience="step",
        )
        return
    bedding, backfill = levels.job.bedding, levels.job.backfill
    sheet.work(
        key,
        words,
        calc.drawdown_time,
        side="up",
        audience="step",
        missing=f"the pores of {backfill.name.lower()} or {bedding.name.lower()} are not known",
        backfill_porosity=backfill.porosity,
        volume_above=above,
        bedding_porosity=bedding.porosity,
        volume_below=below,
        tube_yield=given.si,
        pump_flow=duty,
        inflow=high,
    )
