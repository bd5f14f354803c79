"""The standpipe as a thing to cut: its length, place, bore and slots."""

from __future__ import annotations

from builder.calc import standpipe as calc
from builder.checks import ties
from builder.checks.materials import fine_side
from builder.checks.say import mm
from builder.checks.sheet import Sheet
from builder.levels import Levels
from builder.quantity import Verdict

GIRTH_CUT_MOST = 0.40  # design; common practice, no source
PUMP_ROOM = 0.010  # m, both sides together; common practice, no source
SLOT_RETENTION = 1.2  # US Army coastal engineering technical note, eqs 9-10 (slots)
PLACE_HIGHER = 0.050  # m (design)


def work(sheet: Sheet, levels: Levels) -> None:
    """Write the standpipe's lengths, room, place and slots."""
    _lengths(sheet, levels)
    _slots(sheet, levels)
    ties.work(sheet, levels)


def _lengths(sheet: Sheet, levels: Levels) -> None:
    spec = levels.job.spec.standpipe
    pump = levels.job.spec.pump
    length = sheet.work(
        "standpipe.length",
        "length of the standpipe once trimmed",
        calc.length,
        audience="step",
        tube_foot=levels.tube_foot,
        tube_top=levels.tube_top,
    ).si
    sheet.work(
        "standpipe.cut_length",
        "length to cut the standpipe at first",
        calc.cut_length,
        side="up",
        audience="step",
        length=length,
        spare_mm=float(calc.SPARE_LENGTH_MM),
    )
    sheet.work(
        "standpipe.build_mark",
        "height of the build mark above the foot",
        calc.build_mark,
        audience="step",
        tube_foot=levels.tube_foot,
    )
    bore = sheet.work(
        "standpipe.bore",
        "inside width of the standpipe",
        calc.bore,
        side="down",
        audience="step",
        outside_diameter=levels.job.pipe.outside,
        wall=levels.job.pipe.wall,
    ).si

    def fits(room: float) -> tuple[Verdict, str]:
        if room < 0:
            return "stop", f"the pump is {mm(-room, 'up', 0.001)} too wide for this tube"
        if room < PUMP_ROOM - 1e-9:
            short = mm(room, "down", 0.001)
            return "stop", f"only {short} of room around the pump; it jams, and its cord has no place"
        return "ok", ""

    sheet.work(
        "standpipe.pump_clearance",
        "room between pump and tube, both sides together",
        calc.pump_clearance,
        side="down",
        audience="step",
        judge=fits,
        bore=bore,
        body=pump.body,
    )

    def low_enough(higher: float) -> tuple[Verdict, str]:
        if higher > PLACE_HIGHER + 1e-9 and spec.pit is None:
            up = mm(higher, "up")
            return (
                "stop",
                f"the floor beside the tube is {up} higher than the deepest floor, and there is no pit",
            )
        return "ok", ""

    sheet.work(
        "standpipe.place",
        "how much higher the shell's underside is at the tube than at its deepest",
        calc.place,
        side="up",
        audience="step",
        judge=low_enough,
        underside_deep=levels.underside_deep,
        underside_at_tube=levels.tube.underside,
    )


def _slots(sheet: Sheet, levels: Levels) -> None:
    spec = levels.job.spec.standpipe
    count = sheet.work(
        "standpipe.slot_count",
        "number of slots",
        calc.slot_count,
        audience="step",
        rows=float(spec.rows),
        slotted=spec.slotted,
        pitch=spec.pitch,
    ).si
    area = sheet.work(
        "standpipe.open_area",
        "open area of all slots",
        calc.open_area,
        side="down",
        slot_count=count,
        slot_length=spec.slot_length,
        slot_width=spec.slot_width,
    ).si

    def strong(share: float) -> tuple[Verdict, str]:
        if share > GIRTH_CUT_MOST:
            return (
                "stop",
                f"a ring of slots cuts {share:.0%} of the tube's girth; over {GIRTH_CUT_MOST:.0%} it breaks",
            )
        return "ok", ""

    sheet.work(
        "standpipe.girth_cut",
        "share of the girth one ring of slots cuts",
        calc.girth_cut,
        side="up",
        judge=strong,
        rows=float(spec.rows),
        slot_length=spec.slot_length,
        outside_diameter=levels.job.pipe.outside,
    )
    sheet.work(
        "standpipe.gentle_flow",
        "flow the slots pass without drawing fines, all of them under water",
        calc.gentle_flow,
        side="down",
        audience="step",
        entrance_velocity=calc.ENTRANCE_VELOCITY,
        open_area=area,
    )
    d85 = fine_side(levels.job.backfill, 0.85)

    def held(ratio: float) -> tuple[Verdict, str]:
        if ratio < SLOT_RETENTION:
            return (
                "watch",
                "the backfill is too fine for these slots: put a fabric sock over the slotted part",
            )
        return "ok", ""

    sheet.work(
        "standpipe.slot_retains",
        "backfill's D85 over the slot's width",
        calc.slot_retains,
        side="down",
        judge=held,
        missing=f"no grading is known for {levels.job.backfill.name.lower()}",
        d85=d85,
        slot_width=spec.slot_width,
    )
