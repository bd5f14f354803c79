"""One reading of one job spec: the faults found, the values read, the defaults used.

A *kind* (scalars.py, shapes.py) turns one node of the YAML tree into a value, or reports a fault
and returns BROKEN; nothing stops at the first fault. A value that could be read is kept under its
path in `seen`, so that the geometry of a sound part is looked at although another part is broken.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from enum import Enum
from typing import Any, Final, Protocol

from builder import yamlfile
from builder.catalogue import Catalogue
from builder.errors import Fault
from builder.yamlfile import Mapping, Node, Sequence, Step, Text

Path = tuple[Step, ...]
MAX_FAULTS = 200  # a file with more has one cause; the rest would bury it
ECHO = 40  # characters of the author's text that a fault repeats


class _Broken(Enum):
    """What a kind returns after it has reported a fault."""

    BROKEN = 0


BROKEN: Final = _Broken.BROKEN


class Kind(Protocol):
    """Reads one node: returns the value, or reports to `reading` and returns BROKEN."""

    @property
    def example(self) -> str:
        """What to write there, for a fault's remedy."""

    def read(self, node: Node, at: Path, reading: Reading) -> Any:
        """Return the value of `node`, which stands at the path `at`."""


@dataclass(frozen=True)
class DefaultUsed:
    """A default this job rests on: key, value as one would write it, why, and who may change it."""

    path: str
    value: str
    why: str
    who: str


@dataclass(frozen=True)
class _Home:
    """Where the part of the tree below a path was written: file, tree, and its name in faults."""

    file: str
    root: Node
    shown: Path


class Reading:
    """What one reading has found so far."""

    def __init__(self, file: str, root: Mapping, catalogue: Catalogue) -> None:
        """Start with the tree of one file, called `file` in its faults."""
        self.root = root
        self.catalogue = catalogue
        self.faults: list[Fault] = []
        self.seen: dict[Path, Any] = {}
        self.used: list[DefaultUsed] = []
        self._homes: dict[Path, _Home] = {(): _Home(file, root, ())}

    @property
    def full(self) -> bool:
        """Whether so many faults stand that more would bury the first."""
        return len(self.faults) >= MAX_FAULTS

    def settle(self, at: Path, file: str, root: Node, shown: Path) -> None:
        """Note that what stands at the path `at` was written in another file, as the tree `root`."""
        self._homes[at] = _Home(file, root, shown)

    def fault(self, node: Node | Text, at: Path, wrong: str, instead: str) -> None:
        """Report a fault at the place of `node`."""
        home, rest = self._home(at)
        self._add(Fault(home.file, node.line, node.column, _shown(home, rest), wrong, instead))

    def fault_at(self, at: Path, wrong: str, instead: str) -> None:
        """Report a fault at what stands at the path `at`, or at its nearest ancestor."""
        self._add(self.located(at, wrong, instead))

    def located(self, at: Path, wrong: str, instead: str) -> Fault:
        """Return the fault at the path `at`, in the file where that part was written."""
        home, rest = self._home(at)
        line, column = yamlfile.place(home.root, rest)
        return Fault(home.file, line, column, _shown(home, rest), wrong, instead)

    def borrow(self, faults: Iterable[Fault]) -> None:
        """Take over the faults of another file, such as the catalogue's."""
        for fault in faults:
            self._add(fault)

    def _add(self, fault: Fault) -> None:
        if not self.full and fault not in self.faults:
            self.faults.append(fault)

    def _home(self, at: Path) -> tuple[_Home, Path]:
        for length in range(len(at), -1, -1):
            home = self._homes.get(at[:length])
            if home is not None:
                return home, at[length:]
        raise AssertionError("the whole file has a home")  # pragma: no cover


def echo(text: str) -> str:
    """Return the author's text for a fault: in quotes, shortened, nothing unprintable in it."""
    return repr(text if len(text) <= ECHO else f"{text[: ECHO - 1]}…")


def found(node: Node) -> str:
    """Return what stands at a node, in words."""
    if isinstance(node, Text):
        return "the text " + echo(node.text) if node.text else "nothing"
    return "a list" if isinstance(node, Sequence) else "a mapping"


def wrong_shape(node: Node, at: Path, reading: Reading, example: str) -> Any:
    """Report that the node has another shape than the example; returns BROKEN."""
    reading.fault(node, at, f"{found(node)} stands here", f"Write {like(example)}")
    return BROKEN


def like(example: str) -> str:
    """Return an example for a remedy: prose as it is, a bare value as one of its kind."""
    prose = example.partition(" ")[0] in ("a", "an", "the", "four", "yes") or " or " in example
    return example if prose else f"it like {example}"


def listed(words: tuple[str, ...] | list[str], most: int = 12) -> str:
    """Return `a, b or c`."""
    shown = list(words[:most])
    if len(words) > most:
        return ", ".join(shown) + f" or one of {len(words) - most} more"
    return shown[0] if len(shown) == 1 else ", ".join(shown[:-1]) + " or " + shown[-1]


def _shown(home: _Home, rest: Path) -> str:
    plain = tuple(
        step for step in rest if isinstance(step, int) or (step.isidentifier() and len(step) <= ECHO)
    )
    return yamlfile.dotted((*home.shown, *plain))
