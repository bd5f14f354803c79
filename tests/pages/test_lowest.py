"""The table a reader holds a dip against says what uplift.lowest_water says, from his own marks."""

from pathlib import Path

import pytest

from builder.checks import Results
from builder.pages.lowest import dip_rows
from builder.pages.words import Words
from tests.pages.reading import JOBS, changed, results_of


def millimetres(text: str) -> float:
    """Return the number in a bold length; above the mark is negative."""
    size = text.split('<b class="n">')[1].split("\u00a0mm")[0]
    return float(size.replace(",", "")) * (-1 if "above" in text else 1)


def test_every_row_of_the_table_is_told_from_both_marks(results: Results) -> None:
    rows = dip_rows(results, Words(feet=False))
    records = results["uplift.lowest_water"].table.records()
    assert len(rows) == len(records)
    for row, record in zip(rows, records, strict=True):
        assert millimetres(row.from_mark) == pytest.approx(record["groundwater"] * 1000, abs=0.51)
        top = (record["groundwater"] - results.levels.tube_top) * 1000
        assert millimetres(row.from_top) == pytest.approx(top, abs=0.51)


def test_a_row_says_raise_where_the_working_level_is_too_low_and_stop_where_no_level_holds(
    results: Results,
) -> None:
    for row, record in zip(
        dip_rows(results, Words(feet=False)), results["uplift.lowest_water"].table.records(), strict=True
    ):
        lowest = record["lowest"]
        if lowest is None:
            assert (row.state, row.lowest) == ("stop", "")
        else:
            assert row.state == ("raise" if lowest < results.levels.water else "holds")
            assert millimetres(row.lowest) <= lowest * 1000 + 1e-6  # rounded towards more water
            assert millimetres(row.lowest) > lowest * 1000 - 5


def test_the_row_of_today_is_the_next_one_above_the_groundwater(tmp_path: Path) -> None:
    # by hand: 0.87 m below ground, rim 0.05 m above it: 0.92 m below the rim, so the row at 0.9 m
    spec = changed(
        tmp_path,
        "higher",
        ("groundwater: 1.9 m ", "groundwater: 0.87 m "),
        ("highest_known: 1.2 m", "highest_known: 0.8 m"),
    )
    today = [row for row in dip_rows(results_of(spec), Words(feet=False)) if row.today]
    assert [row.from_mark for row in today] == ['<b class="n">900\u00a0mm</b>']


def test_by_hand_the_first_row_of_the_demo_job_that_holds() -> None:
    # tube top: 30 mm below the lid, paving 40 mm above the rim: 10 mm above the rim; so 10 mm more from there
    rows = dip_rows(results_of(JOBS / "quandong-rise.yml"), Words(feet=False))
    assert millimetres(rows[5].from_top) - millimetres(rows[5].from_mark) == 10
