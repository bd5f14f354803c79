"""The kind of a catalogue row's id."""

from __future__ import annotations

from collections.abc import Mapping as MappingABC
from dataclasses import dataclass
from typing import Any

from builder.catalogue.nearest import nearest
from builder.errors import InputFaults
from builder.job.reading import BROKEN, ECHO, Path, Reading, echo, listed, wrong_shape
from builder.yamlfile import Node, Text


@dataclass(frozen=True)
class Id:
    """The id of a catalogue row; `use` narrows materials to beddings, backfills or sump fills."""

    shelf: str
    example: str
    use: str = ""

    def read(self, node: Node, at: Path, reading: Reading) -> Any:
        """Return the id."""
        if not isinstance(node, Text) or not node.text:
            return wrong_shape(node, at, reading, self.example)
        try:
            rows: MappingABC[str, Any] = getattr(reading.catalogue, self.shelf)
        except InputFaults as exc:
            reading.borrow(exc.faults)
            return BROKEN
        name = node.text.strip()
        if name not in rows:
            report_unknown(node, at, reading, self.shelf, rows, self.use)
            return BROKEN
        if self.use and self.use not in rows[name].uses:
            fit = sorted(key for key, row in rows.items() if self.use in row.uses)
            wrong = f"{echo(name)} is not a material for {_USES[self.use]}"
            reading.fault(node, at, wrong, f"Write {listed(fit)}")
            return BROKEN
        return name


_USES = {"bedding": "bedding", "backfill": "backfill", "sump": "the sump"}


def report_unknown(
    node: Text, at: Path, reading: Reading, shelf: str, rows: MappingABC[str, Any], use: str = ""
) -> None:
    """Report an id that no row of a shelf has, with the nearest that has."""
    known = sorted(key for key, row in rows.items() if not use or use in row.uses)
    begun = [name for name in known if name.startswith(node.text.strip())]
    near = nearest(node.text[:ECHO], known)
    instead = f"Write {listed(begun)}" if begun else f"Write {near or listed(known)}"
    reading.fault(node, at, f"{echo(node.text)} is not in shared/{shelf}", instead)
