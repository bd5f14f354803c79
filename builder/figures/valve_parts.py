"""Parts of the valve detail: what is under the shell at the valve, the valve itself, and how water moves.

Depths are below the rim, x from the valve's middle, all in metres.
"""

from __future__ import annotations

from dataclasses import dataclass

from builder.figures.canvas import Layer, Point, Sheet, View, rectangle
from builder.figures.marks import arrow
from builder.figures.reader import Reader
from builder.figures.style import EDGE


@dataclass(frozen=True)
class Shape:
    """The valve and what is under it, in metres: x from the valve's middle, depths below the rim."""

    half: float  # of what is shown
    high: float
    seat: float
    underside: float
    bedding: float
    base: float  # of the dig: below the bedding where it was dug too deep
    bottom: float
    lift: float


def shape_of(read: Reader) -> Shape:
    """Return what the detail shows of a job: twice the flange across, or the whole sump."""
    levels = read.levels
    spec = levels.job.spec
    relief = spec.shell.relief
    thick = spec.shell.floor_thickness
    bedding = levels.seat + thick + spec.bedding.thickness
    sump = spec.sump
    below = bedding + (sump.depth if sump is not None else 0.0)
    half = max(relief.flange, sump.width / 2 + relief.flange / 2 if sump is not None else 0.0)
    return Shape(
        half=half,
        high=levels.seat - relief.flange * 0.75,
        seat=levels.seat,
        underside=levels.seat + thick,
        bedding=bedding,
        base=bedding + spec.excavation.overdug,
        bottom=max(below, bedding + spec.excavation.overdug) + half * 0.12,
        lift=relief.throat / 4,
    )


def ground(sheet: Sheet, view: View, read: Reader, shape: Shape) -> None:
    """Pool water, floor, bedding, sump and ground, from side to side."""
    levels = read.levels
    job, spec = levels.job, levels.job.spec
    half = shape.half

    def layer(high: float, low: float, wide: float = half) -> list[list[Point]]:
        return [view.line(rectangle(-wide, high, wide, low))]

    sheet.hatch(layer(shape.bedding, shape.bottom), "ground", Layer.GROUND)
    if shape.base > shape.bedding:
        sheet.hatch(layer(shape.bedding, shape.base), "makeup", Layer.MAKEUP)
        sheet.stroke([view.line([(-half, shape.base), (half, shape.base)])], "edge", EDGE, Layer.CUT)
    sheet.hatch(layer(shape.underside, shape.bedding), job.bedding.hatch, Layer.BEDDING)
    sheet.stroke([view.line([(-half, shape.bedding), (half, shape.bedding)])], "edge", EDGE, Layer.CUT)
    sheet.fill(layer(shape.high, shape.seat), "water", Layer.BODY)
    if spec.sump is not None and job.sump_fill is not None:
        box = rectangle(
            -spec.sump.width / 2, shape.underside, spec.sump.width / 2, shape.bedding + spec.sump.depth
        )
        ring = view.line(box)
        sheet.hatch([ring], job.sump_fill.hatch, Layer.POCKET)
        sheet.stroke([[ring[0], ring[3], ring[2], ring[1]]], "edge", EDGE)
    if job.mesh is not None:
        reach = mesh_half(read, shape)
        y = view.y(shape.underside) + 1.6
        sheet.stroke(
            [[(view.x(-reach), y), (view.x(reach), y)]], "fabric", 1.8, Layer.CASING, dash=(3.2, 1.2)
        )
    throat = spec.shell.relief.throat / 2
    for x0, x1 in ((-half, -throat), (throat, half)):
        sheet.fill([view.line(rectangle(x0, shape.seat, x1, shape.underside))], "laminate", Layer.LEVEL)


def mesh_half(read: Reader, shape: Shape) -> float:
    """Return half the width at which the mesh is drawn: over the sump, or most of what is shown."""
    sump = read.levels.job.spec.sump
    return sump.width / 2 if sump is not None else shape.half * 0.8


def valve(sheet: Sheet, view: View, read: Reader, shape: Shape, *, lifted: bool) -> None:
    """Flange and tail, seal and lid; the lid lifted by a quarter of the throat where open."""
    relief = read.levels.job.spec.shell.relief
    thick = pattern_thickness(read)
    throat, flange = relief.throat / 2, relief.flange / 2
    wall = min(thick, (flange - throat) / 2)
    top = shape.seat - thick
    body = []
    for side in (-1, 1):
        body.append(
            view.line(
                [
                    (side * throat, top),
                    (side * flange, top),
                    (side * flange, shape.seat),
                    (side * (throat + wall), shape.seat),
                    (side * (throat + wall), shape.underside),
                    (side * throat, shape.underside),
                ]
            )
        )
    sheet.fill(
        [view.line(rectangle(-throat, top, throat, shape.underside))],
        "water" if lifted else "paper",
        Layer.LEVEL,
    )
    sheet.fill(body, "valve", Layer.NOTE)
    sheet.stroke(body, "ink", EDGE, Layer.NOTE, closed=True)
    seal = [
        [view.at(side * (throat + wall), shape.seat), view.at(side * flange, shape.seat)] for side in (-1, 1)
    ]
    sheet.stroke(seal, "tube-line", 1.8, Layer.FRONT)
    lid_half = (throat + flange) / 2
    low = top - (shape.lift if lifted else 0.0)
    lid = [view.line(rectangle(-lid_half, low - thick, lid_half, low))]
    stem = [view.line(rectangle(-wall / 2, low, wall / 2, low + thick + shape.lift))]
    sheet.fill(stem + lid, "valve", Layer.BACKING)
    sheet.stroke(stem + lid, "ink", EDGE, Layer.BACKING, closed=True)


def pattern_thickness(read: Reader) -> float:
    """The thickness at which the valve's parts are drawn: a share of the flange, for want of a measure."""
    return read.levels.job.spec.shell.relief.flange / 12


def push(sheet: Sheet, view: View, read: Reader, shape: Shape) -> None:
    """Arrows of the pool water pressing on the closed lid."""
    relief = read.levels.job.spec.shell.relief
    low = shape.seat - 2 * pattern_thickness(read)
    high = shape.high + (low - shape.high) * 0.25
    for share in (-0.6, 0.0, 0.6):
        x = share * (relief.throat + relief.flange) / 4
        arrow(sheet, [view.at(x, high), (view.x(x), view.y(low) - 1.5)], "water-line")


def flow(sheet: Sheet, view: View, read: Reader, shape: Shape) -> None:
    """Arrows of groundwater coming through the bedding, up the throat and out under the lid."""
    relief = read.levels.job.spec.shell.relief
    throat, flange = relief.throat / 2, relief.flange / 2
    thick = pattern_thickness(read)
    under = shape.underside + (shape.bedding - shape.underside) * 0.5
    out = shape.seat - thick - shape.lift * 0.5
    for side in (-1, 1):
        arrow(
            sheet,
            [view.at(side * shape.half * 0.7, under), view.at(side * throat * 1.1, under)],
            "groundwater",
        )
        x = side * throat * 0.6
        arrow(sheet, [view.at(x, under), view.at(x, shape.seat - thick * 0.2)], "groundwater")
        arrow(
            sheet,
            [view.at(side * throat * 0.8, out), view.at(side * (flange + thick * 1.6), out)],
            "groundwater",
        )
