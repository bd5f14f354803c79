"""The Filter numbers: percentiles of every material, and every face where two of them touch.

At a face the finer one is what must be held back (the base), the coarser one holds it (the
filter). Envelopes count with their unfavourable side. A missing grading is *cannot tell*.
"""

from __future__ import annotations

from builder.calc import filters as calc
from builder.catalogue.rows import Material
from builder.checks.faces import granular_face, ground_face, mesh_face, not_here, slot_face, throat_face
from builder.checks.groundwater import touching
from builder.checks.materials import Graded, curve, fine_side
from builder.checks.sheet import Sheet
from builder.levels import Levels
from builder.quantity import Input, Number, Range, Verdict

DRAINS_K = 1e-5  # m/s: less than this is no drain; Terzaghi and Peck's drainage classes, from memory
PERCENTILES = (("d10", 0.10), ("d15", 0.15), ("d50", 0.50), ("d60", 0.60), ("d85", 0.85))


def work(sheet: Sheet, levels: Levels) -> None:
    """Write filter.* and bedding.drains. Needs valve.flow."""
    job = levels.job
    rows: dict[str, Graded] = {}
    for row in (
        *touching(levels, levels.ground, levels.dig.deepest),
        job.bedding,
        job.backfill,
        job.sump_fill,
    ):
        if row is not None:
            rows.setdefault(row.id, row)
    for row in rows.values():
        _percentiles(sheet, row)
    lowest = max(z for _, z in levels.dig.base_line)
    highest = min(z for _, z in levels.dig.base_line)
    ground_face(sheet, "ground_backfill", touching(levels, levels.ground, lowest), job.backfill)
    ground_face(sheet, "ground_bedding", touching(levels, highest, lowest), job.bedding)
    granular_face(sheet, "bedding_backfill", job.bedding, job.backfill)
    if job.sump_fill is None:
        for criterion in ("", ".retention", ".flow", ".clogging"):
            not_here(
                sheet,
                f"filter.bedding_sump{criterion}",
                "bedding against the sump's fill",
                "this job has no sump",
            )
    else:
        granular_face(sheet, "bedding_sump", job.bedding, job.sump_fill)
    under = job.sump_fill or job.bedding
    mesh_face(sheet, under, job.mesh)
    throat_face(sheet, levels, under)
    slot_face(sheet, levels)
    _bedding_drains(sheet, job.bedding)


def _percentiles(sheet: Sheet, row: Graded) -> None:
    for name, passing in PERCENTILES:
        words = f"size that {passing:.0%} of {row.name.lower()} is finer than"
        cases = (
            []
            if row.grading is None
            else [calc.bracket(curve(row.grading, side), passing) for side in ("fine", "mid", "coarse")]
        )
        calculation = calc.between_sieves
        names = ("small", "passing_small", "large", "passing_large")
        if not cases or any(case is None for case in cases):
            sheet.without(
                f"filter.{row.id}.{name}",
                words,
                calculation,
                reason=f"{_why_not(row)} for {row.name.lower()}",
                verdict="cannot tell",
            )
            continue
        known = [case for case in cases if case is not None]
        sizes = [calculation(**dict(zip(names, case, strict=True)), passing=passing) for case in known]
        single = sizes[0] == sizes[2]
        inputs = {
            part: Input(
                known[1][at],
                calculation.units[part],
                None if single else known[0][at],
                None if single else known[2][at],
            )
            for at, part in enumerate(names)
        }
        sheet.put(
            Number(
                key=f"filter.{row.id}.{name}",
                words=words,
                value=sizes[1],
                unit="m",
                symbol=name.upper(),
                formula=calculation.formula,
                source=calculation.source,
                inputs={**inputs, "passing": Input(passing, "1")},
                low=None if single else sizes[0],
                high=None if single else sizes[2],
            )
        )
    d60, d10 = sheet.si(f"filter.{row.id}.d60"), sheet.si(f"filter.{row.id}.d10")
    sheet.work(
        f"filter.{row.id}.cu",
        f"uniformity of {row.name.lower()}",
        calc.uniformity,
        missing=f"{_why_not(row)} for {row.name.lower()}",
        d60=d60,
        d10=d10,
    )


def _why_not(row: Graded) -> str:
    return "no grading is known" if row.grading is None else "the grading does not reach that far"


def _bedding_drains(sheet: Sheet, bedding: Material) -> None:
    """The bedding's permeability, judged by its row and by Hazen's rule on its finest grading."""
    name, words = bedding.name.lower(), "permeability of the bedding"
    d10 = fine_side(bedding, 0.10)
    verdict: Verdict = "ok"
    reason = f"{name} drains"
    if bedding.drains is False:
        verdict, reason = "stop", f"{name} does not drain: no water reaches the valve or the tube"
    elif bedding.drains is None or bedding.k is None:
        verdict, reason = "cannot tell", f"nobody can say whether {name} drains"
    elif bedding.k.low < DRAINS_K or (d10 is not None and calc.hazen(d10=d10) < DRAINS_K):
        verdict, reason = "watch", f"the finest {name} sold hardly drains: ask for one without fines"
    k: Range | None = bedding.k
    sheet.put(
        Number(
            key="bedding.drains",
            words=words,
            value=k.typical if k else None,
            unit="m/s",
            symbol="k",
            formula="k",
            source=bedding.source,
            inputs={"k": Input(k.typical if k else None, "m/s", k.low if k else None, k.high if k else None)},
            verdict=verdict,
            reason=reason,
            safe_side="down",
            low=k.low if k else None,
            high=k.high if k else None,
        )
    )
