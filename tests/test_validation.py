"""VALIDATION.md is what the published tests say today, and its maker sees what it should."""

import ast
from types import ModuleType

import pytest

from tests import validation


@pytest.fixture(scope="module")
def rows() -> list[validation.Row]:
    return validation.rows()


def test_the_page_is_up_to_date(rows: list[validation.Row]) -> None:
    assert validation.PAGE.read_text(encoding="utf-8") == validation.page(rows), "run: make validation"


def test_every_published_test_file_gives_rows_with_a_source(rows: list[validation.Row]) -> None:
    assert len({row.topic for row in rows}) == len(validation.TESTS) >= 6
    assert len(rows) > 250
    assert sum(row.trap for row in rows) >= 10  # numbers in print that ours must not give
    assert all(row.source for row in rows)


def test_nearly_every_row_names_what_was_called(rows: list[validation.Row]) -> None:
    named = [row for row in rows if row.functions]
    assert len(named) > 0.9 * len(rows)
    assert {name.split(".")[0] for row in named for name in row.functions} >= {
        *("uplift", "walls", "pump", "wells", "standpipe", "valve", "filters", "rain", "dig", "Profile")
    }


def test_what_is_compared_is_written_down_and_what_is_not_is_left_alone() -> None:
    text = (
        "import pytest\n"
        "def test_a_thing():\n"
        "    assert 2.0 == pytest.approx(2.1, rel=0.1), 'a book'\n"
        "    assert 2.0 != pytest.approx(20.0, abs=1), 'a wrong book'\n"
        "    assert 3.0 == pytest.approx(3.0)\n"
        "    assert 3.0 < 4.0, 'a book'\n"
    )
    recorder = validation.Recorder()
    module = ModuleType("invented")
    vars(module)[validation.RECORD] = recorder
    code = validation._recording(ast.parse(text), validation.PAGE)
    exec(code, vars(module))  # noqa: S102 the text above
    module.test_a_thing()
    seen = [(row.ours, row.printed, row.allowed, row.source, row.trap) for row in recorder.rows]
    assert seen == [(2.0, 2.1, "10 %", "a book", False), (2.0, 20.0, "1", "a wrong book", True)]
