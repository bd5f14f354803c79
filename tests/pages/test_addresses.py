"""The list of permanent addresses only grows."""

import shutil
import subprocess

import pytest

from builder.pages.manifest import MOVED, addresses
from tests.pages.reading import ROOT


def git(*arguments: str) -> list[str]:
    """Return the lines git prints about this copy; none where there is no git or no history."""
    found = shutil.which("git")
    if found is None:
        return []
    done = subprocess.run([found, "-C", str(ROOT), *arguments], capture_output=True, text=True, check=False)
    return done.stdout.splitlines() if done.returncode == 0 else []


def test_no_address_that_was_ever_kept_has_gone() -> None:
    commits = git("log", "--format=%H", "--", "content/addresses.txt")
    if not commits:
        pytest.skip("this copy has no history of the list")
    for commit in commits:
        lines = git("show", f"{commit}:content/addresses.txt")
        kept = {line.partition(MOVED)[0] for line in lines if line and not line.startswith("# ")}
        assert kept <= set(addresses())
