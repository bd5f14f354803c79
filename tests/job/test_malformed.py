"""The written list: every malformed spec brings its one fault, in its place, with its remedy."""

from __future__ import annotations

import time
from collections.abc import Callable
from pathlib import Path

import pytest

from builder.errors import Fault

Find = Callable[[str], tuple[Fault, ...]]


def _blocks() -> list[tuple[str, str, str]]:
    text = (Path(__file__).parent / "malformed.txt").read_text(encoding="utf-8")
    rows = []
    for block in text.split("\n\n"):
        lines = [line for line in block.splitlines() if not line.startswith("#")]
        if lines:
            old, new, fault = (line[2:].replace("⏎", "\n").replace("⇥", "\t") for line in lines)
            rows.append((old, new, fault))
    return rows


ROWS = _blocks()


def test_the_written_list_is_long_enough() -> None:
    assert len(ROWS) >= 100


@pytest.mark.parametrize(("old", "new", "fault"), ROWS, ids=[fault.split(". ")[0] for _, _, fault in ROWS])
def test_a_malformed_spec_brings_its_one_fault(
    old: str, new: str, fault: str, full: str, faults_of: Find
) -> None:
    assert full.count(old) == 1
    text = full.replace(old, new)
    start = time.process_time()
    found = faults_of(text)
    assert time.process_time() - start < 0.5
    assert [str(one) for one in found] == [f"job.yml:{fault}"]


def test_all_faults_of_a_file_come_in_one_go(full: str, faults_of: Find) -> None:
    text = full
    edits = [
        ("wall: 7 mm", "wall: 7"),
        ("thickness: 75 mm", "thickness: 75"),
        ("tidal: no", "tidal: 0"),
        ("soil: stiff-clay", "soil: clay-stiff"),
        ("[7.4 m, 1.70 m]]", "[7.0 m, 1.70 m]]"),
        ("slot_length: 30 mm", "slot_length: 90 mm"),
    ]
    for old, new in edits:
        text = text.replace(old, new)
    assert [fault.path for fault in faults_of(text)] == [
        "shell.floor[2]",
        "shell.wall",
        "ground.soil",
        "ground.tidal",
        "bedding.thickness",
        "standpipe.rows",
    ]


def test_geometry_is_looked_at_although_other_parts_are_broken(full: str, faults_of: Find) -> None:
    text = full.replace("[4.8 m, 1.70 m]", "[8 m, 1.70 m]").replace("region: au-nsw", "region: mars")
    assert [fault.path for fault in faults_of(text)] == ["region", "shell.floor[2]"]


def test_too_long_texts_are_refused_with_their_length(full: str, faults_of: Find) -> None:
    long_notes = full[: full.index("notes: |")] + "notes: " + "x" * 4001 + "\n"
    (fault,) = faults_of(long_notes)
    assert (fault.path, fault.instead) == ("notes", "Keep it to 4000 at most")
    assert "4001 characters" in fault.wrong
    assert not faults_of(long_notes.replace("x" * 4001, "x" * 4000))
    title = full.replace("title: Quandong Rise", "title: " + "Q" * 80)
    assert not faults_of(title)
    assert [fault.path for fault in faults_of(title.replace("Q" * 80, "Q" * 81))] == ["title"]


def test_a_huge_number_is_echoed_short(full: str, faults_of: Find) -> None:
    for old, new in (("mass: 780 kg", f"mass: {'9' * 5000} kg"), ("rows: 3", f"rows: {'9' * 5000}")):
        (fault,) = faults_of(full.replace(old, new))
        assert len(str(fault)) < 200


def test_hostile_text_is_echoed_on_one_line_without_control_characters(full: str, faults_of: Find) -> None:
    text = full.replace("region: au-nsw", 'region: "au\\e[31m\\nnsw\\u202e"')
    (fault,) = faults_of(text)
    assert str(fault).isprintable()


def test_an_unknown_key_that_is_no_plain_word_stays_out_of_the_path(full: str, faults_of: Find) -> None:
    (fault,) = faults_of(full + '"a: b\\nfile:1:1": 1\n')
    assert fault.path == ""
    assert str(fault).isprintable()


def test_a_thousand_unknown_keys_are_told_short_and_fast(full: str, faults_of: Find) -> None:
    text = full + "".join(f"key{n}: 1\n" for n in range(5000))
    start = time.process_time()
    found = faults_of(text)
    assert time.process_time() - start < 2.0  # 5,000 lines more than a spec has
    assert len(found) == 21
    assert "4980 more keys" in found[-1].wrong


def test_a_file_full_of_faults_stops_at_two_hundred(full: str, faults_of: Find) -> None:
    dips = ", ".join("{on: never, dip: 1}" for _ in range(400))
    text = full.replace(
        "dips: [{on: 2026-12-01, dip: 1.62 m, mark: top, pool_below_rim: 130 mm}]", f"dips: [{dips}]"
    )
    assert len(faults_of(text)) == 200
