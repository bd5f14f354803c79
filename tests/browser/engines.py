"""The browsers and checkers on this machine, and one word where one is missing."""

from __future__ import annotations

import os
import shutil
from pathlib import Path
from typing import NoReturn

import pytest

PROJECT = Path(__file__).resolve().parents[2]
CHECKERS = PROJECT / ".cache" / "checkers" / "node_modules"  # `make .cache/checkers/ready` fills it
MUST = "SHELLBED_BROWSERS"  # set to `must`, a missing browser fails the test instead of skipping it
QUIET = (
    "--no-sandbox --disable-gpu --disable-quic --no-first-run --disable-background-networking "
    "--disable-component-update --disable-sync"
).split()
NOWHERE = "--host-resolver-rules=MAP * ~NOTFOUND, EXCLUDE 127.0.0.1"  # what asks outside gets no answer


def missing(what: str) -> NoReturn:
    """Skip the test for want of a browser or checker; fail it where there must be one."""
    if os.environ.get(MUST) == "must":
        pytest.fail(f"no {what} here, and {MUST} says there must be one", pytrace=False)
    pytest.skip(f"no {what} here")


def program(name: str) -> Path:
    """Return where a program is."""
    return Path(shutil.which(name) or missing(name))


def checker(name: str) -> Path:
    """Return a file of one of the checkers in package.json."""
    path = CHECKERS / name
    return path if path.is_file() else missing(name.partition("/")[0])


def mini_browser() -> Path:
    """Return WebKitGTK's own small browser, which stands beside its library."""
    found = sorted(Path("/usr/lib").glob("*/webkit2gtk-4.*/MiniBrowser"))
    return found[-1] if found else missing("WebKitGTK")
