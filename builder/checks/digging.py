"""The dig's numbers: how deep, how wide, how much, and what must lie in it."""

from __future__ import annotations

from builder.calc import dig as calc
from builder.checks.sheet import Sheet
from builder.checks.shell import stations
from builder.levels import Levels
from builder.quantity import Column, Table

EVERY = 1.0  # metres between the stations of the dig table


def work(sheet: Sheet, levels: Levels) -> None:
    """Write the sizes and volumes of the dig."""
    dig = levels.dig
    base = [z for _, z in dig.base_line]
    for name, words, depth in (
        ("deep", "dig below the ground at its deepest", max(base)),
        ("shallow", "dig below the ground at its shallowest", min(base)),
    ):
        sheet.work(
            f"dig.depth_{name}",
            words,
            calc.depth,
            side="nearest",
            audience="step",
            base=depth,
            ground=levels.ground,
        )
    top = dig.region(levels.ground + 1e-9).bounds
    how = "the base's rectangle moved out by the batter's run from the local depth to the ground"
    inputs = {
        "base_length": (dig.base_length, "m"),
        "base_width": (dig.base_width, "m"),
        "batter": (dig.batter, "rad"),
        "depth_deep": (max(base) - levels.ground, "m"),
        "depth_shallow": (min(base) - levels.ground, "m"),
    }
    for name, words, size in (
        ("length", "length of the dig at the ground", top[2] - top[0]),
        ("width", "width of the dig at the ground", top[3] - top[1]),
    ):
        sheet.method(
            f"dig.top_{name}",
            words,
            size,
            unit="m",
            symbol=f"{name[0].upper()}_top",
            how=how,
            source="geometry",
            inputs=inputs,
            side="up",
            audience="step",
        )
    sheet.work(
        "dig.check_diagonal",
        "diagonal of the rectangle pegged round the base",
        calc.check_diagonal,
        audience="step",
        base_length=dig.base_length,
        base_width=dig.base_width,
    )
    sheet.method(
        "dig.stations",
        "depth of the base along the shell",
        Table(_COLUMNS, tuple(_stations(levels))),
        unit="1",
        symbol="z(x)",
        how="the underside's long section moved down square by the bedding, then by the overdug",
        source="design-levels",
        inputs=stations(levels) | {"bedding": (dig.bedding, "m"), "overdug": (dig.overdug, "m")},
        audience="step",
    )


_COLUMNS = (Column("x", "m"), Column("below_peg", "m"), Column("below_rim", "m"), Column("below_ground", "m"))


def _stations(levels: Levels) -> list[tuple[float, float, float, float]]:
    """Every metre along the shell, at every bend of the base, and at both ends of the base."""
    low, _, high, _ = levels.dig.base.bounds
    start, _, end, _ = levels.solid.outline.bounds
    count = int((end - start) / EVERY + 1e-9)
    points = {round(start + at * EVERY, 6) for at in range(count + 1)}
    points |= {round(x, 6) for x, _ in levels.dig.base_line} | {low, high}
    rows = []
    for x in sorted(points):
        z = levels.dig.base_depth(x)
        rows.append((x, z - levels.peg, z, z - levels.ground))
    return rows
