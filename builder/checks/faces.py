"""Every face where two materials touch: is the finer held back, does water pass, does it stay open.

The finer one is what must be held back (the base), the coarser one holds it (the filter).
Envelopes count with their unfavourable side. A missing grading is *cannot tell*.
"""

from __future__ import annotations

from dataclasses import dataclass

from builder.calc import filters as calc
from builder.catalogue.rows import Fabric, Ground, Material
from builder.checks.materials import Graded, coarse_side, fine_side, fines_at_most, size_at
from builder.checks.sheet import Sheet
from builder.checks.standpipe import SLOT_RETENTION
from builder.levels import Levels
from builder.quantity import Column, Number, Table, Verdict, worst

RETENTION_MOST = 5.0  # EM 1110-2-1901: D15 filter / D85 base
FLOW_LEAST = 3.0  # EM 1110-2-1901: D15 filter / D15 base, 3 to 5
SPREAD_MOST = 25.0  # EM 1110-2-1901: D50 filter / D50 base
HOLE_RETENTION = 1.0  # US Army coastal engineering technical note: D85 over a round hole
PERMITTIVITY = ((0.15, 0.5), (0.50, 0.2), (1.0, 0.1))  # AASHTO M288: fines below -> least permittivity, 1/s
CLOGGING_CU = 3.0  # FHWA: the least opening counts only for a spread grading
MESH_LEAVES = 0.5  # share of the valve's flow a mesh must leave; common practice, no source


@dataclass(frozen=True)
class Test:
    """One criterion at a face."""

    criterion: str
    of: str
    number: Number


def ground_face(sheet: Sheet, name: str, grounds: list[Ground], fill: Material) -> None:
    """The worst of the grounds that touch the fill stands for the face; the table shows them all."""
    tried = []
    for soil in grounds:
        page = Sheet()
        granular_face(page, name, soil, fill)
        tried.append((soil, page.numbers))
    key = f"filter.{name}"
    order: tuple[Verdict, ...] = ("ok", "watch", "cannot tell", "stop")
    _, chosen = max(tried, key=lambda pair: order.index(pair[1][key].verdict))
    rows = tuple(
        row for _, page in tried if isinstance(page[key].value, Table) for row in page[key].table.rows
    )
    for number in chosen.values():
        if number.key == key and rows:
            number = Number(**{**number.__dict__, "value": Table(number.table.columns, rows)})
        sheet.put(number)


def granular_face(sheet: Sheet, name: str, first: Graded, second: Graded) -> None:
    """Write filter.<name> and its three criteria for two materials that touch."""
    words = f"{first.name.lower()} against {second.name.lower()}"
    key = f"filter.{name}"
    if first.id == second.id:
        for criterion in ("", ".retention", ".flow", ".clogging"):
            not_here(sheet, f"{key}{criterion}", words, "both sides are the same material")
        return
    base, filter_ = _finer_first(first, second)
    missing = _no_grading(base, filter_)

    def retained(ratio: float) -> tuple[Verdict, str]:
        if ratio <= RETENTION_MOST:
            return "ok", ""
        said = f"{base.name.lower()} can wash into {filter_.name.lower()}"
        if isinstance(base, Ground) and base.cohesive:
            return "watch", f"{said} where it softens: line the dig's sides with a filter fabric"
        return "stop", f"{said}: put a filter fabric between them, or use a finer fill"

    def drains(ratio: float) -> tuple[Verdict, str]:
        if ratio >= FLOW_LEAST or _as_open(filter_, base):
            return "ok", ""
        return "watch", f"{filter_.name.lower()} may hold up the water from {base.name.lower()}"

    def even(ratio: float) -> tuple[Verdict, str]:
        if ratio <= SPREAD_MOST:
            return "ok", ""
        return "watch", f"{filter_.name.lower()} may clog with {base.name.lower()}"

    tests = [
        Test(
            "retention",
            words,
            sheet.work(
                f"{key}.retention",
                f"{words}: is the finer one held back",
                calc.retention,
                side="up",
                judge=retained,
                missing=missing,
                d15_filter=coarse_side(filter_, 0.15),
                d85_base=fine_side(base, 0.85),
            ),
        ),
        Test(
            "flow",
            words,
            sheet.work(
                f"{key}.flow",
                f"{words}: does the water pass",
                calc.flow,
                side="down",
                judge=drains,
                missing=missing,
                d15_filter=fine_side(filter_, 0.15),
                d15_base=coarse_side(base, 0.15),
            ),
        ),
        Test(
            "clogging",
            words,
            sheet.work(
                f"{key}.clogging",
                f"{words}: does it stay open",
                calc.spread,
                side="up",
                judge=even,
                missing=missing,
                d50_filter=coarse_side(filter_, 0.50),
                d50_base=fine_side(base, 0.50),
            ),
        ),
    ]
    limits = {"retention": RETENTION_MOST, "flow": FLOW_LEAST, "clogging": SPREAD_MOST}
    _face(sheet, key, words, tests, limits, "usace-em-1901")


def mesh_face(sheet: Sheet, under: Material, mesh: Fabric | None) -> None:
    """Write filter.opening_max, opening_min and bedding_mesh for what lies under the mesh."""
    key, words = "filter.bedding_mesh", f"{under.name.lower()} under the mesh"
    d85, d15 = fine_side(under, 0.85), coarse_side(under, 0.15)
    cu, fines = sheet.si(f"filter.{under.id}.cu"), fines_at_most(under)
    missing = f"no full grading is known for {under.name.lower()}"
    b = (
        None
        if cu is None or fines is None
        else calc.retention_factor(cu, fines, nonwoven=bool(mesh and mesh.kind == "nonwoven"))
    )
    most = sheet.work(
        "filter.opening_max",
        f"largest mesh opening that holds {under.name.lower()}",
        calc.opening_max,
        side="down",
        missing=missing,
        b=b,
        d85=d85,
    )
    least = sheet.work(
        "filter.opening_min",
        f"smallest mesh opening that {under.name.lower()} cannot clog, where its sizes are spread",
        calc.opening_min,
        side="up",
        missing=missing,
        d15=d15,
    )
    if mesh is None:
        for criterion in ("", ".retention", ".flow", ".clogging"):
            not_here(sheet, f"{key}{criterion}", words, "this job has no mesh")
        return
    name = mesh.name.lower()

    def held(ratio: float) -> tuple[Verdict, str]:
        return (
            ("ok", "") if ratio <= 1 else ("stop", f"{name} is too open: {under.name.lower()} comes through")
        )

    def open_(ratio: float) -> tuple[Verdict, str]:
        if ratio >= 1 or (cu is not None and cu <= CLOGGING_CU):
            return "ok", ""
        return "watch", f"{name} is so fine that {under.name.lower()} may clog it"

    def passes(ratio: float) -> tuple[Verdict, str]:
        return ("ok", "") if ratio >= 1 else ("watch", f"{name} lets too little water through")

    required = None if fines is None else next(psi for share, psi in PERMITTIVITY if fines <= share)
    unknown = f"the opening or permittivity of {name} is not known"
    tests = [
        Test(
            "retention",
            words,
            sheet.work(
                f"{key}.retention",
                f"{words}: is it held back",
                calc.opening_ratio,
                side="up",
                judge=held,
                missing=missing if mesh.opening is not None else unknown,
                opening=mesh.opening,
                limit=most.value if isinstance(most.value, float) else None,
            ),
        ),
        Test(
            "flow",
            words,
            sheet.work(
                f"{key}.flow",
                f"{words}: does the water pass",
                calc.permittivity_ratio,
                side="down",
                judge=passes,
                missing=missing if mesh.permittivity is not None else unknown,
                permittivity=mesh.permittivity,
                required=required,
            ),
        ),
        Test(
            "clogging",
            words,
            sheet.work(
                f"{key}.clogging",
                f"{words}: does the mesh stay open",
                calc.opening_ratio,
                side="down",
                judge=open_,
                missing=missing if mesh.opening is not None else unknown,
                opening=mesh.opening,
                limit=least.value if isinstance(least.value, float) else None,
            ),
        ),
    ]
    _face(sheet, key, words, tests, {"retention": 1.0, "flow": 1.0, "clogging": 1.0}, "fhwa-geotextile")


def throat_face(sheet: Sheet, levels: Levels, under: Material) -> None:
    """With a mesh: what it leaves of the valve's flow. Without: does the fill itself stay out."""
    key, mesh, throat = "filter.mesh_throat", levels.job.mesh, levels.solid.shell.relief.throat
    if mesh is None:
        words = f"{under.name.lower()} under the valve's throat, without a mesh"

        def stays(ratio: float) -> tuple[Verdict, str]:
            if ratio >= HOLE_RETENTION:
                return "ok", ""
            return "stop", f"{under.name.lower()} would wash up through the valve: lay a mesh over the pocket"

        test = Test(
            "retention",
            words,
            sheet.work(
                f"{key}.retention",
                f"{words}: is it held back",
                calc.over_opening,
                side="down",
                judge=stays,
                missing=f"no grading is known for {under.name.lower()}",
                d85=fine_side(under, 0.85),
                opening=throat,
            ),
        )
        for criterion in (".flow", ".clogging"):
            not_here(sheet, f"{key}{criterion}", words, "this job has no mesh")
        _face(sheet, key, words, [test], {"retention": HOLE_RETENTION}, "army-slots")
        return
    words = f"{mesh.name.lower()} under the valve's throat"
    flow = sheet["valve.flow"].value
    last = flow.records()[-1] if isinstance(flow, Table) else {}

    def leaves(ratio: float) -> tuple[Verdict, str]:
        if ratio >= MESH_LEAVES:
            return "ok", ""
        return "watch", f"the mesh leaves only {ratio:.0%} of the valve's flow"

    test = Test(
        "flow",
        words,
        sheet.work(
            f"{key}.flow",
            f"{words}: how much of the flow it leaves",
            calc.flow_left,
            side="down",
            judge=leaves,
            missing="what passes the mesh is not known",
            with_mesh=_cell(last, "with_typical"),
            without_mesh=_cell(last, "without_typical"),
        ),
    )
    for criterion in (".retention", ".clogging"):
        not_here(sheet, f"{key}{criterion}", words, "the mesh is judged against what lies under it")
    _face(sheet, key, words, [test], {"flow": MESH_LEAVES}, "design-levels")


def slot_face(sheet: Sheet, levels: Levels) -> None:
    """Write filter.backfill_slot."""
    key, backfill = "filter.backfill_slot", levels.job.backfill
    words = f"{backfill.name.lower()} against the slots"

    def held(ratio: float) -> tuple[Verdict, str]:
        if ratio >= SLOT_RETENTION:
            return "ok", ""
        return "watch", f"{backfill.name.lower()} is too fine for these slots: put a fabric sock over them"

    test = Test(
        "retention",
        words,
        sheet.work(
            f"{key}.retention",
            f"{words}: is it held back",
            calc.over_opening,
            side="down",
            judge=held,
            missing=f"no grading is known for {backfill.name.lower()}",
            d85=fine_side(backfill, 0.85),
            opening=levels.job.spec.standpipe.slot_width,
        ),
    )
    for criterion, reason in (
        (".flow", "what the slots pass is the gentle flow of the standpipe"),
        (".clogging", "a slot is cleaned with a brush: it is tested each spring"),
    ):
        not_here(sheet, f"{key}{criterion}", words, reason)
    _face(sheet, key, words, [test], {"retention": SLOT_RETENTION}, "army-slots")


def _face(
    sheet: Sheet, key: str, words: str, tests: list[Test], limits: dict[str, float], source: str
) -> None:
    columns = (
        Column("face", "text"),
        Column("criterion", "text"),
        Column("value", "1"),
        Column("limit", "1"),
        Column("verdict", "text"),
    )
    rows = tuple(
        (
            test.of,
            test.criterion,
            test.number.value if isinstance(test.number.value, float) else None,
            limits[test.criterion],
            test.number.verdict,
        )
        for test in tests
    )
    verdict = worst(*(test.number.verdict for test in tests))
    reasons = [test.number.reason for test in tests if test.number.verdict == verdict and test.number.reason]
    sheet.method(
        key,
        words,
        Table(columns, rows),
        unit="1",
        symbol="-",
        how="the worst of the criteria at this face",
        source=source,
        inputs={
            test.criterion: (test.number.value if isinstance(test.number.value, float) else None, "1")
            for test in tests
        },
        side="up",
        verdict=verdict,
        reason=reasons[0] if reasons else "",
    )


ASKED = {"retention": ": is it held back", "flow": ": does the water pass", "clogging": ": does it stay open"}


def not_here(sheet: Sheet, key: str, words: str, reason: str) -> None:
    """Write down that a face or criterion does not apply, and why."""
    sheet.method(
        key,
        words + ASKED.get(key.rpartition(".")[2], ""),
        None,
        unit="1",
        symbol="-",
        how="does not apply",
        source="design-levels",
        inputs={},
        reason=reason,
    )


def _finer_first(first: Graded, second: Graded) -> tuple[Graded, Graded]:
    sizes = size_at(first, 0.5, "mid"), size_at(second, 0.5, "mid")
    if sizes[0] is not None and sizes[1] is not None and sizes[1] < sizes[0]:
        return second, first
    return first, second


def _as_open(filter_: Graded, base: Graded) -> bool:
    return filter_.k is not None and base.k is not None and filter_.k.typical >= base.k.typical


def _no_grading(base: Graded, filter_: Graded) -> str:
    without = [row.name.lower() for row in (base, filter_) if row.grading is None]
    if without:
        return f"no grading is known for {' and '.join(without)}"
    return f"the gradings of {base.name.lower()} and {filter_.name.lower()} do not reach far enough"


def _cell(record: dict[str, float | str | None], key: str) -> float | None:
    cell = record.get(key)
    return cell if isinstance(cell, int | float) else None
