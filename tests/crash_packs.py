"""Packs killed at random moments, and packs on a full disk: `make crash-packs N=200 FULL=20 SEED=1`.

After each, everything that stood must be whole: each issue by its own manifest, each record, the page
that leads to the newest. Every so often the same pack is run to its end and must mend what was left.
A full disk is a small one mounted for it, which takes root; elsewhere that half says that it was skipped.
"""

from __future__ import annotations

import argparse
import glob
import os
import random
import re
import shutil
import signal
import subprocess
import sys
import tempfile
import time
from collections import Counter
from collections.abc import Iterator
from contextlib import suppress
from pathlib import Path

if __name__ == "__main__":
    sys.path.insert(0, str(Path(__file__).resolve().parents[1]))

from builder import cli
from builder.pack import manifest, record
from builder.pack.order import INDEX, MANIFEST
from builder.pack.ready import after

PROJECT = Path(__file__).resolve().parents[1]
COMMAND = [sys.executable, str(PROJECT / "tests" / "pack" / "stand_in.py"), "pack"]
LINK = "a2b3c4d5e6f7g2h3j4k5m6n7p2"
DEMO = PROJECT / "jobs" / "quandong-rise.yml"
MEND_EVERY = 10  # kills
LEADS = re.compile(r'url=([A-Z]{1,2})/guide/index\.html"')
EXIT_FULL = 3


def spec(folder: Path, issue: str) -> Path:
    """Write the spec of one issue of the job that is packed."""
    text = DEMO.read_text(encoding="utf-8")
    for key, value in (("ref", "CP-1"), ("issue", issue), ("link", LINK)):
        text = re.sub(rf"^{key}: .*$", f"{key}: {value}", text, flags=re.MULTILINE)
    path = folder / f"{issue}.yml"
    path.write_text(text, encoding="utf-8")
    return path


def command(job: Path, root: Path) -> list[str]:
    """Return the command that packs a spec into a folder."""
    return [*COMMAND, str(job), "--out", str(root / "send"), "--issued", str(root / "issued")]


def faults_of(root: Path, ref: str = "CP-1") -> Iterator[str]:
    """Yield what is damaged of everything that stands in a folder."""
    home = root / "send" / LINK
    there = [path for path in home.iterdir() if not path.name.startswith(".")] if home.is_dir() else []
    issues = {path.name: path for path in there if path.is_dir()}
    for name, folder in issues.items():
        yield from (f"{name}: {wrong}" for wrong in manifest.damage(folder))
        kept = root / "issued" / ref / name
        if not kept.is_dir() or (kept / MANIFEST).read_bytes() != (folder / MANIFEST).read_bytes():
            yield f"{name}: went out without its record"
    kept = root / "issued" / ref
    for folder in kept.iterdir() if kept.is_dir() else ():
        if folder.name.startswith("."):
            continue
        if {path.name for path in folder.iterdir()} != set(record.FILES):
            yield f"record {folder.name}: not whole"
        elif [one.issue for one in record.records(root / "issued", ref)].count(folder.name) != 1:
            yield f"record {folder.name}: can't be read"
    if (home / INDEX).is_file():
        found = LEADS.search((home / INDEX).read_text(encoding="utf-8"))
        if found is None or found.group(1) not in issues:
            yield f"{INDEX} leads nowhere"


def leftovers(root: Path) -> list[str]:
    """Return what is left half made beside what stands."""
    return [str(path.relative_to(root)) for path in root.rglob(".*")]


def killed(job: Path, root: Path, moment: float, late: bool) -> str:
    """Pack, kill all its processes after `moment` seconds; return how far it had come.

    late: count the moment from when the issue stands complete beside, about to get its name.
    """
    pid = _forked(job, root)
    code: int | None = None

    def ended() -> bool:
        nonlocal code
        if code is None:
            found, status = os.waitpid(pid, os.WNOHANG)
            code = os.waitstatus_to_exitcode(status) if found else None
        return code is not None

    complete = str(root / "send" / LINK / ".new.*" / "*" / MANIFEST)
    while late and not ended() and not glob.glob(complete):
        time.sleep(0.001)
    until = time.monotonic() + moment
    while not ended() and time.monotonic() < until:
        time.sleep(0.0005)
    with suppress(ProcessLookupError):
        os.killpg(pid, signal.SIGKILL)
    if code is None:
        os.waitpid(pid, 0)
        return "killed while putting" if late else "killed"
    if code:
        raise RuntimeError(f"pack failed by itself: exit {code}")
    return "ended before"


def _forked(job: Path, root: Path) -> int:
    """Start the command in a group of its own, in a fork that has everything loaded; return its number."""
    pid = os.fork()
    if pid:
        with suppress(OSError):
            os.setpgid(pid, pid)  # whichever of both is first
        return pid
    with suppress(OSError):
        os.setpgid(0, 0)
    try:
        nothing = os.open(os.devnull, os.O_RDWR)
        os.dup2(nothing, 1)
        os.dup2(nothing, 2)
        cli.main(command(job, root)[2:])
    except SystemExit as end:
        os._exit(int(end.code or 0))
    except BaseException:
        os._exit(99)
    os._exit(0)


def whole(job: Path, root: Path) -> subprocess.CompletedProcess[str]:
    """Pack and let it end."""
    return subprocess.run(command(job, root), capture_output=True, text=True, check=False)


def kills(count: int, rng: random.Random) -> tuple[Counter[str], list[str]]:
    """Kill `count` packs; return what happened how often, and everything found damaged."""
    said: Counter[str] = Counter()
    wrong: list[str] = []
    with tempfile.TemporaryDirectory() as name:
        root = Path(name)
        takes = 0.0
        for issue in ("A", "B"):  # the second knows everything
            begun = time.monotonic()
            with suppress(SystemExit):
                cli.main(command(spec(root, issue), root)[2:])
            takes = time.monotonic() - begun
        issue = "C"
        for at in range(1, count + 1):
            job = spec(root, issue)
            late = rng.random() < 0.5
            said[killed(job, root, rng.uniform(0, takes / 10 if late else takes), late)] += 1
            wrong += [f"kill {at}: {fault}" for fault in faults_of(root)]
            if (root / "send" / LINK / issue).is_dir():
                said["the issue stood after the kill"] += 1
            if at % MEND_EVERY == 0 or (root / "send" / LINK / issue).is_dir():
                done = whole(job, root)
                said[f"next run: {_what(done)}"] += 1
                wrong += [f"after kill {at}: {fault}" for fault in faults_of(root)]
                wrong += [f"after kill {at}: {left} is left" for left in leftovers(root)]
                if done.returncode:
                    wrong.append(f"after kill {at}: exit {done.returncode}: {done.stderr.strip()}")
                issue = after(issue)
            _progress("kills", at, count)
    return said, wrong


def full_disks(count: int, rng: random.Random) -> tuple[Counter[str], list[str]]:
    """Pack `count` times on disks too small; return what happened how often, and everything found damaged."""
    said: Counter[str] = Counter()
    wrong: list[str] = []
    with tempfile.TemporaryDirectory() as name:
        beside = Path(name)
        first, second, disk = beside / "first", spec(beside, "B"), beside / "disk"
        whole(spec(beside, "A"), first)
        disk.mkdir()
        room = sum(path.stat().st_blocks * 512 for path in first.rglob("*"))
        for at in range(1, count + 1):
            size = int(room * rng.uniform(1.05, 1.85))  # a second issue takes as much again
            mounted = ["mount", "-t", "tmpfs", "-o", f"size={size}", "tmpfs", str(disk)]
            if subprocess.run(mounted, capture_output=True, check=False).returncode:
                said["skipped: no disk could be mounted here"] += 1
                return said, wrong
            try:
                shutil.copytree(first, disk, dirs_exist_ok=True)
                done = whole(second, disk)
                said[_what(done)] += 1
                wrong += [f"full disk {at}: {fault}" for fault in faults_of(disk)]
                wrong += [f"full disk {at}: {left} is left" for left in leftovers(disk)]
                told = done.stderr.strip().splitlines()
                if done.returncode not in (0, EXIT_FULL) or (done.returncode and len(told) != 1):
                    wrong.append(f"full disk {at}: exit {done.returncode}: {done.stderr}")
            finally:
                subprocess.run(["umount", str(disk)], check=True)  # noqa: S607 the system's own
            _progress("full disks", at, count)
    return said, wrong


def _what(done: subprocess.CompletedProcess[str]) -> str:
    if done.returncode:
        return f"exit {done.returncode}"
    return next(word for word in ("packed", "mended", "unchanged") if f" {word}, " in done.stdout)


def _progress(what: str, at: int, count: int) -> None:
    end = "\n" if at == count or not sys.stderr.isatty() else "\r"
    if sys.stderr.isatty() or at % 20 == 0 or at == count:
        sys.stderr.write(f"{what}: {at} of {count}{end}")
        sys.stderr.flush()


def _say(line: str) -> None:
    sys.stdout.write(f"{line}\n")
    sys.stdout.flush()


def main() -> int:
    """Run both halves and print what came of them; 1 where anything was damaged."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("-n", type=int, default=200, help="how many packs to kill")
    parser.add_argument("--full", type=int, default=20, help="how many packs on a full disk")
    parser.add_argument("--seed", type=int, default=1)
    given = parser.parse_args()
    rng = random.Random(given.seed)  # noqa: S311 a draw to repeat, no secret
    bad = 0
    for what, found in (("kills", kills(given.n, rng)), ("full disks", full_disks(given.full, rng))):
        said, wrong = found
        _say(f"{what}:")
        for line, count in sorted(said.items()):
            _say(f"  {line}: {count}")
        _say(f"  damaged: {len(wrong)}")
        for line in wrong[:20]:
            _say(f"    {line}")
        bad += len(wrong)
    return 1 if bad else 0


if __name__ == "__main__":
    sys.exit(main())
