"""Kinds of one value: quantities with a unit, counts, factors, words, dates, ids of the catalogue."""

from __future__ import annotations

import datetime
import re
from dataclasses import dataclass
from typing import Any

from builder.catalogue.nearest import nearest
from builder.job.reading import BROKEN, ECHO, Path, Reading, echo, like, listed, wrong_shape
from builder.units import DIMENSIONS, UNITS, NotAQuantity, parse
from builder.yamlfile import Node, Text

_NUMBER = re.compile(r"([-+]?(?:\d+(?:\.\d*)?|\.\d+)(?:[eE][-+]?\d+)?)\s*(\S.*)?\Z")
_IMPERIAL = ("in", "ft", "lb", "gal", "gal/min", "ft2", "yd3")
_UNLIKELY = ("cm", "cm2", "mm2", "rad")  # known to the reader of units, but not what a slip of the pen meant
_SLACK = 1e-9  # of a range's end, for binary fractions


@dataclass(frozen=True)
class Quantity:
    """A value with its unit, read as SI, from `low` to `high`; `about` says that range in words."""

    dimension: str
    low: float
    high: float
    about: str
    example: str

    def read(self, node: Node, at: Path, reading: Reading) -> Any:
        """Return the SI value."""
        if not isinstance(node, Text) or not node.text:
            return wrong_shape(node, at, reading, self.example)
        text = node.text.strip()
        if re.match(r"[-+]?\d+,\d", text):
            # `1,9 m` means 1.9 m; `1,900 mm` may mean either, so it is answered with the example.
            plain = re.fullmatch(r"[-+]?\d+,\d{1,2}(\D.*)?", text) and len(text) <= ECHO
            meant = text.replace(",", ".") if plain else self.example
            reading.fault(node, at, f"{echo(text)} has a comma", f"Write a point, such as {meant}")
            return BROKEN
        number, unit = self._split(text)
        if len(text) > ECHO or not number or (unit and not unit[0].isalnum() and unit[0] not in "%°µ"):
            wrong = f"{echo(text)} is not {DIMENSIONS[self.dimension][0]}"
            reading.fault(node, at, wrong, f"Write {like(self.example)}")
            return BROKEN
        if number and not unit:
            meant = self._meant(number, "") or self.example
            reading.fault(node, at, f"{echo(text)} has no unit", f"Write {meant}")
            return BROKEN
        try:
            value = parse(text, self.dimension)
        except NotAQuantity as exc:
            reading.fault(node, at, exc.wrong, exc.instead)
            return BROKEN
        slack = _SLACK * max(abs(self.low), abs(self.high))
        if self.low - slack <= value <= self.high + slack:
            return value
        meant = self._meant(number, unit)
        remedy = (
            f"Write {meant} if that was meant"
            if meant
            else f"Write a value in that range, such as {self.example}"
        )
        reading.fault(node, at, f"{echo(text)} is out of range: {self.about}", remedy)
        return BROKEN

    def _split(self, text: str) -> tuple[str, str]:
        match = _NUMBER.match(text)
        return (match.group(1), (match.group(2) or "").strip()) if match else ("", "")

    def _meant(self, number: str, typed: str) -> str:
        """Return the likely meaning: a stray sign, a point that slipped, the number in another unit."""
        slipped = self._slipped(number, typed)
        if slipped and ("." in number or number.startswith("-")):
            return slipped
        own = self.example.split(" ", 1)[1]
        units = [own, *(s for s, unit in UNITS.items() if unit.dimension == self.dimension and s != own)]
        for unit in units:
            likely = unit == own or (unit not in _UNLIKELY and (unit in _IMPERIAL) == (typed in _IMPERIAL))
            if unit != typed and likely and self.low <= float(number) * UNITS[unit].si <= self.high:
                return f"{number} {unit}"
        return slipped

    def _slipped(self, number: str, typed: str) -> str:
        for factor in (-1.0, 0.1, 0.01, 10.0) if typed in UNITS else ():
            value = float(number) * factor
            if 0.0 < value and self.low <= value * UNITS[typed].si <= self.high:
                return f"{value:.6g} {typed}"
        return ""


@dataclass(frozen=True)
class Factor:
    """A plain number without a unit."""

    low: float
    high: float
    about: str
    example: str

    def read(self, node: Node, at: Path, reading: Reading) -> Any:
        """Return the number as float."""
        if not isinstance(node, Text) or not node.text:
            return wrong_shape(node, at, reading, self.example)
        if len(node.text) > ECHO:
            reading.fault(node, at, f"{echo(node.text)} is not a plain number", f"Write {self.example}")
            return BROKEN
        try:
            value = parse(node.text, "1")
        except NotAQuantity as exc:
            reading.fault(node, at, exc.wrong, f"Write the bare number, such as {self.example}")
            return BROKEN
        if self.low <= value <= self.high:
            return value
        instead = f"Write a value in that range, such as {self.example}"
        reading.fault(node, at, f"{echo(node.text)} is out of range: {self.about}", instead)
        return BROKEN


@dataclass(frozen=True)
class Count:
    """A whole number without a unit."""

    low: int
    high: int
    about: str
    example: str

    def read(self, node: Node, at: Path, reading: Reading) -> Any:
        """Return the number as int."""
        if not isinstance(node, Text) or not node.text:
            return wrong_shape(node, at, reading, self.example)
        if not re.fullmatch(r"[0-9]{1,6}", node.text.strip()):
            reading.fault(
                node, at, f"{echo(node.text)} is not a count", f"Write a whole number, such as {self.example}"
            )
            return BROKEN
        value = int(node.text)
        if self.low <= value <= self.high:
            return value
        instead = f"Write a number in that range, such as {self.example}"
        reading.fault(node, at, f"{value} is out of range: {self.about}", instead)
        return BROKEN


@dataclass(frozen=True)
class OneWord:
    """One of a few fixed words."""

    words: tuple[str, ...]

    @property
    def example(self) -> str:
        """The words there are."""
        return listed(self.words)

    def read(self, node: Node, at: Path, reading: Reading) -> Any:
        """Return the word."""
        if not isinstance(node, Text) or not node.text:
            return wrong_shape(node, at, reading, self.example)
        if node.text.strip() in self.words:
            return node.text.strip()
        near = nearest(node.text[:ECHO], self.words)
        others = f" (the words are {listed(self.words)})" if near else ""
        instead = f"Write {near or self.example}{others}"
        reading.fault(node, at, f"{echo(node.text)} is not known here", instead)
        return BROKEN


@dataclass(frozen=True)
class YesNo:
    """The text yes or no."""

    example: str = "yes or no"

    def read(self, node: Node, at: Path, reading: Reading) -> Any:
        """Return True for yes, False for no."""
        if not isinstance(node, Text) or not node.text:
            return wrong_shape(node, at, reading, self.example)
        answer = {"yes": True, "no": False}.get(node.text.strip())
        if answer is None:
            reading.fault(node, at, f"{echo(node.text)} is neither yes nor no", "Write yes or no")
            return BROKEN
        return answer


@dataclass(frozen=True)
class Words:
    """Free text of at most `most` characters, on one line unless `lines`; `pattern` with its `rule`."""

    most: int
    example: str
    lines: bool = False
    pattern: str = ""
    rule: str = ""
    blank: bool = False

    def read(self, node: Node, at: Path, reading: Reading) -> Any:
        """Return the text without the blanks around it."""
        if not isinstance(node, Text):
            return wrong_shape(node, at, reading, self.example)
        text = node.text.strip()
        if not text and not self.blank:
            return wrong_shape(Text("", node.line, node.column), at, reading, self.example)
        if len(text) > self.most:
            wrong = f"{echo(text)} has {len(text)} characters"
            reading.fault(node, at, wrong, f"Keep it to {self.most} at most")
            return BROKEN
        if not self.lines and "\n" in text:
            reading.fault(node, at, f"{echo(text)} runs over several lines", "Keep it on one line")
            return BROKEN
        if self.pattern and not re.fullmatch(self.pattern, text):
            reading.fault(
                node, at, f"{echo(text)} does not fit: {self.rule}", f"Write it like {self.example}"
            )
            return BROKEN
        return text


@dataclass(frozen=True)
class Date:
    """A day, year first."""

    example: str = "a day such as 2026-11-25"

    def read(self, node: Node, at: Path, reading: Reading) -> Any:
        """Return the day as datetime.date."""
        if not isinstance(node, Text) or not node.text:
            return wrong_shape(node, at, reading, self.example)
        text = node.text.strip()
        try:
            day = (
                datetime.date.fromisoformat(text)
                if re.fullmatch(r"[0-9]{4}-[0-9]{2}-[0-9]{2}", text)
                else None
            )
        except ValueError:
            day = None
        if day is None or not 2000 <= day.year <= 2199:
            reading.fault(
                node,
                at,
                f"{echo(text)} is not a day of the calendar",
                "Write year-month-day, such as 2026-11-25",
            )
            return BROKEN
        return day
