"""The lines of a fresh spec: each key with what is said of it, given, required or commented out."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cache
from typing import Any

from builder.catalogue import Catalogue
from builder.job import defaults
from builder.job.ids import Id
from builder.job.json_schema import is_needed
from builder.job.keys import Key, every_key
from builder.job.outline import OutlineForm
from builder.job.reading import Kind
from builder.job.scalars import OneWord, YesNo
from builder.job.schema import SPEC
from builder.job.shapes import Either, Fields, ListOf
from builder.job.shell import ShellForm

COLUMN = 40  # where what is said of a line begins
FEW = 90  # characters of ids that a line lists
USUAL = re.compile(r"at most [0-9]+ characters|[0-9]+ to [0-9]+ items")  # limits that are never met
PLAIN = re.compile(r"(?:[^\W_]|[-+.][0-9])(?:[\w .;()/%°²³’'+-]*[\w.;)%°²³’'+-])?\Z")
Given = Mapping[str, Any]  # what is filled in, by dotted path: text, or lists and mappings of text


def flow(value: Any) -> str:
    """Return text, a list or a mapping as YAML on one line."""
    if isinstance(value, Mapping):
        return "{" + ", ".join(f"{flow(key)}: {flow(below)}" for key, below in value.items()) + "}"
    if isinstance(value, list):
        return "[" + ", ".join(map(flow, value)) + "]"
    return value if PLAIN.fullmatch(value) else json.dumps(value, ensure_ascii=False)


@dataclass(frozen=True)
class _Line:
    """A line: how far in it stands, its mark, how far in it stands behind that, what it says."""

    outer: int
    mark: str
    inner: int
    text: str
    note: str = ""

    @property
    def said(self) -> str:
        line = "  " * self.outer + self.mark + "  " * self.inner + self.text
        return f"{line:{COLUMN - 1}} # {self.note}" if self.note else line


@dataclass(frozen=True)
class _Place:
    """Where lines are written: commented out from `outer` on, where there is a mark."""

    outer: int = 0
    mark: str = ""
    inner: int = 0

    def line(self, text: str, note: str = "") -> _Line:
        return _Line(self.outer, self.mark, self.inner, text, note)

    @property
    def below(self) -> _Place:
        return _Place(self.outer, self.mark, self.inner + 1) if self.mark else _Place(self.outer + 1)

    def commented(self, mark: str) -> _Place:
        """The same place commented out with that mark, or once more than it is already."""
        return _Place(self.outer, f"#{self.mark}" if self.mark else mark, self.inner)


@cache
def _told() -> Mapping[str, Key]:
    """Return what the table of keys says, by path."""
    return {key.path: key for key in every_key()}


class Writer:
    """Writes keys in reading order."""

    def __init__(self, given: Given, catalogue: Catalogue) -> None:
        """Keep what is given, and gather what the table of keys says."""
        self.given = given
        self.catalogue = catalogue
        self.told = _told()

    def spec(self) -> Iterator[_Line]:
        """Yield the lines of a spec, an empty one between its groups."""
        group = False
        for key, kind in SPEC.kinds.items():
            before, group = group, isinstance(kind, Fields | ShellForm)
            if before or group:
                yield _Line(0, "", 0, "")
            yield from self.key(key, kind, key, _Place(), is_needed(key, kind, ""))

    def keys(self, kind: Fields, path: str, place: _Place) -> Iterator[_Line]:
        """Yield the lines of a mapping's keys."""
        chosen = next((key for key in kind.one_of if self.any_given(f"{path}.{key}")), None)
        wanted = chosen or next(iter(kind.one_of), None)
        for key, below in kind.kinds.items():
            here = f"{path}.{key}" if path else key
            needed = is_needed(key, below, path) or (key == wanted and not place.mark)
            yield from self.key(key, below, here, place, needed)

    def key(self, key: str, kind: Kind, here: str, place: _Place, needed: bool) -> Iterator[_Line]:
        """Yield the lines of one key: given, required, or commented out with its default."""
        row = self.told[here].default
        inside = inside_of(kind)
        given = None if place.mark else self.given.get(here)
        note = self.note(here, kind, needed and given is None, given is not None)
        if given is not None:
            yield place.line(f"{key}: {flow(given)}", note)
        elif not place.mark and self.any_given(here):
            yield place.line(f"{key}:")
            yield from self.keys(self.form_given(inside, here), here, place.below)
            return
        elif needed and not place.mark and not isinstance(kind, Fields):
            yield place.line(f"{key}:", note)
        elif inside and (row is None or row.value is None):
            at = place if needed or place.mark else place.commented("# ")
            yield at.line(f"{key}:", "" if row is None else note)
            yield from self.parts(inside[0], here, at, isinstance(kind, ListOf))
            inside = inside[1:]
        else:
            at = place if place.mark else place.commented("# ")
            value = literal(kind) if row is None or row.value is None else row.value
            yield at.line(f"{key}: {value or json.dumps('')}", note)
        for form in inside if isinstance(given, str | None) else ():
            at = place.commented("## ")
            yield at.line(f"{key}:", "or")
            yield from self.parts(form, here, at, isinstance(kind, ListOf))

    def parts(self, form: Fields, here: str, place: _Place, many: bool) -> Iterator[_Line]:
        """Yield the lines below a key: a mapping's, or the one item's of a list of mappings."""
        if not many:
            yield from self.keys(form, here, place.below)
            return
        for number, line in enumerate(self.keys(form, f"{here}[]", place)):
            dash = "  " if number else "- "
            text = f"  {dash}{'  ' * (line.inner - place.inner)}{line.text}"
            yield _Line(line.outer, line.mark, place.inner, text, line.note)

    def form_given(self, forms: tuple[Fields, ...], here: str) -> Fields:
        """Return the form that the keys given below a path are meant for."""
        fits = (form for form in forms if any(self.any_given(f"{here}.{key}") for key in form.kinds))
        return next(fits, forms[0])

    def any_given(self, here: str) -> bool:
        """Whether a key or something below it is given."""
        return any(path == here or path.startswith(f"{here}.") for path in self.given)

    def note(self, here: str, kind: Kind, needed: bool, given: bool) -> str:
        """Return what is said of a key in few words."""
        row = self.told[here].default
        parts = ["required"] if needed else []
        parts += [part for part in self.allowed(here, kind) if not USUAL.match(part)]
        if row is not None and not needed and not given:
            said = row.text if row.value is None and row.text != "not given" else row.why
            parts.append(f"left out: {said}" if row.value is None else said)
            if row.who in (defaults.ENGINEER, defaults.MAKER):
                parts[-1] += f" ({row.who.removeprefix('the ')})"
        return "; ".join(dict.fromkeys(parts))

    def allowed(self, here: str, kind: Kind) -> tuple[str, ...]:
        """Return what may stand at a key: words, ids where they are few, else what the table of keys says."""
        if isinstance(kind, OneWord | YesNo) or (isinstance(kind, Either) and kind.words):
            return (kind.example,) if not inside_of(kind) else ()
        if isinstance(kind, Id | ShellForm):
            shelf, use = (kind.shelf, kind.use) if isinstance(kind, Id) else ("shells", "")
            rows = getattr(self.catalogue, shelf)
            ids = " ".join(name for name, row in rows.items() if not use or use in row.uses)
            return (ids if len(ids) <= FEW else f"an id in shared/{shelf}.yml",)
        return self.told[here].allowed


def inside_of(kind: Kind) -> tuple[Fields, ...]:
    """Return the mappings that may stand at a key."""
    if isinstance(kind, ShellForm | OutlineForm):
        return tuple(kind.forms)
    below = kind.mapping if isinstance(kind, Either) else kind.kind if isinstance(kind, ListOf) else kind
    return (below,) if isinstance(below, Fields) else ()


def literal(kind: Kind) -> str:
    """Return an example that can stand as it is."""
    if isinstance(kind, OneWord):
        return kind.words[0]
    return kind.example.rpartition(" such as ")[2].partition(", or ")[0]
