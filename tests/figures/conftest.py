"""Every demo job, placed and worked once, and every figure of it drawn once."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import NamedTuple

import pytest

from builder import checks, job, levels
from builder.figures import NAMES, Drawn, draw

ROOT = Path(__file__).resolve().parents[2]
JOBS = sorted((ROOT / "jobs").glob("*.yml"))


class Made(NamedTuple):
    """One job with everything a figure needs, and its figures by name."""

    name: str
    levels: levels.Levels
    results: checks.Results
    drawn: dict[str, Drawn]


def make(path: Path) -> Made:
    placed = levels.place(job.read(path))
    results = checks.work(placed)
    return Made(path.stem, placed, results, {name: draw(name, placed, results) for name in NAMES})


@pytest.fixture(scope="session", params=JOBS, ids=[path.stem for path in JOBS])
def made(request: pytest.FixtureRequest) -> Made:
    return make(request.param)


@pytest.fixture
def changed(tmp_path: Path) -> Callable[..., Made]:
    """Make the box job again with some of its text replaced."""

    def build(**swaps: str) -> Made:
        text = PLAIN
        for old, new in swaps.items():
            text = text.replace(f"<{old}>", new)
        for name, usual in USUAL.items():
            text = text.replace(f"<{name}>", usual)
        path = tmp_path / "job.yml"
        path.write_text(text, encoding="utf-8")
        return make(path)

    return build


USUAL = {
    "length": "7.4 m",
    "width": "3.4 m",
    "ledge": "steps",
    "deep": "1.70 m",
    "water": "120 mm",
    "groundwater": "1.9 m",
    "batter": "45 deg",
    "region": "au-nsw",
    "more": "",
}
PLAIN = """\
ref: FIG-1
title: A box
region: <region>
shell:
  outline: {length: <length>, width: <width>, corner_radius: 300 mm}
  floor: [[0 m, 1.15 m], [4.8 m, <deep>], [<length>, <deep>]]
  ledges: [{name: "<ledge>", at: [0 m, 0 m], size: [0.9 m, <width>], depth: 400 mm}]
  wall: 7 mm
  wall_batter: 4 deg
  mass: 780 kg
levels: {water_below_rim: <water>}
ground:
  soil: stiff-clay
  groundwater: <groundwater>
excavation: {batter: <batter>}
<more>
"""
