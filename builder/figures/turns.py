"""The turns of filling and backfilling, as the figures that show them read them."""

from __future__ import annotations

from dataclasses import dataclass

from builder.figures.canvas import Layer, Sheet, rectangle
from builder.figures.reader import Reader
from builder.figures.scene import Scene
from builder.figures.style import MARGIN, TEXT, THIN, WIDTH
from builder.quantity import Table
from builder.say import COARSE
from builder.units import round_safe

Cell = float | str | None
NONE = "There is no plan of filling for this job."


@dataclass(frozen=True)
class Turn:
    """One turn: depths below the rim in metres of the pool's water and the fill, before and after.

    number: from 1; 0 is the first water on the deep floor. A turn adds no fill or no water where
    what a tape would show before and after is the same.
    """

    number: int
    water_before: float
    water: float
    fill_before: float
    fill: float

    @property
    def fills(self) -> bool:
        """Whether fill is placed."""
        return _shown(self.fill) != _shown(self.fill_before)

    @property
    def waters(self) -> bool:
        """Whether water is added."""
        return _shown(self.water) != _shown(self.water_before)

    @property
    def name(self) -> str:
        """What the turn is called."""
        if self.number == 0:
            return "First water"
        return f"Lift {self.number}" if self.fills else "Last water"


def turns(read: Reader) -> tuple[Turn, ...]:
    """Return the first water and every turn that adds something; none where there is no plan of filling."""
    value = read.results["fill.stages"].value
    if not isinstance(value, Table) or not value.rows:
        return ()
    rows = value.records()
    fill, start = read.levels.underside_deep, size(rows[0]["water_before"])
    found = [Turn(0, read.levels.floor_deep, start, fill, fill)]
    for number, row in enumerate(rows, 1):
        top = size(row["backfill_top"])
        turn = Turn(number, size(row["water_before"]), size(row["water_after"]), fill, top)
        if turn.fills or turn.waters:
            found.append(turn)
        fill = top
    return tuple(found)


def no_plan(title: str) -> Scene:
    """Return the figure of a job without a plan of filling: a frame that says so."""
    sheet = Sheet()
    box = sheet.text(NONE, WIDTH / 2, 0.0, anchor="center")
    frame = rectangle(MARGIN, box.y0 - TEXT, WIDTH - MARGIN, box.y1 + TEXT)
    sheet.stroke([frame], "dimension", THIN, Layer.EDGE, closed=True)
    sheet.close()
    return Scene(sheet, title, NONE, NONE, (NONE,), {})


def size(cell: Cell) -> float:
    """Return the number of a table's cell; raises ValueError where it is text or nothing."""
    if not isinstance(cell, int | float):
        raise ValueError("a cell of a table is not a number")
    return float(cell)


def _shown(depth: float) -> int:
    return round(round_safe(depth, COARSE, "nearest") / COARSE)
