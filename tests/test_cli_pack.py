"""`pack` and `where-used` from the command line: what they say, where they write, how they exit."""

from __future__ import annotations

import json
import os
import re
import subprocess
import sys
from pathlib import Path

import pytest
from click.testing import Result

from tests.pack.jobs import LINK, quick, write
from tests.pack.stand_in import module
from tests.test_cli import PROJECT, run

__all__ = ["quick"]


@pytest.fixture(autouse=True)
def printing(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(sys.modules, "builder.pack.print", module())


def packs(root: Path, *jobs: object, **environment: str) -> Result:
    return run("pack", *jobs, "--out", root / "send", "--issued", root / "issued", **environment)


def test_pack_says_where_the_issue_is_and_packing_again_unchanged(tmp_path: Path, quick: None) -> None:
    job = write(tmp_path)
    done = packs(tmp_path, job)
    assert (done.exit_code, done.stderr) == (0, "")
    said = rf"{tmp_path}/send/{LINK}/A: PK-1-A packed, \d+ files, zip \d+\.\d MB\n"
    assert re.fullmatch(said, done.stdout)
    assert re.fullmatch(said.replace("packed", "unchanged"), packs(tmp_path, job).stdout)


def test_a_stop_nobody_answers_for_exits_1_a_line_each_and_does_not_stop_the_others(
    tmp_path: Path, quick: None
) -> None:
    bad, good = write(tmp_path, "bad.yml", soil="sand", ref="PK-2", link="b" * 26), write(tmp_path)
    done = packs(tmp_path, bad, good)
    assert done.exit_code == 1
    assert len(done.stderr.splitlines()) == 4
    assert all(
        re.match(rf"{bad}:\d+:\d+: accepted: \S+ is a stop: ", line) for line in done.stderr.splitlines()
    )
    assert done.stdout.splitlines()[0].endswith(" (2 of 2)")
    assert {path.name for path in (tmp_path / "send").iterdir()} == {LINK}


def test_a_stop_somebody_answers_for_is_printed_with_who_and_why(tmp_path: Path, quick: None) -> None:
    keys = [
        line.split(" is a stop")[0].split("accepted: ")[1]
        for line in packs(tmp_path, write(tmp_path, soil="sand")).stderr.splitlines()
    ]
    more = "accepted:\n" + "".join(f"- {{check: {key}, by: geologist, reason: looked at}}\n" for key in keys)
    done = packs(tmp_path, write(tmp_path, soil="sand", more=more))
    assert (done.exit_code, done.stderr) == (0, "")
    assert "  stop: " in done.stdout
    assert "(answered for by geologist: looked at)" in done.stdout


def test_a_job_without_a_link_exits_2_with_one_to_paste(tmp_path: Path) -> None:
    job = write(tmp_path)
    job.write_text(re.sub("link: .*\n", "", job.read_text()))
    done = packs(tmp_path, job)
    assert done.exit_code == 2
    assert re.fullmatch(
        rf"{job}:\d+:\d+: link: this job has no link, .*\. Write `link: [a-z2-7]{{26}}`, drawn just now\.\n",
        done.stderr,
    )


def test_a_folder_in_the_way_exits_3_in_one_line(tmp_path: Path, quick: None) -> None:
    (tmp_path / "send").write_text("mine")
    done = packs(tmp_path, write(tmp_path))
    assert done.exit_code == 3
    assert len(done.stderr.splitlines()) == 1
    assert "could not be written" in done.stderr
    assert (tmp_path / "send").read_text() == "mine"


@pytest.mark.skipif(os.geteuid() == 0, reason="nothing is read-only to root")
def test_a_read_only_folder_exits_3(tmp_path: Path, quick: None) -> None:
    (tmp_path / "send").mkdir(mode=0o555)
    assert packs(tmp_path, write(tmp_path)).exit_code == 3


@pytest.mark.parametrize(
    "address",
    ["http://guides.example", "guides.example", "https://", "https://a b", "https://x@y.z", "https://y.z?q"],
)
def test_an_address_that_is_no_https_address_is_refused(tmp_path: Path, address: str) -> None:
    done = packs(tmp_path, write(tmp_path), SHELLBED_BASE_URL=address)
    assert done.exit_code == 2
    assert "Write it like https://guides.example" in " ".join(done.stderr.split())
    assert not (tmp_path / "send").exists()


def test_the_address_may_come_from_the_environment(tmp_path: Path, quick: None) -> None:
    done = packs(tmp_path, write(tmp_path), SHELLBED_BASE_URL="https://guides.example/")
    assert done.exit_code == 0, done.stderr
    made = (tmp_path / "send" / LINK / "A" / "guide.pdf").read_bytes()
    assert f"https://guides.example/{LINK}/A/guide/".encode() in made


def test_where_used_lists_jobs_and_exits_2_for_an_unknown_id(tmp_path: Path, quick: None) -> None:
    packs(tmp_path, write(tmp_path))
    found = run("where-used", "tern-74", "--issued", tmp_path / "issued")
    assert (found.exit_code, found.stderr) == (0, "")
    assert found.stdout == "PK-1 issue A, 2026-11-20: shells/tern-74; no stop line would move\n"
    listed = json.loads(run("where-used", "tern-74", "--json", "--issued", tmp_path / "issued").stdout)
    assert [(one["ref"], one["issue"], one["link"]) for one in listed] == [("PK-1", "A", LINK)]
    unknown = run("where-used", "tern-7", "--issued", tmp_path / "issued")
    assert unknown.exit_code == 2
    assert unknown.stderr.endswith("Write tern-74.\n")
    none = run("where-used", "heron-82", "--issued", tmp_path / "issued")
    assert (none.exit_code, none.stdout) == (0, "heron-82: no job that went out was touched\n")


def test_a_whole_command_packs_into_out_send_and_issued(tmp_path: Path) -> None:
    write(tmp_path)
    command = [sys.executable, str(PROJECT / "tests" / "pack" / "stand_in.py"), "pack", "job.yml"]
    done = subprocess.run(command, cwd=tmp_path, capture_output=True, text=True, check=False)
    assert (done.returncode, done.stderr) == (0, "")
    assert done.stdout.startswith(f"out/send/{LINK}/A: PK-1-A packed, ")
    assert (tmp_path / "issued" / "PK-1" / "A" / "record.json").is_file()
