"""How full the pool must stand: the lowest safe pool level for every groundwater level."""

from __future__ import annotations

import math

from builder.calc import uplift as calc
from builder.calc.constants import FRESH
from builder.checks.groundwater import Groundwater
from builder.checks.say import mm
from builder.checks.sheet import Sheet
from builder.checks.shell import stations
from builder.levels import Levels
from builder.quantity import Column, Table, Verdict

SAFETY = 1.3  # EM 1110-2-2100 Table 3-4, usual (number from memory)
PANEL_MARGIN = 0.150  # m of water kept in hand over the floor's balance (design)
ROW = 0.1  # m between the rows (design)


def lowest_water(levels: Levels, groundwater: float) -> tuple[float, float]:
    """Return the lowest pool levels (by_sf, by_panel) in m below the rim for a groundwater level."""
    solid, density = levels.solid, levels.job.spec.water.density
    needed = calc.water_needed(
        safety=SAFETY,
        groundwater_density=density,
        displaced=solid.outside_profile.volume_below(groundwater),
        shell_mass=solid.shell.mass,
        beam_mass=0.0,
        pool_density=FRESH,
    )
    by_panel = calc.lowest_water_by_panel(
        floor_deep=levels.floor_deep,
        groundwater_density=density,
        underside_deep=levels.underside_deep,
        groundwater=groundwater,
        laminate_density=solid.shell.laminate_density,
        floor_thickness=solid.shell.floor_thickness,
        pool_density=FRESH,
        margin=PANEL_MARGIN,
    )
    return solid.inside_profile.depth_holding(needed), by_panel


def row_above(groundwater: float) -> float:
    """Return the next multiple of 100 mm at or above (not deeper than) a groundwater level."""
    return math.floor(groundwater / ROW + 1e-9) * ROW


def work(sheet: Sheet, levels: Levels, groundwater: Groundwater) -> None:
    """Write uplift.lowest_water, rows from the ground down to the underside.

    Where a dip stood above the ground they begin there.
    """
    first = row_above(min(levels.ground, groundwater.used))
    last = row_above(levels.underside_deep)
    rows = []
    for at in range(round((last - first) / ROW) + 1):
        level = round(first + at * ROW, 6)
        by_sf, by_panel = lowest_water(levels, level)
        higher = min(by_sf, by_panel)
        rows.append((level, by_sf, by_panel, higher if higher >= levels.overflow else None))
    verdict: Verdict
    if groundwater.used >= levels.underside_deep:
        verdict, reason = "ok", "water is under the shell"
    else:
        today = next(row for row in rows if abs(row[0] - row_above(groundwater.used)) < 1e-6)[3]
        if today is None:
            verdict = "stop"
            reason = (
                "no pool level below the overflow holds today: fill to the overflow, keep it full, "
                "pump the tube, call"
            )
        elif today < levels.water:
            verdict, reason = (
                "watch",
                f"today the pool must stand no lower than {mm(today, 'down')} below the rim",
            )
        else:
            verdict, reason = "ok", f"today the pool must not fall below {mm(today, 'down')} under the rim"
        if groundwater.state == "unknown":
            verdict, reason = "cannot tell", f"{groundwater.said}; with water there, {reason}"
    columns = tuple(Column(key, "m") for key in ("groundwater", "by_sf", "by_panel", "lowest"))
    sheet.method(
        "uplift.lowest_water",
        "lowest pool level that is safe, by groundwater level",
        Table(columns, tuple(rows)),
        unit="1",
        symbol="z_low",
        how="by_sf: pool level whose water gives safety 1.3 without the beam; "
        "by_panel: no net lift on the deepest "
        "floor with 150 mm in hand; lowest: the higher water of both, none where that is above the overflow",
        source="usace-em-2100",
        side="down",
        audience="step",
        verdict=verdict,
        reason=reason,
        inputs=stations(levels)
        | {
            "shell_mass": (levels.solid.shell.mass, "kg"),
            "groundwater_density": (levels.job.spec.water.density, "kg/m3"),
            "laminate_density": (levels.solid.shell.laminate_density, "kg/m3"),
            "overflow": (levels.overflow, "m"),
        },
    )
