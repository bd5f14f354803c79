"""Which jobs that went out a row touched, and which stop lines would be other today."""

from __future__ import annotations

import json
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from builder import pages
from builder.catalogue import Catalogue, load
from builder.errors import InputFaults
from builder.pack import where_used
from builder.pack.used import Touched
from builder.yamlfile import Text
from tests.pack.jobs import pack


def asked(name: str, root: Path, catalogue: Catalogue | None = None) -> list[Touched]:
    return where_used(name, root / "issued", catalogue or load(), pages.questions())


def corrected(shelf: str, name: str, **values: Any) -> Catalogue:
    """Return the catalogue with other values in one row."""
    catalogue = load()
    rows = dict(getattr(catalogue, shelf))
    rows[name] = replace(rows[name], **values)
    catalogue.__dict__[shelf] = rows
    return catalogue


@pytest.fixture
def two_jobs(tmp_path: Path, quick: None) -> Path:
    """Return a folder with two jobs that went out, the first in two issues."""
    pack(tmp_path)
    pack(tmp_path, issue="B", day="25", soil="silty-sand")
    pack(tmp_path, ref="PK-2", link="c" * 26)
    return tmp_path


@pytest.mark.parametrize(
    "name",
    ["tern-74", "shells/tern-74", "au-nsw", "pvc-dn65-pn9", "bedding-gravel-7", "q-how-heavy"],
)
def test_every_issue_a_row_or_question_touched_is_listed(two_jobs: Path, name: str) -> None:
    found = asked(name, two_jobs)
    assert [(one.record.ref, one.record.issue) for one in found] == [
        ("PK-1", "A"),
        ("PK-1", "B"),
        ("PK-2", "A"),
    ]
    lines = [line for one in found for line in one.lines()]
    assert lines[0].endswith("; issue B took its place")
    assert lines[1].endswith("; no stop line would move")


def test_a_row_only_an_older_issue_used_says_which_took_its_place(two_jobs: Path) -> None:
    found = asked("sandy-gravel", two_jobs)
    assert [(one.record.ref, one.record.issue, one.newest) for one in found] == [
        ("PK-1", "A", "B"),
        ("PK-2", "A", "A"),
    ]


def test_a_source_is_found_by_the_rows_and_numbers_that_name_it(two_jobs: Path) -> None:
    source = load().shells["tern-74"].source
    assert len(asked(source, two_jobs)) == 3


def test_a_corrected_part_says_which_stop_lines_would_move_from_what_to_what(two_jobs: Path) -> None:
    """A lighter shell floats sooner: watch and act lines stand deeper, and the empty one bears less."""
    row = load().shells["tern-74"]
    mass = Text("500 kg", 1, 1)
    lighter = corrected("shells", row.id, spec=replace(row.spec, entries={**row.spec.entries, "mass": mass}))
    newest = [one for one in asked(row.id, two_jobs, lighter) if one.newest == one.record.issue]
    assert len(newest) == 2
    for one in newest:
        moved = {key: (before["value"], now["value"]) for key, before, now in one.moved}
        before, now = moved["uplift.float_height"]
        assert now < before
        said = f"  uplift.float_height  {before:.6g} m -> {now:.6g} m"
        assert said in list(one.lines())


def test_a_corrected_part_that_moves_no_stop_line_says_so(two_jobs: Path) -> None:
    pipe = load().pipes["pvc-dn65-pn9"]
    found = asked(pipe.id, two_jobs, corrected("pipes", pipe.id, sold_lengths=(*pipe.sold_lengths, 9.0)))
    assert [one.moved for one in found] == [()] * 3


def test_a_job_of_another_row_is_not_listed(two_jobs: Path) -> None:
    assert asked("heron-82", two_jobs) == []


def test_an_unknown_id_is_a_fault_with_the_nearest_known(two_jobs: Path) -> None:
    with pytest.raises(InputFaults) as refused:
        asked("tern-75", two_jobs)
    said = "shared:1:1: no row, source or question is called 'tern-75'. Write tern-74."
    assert str(refused.value) == said


def test_a_row_that_is_gone_today_is_known_by_the_records_and_its_job_told(two_jobs: Path) -> None:
    catalogue = load()
    catalogue.__dict__["pipes"] = {
        name: row for name, row in catalogue.pipes.items() if name != "pvc-dn65-pn9"
    }
    newest = [one for one in asked("pvc-dn65-pn9", two_jobs, catalogue) if one.newest == one.record.issue]
    assert len(newest) == 2
    assert all(one.faults and "can't be worked any more" in next(one.lines()) for one in newest)


def test_it_is_plain_json_too(two_jobs: Path) -> None:
    found = json.loads(json.dumps([one.as_json() for one in asked("tern-74", two_jobs)]))
    assert found[0]["ref"] == "PK-1"
    assert found[0]["named"] == ["shells/tern-74"]
    assert found[1]["moved"] == {}


def test_with_no_record_at_all_nothing_was_touched(tmp_path: Path) -> None:
    assert asked("tern-74", tmp_path) == []
