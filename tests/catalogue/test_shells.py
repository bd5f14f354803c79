"""The invented shells: each can be built, and its mass belongs to its laminate."""

from __future__ import annotations

import math
from itertools import pairwise
from typing import Any

import numpy as np
import pytest

from builder.catalogue import load
from builder.plan import Outline, rectangle
from builder.units import parse
from builder.yamlfile import plain

SHELLS = load().shells
SPECS: dict[str, dict[str, Any]] = {key: plain(row.spec) for key, row in SHELLS.items()}


def outline_of(spec: dict[str, Any]) -> Outline:
    given = spec["outline"]
    if "points" in given:
        return Outline(np.array([[parse(value, "m") for value in point] for point in given["points"]]))
    radius = parse(given.get("corner_radius", "0 mm"), "m")
    return rectangle(parse(given["length"], "m"), parse(given["width"], "m"), radius)


def floor_of(spec: dict[str, Any]) -> tuple[list[float], list[float]]:
    stations = [[parse(value, "m") for value in station] for station in spec["floor"]]
    return [x for x, _ in stations], [z for _, z in stations]


def test_the_example_shell_is_as_the_spec_describes_it() -> None:
    assert SPECS["tern-74"] == {
        "outline": {"length": "7.4 m", "width": "3.4 m", "corner_radius": "300 mm"},
        "floor": [["0 m", "1.15 m"], ["4.8 m", "1.70 m"], ["7.4 m", "1.70 m"]],
        "ledges": [
            {"name": "entry steps", "at": ["0 m", "0 m"], "size": ["0.9 m", "3.4 m"], "depth": "400 mm"}
        ],
        "wall_batter": "4 deg",
        "wall": "7 mm",
        "mass": "780 kg",
        "relief": {
            "at": "lowest",
            "throat": "50 mm",
            "thread": "G2",
            "flange": "90 mm",
            "opening_head": "60 mm",
            "discharge_coefficient": "0.6",
            "seal": "ring",
            "fitted_by": "factory",
        },
        "skimmer": {"at": ["6.9 m", "0 m"]},
        "wall_limit": {"outward": "6 kPa", "inward": "3 kPa"},
    }


@pytest.mark.parametrize("key", SPECS)
def test_the_floor_runs_from_the_first_point_of_the_outline_to_its_last(key: str) -> None:
    low_x, low_y, high_x, _ = outline_of(SPECS[key]).bounds
    x, _ = floor_of(SPECS[key])
    assert (low_x, low_y) == (0.0, 0.0)
    assert x[0] == 0.0
    assert x[-1] == pytest.approx(high_x, abs=1e-9)
    assert all(after > before for before, after in pairwise(x))


@pytest.mark.parametrize("key", SPECS)
def test_walls_do_not_meet_above_the_deepest_floor(key: str) -> None:
    spec = SPECS[key]
    _, z = floor_of(spec)
    foot = outline_of(spec).offset(-max(z) * math.tan(parse(spec["wall_batter"], "rad")))
    assert foot.geom_type == "Polygon"
    assert foot.area > 0.5 * outline_of(spec).polygon.area


@pytest.mark.parametrize("key", SPECS)
def test_ledges_lie_in_the_shell_above_the_floor_and_not_on_its_deepest_run(key: str) -> None:
    spec = SPECS[key]
    low_x, low_y, high_x, high_y = outline_of(spec).bounds
    x, z = floor_of(spec)
    for ledge in spec.get("ledges", []):
        (at_x, at_y), (length, width) = (
            [parse(value, "m") for value in ledge[part]] for part in ("at", "size")
        )
        depth = parse(ledge["depth"], "m")
        assert low_x <= at_x < at_x + length <= high_x + 1e-9
        assert low_y <= at_y < at_y + width <= high_y + 1e-9
        assert depth < np.interp([at_x, at_x + length], x, z).min()
        deepest = [station for station, below in zip(x, z, strict=True) if below == max(z)]
        covered = at_x <= min(deepest) and max(deepest) <= at_x + length and width >= high_y - low_y - 1e-9
        assert not covered


@pytest.mark.parametrize("key", SPECS)
def test_mass_is_laminate_and_a_fifth_to_a_third_more_for_rim_and_ribs(key: str) -> None:
    # By hand for quail-60: walls 18 m x 1.35 m = 24.3 m2, floor 18.0 m2, 6 mm at 1600 kg/m3:
    # 42.3 * 0.006 * 1600 = 406 kg; 530 / 406 = 1.31.
    spec = SPECS[key]
    outline, (x, z) = outline_of(spec), floor_of(spec)
    batter = parse(spec["wall_batter"], "rad")
    wall, density = parse(spec["wall"], "m"), parse(spec.get("laminate_density", "1600 kg/m3"), "kg/m3")
    walls = 0.0
    for start, end in zip(outline.points, np.roll(outline.points, -1, axis=0), strict=True):
        along = np.linspace(start[0], end[0], 41)
        walls += float(np.hypot(*(end - start)) * np.interp(along, x, z).mean())
    foot = outline.offset(-float(np.mean(z)) * math.tan(batter)).area
    floor = parse(spec.get("floor_thickness", spec["wall"]), "m")
    laminate = density * (walls / math.cos(batter) * wall + foot * floor)
    assert 1.20 <= parse(spec["mass"], "kg") / laminate <= 1.35


@pytest.mark.parametrize("key", SPECS)
def test_the_valve_of_a_shell_names_a_known_thread(key: str) -> None:
    relief = SPECS[key]["relief"]
    assert relief["thread"] in load().threads
    assert parse(relief["throat"], "m") < parse(relief["flange"], "m")


def test_the_shells_differ_in_every_choice_a_shell_can_make() -> None:
    reliefs = [spec["relief"] for spec in SPECS.values()]
    assert {relief["fitted_by"] for relief in reliefs} == {"factory", "site"}
    assert {type(relief["seal"]) for relief in reliefs} == {str, dict}
    assert {relief["thread"] for relief in reliefs} == {"G2", "G1-1/2", "NPT2", "NPT1-1/2"}
    assert {"lowest"} < {str(relief["at"]) for relief in reliefs}
    assert {"points" in spec["outline"] for spec in SPECS.values()} == {True, False}
    assert {"wall_limit" in spec for spec in SPECS.values()} == {True, False}
    assert {bool(spec.get("ledges")) for spec in SPECS.values()} == {True, False}
    lengths = {key: outline_of(spec).bounds[2] for key, spec in SPECS.items()}
    assert max(lengths.values()) == 10.0
    assert min(lengths.values()) < 4.0
    assert any(parse(spec["wall_batter"], "rad") == 0.0 for spec in SPECS.values())
    assert not all(outline_of(spec).convex for spec in SPECS.values())


def test_a_shell_row_keeps_the_place_of_its_spec_for_faults() -> None:
    row = SHELLS["tern-74"]
    lines = (load().folder / "shells.yml").read_text(encoding="utf-8").splitlines()
    assert row.file == "shared/shells.yml"
    assert lines[row.spec.keys["outline"].line - 1].strip().startswith("outline: {length: 7.4 m")
