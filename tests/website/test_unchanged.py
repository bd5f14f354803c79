import os
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from builder.website import remember, standing
from builder.website.unchanged import project_digest


@pytest.fixture
def built(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[tuple[Path, Path, Path]]:
    """Return a spec file, the out folder, and the index of a site remembered as built from it."""
    project = tmp_path / "project"
    for name in ("builder", "content", "shared"):
        (project / name).mkdir(parents=True)
    (project / "builder" / "code.py").write_text("x = 1\n")
    (project / "content" / "index.md").write_text("# Start\n")
    (project / "shared" / "pipes.yml").write_text("a: 1\n")
    (project / "mkdocs.yml").write_text("site_name: x\n")
    (project / "requirements.lock").write_text("a==1\n")
    monkeypatch.setattr("builder.website.unchanged.PROJECT", project)
    monkeypatch.setattr("builder.website.unchanged.RECORDS", project / ".cache")
    project_digest.cache_clear()
    job, out = tmp_path / "job.yml", tmp_path / "out"
    job.write_text("ref: A\n")
    (out / "A" / "steps").mkdir(parents=True)
    (out / "A" / "index.html").write_text("start")
    (out / "A" / "steps" / "tube.html").write_text("tube")
    remember(job, out, out / "A" / "index.html")
    project_digest.cache_clear()
    yield job, out, out / "A" / "index.html"
    project_digest.cache_clear()


def test_a_site_built_from_the_same_inputs_stands(built: tuple[Path, Path, Path]) -> None:
    job, out, index = built
    assert standing(job, out) == index


@pytest.mark.parametrize(
    "change",
    [
        lambda top: (top / "job.yml").write_text("ref: B\n"),
        lambda top: (top / "project" / "builder" / "code.py").write_text("x = 2\n"),
        lambda top: (top / "project" / "builder" / "more.py").write_text(""),
        lambda top: (top / "project" / "content" / "index.md").write_text("# Start here\n"),
        lambda top: (top / "project" / "shared" / "pipes.yml").unlink(),
        lambda top: (top / "project" / "mkdocs.yml").write_text("site_name: y\n"),
        lambda top: (top / "project" / "requirements.lock").write_text("a==2\n"),
        lambda top: (top / "out" / "A" / "index.html").unlink(),
        lambda top: (top / "out" / "A" / "steps" / "tube.html").write_text("tubes"),
        lambda top: os.utime(top / "out" / "A" / "steps" / "tube.html", ns=(1, 1)),
        lambda top: (top / "out" / "A" / "added.html").write_text("x"),
        lambda top: next((top / "project" / ".cache").iterdir()).write_text("{half a rec"),
        lambda top: next((top / "project" / ".cache").iterdir()).write_text("[]"),
    ],
)
def test_any_change_of_inputs_site_or_record_means_building_again(
    built: tuple[Path, Path, Path], tmp_path: Path, change: Callable[[Path], object]
) -> None:
    change(tmp_path)
    assert standing(built[0], built[1]) is None


def test_another_job_or_another_folder_was_never_built(
    built: tuple[Path, Path, Path], tmp_path: Path
) -> None:
    job, out, _ = built
    other = tmp_path / "other.yml"
    other.write_text(job.read_text())
    assert standing(other, out) is None
    assert standing(job, tmp_path / "elsewhere") is None


def test_a_cache_that_cannot_be_written_is_done_without(
    built: tuple[Path, Path, Path], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    job, out, index = built
    (tmp_path / "file").write_text("")
    monkeypatch.setattr("builder.website.unchanged.RECORDS", tmp_path / "file")
    remember(job, out, index)
    assert standing(job, out) is None
