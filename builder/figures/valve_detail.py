"""Valve detail: the relief valve closed and open, at half its size, over bedding or sump, with its mesh."""

from __future__ import annotations

from dataclasses import replace

from builder.figures import details, valve_parts
from builder.figures.breaks import SWING, Broken
from builder.figures.canvas import Sheet, View
from builder.figures.column import Tag, column
from builder.figures.lettering import bold, inline
from builder.figures.reader import Reader
from builder.figures.scene import Scene, said
from builder.figures.style import MARGIN, WIDTH
from builder.figures.valve_parts import Shape

DOWN = 2  # 1 to so many, where the valve leaves room for its labels
WIDE = 191.0  # points: the drawing, left of its labels
TIE, TEXTS = 4.0, 11.0  # points from the drawing to where leaders turn, and to their texts
APART = 28.0  # points between the two drawings, with the heading of the second


def draw(read: Reader) -> Scene:
    """Return the relief valve's detail of a job."""
    words = read.words
    shape = valve_parts.shape_of(read)
    chosen = details.fitting(DOWN, shape.drawn_width, WIDE, words)
    scale = chosen.points
    sheet = Sheet()
    left = MARGIN + SWING
    edge = left + shape.drawn_width * scale + TIE
    closed = Broken(scale, shape.left, shape.high, left, 0.0, wide=shape.wide, deep=shape.deep)
    tall = shape.drawn_height * scale
    tags, told = _names(read, closed, shape)
    end = column(sheet, tags, edge=edge, x=edge + TEXTS - TIE, low=closed.top, high=closed.top + tall)
    upper = shape.upper(valve_parts.unit_of(read))
    opened = replace(closed, top=max(end, closed.top + tall) + APART, deep=upper.deep)
    column(
        sheet,
        _flows(opened, read, upper),
        edge=edge,
        x=edge + TEXTS - TIE,
        low=opened.top,
        high=opened.top + upper.drawn_height * scale,
    )
    for view, part, lifted in ((closed, shape, False), (opened, upper, True)):
        valve_parts.ground(sheet, view, read, part)
        valve_parts.breaks(sheet, view, part)
        valve_parts.valve(sheet, view, read, part, lifted=lifted)
    head = read.mm("valve.opening_head")
    sheet.text(bold("Closed") + ": pool water holds the lid down", MARGIN, closed.top - 7)
    sheet.text(bold("Open") + f": groundwater {head} above pool water", MARGIN, opened.top - 7)
    details.badge(sheet, details.VALVE, (WIDTH - MARGIN - details.BADGE, closed.top - 10))
    valve_parts.push(sheet, closed, read, shape)
    valve_parts.flow(sheet, opened, read, upper)
    sheet.close()
    x = read.levels.valve[0]
    job = read.levels.job
    sump = job.spec.sump is not None
    large = chosen.said(words)
    waves = "Zigzag line: the drawing stops there"
    waves += "; two: a piece is left out." if shape.deep or shape.wide else "."
    measured = f"flange, throat, floor{', bedding and sump' if sump else ' and bedding'}"
    drawn = f"By measure: {measured}. A pattern: the thickness of the valve's own parts"
    drawn += " and of the mesh." if job.mesh is not None else "."
    return Scene(
        sheet=sheet,
        title="Relief valve, closed and open",
        caption=" ".join(
            said(
                f"Detail {details.VALVE} of the sections: cut through the valve, {large}; lengths in "
                f"{words.unit}.",
                drawn,
                "The lid is drawn lifted by a quarter of the throat.",
                waves,
            )
        ),
        description="The relief valve in the floor of the shell, once closed and once open with water "
        "flowing in.",
        long_description=(
            *told,
            "Closed: the pool water above presses the lid on its seat, and nothing flows.",
            f"Open: once the groundwater stands {head} above the pool water, it lifts the lid and flows "
            f"through the {'sump' if sump else 'bedding'} and the throat into the pool.",
            f"The valve is {large}.",
        ),
        anchors={
            "valve": (x, shape.seat),
            "underside": (x, shape.underside),
            "bedding": (x, shape.bedding),
        },
        printed=chosen.printed,
    )


def _names(read: Reader, view: View, shape: Shape) -> tuple[list[Tag], list[str]]:
    """What the parts are called, with their sizes, and the same in sentences."""
    words, job, spec = read.words, read.levels.job, read.levels.job.spec
    relief = spec.shell.relief
    thick = valve_parts.pattern_thickness(read)
    bead = None if relief.seal == "ring" else relief.seal.bead
    seal = "sealing ring" if bead is None else f"sealant, bead {words.exact_mm(bead)}"
    lid_edge = (relief.throat + relief.flange) / 4
    beside = (relief.flange / 2 + shape.inner) / 2  # in the strip beside the flange
    outside = shape.right - valve_parts.SIDE * valve_parts.unit_of(read) / 2  # beside a sump
    sizes = words.exact_mm(relief.flange), words.exact_mm(relief.throat)
    floor, laid = words.exact_mm(spec.shell.floor_thickness), words.exact_mm(spec.bedding.thickness)
    tags = [
        Tag(("pool water",), view.at(relief.flange * 0.42, (shape.high + shape.seat - 3 * thick) / 2)),
        Tag(("lid",), view.at(lid_edge, shape.seat - 1.5 * thick)),
        Tag(
            ("flange " + bold(sizes[0]), "throat " + bold(sizes[1])),
            view.at(relief.flange / 2, shape.seat - thick / 2),
        ),
        Tag((seal,), view.at(relief.flange / 2, shape.seat)),
        Tag(("floor " + bold(floor),), view.at(beside, (shape.seat + shape.underside) / 2)),
    ]
    bedding = inline(job.bedding.name)
    told = [
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
                    view.x(min(valve_parts.mesh_reach(read, shape)[1], shape.inner) * 0.92),
                    view.y(shape.underside) + 1.6,
                ),
            )
        )
        told.append(f"Between them, under the valve, lies the mesh: {mesh}.")
    else:
        told.append("This job has no mesh.")
    tags.append(
        Tag(
            (f"bedding, {bedding}", bold(laid)),
            view.at(outside, valve_parts.within(shape, shape.underside, shape.bedding)),
        )
    )
    if spec.sump is not None and job.sump_fill is not None:
        fill = inline(job.sump_fill.name)
        size = bold(f"{words.exact(spec.sump.width)} wide,"), bold(f"{words.exact(spec.sump.depth)} deep")
        tags.append(
            Tag(
                (f"sump, {fill}", *size),
                view.at(
                    min(spec.sump.width / 2, shape.inner) * 0.8,
                    valve_parts.within(shape, shape.bedding, shape.dug),
                ),
            )
        )
        told.append(
            f"The sump below the bedding is {words.exact_mm(spec.sump.width)} square and "
            f"{words.exact_mm(spec.sump.depth)} deep, filled with {fill} up to the floor."
        )
    if shape.base > shape.bedding:
        middle = valve_parts.within(shape, shape.bedding, shape.base)
        tags.append(Tag(("made-up base",), view.at(outside, middle)))
        told.append("Below the bedding lies what makes up a base that was dug too deep.")
    tags.append(Tag(("ground",), view.at(outside, (shape.bottom + shape.dug) / 2)))
    return tags, told


def _flows(view: View, read: Reader, shape: Shape) -> list[Tag]:
    relief = read.levels.job.spec.shell.relief
    thick = valve_parts.pattern_thickness(read)
    low = shape.seat - thick - shape.lift
    sump = read.levels.job.spec.sump
    return [
        Tag(("lid lifted",), view.at((relief.throat + relief.flange) / 4, low - thick / 2)),
        Tag(
            ("water enters", "the pool"),
            view.at(relief.flange / 2 + thick, low + shape.lift * 0.3),
            dot=False,
        ),
        Tag(
            ("groundwater comes", f"through the {'bedding' if sump is None else 'sump'}"),
            view.at(relief.flange * 0.5, valve_parts.under(shape)),
            dot=False,
        ),
    ]
