"""The guides people receive, built once for all workers, and a plain server for them."""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

from builder import making
from tests.browser.engines import PROJECT

JOBS = {path.stem: path for path in sorted((PROJECT / "jobs").glob("*.yml"))}
SENT = "quandong-rise"  # the job that has a link, so that it can be packed


@dataclass(frozen=True)
class Built:
    """Folders of the built guides by job, and the issue that was packed of one of them."""

    root: Path
    guides: dict[str, Path]
    issue: Path

    @property
    def one_file(self) -> Path:
        """The whole guide of SENT as one file."""
        return self.issue / "guide.html"


def build(root: Path) -> Built:
    """Build each demo job's guide below `root` by the commands a user types; one worker builds for all.

    The guide of SENT is the one in its packed issue.
    """
    import fcntl  # late: not on Windows, where these tests skip before

    root.mkdir(exist_ok=True)
    with (root / "lock").open("w") as lock:
        fcntl.flock(lock, fcntl.LOCK_EX)
        if not (root / "done").exists():
            others = [str(path) for name, path in JOBS.items() if name != SENT]
            _run(root, "pack", str(JOBS[SENT]), "--out", str(root / "send"), "--issued", str(root / "issued"))
            _run(root, "guide", *others, "--out", str(root / "guide"))
            (root / "done").touch()
    issue = next((root / "send").glob("*/[A-Z]"))
    refs = {name: making.results(path).job.spec.ref for name, path in JOBS.items()}
    guides = {name: issue / "guide" if name == SENT else root / "guide" / refs[name] for name in JOBS}
    return Built(root, guides, issue)


def _run(root: Path, *words: str) -> None:
    environment = {key: value for key, value in os.environ.items() if not key.startswith("SHELLBED_")}
    done = subprocess.run(
        [sys.executable, "-m", "builder", *words],
        cwd=PROJECT,
        env=environment,
        capture_output=True,
        text=True,
    )
    assert done.returncode == 0, done.stderr


def pages(guide: Path) -> list[Path]:
    """Return the pages of a built guide."""
    return sorted(guide.rglob("*.html"))


@contextmanager
def served(root: Path) -> Iterator[str]:
    """Serve a folder as any plain server does, from a process of its own; yield its address."""
    command = [
        sys.executable,
        "-u",
        "-m",
        "http.server",
        "0",
        "--bind",
        "127.0.0.1",
        "--directory",
        str(root),
    ]
    with subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.DEVNULL, text=True) as server:
        try:
            assert server.stdout is not None
            said = server.stdout.readline()  # Serving HTTP on 127.0.0.1 port 40321 (http://...
            yield f"http://127.0.0.1:{said.split(' port ')[1].split()[0]}"
        finally:
            server.terminate()
