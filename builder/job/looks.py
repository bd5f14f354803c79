"""Running checks over what could be read: each one names the keys it needs."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import Any

from builder.job.reading import Path, Reading

Look = tuple[Callable[..., None], tuple[str, ...]]


def run(looks: Iterable[Look], reading: Reading, *, spoils: bool = False) -> None:
    """Run every look whose keys could all be read; it gets the reading and their values in order.

    spoils: where a look finds a fault, its first key counts as unreadable from then on, so that no
    second fault follows from the first.
    """
    for look, keys in looks:
        paths: list[Path] = [tuple(key.split(".")) for key in keys]
        if all(path in reading.seen for path in paths):
            values: list[Any] = [reading.seen[path] for path in paths]
            before = len(reading.faults)
            look(reading, *values)
            if spoils and len(reading.faults) > before:
                del reading.seen[paths[0]]


def size(value: float) -> str:
    """Return a length in words: millimetres under a metre, metres from there on."""
    return f"{value * 1000:.4g} mm" if abs(value) < 0.9995 else f"{value:.4g} m"
