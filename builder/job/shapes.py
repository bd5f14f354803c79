"""Kinds of many values: lists, places in plan, mappings read into dataclasses, and either-or.

A mapping's keys are the fields of a dataclass annotated with a kind (`Annotated[float, Quantity(…)]`).
Either-or is decided by what stands there (a word, a value, a list, a mapping), never by trying one
branch after the other, so a fault is always the fault of the branch the author meant.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Callable
from collections.abc import Mapping as MappingABC
from dataclasses import dataclass, field
from functools import cache, cached_property
from typing import Annotated, Any, get_args, get_origin

from builder.catalogue.nearest import nearest
from builder.job import defaults
from builder.job.reading import (
    BROKEN,
    ECHO,
    DefaultUsed,
    Kind,
    Path,
    Reading,
    echo,
    found,
    like,
    listed,
    wrong_shape,
)
from builder.job.scalars import Quantity
from builder.yamlfile import Mapping, Node, Sequence, Text, dotted

MOST_UNKNOWN = 20  # unknown keys reported of one mapping
_NOTHING = ("no", "null", "nil", "nothing", "~", "false", "off", "none")


@cache
def keys_of(cls: type) -> MappingABC[str, Kind]:
    """Return the keys a dataclass is read from, in order, each with its kind."""
    kinds: dict[str, Kind] = {}
    for item in dataclasses.fields(cls):
        if isinstance(item.type, str):
            raise TypeError(f"{cls.__name__}: annotations are read as they stand, not postponed")
        if get_origin(item.type) is Annotated:
            kinds[item.name] = get_args(item.type)[1]
    return kinds


@dataclass(frozen=True)
class ListOf:
    """A list of `least` to `most` items; `none` stands for the empty one where that is allowed."""

    kind: Kind
    least: int
    most: int
    example: str

    def read(self, node: Node, at: Path, reading: Reading) -> Any:
        """Return a tuple of the items."""
        if isinstance(node, Text) and node.text.strip() == "none" and not self.least:
            return ()
        if not isinstance(node, Sequence):
            return wrong_shape(node, at, reading, self.example)
        if not self.least <= len(node.items) <= self.most:
            wrong = f"the list has {_items(node)}"
            limits = f"{self.least}" if self.least == self.most else f"{self.least} to {self.most}"
            reading.fault(node, at, wrong, f"Write {limits} items: {self.example}")
            return BROKEN
        values = [self.kind.read(item, (*at, place), reading) for place, item in enumerate(node.items)]
        return BROKEN if any(value is BROKEN for value in values) else tuple(values)


@dataclass(frozen=True)
class Pair:
    """A list of two quantities, such as [x, y]."""

    first: Quantity
    second: Quantity
    example: str

    def read(self, node: Node, at: Path, reading: Reading) -> Any:
        """Return the two SI values."""
        if not isinstance(node, Sequence):
            return wrong_shape(node, at, reading, self.example)
        if len(node.items) != 2:
            reading.fault(node, at, f"the list has {_items(node)}, not two", f"Write {self.example}")
            return BROKEN
        values = tuple(
            kind.read(item, (*at, place), reading)
            for place, (kind, item) in enumerate(zip((self.first, self.second), node.items, strict=True))
        )
        return BROKEN if any(value is BROKEN for value in values) else values


@dataclass(frozen=True)
class Fields:
    """A mapping read into a dataclass; of the keys in `one_of` exactly one stands there."""

    cls: type
    example: str
    one_of: tuple[str, ...] = ()
    then: Callable[[Any, Node, Path, Reading], Any] | None = None

    @cached_property
    def kinds(self) -> MappingABC[str, Kind]:
        """The keys, each with its kind."""
        return keys_of(self.cls)

    def read(self, node: Node, at: Path, reading: Reading, extra: MappingABC[str, Any] | None = None) -> Any:
        """Return the dataclass, or what `then` makes of it."""
        if not isinstance(node, Mapping):
            return wrong_shape(node, at, reading, self.example)
        unknown = [key for key in node.entries if key not in self.kinds]
        mistyped = self._report_unknown(unknown, node, at, reading)
        sound = self._one_of(node, at, reading, mistyped) and not unknown
        values: dict[str, Any] = dict(extra or {})
        for key, kind in self.kinds.items():
            if key in mistyped:  # one fault a problem: neither missing nor left to its default
                values[key] = BROKEN
            elif key not in values:
                values[key] = _value(key, kind, node, at, reading)
        if not sound or any(value is BROKEN for value in values.values()):
            return BROKEN
        value = self.cls(**values)
        return self.then(value, node, at, reading) if self.then else value

    def _one_of(self, node: Mapping, at: Path, reading: Reading, mistyped: set[str]) -> bool:
        given = [key for key in self.one_of if key in node.entries]
        if not self.one_of or len(given) == 1 or mistyped.intersection(self.one_of):
            return True
        first, others = self.one_of[0], listed(self.one_of[1:])
        if not given:
            instead = f"Add it, such as `{first}: {self.kinds[first].example}`, or else {others}"
            reading.fault(node, (*at, first), "this key is missing", instead)
        else:
            reading.fault(
                node.keys[given[1]], (*at, given[1]), f"{given[0]} stands here too", "Keep one of the two"
            )
        return False

    def _report_unknown(self, unknown: list[str], node: Mapping, at: Path, reading: Reading) -> set[str]:
        """Report the unknown keys; returns the keys that some of them were meant to be."""
        mistyped: set[str] = set()
        for key in unknown[:MOST_UNKNOWN]:
            absent = [name for name in self.kinds if name not in node.entries]
            near = nearest(key[:ECHO], absent)
            homes = [] if near else [name for name in defaults.TABLE if name.rpartition(".")[2] == key]
            if near:
                instead = f"Write {near}"
                mistyped.add(near)
            elif homes and "[]" not in homes[0]:
                parent = homes[0].rpartition(".")[0]
                instead = f"Move it under {parent}" if parent else "Move it to the left margin"
            else:
                instead = f"The keys here are {listed(list(self.kinds), most=30)}"
            reading.fault(node.keys[key], (*at, key), f"{echo(key)} is not a key here", instead)
        if len(unknown) > MOST_UNKNOWN:
            wrong = f"{len(unknown) - MOST_UNKNOWN} more keys are not known here"
            reading.fault(
                node.keys[unknown[MOST_UNKNOWN]], at, wrong, "Mend the first ones, then check again"
            )
        return mistyped


def _value(key: str, kind: Kind, node: Mapping, at: Path, reading: Reading) -> Any:
    below = (*at, key)
    given = node.entries.get(key)
    if given is None:
        value = _default(key, kind, node, at, reading)
    elif reading.full:
        return BROKEN
    else:
        value = kind.read(given, below, reading)
    if value is not BROKEN:
        reading.seen[below] = value
    return value


def _default(key: str, kind: Kind, node: Mapping, at: Path, reading: Reading) -> Any:
    """Return the table's default read like an author's text; what has none is required."""
    below = (*at, key)
    row = defaults.TABLE.get(defaults.pattern(below))
    if row is None:
        if isinstance(kind, Fields):  # each of its keys has a default or is reported
            return kind.read(Mapping({}, {}, node.line, node.column), below, reading)
        prose = not like(kind.example).startswith("it like")
        instead = f"Add `{key}:` with {kind.example}" if prose else f"Add it, such as `{key}: {kind.example}`"
        reading.fault(node, below, "this key is missing", instead)
        return BROKEN
    text = row.rule(node, reading.seen, reading) if row.rule else row.value
    if text is BROKEN:
        return BROKEN
    if row.says != "":
        shown = str(text) if text is not None else row.text
        reading.used.append(DefaultUsed(dotted(below), shown, row.why, row.who))
    if text is None:
        return None
    return kind.read(defaults.node(str(text), node.line, node.column), below, reading)


@dataclass(frozen=True)
class Either:
    """One of several forms, told apart by their shape: a fixed word, a value, a list, a mapping."""

    example: str
    words: MappingABC[str, Any] = field(default_factory=dict)
    text: Kind | None = None
    items: Kind | None = None
    mapping: Kind | None = None

    def read(self, node: Node, at: Path, reading: Reading) -> Any:
        """Return the word's value, or what the kind for that shape returns."""
        if isinstance(node, Text) and node.text.strip() in self.words:
            return self.words[node.text.strip()]
        if isinstance(node, Text) and node.text.strip().lower() in _NOTHING and "none" in self.words:
            reading.fault(node, at, f"{echo(node.text)} is not known here", "Write none")
            return BROKEN
        kind = (
            self.text
            if isinstance(node, Text)
            else self.items
            if isinstance(node, Sequence)
            else self.mapping
        )
        if kind is None or (isinstance(node, Text) and not node.text.strip()):
            return self._refuse(node, at, reading)
        return kind.read(node, at, reading)

    def _refuse(self, node: Node, at: Path, reading: Reading) -> Any:
        near = nearest(node.text[:ECHO], self.words) if isinstance(node, Text) else None
        reading.fault(node, at, f"{found(node)} stands here", f"Write {near or like(self.example)}")
        return BROKEN


def _items(node: Sequence) -> str:
    return f"{len(node.items)} item{'' if len(node.items) == 1 else 's'}"
