"""The Care numbers: evaporation against a leak, and why the pool is never simply emptied."""

from __future__ import annotations

from builder.calc import filling as calc
from builder.checks import pressures
from builder.checks.groundwater import Groundwater
from builder.checks.say import mm
from builder.checks.sheet import Sheet
from builder.levels import Levels
from builder.quantity import Column, Table


def work(sheet: Sheet, levels: Levels, groundwater: Groundwater) -> None:
    """Write care.*; needs uplift.panel_head and uplift.tip_height."""
    sheet.work(
        "care.bucket",
        "water lost for each mm the pool falls faster than a bucket standing in it",
        calc.leak_per_mm,
        unit="L/mm",
        side="up",
        audience="step",
        water_area=sheet["shell.water_area"].si,
        note="the bucket shows what the sun takes; what the pool loses beyond it is a leak",
    )
    outside = groundwater.used
    wall = pressures.emptied(levels, outside)
    columns = (Column("part", "text"), Column("bears_m", "m"), Column("push_pa", "Pa"))
    tip = sheet.si("uplift.tip_height")
    rows = (
        ("floor", sheet["uplift.panel_head"].si, None),
        ("one end", tip, None),
        ("wall", None, wall),
    )
    least = sheet["uplift.empty_limit"].si
    bears, push = mm(least, "down", 0.01), mm(pressures.as_water(wall), "up")
    sheet.method(
        "care.emptying",
        "what an emptied pool would bear",
        Table(columns, rows),
        unit="1",
        symbol="-",
        how="water under the floor that lifts it; water that lifts one end; the push of the fill on a wall "
        "with no water behind it",
        source="archimedes",
        side="down",
        audience="step",
        verdict="watch",
        reason=f"emptied, the shell bears no more than {bears} of water under its deepest floor; the "
        f"fill pushes its wall in like {push} of water; empty it only on written advice from its maker "
        "or an engineer",
        inputs={
            "panel_head": (sheet["uplift.panel_head"].si, "m"),
            "tip_height": (tip, "m"),
            "fill_top": (levels.ground, "m"),
            "outside_water": (outside, "m"),
            "floor_deep": (levels.floor_deep, "m"),
        },
    )
