"""Valve detail: the relief valve closed and open, true to scale, over bedding or sump, with its mesh."""

from __future__ import annotations

from dataclasses import dataclass

from builder.figures.canvas import Layer, Point, Sheet, View, rectangle
from builder.figures.column import Tag, column
from builder.figures.lettering import bold, inline
from builder.figures.marks import arrow
from builder.figures.reader import Reader
from builder.figures.scene import Scene
from builder.figures.style import EDGE, MARGIN

WIDE = 148.0  # points: the drawing, left of its labels
HIGH = 128.0  # points: as much as a drawing may take in height
APART = 26.0  # points between the two drawings, with the heading of the second


@dataclass(frozen=True)
class _Shape:
    """The valve and what is under it, in metres: x from the valve's middle, depths below the rim."""

    half: float  # of what is shown
    high: float
    seat: float
    underside: float
    bedding: float
    bottom: float
    lift: float


def draw(read: Reader) -> Scene:
    """Return the relief valve's detail of a job."""
    words = read.words
    shape = _shape(read)
    scale = min(WIDE / (2 * shape.half), HIGH / (shape.bottom - shape.high))
    sheet = Sheet()
    tall = (shape.bottom - shape.high) * scale
    left = MARGIN + (WIDE - 2 * shape.half * scale) / 2
    edge, x = MARGIN + WIDE + 4, MARGIN + WIDE + 16
    closed = View(scale, -shape.half, shape.high, left=left)
    tags, said = _names(read, closed, shape)
    end = column(sheet, tags, edge=edge, x=x, low=closed.top, high=closed.top + tall)
    opened = View(scale, -shape.half, shape.high, left=left, top=max(end, closed.top + tall) + APART)
    column(sheet, _flows(opened, read, shape), edge=edge, x=x, low=opened.top, high=opened.top + tall)
    for view, state in ((closed, "closed"), (opened, "open")):
        _ground(sheet, view, read, shape)
        _valve(sheet, view, read, shape, lifted=state == "open")
    head = read.mm("valve.opening_head")
    sheet.text(bold("Closed") + ": pool water holds the lid down", MARGIN, closed.top - 6)
    sheet.text(bold("Open") + f": groundwater {head} above pool water", MARGIN, opened.top - 6)
    _push(sheet, closed, read, shape)
    _flow(sheet, opened, read, shape)
    sheet.close()
    return Scene(
        sheet=sheet,
        title="Relief valve, closed and open",
        caption=f"Cut through the valve, flange, throat, floor, bedding and sump to one scale. Lengths "
        f"in {words.unit}. "
        "The thickness of the valve's own parts is a pattern; the lid is drawn lifted by a quarter of "
        "the throat.",
        description="The relief valve in the floor of the shell, once closed and once open with water "
        "flowing in.",
        long_description=(
            *said,
            "Closed: the pool water above presses the lid on its seat, and nothing flows.",
            f"Open: once the groundwater stands {head} above the pool water, it lifts the lid and flows "
            f"through "
            "the bedding and the throat into the pool.",
        ),
        anchors={
            "valve": (0.0, shape.seat),
            "underside": (0.0, shape.underside),
            "bedding": (0.0, shape.bedding),
        },
    )


def _shape(read: Reader) -> _Shape:
    levels = read.levels
    spec = levels.job.spec
    relief = spec.shell.relief
    thick = spec.shell.floor_thickness
    bedding = levels.seat + thick + spec.bedding.thickness
    sump = spec.sump
    below = bedding + (sump.depth if sump is not None else 0.0)
    half = max(relief.flange, sump.width / 2 + relief.flange / 2 if sump is not None else 0.0)
    return _Shape(
        half=half,
        high=levels.seat - relief.flange * 0.75,
        seat=levels.seat,
        underside=levels.seat + thick,
        bedding=bedding,
        bottom=below + half * 0.12,
        lift=relief.throat / 4,
    )


def _ground(sheet: Sheet, view: View, read: Reader, shape: _Shape) -> None:
    """Pool water, floor, bedding, sump and ground, from side to side."""
    levels = read.levels
    job, spec = levels.job, levels.job.spec
    half = shape.half

    def layer(high: float, low: float, wide: float = half) -> list[list[Point]]:
        return [view.line(rectangle(-wide, high, wide, low))]

    sheet.hatch(layer(shape.bedding, shape.bottom), "ground", Layer.GROUND)
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
        reach = _mesh_half(read, shape)
        y = view.y(shape.underside) + 1.6
        sheet.stroke(
            [[(view.x(-reach), y), (view.x(reach), y)]], "fabric", 1.8, Layer.CASING, dash=(3.2, 1.2)
        )
    throat = spec.shell.relief.throat / 2
    for x0, x1 in ((-half, -throat), (throat, half)):
        sheet.fill([view.line(rectangle(x0, shape.seat, x1, shape.underside))], "laminate", Layer.LEVEL)


def _mesh_half(read: Reader, shape: _Shape) -> float:
    sump = read.levels.job.spec.sump
    return sump.width / 2 if sump is not None else shape.half * 0.8


def _valve(sheet: Sheet, view: View, read: Reader, shape: _Shape, *, lifted: bool) -> None:
    """Flange and tail, seal and lid; the lid lifted by a quarter of the throat where open."""
    relief = read.levels.job.spec.shell.relief
    thick = _pattern(read)
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


def _pattern(read: Reader) -> float:
    """The thickness at which the valve's parts are drawn: a share of the flange, for want of a measure."""
    return read.levels.job.spec.shell.relief.flange / 12


def _names(read: Reader, view: View, shape: _Shape) -> tuple[list[Tag], list[str]]:
    """What the parts are called, with their sizes, and the same in sentences."""
    words, job, spec = read.words, read.levels.job, read.levels.job.spec
    relief = spec.shell.relief
    thick = _pattern(read)
    bead = None if relief.seal == "ring" else relief.seal.bead
    seal = "sealing ring" if bead is None else f"sealant, bead {words.exact_mm(bead)}"
    lid_edge = (relief.throat + relief.flange) / 4
    sizes = words.exact_mm(relief.flange), words.exact_mm(relief.throat)
    floor, laid = words.exact_mm(spec.shell.floor_thickness), words.exact_mm(spec.bedding.thickness)
    tags = [
        Tag(("pool water",), view.at(shape.half * 0.75, (shape.high + shape.seat - 3 * thick) / 2)),
        Tag(("lid",), view.at(lid_edge, shape.seat - 1.5 * thick)),
        Tag(
            ("flange " + bold(sizes[0]), "throat " + bold(sizes[1])),
            view.at(relief.flange / 2, shape.seat - thick / 2),
        ),
        Tag((seal,), view.at(relief.flange / 2, shape.seat)),
        Tag(("floor " + bold(floor),), view.at(shape.half * 0.9, (shape.seat + shape.underside) / 2)),
    ]
    bedding = inline(job.bedding.name)
    said = [
        f"The valve's flange is {sizes[0]} across and its throat {sizes[1]}; the joint under the flange is "
        + ("a sealing ring." if bead is None else f"sealant, a bead of {words.exact_mm(bead)}."),
        f"The floor is {floor} thick; under it lies {laid} of {bedding}.",
    ]
    if job.mesh is not None:
        mesh = inline(job.mesh.name)
        tags.append(
            Tag(
                (f"mesh: {mesh}",),
                (view.x(_mesh_half(read, shape) * 0.92), view.y(shape.underside) + 1.6),
            )
        )
        said.append(f"Between them, under the valve, lies the mesh: {mesh}.")
    else:
        said.append("This job has no mesh.")
    inner = spec.sump.width / 2 if spec.sump is not None else 0.0
    tags.append(
        Tag(
            (f"bedding, {bedding}", bold(laid)),
            view.at((inner + shape.half) / 2, (shape.underside + shape.bedding) / 2),
        )
    )
    if spec.sump is not None and job.sump_fill is not None:
        fill = inline(job.sump_fill.name)
        size = f"{words.exact(spec.sump.width)} wide, {words.exact(spec.sump.depth)} deep"
        tags.append(
            Tag(
                (f"sump, {fill}", bold(size)),
                view.at(inner * 0.7, shape.bedding + spec.sump.depth * 0.6),
            )
        )
        said.append(
            f"The sump below the bedding is {words.exact_mm(spec.sump.width)} square and "
            f"{words.exact_mm(spec.sump.depth)} deep, filled with {fill} up to the floor."
        )
    tags.append(
        Tag(
            ("ground",),
            view.at(
                shape.half * 0.8,
                (shape.bottom + (shape.bedding + (spec.sump.depth if spec.sump else 0.0))) / 2,
            ),
        )
    )
    return tags, said


def _flows(view: View, read: Reader, shape: _Shape) -> list[Tag]:
    relief = read.levels.job.spec.shell.relief
    thick = _pattern(read)
    low = shape.seat - thick - shape.lift
    return [
        Tag(("lid lifted",), view.at((relief.throat + relief.flange) / 4, low - thick / 2)),
        Tag(
            ("water enters", "the pool"),
            view.at(relief.flange / 2 + thick * 2, low + shape.lift * 0.3),
            dot=False,
        ),
        Tag(
            ("groundwater comes", "through the bedding"),
            view.at(shape.half * 0.72, shape.underside + (shape.bedding - shape.underside) * 0.5),
            dot=False,
        ),
    ]


def _push(sheet: Sheet, view: View, read: Reader, shape: _Shape) -> None:
    """Arrows of the pool water pressing on the closed lid."""
    relief = read.levels.job.spec.shell.relief
    low = shape.seat - 2 * _pattern(read)
    high = shape.high + (low - shape.high) * 0.25
    for share in (-0.6, 0.0, 0.6):
        x = share * (relief.throat + relief.flange) / 4
        arrow(sheet, [view.at(x, high), (view.x(x), view.y(low) - 1.5)], "water-line")


def _flow(sheet: Sheet, view: View, read: Reader, shape: _Shape) -> None:
    """Arrows of groundwater coming through the bedding, up the throat and out under the lid."""
    relief = read.levels.job.spec.shell.relief
    throat, flange = relief.throat / 2, relief.flange / 2
    thick = _pattern(read)
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
