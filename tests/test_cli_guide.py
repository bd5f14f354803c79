"""`guide` from the command line: where it writes, what it says, and what stops it."""

from __future__ import annotations

import os
import re
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from tests.test_cli import PROJECT, run, spec, whole


@pytest.fixture(scope="module")
def built(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, subprocess.CompletedProcess[str]]:
    """One guide, built by a whole command in a folder of its own."""
    folder = tmp_path_factory.mktemp("guide")
    spec(folder)
    return folder, whole("guide", "sb-1.yml", cwd=folder)


def test_a_guide_goes_to_out_guide_and_says_so(
    built: tuple[Path, subprocess.CompletedProcess[str]],
) -> None:
    folder, done = built
    assert (done.returncode, done.stderr) == (0, "")
    assert done.stdout == "out/guide/SB-1/index.html: open it in a browser\n"
    assert (folder / "out/guide/SB-1/index.html").is_file()
    assert [path.name for path in (folder / "out/guide").iterdir()] == ["SB-1"]


def test_an_unchanged_guide_is_not_built_again(
    built: tuple[Path, subprocess.CompletedProcess[str]],
) -> None:
    folder, _ = built
    index = folder / "out/guide/SB-1/index.html"
    before = index.stat().st_mtime_ns
    again = whole("guide", "sb-1.yml", cwd=folder)
    assert (again.returncode, again.stderr) == (0, "")
    assert again.stdout == "out/guide/SB-1/index.html: unchanged; open it in a browser\n"
    assert index.stat().st_mtime_ns == before


def test_out_names_the_folder_and_several_jobs_are_counted(tmp_path: Path) -> None:
    one, two, out = spec(tmp_path, ref="ONE-1"), spec(tmp_path, ref="TWO-2"), tmp_path / "there"
    bad = tmp_path / "bad.yml"
    bad.write_text("ref: X-1\n", encoding="utf-8")
    done = whole("guide", one, bad, two, "--out", out)
    assert done.returncode == 2
    *lines, count, which = done.stdout.splitlines()
    assert lines == [
        f"{out}/ONE-1/index.html: open it in a browser (1 of 3)",
        f"{out}/TWO-2/index.html: open it in a browser (3 of 3)",
    ]
    assert re.fullmatch(r"3 jobs in [\d.]+ s: 2 built, 1 wrong", count)
    assert which == f"  wrong  {bad}"
    assert sorted(path.name for path in out.iterdir()) == ["ONE-1", "TWO-2"]


def test_a_second_job_with_the_reference_of_an_unchanged_guide_is_refused(
    built: tuple[Path, subprocess.CompletedProcess[str]],
) -> None:
    folder, _ = built
    twin = folder / "twin.yml"
    twin.write_text((folder / "sb-1.yml").read_text(encoding="utf-8").replace("4 m", "3 m"), encoding="utf-8")
    before = (folder / "out/guide/SB-1/index.html").read_bytes()
    done = whole("guide", "sb-1.yml", "twin.yml", cwd=folder)
    assert done.returncode == 2
    assert done.stderr.startswith("twin.yml:1:6: ref: SB-1 is the reference of sb-1.yml too.")
    assert (folder / "out/guide/SB-1/index.html").read_bytes() == before


@pytest.mark.parametrize("in_the_way", ["SB-1", ""], ids=["the guide's folder", "the out folder"])
def test_a_file_in_the_way_exits_3_and_is_left_alone(tmp_path: Path, in_the_way: str) -> None:
    out = tmp_path / "out"
    place = out / in_the_way if in_the_way else out
    place.parent.mkdir(exist_ok=True)
    place.write_text("mine", encoding="utf-8")
    result = run("guide", spec(tmp_path), "--out", out)
    assert result.exit_code == 3
    (line,) = result.stderr.splitlines()
    assert "could not be written" in line
    assert place.read_text(encoding="utf-8") == "mine"


def test_a_folder_that_is_no_guide_is_left_alone(tmp_path: Path) -> None:
    photos = tmp_path / "out" / "SB-1"
    photos.mkdir(parents=True)
    (photos / "photo.jpg").write_bytes(b"mine")
    result = run("guide", spec(tmp_path), "--out", tmp_path / "out")
    assert result.exit_code == 3
    assert [path.name for path in photos.iterdir()] == ["photo.jpg"]


@pytest.mark.skipif(os.geteuid() == 0, reason="nothing is read-only to root")
def test_a_read_only_folder_exits_3(tmp_path: Path) -> None:
    out = tmp_path / "out"
    out.mkdir(mode=0o555)
    assert run("guide", spec(tmp_path), "--out", out).exit_code == 3


INTERRUPTING = """
import os, signal, sys, time
from builder.cli import main
from builder.website import guide_site

def interrupted(*given, **named):
    os.killpg(0, signal.SIGINT)  # as the keyboard does: every process of the command
    time.sleep(60)

setattr(guide_site, sys.argv.pop(1), interrupted)
main()
"""


@pytest.mark.skipif(sys.platform == "win32", reason="no process groups to interrupt")
@pytest.mark.parametrize(
    "moment",
    [
        "_write_pages",  # the folder beside has just been made, and the figures have just been begun
        "put",  # all is written, and about to take the old guide's place
    ],
)
def test_an_interrupted_guide_leaves_the_old_one_whole(
    tmp_path: Path, built: tuple[Path, subprocess.CompletedProcess[str]], moment: str
) -> None:
    out = tmp_path / "out"
    shutil.copytree(built[0] / "out/guide", out)
    before = {path: path.read_bytes() for path in out.rglob("*") if path.is_file()}
    job = spec(tmp_path, more="notes: another\n")
    done = subprocess.run(
        [sys.executable, "-c", INTERRUPTING, moment, "guide", str(job), "--out", str(out)],
        cwd=PROJECT,
        capture_output=True,
        text=True,
        start_new_session=True,
        check=False,
    )
    assert (done.returncode, done.stdout) == (130, "")
    assert done.stderr.strip() == "Interrupted: what is not finished is left as it was"
    assert {path: path.read_bytes() for path in out.rglob("*") if path.is_file()} == before
    assert [path.name for path in out.iterdir()] == ["SB-1"]
