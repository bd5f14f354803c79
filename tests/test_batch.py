"""Many jobs in one command: side by side, in order, none stopped by another."""

from __future__ import annotations

import json
import re
from functools import partial
from pathlib import Path

import pytest

from builder import batch, tasks
from tests.test_cli import PROJECT, faults, run, spec

JOBS = PROJECT / "jobs"


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A folder of three specs, the middle one wrong."""
    jobs = tmp_path / "jobs"
    jobs.mkdir()
    for ref in ("A-1", "C-3"):
        spec(jobs, ref=ref)
    (jobs / "b-2.yml").write_text("ref: B-2\n", encoding="utf-8")
    return jobs


@pytest.mark.parametrize("workers", [1, 2])
def test_a_folder_means_its_specs_by_name_and_a_bad_one_stops_no_other(folder: Path, workers: int) -> None:
    result = run("check", folder, "--workers", workers)
    assert result.exit_code == 2
    heads = [line for line in result.stdout.splitlines() if not line.startswith(" ")]
    assert [line.partition(": ")[2] for line in heads[:2]] == ["A-1 Sound", "C-3 Sound"]
    assert re.fullmatch(r"3 jobs in [\d.]+ s: 2 checked, 1 wrong", heads[2])
    assert result.stdout.splitlines()[-1] == f"  wrong  {folder / 'b-2.yml'}"
    assert all(line.startswith(f"{folder / 'b-2.yml'}:") for line in faults(result))


def test_two_processes_say_what_one_says(folder: Path) -> None:
    one, two = (run("numbers", folder, "--json", "--workers", n) for n in (1, 2))
    assert one.stdout == two.stdout
    assert list(json.loads(one.stdout)) == ["A-1", "C-3"]


def test_numbers_of_one_job_in_a_folder_are_not_put_under_a_reference(tmp_path: Path) -> None:
    spec(tmp_path)
    assert "level.ground" in json.loads(run("numbers", tmp_path, "--json").stdout)


def test_against_compares_one_job(tmp_path: Path) -> None:
    result = run("numbers", JOBS, "--against", tmp_path / "x.json")
    assert result.exit_code == 2
    assert "one JOB" in result.stderr


def test_a_folder_without_specs_is_one_line(tmp_path: Path) -> None:
    result = run("check", tmp_path)
    assert result.exit_code == 2
    assert len(faults(result)) == 1


def test_guides_built_side_by_side_are_those_built_one_by_one(tmp_path: Path) -> None:
    files = {}
    for workers in (1, 2):
        out = tmp_path / str(workers)
        paths = [JOBS / "mallee-lane.yml", JOBS / "quandong-rise.yml"]
        assert batch.run(paths, partial(tasks.guide, out=out), workers) == 0
        files[workers] = {p.relative_to(out): p.read_bytes() for p in out.rglob("*") if p.is_file()}
    assert files[1] == files[2]
    assert len(files[1]) > 60


def test_force_builds_what_stands(tmp_path: Path) -> None:
    path = spec(tmp_path)
    build = partial(tasks.guide, path, out=tmp_path / "out")
    assert [build().done, build().done, build(force=True).done] == ["built", "unchanged", "built"]


@pytest.mark.parametrize(("jobs", "asked", "used"), [(1, None, 1), (4, None, 1), (100, 3, 3), (2, 8, 2)])
def test_a_few_jobs_take_one_process_and_no_job_takes_two(jobs: int, asked: int | None, used: int) -> None:
    assert batch.workers_for(jobs, asked) == used


@pytest.mark.parametrize(
    "head", ["ref: QR-1", "ref: 'QR-1'", '"ref" : "QR-1"  # ours', "{ref: QR-1, title: x}", "\n\nref: QR-1"]
)
def test_a_reference_is_found_however_it_is_written(head: str, tmp_path: Path) -> None:
    one, two = tmp_path / "1.yml", tmp_path / "2.yml"
    for path in (one, two):
        path.write_text(head + "\n", encoding="utf-8")
    (refused,) = batch._of_one_reference([one, two]).values()
    assert "QR-1 is the reference of" in refused.wrong[0]
