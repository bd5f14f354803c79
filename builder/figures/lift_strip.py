"""Lift strip: one small section a turn of filling, with water and fill below the rim."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from builder.figures import parts
from builder.figures.canvas import FINEST, Layer, Point, Sheet, View, rectangle
from builder.figures.cut import Cut
from builder.figures.lettering import bold, inline, width
from builder.figures.lines import below, moved, plainer, within
from builder.figures.marks import water_mark
from builder.figures.placer import LEAD
from builder.figures.reader import Reader
from builder.figures.scene import Scene
from builder.figures.style import EDGE, HATCH_ROLES, LEVEL, MARGIN, OUTLINE, TEXT, WIDTH
from builder.figures.turns import Turn, no_plan, turns
from builder.levels import cross_section

TITLE = "Water and backfill, lift by lift"
BESIDE = 10.0  # points between two sections of a row
BELOW = 12.0  # points between two rows
HEAD = 10.0  # points from a name to its section: room for a water mark at the rim
SHARE = 0.05  # of the base's width: how much of the sloping sides is shown on either side
DEEPER = 0.06  # of the depth: ground shown under the dig
COLUMNS = (3, 2)  # sections in a row, as many as their texts allow


def draw(read: Reader) -> Scene:
    """Return the lift strip of a job."""
    plan = turns(read)
    if not plan:
        return no_plan(TITLE)
    sheet = Sheet()
    cut = Cut(read.levels, cross_section(read.levels, read.levels.valve[0]))
    window = _window(cut)
    texts = [_texts(read, turn) for turn in plan]
    columns = _columns(texts)
    wide = (WIDTH - 2 * MARGIN - (columns - 1) * BESIDE) / columns
    scale = wide / (window[2] - window[0])
    cut = _plainer(cut, FINEST / scale)
    high = (window[3] - window[1]) * scale
    pitch = TEXT + HEAD + high + 2 * LEAD + 4 + BELOW
    for at, (turn, lines) in enumerate(zip(plan, texts, strict=True)):
        left = MARGIN + (at % columns) * (wide + BESIDE)
        top = (at // columns) * pitch
        sheet.text(bold(turn.name), left, top)
        view = View(scale, window[0], window[1], left=left, top=top + HEAD)
        _section(sheet, view, cut, window, turn)
        for number, line in enumerate(lines, 1):
            sheet.text(line, left, top + HEAD + high + 2 + LEAD * number)
    sheet.close()
    how = (
        f"Each turn raises the water first, then the fill all round; "
        f"levels are {read.words.unit} below the rim.",
        "What a turn places is dark, what lies already is hatched.",
        "The shell's wall is drawn thicker than it is.",
    )
    return Scene(
        sheet=sheet,
        title=TITLE,
        caption=" ".join(how),
        description="A small section of the deep end for every turn, with the level of the water and the "
        "top of the backfill.",
        long_description=(*how, *(_sentence(read, turn) for turn in plan)),
        anchors={f"water.{turn.number}": (cut.valve_at, turn.water) for turn in plan}
        | {f"fill.{turn.number}": (cut.rims[1], turn.fill) for turn in plan},
    )


def _window(cut: Cut) -> tuple[float, float, float, float]:
    """What each section shows: the shell, the gap and as much of the sides as fits."""
    low, high = cut.base[0][0], cut.base[-1][0]
    beyond = (high - low) * SHARE
    top, deep = min(cut.levels.ground, 0.0), cut.levels.dig.deepest
    sump = cut.sump
    deep = max(deep, sump[3]) if sump is not None else deep
    return low - beyond, top, high + beyond, deep + (deep - top) * DEEPER


def _plainer(cut: Cut, tolerance: float) -> Cut:
    """The cut without what is too fine to be seen in a small section."""
    section = cut.section
    inside, outside, dug = (
        tuple(plainer(line, tolerance)) for line in (section.inside, section.outside, section.dig)
    )
    return Cut(cut.levels, replace(section, inside=inside, outside=outside, dig=dug))


def _columns(texts: Sequence[tuple[str, ...]]) -> int:
    """How many sections fit beside each other with their texts."""
    wide = max(width(line, TEXT) for lines in texts for line in lines)
    for columns in COLUMNS:
        if wide + BESIDE <= (WIDTH - 2 * MARGIN + BESIDE) / columns:
            return columns
    return 1


def _texts(read: Reader, turn: Turn) -> tuple[str, ...]:
    water = bold(read.words.length(turn.water))
    lines = [f"water {water}" if turn.waters else f"water stays {water}"]
    if turn.number == 0:
        lines.append("no fill yet")
    else:
        fill = bold(read.words.length(turn.fill))
        lines.append(f"fill {fill}" if turn.fills else f"fill stays {fill}")
    return tuple(lines)


def _sentence(read: Reader, turn: Turn) -> str:
    words = read.words
    water = words.spoken_level(turn.water)
    if turn.number == 0:
        return f"First water, before any fill: let the water rise until it stands {water}."
    how = f"raise the water until it stands {water}" if turn.waters else f"the water stays {water}"
    fill = words.spoken_level(turn.fill)
    then = (
        f"then place {inline(read.levels.job.backfill.name)} all round until its top is {fill}"
        if turn.fills
        else f"the fill stays {fill}"
    )
    return f"{turn.name}: {how}; {then}."


def _section(
    sheet: Sheet, view: View, cut: Cut, window: tuple[float, float, float, float], turn: Turn
) -> None:
    """One small section: ground, fill placed before and now, bedding, shell and water."""
    levels, section = cut.levels, cut.section
    left, _, right, deep = window
    dig = within(section.dig, left, right)
    sheet.hatch([view.line(rectangle(left, levels.ground, right, deep))], "ground", Layer.GROUND)
    sheet.fill([view.line(dig)], "paper", Layer.GROUND)
    hatch = levels.job.backfill.hatch
    if turn.fills:
        new = within(below(section.dig, turn.fill), left, right)
        sheet.fill([view.line(new)], HATCH_ROLES[hatch][1], Layer.BACKFILL)
    old = within(below(section.dig, turn.fill_before), left, right)
    if len(old) > 2:
        sheet.fill([view.line(old)], "paper", Layer.MAKEUP)
        sheet.hatch([view.line(old)], hatch, Layer.MAKEUP)
    over = levels.job.spec.excavation.overdug
    laid = [(x, z - over) for x, z in cut.base]
    if over > 0:
        sheet.hatch([view.line([*laid, *cut.base[::-1]])], "makeup", Layer.BEDDING)
    top = moved(laid, levels.job.spec.bedding.thickness)
    sheet.hatch([view.line([*laid, *top[::-1]])], levels.job.bedding.hatch, Layer.BEDDING)
    if cut.sump is not None and levels.job.sump_fill is not None:
        parts.pocket(sheet, view, cut.sump, levels.job.sump_fill.hatch, hidden=False)
    sheet.stroke([view.line(_face(section.dig, left, right))], "edge", EDGE, Layer.CUT)
    surface = [
        view.line([(left, levels.ground), (max(cut.edges[0], left), levels.ground)]),
        view.line([(min(cut.edges[1], right), levels.ground), (right, levels.ground)]),
    ]
    sheet.stroke(surface, "ink", EDGE, Layer.CUT)
    sheet.fill([view.line(section.outside)], "paper", Layer.BODY)
    pool = below(section.inside, turn.water)
    sheet.fill([view.line(pool)], "water", Layer.BODY)
    sheet.stroke([view.line(section.outside)], "laminate", OUTLINE, Layer.BODY)
    surface_x = [x for x, z in pool if abs(z - turn.water) < 1e-9]
    if not surface_x:  # the water still stands in a deeper part of the floor, beside this cut
        return
    ends = view.at(min(surface_x), turn.water), view.at(max(surface_x), turn.water)
    sheet.stroke([[ends[0], ends[1]]], "water-line", LEVEL, Layer.LEVEL)
    water_mark(sheet, ((ends[0][0] + ends[1][0]) / 2, ends[0][1]), "water-line")


def _face(dig: Sequence[Point], left: float, right: float) -> list[Point]:
    """The cut face of the ground as far as the section shows it."""
    line = list(dig)
    for end, beyond in ((0, 1), (-1, -2)):
        (x0, z0), (x1, z1) = line[end], line[beyond]
        edge = min(max(x0, left), right)
        if edge != x0:
            line[end] = edge, z0 + (z1 - z0) * (edge - x0) / (x1 - x0)
    return line
