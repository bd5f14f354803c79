"""The table a reader holds his dip against: how low the pool water may be at every dip.

The rows are those of `uplift.lowest_water`. Its levels are turned into dips from the two marks a
reader measures from: the build mark (rim level, before the tube is trimmed) and the tube top.
"""

from __future__ import annotations

from dataclasses import dataclass

from markupsafe import Markup

from builder.checks import Results
from builder.pages.shown import bold, bold_depth
from builder.pages.typed import markup
from builder.pages.words import Words


@dataclass(frozen=True)
class DipRow:
    """One dip in words. holds: the working level is enough; raise: it is not; stop: no level is enough."""

    from_top: Markup
    from_mark: Markup
    state: str  # one of the three words above
    lowest: Markup  # the lowest pool water allowed, below the rim; empty at stop
    today: bool  # the row that today's groundwater falls in


def dip_rows(results: Results, words: Words) -> tuple[DipRow, ...]:
    """Return the rows from the highest groundwater down; empty where the table has no value."""
    number = results["uplift.lowest_water"]
    if number.value is None:
        return ()
    levels = results.levels
    rows = []
    records = sorted(number.table.records(), key=lambda row: metres(row["groundwater"]))
    used = results.groundwater.used
    above = [metres(row["groundwater"]) for row in records if metres(row["groundwater"]) <= used + 1e-9]
    today = max(above, default=None)
    for record in records:
        water = metres(record["groundwater"])
        lowest, state = Markup(""), "stop"
        if record["lowest"] is not None:
            level = metres(record["lowest"])
            lowest = bold_depth(words.depth(level, "the rim", "down"))
            state = "raise" if level < levels.water else "holds"
        rows.append(
            DipRow(
                from_top=_dip(words, water - levels.tube_top),
                from_mark=_dip(words, water),
                state=state,
                lowest=lowest,
                today=water == today,
            )
        )
    return tuple(rows)


def _dip(words: Words, value: float) -> Markup:
    """Return a dip to the millimetre; water above the mark stands over it, or out of the tube."""
    size = bold(words.length(abs(value), "nearest", 0.001))
    return markup(size if value >= 0 else f"{size} above the mark")


def metres(cell: float | str | None) -> float:
    """Return a level of the table in metres."""
    if not isinstance(cell, int | float):
        raise ValueError("a level of the table uplift.lowest_water is not a number")
    return float(cell)
