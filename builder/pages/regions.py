"""How far the rules of places lie apart: this job's region beside the three that are asked about most."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from markupsafe import Markup

from builder.catalogue.rows import Region
from builder.job import Job
from builder.pages.typed import typed
from builder.pages.words import Words, upper_first

BESIDE = ("au-nsw", "nz", "us")  # shown beside the job's own region
TRADES = {  # act of a region's row -> how the table calls it
    "approval": "Approves the pool",
    "services": "Finds pipes and cables",
    "barrier": "Passes the barrier",
    "electrical": "Wiring and bonding",
    "crane": "Crane and slings",
    "mains water": "Mains water",
    "sewer": "Sewer",
    "gas": "Gas",
    "excavation": "Digging and shoring",
}


@dataclass(frozen=True)
class RegionRow:
    """One thing in which places differ, a cell for each place."""

    what: Markup
    cells: tuple[Markup, ...]


def places(job: Job) -> tuple[Region, ...]:
    """Return the job's region, then the others of the table."""
    others = (job.catalogue.regions[name] for name in BESIDE if name != job.region.id)
    return (job.region, *others)


def rows(shown: tuple[Region, ...]) -> tuple[RegionRow, ...]:
    """Return barrier depth, depth of a dig, trades, standards and emergency number of each place."""
    found = [
        _row("Barrier from this depth of water", shown, lambda one: _depth(one, "barrier_depth")),
        _row("A dig needs support or a batter from", shown, lambda one: _depth(one, "dig_trigger")),
    ]
    for act, what in TRADES.items():
        found.append(RegionRow(typed(what), tuple(typed(_who(one, act)) for one in shown)))
    found += [
        _row("Standards: shell, installing", shown, lambda one: _numbers(one, ("shell", "installation"))),
        _row("Standards: barrier", shown, lambda one: _numbers(one, ("barrier",))),
        _row("Standards: electrical", shown, lambda one: _numbers(one, ("electrical",))),
        _row("Emergency", shown, lambda one: one.emergency),
    ]
    return tuple(found)


def _row(what: str, shown: tuple[Region, ...], cell: Callable[[Region], str]) -> RegionRow:
    return RegionRow(typed(what), tuple(typed(cell(one)) for one in shown))


def _depth(region: Region, key: str) -> str:
    said = Words(feet=region.units == "us").exact(getattr(region, key))
    return f"{said} (from memory)" if key in region.memory_of else said


def _who(region: Region, act: str) -> str:
    trade = region.who(act)
    return f"{upper_first(trade.who)} (from memory)" if trade.memory else upper_first(trade.who)


def _numbers(region: Region, about: tuple[str, ...]) -> str:
    found = dict.fromkeys(standard.number for standard in region.standards if standard.about in about)
    return ", ".join(found) or "none known to this guide"
