"""The Relief valve numbers: when it opens, what it lets in, and why it is not the first defence."""

from __future__ import annotations

import math

from builder.calc import valve as calc
from builder.calc.constants import G
from builder.checks.groundwater import Groundwater, touching
from builder.checks.say import mm
from builder.checks.sheet import Sheet
from builder.job import Bead
from builder.levels import Levels
from builder.quantity import Column, Range, Table, Verdict

HEADS = tuple(round(0.05 * step, 2) for step in range(1, 11))
LAYER_REACH = 2.0  # the layer form counts only where R is this many radii away (design)
TIGHT_GROUND = 0.1  # and the ground this share of the bedding's permeability or less (design)
CASES = ("low", "typical", "high")


def work(sheet: Sheet, levels: Levels, groundwater: Groundwater, float_level: float) -> None:
    """Write valve.*; float_level is where the full shell reaches safety 1.0. Needs uplift.empty_limit."""
    relief = levels.solid.shell.relief
    opening = relief.opening_head
    sheet.work(
        "valve.opening_head",
        "net head that opens the relief valve",
        calc.opening_head,
        side="up",
        audience="step",
        opening_head=opening,
    )
    _head(sheet, levels, groundwater)
    sheet.method(
        "valve.flow",
        "water the open valve lets in, without and with the mesh",
        flow_table(levels),
        unit="1",
        symbol="Q",
        how="the positive root of head = opening_head + R Q + (Q/C)^2/2g for each head, R the head lost in "
        "bedding, sump and mesh for each m3/s, C discharge coefficient times throat area",
        source="orifice",
        inputs=_flow_inputs(levels),
        side="down",
        verdict=_flow_verdict(levels)[0],
        reason=_flow_verdict(levels)[1],
    )

    def saves(margin: float) -> tuple[Verdict, str]:
        if margin < 0:
            return "watch", "this valve alone won't save this shell: the water level rule stands first"
        return "ok", "the valve opens before the full shell floats"

    sheet.work(
        "valve.float_margin",
        "head difference at which the full shell floats, less the head that opens the valve",
        calc.float_margin,
        side="down",
        judge=saves,
        water_level=levels.water,
        float_level=float_level,
        opening_head=opening,
    )

    def in_time(margin: float) -> tuple[Verdict, str]:
        if margin < 0:
            late = mm(-margin, "up")
            return (
                "watch",
                f"rising water lifts an empty shell {late} before opening this valve: no leave to empty",
            )
        return (
            "ok",
            "the valve opens before an empty shell lifts; it is a last resort, no licence to empty the pool",
        )

    sheet.work(
        "valve.opens_in_time",
        "what an empty shell can still bear when the valve opens",
        calc.opens_in_time,
        side="down",
        judge=in_time,
        empty_limit=sheet.si("uplift.empty_limit"),
        opening_head=opening,
        underside_deep=levels.underside_deep,
        seat=levels.seat,
    )
    _seal(sheet, levels)


def _head(sheet: Sheet, levels: Levels, groundwater: Groundwater) -> None:
    words = "net head at the valve's seat today, pool at its working level"
    if groundwater.state == "below":
        sheet.without(
            "valve.head",
            words,
            calc.head,
            reason="water is under the shell: nothing pushes on the valve from below",
            side="up",
        )
        return
    sheet.work(
        "valve.head",
        words,
        calc.head,
        side="up",
        missing="the groundwater is not known",
        seat=levels.seat,
        groundwater=groundwater.level,
        water_level=levels.water,
        judge=lambda head: (
            ("watch", "groundwater pushes on the valve: it may open") if head > 0 else ("ok", "")
        ),
    )


def _seal(sheet: Sheet, levels: Levels) -> None:
    relief, thread = levels.solid.shell.relief, levels.job.thread
    volume = ("valve.sealant_volume", "sealant in one bead under the flange", calc.sealant_volume)
    travel = ("valve.turn_travel", "how far a quarter turn drives the valve in", calc.turn_travel)
    if not isinstance(relief.seal, Bead):
        reason = "this valve seals on a ring: no sealant"
        sheet.without(*volume, reason=reason, side="up", audience="step")
        sheet.without(*travel, reason=reason, audience="step")
        return
    sheet.work(*volume, side="up", audience="step", bead=relief.seal.bead, flange=relief.flange)
    sheet.work(
        *travel,
        audience="step",
        missing=f"no pitch is known for the thread {relief.thread}",
        pitch=thread.pitch if thread else None,
    )


def flow_table(levels: Levels) -> Table | None:
    """Return the flow by head; None where a permeability on the way is not known.

    Columns head (m), without_low ... without_high and with_low ... with_high (m3/s); the with
    columns are None without a mesh or where its permittivity is not known.
    """
    bodies = _bodies(levels)
    if bodies is None:
        return None
    relief = levels.solid.shell.relief
    area = throat_area(levels)
    effective = calc.effective_area(discharge_coefficient=relief.discharge_coefficient, throat_area=area)
    mesh = levels.job.mesh
    rows = []
    for head in HEADS:
        cells: list[float | None] = []
        for with_mesh in (False, True):
            for case in CASES:
                resistance = sum(
                    calc.ground_resistance(k=getattr(k, case), factor=factor) for k, factor in bodies
                )
                if with_mesh:
                    if mesh is None or mesh.permittivity is None:
                        cells.append(None)
                        continue
                    resistance += calc.mesh_resistance(permittivity=mesh.permittivity, mesh_area=area)
                shut = head <= relief.opening_head
                cells.append(
                    0.0
                    if shut
                    else calc.flow(
                        head=head,
                        opening_head=relief.opening_head,
                        resistance=resistance,
                        effective_area=effective,
                        g=G,
                    )
                )
        rows.append((head, *cells))
    names = [f"{way}_{case}" for way in ("without", "with") for case in CASES]
    return Table((Column("head", "m"), *(Column(name, "m3/s") for name in names)), tuple(rows))


def throat_area(levels: Levels) -> float:
    """Return the throat's area in m2, which is also the mesh area that water is drawn through."""
    return math.pi / 4 * levels.solid.shell.relief.throat**2


def _bodies(levels: Levels) -> list[tuple[Range, float]] | None:
    """What the water is drawn through on its way to the throat: (permeability, shape factor)."""
    job = levels.job
    if job.bedding.k is None:
        return None
    radius, sump = levels.solid.shell.relief.throat / 2, job.spec.sump
    reach, thickness = levels.valve_to_backfill, levels.dig.bedding
    if sump is None or job.sump_fill is None:
        factor = _draining(levels, radius, thickness, reach, calc.disc_factor(radius=radius), job.bedding.k)
        return [(job.bedding.k, factor)]
    if job.sump_fill.k is None:
        return None
    half = calc.sump_radius(width=sump.width, depth=sump.depth)
    whole = calc.half_sphere_factor(radius=half)
    factor = _draining(levels, half, thickness + sump.depth, reach, whole, job.bedding.k)
    return [(job.bedding.k, factor), (job.sump_fill.k, calc.disc_factor(radius=radius))]


def _draining(levels: Levels, radius: float, thickness: float, reach: float, whole: float, k: Range) -> float:
    """The shape factor into `radius`: of the layer alone where the ground under it gives no water."""
    under = touching(levels, levels.bedding_base, levels.bedding_base)[0]
    if reach < LAYER_REACH * radius or under.k.typical >= TIGHT_GROUND * k.typical:
        return whole
    return min(whole, calc.layer_factor(thickness=thickness, outer_radius=reach, radius=radius))


def _flow_inputs(levels: Levels) -> dict[str, tuple[float | None, str]]:
    relief, mesh = levels.solid.shell.relief, levels.job.mesh
    inputs: dict[str, tuple[float | None, str]] = {
        "opening_head": (relief.opening_head, "m"),
        "discharge_coefficient": (relief.discharge_coefficient, "1"),
        "throat": (relief.throat, "m"),
        "reach": (levels.valve_to_backfill, "m"),
        "bedding": (levels.dig.bedding, "m"),
        "permittivity": (mesh.permittivity if mesh else None, "1/s"),
        "g": (G, "m/s2"),
    }
    for at, (k, factor) in enumerate(_bodies(levels) or [], 1):
        inputs[f"k_{at}_low"], inputs[f"k_{at}"], inputs[f"k_{at}_high"] = (
            (k.low, "m/s"),
            (k.typical, "m/s"),
            (k.high, "m/s"),
        )
        inputs[f"factor_{at}"] = (factor, "m")
    return inputs


def _flow_verdict(levels: Levels) -> tuple[Verdict, str]:
    if _bodies(levels) is None:
        return "cannot tell", "no permeability is known for a material between the ground and the valve"
    if levels.job.mesh is not None and levels.job.mesh.permittivity is None:
        return "cannot tell", "what the mesh lets through is not known"
    return "ok", ""
