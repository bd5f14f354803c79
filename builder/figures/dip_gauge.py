"""Dip gauge: a ruler for the standpipe with its watch and act marks, before and after trimming."""

from __future__ import annotations

import math
from dataclasses import dataclass

from builder.figures.canvas import Layer, Sheet, View, rectangle
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
    """Return the dip gauge of a job."""
    levels, words = read.levels, read.words
    top = min(levels.tube_top, 0.0, *(z for z in _marks(read).values() if z is not None))
    foot = levels.tube_foot
    sheet = Sheet()
    scale = HIGH / (foot - top)
    rows, said = _readings(read)
    side = COLUMN + 3 + max(width(bold(text), TEXT) for row in rows for text in (row.before, row.after))
    wide = RULER[words.feet]
    build = View(scale, 0.0, top, left=MARGIN + side)
    final = View(scale, 0.0, top, left=WIDTH - MARGIN - side - wide)
    numbers: list[list[str]] = []
    for view, zero, lines in (
        (build, 0.0, ("before trimming:", "from the build mark")),
        (final, levels.tube_top, ("after trimming:", "from the tube top")),
    ):
        numbers.append(_ruler(sheet, view, read, zero, [row.depth for row in rows]))
        middle = view.left + wide / 2
        start = min(0.0, view.y(zero))
        sheet.text(bold(lines[0]), middle, start - 19, anchor="center")
        sheet.text(lines[1], middle, start - 8, anchor="center")
    _set(sheet, build, final, rows, wide)
    said.append(
        f"Both rulers have a line every {words.exact_mm(_steps(words.feet)[0])}; the left one has "
        f"numbers at "
        f"{', '.join(numbers[0])}, the right one at {', '.join(numbers[1])}."
    )
    sheet.close()
    return Scene(
        sheet=sheet,
        title="Dip gauge",
        caption=f"Let a tape down the tube to the water and compare. Readings in {words.unit}; a "
        f"smaller dip is higher water. "
        "Use the left ruler until the tube is trimmed, the right one from then on.",
        description="Two rulers of the standpipe with the watch and act marks, one from the build mark, "
        "one from the tube top.",
        long_description=tuple(said),
        anchors={name: (0.0, z) for name, z in _marks(read).items() if z is not None}
        | {"build mark": (0.0, 0.0), "tube top": (0.0, levels.tube_top), "foot": (0.0, foot)},
    )


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


def _set(sheet: Sheet, build: View, final: View, rows: list[_Row], wide: float) -> None:
    """Set the rows: names between the rulers, readings outside them, each tied to its level."""
    heights = [len(row.names) * LEAD + PAD for row in rows]
    low, high = build.y(rows[0].depth) - LEAD, build.y(rows[-1].depth) + LEAD
    middles = ladder([build.y(row.depth) for row in rows], heights, low, high)
    inner = build.left + wide, final.left
    centre = (inner[0] + inner[1]) / 2
    lines = []
    for row, middle in zip(rows, middles, strict=True):
        y = build.y(row.depth)
        for view in (build, final):
            sheet.stroke([[(view.left, y), (view.left + wide, y)]], row.role, OUTLINE, Layer.FRONT)
            if row.role in ("groundwater", "water-line"):
                water_mark(sheet, (view.left + wide - 8, y), row.role)
        lines += [
            [(inner[0], y), (inner[0] + COLUMN, middle)],
            [(inner[1], y), (inner[1] - COLUMN, middle)],
            [(build.left, y), (build.left - COLUMN, middle)],
            [(final.left + wide, y), (final.left + wide + COLUMN, middle)],
        ]
        first = middle - LEAD * (len(row.names) - 1) / 2
        for number, name in enumerate(row.names):
            heavy = number == 0 and row.role in MEANS
            box = sheet.text(
                bold(name) if heavy else name,
                centre,
                first + LEAD * number + DROP,
                anchor="center",
                role=row.role,
            )
            if heavy:
                _sign(sheet, row.role, box.x0 - 8, first)
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
