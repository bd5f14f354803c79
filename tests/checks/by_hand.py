"""Jobs whose numbers can be worked out on paper: a plain box, and parts with round values.

The parts are invented here and stand beside the project's own rows, so that no expected value of a
test hangs on what the catalogue happens to say.
"""

from __future__ import annotations

import copy
import math
from collections.abc import Mapping
from functools import cache
from typing import Any

import yaml

from builder import yamlfile
from builder.catalogue import Catalogue, Fabric, Grading, Ground, Material, Pipe, Thread, load
from builder.checks import Results, work
from builder.job import Job, of
from builder.levels import Levels, place
from builder.quantity import Range

# (sieve, passing): nothing finer than 2 mm, all finer than 8 mm, a straight line on the log scale,
# so the size that a share p is finer than is 2 mm · 4^p.
TWO_TO_EIGHT = Grading(((0.008, 1.0, 1.0), (0.002, 0.0, 0.0)))

ROW: dict[str, Any] = {"source": "demo", "where": "invented", "memory": False}
BULK: dict[str, Any] = {
    "friction_angle": math.radians(35),
    "unit_weight_moist": 16000.0,
    "unit_weight_saturated": 20000.0,
}


def _ground(name: str, low: float, typical: float, high: float, *, grading: Grading | None = None) -> Ground:
    return Ground(
        id=name,
        name=name.title(),
        k=Range(low, typical, high),
        cohesive=False,
        grading=grading,
        drainable_porosity=0.2,
        bulking=1.2,
        batter=math.radians(45),
        look="invented",
        **ROW,
        **BULK,
    )


def _material(name: str, k: Range | None, porosity: float | None, drains: bool | None) -> Material:
    return Material(
        id=name,
        name=name.title(),
        uses=("bedding", "backfill", "sump"),
        drains=drains,
        k=k,
        grading=TWO_TO_EIGHT if drains else None,
        porosity=porosity,
        bulk_density=1500.0,
        waste=0.1,
        cemented=False,
        hatch="gravel",
        ask_for="invented",
        **ROW,
        **BULK,
    )


GROUNDS = (
    _ground("open-ground", 1e-4, 1e-3, 1e-2, grading=TWO_TO_EIGHT),
    _ground("fair-ground", 1e-7, 1e-6, 1e-5),
    _ground("tight-ground", 1e-9, 1e-8, 1e-7),
)
MATERIALS = (
    _material("bed", Range(1e-3, 1e-2, 1e-1), 0.4, True),
    _material("fill", Range(2e-3, 2e-2, 2e-1), 0.3, True),
    _material("stone", Range(1e-2, 1e-1, 1.0), 0.5, True),
    _material("dust", Range(1e-8, 1e-7, 1e-6), 0.3, False),
    _material("riddle", None, None, None),
)
FABRICS = (
    Fabric(
        "cloth", "Cloth", kind="nonwoven", opening=2e-4, permittivity=0.5, thickness=1e-3, ask_for="", **ROW
    ),
    Fabric("veil", "Veil", kind="mesh", opening=2e-4, permittivity=None, thickness=1e-3, ask_for="", **ROW),
)
PIPES = (
    Pipe("tube-80", "Tube 80", series="invented", outside=0.080, wall=0.004, sold_lengths=(3.0, 6.0), **ROW),
    Pipe("tube-110", "Tube 110", series="invented", outside=0.110, wall=0.005, sold_lengths=(6.0,), **ROW),
)
THREADS = (Thread("T4", "Thread 4", pitch=0.004, **ROW),)

# A box 6 m by 3 m by 1.4 m, walls upright, dug upright; groundwater 550 mm below the rim.
BOX: dict[str, Any] = {
    "ref": "BOX-1",
    "title": "Box",
    "region": "au-nsw",
    "shell": {
        "outline": {"length": "6 m", "width": "3 m"},
        "floor": [["0 m", "1.4 m"], ["6 m", "1.4 m"]],
        "wall_batter": "0 deg",
        "wall": "10 mm",
        "floor_thickness": "20 mm",
        "laminate_density": "1500 kg/m3",
        "mass": "800 kg",
        "relief": {
            "at": "lowest",
            "throat": "50 mm",
            "thread": "T4",
            "flange": "90 mm",
            "opening_head": "60 mm",
            "discharge_coefficient": "0.6",
            "seal": {"bead": "8 mm"},
            "fitted_by": "site",
        },
    },
    "levels": {
        "rim_above_ground": "50 mm",
        "paving_above_rim": "40 mm",
        "water_below_rim": "120 mm",
        "overflow_below_rim": "60 mm",
        "peg": {"above_rim": "500 mm", "where": "gate post"},
    },
    "ground": {"soil": "fair-ground", "groundwater": "0.5 m", "tidal": "no"},
    "bedding": {"material": "bed", "thickness": "80 mm"},
    "backfill": {"material": "fill", "working_gap": "300 mm", "lift": "150 mm"},
    "standpipe": {
        "pipe": "tube-80",
        "beside": "deep end",
        "pit": {"depth": "300 mm", "width": "400 mm"},
        "foot_below_underside": "330 mm",
        "slotted": "600 mm",
        "slot_width": "1.5 mm",
        "slot_length": "30 mm",
        "rows": "3",
        "pitch": "25 mm",
        "below_lid": "30 mm",
    },
    "sump": "none",
    "mesh": "cloth",
    "ring_beam": {"width": "300 mm", "depth": "200 mm", "tied": "no"},
    "pump": {"body": "50 mm", "min_depth": "50 mm"},
    "water": {"flow": "18 L/min", "density": "1000 kg/m3"},
    "excavation": {"batter": "none", "shoring": "engineer", "truck": "8 m3"},
}


@cache
def parts() -> Catalogue:
    """The project's catalogue with this module's parts beside its own."""
    catalogue = load()
    for table, rows in (
        ("grounds", GROUNDS),
        ("materials", MATERIALS),
        ("fabrics", FABRICS),
        ("pipes", PIPES),
        ("threads", THREADS),
    ):
        vars(catalogue)[table] = {**getattr(catalogue, table), **{row.id: row for row in rows}}
    return catalogue


def spec(changes: Mapping[str, Any] | None = None, base: Mapping[str, Any] = BOX) -> dict[str, Any]:
    """The box's spec with values changed by dotted key; None takes a key out."""
    changed = copy.deepcopy(dict(base))
    for path, value in (changes or {}).items():
        *above, last = path.split(".")
        node = changed
        for key in above:
            if not isinstance(node.get(key), dict):
                node[key] = {}
            node = node[key]
        if value is None:
            node.pop(last, None)
        else:
            node[last] = value
    return changed


def job(changes: Mapping[str, Any] | None = None, base: Mapping[str, Any] = BOX) -> Job:
    """The job of a changed spec, read as from a file."""
    text = yaml.safe_dump(spec(changes, base), sort_keys=False, allow_unicode=True)
    return of(yamlfile.parse(text.encode(), "box.yml"), "box.yml", parts())


def levels(
    changes: Mapping[str, Any] | None = None, base: Mapping[str, Any] = BOX, step: float | None = None
) -> Levels:
    """The levels of a changed spec."""
    return place(job(changes, base)) if step is None else place(job(changes, base), step)


def results(changes: Mapping[str, Any] | None = None, base: Mapping[str, Any] = BOX) -> Results:
    """Every number of a changed spec."""
    return work(levels(changes, base))
