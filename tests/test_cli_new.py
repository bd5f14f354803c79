"""`new` and `schema --json` as commands: what they write, print, refuse, and how they exit."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from click.testing import Result

from builder.job import read
from tests.test_cli import PROJECT, run

WHOLE = (
    "--title",
    "A yard",
    "--region",
    "nz",
    "--shell",
    "tern-74",
    "--soil",
    "sand",
    "--groundwater",
    "1.9 m",
)


def one_line(result: Result) -> str:
    (line,) = result.stderr.splitlines()
    assert isinstance(result.exception, SystemExit | None)
    return line


def test_new_writes_a_spec_that_passes_check(tmp_path: Path) -> None:
    result = run("new", "AB-1", "--jobs", tmp_path, *WHOLE)
    path = tmp_path / "ab-1.yml"
    assert (result.exit_code, result.stderr) == (0, "")
    assert result.stdout == f"{path}: every required key is filled in\n"
    checked = run("check", path)
    assert (checked.exit_code, checked.stderr) == (0, "")


def test_a_fresh_spec_passes_check_once_its_blanks_are_filled_in(tmp_path: Path) -> None:
    path = tmp_path / "yard.yml"
    result = run("new", path)
    todo = "ref, title, region, shell, ground.soil, ground.groundwater"
    assert result.stdout == f"{path}: fill in {todo}\n"
    assert run("check", path).exit_code == 2
    text = path.read_text(encoding="utf-8")
    blanks = {"ref": "Y-1", "title": "Yard", "region": "us", "shell": "wren-36", "soil": "sand"}
    for key, value in (blanks | {"groundwater": "9 ft"}).items():
        (line,) = [line for line in text.splitlines() if line.strip().startswith(f"{key}: ")]
        text = text.replace(line, line.replace(f"{key}: ", f"{key}: {value} ", 1))
    path.write_text(text, encoding="utf-8")
    checked = run("check", path)
    assert (checked.exit_code, checked.stderr) == (0, "")


def test_new_goes_where_a_bare_name_is_looked_up(tmp_path: Path) -> None:
    assert run("new", "AB-1", *WHOLE, SHELLBED_JOBS=str(tmp_path)).exit_code == 0
    assert run("new", "yard.yml", "--ref", "Y-1", SHELLBED_JOBS=str(tmp_path)).exit_code == 0
    assert run("new", "--ref", "Z-1", "--out", tmp_path / "more").exit_code == 0
    assert sorted(path.name for path in tmp_path.rglob("*.yml")) == ["ab-1.yml", "yard.yml", "z-1.yml"]
    assert run("check", "ab-1", SHELLBED_JOBS=str(tmp_path)).exit_code == 0


def test_new_never_writes_over_a_file(tmp_path: Path) -> None:
    path = tmp_path / "ab-1.yml"
    run("new", "AB-1", "--jobs", tmp_path, *WHOLE)
    before = path.read_bytes()
    result = run("new", "AB-1", "--jobs", tmp_path, *WHOLE)
    assert result.exit_code == 3
    assert (
        one_line(result) == f"{path}: could not be written: a file stands there already. Choose another name."
    )
    assert path.read_bytes() == before
    assert len(list(tmp_path.iterdir())) == 1


def test_a_reference_in_use_is_refused_whatever_the_file_is_called(tmp_path: Path) -> None:
    run("new", tmp_path / "old.yml", "--ref", "AB-1")
    result = run("new", "ab-1", "--jobs", tmp_path, *WHOLE)
    assert result.exit_code == 2
    assert one_line(result) == (
        f"--ref: ab-1 is the reference of {tmp_path / 'old.yml'} already. Give each job one of its own."
    )


def test_wrong_values_are_told_at_once_by_option_and_nothing_is_written(tmp_path: Path) -> None:
    options = ("--region", "nzz", "--shell", "tern-7", "--soil", "sand", "--groundwater", "1,9 m")
    result = run("new", "A B", "--jobs", tmp_path, *options)
    assert result.exit_code == 2
    assert result.stderr.splitlines() == [
        "--ref: 'A B' does not fit: a reference has letters, digits and dashes, and is no word like con, "
        "kept by systems. Write it like QR-0412.",
        "--region: 'nzz' is not in shared/regions. Write nz.",
        "--shell: 'tern-7' is not in shared/shells. Write tern-74.",
        "--groundwater: '1,9 m' has a comma. Write a point, such as 1.9 m.",
    ]
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize(
    ("words", "said"),
    [
        ((), "Name a PATH or a REF"),
        (("AB-1", "--ref", "AB-2"), "REF and --ref differ"),
        (("AB-1", "--from", "orders.csv"), "--from takes every value from its FILE"),
        (("--from", "orders.csv", "--region", "nz"), "--from takes every value from its FILE"),
    ],
)
def test_words_that_contradict_each_other_are_refused(words: tuple[str, ...], said: str) -> None:
    result = run("new", *words)
    assert result.exit_code == 2
    assert said in result.stderr


def test_a_place_that_cannot_be_written_is_one_line(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("")
    result = run("new", tmp_path / "file" / "x.yml")
    assert result.exit_code == 3
    assert "could not be written: " in one_line(result)


ORDERS = (
    "ref;title;region;shell;ground.soil;ground.groundwater;backfill.material\r\n"
    "AB-1;One;nz;tern-74;sand;1.9 m;\r\n"
    "AB-2;Two;nz;tern;sand;1.9;sand\r\n"
    "AB-3;Three;us;quail-60;silt;6 ft;stone-no57\r\n"
)


def test_new_from_a_table_writes_the_good_rows_and_tells_the_bad(tmp_path: Path) -> None:
    table, out = tmp_path / "orders.csv", tmp_path / "jobs"
    table.write_bytes(b"\xef\xbb\xbf" + ORDERS.encode())
    result = run("new", "--from", table, "--out", out)
    assert result.exit_code == 2
    assert result.stdout.splitlines() == [
        f"{out / 'ab-1.yml'}: row 2, AB-1",
        f"{out / 'ab-3.yml'}: row 4, AB-3",
        "2 of 3 rows written",
    ]
    told = result.stderr.splitlines()
    assert [line.split(": ")[:2] for line in told] == [
        [f"{table}:3:4", "shell"],
        [f"{table}:3:6", "ground.groundwater"],
        [f"{table}:3:7", "backfill.material"],
    ]
    assert read(out / "ab-3.yml").spec.backfill.material == "stone-no57"
    assert run("check", out).exit_code == 0
    links = {read(path).spec.link for path in out.iterdir()}
    assert len(links) == 2


def test_a_table_taken_a_second_time_writes_over_nothing(tmp_path: Path) -> None:
    table, out = tmp_path / "orders.csv", tmp_path / "jobs"
    table.write_text("\n".join(ORDERS.splitlines()[:2]), encoding="utf-8")
    run("new", "--from", table, "--out", out)
    before = (out / "ab-1.yml").read_bytes()
    result = run("new", "--from", table, "--out", out)
    assert (result.exit_code, result.stdout) == (2, "0 of 1 rows written\n")
    assert "AB-1 is the reference of" in one_line(result)
    assert (out / "ab-1.yml").read_bytes() == before


def test_a_file_of_that_name_with_another_job_stays(tmp_path: Path) -> None:
    table, out = tmp_path / "orders.csv", tmp_path / "jobs"
    table.write_text("\n".join(ORDERS.splitlines()[:2]), encoding="utf-8")
    out.mkdir()
    (out / "ab-1.yml").write_text("ref: OTHER\n", encoding="utf-8")
    result = run("new", "--from", table, "--out", out)
    assert result.exit_code == 3
    assert "a file stands there already" in one_line(result)
    assert (out / "ab-1.yml").read_text(encoding="utf-8") == "ref: OTHER\n"


def test_schema_json_prints_the_kept_schema() -> None:
    result = run("schema", "--json")
    assert result.exit_code == 0
    kept = (PROJECT / "shared" / "job.schema.json").read_text(encoding="utf-8")
    assert result.stdout == kept
    assert json.loads(kept)["title"] == "Shellbed job spec"
