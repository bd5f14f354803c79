"""The command line: what it prints, where, and how it exits."""

from __future__ import annotations

import json
import math
import os
import re
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner, Result

from builder.cli import main
from builder.job import TABLE
from tests.job.test_malformed import ROWS

PROJECT = Path(__file__).resolve().parents[1]
DEMOS = sorted((PROJECT / "jobs").glob("*.yml"))
FULL = (PROJECT / "tests" / "job" / "full.yml").read_text(encoding="utf-8")
FAULT = re.compile(r"\S.*:\d+:\d+: .+\.")

SOUND = """ref: {ref}
title: Sound
region: au-nsw
shell: tern-74
ground: {{soil: {soil}, groundwater: 4 m}}
"""
"""In sandy-gravel all is fine; in sand a filter face stops the job; of clays the grading is not known."""


def run(*words: object, **environment: str) -> Result:
    return CliRunner(env=environment).invoke(main, [str(word) for word in words])


def whole(*words: object, cwd: Path = PROJECT) -> subprocess.CompletedProcess[str]:
    """Run the command in a process of its own."""
    environment = {**os.environ, "PYTHONPATH": str(PROJECT)}
    command = [sys.executable, "-m", "builder", *map(str, words)]
    return subprocess.run(command, cwd=cwd, env=environment, capture_output=True, text=True, check=False)


def spec(folder: Path, soil: str = "sandy-gravel", ref: str = "SB-1", more: str = "") -> Path:
    path = folder / f"{ref.lower()}.yml"
    path.write_text(SOUND.format(ref=ref, soil=soil) + more, encoding="utf-8")
    return path


def faults(result: Result) -> list[str]:
    """Return the lines on stderr; each is one fault, and nothing is a traceback."""
    lines = result.stderr.splitlines()
    assert all(FAULT.fullmatch(line) for line in lines), result.stderr
    assert isinstance(result.exception, SystemExit | None)
    return lines


# check


def test_check_names_the_job_and_counts_its_verdicts(tmp_path: Path) -> None:
    path = spec(tmp_path, soil="sand")
    result = run("check", path)
    lines = result.stdout.splitlines()
    assert (result.exit_code, result.stderr) == (0, "")
    assert lines[0] == f"{path}: SB-1 Sound"
    assert lines[1].startswith("  stop: ")
    assert re.fullmatch(r"  \d+ numbers: 4 stop, 0 cannot tell, \d+ to watch", lines[-1])


def test_check_says_each_reason_once_worst_first() -> None:
    lines = run("check", PROJECT / "jobs" / "bracken-hill.yml").stdout.splitlines()[1:-1]
    order = ["stop", "cannot tell", "watch"]
    verdicts = [line.strip().partition(":")[0] for line in lines]
    assert verdicts == sorted(verdicts, key=order.index)
    assert len(set(lines)) == len(lines)


@pytest.mark.parametrize(
    ("soil", "code"), [("sandy-gravel", 0), ("sand", 1), ("sandy-clay", 1), ("stiff-clay", 1)]
)
def test_strict_fails_on_a_stop_and_on_an_unknown_filter(tmp_path: Path, soil: str, code: int) -> None:
    assert run("check", "--strict", spec(tmp_path, soil=soil)).exit_code == code
    assert run("check", spec(tmp_path, soil=soil)).exit_code == 0


@pytest.mark.parametrize(
    ("group", "more"),
    [
        ("uplift.", "ground.groundwater"),  # not seen, nor waited for: today's safety is not known
        ("wall.", "shell"),  # a shell without a wall limit
    ],
)
def test_strict_fails_on_an_unknown_uplift_or_wall(tmp_path: Path, group: str, more: str) -> None:
    path = spec(tmp_path)
    text = path.read_text(encoding="utf-8")
    old, new = ("groundwater: 4 m", "groundwater: {not_seen_to: 1 m}")
    if more == "shell":
        old, new = ("shell: tern-74", "shell: quail-60")
    path.write_text(text.replace(old, new), encoding="utf-8")
    numbers = json.loads(run("numbers", "--json", path).stdout)
    unknown = {key for key, entry in numbers.items() if entry["verdict"] == "cannot tell"}
    stops = {key for key, entry in numbers.items() if entry["verdict"] == "stop"}
    assert any(key.startswith(group) for key in unknown)
    answers = "".join(f"  - {{check: {key}, by: engineer, reason: looked at}}\n" for key in sorted(stops))
    if answers:
        path.write_text(path.read_text(encoding="utf-8") + "accepted:\n" + answers, encoding="utf-8")
    assert run("check", "--strict", path).exit_code == 1


def test_stops_that_someone_answers_for_pass_and_are_still_said(tmp_path: Path) -> None:
    stops = ("filter.ground_backfill.retention", "filter.ground_backfill")
    stops += ("filter.ground_bedding.retention", "filter.ground_bedding")
    rows = [f"  - {{check: {key}, by: engineer, reason: a fabric is laid}}\n" for key in stops]
    all_four = run("check", "--strict", spec(tmp_path, "sand", more="accepted:\n" + "".join(rows)))
    assert all_four.exit_code == 0
    assert "(answered for by engineer: a fabric is laid)" in all_four.stdout
    assert "4 stop" in all_four.stdout
    three = run("check", "--strict", spec(tmp_path, "sand", more="accepted:\n" + "".join(rows[:3])))
    assert three.exit_code == 1


def test_an_answer_for_a_number_that_there_is_not_is_refused(tmp_path: Path) -> None:
    more = "accepted:\n  - {check: filter.ground_backfil, by: engineer, reason: none}\n"
    result = run("check", spec(tmp_path, more=more))
    assert result.exit_code == 2
    (line,) = faults(result)
    assert line.endswith("Write filter.ground_backfill.")
    assert ":7:13: accepted[0].check: " in line


# numbers


@pytest.mark.parametrize("path", DEMOS, ids=lambda path: path.stem)
def test_the_json_has_the_shape_of_the_contract(path: Path) -> None:
    result = run("numbers", path, "--json")
    assert (result.exit_code, result.stderr) == (0, "")

    def refuse(constant: str) -> Any:
        raise AssertionError(f"{constant} is no number")

    numbers = json.loads(result.stdout, parse_constant=refuse)
    must = {"value", "unit", "symbol", "formula", "inputs", "source", "verdict", "reason"}
    must |= {"safe_side", "audience"}
    for key, entry in numbers.items():
        assert set(entry) in (must, must | {"low", "typical", "high"}), key
        assert entry["verdict"] in ("ok", "watch", "stop", "cannot tell")
        assert entry["safe_side"] in ("up", "down", "nearest")
        assert entry["audience"] in ("step", "working")
        for given in entry["inputs"].values():
            assert set(given) in ({"value", "unit"}, {"value", "unit", "low", "typical", "high"}), key
        if entry["value"] is None:
            watched = key in ("level.groundwater", "pump.throttle_to") and entry["verdict"] == "watch"
            assert watched or entry["verdict"] in ("ok", "cannot tell"), key
            assert entry["reason"], key
        elif isinstance(entry["value"], dict):
            assert set(entry["value"]) == {"columns", "rows"}
            widths = {len(row) for row in entry["value"]["rows"]}
            assert widths <= {len(entry["value"]["columns"])}
        else:
            assert math.isfinite(entry["value"])
            if "low" in entry:
                assert entry["low"] <= entry["typical"] == entry["value"] <= entry["high"], key


def test_every_kind_of_value_is_met_in_the_demo_jobs() -> None:
    entries = [json.loads(run("numbers", path, "--json").stdout) for path in DEMOS]
    numbers = [entry for found in entries for entry in found.values()]
    kinds = {(type(entry["value"]).__name__, entry["verdict"], "low" in entry) for entry in numbers}
    assert {("NoneType", "ok", False), ("NoneType", "cannot tell", False), ("float", "ok", True)} <= kinds
    assert any(kind == "dict" for kind, _, _ in kinds)


def test_numbers_prints_one_line_a_number() -> None:
    lines = run("numbers", DEMOS[0]).stdout.splitlines()
    numbers = json.loads(run("numbers", DEMOS[0], "--json").stdout)
    assert [line.partition("  ")[0] for line in lines] == list(numbers)
    printed = f"shell.mass  {numbers['shell.mass']['value']:.6g} kg  ok"
    assert printed in lines


# against


def test_against_lists_what_moved_and_exits_0(tmp_path: Path) -> None:
    path, old = spec(tmp_path), tmp_path / "old.json"
    old.write_text(run("numbers", path, "--json").stdout, encoding="utf-8")
    same = run("numbers", path, "--against", old)
    assert (same.exit_code, same.stderr) == (0, "")
    assert same.stdout.startswith("nothing moved: all ")
    path.write_text(path.read_text(encoding="utf-8").replace("4 m", "3 m"), encoding="utf-8")
    moved = run("numbers", path, "--against", old)
    assert moved.exit_code == 0
    line = "level.groundwater  4.05 m -> 3.05 m  by spec: groundwater_below_ground 4 -> 3 m"
    assert line in moved.stdout.splitlines()
    as_json = json.loads(run("numbers", path, "--against", old, "--json").stdout)
    assert as_json["moved"]["level.groundwater"]["causes"] == ["spec"]


def test_against_a_file_that_is_none_is_one_line(tmp_path: Path) -> None:
    for wrong in (tmp_path / "none.json", tmp_path, spec(tmp_path)):
        result = run("numbers", spec(tmp_path), "--against", wrong)
        assert (result.exit_code, result.stdout) == (2, "")
        (line,) = faults(result)
        assert line.startswith(f"{wrong}:1:1: ")


# JOB


def test_a_job_is_found_by_name_in_a_folder_given_or_set_or_the_projects(tmp_path: Path) -> None:
    here, there = tmp_path / "here", tmp_path / "there"
    here.mkdir()
    there.mkdir()
    spec(here, ref="ONE-1")
    spec(there, ref="TWO-2")
    assert run("check", "one-1", "--jobs", here).exit_code == 0
    assert run("check", "one-1.yml", "--jobs", here).exit_code == 0
    assert run("check", "two-2", SHELLBED_JOBS=str(there)).exit_code == 0
    assert run("check", "one-1", "--jobs", here, SHELLBED_JOBS=str(there)).exit_code == 0
    assert run("check", "two-2", "--jobs", here, SHELLBED_JOBS=str(there)).exit_code == 2
    assert run("check", "quandong-rise", SHELLBED_JOBS="").exit_code == 0
    assert run("check", here / "one-1.yml").exit_code == 0


def test_a_folder_of_the_jobs_name_does_not_hide_the_job(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    (tmp_path / "quandong-rise").mkdir()
    assert run("check", "quandong-rise", SHELLBED_JOBS="").exit_code == 0


def test_one_bad_job_does_not_stop_the_others(tmp_path: Path) -> None:
    bad = tmp_path / "bad.yml"
    bad.write_text("ref: X-1\n", encoding="utf-8")
    good = spec(tmp_path)
    result = run("check", bad, good, "--strict")
    assert result.exit_code == 2
    assert f"{good}: SB-1 Sound" in result.stdout
    lines = faults(result)
    assert len(lines) > 1
    assert all(line.startswith(f"{bad}:") for line in lines)


def test_two_jobs_with_one_reference_are_refused_whatever_its_case(tmp_path: Path) -> None:
    first = spec(tmp_path, ref="AB-1")
    second = tmp_path / "second.yml"
    second.write_text(first.read_text(encoding="utf-8").replace("AB-1", "ab-1"), encoding="utf-8")
    result = run("check", first, second)
    assert result.exit_code == 2
    assert faults(result) == [
        f"{second}:1:6: ref: ab-1 is the reference of {first} too. Give each job a reference of its own."
    ]


def test_one_job_named_twice_is_no_second_job() -> None:
    path = Path(os.path.relpath(PROJECT / "jobs" / "quandong-rise.yml"))
    assert run("check", path, PROJECT / "jobs" / "quandong-rise.yml").exit_code == 0


def _unreadable(folder: Path) -> Iterator[tuple[str, bytes | None]]:
    yield "missing", None
    yield "binary", bytes(range(256))
    yield "utf-16", SOUND.format(ref="A-1", soil="sand").encode("utf-16")
    yield "empty", b""
    yield "blank", b"\n# nothing\n"
    yield "list", b"- a\n- b\n"
    yield "text", b"just words\n"
    yield "nul", b"ref: A\0B\n"
    yield "deep", b"a: " + b"[" * 5000
    yield "huge", b"notes: " + b"x" * 3_000_000


@pytest.mark.parametrize(("name", "raw"), list(_unreadable(Path())), ids=lambda value: str(value)[:8])
def test_a_file_that_is_no_spec_is_one_line(tmp_path: Path, name: str, raw: bytes | None) -> None:
    path = tmp_path / f"{name}.yml"
    if raw is not None:
        path.write_bytes(raw)
    for command in ("check", "numbers", "guide"):
        result = run(command, path, *(["--out", tmp_path / "out"] if command == "guide" else []))
        assert result.exit_code == 2
        assert result.stdout == ""
        (line,) = faults(result)[:1]
        assert line.startswith(f"{path}:")
    assert not (tmp_path / "out").exists()


def test_a_folder_and_a_name_too_long_are_one_line_each(tmp_path: Path) -> None:
    result = run("check", tmp_path, "x" * 5000, tmp_path / "a" / "b.yml")
    assert result.exit_code == 2
    assert len(faults(result)) == 3


@pytest.mark.skipif(os.geteuid() == 0, reason="nothing is unreadable to root")
def test_a_file_without_the_right_to_read_is_one_line(tmp_path: Path) -> None:
    path = spec(tmp_path)
    path.chmod(0)
    result = run("check", path)
    assert result.exit_code == 2
    assert len(faults(result)) == 1


@pytest.mark.parametrize(("old", "new", "fault"), ROWS, ids=[fault.split(". ")[0] for _, _, fault in ROWS])
def test_a_malformed_spec_exits_2_with_its_fault_on_stderr(
    tmp_path: Path, old: str, new: str, fault: str
) -> None:
    path = tmp_path / "job.yml"
    path.write_bytes(FULL.replace(old, new).encode())
    result = run("check", path)
    assert (result.exit_code, result.stdout) == (2, "")
    assert faults(result) == [f"{path}:{fault}"]


# schema and help


def test_schema_prints_every_key_with_its_default_and_who_may_change_it() -> None:
    result = run("schema")
    assert result.exit_code == 0
    text = re.sub(r"\n {4,}", " ", result.stdout)
    printed = {line.partition(": ")[0]: line for line in text.splitlines()}
    assert set(TABLE) <= set(printed)
    for path, row in TABLE.items():
        assert row.why in printed[path]
        assert printed[path].endswith(f"; {row.who} may change it")
    for path in ("ref", "title", "region", "shell", "ground.groundwater"):
        assert printed[path].endswith(" required")


def test_schema_fits_a_terminal() -> None:
    assert max(map(len, run("schema").stdout.splitlines())) <= 100


@pytest.mark.parametrize("command", ["", "check", "numbers", "guide", "new", "serve", "schema"])
def test_help_says_what_each_command_does_and_each_option_is_explained(command: str) -> None:
    result = run(*([command] if command else []), "--help")
    assert result.exit_code == 0
    options = result.stdout.partition("Options:\n")[2].partition("\n\n")[0].splitlines()
    blank = [line for line in options if re.fullmatch(r"  -\S+(?: [A-Z]+)?", line)]
    following = [options[options.index(line) + 1].startswith(" " * 10) for line in blank]
    assert options
    assert all(following)


def test_a_command_that_there_is_not_is_answered_with_the_usage() -> None:
    result = run("chek")
    assert result.exit_code == 2
    assert "No such command" in result.stderr


def test_the_whole_command_exits_as_the_function_does(tmp_path: Path) -> None:
    bad = tmp_path / "bad.yml"
    bad.write_text("ref: X-1\n", encoding="utf-8")
    done = whole("check", bad)
    assert done.returncode == 2
    assert "Traceback" not in done.stderr
    assert whole("check", "--strict", spec(tmp_path, "sand")).returncode == 1
    assert whole("check", "--strict", spec(tmp_path)).returncode == 0
