"""The HTML checker of the web's own standards body, over every page and the guide in one file."""

from __future__ import annotations

import subprocess
from pathlib import Path

from tests.browser import engines
from tests.browser.sites import Built, pages


def errors_in(*places: Path) -> list[str]:
    """Return what the checker finds wrong, one line each."""
    java, jar = engines.program("java"), engines.checker("vnu-jar/build/dist/vnu.jar")
    command = [
        java, "-Xss8m", "-jar", jar,
        "--errors-only", "--skip-non-html", "--format", "gnu", *places,
    ]  # fmt: skip
    done = subprocess.run(command, capture_output=True, text=True)
    lines = [line for line in done.stderr.splitlines() if line.strip()]
    assert bool(lines) == bool(done.returncode), done
    return lines


def test_every_page_of_every_demo_job_is_sound_html(built: Built) -> None:
    assert len(pages(built.root)) > 150
    errors = errors_in(*built.guides.values(), built.issue.parent / "index.html")
    assert not errors, "\n".join(errors)


def test_the_guide_in_one_file_is_sound_html(built: Built) -> None:
    errors = errors_in(built.one_file)
    assert not errors, "\n".join(errors)
