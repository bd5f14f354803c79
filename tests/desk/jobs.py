"""Folders of jobs and desks over them."""

from __future__ import annotations

import json
import random
import re
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from builder import job, levels, tasks
from builder.catalogue import load
from builder.errors import InputFaults
from tests import random_specs
from tests.pack.jobs import pack, write

WORDS = "quandong mallee heron ridge flat court lane rise bend gully point grove terrace vale".split()


@dataclass(frozen=True)
class RandomDesk:
    """A desk over random jobs: its root with jobs/, issued/, send/ and desk/, and the references in it."""

    root: Path
    refs: tuple[str, ...]

    @property
    def desk(self) -> Path:
        return self.root / "desk"

    def page(self, ref: str) -> str:
        return (self.desk / "job" / ref / "index.html").read_text(encoding="utf-8")


def build(root: Path, workers: int = 1) -> int:
    """Build root/desk over root/jobs, root/issued and root/send; return the exit code."""
    return tasks.desk(root / "jobs", root / "issued", root / "send", root / "desk", workers)


def job_and_pack(root: Path, more: str = "", **given: str) -> Path:
    """Write a spec into root/jobs and pack it with stand-ins; return the spec."""
    (root / "jobs").mkdir(exist_ok=True)
    ref = given.get("ref", "PK-1")
    path = write(root / "jobs", f"{ref}.yml", more, **given)
    pack(root, more, **given)
    return path


def write_random(folder: Path, count: int, seed: int) -> tuple[str, ...]:
    """Write so many random specs that can be worked; return their references."""
    rng, catalogue = random.Random(seed), load()  # noqa: S311 a draw to repeat, no secret
    folder.mkdir(parents=True, exist_ok=True)
    refs: list[str] = []
    while len(refs) < count:
        spec = random_specs.draw(rng, catalogue)
        ref = f"RJ-{len(refs) + 1:04d}"
        spec["ref"], spec["title"] = ref, " ".join(rng.sample(WORDS, 2)).title()
        path = folder / f"{ref.lower()}.yml"
        path.write_text(json.dumps(spec), encoding="utf-8")
        try:
            levels.place(job.read(path, catalogue))
            refs.append(ref)
        except InputFaults:
            path.unlink()
    return tuple(refs)


def random_desk(root: Path, count: int, seed: int) -> RandomDesk:
    """Build a desk over random jobs, none of them sent."""
    refs = write_random(root / "jobs", count, seed)
    assert build(root) == 0
    return RandomDesk(root, refs)


def rows_of(desk: Path) -> list[list[Any]]:
    """Return what the search holds."""
    text = (desk / "assets" / "jobs.js").read_text(encoding="utf-8")
    found: list[list[Any]] = json.loads(text.removeprefix("var shellbedJobs=").rstrip())
    return found


def boxes_of(page: str) -> dict[str, Any]:
    """Return the tables of the four boxes in a page."""
    held = re.search(r'<script type="application/json" id="boxes-data">(.*?)</script>', page, re.S)
    assert held is not None
    found: dict[str, Any] = json.loads(held[1])
    return found


def text_of(page: str) -> str:
    """Return a page's text without its tags."""
    import html

    return html.unescape(re.sub(r"<[^>]*>", " ", page))
