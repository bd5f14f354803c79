"""Wall pressure: how hard water pushes out and the fill pushes in, turn by turn, with the limits."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from builder.figures.canvas import Layer, Sheet, rectangle
from builder.figures.lettering import bold, width
from builder.figures.marks import DROP, skirt
from builder.figures.placer import LEAD, Note, Span
from builder.figures.reader import Reader
from builder.figures.scene import Scene
from builder.figures.style import EDGE, MARGIN, OUTLINE, SMALL, TEXT, WIDTH
from builder.figures.turns import no_plan, size
from builder.quantity import Table
from builder.units import UNITS

ROW = 25.0  # points a turn
BAR = 9.0  # points: a bar's height
NUMBER = 22.0  # points kept beyond the longest bar for its number
KILO = 1e3  # Pa
WATER = 1000 * 9.80665  # Pa a metre of fresh water
# How many Pa one is on the scale, and what it is called, by whether the region counts in feet
PRESSURE = {False: (KILO, "kPa"), True: (WATER * UNITS["in"].si, "inches of water")}
CAPTION = {
    False: "In kilopascals, at the worst depth; 1 kPa is like 100 mm of water.",
    True: "In inches of water, at the worst depth: a column of water so high pushes as hard.",
}
LIMIT = (4.0, 2.5)


@dataclass(frozen=True)
class _Row:
    """One turn: its number and its pressures on the scale of the region."""

    number: int
    outward: float
    inward: float
    flooded: float


def draw(read: Reader) -> Scene:
    """Return the pressures on the wall of a job by turn."""
    rows = _rows(read)
    one, unit = PRESSURE[read.words.feet]
    if not rows:
        return no_plan("Pressure on the wall")
    sheet = Sheet()
    limits = _limits(read)
    inward = max(limits["inward"] or 0.0, *(max(row.inward, row.flooded) for row in rows))
    outward = max(limits["outward"] or 0.0, *(row.outward for row in rows))
    names = width("12", TEXT) + 8
    left, right = MARGIN + names, WIDTH - MARGIN
    scale = (right - left - 2 * NUMBER) / (inward + outward)
    middle = left + NUMBER + inward * scale
    for at, row in enumerate(rows):
        _bars(sheet, row, middle, at * ROW, scale, limits)
    low = len(rows) * ROW - 2
    sheet.stroke([[(middle, -4), (middle, low)]], "ink", EDGE, Layer.FRONT)
    low = _ways(sheet, middle, low)
    marks: list[Note | Span] = []
    told = []
    for name, way in (("inward", -1.0), ("outward", 1.0)):
        limit = limits[name]
        if limit is None:
            told.append(f"The maker gives no {name} limit for this wall.")
            continue
        x = middle + way * limit * scale
        sheet.stroke([[(x, -4), (x, low)]], "act", OUTLINE, Layer.LEVEL, dash=LIMIT)
        marks.append(Note(("maker's limit", bold(_size(limit))), ((x, -4),), dot=False))
        told.append(f"The maker's {name} limit is {_size(limit)} {unit}.")
    skirt(sheet, marks, -4, down=False)
    _key(sheet, low + 2 * LEAD)
    sheet.close()
    return Scene(
        sheet=sheet,
        title="Pressure on the wall, lift by lift",
        caption=" ".join(
            (
                CAPTION[read.words.feet],
                "A row a turn, its number on the left.",
                *(told if limits["inward"] is None or limits["outward"] is None else ()),
            )
        ),
        description="Bars for every turn of filling: the water's push outwards, and the push of the fill "
        "inwards with the gap drained and flooded.",
        long_description=(
            *(
                f"Turn {row.number}: outward {_size(row.outward)} {unit}, inward {_size(row.inward)} "
                f"{unit}, inward with the gap flooded {_size(row.flooded)} {unit}."
                for row in rows
            ),
            *told,
        ),
        anchors={
            f"turn.{row.number}": ((row.outward - row.inward) * one / KILO, float(row.number)) for row in rows
        },
    )


def _rows(read: Reader) -> list[_Row]:
    value = read.results["fill.stages"].value
    one, _ = PRESSURE[read.words.feet]
    if not isinstance(value, Table):
        return []
    return [
        _Row(
            number,
            *(size(row[key]) * KILO / one for key in ("outward_kpa", "inward_kpa", "inward_flooded_kpa")),
        )
        for number, row in enumerate(value.records(), 1)
    ]


def _limits(read: Reader) -> dict[str, float | None]:
    """The maker's limits on the scale of the region, None where there is none."""
    one, _ = PRESSURE[read.words.feet]
    limit = read.levels.solid.shell.wall_limit
    given = {"outward": limit.outward, "inward": limit.inward} if limit is not None else {}
    return {
        name: value / one if (value := given.get(name)) is not None else None
        for name in ("outward", "inward")
    }


def _size(value: float) -> str:
    return f"{value:.1f}"


def _bars(
    sheet: Sheet, row: _Row, middle: float, top: float, scale: float, limits: Mapping[str, float | None]
) -> None:
    """One turn: outward to the right; inward drained and, under it, flooded to the left."""
    centre = top + BAR + 0.5
    sheet.text(bold(str(row.number)), MARGIN, centre + DROP)
    out = middle + row.outward * scale
    box = rectangle(middle, centre - BAR / 2, out, centre + BAR / 2)
    sheet.fill([box], "water", Layer.BODY)
    sheet.stroke([box], "water-line", EDGE, Layer.BODY, closed=True)
    name = _size(row.outward)
    past = _past(out, 1.0, name, middle, scale, limits["outward"])
    sheet.backed(name, past + 3, centre + DROP, anchor="left", size=SMALL)
    for value, y0, hatch in ((row.inward, top, "gravel"), (row.flooded, top + BAR + 1, "")):
        x = middle - value * scale
        box = rectangle(x, y0, middle, y0 + BAR)
        if hatch:
            sheet.hatch([box], hatch, Layer.BODY)
            sheet.stroke([box], "edge", EDGE, Layer.BODY, closed=True)
        else:
            sheet.fill([box], "paper", Layer.BODY)
            sheet.stroke([box], "groundwater", EDGE, Layer.BODY, closed=True, dash=(3.0, 2.0))
        past = _past(x, -1.0, _size(value), middle, scale, limits["inward"])
        sheet.backed(_size(value), past - 3, y0 + BAR / 2 + DROP, anchor="right", size=SMALL)


def _past(end: float, way: float, text: str, middle: float, scale: float, limit: float | None) -> float:
    """Where a bar's number begins: at its end, or past the maker's limit where that line would cross it."""
    if limit is None:
        return end
    line = middle + way * limit * scale
    within = -2.0 < (line - end) * way < 3 + width(text, SMALL) + 2
    return line if within else end


def _ways(sheet: Sheet, middle: float, low: float) -> float:
    """Say which way pushes in and which out, one under the other where a side is too narrow for its word."""
    inward, outward = bold("\u2190 pushes in"), bold("pushes out \u2192")
    left = middle - 6 - width(inward, TEXT) >= MARGIN
    right = middle + 6 + width(outward, TEXT) <= WIDTH - MARGIN
    first = low + TEXT + 1
    if left:
        sheet.text(inward, middle - 6, first, anchor="right")
    else:
        sheet.text(inward, MARGIN, first + LEAD)
    if right:
        sheet.text(outward, middle + 6, first)
    else:
        sheet.text(outward, WIDTH - MARGIN, first + (LEAD if left else 0.0), anchor="right")
    return low if left and right else low + LEAD


def _key(sheet: Sheet, top: float) -> None:
    """What the bars mean."""
    rows = (
        ("water", "water in the pool, pushing out"),
        ("gravel", "fill just placed, groundwater as held"),
        ("", "the same, gap full of water"),
    )
    for number, (fill, text) in enumerate(rows):
        y = top + number * (LEAD + 2)
        box = rectangle(MARGIN, y, MARGIN + 22, y + BAR)
        if fill == "gravel":
            sheet.hatch([box], "gravel", Layer.BODY)
            sheet.stroke([box], "edge", EDGE, Layer.BODY, closed=True)
        elif fill:
            sheet.fill([box], "water", Layer.BODY)
            sheet.stroke([box], "water-line", EDGE, Layer.BODY, closed=True)
        else:
            sheet.stroke([box], "groundwater", EDGE, Layer.BODY, closed=True, dash=(3.0, 2.0))
        sheet.text(text, MARGIN + 28, y + BAR / 2 + DROP)
