"""What moved since an earlier issue, as the start page tells it."""

from __future__ import annotations

import copy
import json
from pathlib import Path
from typing import Any

import pytest

from builder import making, pages
from builder.checks import Results, against
from builder.pages.changed import Changed, Earlier, changed
from builder.pages.words import Words

PROJECT = Path(__file__).resolve().parents[2]


@pytest.fixture(scope="module")
def worked() -> Results:
    return making.results(PROJECT / "jobs" / "quandong-rise.yml")


@pytest.fixture
def entries(worked: Results) -> dict[str, Any]:
    return copy.deepcopy(json.loads(json.dumps(worked.as_json())))


def since(entries: dict[str, Any], worked: Results, feet: bool = False) -> Changed:
    found = changed(Earlier("A", entries), worked, Words(feet))
    assert found is not None
    return found


def home(entries: dict[str, Any], worked: Results) -> str:
    return pages.render(worked, earlier=Earlier("A", entries)).pages[0].markdown


def test_nothing_moved_is_said_in_one_sentence(entries: dict[str, Any], worked: Results) -> None:
    found = since(entries, worked)
    assert (found.stop_lines, found.others) == ((), ())
    assert "Every number you work by reads as it did in issue A." in home(entries, worked)


def test_a_moved_stop_line_stands_first_with_both_values_rounded_as_pages_do(
    entries: dict[str, Any], worked: Results
) -> None:
    """0.4 m before is 400 mm; the act dip now is the job's own."""
    entries["uplift.act_dip"]["value"] = 0.4
    entries["level.water"]["value"] = 0.2
    entries["dig.people"]["verdict"] = "stop"
    found = since(entries, worked)
    assert [row.number.key for row in found.stop_lines] == ["dig.people", "uplift.act_dip"]
    assert [row.number.key for row in found.others] == ["level.water"]
    assert found.stop_lines[1].before == '<b class="n">400\u00a0mm</b>'
    markdown = home(entries, worked)
    assert markdown.count("{#changed}") == 1
    stop, other = (
        markdown.index("Stop lines that moved since issue A"),
        markdown.index("Other numbers that moved"),
    )
    assert (
        stop
        < markdown.index("400\u00a0mm")
        < other
        < markdown.index("200\u00a0mm")
        < markdown.index("{#stops}")
    )


def test_a_number_that_reads_the_same_is_not_told(entries: dict[str, Any], worked: Results) -> None:
    entries["level.bedding_base"]["value"] += 0.0001
    assert since(entries, worked).others == ()


def test_a_working_number_is_told_only_where_its_verdict_moved(
    entries: dict[str, Any], worked: Results
) -> None:
    entries["wall.k_needed"]["value"] = 9.0
    assert since(entries, worked).others == ()
    entries["wall.k_needed"]["verdict"] = "watch"
    (row,) = since(entries, worked).others
    assert (str(row.before).count(">watch<"), str(row.now).count(">ok<")) == (1, 1)
    assert "9" not in row.before


def test_a_table_says_that_its_rows_are_other_and_links_to_them(
    entries: dict[str, Any], worked: Results
) -> None:
    entries["fill.stages"]["value"]["rows"].pop()
    (row,) = since(entries, worked).stop_lines
    assert (row.before, row.now) == ("a table", "a table with other rows")
    assert "(working.md#fill-stages)" in home(entries, worked)


def test_a_range_is_told_by_its_ends(entries: dict[str, Any], worked: Results) -> None:
    lag = entries["ground.lag_90"]
    lag["low"], lag["value"], lag["high"] = 3 * 3600.0, 4 * 3600.0, 7 * 3600.0
    (row,) = since(entries, worked).others
    assert row.before == '<b class="n">3\u00a0hours</b> to <b class="n">7\u00a0hours</b>'
    lag["low"] = lag["high"] = 4 * 3600.0
    (row,) = since(entries, worked).others
    assert row.before == '<b class="n">4\u00a0hours</b>'


def test_every_number_that_moved_can_be_worded(entries: dict[str, Any], worked: Results) -> None:
    """All at once, in millimetres and in feet: no unit is without its words."""
    for entry in entries.values():
        for part in ("value", "low", "high"):
            if isinstance(entry.get(part), int | float):
                entry[part] = entry[part] * 3 + 1
    for feet in (False, True):
        found = since(entries, worked, feet)
        assert len(found.stop_lines) + len(found.others) > 40


def test_a_number_that_had_none_or_has_none_says_none(entries: dict[str, Any], worked: Results) -> None:
    entries["uplift.act_dip"]["value"] = None
    (row,) = since(entries, worked).stop_lines
    assert row.before == "none"


def test_without_an_earlier_issue_there_is_nothing_to_tell(worked: Results) -> None:
    assert changed(None, worked, Words(False)) is None


def test_apart_finds_the_same_numbers_as_the_whole_comparison(
    entries: dict[str, Any], worked: Results
) -> None:
    entries["uplift.act_dip"]["value"] = 0.4
    entries["level.water"]["value"] = 0.2
    entries["dig.people"]["verdict"] = "stop"
    now = {key: number.as_json() for key, number in worked.items()}
    assert set(against.apart(entries, now)) == {one.key for one in against.compare(entries, worked).moved}
