"""Volumes, masses and the order, worked on paper for the box; and volumes that balance for any job.

Round corners are drawn in 64 chords a circle: a disc of radius r then has 32·sin(π/32)·r², and so
here, where the arithmetic is meant to agree to the last digit.
"""

from __future__ import annotations

import math
from itertools import pairwise
from typing import Any

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from builder.checks import Results
from builder.levels import Levels
from tests.checks.by_hand import results
from tests.checks.drawn_at_random import jobs

FEW = settings(max_examples=8, deadline=None)
DISC = 32 * math.sin(math.pi / 32)
A, B = 6.02, 3.02  # outside
RING = 2 * (A + B) * 0.3 + DISC * 0.3**2  # 300 mm round the outside: the gap, and the ring beam
BASE = A * B + RING
PIT = 0.4**2 * 0.3
DUG = BASE * 1.45 + PIT
BEDDING = BASE * 0.08
# shell below the ground 1420 − 50 mm, beam below it 200 − 50 mm
BACKFILL = DUG - BEDDING - PIT - A * B * 1.37 - RING * 0.15

ON_PAPER = {
    "dig.volume": DUG,
    "dig.bulked_volume": DUG * 1.2,
    "dig.truckloads": 6.0,  # 41.6 m3 by 8 m3
    "bedding.makeup": 0.08,
    "bedding.volume": BEDDING,
    "bedding.makeup_volume": 0.0,
    "bedding.mass": BEDDING * 1500,
    "backfill.volume": BACKFILL,
    "backfill.mass": BACKFILL * 1500,
    "beam.volume": RING * 0.2,
    "beam.mass": RING * 0.2 * 2400,
    "lift.mass": 800 * 1.1,
}


@pytest.mark.parametrize("key", ON_PAPER)
def test_a_quantity_of_the_box_is_what_paper_gives(box: Results, key: str) -> None:
    assert box[key].si == pytest.approx(ON_PAPER[key], rel=1e-7, abs=1e-9)
    assert box[key].verdict == "ok"


def test_the_backfill_of_the_box_is_the_ring_between_bedding_and_beam(box: Results) -> None:
    # the same by its own way: the gap from the beam's underside at 200 mm to the underside at 1420 mm
    assert box["backfill.volume"].si == pytest.approx(RING * (1.42 - 0.20), rel=1e-7)


def test_overdig_is_dug_and_made_up_and_moves_no_bedding() -> None:
    worked = results({"excavation.overdug": "60 mm"})
    assert worked["dig.volume"].si == pytest.approx(DUG + BASE * 0.06, rel=1e-7)
    assert worked["bedding.makeup_volume"].si == pytest.approx(BASE * 0.06, rel=1e-7)
    assert worked["bedding.volume"].si == pytest.approx(BEDDING, rel=1e-6)
    assert worked["backfill.volume"].si == pytest.approx(BACKFILL, rel=1e-6)


@pytest.mark.parametrize(
    ("overdug", "makeup", "verdict"),
    [
        ("70 mm", "none", "ok"),  # 80 + 70 = 150 mm, the most
        ("71 mm", "none", "stop"),
        ("71 mm", "compacted", "ok"),
        ("500 mm", "stabilised", "ok"),
    ],
)
def test_more_than_150_mm_of_loose_fill_under_the_shell_stops(
    overdug: str, makeup: str, verdict: str
) -> None:
    excavation = {"batter": "45 deg", "overdug": overdug, "makeup": makeup}
    number = results({"excavation": excavation})["bedding.makeup"]
    assert number.verdict == verdict
    assert ("compact" in number.reason) == (verdict == "stop")


def test_a_sump_is_dug_and_filled() -> None:
    sump = {"depth": "200 mm", "width": "500 mm", "fill": "stone"}
    worked = results({"sump": sump})
    assert worked["dig.volume"].si == pytest.approx(DUG + 0.05, rel=1e-7)
    assert worked["backfill.volume"].si == pytest.approx(BACKFILL, rel=1e-7)
    rows = {row["item"]: row for row in worked["order.table"].table.records()}
    assert rows["sump fill"]["net"] == pytest.approx(0.05 * 1.5)  # t
    assert rows["sump fill"]["order"] == 0.5


def test_the_ground_that_swells_most_fills_the_trucks() -> None:
    # layers: the box's own ground bulks by 1.2, sand by what the catalogue says; the larger counts
    layers = [{"to": "0.5 m", "soil": "fair-ground"}, {"soil": "stiff-clay"}]
    worked = results({"ground.soil": None, "ground.layers": layers})
    factor = worked["dig.bulked_volume"].si / worked["dig.volume"].si
    assert factor == pytest.approx(max(1.2, worked.job.layers[1].soil.bulking))
    assert factor > 1.2
    # a layer under the base is not dug
    layers = [{"to": "1.5 m", "soil": "fair-ground"}, {"soil": "stiff-clay"}]
    shallow = results({"ground.soil": None, "ground.layers": layers})
    assert shallow["dig.bulked_volume"].si == pytest.approx(1.2 * shallow["dig.volume"].si)


@pytest.mark.parametrize(("truck", "loads"), [("8 m3", 6), ("6 m3", 7), ("42 m3", 1), ("41 m3", 2)])
def test_a_load_begun_is_a_load(truck: str, loads: int) -> None:
    assert results({"excavation.truck": truck})["dig.truckloads"].si == loads  # 41.62 m3


def test_everything_to_order_in_the_units_it_is_sold_in(box: Results) -> None:
    rows = [tuple(row[key] for key in row) for row in box["order.table"].table.records()]
    assert [row[0] for row in rows] == [
        "bedding",
        "backfill, with the tube's pit",
        "mesh",
        "standpipe",
        "ring beam concrete",
        "sealant",
    ]
    expected = [
        (BEDDING * 1.5, 0.1, 3.5, "t"),  # 2.87 t and a tenth, up to half a tonne
        ((BACKFILL + PIT) * 1.5, 0.1, 12.0, "t"),  # 10.51 t and a tenth
        (0.7 * 0.7, 0.1, 1.0, "m2"),  # 400 mm lapped 150 mm all round
        (1.91, None, 3.0, "m"),  # cut 1910 mm, sold in 3 m and 6 m
        (RING * 0.2, 0.1, 1.4, "m3"),  # 1.141 m3 and a tenth, up to 0.2 m3
        (math.pi / 4 * 0.008**2 * math.pi * 0.09 / 300e-6, 0.25, 1.0, "cartridges"),
    ]
    for row, (net, waste, order, unit) in zip(rows, expected, strict=True):
        assert row[2] == pytest.approx(net, rel=1e-6)
        assert row[3] == waste
        assert row[4] == order
        assert row[5] == unit


def items(**changes: Any) -> list[object]:
    changed = {key.replace("__", "."): value for key, value in changes.items()}
    return [row["item"] for row in results(changed)["order.table"].table.records()]


def test_what_a_job_does_not_need_is_not_ordered() -> None:
    assert "mesh" not in items(mesh="none")
    assert "sealant" not in items(shell__relief__seal="ring")
    dry = items(standpipe__pit="none", standpipe__foot_below_underside="15 mm")
    assert "backfill" in dry
    assert "sump fill" not in dry


def test_what_was_dug_too_deep_is_ordered_too() -> None:
    worked = results({"excavation.overdug": "60 mm"})
    rows = {str(row["item"]): row for row in worked["order.table"].table.records()}
    assert rows["make-up under the bedding"]["net"] == pytest.approx(BASE * 0.06 * 1.5, rel=1e-6)
    for word in ("compacted", "stabilised"):
        assert f"make-up under the bedding, to be {word}" in items(
            excavation__overdug="300 mm", excavation__makeup=word
        )


def test_a_tube_longer_than_every_short_length_takes_the_next() -> None:
    worked = results(
        {"standpipe.pit": {"depth": "1.5 m", "width": "400 mm"}, "standpipe.foot_below_underside": "1.5 m"}
    )
    row = next(r for r in worked["order.table"].table.records() if r["item"] == "standpipe")
    # 1420 + 1500 + 10 + 150 mm
    assert (row["net"], row["order"]) == (pytest.approx(3.08), 6.0)


def below(levels: Levels, z: float, *, outside: bool) -> float:
    """Volume below z in m3 of the dig, or of the outside solid: slices through their middles.

    Twelve slices between any two depths at which a floor, a base or a ledge begins or ends.
    """
    shell, dig = levels.solid.shell, levels.dig
    floor = [depth + shell.floor_thickness for _, depth in shell.floor]
    ledges = [ledge.depth + shell.floor_thickness for ledge in shell.ledges]
    breaks = [*floor, *ledges, levels.underside_deep] if outside else [depth for _, depth in dig.base_line]
    plan = levels.solid.outside_at if outside else dig.region
    total = 0.0
    for upper, lower in pairwise(sorted({z, *(depth for depth in breaks if depth > z)})):
        middles = upper + (np.arange(12) + 0.5) / 12 * (lower - upper)
        total += sum(plan(float(depth)).area for depth in middles) / 12 * (lower - upper)
    return total


@FEW
@given(jobs(), st.sampled_from(["0 mm", "35 mm", "120 mm"]))
def test_the_dig_is_full_of_what_is_put_into_it(changes: dict[str, Any], overdug: str) -> None:
    worked = results(
        {**changes, "excavation": {**changes["excavation"], "overdug": overdug, "makeup": "compacted"}}
    )
    levels, spec = worked.levels, worked.job.spec
    sump = 0.0 if spec.sump is None else spec.sump.width**2 * spec.sump.depth
    pit = 0.0 if spec.standpipe.pit is None else spec.standpipe.pit.width**2 * spec.standpipe.pit.depth
    hole = below(levels, levels.ground, outside=False)
    assert worked["dig.volume"].si == pytest.approx(hole + sump + pit, rel=1e-3)
    parts = (
        below(levels, levels.ground, outside=True)
        + worked["bedding.volume"].si
        + worked["bedding.makeup_volume"].si
        + sump
        + pit
        + worked["backfill.volume"].si
        + levels.beam.area * max(levels.beam.depth - levels.ground, 0.0)
    )
    assert parts == pytest.approx(hole + sump + pit, rel=1e-3)


@FEW
@given(jobs())
def test_the_bedding_is_as_thick_as_the_job_says_square_to_the_floor(changes: dict[str, Any]) -> None:
    worked = results(changes)
    levels = worked.levels
    low, high = levels.dig.base.bounds[0], levels.dig.base.bounds[2]
    edges = np.linspace(low, high, 201)
    total = 0.0
    line = np.asarray(levels.dig.bedding_line)
    under = np.asarray(levels.solid.underside_line)
    for start, end in pairwise(edges):
        x = (start + end) / 2
        thick = np.interp(x, line[:, 0], line[:, 1]) - np.interp(x, under[:, 0], under[:, 1])
        across = levels.dig.base.polygon.intersection(shapely.box(start, -99, end, 99)).area
        total += thick * across
    assert worked["bedding.volume"].si == pytest.approx(total, rel=1e-3)


@FEW
@given(jobs())
def test_what_is_ordered_is_no_less_than_what_is_needed(changes: dict[str, Any]) -> None:
    for row in results(changes)["order.table"].table.records():
        assert row["order"] is not None
        assert row["order"] >= row["net"]  # type: ignore[operator]
        if row["waste"] is not None:
            assert row["order"] >= row["net"] * (1 + row["waste"]) - 1e-9  # type: ignore[operator]


@FEW
@given(jobs(), st.integers(1, 200), st.integers(1, 300))
def test_a_deeper_or_wider_dig_is_more_of_everything(
    changes: dict[str, Any], deeper: int, wider: int
) -> None:
    plain = results(changes)
    deep = results({**changes, "excavation": {**changes["excavation"], "overdug": f"{deeper} mm"}})
    wide = results({**changes, "backfill.working_gap": f"{300 + wider} mm"})
    for key in ("dig.volume", "dig.bulked_volume"):
        assert deep[key].si > plain[key].si
        assert wide[key].si > plain[key].si
    assert deep["bedding.makeup"].si > plain["bedding.makeup"].si
    for key in ("bedding.volume", "backfill.volume", "dig.check_diagonal"):
        assert wide[key].si > plain[key].si


@FEW
@given(jobs())
def test_no_volume_and_no_mass_is_negative(changes: dict[str, Any]) -> None:
    worked = results(changes)
    for key in ON_PAPER:
        assert worked[key].si >= 0, key
