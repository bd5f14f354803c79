"""The catalogue as a whole: one lazily read mapping a file."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from functools import cached_property
from pathlib import Path
from types import MappingProxyType
from typing import TypeVar

from builder.catalogue import reader
from builder.catalogue.fields import Fields
from builder.catalogue.rows import Fabric, Ground, Material, Pipe, Region, ShellRow, Source, Standard, Thread

R = TypeVar("R")
SHARED = Path(__file__).resolve().parents[2] / "shared"


class Catalogue:
    """What is known: id -> row, each file read at its first use. Any of them may raise InputFaults."""

    def __init__(self, folder: Path, name: str) -> None:
        """Read from `folder`, which faults call `name`."""
        self.folder = folder
        self.name = name

    @cached_property
    def sources(self) -> Mapping[str, Source]:
        """Where facts come from."""
        return self._file("sources", reader.source)

    @cached_property
    def shells(self) -> Mapping[str, ShellRow]:
        """Shells; each `spec` is still the mapping its author wrote."""
        return self._file("shells", self._rows.shell)

    @cached_property
    def pipes(self) -> Mapping[str, Pipe]:
        """Tubes to cut a standpipe from."""
        return self._file("pipes", self._rows.pipe)

    @cached_property
    def grounds(self) -> Mapping[str, Ground]:
        """Natural grounds."""
        return self._file("grounds", self._rows.ground)

    @cached_property
    def materials(self) -> Mapping[str, Material]:
        """Beddings, backfills and sump fills."""
        return self._file("materials", self._rows.material)

    @cached_property
    def fabrics(self) -> Mapping[str, Fabric]:
        """Geotextiles and meshes."""
        return self._file("fabrics", self._rows.fabric)

    @cached_property
    def threads(self) -> Mapping[str, Thread]:
        """Pipe threads."""
        return self._file("threads", self._rows.thread)

    @cached_property
    def standards(self) -> Mapping[str, tuple[Standard, ...]]:
        """Sets of standards that regions name."""
        return self._file("standards", reader.standards)

    @cached_property
    def regions(self) -> Mapping[str, Region]:
        """Places with their own rules."""
        return self._file("regions", reader.Rows(self.sources, self.standards).region)

    @cached_property
    def _rows(self) -> reader.Rows:
        return reader.Rows(self.sources)

    def _file(self, stem: str, row: Callable[[str, Fields], R]) -> Mapping[str, R]:
        file = f"{stem}.yml"
        return MappingProxyType(dict(reader.read_file(self.folder / file, f"{self.name}/{file}", row)))


def load(folder: Path | None = None) -> Catalogue:
    """Return the catalogue in `folder`, by default the project's own; no file is read yet."""
    return Catalogue(SHARED, SHARED.name) if folder is None else Catalogue(folder, str(folder))
