"""Story pole: a batten held at the rim, with every fill and water mark of the job."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from builder.figures.canvas import Layer, Sheet, View, rectangle
from builder.figures.ladder import ladder
from builder.figures.lettering import bold, width
from builder.figures.marks import DROP, water_mark
from builder.figures.placer import LEAD, PAD
from builder.figures.reader import Reader
from builder.figures.scene import Scene
from builder.figures.style import HATCH_ROLES, OUTLINE, SMALL, TEXT, THIN, WIDTH
from builder.figures.turns import Turn, no_plan, turns
from builder.units import UNITS

HIGH = 330.0  # points: from the rim to the deepest mark
SPARE = 12.0  # points of batten beyond its deepest mark
BATTEN = {False: 58.0, True: 40.0}  # points: its width, by whether it counts in feet
BEND = 14.0  # points between the batten and a mark's text
TICK = 4.0
REACH = 12.0  # points: a mark's line into the batten
MARKED = 13.0  # points between two water marks


@dataclass(frozen=True)
class _Mark:
    """One mark: where it is, and what stands beside it."""

    depth: float
    name: str
    reading: str


def draw(read: Reader) -> Scene:
    """Return the story pole of a job."""
    plan = turns(read)
    if not plan:
        return no_plan("Story pole")
    sheet = Sheet()
    fills, waters = _fills(read, plan), _waters(read, plan)
    deepest = max(mark.depth for mark in (*fills, *waters))
    view = View(HIGH / deepest, 0.0, 0.0, left=(WIDTH - BATTEN[read.words.feet]) / 2)
    numbers = _batten(sheet, view, read, deepest)
    _marks(sheet, view, read, fills, left=True)
    _marks(sheet, view, read, waters, left=False)
    x0, x1 = view.left, view.left + BATTEN[read.words.feet]
    sheet.text("top of the batten level with the rim", WIDTH / 2, -LEAD - 15, anchor="center")
    sheet.text(bold("top of the fill"), x0 - BEND, -10, anchor="right")
    sheet.text(bold("pool water"), x1 + BEND, -10)
    sheet.close()
    words = read.words
    unit, every = words.unit, words.exact_mm(_steps(words.feet)[0])
    return Scene(
        sheet=sheet,
        title="Story pole",
        caption=f"Mark a straight batten like this and hold its top level with the rim. Levels in {unit} "
        "below the rim: fill marks on the left, water marks on the right.",
        description="A batten with the top of the fill after each lift on its left edge and the pool's "
        "water for each lift on its right edge.",
        long_description=(
            "The top of the batten is held level with the rim; every mark is measured from there down.",
            *(f"{mark.name}: top of the fill {words.spoken_level(mark.depth)}." for mark in fills),
            *(f"{mark.name}: pool water {words.spoken_level(mark.depth)}." for mark in waters),
            f"The batten has a line every {every} and numbers at {', '.join(numbers)}.",
        ),
        anchors={
            "rim": (0.0, 0.0),
            **{f"fill.{at}": (0.0, mark.depth) for at, mark in enumerate(fills, 1)},
            **{f"water.{at}": (0.0, mark.depth) for at, mark in enumerate(waters)},
        },
    )


def _fills(read: Reader, plan: Sequence[Turn]) -> list[_Mark]:
    """The top of the fill after each lift, from the rim down."""
    return [_Mark(turn.fill, turn.name, read.words.length(turn.fill)) for turn in plan if turn.fills][::-1]


def _waters(read: Reader, plan: Sequence[Turn]) -> list[_Mark]:
    """The water each turn is raised to, from the rim down; turns that keep it have no mark."""
    return [_Mark(turn.water, turn.name, read.words.length(turn.water)) for turn in plan if turn.waters][::-1]


def _steps(feet: bool) -> tuple[float, float]:
    """Metres from line to line and from number to number of the scale."""
    return (UNITS["ft"].si / 4, UNITS["ft"].si) if feet else (0.1, 0.5)


def _batten(sheet: Sheet, view: View, read: Reader, deepest: float) -> list[str]:
    """The batten with a scale in its middle; returns the scale's numbers."""
    x0, x1 = view.left, view.left + BATTEN[read.words.feet]
    low = view.y(deepest) + SPARE
    ring = rectangle(x0, 0.0, x1, low)
    sheet.fill([ring], "sand", Layer.BODY)
    sheet.stroke([ring], "edge", OUTLINE, Layer.EDGE, closed=True)
    step, every = _steps(read.words.feet)
    middle = (x0 + x1) / 2
    ticks, numbers = [], []
    for number in range(1, int(deepest / step + 1e-9) + 1):
        y = view.y(number * step)
        if number % round(every / step) == 0:
            text = read.words.exact(number * step)
            sheet.backed(text, middle, y + DROP, size=SMALL, ground="paper")
            numbers.append(text)
        else:
            ticks.append([(middle - TICK, y), (middle + TICK, y)])
    sheet.stroke(ticks, "dimension", THIN, Layer.NOTE)
    return numbers


def _marks(sheet: Sheet, view: View, read: Reader, marks: Sequence[_Mark], *, left: bool) -> None:
    """Set the marks of one edge: a line into the batten, a leader, a reading and a name."""
    way = -1.0 if left else 1.0
    edge = view.left if left else view.left + BATTEN[read.words.feet]
    heights = [LEAD + PAD] * len(marks)
    middles = ladder([view.y(mark.depth) for mark in marks], heights, -LEAD / 2, HIGH + SPARE + LEAD)
    room = max(width(bold(mark.reading), TEXT) for mark in marks)
    role = HATCH_ROLES[read.levels.job.backfill.hatch][1] if left else "water-line"
    leaders, marked = [], -MARKED
    for mark, middle in zip(marks, middles, strict=True):
        y = view.y(mark.depth)
        sheet.stroke([[(edge, y), (edge - way * REACH, y)]], "ink", OUTLINE, Layer.FRONT)
        if left:
            sheet.fill([rectangle(edge, y, edge + REACH / 2, y + 4.5)], role, Layer.FRONT)
        elif y - marked >= MARKED:
            water_mark(sheet, (edge - REACH / 2, y), role)
            marked = y
        leaders.append([(edge, y), (edge + way * (BEND - 3), middle)])
        start = edge + way * BEND
        sheet.text(bold(mark.reading), start, middle + DROP, anchor="right" if left else "left")
        sheet.text(mark.name, start + way * (room + 7), middle + DROP, anchor="right" if left else "left")
    sheet.stroke(leaders, "dimension", THIN, Layer.NOTE)
