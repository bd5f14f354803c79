"""Dip gauge: a ruler for the standpipe with its watch and act marks, before and after trimming."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

from builder.figures.canvas import Anchor, Layer, Point, Sheet, View, rectangle
from builder.figures.ladder import ladder
from builder.figures.lettering import bold, width
from builder.figures.marks import DROP, water_mark
from builder.figures.placer import LEAD, PAD
from builder.figures.reader import Reader
from builder.figures.scene import Scene
from builder.figures.style import EDGE, MARGIN, OUTLINE, SMALL, TEXT, THIN, WIDTH
from builder.units import UNITS

HIGH = 240.0  # points: from the higher mark to the foot
RULER = {False: 36.0, True: 24.0}  # points: a ruler's width, by whether it counts in feet
TICK = 5.0
CLEAR = 7.0  # points between a number of a ruler and a line across it
TRIANGLE, OCTAGON = 3, 8
COLUMN = 12.0  # points of bend in the leaders between a ruler and its texts
CLOSE = 8.0  # points: two zeros nearer than this give one ruler
SIGN = 14.0  # points that a mark's shape takes before its name
ABOVE = (19.0, 8.0)  # points from the ruler's top to the two lines over it
BEFORE = ("before trimming:", "from the build mark")
AFTER = ("after trimming:", "from the tube top")
SAME = ("before and after trimming:", "from the build mark, then the tube top")
MEANS = {"act": "pump and call", "watch": "read daily"}


@dataclass(frozen=True)
class _Row:
    """One level across both rulers: its names, its two readings and the role of its line."""

    depth: float
    names: tuple[str, ...]
    before: str
    after: str
    role: str


def draw(read: Reader) -> Scene:
    """Return the dip gauge of a job: two rulers, or one where their zeros are all but one mark."""
    levels, words = read.levels, read.words
    rows, said = _readings(read)
    top = min(levels.tube_top, 0.0, *(row.depth for row in rows))
    foot = levels.tube_foot
    sheet = Sheet()
    scale = HIGH / (foot - top)
    one = abs(levels.tube_top) * scale < CLOSE
    caption = "Let a tape down the tube to the water and compare. "
    if one:
        same = all(row.before == row.after for row in rows)
        numbers = [_one(sheet, read, rows, View(scale, 0.0, top), same=same)]
        how = "Build mark and tube top stand at one level. " if same else ""
        how = how or "The ruler counts from the tube top. Until the tube is trimmed, use the left column. "
        scales = (
            f"a line every {words.exact_mm(_steps(words.feet)[0])} and numbers at {', '.join(numbers[0])}"
        )
        said.append(f"The ruler counts from the tube top and has {scales}.")
    else:
        numbers = _two(sheet, read, rows, scale, top)
        how = "Use the left ruler until the tube is trimmed, the right one from then on. "
        said.append(
            f"Both rulers have a line every {words.exact_mm(_steps(words.feet)[0])}; the left one has "
            f"numbers at {', '.join(numbers[0])}, the right one at {', '.join(numbers[1])}."
        )
    sheet.close()
    return Scene(
        sheet=sheet,
        title="Dip gauge",
        caption=f"{caption}{how}Readings in {words.unit}; a smaller dip is higher water.",
        description="A ruler of the standpipe with the watch and act marks and its readings from the build "
        "mark and from the tube top."
        if one
        else "Two rulers of the standpipe with the watch and act marks, one from the build mark, "
        "one from the tube top.",
        long_description=tuple(said),
        anchors={name: (0.0, z) for name, z in _marks(read).items() if z is not None}
        | {"build mark": (0.0, 0.0), "tube top": (0.0, levels.tube_top), "foot": (0.0, foot)},
    )


def _two(sheet: Sheet, read: Reader, rows: list[_Row], scale: float, top: float) -> list[list[str]]:
    """Two rulers with the names between them; returns the numbers of each."""
    side = COLUMN + 3 + max(width(bold(text), TEXT) for row in rows for text in (row.before, row.after))
    wide = RULER[read.words.feet]
    build = View(scale, 0.0, top, left=MARGIN + side)
    final = View(scale, 0.0, top, left=WIDTH - MARGIN - side - wide)
    numbers: list[list[str]] = []
    for view, zero, lines in ((build, 0.0, BEFORE), (final, read.levels.tube_top, AFTER)):
        numbers.append(_ruler(sheet, view, read, zero, [row.depth for row in rows]))
        for text, up in zip((bold(lines[0]), lines[1]), ABOVE, strict=True):
            sheet.text(text, view.left + wide / 2, -up, anchor="center")
    _set(sheet, build, final, rows, wide)
    return numbers


def _one(sheet: Sheet, read: Reader, rows: list[_Row], view: View, *, same: bool) -> list[str]:
    """One ruler, its readings before trimming on the left, after it on the right with the names.

    same: both readings are the same all over, and stand on the right alone.
    """
    wide = RULER[read.words.feet]
    side = max(width(bold(BEFORE[0]), TEXT), width(BEFORE[1], TEXT))
    view = replace(view, left=MARGIN + (0.0 if same else side + COLUMN))
    right = view.left + wide
    numbers = _ruler(sheet, view, read, read.levels.tube_top, [row.depth for row in rows])
    heads = [(right + COLUMN + 2, "left", SAME if same else AFTER)]
    heads += [] if same else [(view.left - COLUMN - 2, "right", BEFORE)]
    for x, anchor, lines in heads:
        for text, up in zip((bold(lines[0]), lines[1]), ABOVE, strict=True):
            sheet.text(text, x, -up, anchor="right" if anchor == "right" else "left")
    shift = max(width(bold(row.after), TEXT) for row in rows) + COLUMN
    leaders: list[list[Point]] = []
    for row, middle in zip(rows, _middles(view, rows), strict=True):
        y = view.y(row.depth)
        _line(sheet, view, row, wide)
        leaders.append([(right, y), (right + COLUMN, middle)])
        sheet.text(bold(row.after), right + COLUMN + 2, middle + DROP)
        x = right + COLUMN + 2 + shift
        _names(sheet, row, x + (SIGN if row.role in MEANS else 0.0), middle, "left")
        if not same:
            leaders.append([(view.left, y), (view.left - COLUMN, middle)])
            sheet.text(bold(row.before), view.left - COLUMN - 2, middle + DROP, anchor="right")
    sheet.stroke(leaders, "dimension", THIN, Layer.NOTE)
    return numbers


def _marks(read: Reader) -> dict[str, float | None]:
    """Depth below the rim of the act and watch marks."""
    return {name: read.si(f"uplift.{name}_groundwater") for name in ("act", "watch")}


def _steps(feet: bool) -> tuple[float, float]:
    """Metres from line to line and from number to number of a ruler."""
    return (UNITS["ft"].si / 4, UNITS["ft"].si) if feet else (0.1, 0.5)


def _ruler(sheet: Sheet, view: View, read: Reader, zero: float, marked: list[float]) -> list[str]:
    """A ruler from its zero to the foot, banded above the act and the watch marks; returns its numbers.

    marked: depths of lines across the ruler, which leave no room for a number.
    """
    foot, words = read.levels.tube_foot, read.words
    x0, x1 = view.left, view.left + RULER[words.feet]
    sheet.fill([rectangle(x0, view.y(zero), x1, view.y(foot))], "paper", Layer.BODY)
    edge = zero
    for name, depth in _marks(read).items():
        if depth is not None and depth > edge:
            sheet.fill([rectangle(x0, view.y(edge), x1, view.y(depth))], f"{name}-fill", Layer.BODY)
            edge = depth
    step, every = _steps(words.feet)
    ticks, numbers = [], []
    for number in range(1, math.floor((foot - zero) / step + 1e-9) + 1):
        y = view.y(zero + number * step)
        long = number % round(every / step) == 0
        reach = TICK * (1.6 if long else 1.0)
        ticks += [[(x0, y), (x0 + reach, y)], [(x1 - reach, y), (x1, y)]]
        if long and all(abs(y - view.y(depth)) > CLEAR for depth in marked):
            numbers.append((words.exact(number * step), y))
    sheet.stroke(ticks, "dimension", THIN, Layer.NOTE)
    for text, y in numbers:
        sheet.backed(text, (x0 + x1) / 2, y + DROP, size=SMALL)
    sheet.stroke([rectangle(x0, view.y(zero), x1, view.y(foot))], "ink", OUTLINE, Layer.EDGE, closed=True)
    return [text for text, _ in numbers]


def _readings(read: Reader) -> tuple[list[_Row], list[str]]:
    """The marks across both rulers from the top down, and their sentences."""
    levels, words = read.levels, read.words
    known = read.groundwater
    rows, said = [], []
    for name, depth in _marks(read).items():
        before, after = _dip(read, f"uplift.{name}_dip_build"), _dip(read, f"uplift.{name}_dip")
        if depth is None or before is None or after is None:
            said.append(
                f"The {name} mark cannot be told: "
                f"{read.results[f'uplift.{name}_dip'].reason or 'a number is missing'}."
            )
            continue
        rows.append(_Row(depth, (name.upper(), MEANS[name]), before, after, name))
        said.append(
            f"{name.capitalize()} ({MEANS[name]}) from a dip of {before} before trimming, {after} after "
            f"trimming, and less."
        )
    water = levels.water
    dips = words.length(water), words.length(water - levels.tube_top)
    rows.append(_Row(water, ("pool water",), *dips, "water-line"))
    said.append(f"Pool water stands at a dip of {dips[0]} before trimming, {dips[1]} after.")
    if known.state == "seen" and known.used < levels.tube_foot:
        side = read.side("level.groundwater")
        dips = words.length(known.used, side), words.length(known.used - levels.tube_top, side)
        rows.append(_Row(known.used, ("groundwater", "when last seen"), *dips, "groundwater"))
        said.append(f"Groundwater was last seen at a dip of {dips[0]} before trimming, {dips[1]} after.")
    foot = levels.tube_foot
    dips = words.length(foot), words.length(foot - levels.tube_top)
    rows.append(_Row(foot, ("foot of tube", "no water: dry"), *dips, "ink"))
    said.append(
        f"The foot of the tube is at {dips[0]} before trimming, {dips[1]} after; a tube without water "
        f"reads dry, never a number."
    )
    return sorted(rows, key=lambda row: row.depth), said


def _dip(read: Reader, key: str) -> str | None:
    """A dip on its safe side; above its mark where it is below 0."""
    value = read.si(key)
    if value is None:
        return None
    return read.length(key) + (" above" if value < 0 else "")


def _middles(view: View, rows: list[_Row]) -> tuple[float, ...]:
    """Where the texts of the rows stand: apart, and clear of what stands over the ruler."""
    heights = [len(row.names) * LEAD + PAD for row in rows]
    low, high = max(view.y(rows[0].depth) - LEAD, -3.0), view.y(rows[-1].depth) + LEAD
    return ladder([view.y(row.depth) for row in rows], heights, low, high)


def _line(sheet: Sheet, view: View, row: _Row, wide: float) -> None:
    """A row's line across a ruler, with the water mark where it is water."""
    y = view.y(row.depth)
    sheet.stroke([[(view.left, y), (view.left + wide, y)]], row.role, OUTLINE, Layer.FRONT)
    if row.role in ("groundwater", "water-line"):
        water_mark(sheet, (view.left + wide - 8, y), row.role)


def _names(sheet: Sheet, row: _Row, x: float, middle: float, anchor: Anchor) -> None:
    """A row's names, the sign before the first where it is a mark."""
    first = middle - LEAD * (len(row.names) - 1) / 2
    for number, name in enumerate(row.names):
        heavy = number == 0 and row.role in MEANS
        y = first + LEAD * number + DROP
        box = sheet.text(bold(name) if heavy else name, x, y, anchor=anchor, role=row.role)
        if heavy:
            _sign(sheet, row.role, box.x0 - 8, first)


def _set(sheet: Sheet, build: View, final: View, rows: list[_Row], wide: float) -> None:
    """Set the rows: names between the rulers, readings outside them, each tied to its level."""
    inner = build.left + wide, final.left
    lines = []
    for row, middle in zip(rows, _middles(build, rows), strict=True):
        y = build.y(row.depth)
        for view in (build, final):
            _line(sheet, view, row, wide)
        lines += [
            [(inner[0], y), (inner[0] + COLUMN, middle)],
            [(inner[1], y), (inner[1] - COLUMN, middle)],
            [(build.left, y), (build.left - COLUMN, middle)],
            [(final.left + wide, y), (final.left + wide + COLUMN, middle)],
        ]
        _names(sheet, row, (inner[0] + inner[1]) / 2, middle, "center")
        sheet.text(bold(row.before), build.left - COLUMN - 2, middle + DROP, anchor="right")
        sheet.text(bold(row.after), final.left + wide + COLUMN + 2, middle + DROP)
    sheet.stroke(lines, "dimension", THIN, Layer.NOTE)


def _sign(sheet: Sheet, role: str, x: float, y: float) -> None:
    """The mark's shape beside its name: a triangle to watch, an octagon to act."""
    corners, turn = (TRIANGLE, -math.pi / 2) if role == "watch" else (OCTAGON, math.pi / 8)
    ring = [
        (
            x + 5.2 * math.cos(turn + a * 2 * math.pi / corners),
            y + 5.2 * math.sin(turn + a * 2 * math.pi / corners),
        )
        for a in range(corners)
    ]
    sheet.fill([ring], f"{role}-fill", Layer.FRONT)
    sheet.stroke([ring], role, EDGE + 0.3, Layer.FRONT, closed=True)
