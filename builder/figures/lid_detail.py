"""Lid detail: the lid over the tube in the paving, a fifth of its size; and the tapes that find it again."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from builder.figures import details
from builder.figures.breaks import broken
from builder.figures.canvas import Layer, Point, Sheet, View, rectangle
from builder.figures.lettering import bold, wrapped
from builder.figures.marks import dot, skirt, water_mark
from builder.figures.placer import LEAD, Note, Span
from builder.figures.reader import Reader
from builder.figures.scene import Scene, said
from builder.figures.style import EDGE, MARGIN, OUTLINE, TEXT, THIN, WIDTH
from builder.figures.turns import size
from builder.levels import Levels
from builder.quantity import Table

DOWN = 5  # 1 to so many, as long as the frame takes it
BESIDE = 0.035  # metres: pool shown beside the rim, and paving beyond beam and lid, at least
UNDER = 0.05  # metres: ground below the beam
COLLAR = 0.06  # metres: how wide the collar is drawn, for want of a measure
TALL = 110.0  # points: as high as the plan may be
ROUND = 22.0  # points kept round the plan for the numbers of its tapes
BEHIND = 8.5  # points from a mark to its tape's number
TURNS = 16  # directions in which that number may stand
TAPE = (5.0, 2.0)
LID = 4.0  # points: half the side of the lid's mark in the plan


@dataclass(frozen=True)
class _Cut:
    """A cut square to the wall through the tube: distances outwards from the shell's outside at the rim."""

    tube: float
    left: float
    right: float
    low: float  # of the paving: where its own ground begins
    deep: float
    scale: details.Scale


def draw(read: Reader) -> Scene:
    """Return the detail of a job's lid."""
    levels, words = read.levels, read.words
    spec = levels.job.spec
    cut = _cut(read)
    view = View(cut.scale.points, cut.left, _high(read))
    sheet = Sheet()
    _section(sheet, view, read, cut)
    above, below, told = _labels(read, view, cut)
    top = skirt(sheet, above, view.y(_high(read)) - 2, down=False)
    details.badge(sheet, details.LID, (MARGIN + details.BADGE, top - details.BADGE + 2))
    low = skirt(sheet, below, view.y(cut.deep) + 2, down=True)
    tapes, marks = _tapes(sheet, read, low + LEAD)
    sheet.close()
    large = cut.scale.said(words)
    habit = " and ".join(said("wrap" if levels.tube_in_beam else "", "collar" if levels.tube_collar else ""))
    pattern = " The collar's width is a pattern." if levels.tube_collar else ""
    return Scene(
        sheet=sheet,
        title="Lid over the standpipe",
        caption=" ".join(
            said(
                f"Detail {details.LID} of the long section: cut square to the wall through the tube, "
                f"{large}; lengths in {words.unit}. Zigzag line: the drawing stops there.",
                f"{habit.capitalize()}: common practice, no source.{pattern}",
                "Below: seen from above, with three tapes from the rim's inside edge to the middle of "
                "the lid. Corners are lettered like the pegs.",
            )
        ),
        description="The lid in the paving over the top of the standpipe beside the rim, and a plan with the "
        "distances to the lid from three places of the rim.",
        long_description=said(*told, f"This cut is {large}.", *tapes),
        anchors={
            "tube top": (cut.tube, levels.tube_top),
            "lid": (cut.tube, levels.paving),
            "lid.under": (cut.tube, levels.paving + spec.standpipe.lid.thickness),
            "beam": (spec.ring_beam.width, levels.beam_underside),
            **marks,
        },
        printed=cut.scale.printed,
    )


def _high(read: Reader) -> float:
    return min(read.levels.paving, read.levels.tube_top, read.levels.ground, 0.0)


def _cut(read: Reader) -> _Cut:
    levels = read.levels
    spec = levels.job.spec
    tube = levels.tube_away
    half = max(spec.standpipe.lid.width, levels.tube.outside) / 2
    beyond = max(tube + half, spec.ring_beam.width)
    low = levels.paving_base
    deep = max(levels.beam_underside, levels.tube_top, low + (levels.tube_collar or 0.0), levels.water)
    scale = details.fitting(
        DOWN, beyond + 2 * BESIDE, WIDTH - 2 * MARGIN, read.words, high=deep + UNDER - _high(read)
    )
    spare = (WIDTH - 2 * MARGIN) / scale.points - beyond  # the frame is filled, half of the rest on each side
    under = UNDER * scale.down / DOWN
    return _Cut(tube, -spare / 2, beyond + spare / 2, low, deep + under, scale)


def _section(sheet: Sheet, view: View, read: Reader, cut: _Cut) -> None:
    """Fill and ground, beam, paving, frame and lid, tube, rim and pool."""
    levels = read.levels
    job, spec = levels.job, levels.job.spec
    high = _high(read)
    half, lid = levels.tube.outside / 2, spec.standpipe.lid

    def box(x0: float, z0: float, x1: float, z1: float) -> list[Point]:
        return view.line(rectangle(x0, z0, x1, z1))

    sheet.hatch([box(0.0, max(levels.ground, high), cut.right, cut.deep)], job.backfill.hatch, Layer.BACKFILL)
    sheet.stroke([view.line([(0.0, levels.ground), (cut.right, levels.ground)])], "ink", EDGE, Layer.CUT)
    beam = box(0.0, 0.0, spec.ring_beam.width, levels.beam_underside)
    sheet.hatch([beam], "concrete", Layer.BEAM)
    sheet.stroke([beam], "edge", EDGE, Layer.BEAM, closed=True)
    if levels.tube_collar is not None:
        collar = [
            box(x0, cut.low, x1, cut.low + levels.tube_collar)
            for x0, x1 in _collar(levels, cut.tube)
            if x0 < x1
        ]
        sheet.hatch(collar, "makeup", Layer.MAKEUP)
        sheet.stroke(collar, "edge", EDGE, Layer.MAKEUP, closed=True)
    frame = cut.tube - lid.width / 2, cut.tube + lid.width / 2
    if levels.paving < cut.low:
        paved = [(-spec.shell.wall, frame[0]), (frame[1], cut.right)]
        rings = [box(x0, levels.paving, x1, cut.low) for x0, x1 in paved if x0 < x1]
        sheet.fill(rings, "paving", Layer.POCKET)
        sheet.stroke(rings, "edge", EDGE, Layer.POCKET, closed=True)
        foot = max(0.0, levels.paving + lid.thickness, levels.tube_top)  # of the hollow under the lid
        if foot < cut.low:
            sheet.fill([box(frame[0], foot, frame[1], cut.low)], "paving", Layer.POCKET)
        inside = box(max(frame[0], 0.0), levels.paving, frame[1], min(foot, cut.low))
        sheet.fill([inside], "paper", Layer.POCKET)
    sides = [view.line([(x, levels.paving), (x, max(0.0, levels.paving + lid.thickness))]) for x in frame]
    sheet.stroke(sides, "ink", OUTLINE, Layer.NOTE)
    if levels.tube_in_beam:
        out = half + levels.tube_wrap
        sleeve = box(max(cut.tube - out, 0.0), 0.0, cut.tube + out, levels.beam_underside)
        sheet.fill([sleeve], "paper", Layer.TUBE)
        sheet.stroke([[sleeve[0], sleeve[3]], [sleeve[1], sleeve[2]]], "ink", OUTLINE, Layer.TUBE)
    tube = box(cut.tube - half, levels.tube_top, cut.tube + half, cut.deep)
    bore = levels.tube.bore / 2
    sheet.fill([tube], "tube", Layer.EDGE)
    inner = box(cut.tube - bore, levels.tube_top, cut.tube + bore, cut.deep)
    sheet.fill([inner], "paper", Layer.BODY)
    lines = [[tube[3], tube[0]], [tube[2], tube[1]], [inner[3], inner[0]], [inner[2], inner[1]]]
    sheet.stroke(lines, "tube-line", EDGE, Layer.CASING)
    sheet.stroke([[tube[0], tube[1]]], "tube-line", OUTLINE + 1.0, Layer.CASING)
    cover = box(frame[0], levels.paving, frame[1], levels.paving + lid.thickness)
    sheet.fill([cover], "valve", Layer.CASING)
    sheet.stroke([cover], "ink", EDGE, Layer.LEVEL, closed=True)
    wall = box(-spec.shell.wall, 0.0, 0.0, cut.deep)
    pool = box(cut.left, levels.water, -spec.shell.wall, cut.deep)
    sheet.fill([pool], "water", Layer.BODY)
    sheet.stroke([[pool[0], pool[1]]], "water-line", EDGE, Layer.LEVEL)
    water_mark(sheet, ((pool[0][0] + pool[1][0]) / 2, pool[0][1]), "water-line")
    sheet.fill([wall], "laminate", Layer.LEVEL)
    low = view.y(cut.deep)
    for x, top in ((cut.left, levels.water), (cut.right, min(levels.paving, levels.ground))):
        broken(sheet, view.at(x, top), (view.x(x), low), edge=True)
    broken(sheet, (view.x(cut.left), low), (view.x(cut.right), low), edge=True)


def _labels(read: Reader, view: View, cut: _Cut) -> tuple[list[Note | Span], list[Note | Span], list[str]]:
    levels, words = read.levels, read.words
    spec = levels.job.spec
    lid, half = spec.standpipe.lid, levels.tube.outside / 2
    frame = cut.tube - lid.width / 2, cut.tube + lid.width / 2
    under = levels.tube_top - levels.paving
    way = "under" if under >= 0 else "over"
    gap = words.mm(under)
    sizes = words.exact(lid.width), words.exact(lid.thickness)
    outside = words.length(levels.tube.outside, step=0.001)
    away = words.length(cut.tube)
    beam = f"{words.exact(spec.ring_beam.width)} × {words.exact(spec.ring_beam.depth)}"
    level = levels.paving
    beyond = view.at((cut.right + max(frame[1], spec.ring_beam.width)) / 2, level)
    above: list[Note | Span] = [
        Span(f"lid {sizes[0]}", view.at(frame[0], level), view.at(frame[1], level)),
        Note(("paving", bold(read.level("level.paving"))), (beyond, view.at(frame[0] / 2, level))),
        Note(("rim",), (view.at(-spec.shell.wall / 2, 0.0),)),
    ]
    deep = (cut.deep + levels.beam_underside) / 2
    below: list[Note | Span] = [
        Note(
            ("top of the tube", bold(read.level("level.tube_top")), f"{gap} {way} the lid's top"),
            (view.at(cut.tube, levels.tube_top), view.at(cut.tube + half * 0.6, levels.tube_top)),
        ),
        Note((f"tube {outside} outside",), (view.at(cut.tube + half, deep),)),
        Note(
            ("ring beam", bold(beam)),
            tuple(view.at(x, levels.beam_underside * 0.7) for x in _clear(cut, half, spec.ring_beam.width)),
        ),
        *_sleeve(view, cut, half, read),
        *_collar_note(view, cut, read),
        Span(f"{away} from the shell", view.at(0.0, cut.deep), view.at(cut.tube, cut.deep)),
    ]
    sleeved = (
        f"The tube passes the beam in a foam wrap {words.habit(levels.tube_wrap, 'up', unit=True)} thick, "
        "or in a sleeve, so that the concrete does not grip it: "
    )
    told = [
        f"The lid is {words.exact_mm(lid.width)} wide and {words.exact_mm(lid.thickness)} thick "
        f"and lies level with the paving, {read.spoken('level.paving')}.",
        f"The top of the tube is {read.spoken('level.tube_top')}, {gap} {way} the top of the lid; the tube "
        f"is {words.mm(levels.tube.outside, step=0.001)} outside.",
        f"The middle of the tube is {words.mm(cut.tube)} from the outside of the shell.",
        f"The ring beam is {words.exact_mm(spec.ring_beam.width)} wide and "
        f"{words.exact_mm(spec.ring_beam.depth)} deep.",
        sleeved + "common practice, no source."
        if levels.tube_in_beam
        else "The tube stands clear of the beam.",
        *_collar_told(read),
    ]
    return above, below, told


def _sleeve(view: View, cut: _Cut, half: float, read: Reader) -> tuple[Note, ...]:
    """The label of the wrap, where the tube passes the beam."""
    levels = read.levels
    if not levels.tube_in_beam:
        return ()
    thick = bold(f"{read.words.habit(levels.tube_wrap, 'up')} thick")
    spot = cut.tube - half - levels.tube_wrap / 2, levels.beam_underside * 0.6
    return (Note(("sleeve, or foam", thick), (view.at(*spot),)),)


def _collar(levels: Levels, tube: float) -> tuple[tuple[float, float], ...]:
    """From where to where the collar lies, inwards and outwards of the tube; never under the beam."""
    half = levels.tube.outside / 2
    outer = tube + half, tube + half + COLLAR
    if levels.tube_in_beam:
        return (outer,)
    return (max(tube - half - COLLAR, levels.job.spec.ring_beam.width), tube - half), outer


def _collar_note(view: View, cut: _Cut, read: Reader) -> tuple[Note, ...]:
    levels = read.levels
    if levels.tube_collar is None:
        return ()
    start, end = _collar(levels, cut.tube)[-1]
    deep = bold(f"{read.words.habit(levels.tube_collar, 'up')} deep")
    spots = tuple(
        view.at(start + (end - start) * share, cut.low + levels.tube_collar * 0.7)
        for share in (0.6, 0.4, 0.8)
    )
    return (Note(("clay or grout collar", deep), spots),)


def _collar_told(read: Reader) -> tuple[str, ...]:
    levels = read.levels
    if levels.tube_collar is None:
        return ()
    deep = read.words.habit(levels.tube_collar, "up", unit=True)
    where = "on the tube's side away from the beam" if levels.tube_in_beam else "round the tube"
    return (f"A tight collar of clay or weak grout is packed {where}, {deep} deep under the paving's base.",)


def _clear(cut: _Cut, half: float, beam: float) -> tuple[float, ...]:
    """Places along the beam clear of the tube, the widest part first."""
    runs = [(0.0, min(cut.tube - half, beam)), (max(cut.tube + half, 0.0), beam)]
    wide = sorted((run for run in runs if run[1] > run[0]), key=lambda run: run[0] - run[1])
    return tuple(low + (high - low) * share for low, high in wide for share in (0.5, 0.25, 0.75))


def _tapes(sheet: Sheet, read: Reader, top: float) -> tuple[list[str], dict[str, Point]]:
    """The plan with its tapes, and what each measures; the sentences and the named places."""
    levels, words = read.levels, read.words
    value = read.results["standpipe.ties"].value
    if not isinstance(value, Table):
        raise ValueError("the lid has no tie measures")
    rows = [(str(row["from"]), size(row["away"]), size(row["x"]), size(row["y"])) for row in value.records()]
    tube = levels.tube.x, levels.tube.y
    x0, y0, x1, y1 = levels.solid.outside.polygon.bounds
    x0, y0, x1, y1 = min(x0, tube[0]), min(y0, tube[1]), max(x1, tube[0]), max(y1, tube[1])
    scale = min((WIDTH - 2 * MARGIN - 2 * ROUND) / (x1 - x0), TALL / (y1 - y0))
    left = (WIDTH - (x1 - x0) * scale) / 2
    view = View(scale, x0, y1, left=left, top=top + ROUND, up=True)
    sheet.fill(view.region(levels.solid.inset(0.0)), "water", Layer.GROUND)
    sheet.stroke(view.region(levels.solid.inset(0.0)), "laminate", OUTLINE, Layer.BODY, closed=True)
    at = view.at(*tube)
    sheet.fill([rectangle(at[0] - LID, at[1] - LID, at[0] + LID, at[1] + LID)], "valve", Layer.CASING)
    sheet.stroke(
        [rectangle(at[0] - LID, at[1] - LID, at[0] + LID, at[1] + LID)],
        "ink",
        EDGE,
        Layer.CASING,
        closed=True,
    )
    rings = view.region(levels.solid.inset(0.0))
    lines = [[ring[-1], *ring] for ring in rings] + [[view.at(x, z), at] for _, _, x, z in rows]
    said = []
    y = view.y(y0) + ROUND + TEXT
    for number, (name, away, x, z) in enumerate(rows, 1):
        mark = view.at(x, z)
        sheet.stroke([[mark, at]], "ink", THIN, Layer.LEVEL, dash=TAPE)
        dot(sheet, mark)
        free = _free(mark, lines)
        sheet.text(bold(str(number)), free[0], free[1] + TEXT * 0.35, anchor="center")
        for line in wrapped(f"{number}: from {name} {bold(words.length(away))}", WIDTH - 2 * MARGIN):
            sheet.text(line, MARGIN, y)
            y += LEAD
        said.append(f"Tape {number}, from {name}: {words.mm(away)} to the middle of the lid.")
    return said, {f"tie.{number}": (x, z) for number, (_, _, x, z) in enumerate(rows, 1)}


def _free(mark: Point, lines: Sequence[Sequence[Point]]) -> Point:
    """Where beside a mark a number stands freest of the rim and the tapes."""
    turns = (math.tau * at / TURNS for at in range(TURNS))
    places = [(mark[0] + BEHIND * math.cos(turn), mark[1] + BEHIND * math.sin(turn)) for turn in turns]
    pieces = [piece for line in lines for piece in pairwise(line) if _off(mark, *piece) < 3 * BEHIND]
    return max(places, key=lambda place: round(min(_off(place, *piece) for piece in pieces), 1))


def _off(at: Point, start: Point, end: Point) -> float:
    """How far a point is from a straight piece of line."""
    (x, y), (x0, y0), (x1, y1) = at, start, end
    long = (x1 - x0) ** 2 + (y1 - y0) ** 2
    share = min(1.0, max(0.0, ((x - x0) * (x1 - x0) + (y - y0) * (y1 - y0)) / long)) if long else 0.0
    return math.dist(at, (x0 + (x1 - x0) * share, y0 + (y1 - y0) * share))
