"""Plan: shell, working gap and dig from above, with what is set out from the pegs."""

from __future__ import annotations

from builder.figures.canvas import Layer, Point, Sheet, View, rectangle
from builder.figures.lettering import bold, safe, width, wrapped
from builder.figures.marks import round_mark, skirt, upright
from builder.figures.placer import Note, Span
from builder.figures.reader import Reader
from builder.figures.scene import Scene
from builder.figures.style import EDGE, MARGIN, OUTLINE, TEXT, THIN, WIDTH
from builder.levels import Solid
from builder.plan import chords

LETTER = 14.0  # points kept right of the base for the letter of a peg
TALL = 240.0  # points: as high as the dig may be drawn
PEG = 2.4  # points: half the side of a peg's mark
LEAST = 2.6  # points: least radius of a round thing that must be seen
CHAIN = (8.0, 2.0, 1.6, 2.0)
DASHED = (3.0, 2.0)
CLEAR = 10.0  # points of that room that stay free
LABEL = 122.0  # points: the widest line of a label


def draw(read: Reader) -> Scene:
    """Return the plan of a job."""
    levels, words = read.levels, read.words
    view = _view(read)
    sheet = Sheet()
    anchors = _parts(sheet, view, read)
    pegs = {letter: anchors[f"peg.{letter}"] for letter in "ABCD"}
    said = _pegs(sheet, view, read, pegs)
    above, below, labelled = _labels(read, view, anchors)
    top = levels.dig.top.bounds
    skirt(sheet, above, min(view.y(top[3]), view.y(pegs["D"][1]) - TEXT - 3), down=False)
    skirt(sheet, below, max(view.y(top[1]), view.y(pegs["A"][1]) + TEXT + 3), down=True)
    sheet.close()
    return Scene(
        sheet=sheet,
        title="Plan and set-out",
        caption=f"Seen from above, to one scale. Lengths in {words.unit}. Peg the rectangle A B C D, "
        f"check its diagonal, "
        "then measure everything from peg A: along the side A B, then square across.",
        description="The pool from above: pegged rectangle with its diagonal, edge of the dig, shell, "
        "ledges, relief valve and standpipe.",
        long_description=(*said, *labelled),
        anchors=anchors,
    )


def _view(read: Reader) -> View:
    """The whole dig in the sheet's width, with room left of the base for a dimension."""
    levels = read.levels
    top, base = levels.dig.top.bounds, levels.dig.base.bounds
    x0, x1 = min(top[0], base[0]), max(top[2], base[2])
    scale = (WIDTH - 2 * MARGIN) / (x1 - x0)
    left = max(_room(read) - (base[0] - x0) * scale, 0.0)
    right = max(LETTER - (x1 - base[2]) * scale, 0.0)
    room = WIDTH - 2 * MARGIN - left - right
    scale = min(room / (x1 - x0), TALL / (max(top[3], base[3]) - min(top[1], base[1])))
    spare = (room - (x1 - x0) * scale) / 2
    return View(scale, x0, max(top[3], base[3]), left=MARGIN + left + spare, up=True)


def _room(read: Reader) -> float:
    """Points kept left of the base for the dimension across."""
    return width(read.words.length(read.levels.dig.base_width), TEXT) + 9.0


def _parts(sheet: Sheet, view: View, read: Reader) -> dict[str, Point]:
    """Draw what lies in the plan, from the ground inwards."""
    levels = read.levels
    solid, spec = levels.solid, levels.job.spec
    cut = view.region(levels.dig.top)
    sheet.hatch(cut, "ground", Layer.GROUND)
    sheet.stroke(cut, "edge", EDGE, closed=True)
    base = view.region(levels.dig.base.polygon)
    sheet.hatch(base, levels.job.backfill.hatch, Layer.BACKFILL)
    sheet.stroke(base, "edge", THIN, closed=True)
    sheet.fill(view.region(solid.inset(levels.water)), "water", Layer.BODY)
    sheet.stroke(view.region(solid.outside.polygon), "laminate", OUTLINE, Layer.BODY, closed=True)
    anchors: dict[str, Point] = {}
    for number, ledge in enumerate(solid.shell.ledges, 1):
        sheet.stroke(
            [
                view.line(side)
                for side in _sides(solid, (ledge.x, ledge.y), (ledge.x + ledge.length, ledge.y + ledge.width))
            ],
            "laminate",
            THIN,
            Layer.CASING,
        )
        anchors[f"ledge.{number}"] = ledge.x + ledge.length / 2, ledge.y + ledge.width / 2
    breaks = [x for x, _ in solid.floor_line[1:-1]]
    lines = [
        [view.at(x, low), view.at(x, high)] for x in breaks for low, high in chords(solid.inset(0.0), x=x)
    ]
    sheet.stroke(lines, "water-line", THIN, Layer.CASING, dash=DASHED)
    anchors["valve"] = levels.valve
    anchors["tube"] = levels.tube.x, levels.tube.y
    _round(sheet, view, levels.valve, spec.shell.relief.flange / 2, "paper", "laminate")
    if spec.standpipe.pit is not None:
        half = spec.standpipe.pit.width / 2
        x, y = anchors["tube"]
        pit = view.line(rectangle(x - half, y - half, x + half, y + half))
        sheet.stroke([pit], "edge", THIN, Layer.TUBE, closed=True, dash=DASHED)
    _round(sheet, view, anchors["tube"], levels.tube.outside / 2, "tube", "tube-line")
    if solid.shell.skimmer is not None:
        anchors["skimmer"] = solid.shell.skimmer
        x, y = view.at(*solid.shell.skimmer)
        mark = rectangle(x - LEAST, y - LEAST, x + LEAST, y + LEAST)
        sheet.fill([mark], "paper", Layer.FRONT)
        sheet.stroke([mark], "laminate", EDGE, Layer.FRONT, closed=True)
    x0, y0, x1, y1 = levels.dig.base.bounds
    anchors |= {"peg.A": (x0, y0), "peg.B": (x1, y0), "peg.C": (x1, y1), "peg.D": (x0, y1)}
    return anchors


def _sides(solid: Solid, low: Point, high: Point) -> list[list[Point]]:
    """The sides of a rectangle as far as they lie inside the shell, in model metres."""
    inside = solid.inset(0.0)
    sides = []
    for x in (low[0], high[0]):
        sides += [
            [(x, max(a, low[1])), (x, min(b, high[1]))]
            for a, b in chords(inside, x=x)
            if a < high[1] and b > low[1]
        ]
    for y in (low[1], high[1]):
        sides += [
            [(max(a, low[0]), y), (min(b, high[0]), y)]
            for a, b in chords(inside, y=y)
            if a < high[0] and b > low[0]
        ]
    return sides


def _round(sheet: Sheet, view: View, at: Point, radius: float, fill: str, line: str) -> None:
    round_mark(sheet, view.at(*at), max(radius * view.scale, LEAST), fill, line)


def _pegs(sheet: Sheet, view: View, read: Reader, pegs: dict[str, Point]) -> list[str]:
    """The pegged rectangle with its letters, its width and its diagonal."""
    levels, words = read.levels, read.words
    corners = [view.at(*pegs[letter]) for letter in "ABCD"]
    sheet.stroke([corners], "ink", EDGE, Layer.CASING, closed=True, dash=CHAIN)
    sheet.stroke([[corners[0], corners[2]]], "dimension", THIN, Layer.CASING, dash=DASHED)
    sheet.fill([rectangle(x - PEG, y - PEG, x + PEG, y + PEG) for x, y in corners], "ink", Layer.FRONT)
    for letter, (x, y) in zip("ABCD", corners, strict=True):
        side = -1 if letter in "AD" else 1
        sheet.backed(
            bold(letter), x + side * (PEG + 6), y + (TEXT + 1.5 if letter in "AB" else -3.5), role="ink"
        )
    (ax, ay), (cx, cy) = corners[0], corners[2]
    diagonal = read.length("dig.check_diagonal")
    share = 0.36
    sheet.backed(diagonal, ax + (cx - ax) * share, ay + (cy - ay) * share + 3.1, ground="water")
    middle = ax - _room(read) / 2 - 1
    upright(sheet, middle, cy, ay, words.length(levels.dig.base_width))
    sheet.stroke([[(middle - 3, y), (ax - 4, y)] for y in (ay, cy)], "dimension", THIN, Layer.NOTE)
    return [
        f"The pegged rectangle A B C D is {words.mm(levels.dig.base_length)} long and "
        f"{words.mm(levels.dig.base_width)} wide, "
        f"the shell's outside and the working gap of "
        f"{words.exact_mm(levels.job.spec.backfill.working_gap)} all round.",
        f"Its diagonal, A to C, is {read.mm('dig.check_diagonal')}; B to D must be the same.",
    ]


def _labels(
    read: Reader, view: View, anchors: dict[str, Point]
) -> tuple[list[Note | Span], list[Note | Span], list[str]]:
    levels, words = read.levels, read.words
    solid = levels.solid
    x0, y0, x1, y1 = levels.dig.base.bounds
    top = levels.dig.top.bounds
    middle = (y0 + y1) / 2
    above: list[Note | Span] = []
    below: list[Note | Span] = [
        Span(f"A to B {words.length(levels.dig.base_length)}", view.at(x0, y0), view.at(x1, y0)),
    ]
    said = []
    if levels.dig.batter is not None:
        edge = read.length("dig.top_length"), read.length("dig.top_width")
        above.append(Span(f"dig at the ground {edge[0]}", view.at(top[0], top[3]), view.at(top[2], top[3])))
        said.append(
            f"At the ground the dig is {read.mm('dig.top_length')} long and {read.mm('dig.top_width')} wide."
        )
    for key, name in (("valve", "relief valve"), ("tube", "standpipe"), ("skimmer", "skimmer")):
        if key not in anchors:
            continue
        x, y = anchors[key]
        along, across = words.length(x - x0), words.length(y - y0)
        side = above if y > middle or (key == "skimmer" and y >= middle) else below
        both = bold(f"{along} along, {across} across")
        apart = bold(f"{along} along"), bold(f"{across} across")
        room = max(view.x(x) - view.x(x0), view.x(x1) - view.x(x)) - CLEAR  # to the leaders at A and B
        measures = (both,) if width(both, TEXT) <= room else apart
        side.append(Note((name, *measures), (view.at(x, y),), dot=False))
        said.append(f"The {name} is {words.mm(x - x0)} along from peg A and {words.mm(y - y0)} across.")
    for number, ledge in enumerate(solid.shell.ledges, 1):
        x, y = anchors[f"ledge.{number}"]
        depth = words.level(ledge.depth)
        spots = tuple(view.at(ledge.x + ledge.length * share, y) for share in (0.5, 0.3, 0.7))
        (above if y >= middle else below).append(
            Note((*wrapped(safe(ledge.name), LABEL), bold(depth)), spots)
        )
        said.append(f"{safe(ledge.name).capitalize()}: {words.spoken_level(ledge.depth)}.")
    gap = words.exact(levels.job.spec.backfill.working_gap)
    below.append(Note(("working gap", bold(f"{gap} all round")), _gap(read, view)))
    return above, below, said


def _gap(read: Reader, view: View) -> tuple[Point, ...]:
    """Places in the middle of the gap along the lower side, clear of the pegs."""
    levels = read.levels
    x0, _, x1, _ = levels.dig.base.bounds
    gap = levels.job.spec.backfill.working_gap
    places = []
    for share in (0.2, 0.3, 0.45, 0.6, 0.75):
        x = x0 + (x1 - x0) * share
        runs = chords(levels.dig.base.polygon, x=x)
        if runs:
            places.append(view.at(x, runs[0][0] + gap / 2))
    return tuple(places)
