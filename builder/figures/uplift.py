"""Uplift: the lowest safe level of the pool against the groundwater, with today and the marks."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

from builder.figures.canvas import Layer, Point, Sheet
from builder.figures.chart import Chart, Scale, steps
from builder.figures.lettering import bold, wrapped
from builder.figures.marks import dot, skirt, water_mark
from builder.figures.placer import LEAD, Note, Span
from builder.figures.reader import Reader
from builder.figures.scene import Scene, said
from builder.figures.style import LEVEL, OUTLINE
from builder.figures.turns import size
from builder.quantity import Table
from builder.units import UNITS

HIGH = 180.0  # points
CLEAR = 6.0  # points between the zone's name and the upright lines
NAMED = 62.0  # points: the narrowest that the zone's name is set
MARK = (4.0, 2.5)
# Metres between two numbers of a scale, by whether they are in feet
ACROSS = {False: 0.4, True: UNITS["ft"].si}
DOWN = {False: 0.2, True: UNITS["ft"].si}


def draw(read: Reader) -> Scene:
    """Return the plot of the lowest safe pool level of a job."""
    levels = read.levels
    curve = _curve(read)
    overflow = levels.overflow
    across = _scale(
        read,
        curve[-1][0],
        curve[0][0],
        ACROSS[read.words.feet],
        "groundwater below the rim; it rises to the right",
    )
    down = _scale(
        read, min(0.0, overflow), levels.floor_deep, DOWN[read.words.feet], "pool water below the rim"
    )
    chart = Chart.on_sheet(across, down, HIGH)
    sheet = Sheet()
    safe = _until(curve, overflow)
    edge = safe[0][0] if safe else across.start
    zone = [
        *safe,
        (across.start, down.end),
        (across.end, down.end),
        (across.end, down.start),
        (edge, down.start),
    ]
    sheet.fill([chart.line(zone)], "act-fill", Layer.GROUND)
    sheet.stroke([chart.line(safe)], "act", OUTLINE + 0.5, Layer.LEVEL)
    chart.axes(sheet)
    marks, told = _marks(sheet, chart, read)
    pool = chart.line([(across.start, levels.water), (across.end, levels.water)])
    sheet.stroke([pool], "water-line", LEVEL, Layer.LEVEL)
    water_mark(sheet, (chart.left + 9, pool[0][1]), "water-line")
    sheet.backed(
        f"pool water {bold(read.length('level.water'))}", chart.left + 18, pool[0][1] + 12, anchor="left"
    )
    _zone_name(sheet, chart, [spot[0] for mark in marks if isinstance(mark, Note) for spot in mark.spots])
    skirt(sheet, marks, chart.top - 1, down=False)
    sheet.close()
    words = read.words
    return Scene(
        sheet=sheet,
        title="Lowest pool level by groundwater",
        caption=f"In {words.unit} below the rim. The pool must stay above the thick line; where the line "
        "ends, no level is enough: fill to the overflow, keep it full, pump the tube and call.",
        description="A plot of the lowest level the pool may fall to for each level of the groundwater, with "
        "the pool's working level and the watch and act marks.",
        long_description=said(
            *(_sentence(read, *row) for row in curve),
            f"Pool water stands {read.spoken('level.water')}.",
            *told,
            f"The scale of the groundwater has numbers at {across.numbers}, that of the pool at "
            f"{down.numbers}.",
        ),
        anchors={"pool": (across.start, levels.water), "left": curve[-1], "right": curve[0]},
    )


def _scale(read: Reader, start: float, end: float, every: float, name: str) -> Scale:
    """A scale of depths below the rim."""
    words = read.words
    low, high = min(start, end), max(start, end)
    ticks = tuple((at, words.exact(at) if at else "0") for at in steps(low, high, every))
    return Scale(start, end, ticks, name)


def _marks(sheet: Sheet, chart: Chart, read: Reader) -> tuple[list[Note | Span], list[str]]:
    """Upright lines at the watch and act marks and at today's groundwater, as far as they are on the plot."""
    found: list[Note | Span] = []
    told = []
    low, high = chart.across.end, chart.across.start
    for name, means in (("act", "pump and call"), ("watch", "read daily")):
        level = read.si(f"uplift.{name}_groundwater")
        if level is None or not low <= level <= high:
            continue
        key = f"uplift.{name}_groundwater"
        x, _ = chart.at(level, chart.down.start)
        sheet.stroke([[(x, chart.top), (x, chart.low)]], name, OUTLINE, Layer.LEVEL, dash=MARK)
        found.append(Note((bold(name.upper()), means, read.length(key)), ((x, chart.top),), dot=False))
        told.append(f"The {name} mark, {means}, is at groundwater {read.spoken(key)}.")
    known = read.groundwater
    if known.state == "seen" and low <= known.used <= high:
        x, y = chart.at(known.used, read.levels.water)
        sheet.stroke([[(x, chart.top), (x, chart.low)]], "groundwater", LEVEL, Layer.LEVEL, dash=(7.0, 2.5))
        dot(sheet, (x, y))
        found.append(
            Note(
                ("groundwater", "when seen", bold(read.length("level.groundwater"))),
                ((x, chart.top),),
                dot=False,
            )
        )
    told.append(read.water()[1])
    return found, told


def _zone_name(sheet: Sheet, chart: Chart, upright: Sequence[float]) -> None:
    """Name the zone under the curve, in the widest room that the upright lines leave in its right half."""
    middle, right = chart.left + chart.wide / 2, chart.left + chart.wide
    edges = sorted({middle, right, *(x for x in upright if middle < x < right)})
    start, end = max(pairwise(edges), key=lambda room: (room[1] - room[0], room[1]))
    room = max(end - start - 2 * CLEAR, NAMED)
    lines = wrapped("too low: water can lift the floor or the shell", room)
    y = chart.low - LEAD * len(lines)
    for number, line in enumerate(lines):
        sheet.backed(line, end - CLEAR, y + LEAD * number, anchor="right", ground="act-fill")


def _sentence(read: Reader, groundwater: float, lowest: float) -> str:
    words = read.words
    where = f"With groundwater {words.spoken_level(groundwater)}"
    if lowest < read.levels.overflow:
        return f"{where} no level of the pool is enough."
    return f"{where} the pool stays {words.mm(lowest, 'down')} below the rim or higher."


def _curve(read: Reader) -> list[Point]:
    """Groundwater and lowest pool level, metres below the rim, from the highest groundwater down."""
    value = read.results["uplift.lowest_water"].value
    if not isinstance(value, Table):
        raise ValueError("the lowest water has no table")
    rows = value.records()
    return [(size(row["groundwater"]), min(size(row["by_sf"]), size(row["by_panel"]))) for row in rows]


def _until(curve: list[Point], overflow: float) -> list[Point]:
    """The part of the curve at or below the overflow, beginning where it meets the overflow."""
    kept = [point for point in curve if point[1] >= overflow]
    for (x0, z0), (x1, z1) in pairwise(curve):
        if z0 < overflow <= z1:
            kept.insert(0, (x0 + (x1 - x0) * (overflow - z0) / (z1 - z0), overflow))
    return kept
