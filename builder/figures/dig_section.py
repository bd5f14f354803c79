"""Dig section: the empty dig cut along the pool, with readings below the peg."""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import pairwise

from builder import say
from builder.figures import parts
from builder.figures.canvas import Layer, Point, Sheet, View
from builder.figures.cut import STRIP, Cut
from builder.figures.ladder import ladder
from builder.figures.lettering import bold, width, wrapped
from builder.figures.marks import dot
from builder.figures.placer import LEAD
from builder.figures.reader import Reader
from builder.figures.scene import Scene, said
from builder.figures.style import EDGE, MARGIN, TEXT, THIN, WIDTH
from builder.figures.turns import size
from builder.levels import long_section
from builder.quantity import Table
from builder.say import COARSE

BESIDE = 7.0  # points between two labels of a row
RISE = 18.0  # points from the drawing to a row of labels: room for their leaders to spread
NEAREST = 0.04  # of the base's length: stations nearer than this hide each other
CHAIN = (8.0, 2.0, 1.6, 2.0)


@dataclass(frozen=True)
class _Station:
    """A place of the base: x along the shell and depth below the rim in metres, and its two texts."""

    x: float
    depth: float
    reading: str
    along: str

    @property
    def wide(self) -> float:
        """Points its label takes."""
        return max(width(bold(self.reading), TEXT), width(self.along, TEXT)) + BESIDE


def draw(read: Reader) -> Scene:
    """Return the dig section of a job."""
    levels, words = read.levels, read.words
    cut = Cut(levels, long_section(levels))
    view = cut.view()
    sheet = Sheet()
    anchors = parts.ground(sheet, view, cut)
    sheet.stroke([view.line(cut.section.dig)], "edge", EDGE + 0.5, Layer.CUT)
    for box in (cut.pit, cut.sump):
        if box is not None:
            x0, z0, x1, z1 = box
            hidden = box is cut.pit and cut.tube_hidden
            low = max(z0, levels.dig.base_depth((x0 + x1) / 2))
            sides = view.line([(x0, low), (x0, z1), (x1, z1), (x1, low)])
            sheet.stroke([sides], "edge", EDGE, Layer.CUT, dash=parts.HIDDEN if hidden else ())
    shown = _thinned(_stations(read), WIDTH - 2 * MARGIN)
    left, _, right, _ = cut.window
    sheet.stroke([view.line([(left, levels.peg), (right, levels.peg)])], "ink", EDGE, Layer.LEVEL, dash=CHAIN)
    top = min(view.y(levels.peg), view.y(levels.ground))
    sheet.stroke(
        [view.line([(s.x, levels.peg), (s.x, s.depth)]) for s in shown], "dimension", THIN, Layer.NOTE
    )
    for station in shown:
        dot(sheet, view.at(station.x, station.depth))
    deep = view.y(cut.dug) + STRIP
    for group, start, way in ((shown[0::2], top, -1.0), (shown[1::2], deep, 1.0)):
        _row(sheet, view, levels.peg, group, start, way)
    sentences = _sentences(read)
    low = deep + RISE + 2 * LEAD + 6
    lines = [line for text in (_level_line(read), *sentences) for line in wrapped(text, WIDTH - 2 * MARGIN)]
    for number, line in enumerate(lines, 1):
        sheet.text(line, MARGIN, low + LEAD * number)
    sheet.close()
    return Scene(
        sheet=sheet,
        title="The dig, measured from the peg",
        caption=f"Cut along the pool, to one scale. Bold: {words.unit} from the peg level down to the base "
        "of the dig; under it, how far along from peg A. Between two stations the base runs straight.",
        description="The empty dig in a cut along the pool, with the depth of its base below the peg level "
        "at stations along it.",
        long_description=said(
            _level_line(read),
            *(
                f"At {_unit(read, s.along)} along from peg A the base is {_unit(read, s.reading)} "
                "below the peg level."
                for s in shown
            ),
            *sentences,
        ),
        anchors=anchors
        | {"peg": (left, levels.peg)}
        | {f"station.{at}": (s.x, s.depth) for at, s in enumerate(shown, 1)},
    )


def _unit(read: Reader, text: str) -> str:
    return text if read.words.feet else f"{text}\u00a0mm"


def _stations(read: Reader) -> list[_Station]:
    """Every station of the job's table, with its reading and its distance from peg A."""
    value = read.results["dig.stations"].value
    if not isinstance(value, Table):
        raise ValueError("the dig has no stations")
    start = read.levels.dig.base.bounds[0]
    words = read.words
    return [
        _Station(
            size(row["x"]),
            size(row["below_rim"]),
            words.length(size(row["below_peg"])),
            words.length(size(row["x"]) - start),
        )
        for row in value.records()
    ]


def _thinned(stations: list[_Station], room: float) -> list[_Station]:
    """The ends and bends of the base, and as many stations between as their labels leave room for.

    A station where the base goes straight on may be left out; of those, the one with the nearest
    neighbours goes first, until each of the two rows of labels fits.
    """
    kept = list(stations)
    while True:
        spare = [at for at in range(1, len(kept) - 1) if _straight(kept, at)]
        if max(sum(s.wide for s in row) for row in (kept[0::2], kept[1::2])) <= room:
            spare = [at for at in spare if _hidden(kept, at)]
        if not spare:
            return kept
        kept.pop(min(spare, key=lambda at: (kept[at + 1].x - kept[at - 1].x, at)))


def _hidden(stations: list[_Station], at: int) -> bool:
    """Whether a station stands so near another that the rod of one would hide the other's."""
    least = (stations[-1].x - stations[0].x) * NEAREST
    return any(b.x - a.x < least for a, b in pairwise(stations[at - 1 : at + 2]))


def _straight(stations: list[_Station], at: int) -> bool:
    """Whether the base runs straight through a station, to what a tape can tell."""
    a, b, c = stations[at - 1 : at + 2]
    between = a.depth + (c.depth - a.depth) * (b.x - a.x) / (c.x - a.x)
    return abs(between - b.depth) < COARSE / 2


def _row(sheet: Sheet, view: View, peg: float, group: list[_Station], start: float, way: float) -> None:
    """Set one row of labels, apart, each tied to its rod."""
    if not group:
        return
    middles = ladder(
        [view.x(s.x) for s in group],
        [s.wide for s in group],
        MARGIN - BESIDE / 2,
        WIDTH - MARGIN + BESIDE / 2,
    )
    near = start + way * RISE
    lines: list[list[Point]] = []
    for station, middle in zip(group, middles, strict=True):
        x = view.x(station.x)
        rod = view.y(station.depth if way > 0 else peg)
        lines.append([(x, rod), (x, start + way * 3), (middle, near - way * 2)])
        first = near + LEAD - 3 if way > 0 else near - LEAD - 1
        sheet.text(bold(station.reading), middle, first, anchor="center")
        sheet.text(station.along, middle, first + LEAD, anchor="center")
    sheet.stroke(lines, "dimension", THIN, Layer.NOTE)


def _level_line(read: Reader) -> str:
    """How the peg level stands to the rim that is to come."""
    peg, words = read.levels.peg, read.words
    where = words.spoken_level(peg)
    return f"The peg level, the line of dashes and dots, is {where} to come."


def _sentences(read: Reader) -> tuple[str, ...]:
    """Depth, sides and who may go in, from the job's own numbers."""
    levels = read.levels
    batter = levels.job.spec.excavation.batter
    reason = read.results["dig.people"].reason
    sides = ""
    if batter is not None:
        sides = f"The sides are cut back at {math.degrees(batter):.0f}° from level."
    elif not reason:
        sides = "The sides stand upright and are shored."
    pits = (("gravel pit", levels.pit_base), ("sump", levels.sump_base))
    lower = [
        f"The base of the {name} is {read.words.mm(base - levels.peg)} below the peg level."
        for name, base in pits
        if base is not None
    ]
    people = f"{reason[:1].upper()}{reason[1:]}." if reason else ""
    people = say.in_feet_too(people) if read.words.feet else people
    return said(
        f"The deepest part is {read.mm('dig.depth_deep')} below the ground.",
        *lower,
        sides,
        people,
    )
