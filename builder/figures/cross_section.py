"""Cross-section: the job cut across the pool at the relief valve, with its materials and gaps."""

from __future__ import annotations

import math

from builder.figures import details, parts, waters
from builder.figures.canvas import Point, Sheet, View
from builder.figures.cut import STRIP, Cut
from builder.figures.lettering import bold, inline, wrapped
from builder.figures.marks import skirt
from builder.figures.placer import Note, Span, along
from builder.figures.reader import Reader
from builder.figures.scene import Scene, said, thickened
from builder.levels import cross_section

LABEL = 122.0  # points: the widest line of a label


def draw(read: Reader) -> Scene:
    """Return the cross-section of a job at its deep end."""
    levels, words = read.levels, read.words
    cut = Cut(levels, cross_section(levels, levels.valve[0]))
    view = cut.view()
    sheet = Sheet()
    anchors = parts.whole(sheet, view, cut)
    pool_note, pool_said = waters.pool(sheet, view, read, anchors)
    ground_note, ground_said = waters.ground(sheet, view, cut, read)
    above, below, told = _labels(read, cut, view, anchors)
    _, foot = details.ring(sheet, view, anchors["valve"], levels.job.spec.shell.relief.flange)
    skirt(sheet, [*above, pool_note], view.y(cut.window[1]) - 1.0, down=False)
    skirt(sheet, [*below, ground_note], max(view.y(cut.lowest) + 4.0, foot), down=True)
    sheet.close()
    thick = thickened(cut.thicker(view))
    behind = "Dashed: the standpipe, which stands beyond the end of the shell." if cut.tube_hidden else ""
    return Scene(
        sheet=sheet,
        title="Cross-section at the deep end",
        caption=" ".join(
            said(
                f"The pool cut across at the relief valve. All to one scale; lengths in {words.unit}.",
                "Circled: the valve, A, has a figure of its own.",
                thick,
                behind,
            )
        ),
        description="A cut across the deep end: shell, ring beam, bedding, backfill, working gap, "
        "standpipe and the sides of the dig.",
        long_description=said(*told, behind, pool_said, ground_said, thick),
        anchors=anchors,
    )


def _labels(
    read: Reader, cut: Cut, view: View, anchors: parts.Anchors
) -> tuple[list[Note | Span], list[Note | Span], list[str]]:
    """Labels above and below the drawing, and their sentences."""
    levels, words = read.levels, read.words
    job, spec = levels.job, levels.job.spec
    start, end = cut.section.inside[0], cut.section.inside[-1]
    beam = f"{words.exact(spec.ring_beam.width)} × {words.exact(spec.ring_beam.depth)}"
    bedding = inline(job.bedding.name)
    backfill = inline(job.backfill.name)
    soils = [inline(layer.soil.name) for layer in job.layers]
    sleeved = levels.tube_in_beam and not cut.tube_hidden
    above: list[Note | Span] = [
        Span(f"{words.length(end[0] - start[0])} inside", view.at(*start), view.at(*end)),
        Note(("ring beam", bold(beam)), _beam(view, cut)),
        Note(
            ("standpipe", "sleeved in the beam") if sleeved else ("standpipe",),
            (view.at(*anchors["tube.top"]),),
        ),
        Note(("paving", "and its bed"), _paving(view, cut, anchors)),
    ]
    edge = cut.base[-1]
    thick = words.exact_mm(spec.bedding.thickness)
    below: list[Note | Span] = [
        Note((*wrapped(f"bedding, {bedding}", LABEL), bold(f"{thick} thick")), _bedding(view, cut)),
        Note((details.named(details.VALVE, "relief valve"),), (view.at(*anchors["valve"]),)),
        Note(wrapped(f"backfill, {backfill}", LABEL), _backfill(view, cut)),
        Note(wrapped(f"ground, {' over '.join(soils)}", LABEL), _ground(view, cut)),
    ]
    gap = words.exact(spec.backfill.working_gap)
    below.append(Span(f"{gap} gap", view.at(cut.rims[1], edge[1]), view.at(*edge)))
    told = [
        f"Inside at the rim the pool is {words.mm(end[0] - start[0])} wide.",
        f"The ring beam round the rim is {words.exact_mm(spec.ring_beam.width)} wide and "
        f"{words.exact_mm(spec.ring_beam.depth)} deep: {beam}.",
        f"The working gap, from the outside of the rim to the edge of the base, is "
        f"{words.exact_mm(spec.backfill.working_gap)}.",
        f"Bedding is {bedding}, {thick} thick; backfill is {backfill}; the ground is {' over '.join(soils)}.",
    ]
    if sleeved:
        told.append("The standpipe passes the beam in a sleeve or a foam wrap.")
    over, makeup = spec.excavation.overdug, spec.excavation.makeup
    if over > 0:
        how = "not made up" if makeup == "none" else f"made up, {makeup}"
        size = words.exact_mm(over)
        below.append(Note(("dug too deep by " + size, how), _makeup(view, cut)))
        told.append(f"Below the bedding the base was dug {size} too deep: {how}.")
    if spec.excavation.batter is not None:
        slope = f"{math.degrees(spec.excavation.batter):.0f}°"
        below.append(Note(("sides cut back", bold(f"at {slope} from level")), _side(view, cut)))
        told.append(f"The sides of the dig are cut back at {slope} from level.")
    else:
        told.append("The sides of the dig stand upright and are shored.")
    return above, below, told


def _beam(view: View, cut: Cut) -> tuple[Point, ...]:
    depth = cut.levels.beam_underside / 2
    return tuple(view.at(x, depth) for x in (cut.rims[0] - cut.beam / 2, cut.rims[1] + cut.beam / 2))


def _paving(view: View, cut: Cut, anchors: parts.Anchors) -> tuple[Point, ...]:
    (left, level), (right, _) = anchors["paving.left"], anchors["paving.right"]
    outer = cut.rims[0] - cut.beam, cut.rims[1] + cut.beam
    shares = (0.4, 0.7)
    return tuple(view.at(right + (outer[1] - right) * s, level) for s in shares) + tuple(
        view.at(left + (outer[0] - left) * s, level) for s in shares
    )


def _bedding(view: View, cut: Cut) -> tuple[Point, ...]:
    """Places in the middle of the bedding, clear of valve and sump."""
    spec = cut.levels.job.spec
    depth = cut.levels.bedding_base - spec.bedding.thickness / 2
    sump = spec.sump.width if spec.sump is not None else 0.0
    clear = max(spec.shell.relief.flange, sump) / 2 + 0.05
    feet = cut.section.outside[1][0], cut.section.outside[-2][0]
    left = along(view.at(feet[0], depth), view.at(cut.valve_at - clear, depth), 3)
    return left + along(view.at(cut.valve_at + clear, depth), view.at(feet[1], depth), 3)


def _backfill(view: View, cut: Cut) -> tuple[Point, ...]:
    """Places in the gap at the left and right, half way down."""
    depth = cut.levels.bedding_base * 0.7
    (x0, _), (x1, _) = cut.base[0], cut.base[-1]
    return view.at(x0, depth), view.at(x1, depth), view.at((x0 + cut.rims[0]) / 2, depth)


def _ground(view: View, cut: Cut) -> tuple[Point, ...]:
    """Places in the ground's strip: under the base, then beside the sides."""
    strip = STRIP / view.scale / 2
    (x0, z0), (x1, z1) = cut.base[0], cut.base[-1]
    under = [(x0 + (x1 - x0) * share, z0 + (z1 - z0) * share + strip) for share in (0.85, 0.15, 0.7, 0.3)]
    return tuple(view.at(*place) for place in under)


def _makeup(view: View, cut: Cut) -> tuple[Point, ...]:
    """Places in the layer that makes up an overdug base, clear of the sump."""
    (x0, z0), (x1, z1) = cut.base[0], cut.base[-1]
    over = cut.levels.job.spec.excavation.overdug
    return tuple(
        view.at(x0 + (x1 - x0) * share, z0 + (z1 - z0) * share - over / 2) for share in (0.22, 0.78, 0.3)
    )


def _side(view: View, cut: Cut) -> tuple[Point, ...]:
    """Places on the dig's sloping sides."""
    places = []
    for (x0, z0), (x1, z1) in (cut.section.dig[:2], cut.section.dig[:-3:-1]):
        places += [(x0 + (x1 - x0) * share, z0 + (z1 - z0) * share) for share in (0.45, 0.6)]
    return tuple(view.at(*place) for place in places)
