"""Common-practice values: what builders usually do, with no standard claimed; shared/practice.yml.

Pages quote them, and numbers are worked with them where a habit goes into a sum.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path
from typing import cast

from builder.catalogue.fields import Fields
from builder.catalogue.reader import read_file
from builder.catalogue.store import SHARED
from builder.units import UNITS, NotAQuantity, SafeSide, parse

SIDES = ("up", "down", "nearest")


@dataclass(frozen=True)
class Practice:
    """A value nobody has read in a standard, SI: what it is, its dimension, and whose habit it is.

    side: which way its inches are rounded in a region that counts in feet.
    """

    id: str
    words: str
    value: float
    dimension: str  # SI symbol; "1" for a count
    side: SafeSide
    source: str
    memory: bool


@lru_cache(maxsize=4)
def practices(folder: Path = SHARED) -> Mapping[str, Practice]:
    """Return the common-practice values by id; raises InputFaults."""
    return read_file(folder / "practice.yml", f"{folder.name}/practice.yml", _practice)


def _practice(key: str, fields: Fields) -> Practice:
    typed = fields.text("value")
    unit = UNITS.get(typed.partition(" ")[2])
    dimension = unit.dimension if unit else "1"
    value = 0.0
    try:
        value = parse(typed, dimension)
    except NotAQuantity as exc:
        fields.fault("value", exc.wrong, exc.instead)
    return Practice(
        id=key,
        words=fields.text("words"),
        value=value,
        dimension=dimension,
        side=cast("SafeSide", fields.choice("side", SIDES)) if fields.has("side") else "nearest",
        source=fields.text("source"),
        memory=fields.flag("memory"),
    )
