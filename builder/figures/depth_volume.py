"""Depth and volume: how much water the shell holds up to each level."""

from __future__ import annotations

from builder.figures.canvas import Layer, Sheet
from builder.figures.chart import Chart, Scale, nice, steps
from builder.figures.lettering import bold
from builder.figures.marks import dot, water_mark
from builder.figures.reader import Reader
from builder.figures.scene import Scene
from builder.figures.style import OUTLINE, THIN
from builder.figures.turns import size
from builder.quantity import Table
from builder.units import UNITS

HIGH = 170.0  # points
RIGHT = 18.0  # points right of the plot, for the last number
MOST = 6  # parts of the scale of volumes
EVERY = {False: 0.2, True: UNITS["ft"].si}  # metres between two numbers, by whether they are in feet
DASH = (3.0, 2.0)
# How many cubic metres one is and what it is called, by whether the region counts in feet
VOLUME = {False: (1.0, "cubic metres"), True: (UNITS["gal"].si, "gallons")}
SHORT = {False: "m³", True: "gal"}


def draw(read: Reader) -> Scene:
    """Return the plot of a shell's volume by level."""
    levels, words = read.levels, read.words
    value = read.results["shell.depth_volume"].value
    if not isinstance(value, Table):
        raise ValueError("the shell has no table of volumes")
    one, unit = VOLUME[words.feet]
    rows = [(size(row["volume"]) / one, size(row["below_rim"])) for row in value.records()]
    most = max(volume for volume, _ in rows)
    step = nice(most, MOST)
    volumes = tuple((at, f"{at:,g}") for at in steps(0.0, most, step))
    depths = steps(0.0, levels.floor_deep, EVERY[words.feet])
    across = Scale(0.0, most, volumes, f"{unit} of water in the shell")
    down = Scale(
        0.0,
        levels.floor_deep,
        tuple((at, words.exact(at) if at else "0") for at in depths),
        f"water below the rim, {words.unit}",
    )
    chart = Chart.on_sheet(across, down, HIGH, RIGHT)
    sheet = Sheet()
    line = chart.line(rows)
    corner = chart.at(0.0, rows[0][1])
    sheet.fill([[*line, chart.at(0.0, rows[-1][1]), corner]], "water", Layer.GROUND)
    sheet.stroke([line], "water-line", OUTLINE, Layer.LEVEL)
    chart.axes(sheet)
    held = read.si("shell.water_volume")
    if held is None:
        raise ValueError("the shell has no volume of water")
    x, y = chart.at(held / one, levels.water)
    sheet.stroke(
        [[(chart.left, y), (x, y)], [(x, y), (x, chart.low)]], "dimension", THIN, Layer.NOTE, dash=DASH
    )
    dot(sheet, (x, y))
    water_mark(sheet, (chart.left + 9, y), "water-line")
    volume = _volume(read, held / one)
    sheet.backed(
        f"pool water {bold(read.length('level.water'))}: {bold(volume)} {SHORT[words.feet]}",
        chart.left + 18,
        y + 12,
        anchor="left",
        ground="water",
    )
    sheet.close()
    return Scene(
        sheet=sheet,
        title="Water in the shell by level",
        caption="How much water the shell holds up to each level below the rim.",
        description="A plot of the volume of water in the shell against the level of its surface.",
        long_description=(
            *(
                f"Up to {words.spoken_level(depth)} the shell holds {_volume(read, volume)} {unit}."
                for volume, depth in rows
            ),
            f"At the working level, {read.spoken('level.water')}, it holds {volume} {unit}.",
            f"The scale of volumes has numbers at {across.numbers}, that of levels at {down.numbers}.",
        ),
        anchors={
            "working": (held, levels.water),
            **{name: (rows[at][0] * one, rows[at][1]) for name, at in (("deepest", -1), ("brim", 0))},
        },
    )


def _volume(read: Reader, volume: float) -> str:
    """A volume on its scale: tenths of a cubic metre, tens of gallons."""
    return f"{round(volume / 10) * 10:,}" if read.words.feet else f"{volume:.1f}"
