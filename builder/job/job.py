"""A job: the spec with everything it names looked up."""

from __future__ import annotations

from dataclasses import dataclass

from builder import yamlfile
from builder.catalogue import Catalogue, Fabric, Ground, Material, Pipe, Region, Thread
from builder.errors import Fault
from builder.job.reading import DefaultUsed, Path, Reading
from builder.job.schema import Spec


@dataclass(frozen=True)
class Layer:
    """Ground between two depths below ground level, in m; the last bottom is math.inf."""

    top: float
    bottom: float
    soil: Ground


@dataclass(frozen=True)
class Job:
    """One job, complete: what the author wrote, what it refers to, and the defaults it rests on."""

    file: str
    node: yamlfile.Mapping
    spec: Spec
    catalogue: Catalogue
    region: Region
    pipe: Pipe
    layers: tuple[Layer, ...]
    bedding: Material
    backfill: Material
    sump_fill: Material | None
    mesh: Fabric | None
    thread: Thread | None
    defaults_used: tuple[DefaultUsed, ...]
    _reading: Reading

    def fault(self, path: Path, wrong: str, instead: str) -> Fault:
        """Return a fault at the key `path`, such as ("shell", "floor", 1), or its nearest ancestor.

        A key of a catalogue shell is placed in the catalogue's file.
        """
        return self._reading.located(path, wrong, instead)
