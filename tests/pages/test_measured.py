"""The water pages run on what was measured: the working level, the tube's top and length, the latest dip."""

from __future__ import annotations

from pathlib import Path

import pytest

from builder.pages.lookup import look_up_table
from builder.pages.words import Words
from tests.pages.reading import JOBS, changed, guide_of, page, results_of, seen

PLAIN = JOBS / "quandong-rise.yml"
MEASURED = """
as_built:
  measured: 2026-11-18
  by: crew lead
  tube_length: 1.69 m
  tube_top_above_rim: -40 mm
  water_below_rim: 175 mm
  dips:
    - {on: 2026-11-12, dip: 1.50 m, mark: build}
    - {on: 2026-11-18, dip: 0.61 m, mark: top}
"""
# Tube top 40 mm below the rim: the latest dip is 40 + 610 = 650 mm below it, the foot 40 + 1690 = 1730.


@pytest.fixture(scope="module")
def built(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("measured")
    return changed(folder, "measured", ("\nnotes: |", MEASURED + "\nnotes: |"))


@pytest.mark.parametrize("path", ["water/read.md", "water/rises.md"])
def test_the_working_level_on_a_water_page_is_the_measured_one(built: Path, path: str) -> None:
    plan, text = seen(page(guide_of(PLAIN), path)), seen(page(guide_of(built), path))
    assert "120 mm below the rim" in plan
    assert "175 mm below the rim" in text
    assert "120 mm below the rim" not in text


def test_the_stop_lines_are_those_of_the_measured_pool_and_tube(built: Path) -> None:
    plan, now = results_of(PLAIN), results_of(built)
    words = Words(feet=False)
    text = seen(page(guide_of(built), "water/rises.md"))
    for line in ("watch", "act"):
        build, top = now[f"uplift.{line}_dip_build"].si, now[f"uplift.{line}_dip"].si
        # 40 mm less from a tube top that stands 40 mm lower; a pool 55 mm lower holds less
        assert top == pytest.approx(build - 0.040)
        assert build > plan[f"uplift.{line}_dip_build"].si
        for dip in (build, top):
            assert f"{words.length(dip, 'up')} or less".replace("\u00a0", " ") in text


def test_the_look_up_counts_from_the_measured_tube(built: Path) -> None:
    table = look_up_table(results_of(built), Words(feet=False), one_mark=False)
    assert table is not None
    assert (table["marks"]["mark"]["foot"], table["marks"]["top"]["foot"]) == (1730, 1690)
    for row in table["rows"]:
        assert row["mark"] - row["top"] == 40


def test_todays_water_is_the_latest_dip(built: Path) -> None:
    now = results_of(built)
    assert now["level.groundwater"].si == pytest.approx(0.650)
    assert "650 mm below the rim on 18 November 2026, by a dip" in now["level.groundwater"].reason
    for key in ("rain.forecast_rise", "rain.to_watch"):
        assert now[key].inputs["from_level"].value == pytest.approx(0.650), key
