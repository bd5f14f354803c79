"""The care numbers of the box on paper: a bucket against a leak, and what an emptied pool bears."""

from __future__ import annotations

import math

import pytest

from builder.checks import Results
from builder.quantity import Table
from tests.checks.by_hand import results

G = 9.80665
K0 = 1 - math.sin(math.radians(35))


def test_each_millimetre_beyond_the_bucket_is_the_pools_area_in_litres(box: Results) -> None:
    bucket = box["care.bucket"]
    assert bucket.as_json()["value"] == pytest.approx(18.0)  # 6 m · 3 m · 1 mm
    assert bucket.unit == "L/mm"
    assert bucket.verdict == "ok"


@pytest.mark.parametrize(
    ("groundwater", "push"),
    [
        # floor at 1.40, fill to the ground at 0.05, nothing inside, water at 0.55:
        # K0 (16·0.50 + 10.19335·0.85 + 5) + 9.80665·0.85
        ("0.5 m", K0 * (16000 * 0.50 + 10193.35 * 0.85 + 5000) + G * 850),
        # water under the shell: K0 (16·1.35 + 5)
        ("2 m", K0 * (16000 * 1.35 + 5000)),
        # water at the ground: K0 (10.19335·1.35 + 5) + 9.80665·1.35
        ("0 m", K0 * (10193.35 * 1.35 + 5000) + G * 1350),
    ],
)
def test_an_emptied_pool_has_its_numbers_and_is_never_ok(groundwater: str, push: float) -> None:
    emptying = results({"ground.groundwater": groundwater})["care.emptying"]
    assert isinstance(emptying.value, Table)
    floor, end, wall = emptying.value.records()
    assert floor["bears_m"] == pytest.approx(0.020 * 1.5)
    assert end["bears_m"] == pytest.approx(0.8 / (6.02 * 3.02), rel=1e-6)
    assert wall["push_pa"] == pytest.approx(push)
    assert emptying.verdict == "watch"
    water = math.ceil(push / G / 5) * 5
    assert emptying.reason == (
        f"emptied, the shell bears no more than 30 mm of water under its deepest floor; the fill pushes "
        f"its wall in like {water:,} mm of water; empty it only on written advice from its maker "
        "or an engineer"
    )


def test_unknown_groundwater_is_taken_at_the_ground() -> None:
    unknown = results({"ground.groundwater": {"not_seen_to": "1 m", "watched_for": "30 d"}})["care.emptying"]
    flooded = results({"ground.groundwater": "0 m"})["care.emptying"]
    assert unknown.table.rows == flooded.table.rows
