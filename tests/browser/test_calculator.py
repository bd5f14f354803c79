"""The calculator of the standpipe page, typed into as people do, against the Python function."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from tests.browser.calculator import Reading, differences, expected, table_in, table_of, typed
from tests.browser.sites import JOBS, SENT, Built
from tests.browser.watched import Watched
from tests.website.readings import NOT_READINGS, READINGS

FEET = "sagebrush-court"
METRIC_READINGS = [one for one in READINGS if one[1] != "in"]
INCH_READINGS = [one for one in READINGS if one[1] == "in"]
TYPED_ONLY: list[Reading] = [  # what a thumb on a phone makes besides
    ("mark", "mm", "١٢", "120"), ("mark", "mm", "+900", "120"), ("mark", "mm", "0x10", "120"),
    ("mark", "mm", "900.", "120"), ("mark", "mm", "900,", "120"), ("mark", "mm", "½", "120"),
    ("mark", "mm", "99999", "120"), ("mark", "mm", "NaN", "120"), ("mark", "mm", "900 120", "120"),
    ("mark", "m", "-0,5", "0.1"), ("mark", "m", ".5", "0.1"), ("mark", "m", "1.8", "0.1"),
    ("top", "mm", "1733", "120"), ("mark", "mm", "900", "-1"), ("mark", "mm", "900", "zwölf"),
]  # fmt: skip


def can_be_typed(reading: Reading) -> bool:
    return reading[0] in {"mark", "top"} and reading[1] in {"mm", "m"} and "\n" not in reading[2]


REFUSED = [one for one in NOT_READINGS if can_be_typed(one)] + TYPED_ONLY


@pytest.mark.parametrize("job", JOBS)
def test_the_page_holds_the_very_table_that_python_works_out(job: str, built: Built) -> None:
    held, worked = table_in(built.guides[job] / "water" / "read.html"), table_of(JOBS[job])
    for part in ("rows", "floor", "units", "say", "words"):
        # with one mark the page leaves out the second, which stands level with it
        rows = [{key: row[key] for key in row if key in held["rows"][0]} for row in worked["rows"]]
        assert held[part] == (rows if part == "rows" else worked[part])


def test_fifty_readings_typed_in_a_browser_give_what_python_gives(
    built: Built, address: str, opened: Callable[..., Watched]
) -> None:
    pages = built.guides[SENT] / "water" / "read.html", built.guides[FEET] / "water" / "read.html"
    marks = table_in(pages[1])["marks"]
    feet = [("mark" if one[0] not in marks else one[0], *one[1:]) for one in INCH_READINGS]
    assert len(METRIC_READINGS) + len(feet) >= 50
    metric = table_of(JOBS[SENT])
    assert {expected(metric, one).split(" | ")[0] for one in METRIC_READINGS} >= {
        "holds", "watch", "raise", "stop", "above",
    }  # fmt: skip
    wrong = differences(opened().goto(pages[0]), metric, METRIC_READINGS)
    served = f"{address}/{pages[1].relative_to(built.root).as_posix()}"
    wrong += differences(opened().goto(served), table_of(JOBS[FEET]), feet)
    assert not wrong, "\n".join(wrong)


def test_what_is_no_reading_is_refused_and_never_read_as_another(
    built: Built, opened: Callable[..., Watched]
) -> None:
    table = table_of(JOBS[SENT])
    assert len(set(REFUSED)) >= 20
    assert {expected(table, one).split(" | ")[0] for one in REFUSED} == {"refused"}
    page = opened().goto(built.guides[SENT] / "water" / "read.html")
    wrong = differences(page, table, REFUSED)
    assert not wrong, "\n".join(wrong)


def test_a_comma_is_a_point_where_metres_are_typed_and_nothing_where_millimetres_are(
    built: Built, opened: Callable[..., Watched]
) -> None:
    page, table = opened().goto(built.guides[SENT] / "water" / "read.html"), table_of(JOBS[SENT])
    assert expected(table, ("mark", "m", "0,5", "0,12")) == expected(table, ("mark", "mm", "500", "120"))
    assert expected(table, ("mark", "mm", "0,5", "120")).startswith("refused")
    both: list[Reading] = [("mark", "m", "0,5", "0,12"), ("mark", "mm", "0,5", "120")]
    assert differences(page, table, both) == []


def test_the_row_that_counts_is_marked_and_the_mark_goes_with_the_answer(
    built: Built, opened: Callable[..., Watched]
) -> None:
    page, table = opened().goto(built.guides[SENT] / "water" / "read.html"), table_of(JOBS[SENT])
    typed(page, ("mark", "mm", "1000", "500"))
    marked = page.locator("tr.yours")
    assert marked.count() == 1
    row = max(row["mark"] for row in table["rows"] if row["mark"] <= 1000)
    words = next(one["mark_words"] for one in table["rows"] if one["mark"] == row)
    assert marked.locator("td").first.inner_text() == words
    assert page.locator("#dip-answer b").is_visible()
    page.keyboard.type("1")
    assert marked.count() == 0
    assert page.locator("#dip-answer").inner_text() == ""
