"""One mapping of a catalogue file, read key by key, every fault noted with its place.

`Fields` hands out typed SI values and goes on after a fault, so that all faults of a file are
reported together. What it returns after a fault is never used: the file is refused as a whole.
"""

from __future__ import annotations

import math
import re
from collections.abc import Collection
from dataclasses import dataclass, field
from typing import TypeVar

from builder import yamlfile
from builder.catalogue.nearest import nearest
from builder.catalogue.rows import Grading
from builder.errors import Fault
from builder.quantity import Range
from builder.units import NotAQuantity, parse

_YES, _NO = ("yes", "true"), ("no", "false")
_RISE_TO_RUN = re.compile(r"(\d+(?:\.\d+)?):(\d+(?:\.\d+)?)\Z")
_PASSING = re.compile(r"(\d+(?:\.\d+)?)(?:\s*-\s*(\d+(?:\.\d+)?))?\Z")
_Kind = TypeVar("_Kind", yamlfile.Text, yamlfile.Sequence, yamlfile.Mapping)
_CALLED = {
    yamlfile.Text: "a single value",
    yamlfile.Sequence: "a list",
    yamlfile.Mapping: "a mapping of keys",
}
_WRITTEN = {
    yamlfile.Text: "`{key}: value`",
    yamlfile.Sequence: "`{key}: [one, two]`",
    yamlfile.Mapping: "`{key}: {{…}}`",
}


@dataclass
class Faults:
    """The faults of one file, as they are found."""

    file: str
    found: list[Fault] = field(default_factory=list)

    def add(self, node: yamlfile.Node, path: str, wrong: str, instead: str) -> None:
        """Note one fault at the place of `node`."""
        self.found.append(Fault(self.file, node.line, node.column, path, wrong, instead))


class Fields:
    """The keys of one mapping; `done` faults the keys nobody asked for."""

    def __init__(self, node: yamlfile.Mapping, key: yamlfile.Node, path: str, faults: Faults) -> None:
        """Read `node`, which stands at `path`; a missing key is reported at the place of `key`."""
        self.node = node
        self.key = key
        self.path = path
        self.faults = faults
        self.asked: dict[str, None] = {}  # in the order they were asked for

    def has(self, key: str) -> bool:
        """Whether the key is written; it counts as asked for."""
        self._ask(key)
        return key in self.node.entries

    def text(self, key: str, *, may_be_empty: bool = False) -> str:
        """Return the text of `key`."""
        found = self._get(key, yamlfile.Text)
        if found is None:
            return ""
        if not found.text.strip() and not may_be_empty:
            self._fault(key, found, "nothing is written here", f"Write the {key.replace('_', ' ')}")
        return " ".join(found.text.split())

    def choice(self, key: str, choices: Collection[str]) -> str:
        """Return the text of `key`, which is one of `choices`."""
        found = self._get(key, yamlfile.Text)
        if found is None:
            return ""
        if found.text not in choices:
            self._fault(key, found, f"{found.text!r} is not known here", _one_of(found.text, choices))
        return found.text

    def choices(self, key: str, choices: Collection[str], *, at_least: int = 1) -> tuple[str, ...]:
        """Return the list of `key`, each one of `choices`."""
        texts = self._texts(key, at_least)
        for at, item in enumerate(texts):
            if item.text not in choices:
                remedy = _one_of(item.text, choices)
                self._fault(f"{key}[{at}]", item, f"{item.text!r} is not known here", remedy)
        return tuple(item.text for item in texts)

    def flag(self, key: str) -> bool:
        """Return True for yes, False for no."""
        return bool(self._flag(key, unknown=False))

    def flag_or_unknown(self, key: str) -> bool | None:
        """Return True for yes, False for no, None for unknown."""
        return self._flag(key, unknown=True)

    def quantity(
        self,
        key: str,
        dimension: str,
        *,
        above: float = 0.0,
        least: float = -math.inf,
        most: float = math.inf,
    ) -> float:
        """Return the SI value of `key`: over `above`, not under `least`, not over `most` (all SI)."""
        found = self._get(key, yamlfile.Text)
        return math.nan if found is None else self._value(key, found, dimension, above, least, most)

    def quantity_or_unknown(
        self, key: str, dimension: str, *, above: float = 0.0, most: float = math.inf
    ) -> float | None:
        """Return the SI value of `key`, or None for unknown."""
        return None if self._says(key, "unknown") else self.quantity(key, dimension, above=above, most=most)

    def fraction(self, key: str) -> float:
        """Return a share from 0 to 1, written as per cent or as a plain number."""
        return self.quantity(key, "1", above=-math.inf, least=0.0, most=1.0)

    def lengths(self, key: str) -> tuple[float, ...]:
        """Return a list of lengths in m, each above zero."""
        texts = self._texts(key, 1)
        return tuple(self._value(f"{key}[{at}]", item, "m") for at, item in enumerate(texts))

    def range(self, key: str, dimension: str) -> Range:
        """Return `[low, typical, high]` in SI, rising, above zero."""
        texts = self._texts(key, 0)
        found = self.node.entries.get(key)
        if found is None or not isinstance(found, yamlfile.Sequence):
            return Range(math.nan, math.nan, math.nan)
        if len(texts) != 3:
            wrong = f"{len(found.items)} values stand here"
            self._fault(key, found, wrong, "Write three: [low, typical, high]")
            return Range(math.nan, math.nan, math.nan)
        low, typical, high = (self._value(f"{key}[{at}]", item, dimension) for at, item in enumerate(texts))
        if low > typical or typical > high:
            self._fault(key, found, "the values do not rise", "Write low first, then typical, then high")
        return Range(low, typical, high)

    def range_or_unknown(self, key: str, dimension: str) -> Range | None:
        """Return `[low, typical, high]` in SI, or None for unknown."""
        return None if self._says(key, "unknown") else self.range(key, dimension)

    def slope(self, key: str) -> float:
        """Return an angle from the horizontal in rad, written as rise:run such as 1:2, or as 45 deg."""
        found = self._get(key, yamlfile.Text)
        if found is None:
            return math.nan
        ratio = _RISE_TO_RUN.match(found.text)
        if ratio and float(ratio.group(1)) > 0 and float(ratio.group(2)) > 0:
            return math.atan2(float(ratio.group(1)), float(ratio.group(2)))
        return self._value(key, found, "rad", most=math.pi / 2)

    def grading_or_none(self, key: str) -> Grading | None:
        """Return `{4.75 mm: 95-100, …}`, per cent passing from coarse to fine, or None for none."""
        if self._says(key, "none"):
            return None
        found = self._get(key, yamlfile.Mapping)
        if found is None:
            return None
        rows: list[tuple[float, float, float]] = []
        for sieve, node in found.entries.items():
            place, path = found.keys[sieve], f"{key}.{sieve}"
            size = self._value(path, place, "m")
            match = _PASSING.match(node.text) if isinstance(node, yamlfile.Text) else None
            if match is None:
                self._fault(path, node, "this is not a share passing", "Write per cent, such as 95-100")
                continue
            least = float(match.group(1)) / 100
            most = float(match.group(2)) / 100 if match.group(2) else least
            if not least <= most <= 1:
                self._fault(path, node, "this is not a share passing", "Write least-most, from 0 to 100")
                continue
            if rows and size >= rows[-1][0]:
                self._fault(path, place, "this sieve is no finer than the last", "List from coarse to fine")
            elif rows and (least > rows[-1][1] or most > rows[-1][2]):
                self._fault(path, node, "more passes here than the coarser sieve before", "Check both rows")
            rows.append((size, least, most))
        if len(rows) < 2:
            self._fault(key, found, "one sieve is no grading", "Write two or more sieves, or `none`")
        return Grading(tuple(rows))

    def sub(self, key: str) -> yamlfile.Mapping | None:
        """Return the mapping of `key` as it stands."""
        return self._get(key, yamlfile.Mapping)

    def memory(self, key: str = "memory") -> tuple[bool, tuple[str, ...]]:
        """Return whether something is from memory, and the keys named: `yes`, `no` or `[batter, look]`."""
        self._ask(key)
        node = self.node.entries.get(key)
        if not isinstance(node, yamlfile.Sequence):
            return self.flag(key), ()
        others = [known for known in self.node.entries if known != key]
        return True, self.choices(key, others)

    def done(self) -> None:
        """Fault every key nobody asked for, with the nearest known one."""
        for key, place in self.node.keys.items():
            if key not in self.asked:
                self._fault(key, place, "this key is not known here", _one_of(key, self.asked))

    def below(self, key: str) -> str:
        """Return the dotted path of `key` in this mapping."""
        return f"{self.path}.{key}" if self.path else key

    def fault(self, key: str, wrong: str, instead: str) -> None:
        """Note a fault at `key`, which is written."""
        self._fault(key, self.node.entries.get(key, self.key), wrong, instead)

    def _fault(self, key: str, node: yamlfile.Node, wrong: str, instead: str) -> None:
        self.faults.add(node, self.below(key), wrong, instead)

    def _ask(self, key: str) -> None:
        self.asked[key] = None

    def _says(self, key: str, word: str) -> bool:
        self._ask(key)
        found = self.node.entries.get(key)
        return isinstance(found, yamlfile.Text) and found.text == word

    def _get(self, key: str, kind: type[_Kind]) -> _Kind | None:
        self._ask(key)
        found = self.node.entries.get(key)
        if isinstance(found, kind):
            return found
        written = _WRITTEN[kind].format(key=key)
        if found is None:
            self._fault(key, self.key, "this key is missing", f"Add {written}")
        else:
            wrong = f"{_CALLED[kind]} is wanted here, not {_CALLED[type(found)]}"
            self._fault(key, found, wrong, f"Write {written}")
        return None

    def _texts(self, key: str, at_least: int) -> tuple[yamlfile.Text, ...]:
        found = self._get(key, yamlfile.Sequence)
        if found is None:
            return ()
        texts = []
        for at, item in enumerate(found.items):
            if isinstance(item, yamlfile.Text):
                texts.append(item)
            else:
                self._fault(f"{key}[{at}]", item, "a single value is wanted here", "Leave out the brackets")
        if len(found.items) < at_least:
            self._fault(key, found, "the list is empty", "Write at least one value")
        return tuple(texts)

    def _flag(self, key: str, *, unknown: bool) -> bool | None:
        words = "yes, no or unknown" if unknown else "yes or no"
        found = self._get(key, yamlfile.Text)
        if found is None or (unknown and found.text == "unknown"):
            return None
        if found.text not in (*_YES, *_NO):
            self._fault(key, found, f"{found.text!r} is neither yes nor no", f"Write {words}")
        return found.text in _YES

    def _value(
        self,
        key: str,
        node: yamlfile.Text,
        dimension: str,
        above: float = 0.0,
        least: float = -math.inf,
        most: float = math.inf,
    ) -> float:
        try:
            value = parse(node.text, dimension)
        except NotAQuantity as exc:
            self._fault(key, node, exc.wrong, exc.instead)
            return math.nan
        if value <= above:
            self._fault(key, node, f"{node.text} is too small", f"Write a value above {above:g} (SI)")
        elif value < least:
            self._fault(key, node, f"{node.text} is too small", f"Write {least:g} (SI) or more")
        elif value > most:
            self._fault(key, node, f"{node.text} is too large", f"Write {most:g} (SI) or less")
        return value


def _one_of(name: str, known: Collection[str]) -> str:
    near = nearest(name, known)
    return f"Did you mean {near}?" if near else f"Write one of: {', '.join(known)}"
