"""Every calculation of the calc room, and inputs of a sensible size to draw for it."""

from __future__ import annotations

import importlib
import math
import pkgutil
import re
from collections.abc import Mapping
from types import ModuleType
from typing import Any

import pytest
from hypothesis import strategies as st

import builder.calc
from builder.quantity import Calculation

ROOMS: list[ModuleType] = [
    importlib.import_module(f"builder.calc.{m.name}") for m in pkgutil.iter_modules(builder.calc.__path__)
]
ALL: list[Calculation[Any]] = [
    found
    for room in ROOMS
    for found in vars(room).values()
    if isinstance(found, Calculation) and found.__module__ == room.__name__
]
NAMES = [f"{c.__module__.rpartition('.')[2]}.{c.__name__}" for c in ALL]
EACH = pytest.mark.parametrize("calculation", ALL, ids=NAMES)

Band = tuple[float, float]

# Sensible ranges by unit, and by name where the unit alone says too little.
BY_UNIT: dict[str, Band] = {
    "m": (1e-3, 10.0),
    "m2": (1e-5, 60.0),
    "m3": (1e-4, 80.0),
    "m4": (0.1, 600.0),
    "kg": (100.0, 9000.0),
    "kg/m3": (900.0, 2500.0),
    "m3/s": (1e-6, 1e-2),
    "m/s": (1e-10, 1.0),
    "s/m2": (0.0, 1e9),
    "m/s2": (9.7, 9.9),
    "1/s": (0.01, 15.0),
    "s": (1.0, 1e9),
    "Pa": (0.0, 3e4),
    "Pa s": (8e-4, 1.8e-3),
    "N/m3": (9e3, 2.5e4),
    "rad": (0.2, 1.5),
    "1": (0.05, 3.0),
}
# Depths below the rim and heights about it take either sign.
SIGNED = re.compile(
    r"groundwater$|water_level|float_level|level_at_safety|tube_top|mark$|reach$|above_rim|below_rim"
)
BY_NAME: dict[str, Band] = {
    "porosity": (0.05, 0.6),
    "d10": (1e-6, 0.05),
    "rows": (1.0, 6.0),
    "spare_mm": (0.0, 500.0),
    "slot_count": (1.0, 500.0),
    "safety": (1.0, 2.0),
    "passing_small": (0.0, 0.4),
    "passing": (0.4, 0.6),
    "passing_large": (0.6, 1.0),
    "small": (1e-6, 0.01),
    "large": (0.01, 0.1),
    "outer_radius": (0.5, 50.0),
    "radius": (0.01, 0.4),
    "opening_head": (0.0, 0.2),
    "head": (0.21, 5.0),
    "bore": (0.04, 0.2),
    "diameter": (0.04, 0.25),
    "outside_diameter": (0.04, 0.25),
    "wall": (0.001, 0.01),
    "tube_yield": (2e-3, 1e-2),
    "pump_flow": (2e-3, 1e-2),
    "inflow": (1e-6, 1e-3),
    "depth": (1.1, 3.0),
    "fill_top": (0.0, 1.0),
}


def band(name: str, unit: str) -> Band:
    """Return the least and greatest value drawn for an argument."""
    low, high = BY_NAME.get(name, BY_UNIT[unit])
    return (-high, high) if unit == "m" and SIGNED.search(name) else (low, high)


def drawn(low: float, high: float) -> st.SearchStrategy[float]:
    """Draw between two values: evenly on the logarithm where they lie far apart."""
    if low > 0 and high / low > 1000:
        return st.floats(math.log10(low), math.log10(high)).map(lambda power: 10**power)
    return st.floats(low, high)


def inputs_of(
    calculation: Calculation[Any], own: Mapping[str, Band] | None = None
) -> st.SearchStrategy[dict[str, float]]:
    """Draw a value for every argument; `own` are the bands of this calculation alone."""
    bands = {name: band(name, unit) for name, unit in calculation.units.items()} | dict(own or {})
    return st.fixed_dictionaries({name: drawn(*each) for name, each in bands.items()})
