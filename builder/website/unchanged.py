"""Whether the guide of a job stands already, built from the very same inputs.

A guide is fixed by its job spec, the project's code and data, and the libraries' versions. After a
build their digest is kept in the project's .cache folder, with size and time of each file of the
site; where all of that still holds, building again would write the same bytes.
"""

from __future__ import annotations

import hashlib
import json
import sys
from contextlib import suppress
from functools import cache
from pathlib import Path

PROJECT = Path(__file__).resolve().parents[2]
RECORDS = PROJECT / ".cache" / "standing"
INPUTS = ("builder/**/*.py", "content/**/*", "shared/**/*", "mkdocs.yml", "requirements.lock")


def standing(job: Path, out: Path) -> Path | None:
    """Return the index.html under `out` that was built from the spec file `job`, if all is unchanged.

    None where it was never built there, where anything it came from differs, or where a file of the
    site is missing, added or touched since.
    """
    try:
        record = json.loads(_record(job, out).read_text(encoding="utf-8"))
        index = Path(record["index"])
        if record["inputs"] == _digest(job) and record["files"] == _files(index.parent):
            return index
    except (OSError, ValueError, KeyError, TypeError):
        return None  # no record, or one that can't be read: build
    return None


def remember(job: Path, out: Path, index: Path) -> None:
    """Keep a record of the site just built from the spec file `job`; where it can't be kept, keep none."""
    record = {"index": str(index.absolute()), "inputs": _digest(job), "files": _files(index.parent)}
    path = _record(job, out)
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(json.dumps(record), encoding="utf-8")
    except OSError:
        with suppress(OSError):
            path.unlink()


def _record(job: Path, out: Path) -> Path:
    name = hashlib.sha256(f"{job.absolute()}\n{out.absolute()}".encode()).hexdigest()
    return RECORDS / f"{name[:32]}.json"


def _digest(job: Path) -> str:
    return hashlib.sha256(project_digest() + job.read_bytes()).hexdigest()


@cache
def project_digest() -> bytes:
    """Return a digest of the project's code, data and library versions."""
    digest = hashlib.sha256(sys.version.encode())
    for pattern in INPUTS:
        for path in sorted(PROJECT.glob(pattern)):
            if path.is_file():
                digest.update(path.relative_to(PROJECT).as_posix().encode())
                digest.update(hashlib.sha256(path.read_bytes()).digest())
    return digest.digest()


def _files(site: Path) -> dict[str, list[int]]:
    stats = {path: path.stat() for path in sorted(site.rglob("*"))}
    return {
        path.relative_to(site).as_posix(): [stat.st_size, stat.st_mtime_ns]
        for path, stat in stats.items()
        if path.is_file()
    }
