"""A catalogue file's nodes turned into rows, every field checked.

One function a kind of row; `read_file` runs one of them over a file and raises InputFaults with
all faults of the file, each `file:line:column: path: what is wrong. What to write instead.`
"""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Collection, Mapping
from pathlib import Path
from typing import Any, TypeVar

from builder import yamlfile
from builder.catalogue.fields import Faults, Fields
from builder.catalogue.rows import (
    ABOUT,
    ACTS,
    Fabric,
    Ground,
    Material,
    Pipe,
    Region,
    ShellRow,
    Source,
    Standard,
    Thread,
    Trade,
)
from builder.errors import InputFaults

R = TypeVar("R")
USES = ("bedding", "backfill", "sump")
HATCHES = ("sand", "gravel", "fine", "coarse", "concrete")
FABRICS = ("nonwoven", "woven", "mesh")
SOURCE_KINDS = ("standard", "law", "manual", "text", "practice", "physics")
_ID = re.compile(r"[A-Za-z0-9][A-Za-z0-9./-]*\Z")


def read_file(path: Path, name: str, row: Callable[[str, Fields], R]) -> Mapping[str, R]:
    """Return id -> row of the file at `path`, called `name` in faults; raises InputFaults."""
    root = yamlfile.read(path, name)
    faults = Faults(name)
    rows: dict[str, R] = {}
    for key, node in root.entries.items():
        place = root.keys[key]
        if not _ID.match(key):
            remedy = "Use letters, digits, dash, point and slash, such as pvc-dn65-pn9"
            faults.add(place, key, "this is no id", remedy)
        if not isinstance(node, yamlfile.Mapping):
            remedy = "Write `name: …` and the other keys under the id"
            faults.add(node, key, "a row is a mapping of keys", remedy)
            continue
        fields = Fields(node, place, key, faults)
        rows[key] = row(key, fields)
        fields.done()
    if faults.found:
        raise InputFaults(faults.found)
    return rows


def source(key: str, fields: Fields) -> Source:
    """Read one row of sources.yml."""
    return Source(
        id=key,
        title=fields.text("title"),
        edition=fields.text("edition", may_be_empty=True),
        kind=fields.choice("kind", SOURCE_KINDS),
        seen=fields.flag("seen"),
        note=fields.text("note") if fields.has("note") else "",
    )


class Rows:
    """The readers of the rows that name sources; `sources` are the ids known."""

    def __init__(
        self, sources: Collection[str], standards: Mapping[str, tuple[Standard, ...]] | None = None
    ) -> None:
        """Keep the ids a row may name, and the sets of standards a region may name."""
        self.sources = sources
        self.standards = standards or {}

    def shell(self, key: str, fields: Fields) -> ShellRow:
        """Read one row of shells.yml; its spec is left to the job."""
        spec = fields.sub("spec") or yamlfile.Mapping({}, {}, fields.node.line, fields.node.column)
        return ShellRow(**self._row(key, fields), spec=spec, file=fields.faults.file)

    def pipe(self, key: str, fields: Fields) -> Pipe:
        """Read one row of pipes.yml."""
        row = Pipe(
            **self._row(key, fields),
            series=fields.text("series"),
            outside=fields.quantity("outside", "m"),
            wall=fields.quantity("wall", "m"),
            sold_lengths=fields.lengths("sold_lengths"),
        )
        if row.bore <= 0:
            fields.fault("wall", "two walls fill the whole tube", "Write the wall, not the diameter")
        return row

    def ground(self, key: str, fields: Fields) -> Ground:
        """Read one row of grounds.yml."""
        return Ground(
            **self._row(key, fields),
            k=fields.range("k", "m/s"),
            cohesive=fields.flag("cohesive"),
            grading=fields.grading_or_none("grading"),
            **_weights(fields),
            drainable_porosity=fields.fraction("drainable_porosity"),
            bulking=fields.quantity("bulking", "1", least=1.0),
            batter=fields.slope("batter"),
            look=fields.text("look"),
        )

    def material(self, key: str, fields: Fields) -> Material:
        """Read one row of materials.yml."""
        return Material(
            **self._row(key, fields),
            uses=fields.choices("uses", USES),
            drains=fields.flag_or_unknown("drains"),
            k=fields.range_or_unknown("k", "m/s"),
            grading=fields.grading_or_none("grading"),
            **_weights(fields),
            porosity=fields.quantity_or_unknown("porosity", "1", most=1.0),
            bulk_density=fields.quantity("bulk_density", "kg/m3"),
            waste=fields.fraction("waste"),
            cemented=fields.flag("cemented"),
            hatch=fields.choice("hatch", HATCHES),
            ask_for=fields.text("ask_for"),
        )

    def fabric(self, key: str, fields: Fields) -> Fabric:
        """Read one row of fabrics.yml."""
        return Fabric(
            **self._row(key, fields),
            kind=fields.choice("kind", FABRICS),
            opening=fields.quantity_or_unknown("opening", "m"),
            permittivity=fields.quantity_or_unknown("permittivity", "1/s"),
            thickness=fields.quantity_or_unknown("thickness", "m"),
            ask_for=fields.text("ask_for"),
        )

    def thread(self, key: str, fields: Fields) -> Thread:
        """Read one row of threads.yml."""
        return Thread(**self._row(key, fields), pitch=fields.quantity("pitch", "m"))

    def region(self, key: str, fields: Fields) -> Region:
        """Read one row of regions.yml."""
        sets = fields.choices("standards", tuple(self.standards))
        return Region(
            **self._row(key, fields),
            units=fields.choice("units", ("metric", "us")),
            barrier_depth=fields.quantity("barrier_depth", "m"),
            barrier_rule=fields.text("barrier_rule"),
            dig_trigger=fields.quantity("dig_trigger", "m"),
            dig_rule=fields.text("dig_rule"),
            services=fields.text("services"),
            emergency=fields.text("emergency"),
            approval=fields.text("approval"),
            electrical=fields.text("electrical"),
            dewatering=fields.text("dewatering"),
            trades=_trades(fields),
            standards=tuple(one for name in sets for one in self.standards.get(name, ())),
        )

    def _row(self, key: str, fields: Fields) -> dict[str, Any]:
        memory, memory_of = fields.memory()
        return {
            "id": key,
            "name": fields.text("name"),
            "source": fields.choice("source", self.sources),
            "where": fields.text("where", may_be_empty=True),
            "memory": memory,
            "also": fields.choices("also", self.sources) if fields.has("also") else (),
            "memory_of": memory_of,
        }


def standards(_key: str, fields: Fields) -> tuple[Standard, ...]:
    """Read one set of standards.yml: number -> {title, year, about, sure}."""
    found = []
    for number in fields.node.entries:
        node = fields.sub(number)
        if node is not None:
            own = Fields(node, fields.node.keys[number], fields.below(number), fields.faults)
            found.append(
                Standard(
                    number=number,
                    title=own.text("title"),
                    year=own.text("year", may_be_empty=True),
                    about=own.choice("about", ABOUT),
                    sure=own.choice("sure", ("found", "memory")),
                )
            )
            own.done()
    return tuple(found)


def _weights(fields: Fields) -> dict[str, Any]:
    moist = fields.quantity("unit_weight_moist", "N/m3")
    saturated = fields.quantity("unit_weight_saturated", "N/m3")
    if saturated < moist:
        wrong = "it weighs less full of water than moist"
        fields.fault("unit_weight_saturated", wrong, "Check both unit weights")
    return {
        "friction_angle": fields.quantity("friction_angle", "rad", most=math.pi / 2),
        "unit_weight_moist": moist,
        "unit_weight_saturated": saturated,
    }


def _trades(fields: Fields) -> tuple[Trade, ...]:
    node = fields.sub("trades")
    if node is None:
        return ()
    acts = Fields(node, fields.node.keys["trades"], fields.below("trades"), fields.faults)
    found = []
    for act in ACTS:
        who = acts.sub(act)
        if who is not None:
            own = Fields(who, node.keys[act], acts.below(act), fields.faults)
            found.append(Trade(act, own.text("who"), own.flag("memory")))
            own.done()
    acts.done()
    return tuple(found)
