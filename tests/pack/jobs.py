"""Jobs that can be packed, and packing them without the guide's site where that does not matter."""

from __future__ import annotations

import functools
from collections.abc import Mapping
from pathlib import Path
from typing import Any

import pytest

from builder import making, pages, website
from builder.checks import Results
from builder.pack import Order, Packed
from builder.pack import manifest as manifests
from builder.pages import Guide
from tests.pack.stand_in import documents

LINK = "a2b3c4d5e6f7g2h3j4k5m6n7p2"
SOUND = """ref: {ref}
title: {title}
issue: {issue}
issued: 2026-11-{day}
link: {link}
region: au-nsw
shell: tern-74
ground: {{soil: {soil}, groundwater: {water}}}
"""
GIVEN = {
    "ref": "PK-1", "title": "Sound", "issue": "A", "day": "20", "link": LINK,
    "soil": "sandy-gravel", "water": "4 m",
}  # fmt: skip


def write(folder: Path, name: str = "job.yml", more: str = "", **given: str) -> Path:
    """Write a spec and return its path."""
    path = folder / name
    path.write_text(SOUND.format(**GIVEN | given) + more, encoding="utf-8")
    return path


def order(root: Path, job: Path, **given: Any) -> Order:
    """Return the order to pack a spec into send/ and issued/ of a folder."""
    return Order(making.results(job), root / "send", root / "issued", **given)


def pack(root: Path, more: str = "", **given: str) -> Packed:
    """Write a spec and pack it with a stand-in for the printing."""
    return making.pack(order(root, write(root, more=more, **given)), documents)


def files_of(folder: Path) -> dict[str, bytes]:
    """Return every file of a folder by its name in it."""
    return manifests.contents(folder)


@pytest.fixture
def quick(monkeypatch: pytest.MonkeyPatch) -> None:
    """Pack with a site of two small files, no figures, and pages rendered once a spec."""

    class NoDrawing(Mapping[str, Any]):
        def __init__(self, worked: Results) -> None: ...
        def __getitem__(self, name: str) -> Any:
            raise KeyError(name)

        def __iter__(self) -> Any:
            return iter(())

        def __len__(self) -> int:
            return 0

        def papers(self) -> dict[str, bytes]:
            return {"paper/true-size-a4.pdf": b"%PDF"}

        def close(self) -> None: ...

    def build(guide: Guide, drawn: Any, out: Path, papers: Any = dict) -> Path:
        (out / "assets").mkdir(parents=True)
        (out / "assets" / "guide.css").write_text("p{}")
        (out / "index.html").write_text(guide.pages[0].markdown)
        return out / "index.html"

    @functools.cache
    def rendered(typed: str, earlier: str) -> Guide:
        return render(*held[typed, earlier])

    held: dict[tuple[str, str], Any] = {}
    render = pages.render

    def render_once(
        worked: Results, content: Path = pages.render.__defaults__[0], earlier: Any = None
    ) -> Guide:
        key = Path(worked.job.file).read_text(encoding="utf-8"), str(earlier)
        held[key] = (worked, content, earlier)
        return rendered(*key)

    monkeypatch.setattr(making, "Drawing", NoDrawing)
    monkeypatch.setattr(website, "build", build)
    monkeypatch.setattr(pages, "render", render_once)
