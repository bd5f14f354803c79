"""What to order, row by row: the table `order.table` in words."""

from __future__ import annotations

from dataclasses import dataclass

from markupsafe import Markup

from builder.checks import Results
from builder.pages.shown import bold
from builder.pages.typed import markup, typed
from builder.pages.words import Words, upper_first
from builder.say import SPACE, plain, two_digits
from builder.units import UNITS

RAISED = {"m2": "m²", "m3": "m³"}
SHORT_TON = 2000 * UNITS["lb"].si  # kg, by definition
CUSTOMARY = {  # what a yard that counts in feet sells by: how many SI units one is, and its name
    "t": (SHORT_TON, "US tons"),
    "m2": (UNITS["ft2"].si, "sq ft"),
    "m3": (UNITS["yd3"].si, "cu yd"),
}


@dataclass(frozen=True)
class OrderRow:
    """One thing to order: what it is for, the words it is sold by, and how much with waste."""

    use: Markup
    ask_for: Markup
    amount: Markup
    waste: bool  # whether the amount holds something for waste


def order_rows(results: Results, words: Words) -> tuple[OrderRow, ...]:
    """Return everything to order; empty where the table has no value."""
    number = results["order.table"]
    if number.value is None:
        return ()
    return tuple(
        OrderRow(
            use=typed(upper_first(_text(row["item"]))),
            ask_for=typed(_text(row["ask_for"])),
            amount=markup(bold(_amount(row["order"], _text(row["unit"]), words))),
            waste=row["waste"] is not None,
        )
        for row in number.table.records()
    )


def _amount(cell: float | str | None, unit: str, words: Words) -> str:
    """Return an amount as a shop takes it: `4.5 t`, `3,000 mm`; where no length sold is enough, say so."""
    if cell is None:
        return "more than one length is sold in: ask"
    if not isinstance(cell, int | float):
        raise ValueError("an amount to order is not a number")
    if unit == "m":
        return words.exact(cell)
    if unit == "cartridges":
        return f"{plain(cell)} {unit if cell > 1 else unit.removesuffix('s')}"
    said = f"{cell:,.3f}".rstrip("0").rstrip(".") + f"{SPACE}{RAISED.get(unit, unit)}"
    if not words.feet or unit not in CUSTOMARY:
        return said
    size, name = CUSTOMARY[unit]
    return f"{two_digits(cell * UNITS[unit].si / size, 'up')}{SPACE}{name} ({said})"


def _text(cell: float | str | None) -> str:
    if not isinstance(cell, str):
        raise ValueError("a cell of the order is not text")
    return cell
