"""Dig and materials: volumes that balance, what may not be near, and everything to order."""

from __future__ import annotations

import math

from builder.calc import dig as calc
from builder.calc.constants import CONCRETE
from builder.catalogue.rows import Material
from builder.checks.groundwater import Groundwater, touching
from builder.checks.say import mm
from builder.checks.sheet import Sheet
from builder.levels import Levels
from builder.quantity import Column, Table, Verdict, worst

MAKEUP_MOST = (
    0.150  # m under the shell before it must be compacted or stabilised (AS 1839 section 8, from an extract)
)
LIFT_SPARE = 1.10  # rigging and water left in the shell; common practice, no source
WET = 1e-6  # m: less than this over the base is no water but rounding
MAKEUP_ITEMS = {  # of the bedding's material (DESIGN names no other)
    "none": "make-up under the bedding",
    "compacted": "make-up under the bedding, to be compacted",
    "stabilised": "make-up under the bedding, to be stabilised",
}
CARTRIDGE = 300e-6  # m3 in a common sealant cartridge; common practice, no source


def work(sheet: Sheet, levels: Levels, groundwater: Groundwater) -> None:
    """Write the volumes, dig.people, dig.base, dig.influence, the masses and order.table.

    Needs fill.start_groundwater.
    """
    _volumes(sheet, levels)
    _people(sheet, levels)
    _base(sheet, levels, groundwater)
    _influence(sheet, levels)
    _masses(sheet, levels)
    _order(sheet, levels)


def _volumes(sheet: Sheet, levels: Levels) -> None:
    dig, spec = levels.dig, levels.job.spec
    pit, sump = spec.standpipe.pit, spec.sump
    volume = sheet.work(
        "dig.volume",
        "ground to dig, as it lies",
        calc.volume,
        side="up",
        audience="step",
        hole=dig.profile.volume_below(dig.ground),
        sump=_square(sump),
        pit=_square(pit),
        beam_trench=levels.beam_trench,
    ).si
    bulked = sheet.work(
        "dig.bulked_volume",
        "the same ground loose on the heap",
        calc.bulked_volume,
        side="up",
        audience="step",
        volume=volume,
        bulking=max(s.bulking for s in touching(levels, levels.ground, dig.deepest)),
    ).si
    sheet.work(
        "dig.truckloads",
        "truckloads of spoil",
        calc.truckloads,
        side="up",
        audience="step",
        bulked_volume=bulked,
        truck=spec.excavation.truck,
    )

    def made_up(depth: float) -> tuple[Verdict, str]:
        if depth > MAKEUP_MOST + 1e-9 and spec.excavation.makeup == "none":
            return (
                "stop",
                f"{mm(depth, 'up')} of loose fill under the shell: compact or stabilise it first",
            )
        return "ok", ""

    sheet.work(
        "bedding.makeup",
        "made-up material under the shell",
        calc.makeup,
        side="up",
        audience="step",
        judge=made_up,
        bedding=dig.bedding,
        overdug=dig.overdug,
    )
    bedding = sheet.method(
        "bedding.volume",
        "bedding, compacted",
        dig.bedding_volume,
        unit="m3",
        symbol="V_bed",
        how="base area times the vertical thickness between the underside and the bedding's base, "
        "summed along the shell",
        source="geometry",
        side="up",
        audience="step",
        inputs={"base_area": (float(dig.base.polygon.area), "m2"), "bedding": (dig.bedding, "m")},
    ).si
    makeup = sheet.work(
        "bedding.makeup_volume",
        "material to make up what was dug too deep",
        calc.makeup_volume,
        side="up",
        audience="step",
        base_area=float(dig.base.polygon.area),
        overdug=dig.overdug,
    ).si
    sheet.work(
        "backfill.volume",
        "backfill beside the shell, in place",
        calc.backfill_volume,
        side="up",
        audience="step",
        dig=volume,
        bedding=bedding,
        makeup=makeup,
        sump=_square(sump),
        pit=_square(pit),
        shell_below_ground=levels.solid.outside_profile.volume_below(levels.ground),
        beam_below_ground=levels.beam.volume_below(levels.ground),
    )
    sheet.work(
        "beam.volume",
        "concrete in the ring beam",
        calc.prism,
        side="up",
        audience="step",
        area=levels.beam.area,
        depth=levels.beam.depth,
    )


def _masses(sheet: Sheet, levels: Levels) -> None:
    job = levels.job
    for key, words, volume, density in (
        ("bedding.mass", "weight of the bedding", "bedding.volume", job.bedding.bulk_density),
        ("backfill.mass", "weight of the backfill", "backfill.volume", job.backfill.bulk_density),
        ("beam.mass", "weight of the ring beam", "beam.volume", CONCRETE),
    ):
        sheet.work(
            key, words, calc.mass, side="up", audience="step", volume=sheet.si(volume), density=density
        )
    sheet.work(
        "lift.mass",
        "weight to tell the crane: shell, rigging and what is left in it",
        calc.lift_mass,
        side="up",
        audience="step",
        shell_mass=job.spec.shell.mass,
        spare=LIFT_SPARE,
    )


def _people(sheet: Sheet, levels: Levels) -> None:
    region, dig = levels.job.region, levels.dig
    soils = touching(levels, levels.ground, dig.deepest)
    flattest = min(soils, key=lambda soil: soil.batter)
    shored = dig.batter is None
    too_steep = dig.batter is not None and dig.batter > flattest.batter + math.radians(0.5)
    ground, trigger = flattest.name.lower(), region.dig_trigger - 1e-9

    def judge(depth: float) -> tuple[Verdict, str]:
        if shored:
            return "watch", "the sides stand upright: nobody goes in before the engineer's shoring stands"
        if too_steep:
            steep = f"sides at {math.degrees(dig.batter or 0.0):.0f} degrees are steeper than {ground} stands"
            if depth >= trigger:
                return (
                    "stop",
                    f"{steep}: cut them back or have them shored before anybody goes in",
                )
            return "watch", f"{steep}: nobody between shell and bank"
        if depth >= trigger:
            return "watch", "at this depth the dig counts as deep: check the sides before each shift"
        return "ok", "the sides are no steeper than this ground stands; check them before each shift"

    sheet.work(
        "dig.people",
        "depth that people would work in",
        calc.depth,
        side="nearest",
        audience="step",
        judge=judge,
        base=dig.deepest,
        ground=levels.ground,
    )


def _base(sheet: Sheet, levels: Levels, groundwater: Groundwater) -> None:
    start = sheet["fill.start_groundwater"]

    def judge(above: float) -> tuple[Verdict, str]:
        if groundwater.state == "unknown":
            return "cannot tell", groundwater.said
        if above <= WET:
            return _later(levels)
        if start.verdict in ("ok", "watch"):
            return "watch", f"water would stand {mm(above, 'up')} deep over the base: pump the pit first"
        return "stop", f"water would stand {mm(above, 'up')} deep over the base; {start.reason}"

    sheet.work(
        "dig.base",
        "groundwater over the bottom of the bedding",
        calc.depth,
        side="up",
        audience="step",
        judge=judge,
        base=levels.bedding_base,
        ground=groundwater.used,
    )


def _later(levels: Levels) -> tuple[Verdict, str]:
    """No water in the base today: whether there may be some tomorrow."""
    ground = levels.job.spec.ground
    if ground.highest_known is not None:
        over = levels.bedding_base - levels.ground - ground.highest_known
        if over > WET:
            return (
                "watch",
                f"no water stands in the base today, but it is known to rise {mm(over, 'up')} over it: "
                "dip before you dig, and have a pump there",
            )
    if ground.tidal:
        return "watch", "no water stands in the base today, but the tide moves it: dip at high water first"
    return "ok", "no water stands in the base"


def _influence(sheet: Sheet, levels: Levels) -> None:
    neighbours = levels.job.spec.ground.neighbours
    words = "how far each neighbour stands outside the line the dig could slip along"
    columns = (
        Column("what", "text"),
        Column("away", "m"),
        Column("depth", "m"),
        Column("margin", "m"),
        Column("verdict", "text"),
    )
    if not neighbours:
        sheet.method(
            "dig.influence",
            words,
            None,
            unit="1",
            symbol="-",
            how="does not apply",
            source="abcb-3.2.1",
            inputs={},
            audience="step",
            reason="no neighbour is named in the job",
        )
        return
    soils = touching(levels, levels.ground, levels.dig.deepest)
    # The flattest of what the ground stands at and what is cut: a flatter cut takes more away.
    slopes = [soil.batter for soil in soils] + ([levels.dig.batter] if levels.dig.batter is not None else [])
    batter = min(slopes)
    base = levels.dig.deepest - levels.ground
    rows, verdicts, said = [], [], []
    for neighbour in neighbours:
        margin = calc.influence_margin(
            away=neighbour.away - levels.job.spec.backfill.working_gap - levels.solid.shell.wall,
            base_depth=base,
            footing_depth=neighbour.depth,
            batter=batter,
        )
        verdict: Verdict = "ok" if margin > -WET else "stop"
        verdicts.append(verdict)
        rows.append((neighbour.what, neighbour.away, neighbour.depth, margin, verdict))
        if verdict == "stop":
            said.append(
                f"the {neighbour.what} stands {mm(-margin, 'up')} inside the line: stop, ask an engineer"
            )
    sheet.method(
        "dig.influence",
        words,
        Table(columns, tuple(rows)),
        unit="1",
        symbol="dx",
        how="distance from the edge of the base, less the height from base up to footing over the tangent "
        "of the batter, the flattest of the grounds and of the cut",
        source="abcb-3.2.1",
        side="down",
        audience="step",
        verdict=worst(*verdicts),
        reason="; ".join(said),
        inputs={
            "base_depth": (base, "m"),
            "batter": (batter, "rad"),
            "working_gap": (levels.job.spec.backfill.working_gap, "m"),
        },
    )


def _order(sheet: Sheet, levels: Levels) -> None:
    job = levels.job
    columns = tuple(
        Column(key, unit)
        for key, unit in (
            ("item", "text"),
            ("ask_for", "text"),
            ("net", "1"),
            ("waste", "1"),
            ("order", "1"),
            ("unit", "text"),
        )
    )
    rows: list[tuple[float | str | None, ...]] = []

    def bulk(item: str, material: Material, volume: float) -> None:
        tonnes = volume * material.bulk_density / 1000
        rows.append(
            (item, material.ask_for, tonnes, material.waste, _up(tonnes * (1 + material.waste), 0.5), "t")
        )

    bulk("bedding", job.bedding, sheet["bedding.volume"].si)
    makeup = sheet["bedding.makeup_volume"].si
    if makeup > 0:
        bulk(MAKEUP_ITEMS[job.spec.excavation.makeup], job.bedding, makeup)
    backfill = sheet["backfill.volume"].si
    pit = _square(job.spec.standpipe.pit)
    bulk("backfill, with the tube's pit" if pit else "backfill", job.backfill, backfill + pit)
    if job.sump_fill is not None and job.spec.sump is not None:
        bulk("sump fill", job.sump_fill, _square(job.spec.sump))
    if job.mesh is not None:
        width = job.spec.sump.width if job.spec.sump else 0.4
        side = width + 0.3  # lapped 150 mm all round; common practice
        rows.append(("mesh", job.mesh.ask_for, side * side, 0.1, _up(side * side * 1.1, 0.5), "m2"))
    cut = sheet["standpipe.cut_length"].si
    sold = min((length for length in job.pipe.sold_lengths if length >= cut - 1e-9), default=None)
    rows.append(("standpipe", job.pipe.name, cut, None, sold, "m"))
    beam = sheet["beam.volume"].si
    rows.append(
        (
            "ring beam concrete",
            "N25 concrete, or as your engineer says",
            beam,
            0.1,
            _up(beam * 1.1, 0.2),
            "m3",
        )
    )
    sealant = sheet.si("valve.sealant_volume")
    if sealant is not None:
        cartridges = float(math.ceil(sealant * 1.25 / CARTRIDGE))
        rows.append(
            (
                "sealant",
                "neutral-cure sealant for standing water, 300 mL cartridge",
                sealant / CARTRIDGE,
                0.25,
                cartridges,
                "cartridges",
            )
        )
    sheet.method(
        "order.table",
        "everything to order",
        Table(columns, tuple(rows)),
        unit="1",
        symbol="-",
        how="net amount with its waste, up to the size it is sold in",
        source="common-practice",
        side="up",
        audience="step",
        inputs={
            "bedding": (sheet["bedding.volume"].si, "m3"),
            "makeup": (makeup, "m3"),
            "backfill": (backfill, "m3"),
            "beam": (beam, "m3"),
        },
    )


def _square(pit: object) -> float:
    """Volume of a square pit or sump; 0 without one."""
    width, depth = getattr(pit, "width", 0.0), getattr(pit, "depth", 0.0)
    return float(width) ** 2 * float(depth)


def _up(amount: float, step: float) -> float:
    return round(math.ceil(amount / step - 1e-9) * step, 9)
