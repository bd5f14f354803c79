"""The Shell and Levels numbers."""

from __future__ import annotations

from builder.calc import levels as calc
from builder.checks.say import mm
from builder.checks.sheet import Sheet
from builder.levels import Levels
from builder.quantity import Column, Table, Verdict

DEPTH_STEP = 0.1  # metres between the rows of the depth-volume table


def work(sheet: Sheet, levels: Levels) -> None:
    """Write shell.* and level.*, save level.groundwater."""
    _shell(sheet, levels)
    _levels(sheet, levels)


def stations(levels: Levels) -> dict[str, tuple[float | None, str]]:
    """Return what repeats an integral over the shell: outline, batter, floor stations, ledges."""
    shell = levels.solid.shell
    inputs: dict[str, tuple[float | None, str]] = {
        "rim_area": (levels.solid.outline.polygon.area, "m2"),
        "wall_batter": (shell.wall_batter, "rad"),
        "wall": (shell.wall, "m"),
        "floor_thickness": (shell.floor_thickness, "m"),
    }
    for at, (x, z) in enumerate(shell.floor, 1):
        inputs[f"x_{at}"], inputs[f"floor_{at}"] = (x, "m"), (z, "m")
    for at, ledge in enumerate(shell.ledges, 1):
        inputs[f"ledge_{at}_area"] = (ledge.length * ledge.width, "m2")
        inputs[f"ledge_{at}_depth"] = (ledge.depth, "m")
    return inputs


def corners(levels: Levels) -> dict[str, tuple[float | None, str]]:
    """Return the corners of the inside outline at the rim, in order round it; arcs are chords."""
    inputs: dict[str, tuple[float | None, str]] = {}
    for at, (x, y) in enumerate(levels.solid.outline.points.tolist(), 1):
        inputs[f"corner_{at}_x"], inputs[f"corner_{at}_y"] = (x, "m"), (y, "m")
    return inputs


def barrier_level(levels: Levels) -> float:
    """Return the level at which the water over the deepest floor is as deep as the region's barrier depth."""
    return levels.floor_deep - levels.job.region.barrier_depth


def _shell(sheet: Sheet, levels: Levels) -> None:
    solid = levels.solid
    given = stations(levels)
    inside, outside = solid.inside_profile, solid.outside_profile
    integral = "integral of the plan area by depth (the outline's corners stand under shell.perimeter)"
    sheet.method(
        "shell.brim_volume",
        "water the shell holds when full to the rim",
        inside.volume_below(0.0),
        unit="m3",
        symbol="V(0)",
        how=f"{integral}, from the rim down to the floor",
        source="geometry",
        inputs=given,
    )
    sheet.method(
        "shell.water_volume",
        "water in the pool at its working level",
        inside.volume_below(levels.water),
        unit="m3",
        symbol="V(z_water)",
        how=f"{integral}, from the working level down to the floor",
        source="geometry",
        inputs={**given, "water_level": (levels.water, "m")},
        side="up",
        audience="step",
    )
    area = inside.area(levels.water)
    sheet.method(
        "shell.water_area",
        "water surface at the working level",
        area,
        unit="m2",
        symbol="A(z_water)",
        how="area of the outline inset to the working level, less the ledges above it",
        source="geometry",
        inputs={**given, "water_level": (levels.water, "m")},
        audience="step",
    )
    sheet.method(
        "shell.perimeter",
        "length of the rim's inside edge",
        float(solid.outline.polygon.length),
        unit="m",
        symbol="P",
        how="straight from corner to corner of the inside outline at the rim, and from the last to the "
        "first; round corners are drawn in chords",
        source="geometry",
        inputs=corners(levels),
        side="up",
        audience="step",
    )
    sheet.method(
        "shell.outside_volume",
        "volume the shell takes up in the ground, from its rim down",
        outside.volume_below(0.0),
        unit="m3",
        symbol="V_out(0)",
        how=f"{integral} of the outside solid, from the rim down to the underside",
        source="geometry",
        inputs=given,
    )
    sheet.work(
        "shell.mass",
        "weight of the bare shell",
        calc.shell_mass,
        side="up",
        audience="step",
        mass=solid.shell.mass,
    )
    sheet.work(
        "shell.litres_per_mm",
        "water for each millimetre of pool level near the working level",
        calc.litres_per_mm,
        unit="L/mm",
        audience="step",
        water_area=area,
    )
    sheet.method(
        "shell.depth_volume",
        "water in the pool by level",
        _depth_volume(levels),
        unit="1",
        symbol="V(z)",
        how=f"{integral}, from each level down to the floor",
        source="geometry",
        inputs=given,
        audience="step",
    )


def _depth_volume(levels: Levels) -> Table:
    inside = levels.solid.inside_profile
    deep = levels.floor_deep
    count = int(deep / DEPTH_STEP + 1e-9)
    marks = {levels.water, levels.overflow, barrier_level(levels), deep}
    depths = sorted({round(z, 9) for z in (*marks, *(at * DEPTH_STEP for at in range(count + 1)))})
    columns = (
        Column("below_rim", "m"),
        Column("water_depth", "m"),
        Column("area", "m2"),
        Column("volume", "m3"),
    )
    return Table(columns, tuple((z, deep - z, inside.area(z), inside.volume_below(z)) for z in depths))


def _levels(sheet: Sheet, levels: Levels) -> None:
    spec, shell, built = levels.job.spec, levels.solid.shell, levels.built
    rim, deep = levels.ground, levels.floor_deep
    sheet.work(
        "level.ground", "ground surface below the rim", calc.ground, audience="step", rim_above_ground=rim
    )
    sheet.work(
        "level.paving",
        "top of the paving, from the rim",
        calc.paving,
        audience="step",
        note=_said("paving" in built.measured),
        paving_above_rim=-built.paving,
    )
    sheet.work(
        "level.water",
        "working water level below the rim",
        calc.water,
        audience="step",
        note=_said("water" in built.measured),
        water_below_rim=built.water,
    )
    sheet.work(
        "level.overflow",
        "level at which the pool spills, below the rim",
        calc.overflow,
        audience="step",
        overflow_below_rim=spec.levels.overflow_below_rim,
    )
    sheet.work(
        "level.peg",
        "the peg's mark, from the rim",
        calc.peg,
        audience="step",
        peg_above_rim=spec.levels.peg.above_rim,
    )
    where = "greatest depth of the floor line between the feet of the end walls"
    floor_inputs = {name: value for name, value in stations(levels).items() if name[:2] in ("x_", "fl", "wa")}
    sheet.method(
        "level.floor_deep",
        "deepest inside floor below the rim",
        deep,
        unit="m",
        symbol="z_floor",
        how=where,
        source="design-levels",
        inputs=floor_inputs,
        audience="step",
    )
    sheet.work(
        "level.underside_deep",
        "underside of the deepest floor below the rim",
        calc.underside_deep,
        audience="step",
        floor_deep=deep,
        floor_thickness=shell.floor_thickness,
    )
    sheet.work(
        "level.bedding_base",
        "bottom of the bedding under the deepest floor, below the rim",
        calc.bedding_base,
        audience="step",
        underside_deep=levels.underside_deep,
        bedding=levels.dig.bedding,
    )
    _tube(sheet, levels)
    sheet.method(
        "level.seat",
        "inside floor at the relief valve below the rim",
        levels.seat,
        unit="m",
        symbol="z_seat",
        how="the floor line read at the valve's station",
        source="design-levels",
        inputs={**floor_inputs, "valve_x": (levels.valve[0], "m"), "valve_y": (levels.valve[1], "m")},
        audience="step",
    )


def _tube(sheet: Sheet, levels: Levels) -> None:
    spec, built = levels.job.spec.standpipe, levels.built
    measured = levels.job.spec.as_built
    foot, top = "foot of the standpipe below the rim", "top of the trimmed standpipe, from the rim"
    if measured is not None and measured.tube_length is not None:

        def reads(foot: float) -> tuple[Verdict, str]:
            short = levels.underside_deep - foot
            if short > 1e-9:
                return (
                    "stop",
                    f"the tube as measured ends {mm(short, 'up')} above the shell's underside: it cannot "
                    "show the water under the floor",
                )
            return "ok", _said(True)

        sheet.work(
            "level.tube_foot",
            foot,
            calc.tube_foot_measured,
            audience="step",
            judge=reads,
            tube_top=built.tube_top,
            tube_length=measured.tube_length,
        )
    else:
        sheet.work(
            "level.tube_foot",
            foot,
            calc.tube_foot,
            audience="step",
            underside_deep=levels.underside_deep,
            foot_below_underside=spec.foot_below_underside,
        )
    if measured is not None and measured.tube_top_above_rim is not None:
        sheet.work(
            "level.tube_top",
            top,
            calc.tube_top_measured,
            audience="step",
            note=_said(True),
            tube_top_above_rim=measured.tube_top_above_rim,
        )
    else:
        sheet.work(
            "level.tube_top",
            top,
            calc.tube_top,
            audience="step",
            below_lid=spec.below_lid,
            paving_above_rim=-built.paving,
        )


def _said(measured: bool) -> str:
    return "as measured on site" if measured else ""
