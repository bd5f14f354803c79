"""Parts of the valve detail: what is under the shell at the valve, the valve itself, and how water moves.

Depths are below the rim, x from the valve's middle, all in metres. A sump too wide to be shown whole at
a scale that suits the valve has a piece left out on either side and one in its depth, between break lines.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from builder.figures.canvas import Layer, Point, Sheet, View, rectangle
from builder.figures.marks import arrow
from builder.figures.reader import Reader
from builder.figures.style import EDGE, THIN

TOOTH = 3.2  # points: from tooth to tooth of a break line
APART = 2.6  # points: between the two lines of a break


@dataclass(frozen=True)
class Shape:
    """The valve and what is under it, in metres: x from the valve's middle, depths below the rim."""

    half: float  # of what is shown
    inner: float  # half of what is shown in one piece round the valve
    wide: tuple[float, float]  # from where to where a piece is left out on either side
    deep: tuple[float, float]  # from which depth to which a piece is left out
    high: float
    seat: float
    underside: float
    bedding: float
    base: float  # of the dig: below the bedding where it was dug too deep
    bottom: float
    lift: float

    @property
    def broken(self) -> bool:
        """Whether a piece is left out."""
        return self.wide[1] > self.wide[0]

    @property
    def drawn_half(self) -> float:
        """Half the width on paper, in metres of the scale."""
        return self.half - (self.wide[1] - self.wide[0])

    @property
    def drawn_height(self) -> float:
        """The height on paper, in metres of the scale."""
        return self.bottom - self.high - (self.deep[1] - self.deep[0])


@dataclass(frozen=True)
class Broken(View):
    """A view with a piece left out on either side of the middle, and one in depth; no scale changes."""

    wide: tuple[float, float] = (0.0, 0.0)
    deep: tuple[float, float] = (0.0, 0.0)

    def x(self, x: float) -> float:
        """Return the page x of a model x; what is left out lies on the break."""
        return super().x(math.copysign(_closed(abs(x), self.wide), x))

    def y(self, z: float) -> float:
        """Return the page y of a depth; what is left out lies on the break."""
        return super().y(_closed(z, self.deep))


def _closed(at: float, gap: tuple[float, float]) -> float:
    return min(at, gap[0]) + max(at - gap[1], 0.0) if gap[1] > gap[0] else at


def shape_of(read: Reader) -> Shape:
    """Return what the detail shows of a job: twice the flange across, and the sides of the sump."""
    levels = read.levels
    spec = levels.job.spec
    relief = spec.shell.relief
    thick = spec.shell.floor_thickness
    bedding = levels.seat + thick + spec.bedding.thickness
    sump = spec.sump
    below = bedding + (sump.depth if sump is not None else 0.0)
    half = inner = relief.flange
    wide = deep = (0.0, 0.0)
    if sump is not None:
        side, piece = sump.width / 2, relief.flange * 0.15
        half = max(half, side + relief.flange * 0.3)
        if side - piece > inner * 1.1:
            wide = inner, side - piece
        else:
            inner = half
        if sump.depth > 4 * piece and half > inner:
            deep = bedding + piece, below - piece
    edge = (half - (wide[1] - wide[0])) * 0.12
    return Shape(
        half=half,
        inner=inner,
        wide=wide,
        deep=deep,
        high=levels.seat - relief.flange * 0.75,
        seat=levels.seat,
        underside=levels.seat + thick,
        bedding=bedding,
        base=bedding + spec.excavation.overdug,
        bottom=max(below, bedding + spec.excavation.overdug) + edge,
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


def breaks(sheet: Sheet, view: View, shape: Shape) -> None:
    """Break lines where a piece is left out: two zigzag lines with a strip of paper between them."""
    left, right = view.x(-shape.half), view.x(shape.half)
    top, foot = view.y(shape.high), view.y(shape.bottom)
    if shape.broken:
        for side in (-1, 1):
            x = view.x(side * shape.wide[0])
            _break(sheet, (x, top), (x, foot))
    if shape.deep[1] > shape.deep[0]:
        y = view.y(shape.deep[0])
        _break(sheet, (left, y), (right, y))


def _break(sheet: Sheet, start: Point, end: Point) -> None:
    """One break from page point to page point, upright or level."""
    length = math.dist(start, end)
    teeth = max(2, round(length / TOOTH))
    along = ((end[0] - start[0]) / teeth, (end[1] - start[1]) / teeth)
    off = (abs(along[1]) / math.hypot(*along), abs(along[0]) / math.hypot(*along))
    lines = [
        [
            (
                start[0] + along[0] * n + off[0] * (shift + (0.6 if n % 2 else -0.6)),
                start[1] + along[1] * n + off[1] * (shift + (0.6 if n % 2 else -0.6)),
            )
            for n in range(teeth + 1)
        ]
        for shift in (-APART / 2, APART / 2)
    ]
    sheet.fill([[*lines[0], *lines[1][::-1]]], "paper", Layer.NOTE)
    sheet.stroke(lines, "edge", THIN, Layer.NOTE)


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
            [view.at(side * shape.inner * 0.9, under), view.at(side * throat * 1.1, under)],
            "groundwater",
        )
        x = side * throat * 0.6
        arrow(sheet, [view.at(x, under), view.at(x, shape.seat - thick * 0.2)], "groundwater")
        arrow(
            sheet,
            [view.at(side * throat * 0.8, out), view.at(side * (flange + thick * 1.6), out)],
            "groundwater",
        )
