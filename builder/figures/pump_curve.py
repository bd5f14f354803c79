"""Pump curve: what the pump gives and what its hose asks for, with the duty and the throttle point."""

from __future__ import annotations

from itertools import pairwise

from builder import say
from builder.figures.canvas import Layer, Sheet
from builder.figures.chart import Chart, Scale, nice, steps
from builder.figures.lettering import bold
from builder.figures.marks import DROP, dot, skirt
from builder.figures.placer import LEAD, Note
from builder.figures.reader import Reader
from builder.figures.scene import Scene, said
from builder.figures.style import MARGIN, OUTLINE, THIN
from builder.figures.turns import size
from builder.quantity import Table
from builder.units import UNITS

HIGH = 170.0  # points
RIGHT = 18.0  # points right of the plot, for the last number
MOST = 6  # parts of a scale
OVER = 1.25  # of the pump's greatest head: as far up as the plot goes
SAMPLE = 26.0  # points of line in the key
HOSE = (6.0, 2.0)
DOWN = (3.0, 2.0)
# (flow in SI, head in SI) of one unit of the scales, and their names, by whether they are in feet
UNIT = {False: (UNITS["L/min"].si, 1.0), True: (UNITS["gal/min"].si, UNITS["ft"].si)}
FLOW = {False: "litres a minute", True: "gallons a minute"}
HEAD = {False: "metres", True: "feet"}


def draw(read: Reader) -> Scene:
    """Return the pump's and the hose's curve of a job."""
    feet = read.words.feet
    one_flow, one_head = UNIT[feet]
    rows = _rows(read)
    pump = [(flow / one_flow, head / one_head) for flow, head, _ in rows]
    hose = [(flow / one_flow, head / one_head) for flow, _, head in rows]
    top = max(*(head for _, head in pump), hose[0][1]) * OVER
    across = _scale(0.0, pump[-1][0], f"flow, {FLOW[feet]}")
    down = _scale(top, min(0.0, hose[0][1]), f"head: how high the water is lifted, {HEAD[feet]}")
    chart = Chart.on_sheet(across, down, HIGH, RIGHT)
    sheet = Sheet()
    sheet.stroke([chart.line(pump)], "water-line", OUTLINE, Layer.LEVEL)
    sheet.stroke([chart.line(_under(hose, top))], "tube-line", OUTLINE, Layer.LEVEL, dash=HOSE)
    end = chart.axes(sheet)
    notes, told, points = _points(read, chart, sheet)
    skirt(sheet, notes, chart.top - 1, down=False)
    y = end + 6
    for role, dash, text in (
        ("water-line", (), "what the pump gives"),
        ("tube-line", HOSE, "what lift and hose ask for"),
    ):
        sheet.stroke([[(MARGIN, y), (MARGIN + SAMPLE, y)]], role, OUTLINE, Layer.NOTE, dash=dash)
        sheet.text(text, MARGIN + SAMPLE + 6, y + DROP)
        y += LEAD + 2
    missing = _missing(read)
    for number, line in enumerate(missing, 1):
        sheet.text(line, MARGIN, y - LEAD + (LEAD + 2) * number + DROP)
    sheet.close()
    return Scene(
        sheet=sheet,
        title="Pump and hose",
        caption="Where the two lines meet, the pump runs by itself: its duty. To throttle is to close "
        "a valve in the hose until less flows.",
        description="A plot of the head a pump gives and the head its hose asks for against the flow, with "
        "the flow at which the pump runs and the flow to throttle it to.",
        long_description=said(
            *(
                f"At {_flow(read, flow)} the pump lifts {_head(read, gives)}; lift and hose ask for "
                f"{_head(read, asks)}."
                for flow, gives, asks in rows
            ),
            *told,
            *(f"{line}." for line in missing),
            f"The scale of flows has numbers at {across.numbers}, that of heads at {down.numbers}.",
        ),
        anchors=points,
    )


def _rows(read: Reader) -> list[tuple[float, float, float]]:
    """Flow in m3/s, the pump's head and the hose's in m."""
    value = read.results["pump.curves"].value
    if not isinstance(value, Table):
        raise ValueError("the pump has no curves")
    return [
        (size(row["flow"]) * UNITS["L/min"].si, size(row["pump_head"]), size(row["system_head"]))
        for row in value.records()
    ]


def _scale(start: float, end: float, name: str) -> Scale:
    step = nice(abs(end - start), MOST)
    ticks = tuple((at, f"{at:.6g}") for at in steps(min(start, end), max(start, end), step))
    return Scale(start, end, ticks, name)


def _under(line: list[tuple[float, float]], top: float) -> list[tuple[float, float]]:
    """The part of a rising line that the plot shows, up to where it leaves it."""
    kept = [point for point in line if point[1] <= top]
    for (x0, y0), (x1, y1) in pairwise(line):
        if y0 <= top < y1:
            kept.append((x0 + (x1 - x0) * (top - y0) / (y1 - y0), top))
    return kept


def _points(
    read: Reader, chart: Chart, sheet: Sheet
) -> tuple[list[Note], list[str], dict[str, tuple[float, float]]]:
    """The duty point, and the point to throttle to where that is less."""
    one_flow, one_head = UNIT[read.words.feet]
    rows = _rows(read)
    duty, throttle = read.si("pump.duty_flow"), read.si("pump.throttle_to")
    notes, told, points = [], [], {}
    found = []
    if duty is not None:
        found.append(("duty", duty, ("duty",), "By itself the pump runs at"))
    if throttle is not None and duty is not None and throttle < duty:
        found.append(("throttle", throttle, ("throttle to",), "Throttle it to"))
    for name, flow, lines, how in found:
        head = _at(rows, flow)
        x, y = chart.at(flow / one_flow, head / one_head)
        sheet.stroke([[(x, y), (x, chart.low)]], "dimension", THIN, Layer.NOTE, dash=DOWN)
        dot(sheet, (x, y))
        notes.append(Note((*lines, bold(_flow(read, flow))), ((x, y),)))
        told.append(f"{how} {_flow(read, flow)}, where it lifts {_head(read, head)}.")
        points[name] = flow, head
    return notes, told, points


def _at(rows: list[tuple[float, float, float]], flow: float) -> float:
    """The pump's head at a flow that has a row of its own."""
    return min(rows, key=lambda row: abs(row[0] - flow))[1]


def _missing(read: Reader) -> list[str]:
    if read.si("pump.duty_flow") is None:
        return ["This pump cannot lift the water to the hose's end"]
    return [] if read.si("pump.throttle_to") is not None else ["This job has no flow to throttle to"]


def _flow(read: Reader, flow: float) -> str:
    if read.words.feet:
        return f"{say.two_digits(flow / UNITS['gal/min'].si, 'down')}{say.SPACE}gal/min"
    return say.flow(flow, "down")


def _head(read: Reader, head: float) -> str:
    one, unit = (UNITS["ft"].si, "ft") if read.words.feet else (1.0, "m")
    return f"{say.two_digits(head / one)}{say.SPACE}{unit}"
