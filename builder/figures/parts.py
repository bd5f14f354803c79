"""Parts of a section: each draws itself at true size and returns its named anchors in model metres.

Parts are painted one over the other, from the ground inwards, so each only needs its own outline.
"""

from __future__ import annotations

from builder.figures.canvas import Layer, Point, Sheet, View, rectangle
from builder.figures.cut import STRIP, Cut
from builder.figures.lines import below, moved, within
from builder.figures.style import EDGE, OUTLINE, THIN

Anchors = dict[str, Point]
SLEEVE = 1.6  # points: how thick the sleeve through the beam is drawn, at least
HIDDEN = (2.2, 1.8)  # dashes of an outline that lies behind something


def ground(sheet: Sheet, view: View, cut: Cut) -> Anchors:
    """The natural ground: its surface, and a strip of hatch along the cut."""
    left, _, right, _ = cut.window
    level = cut.levels.ground
    dig = list(cut.section.dig)
    strip = STRIP / view.scale
    rings = [within(_strip(dig, level, strip), left, right)]
    for box in (cut.pit, cut.sump):
        if box is not None and not (box is cut.pit and cut.tube_hidden):
            rings.append(rectangle(box[0] - strip, box[1], box[2] + strip, box[3] + strip))
    sheet.hatch([view.line(ring) for ring in rings], "ground", Layer.GROUND)
    surface = [[(left, level), cut.section.dig[0]], [cut.section.dig[-1], (right, level)]]
    sheet.stroke([view.line(line) for line in surface], "ink", OUTLINE)
    x, z = cut.section.dig[-2]
    return {
        "ground.left": ((left + cut.edges[0]) / 2, level),
        "ground.right": ((cut.edges[1] + right) / 2, level),
        "ground.under": (x - strip / 2, z + strip / 2),
    }


def dig(sheet: Sheet, view: View, cut: Cut) -> Anchors:
    """The hole, filled with backfill to the ground; its cut face as a thick line."""
    levels = cut.levels
    fill = levels.job.backfill.hatch
    sheet.hatch([view.line(cut.section.dig)], fill, Layer.BACKFILL)
    sheet.stroke([view.line(cut.section.dig)], "edge", EDGE, Layer.CUT)
    (x0, z0), (x1, z1) = cut.section.dig[1], cut.section.dig[-2]
    return {
        "dig.left": cut.section.dig[0],
        "dig.right": cut.section.dig[-1],
        "base.left": (x0, z0),
        "base.right": (x1, z1),
    }


def bedding(sheet: Sheet, view: View, cut: Cut) -> Anchors:
    """The bedding under shell and gap, and what makes up an overdug base below it."""
    levels = cut.levels
    spec = levels.job.spec
    over = spec.excavation.overdug
    base = list(cut.base)
    laid = [(x, z - over) for x, z in base]
    if over > 0:
        sheet.hatch([view.line([*laid, *base[::-1]])], "makeup", Layer.MAKEUP)
        sheet.stroke([view.line(laid)], "edge", THIN, Layer.CUT)
    top = moved(laid, spec.bedding.thickness)
    sheet.hatch([view.line([*laid, *top[::-1]])], levels.job.bedding.hatch, Layer.BEDDING)
    gap_left = [top[0], (min(p[0] for p in cut.section.outside), top[0][1])]
    gap_right = [(max(p[0] for p in cut.section.outside), top[-1][1]), top[-1]]
    sheet.stroke([view.line(gap_left), view.line(gap_right)], "edge", THIN, Layer.CUT)
    return {"bedding.left": laid[0], "bedding.right": laid[-1]}


def pocket(
    sheet: Sheet, view: View, box: tuple[float, float, float, float], hatch: str, *, hidden: bool
) -> None:
    """A pit or sump below the base, filled; only its outline, dashed, where it lies behind."""
    ring = view.line(rectangle(*box))
    if hidden:
        sheet.stroke([[ring[0], ring[3], ring[2], ring[1]]], "edge", EDGE, dash=HIDDEN)
        return
    sheet.hatch([ring], hatch, Layer.POCKET)
    sheet.stroke([[ring[0], ring[3], ring[2], ring[1]]], "edge", EDGE)


def paving(sheet: Sheet, view: View, cut: Cut) -> Anchors:
    """Paving from the rim to the edge of the dig, and the beam under it."""
    levels = cut.levels
    spec = levels.job.spec
    low = max(levels.ground, 0.0) if levels.ground > levels.paving else 0.0
    reach = max(spec.ring_beam.width, spec.backfill.working_gap)
    left = min(cut.edges[0], cut.rims[0] - reach)
    right = max(cut.edges[1], cut.rims[1] + reach)
    if levels.paving < low:
        for x0, x1 in ((left, cut.rims[0]), (cut.rims[1], right)):
            ring = view.line(rectangle(x0, levels.paving, x1, low))
            sheet.fill([ring], "paving", Layer.POCKET)
            sheet.stroke([ring], "edge", THIN, closed=True)
    wide, deep = spec.ring_beam.width, levels.beam_underside
    for x0, x1 in ((cut.rims[0] - wide, cut.rims[0]), (cut.rims[1], cut.rims[1] + wide)):
        ring = view.line(rectangle(x0, 0.0, x1, deep))
        sheet.hatch([ring], "concrete", Layer.BEAM)
        sheet.stroke([ring], "edge", EDGE, closed=True)
    return {
        "paving.left": (left, levels.paving),
        "paving.right": (right, levels.paving),
        "beam.left": (cut.rims[0] - wide, deep),
        "beam.right": (cut.rims[1] + wide, deep),
    }


def shell(sheet: Sheet, view: View, cut: Cut) -> Anchors:
    """The shell, its wall thickened by a whole factor, with the pool water in it."""
    levels, section = cut.levels, cut.section
    thick = levels.job.spec.shell.wall * cut.thicker(view)
    sheet.fill([view.line(section.outside)], "paper", Layer.BODY)
    pool = below(section.inside, levels.water)
    sheet.fill([view.line(pool)], "water", Layer.BODY)
    # Thickened inwards, so that bedding and backfill keep their true size.
    middle = moved(section.outside, thick / 2)
    middle[0], middle[-1] = (middle[0][0], 0.0), (middle[-1][0], 0.0)
    sheet.stroke([view.line(middle)], "laminate", thick * view.scale, Layer.BODY)
    surface = [p for p in pool if abs(p[1] - levels.water) < 1e-9]
    start, end = min(surface), max(surface)
    sheet.stroke(
        [[view.at(start[0] + thick, start[1]), view.at(end[0] - thick, end[1])]],
        "water-line",
        1.1,
        Layer.LEVEL,
    )
    return {
        "rim.left": section.inside[0],
        "rim.right": section.inside[-1],
        "water.left": start,
        "water.right": end,
        "valve": (cut.valve_at, levels.seat),
    }


def tube(sheet: Sheet, view: View, cut: Cut) -> Anchors:
    """The standpipe with its slots, in its sleeve through the beam; dashed where the shell hides it."""
    levels = cut.levels
    half = levels.tube.outside / 2
    at, top, foot = cut.tube_at, levels.tube_top, levels.tube_foot
    ring = view.line(rectangle(at - half, top, at + half, foot))
    slots = foot - levels.job.spec.standpipe.slotted
    if cut.tube_hidden:
        sheet.stroke([ring], "tube-line", EDGE, Layer.FRONT, dash=HIDDEN, closed=True)
    else:
        if levels.tube_in_beam:
            out = half + max(SLEEVE / view.scale, half * 0.2)
            sleeve = view.line(rectangle(at - out, 0.0, at + out, levels.beam_underside))
            sheet.fill([sleeve], "paper", Layer.TUBE)
            sheet.stroke([[sleeve[0], sleeve[3]], [sleeve[1], sleeve[2]]], "ink", EDGE, Layer.TUBE)
        sheet.fill([ring], "tube", Layer.TUBE)
        sheet.stroke([ring], "tube-line", EDGE, Layer.TUBE, closed=True)
        pitch = max(levels.job.spec.standpipe.pitch, 2.2 / view.scale)
        count = int((foot - slots) / pitch)
        ticks = [
            view.line([(at - half, foot - (n + 0.5) * pitch), (at + half, foot - (n + 0.5) * pitch)])
            for n in range(count)
        ]
        sheet.stroke(ticks, "tube-line", THIN, Layer.TUBE)
    return {"tube.top": (at, top), "tube.foot": (at, foot), "tube.slots": (at, slots)}


def valve(sheet: Sheet, view: View, cut: Cut) -> Anchors:
    """The relief valve in the floor: flange and throat to scale, at least wide enough to be seen."""
    levels = cut.levels
    relief = levels.job.spec.shell.relief
    x, y = view.at(cut.valve_at, levels.seat)
    half = max(relief.flange * view.scale / 2, 2.6)
    deep = levels.job.spec.shell.floor_thickness * view.scale
    sheet.fill([rectangle(x - half, y - 1.8, x + half, y)], "tube-line", Layer.FRONT)
    sheet.fill([rectangle(x - half / 2, y, x + half / 2, y + max(deep, 2.4))], "tube-line", Layer.FRONT)
    return {"valve": (cut.valve_at, levels.seat)}


def _strip(dig: list[Point], level: float, strip: float) -> list[Point]:
    """The ring of the strip outside a cut, its outer edge cut off at the ground."""
    outer = moved(dig, -strip)
    outer[0] = _at_level(outer[0], outer[1], level)
    outer[-1] = _at_level(outer[-1], outer[-2], level)
    return [*dig, *outer[::-1]]


def _at_level(top: Point, lower: Point, level: float) -> Point:
    (x0, z0), (x1, z1) = top, lower
    return x0 + (x1 - x0) * (level - z0) / (z1 - z0), level


def mesh(sheet: Sheet, view: View, cut: Cut) -> Anchors:
    """The mesh under the valve's throat, where the job has one: a heavy dashed line."""
    if cut.levels.job.mesh is None:
        return {}
    x, z = cut.valve_at, cut.levels.underside_deep
    half = cut.levels.job.spec.shell.relief.flange / 2
    sheet.stroke([view.line([(x - half, z), (x + half, z)])], "fabric", 1.2, Layer.FRONT, dash=(2.0, 1.0))
    return {"mesh": (x, z)}


def whole(sheet: Sheet, view: View, cut: Cut) -> Anchors:
    """Every part of a section, in the order in which they cover each other."""
    levels = cut.levels
    anchors = ground(sheet, view, cut) | dig(sheet, view, cut) | bedding(sheet, view, cut)
    if cut.pit is not None:
        pocket(sheet, view, cut.pit, levels.job.backfill.hatch, hidden=cut.tube_hidden)
        anchors |= {"pit.left": (cut.pit[0], cut.pit[3]), "pit.right": (cut.pit[2], cut.pit[3])}
    if cut.sump is not None and levels.job.sump_fill is not None:
        pocket(sheet, view, cut.sump, levels.job.sump_fill.hatch, hidden=False)
        anchors |= {"sump.left": (cut.sump[0], cut.sump[3]), "sump.right": (cut.sump[2], cut.sump[3])}
    for part in (paving, tube, shell, valve, mesh):
        anchors |= part(sheet, view, cut)
    return anchors
