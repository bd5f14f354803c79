"""The look-up of a dip: limits on their safe side, the next worse row, and refusals."""

import json
import math
from pathlib import Path
from typing import Any

import pytest

from builder.checks import Results
from builder.pages.lookup import answer, as_data, look_up_table, millimetres
from builder.pages.words import Words
from tests.pages.reading import JOBS, guide_of, page, results_of

DEMO = JOBS / "quandong-rise.yml"


@pytest.fixture(scope="module")
def table() -> dict[str, Any]:
    made = look_up_table(results_of(DEMO), Words(feet=False), one_mark=False)
    assert made is not None
    return made


def test_every_limit_of_the_table_lies_on_the_side_of_more_water(results: Results) -> None:
    made = look_up_table(results, Words(feet=False), one_mark=False)
    assert made is not None
    records = sorted(results["uplift.lowest_water"].table.records(), key=lambda row: row["groundwater"])
    for row, record in zip(made["rows"], records, strict=True):
        assert row["mark"] >= record["groundwater"] * 1000 - 1e-6
        assert row["top"] >= (record["groundwater"] - results.levels.tube_top) * 1000 - 1e-6
        if record["lowest"] is None:
            assert row["lowest"] is None
        else:
            assert row["lowest"] <= record["lowest"] * 1000 + 1e-6
    for mark, names in (("mark", "{}_dip_build"), ("top", "{}_dip")):
        for line in ("watch", "act"):
            number = results["uplift." + names.format(line)]
            if number.value is None:
                assert made["marks"][mark][line] is None
            else:
                assert made["marks"][mark][line] >= number.si * 1000 - 1e-6


@pytest.mark.parametrize(
    ("dip", "pool", "kind", "row"),
    [
        # rows every 100 mm of dip from the build mark; by hand from numbers: lowest null at 0 to 300 mm,
        # 119.9 mm at 400, 234.5 at 500; printed 115 and 230; watch 405, act 220; working level 120
        ("0", "120", "stop", 0),
        ("399", "60", "stop", 3),
        ("400", "115", "watch", 4),
        ("400", "116", "raise", 4),
        ("405", "115", "watch", 4),
        ("406", "115", "holds", 4),
        ("499", "115", "holds", 4),
        ("499", "120", "raise", 4),
        ("500", "120", "holds", 5),
        ("500", "231", "raise", 5),
        ("1722", "1550", "holds", 17),
        ("1722", "1551", "raise", 17),
        ("1723", "120", "refused", None),
        ("900", "1700", "raise", 9),
        ("900", "1701", "refused", None),
    ],
)
def test_between_two_rows_the_one_with_higher_groundwater_counts(
    table: dict[str, Any], dip: str, pool: str, kind: str, row: int | None
) -> None:
    found = answer(table, "mark", "mm", dip, pool)
    assert (found.kind, found.row) == (kind, row)


def test_from_the_tube_top_the_same_water_gives_the_same_row(table: dict[str, Any]) -> None:
    # the tube top stands 10 mm above the rim
    for dip in range(0, 1723, 7):
        assert (
            answer(table, "top", "mm", str(dip + 10), "120").row
            == answer(table, "mark", "mm", str(dip), "120").row
        )
    assert answer(table, "top", "mm", "9", "120").kind == "above"


def test_a_smaller_dip_or_a_lower_pool_is_never_told_better(table: dict[str, Any]) -> None:
    worse = ["holds", "watch", "raise", "act", "stop", "above"]
    for pool in (0, 60, 120, 300, 900, 1500):
        told = [
            worse.index(answer(table, "mark", "mm", str(dip), str(pool)).kind) for dip in range(1722, -1, -3)
        ]
        assert told == sorted(told)
    for dip in (100, 420, 900, 1500):
        told = [
            worse.index(answer(table, "mark", "mm", str(dip), str(pool)).kind) for pool in range(0, 1701, 3)
        ]
        assert told == sorted(told)


@pytest.mark.parametrize(
    ("typed", "unit", "down", "up"),
    [
        ("1250", "mm", 1250, 1250),
        (" 1,250 mm ", "mm", 1250, 1250),
        ("1.25", "m", 1250, 1250),
        ("1,25 m", "m", 1250, 1250),
        ("0,5", "m", 500, 500),
        ("2", "m", 2000, 2000),
        ("10", "in", 254, 254),
        ("49 1/4", "in", 1250, 1251),  # 49.25 x 25.4 = 1250.95
        ("4 ft 1 1/4 in", "in", 1250, 1251),
        ("4' 1 1/4\"", "in", 1250, 1251),
        ("1/2", "in", 12, 13),
        ("3.5", "in", 88, 89),  # 88.9
        ("3 ft", "in", 914, 915),  # 914.4
    ],
)
def test_what_was_typed_is_read_as_millimetres_towards_the_worse_side(
    typed: str, unit: str, down: int, up: int
) -> None:
    assert (millimetres(typed, unit, up=False), millimetres(typed, unit, up=True)) == (down, up)


def test_inches_are_read_as_they_are_worked_out_by_fractions() -> None:
    for sixteenth in range(1, 16):
        for whole in (0, 7, 71):
            exact = (whole + sixteenth / 16) * 25.4
            typed = f"{whole} {sixteenth}/16"
            assert millimetres(typed, "in", up=False) == math.floor(exact + 1e-9)
            assert millimetres(typed, "in", up=True) == math.ceil(exact - 1e-9)


def test_the_data_of_a_page_holds_no_sign_of_html_and_reads_back(table: dict[str, Any]) -> None:
    text = as_data({"a": "</script><b>&", **table})
    assert not set(text) & set("<>&")
    assert json.loads(text)["a"] == "</script><b>&"
    assert json.loads(as_data(table)) == table


@pytest.mark.parametrize("spec", sorted(JOBS.glob("*.yml")), ids=lambda path: path.stem)
def test_the_page_holds_the_table_of_its_job(spec: Path) -> None:
    text = page(guide_of(spec), "water/read.md").markdown
    data = text.split('id="dip-data">')[1].split("</script>")[0]
    rows = json.loads(data)["rows"]
    assert len(rows) == len(results_of(spec)["uplift.lowest_water"].table.records())
