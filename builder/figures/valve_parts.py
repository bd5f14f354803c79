"""Parts of the valve detail: what is under the shell at the valve, the valve itself, and how water moves.

Depths are below the rim, x from the valve's middle, all in metres. At a scale that suits the valve most
of what lies under it is too large: a piece is left out of a thick layer, and of a sump beside the valve,
between break lines; at the sides the drawing stops at one.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from builder.figures.breaks import Gap, broken, left_out, length
from builder.figures.canvas import Layer, Point, Sheet, View, rectangle
from builder.figures.marks import arrow
from builder.figures.reader import Reader
from builder.figures.style import EDGE

LEAST = 0.09  # metres: what is shown round a smaller flange is as large as round this one
# Shares of the flange, or of LEAST:
BESIDE = 0.1  # shown beside the flange
SIDE = 0.06  # of the sump shown at its side, and of what is beside it
HIGH = 0.52  # of the pool shown above the seat
UNDER = 0.42  # shown below the shell where the valve is open
FOOT = 0.1  # of the ground shown below what is dug
BEDDING, BEDDING_KEPT = 1.17, 0.67  # a thicker bedding is cut to this; over a sump:
OVER_SUMP, OVER_SUMP_KEPT = 0.67, 0.5
SUMP, SUMP_KEPT = 0.56, 0.45
MAKEUP, MAKEUP_KEPT = 0.45, 0.3


@dataclass(frozen=True)
class Shape:
    """The valve and what is under it, in metres: x from the valve's middle, depths below the rim."""

    left: float  # how far out is shown
    right: float
    wide: tuple[Gap, ...]  # from where to where a piece is left out at the right
    deep: tuple[Gap, ...]  # from which depth to which a piece is left out
    high: float
    seat: float
    underside: float
    bedding: float
    base: float  # of the dig: below the bedding where it was dug too deep
    dug: float  # the sump's base, where that is deeper
    bottom: float
    lift: float

    @property
    def inner(self) -> float:
        """How far out to the right is shown in one piece."""
        return self.wide[0][0] if self.wide else self.right

    @property
    def drawn_width(self) -> float:
        """The width on paper, in metres of the scale."""
        return self.right - self.left - length(self.wide)

    @property
    def drawn_height(self) -> float:
        """The height on paper, in metres of the scale."""
        return self.bottom - self.high - length(self.deep)

    def upper(self, unit: float) -> Shape:
        """Return the same, shown to a little below the shell only."""
        bottom = min(self.underside + UNDER * unit, self.bottom)
        return replace(self, bottom=bottom, deep=tuple(gap for gap in self.deep if gap[1] < bottom))


def unit_of(read: Reader) -> float:
    """Return the length by which the detail measures what it shows round the valve."""
    return max(read.levels.job.spec.shell.relief.flange, LEAST)


def shape_of(read: Reader) -> Shape:
    """Return what the detail shows of a job: the flange with a little beside it, one side of the sump."""
    levels = read.levels
    spec = levels.job.spec
    relief, sump, unit = spec.shell.relief, spec.sump, unit_of(read)
    underside = levels.seat + spec.shell.floor_thickness
    bedding = underside + spec.bedding.thickness
    base = bedding + spec.excavation.overdug
    dug = max(base, bedding + (sump.depth if sump is not None else 0.0))
    reach = relief.flange / 2 + BESIDE * unit
    right = reach
    wide: tuple[Gap, ...] = ()
    if sump is not None:
        side = sump.width / 2
        right = max(right, side + SIDE * unit)
        if side - SIDE * unit > reach:
            wide = ((reach, side - SIDE * unit),)
    most, kept = (BEDDING, BEDDING_KEPT) if sump is None else (OVER_SUMP, OVER_SUMP_KEPT)
    deep = left_out(underside, bedding, most * unit, kept * unit)
    deep += left_out(bedding, base, MAKEUP * unit, MAKEUP_KEPT * unit)
    deep += left_out(base, dug, SUMP * unit, SUMP_KEPT * unit)
    return Shape(
        left=-reach,
        right=right,
        wide=wide,
        deep=deep,
        high=levels.seat - unit * HIGH,
        seat=levels.seat,
        underside=underside,
        bedding=bedding,
        base=base,
        dug=dug,
        bottom=dug + FOOT * unit,
        lift=relief.throat / 4,
    )


def ground(sheet: Sheet, view: View, read: Reader, shape: Shape) -> None:
    """Pool water, floor, bedding, sump and ground, from side to side."""
    job, spec = read.levels.job, read.levels.job.spec

    def layer(high: float, low: float) -> list[list[Point]]:
        low = min(low, shape.bottom)
        return [view.line(rectangle(shape.left, high, shape.right, low))] if high < low else []

    def edge(z: float) -> None:
        if z < shape.bottom:
            sheet.stroke([view.line([(shape.left, z), (shape.right, z)])], "edge", EDGE, Layer.CUT)

    sheet.hatch(layer(shape.base, shape.bottom), "ground", Layer.GROUND)
    if shape.base > shape.bedding:
        sheet.hatch(layer(shape.bedding, shape.base), "makeup", Layer.MAKEUP)
        edge(shape.base)
    sheet.hatch(layer(shape.underside, shape.bedding), job.bedding.hatch, Layer.BEDDING)
    edge(shape.bedding)
    sheet.fill(layer(shape.high, shape.seat), "water", Layer.BODY)
    if spec.sump is not None and job.sump_fill is not None:
        half = spec.sump.width / 2
        left, right, low = max(-half, shape.left), min(half, shape.right), min(shape.dug, shape.bottom)
        ring = view.line(rectangle(left, shape.underside, right, low))
        sheet.hatch([ring], job.sump_fill.hatch, Layer.POCKET)
        sides = [[ring[1], ring[2]]] if half < shape.right else []
        sides += [[ring[0], ring[3]]] if half < -shape.left else []
        sides += [[ring[2], ring[3]]] if shape.dug < shape.bottom else []
        sheet.stroke(sides, "edge", EDGE)
    if job.mesh is not None:
        left, right = mesh_reach(read, shape)
        y = view.y(shape.underside) + 1.6
        sheet.stroke([[(view.x(left), y), (view.x(right), y)]], "fabric", 1.8, Layer.CASING, dash=(3.2, 1.2))
    throat = spec.shell.relief.throat / 2
    for x0, x1 in ((shape.left, -throat), (throat, shape.right)):
        sheet.fill([view.line(rectangle(x0, shape.seat, x1, shape.underside))], "laminate", Layer.LEVEL)


def breaks(sheet: Sheet, view: View, shape: Shape) -> None:
    """Break lines: where a piece is left out, and where the drawing stops."""
    left, right = view.x(shape.left), view.x(shape.right)
    top, foot = view.y(shape.high), view.y(shape.bottom)
    for x in (left, right):
        broken(sheet, (x, top), (x, foot), edge=True)
    if shape.bottom <= shape.dug:
        broken(sheet, (left, foot), (right, foot), edge=True)
    for start, _ in shape.wide:
        broken(sheet, (view.x(start), top), (view.x(start), foot))
    for start, _ in shape.deep:
        broken(sheet, (left, view.y(start)), (right, view.y(start)))


def mesh_reach(read: Reader, shape: Shape) -> tuple[float, float]:
    """Return from where to where the mesh is drawn: over the sump, or all through, as far as shown."""
    sump = read.levels.job.spec.sump
    if sump is None:
        return shape.left, shape.right
    return max(-sump.width / 2, shape.left), min(sump.width / 2, shape.right)


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


def within(shape: Shape, high: float, low: float) -> float:
    """Return the depth half way down a layer, or half way down what is left of it above a break."""
    gap = next((gap for gap in shape.deep if high < gap[0] and gap[1] < low), None)
    return (high + (low if gap is None else gap[0])) / 2


def under(shape: Shape) -> float:
    """Return the depth at which groundwater is drawn coming in under an open valve."""
    return shape.underside + (min(shape.bedding, shape.bottom) - shape.underside) * 0.6


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
    deep = under(shape)
    out = shape.seat - thick - shape.lift * 0.5
    for side in (-1, 1):
        arrow(
            sheet,
            [view.at(side * flange * 1.12, deep), view.at(side * throat * 1.15, deep)],
            "groundwater",
        )
        x = side * throat * 0.6
        arrow(sheet, [view.at(x, deep), view.at(x, shape.seat - thick * 0.2)], "groundwater")
        arrow(
            sheet,
            [view.at(side * throat * 0.8, out), view.at(side * (flange + thick * 1.1), out)],
            "groundwater",
        )
