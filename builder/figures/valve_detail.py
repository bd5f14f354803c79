"""Valve detail: the relief valve closed and open, true to scale, over bedding or sump, with its mesh."""

from __future__ import annotations

from dataclasses import replace

from builder.figures import details, valve_parts
from builder.figures.canvas import Sheet, View
from builder.figures.column import Tag, column
from builder.figures.lettering import bold, inline
from builder.figures.reader import Reader
from builder.figures.scene import Scene
from builder.figures.style import MARGIN, WIDTH
from builder.figures.valve_parts import Broken, Shape

WIDE = 148.0  # points: the drawing, left of its labels
HIGH = 128.0  # points: as much as a drawing may take in height
APART = 26.0  # points between the two drawings, with the heading of the second


def draw(read: Reader) -> Scene:
    """Return the relief valve's detail of a job."""
    words = read.words
    shape = valve_parts.shape_of(read)
    scale = min(WIDE / (2 * shape.drawn_half), HIGH / shape.drawn_height)
    sheet = Sheet()
    tall = shape.drawn_height * scale
    left = MARGIN + (WIDE - 2 * shape.drawn_half * scale) / 2
    edge, x = MARGIN + WIDE + 4, MARGIN + WIDE + 16
    closed = Broken(scale, -shape.drawn_half, shape.high, left, 0.0, wide=shape.wide, deep=shape.deep)
    tags, said = _names(read, closed, shape)
    end = column(sheet, tags, edge=edge, x=x, low=closed.top, high=closed.top + tall)
    opened = replace(closed, top=max(end, closed.top + tall) + APART)
    column(sheet, _flows(opened, read, shape), edge=edge, x=x, low=opened.top, high=opened.top + tall)
    for view, state in ((closed, "closed"), (opened, "open")):
        valve_parts.ground(sheet, view, read, shape)
        valve_parts.breaks(sheet, view, shape)
        valve_parts.valve(sheet, view, read, shape, lifted=state == "open")
    head = read.mm("valve.opening_head")
    sheet.text(bold("Closed") + ": pool water holds the lid down", MARGIN, closed.top - 6)
    sheet.text(bold("Open") + f": groundwater {head} above pool water", MARGIN, opened.top - 6)
    details.badge(sheet, details.VALVE, (WIDTH - MARGIN - details.BADGE, closed.top - 9))
    valve_parts.push(sheet, closed, read, shape)
    valve_parts.flow(sheet, opened, read, shape)
    sheet.close()
    x = read.levels.valve[0]
    sump = read.levels.job.spec.sump is not None
    out = " Break lines: a piece of the sump is left out there." if shape.broken else ""
    measured = f"flange, throat, floor{', bedding and sump' if sump else ' and bedding'}"
    return Scene(
        sheet=sheet,
        title="Relief valve, closed and open",
        caption=f"Detail {details.VALVE} of the sections, {details.times(read.levels, scale)} times as "
        f"large. Cut through the valve; {measured} to one scale. Lengths in {words.unit}. The thickness of "
        f"the valve's own parts is a pattern; the lid is drawn lifted by a quarter of the throat.{out}",
        description="The relief valve in the floor of the shell, once closed and once open with water "
        "flowing in.",
        long_description=(
            *said,
            "Closed: the pool water above presses the lid on its seat, and nothing flows.",
            f"Open: once the groundwater stands {head} above the pool water, it lifts the lid and flows "
            f"through the {'sump' if sump else 'bedding'} and the throat into the pool.",
        ),
        anchors={
            "valve": (x, shape.seat),
            "underside": (x, shape.underside),
            "bedding": (x, shape.bedding),
        },
    )


def _names(read: Reader, view: View, shape: Shape) -> tuple[list[Tag], list[str]]:
    """What the parts are called, with their sizes, and the same in sentences."""
    words, job, spec = read.words, read.levels.job, read.levels.job.spec
    relief = spec.shell.relief
    thick = valve_parts.pattern_thickness(read)
    bead = None if relief.seal == "ring" else relief.seal.bead
    seal = "sealing ring" if bead is None else f"sealant, bead {words.exact_mm(bead)}"
    lid_edge = (relief.throat + relief.flange) / 4
    sizes = words.exact_mm(relief.flange), words.exact_mm(relief.throat)
    floor, laid = words.exact_mm(spec.shell.floor_thickness), words.exact_mm(spec.bedding.thickness)
    tags = [
        Tag(("pool water",), view.at(shape.inner * 0.75, (shape.high + shape.seat - 3 * thick) / 2)),
        Tag(("lid",), view.at(lid_edge, shape.seat - 1.5 * thick)),
        Tag(
            ("flange " + bold(sizes[0]), "throat " + bold(sizes[1])),
            view.at(relief.flange / 2, shape.seat - thick / 2),
        ),
        Tag((seal,), view.at(relief.flange / 2, shape.seat)),
        Tag(("floor " + bold(floor),), view.at(shape.half * 0.95, (shape.seat + shape.underside) / 2)),
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
                (
                    view.x(min(valve_parts.mesh_half(read, shape), shape.inner) * 0.92),
                    view.y(shape.underside) + 1.6,
                ),
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
                view.at(
                    min(inner, shape.inner) * 0.7,
                    shape.deep[0] - (shape.deep[0] - shape.bedding) / 2
                    if shape.deep[1] > shape.deep[0]
                    else shape.bedding + spec.sump.depth * 0.6,
                ),
            )
        )
        said.append(
            f"The sump below the bedding is {words.exact_mm(spec.sump.width)} square and "
            f"{words.exact_mm(spec.sump.depth)} deep, filled with {fill} up to the floor."
        )
    dug = max(shape.base, shape.bedding + (spec.sump.depth if spec.sump is not None else 0.0))
    if shape.base > shape.bedding:
        tags.append(
            Tag(("made-up base",), view.at((inner + shape.half) / 2, (shape.bedding + shape.base) / 2))
        )
        said.append("Below the bedding lies what makes up a base that was dug too deep.")
    tags.append(Tag(("ground",), view.at(shape.half * 0.95, (shape.bottom + dug) / 2)))
    return tags, said


def _flows(view: View, read: Reader, shape: Shape) -> list[Tag]:
    relief = read.levels.job.spec.shell.relief
    thick = valve_parts.pattern_thickness(read)
    low = shape.seat - thick - shape.lift
    sump = read.levels.job.spec.sump
    return [
        Tag(("lid lifted",), view.at((relief.throat + relief.flange) / 4, low - thick / 2)),
        Tag(
            ("water enters", "the pool"),
            view.at(relief.flange / 2 + thick * 2, low + shape.lift * 0.3),
            dot=False,
        ),
        Tag(
            ("groundwater comes", f"through the {'bedding' if sump is None else 'sump'}"),
            view.at(shape.inner * 0.8, shape.underside + (shape.bedding - shape.underside) * 0.5),
            dot=False,
        ),
    ]
