"""What the standpipe's readings are worth: how late they are, what a pump can hold, and the link test."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from builder.calc import standpipe as calc
from builder.catalogue.rows import Material
from builder.checks.groundwater import Groundwater, tightest
from builder.checks.say import duration, per_minute
from builder.checks.sheet import Sheet
from builder.levels import Levels
from builder.quantity import Verdict

REACH_UNDER = 0.100  # m below the underside that lets a pump hold the floor dry (design)
GAP_WINDOW = 0.300  # m over which the gap's area is averaged (design)
SLOW = 7 * 86400.0  # s
MIN_POUR = 0.020  # m3: 20 litres, the trade's link test; common practice, no source
LEAST_SEEN = 0.010  # m of water that a chalked stick still shows; common practice, no source
SHOW = 0.050  # m of water that can be seen at the foot of a tube; common practice, no source
LEAST_FALL = 0.001  # m from the gravel's water down to the tube's, without which nothing flows
LEAST_WET = 0.001  # m of water left in a pumped tube, where the pump itself asks for none
LEAST_PUMPED = 0.1e-3 / 60  # m3/s: a litre in ten minutes; less is not pumped; common practice, no source
RUNS_DRY = (
    "less than a litre in ten minutes gets into this tube: a pump in it runs dry and lowers nothing. "
    "Keep the water in the pool up, and call"
)
CHANNEL = 0.400  # m: width of the bedding strip dammed between pocket and tube where there is no pit


def work(sheet: Sheet, levels: Levels, groundwater: Groundwater) -> None:
    """Write the time lags, reach, yield, reads_floor and proof.*."""
    _lags(sheet, levels, groundwater)
    _reach(sheet, levels, groundwater)
    _path(sheet, levels)
    _proof(sheet, levels)


def gap_window(levels: Levels, groundwater: Groundwater) -> tuple[float, float]:
    """Return the depths (upper, lower) between which the gap's area is averaged.

    The 300 mm above the groundwater or the deepest underside, whichever is higher; the underside
    where groundwater is not known. Where the ground is nearer than 300 mm the window ends there.
    """
    lower = levels.underside_deep
    if groundwater.state != "unknown":
        lower = min(lower, groundwater.used)
    return max(lower - GAP_WINDOW, levels.ground), lower


def path_to_slots(levels: Levels) -> list[Material]:
    """Return the materials water passes from the valve to the slots."""
    job = levels.job
    path = [job.bedding, job.backfill]
    return path if job.sump_fill is None else [job.sump_fill, *path]


def wet_slotted(levels: Levels, groundwater: Groundwater) -> float:
    """Return how much of the slotted length stands under water, in m.

    In a tube that is dry, or nearly, or that nobody has dipped, the first water that can be seen at
    its foot: that is when the tube is latest.
    """
    stands = levels.tube_foot - groundwater.used if groundwater.state == "seen" else 0.0
    return min(levels.job.spec.standpipe.slotted, max(stands, SHOW))


def _lags(sheet: Sheet, levels: Levels, groundwater: Groundwater) -> None:
    job = levels.job
    sheet.work(
        "standpipe.time_lag_backfill",
        "time lag of the tube against the backfill",
        calc.time_lag,
        side="up",
        missing=f"no permeability is known for {job.backfill.name.lower()}",
        bore=levels.tube.bore,
        wet_length=wet_slotted(levels, groundwater),
        diameter=levels.tube.outside,
        k=job.backfill.k,
    )
    sheet.work(
        "standpipe.time_lag_bedding",
        "time lag of the water under the floor against the backfill",
        calc.time_lag_bedding,
        side="up",
        missing=f"pores or permeability of {job.bedding.name.lower()} are not known",
        porosity=job.bedding.porosity,
        distance=levels.valve_to_backfill,
        k=job.bedding.k,
        thickness=levels.dig.bedding,
    )
    upper, lower = gap_window(levels, groundwater)
    soil = tightest(levels, levels.ground, levels.dig.deepest)
    sheet.work(
        "standpipe.time_lag_soil",
        "time lag of the gap against the ground",
        calc.time_lag_soil,
        side="up",
        missing=f"the pores of {job.backfill.name.lower()} are not known",
        porosity=job.backfill.porosity,
        gap_area=levels.dig.mean_gap_area(upper, lower),
        equivalent_radius=calc.equivalent_radius(
            base_length=levels.dig.base_length, base_width=levels.dig.base_width
        ),
        k=soil.k,
    )

    def late(follower: str) -> Callable[[float], tuple[Verdict, str]]:
        def judge(seconds: float) -> tuple[Verdict, str]:
            lag = duration(seconds)
            said = f"{follower} {lag if lag.startswith(('more', 'less')) else f'up to {lag}'} later"
            return ("watch", f"{said}; rain fills the gap far sooner") if seconds > SLOW else ("ok", said)

        return judge

    for part, words, follower, calculation in (
        (
            "backfill",
            "until the tube has followed the backfill",
            "the tube shows the backfill's water",
            calc.ninety_percent,
        ),
        (
            "bedding",
            "until the water under the floor has followed the backfill",
            "the water under the floor follows",
            calc.ninety_percent_bedding,
        ),
        (
            "soil",
            "until the gap has followed the ground",
            "the gap shows the ground's water",
            calc.ninety_percent,
        ),
    ):
        source = sheet[f"standpipe.time_lag_{part}"]
        sheet.work(
            f"standpipe.ninety_percent_{part}",
            words,
            calculation,
            side="up",
            audience="step",
            judge=late(follower),
            missing=source.reason,
            time_lag=sheet.range(source.key),
        )


def _reach(sheet: Sheet, levels: Levels, groundwater: Groundwater) -> None:
    pump = levels.job.spec.pump
    stays_under = _stays_under(levels, groundwater)
    floor_dry = levels.underside_deep + REACH_UNDER

    def holds(reach: float) -> tuple[Verdict, str]:
        if reach >= floor_dry - 1e-9:
            return "ok", "a pump in this tube can hold the water below the floor"
        if stays_under:
            return "ok", "reads only: the groundwater is known to stay under the bedding"
        return "watch", "this tube reads, but a pump in it can't hold the floor dry"

    reach = sheet.work(
        "standpipe.reach",
        "lowest water level a pump in the tube can hold, below the rim",
        calc.reach,
        side="up",
        audience="step",
        judge=holds,
        tube_foot=levels.tube_foot,
        min_depth=pump.min_depth,
    ).si
    _yield(sheet, levels, groundwater, reach)


def holds_base(levels: Levels, reach: float) -> bool:
    """Whether a pump that reaches so low can hold the gravel's water at the bedding base: it needs a fall."""
    return reach >= levels.bedding_base + LEAST_FALL


def held_in_gravel(levels: Levels, groundwater: Groundwater, reach: float) -> float:
    """Return the depth of the water in the gravel for which the tube's yield is worked.

    The bedding base, which the tube must hold. A pump that does not reach under the bedding cannot
    hold it there: then the groundwater, as long as it lasts.
    """
    return levels.bedding_base if holds_base(levels, reach) else groundwater.used


def yield_inputs(
    levels: Levels, groundwater: Groundwater, reach: float, slotted: float
) -> dict[str, float | None]:
    """Return the inputs of the tube's yield, with its water where it gives most.

    The permeability is None where the backfill's is not known, and what hangs on it too.
    """
    spec, k = levels.job.spec.standpipe, levels.job.backfill.k
    in_gravel = held_in_gravel(levels, groundwater, reach)
    in_tube = wet = None
    if k is not None:
        in_tube = calc.best_level(
            tube_foot=levels.tube_foot,
            reach=min(reach, levels.tube_foot - LEAST_WET),
            in_gravel=in_gravel,
            slotted=slotted,
            pitch=spec.pitch,
            rows=float(spec.rows),
            slot_length=spec.slot_length,
            slot_width=spec.slot_width,
            diameter=levels.tube.outside,
            k_low=k.low,
        )
        wet = levels.tube_foot - in_tube
    return {
        "entrance_velocity": calc.ENTRANCE_VELOCITY,
        "wet_slots": None
        if wet is None
        else calc.wet_slots(rows=float(spec.rows), slotted=slotted, pitch=spec.pitch, wet=wet),
        "slot_length": spec.slot_length,
        "slot_width": spec.slot_width,
        "wet_length": None if wet is None else min(slotted, wet),
        "diameter": levels.tube.outside,
        "k_low": None if k is None else k.low,
        "in_tube": in_tube,
        "in_gravel": in_gravel,
    }


def _yield(sheet: Sheet, levels: Levels, groundwater: Groundwater, reach: float) -> None:
    key, words = "standpipe.yield", "flow the tube gives while it holds the water down"
    if groundwater.state == "unknown":
        reason = "the groundwater is not known, so what the tube would give isn't either"
        sheet.without(
            key, words, calc.tube_yield, reason=reason, verdict="cannot tell", side="down", audience="step"
        )
        return
    if groundwater.used >= min(reach, levels.tube_foot - LEAST_WET):
        sheet.without(
            key,
            words,
            calc.tube_yield,
            reason="the groundwater is below what the pump can reach",
            side="down",
            audience="step",
        )
        return
    given: dict[str, Any] = {**yield_inputs(levels, groundwater, reach, levels.job.spec.standpipe.slotted)}
    sheet.work(
        key,
        words,
        calc.tube_yield,
        side="down",
        audience="step",
        missing=f"no permeability is known for {levels.job.backfill.name.lower()}",
        judge=lambda flow: (
            ("ok", f"pump no faster than {per_minute(flow)}") if flow >= LEAST_PUMPED else ("watch", RUNS_DRY)
        ),
        **given,
    )


def _stays_under(levels: Levels, groundwater: Groundwater) -> bool:
    """Whether the water is known to stay under the bedding base, at its highest known and at every tide."""
    ground = levels.job.spec.ground
    if groundwater.state == "unknown" or ground.tidal:
        return False
    highest = groundwater.used
    if ground.highest_known is not None:
        highest = min(highest, levels.ground + ground.highest_known)
    return highest > levels.bedding_base


def _path(sheet: Sheet, levels: Levels) -> None:
    path = path_to_slots(levels)
    shut = [material.name.lower() for material in path if material.drains is False]
    unknown = [material.name.lower() for material in path if material.drains is None]
    verdict: Verdict = "stop" if shut else "cannot tell" if unknown else "ok"
    reason = ""
    if shut:
        reason = f"water cannot get from the valve to the tube: {' and '.join(shut)} does not drain"
    elif unknown:
        reason = f"nobody can say whether {' and '.join(unknown)} drains"
    sheet.method(
        "standpipe.reads_floor",
        "materials between valve and slots that do not drain",
        float(len(shut)) if not unknown else None,
        unit="1",
        symbol="n",
        how="count of the materials from the valve to the slots whose catalogue row says they do not drain",
        source="design-levels",
        inputs={"materials": (float(len(path)), "1")},
        side="up",
        verdict=verdict,
        reason=reason,
    )


def _proof(sheet: Sheet, levels: Levels) -> None:
    """The link test: water poured at the valve pocket shows in the tube.

    With a pit the water collects in the pit's pores; without one it runs along a strip of bedding
    dammed between pocket and tube. A sump fills first. The test comes before anything is measured,
    so the foot is the planned one.
    """
    job, spec = levels.job, levels.job.spec.standpipe
    sump = job.spec.sump
    sump_pores: float | None = 0.0
    if sump is not None and job.sump_fill is not None:
        pores = job.sump_fill.porosity
        sump_pores = None if pores is None else pores * sump.width**2 * sump.depth
    if spec.pit is not None and levels.pit_base is not None:
        pores, area = job.backfill.porosity, spec.pit.width**2
        base, top = levels.pit_base, levels.bedding_base
    else:
        pores, area = job.bedding.porosity, CHANNEL * levels.valve_to_tube
        base, top = levels.bedding_base, levels.underside_deep
    pore_area = None if pores is None else pores * area
    foot = levels.underside_deep + spec.foot_below_underside
    room = foot - top
    missing = "the pores of a material between pocket and tube are not known"

    def seen(rise: float) -> tuple[Verdict, str]:
        if rise < LEAST_SEEN:
            return (
                "cannot tell",
                "the foot stands so near the gravel's top that no water can show in it",
            )
        return "ok", ""

    litres = sheet.work(
        "proof.litres",
        "water to pour at the valve pocket for the link test",
        calc.proof_litres,
        unit="L",
        side="up",
        audience="step",
        missing=missing,
        show=min(SHOW, room),
        least=MIN_POUR,
        sump_pores=sump_pores,
        foot_above_base=base - foot,
        pore_area=pore_area,
    )
    sheet.work(
        "proof.rise",
        "water that must then show in the tube, above its foot",
        calc.proof_rise,
        side="down",
        audience="step",
        missing=missing,
        judge=seen,
        poured=litres.si if litres.value is not None else None,
        sump_pores=sump_pores,
        pore_area=pore_area,
        foot_above_base=base - foot,
        room=room,
    )
