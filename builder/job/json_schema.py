"""The job spec as a JSON Schema (draft-07), made from the same kinds that read a spec.

An editor's YAML server goes by it: completion of keys, ids and words, what a key means, slips while
typing. It sees each value by itself; ranges, lengths and geometry are for `check`. A value may come as
the text an author typed or as what YAML makes of it: a bare number stands for a count, factor or name.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterable, Mapping
from typing import Any

from builder import yamlfile
from builder.catalogue import Catalogue
from builder.job import defaults
from builder.job.ids import Id
from builder.job.keys import Key, every_key
from builder.job.outline import OutlineForm
from builder.job.reading import Kind
from builder.job.scalars import Count, Date, Factor, OneWord, Quantity, Words, YesNo
from builder.job.schema import SPEC
from builder.job.shapes import Either, Fields, ListOf, Pair
from builder.job.shell import ShellForm
from builder.units import DIMENSIONS, UNITS, spellings

DRAFT = "http://json-schema.org/draft-07/schema#"
NUMBER = r"(?:[0-9]+(?:\.[0-9]*)?|\.[0-9]+)(?:[eE][-+]?[0-9]+)?"
NOUGHT = r"-(?:0+(?:\.0*)?|\.0+)(?:[eE][-+]?[0-9]+)?"  # a minus before nothing is read everywhere
DAY = r"^(?:20|21)[0-9]{2}-(?:0[1-9]|1[0-2])-(?:0[1-9]|[12][0-9]|3[01])$"
ANY_CASE = re.compile(r"\(\?i:([^)]*)\)")  # not every editor's pattern engine has this
Schema = dict[str, Any]


def text(catalogue: Catalogue) -> str:
    """Return the schema as the file that is kept; raises InputFaults where the catalogue is at fault."""
    return json.dumps(schema(catalogue), indent=1, ensure_ascii=False) + "\n"


def schema(catalogue: Catalogue) -> Schema:
    """Return the schema of a spec, with the ids that the catalogue has."""
    told = {key.path: key for key in every_key()}
    title = {"$schema": DRAFT, "title": "Shellbed job spec"}
    about = "One job of one pool shell. Every size has its unit. `check` reads it whole."
    return {**title, "description": about, **_Writer(catalogue, told).of(SPEC, "")}


class _Writer:
    """Turns kinds into schemas; `told` says what is known of each key."""

    def __init__(self, catalogue: Catalogue, told: Mapping[str, Key]) -> None:
        self.catalogue = catalogue
        self.told = told

    def of(self, kind: Kind, path: str) -> Schema:
        """Return the schema of what stands at `path`."""
        kind = getattr(kind, "written", kind)
        if isinstance(kind, Fields):
            return self.fields(kind, path)
        if isinstance(kind, ListOf):
            return self.list_of(kind, path)
        if isinstance(kind, Pair):
            items = [self.of(kind.first, path), self.of(kind.second, path)]
            return {"type": "array", "items": items, "minItems": 2, "maxItems": 2}
        if isinstance(kind, Either):
            return self.either(kind, path)
        if isinstance(kind, ShellForm | OutlineForm):
            forms = [self.fields(form, path) for form in kind.forms]
            return one_of([self.ids("shells"), *forms] if isinstance(kind, ShellForm) else forms)
        if isinstance(kind, Id):
            return self.ids(kind.shelf, kind.use)
        return scalar(kind)

    def fields(self, kind: Fields, path: str) -> Schema:
        """Return the schema of a mapping: its keys, and which of them have to be there."""
        keys = {key: self.key(part, f"{path}.{key}" if path else key) for key, part in kind.kinds.items()}
        out: Schema = {"type": "object", "additionalProperties": False, "properties": keys}
        if needed := [key for key, part in kind.kinds.items() if is_needed(key, part, path)]:
            out["required"] = needed
        if kind.one_of:
            out["oneOf"] = [{"required": [key]} for key in kind.one_of]
        return out

    def key(self, kind: Kind, path: str) -> Schema:
        """Return the schema of a key's value with what an editor says of the key."""
        told = self.told[path]
        out = {"description": described(told), **self.of(kind, path)}
        row = told.default
        if row is not None and row.value:
            out["default"] = yamlfile.plain(defaults.node(row.value, 1, 1))
        elif isinstance(kind, Quantity):
            out["examples"] = [kind.example]
        return out

    def list_of(self, kind: ListOf, path: str) -> Schema:
        """Return the schema of a list; `none` stands for the empty one where that is allowed."""
        items = self.of(kind.kind, f"{path}[]")
        listed = {"type": "array", "items": items, "minItems": kind.least, "maxItems": kind.most}
        return listed if kind.least else one_of([{"enum": ["none"]}, listed])

    def either(self, kind: Either, path: str) -> Schema:
        """Return the schema of one of several forms; words and ids make one list."""
        forms = [self.of(form, path) for form in (kind.text, kind.items, kind.mapping) if form is not None]
        words = list(kind.words)
        joined: list[Schema] = []
        for form in forms:
            parts = form.get("oneOf", [form]) if set(form) == {"oneOf"} else [form]
            joined += [part for part in parts if part != {"enum": ["none"]} or not words]
        if isinstance(getattr(kind.text, "written", None), Words):
            words = []  # free text already; a word of its own would fit twice
        if words and kind.text is not None and "enum" in joined[0]:
            ids = joined.pop(0)
            told = [*ids.get("enumDescriptions", []), *("" for _ in words)]
            joined.insert(0, {"enum": [*ids["enum"], *words], "enumDescriptions": told})
        elif words:
            joined.insert(0, {"enum": words})
        return one_of(joined)

    def ids(self, shelf: str, use: str = "") -> Schema:
        """Return the ids of a shelf of the catalogue with their rows' names."""
        rows = getattr(self.catalogue, shelf)
        fit = [name for name, row in rows.items() if not use or use in row.uses]
        return {"enum": fit, "enumDescriptions": [rows[name].name for name in fit]}


def is_needed(key: str, kind: Kind, path: str) -> bool:
    """Whether a spec without this key is refused."""
    here = f"{path}.{key}" if path else key
    if here in defaults.TABLE:
        return False
    if not isinstance(kind, Fields):
        return True
    return bool(kind.one_of) or any(is_needed(name, below, here) for name, below in kind.kinds.items())


def described(key: Key) -> str:
    """Return what an editor says of a key: what is allowed, its default and why, who may change it."""
    allowed = "; ".join(key.allowed) or f"write {key.write}"
    parts = [allowed[0].upper() + allowed[1:]]
    row = key.default
    if row is not None:
        left_out = row.text if row.text != "not given" else "nothing"
        parts += [f"Left out: {left_out} ({row.why})", f"{row.who[0].upper()}{row.who[1:]} may change it"]
    elif key.needed:
        parts.append(key.needed[0].upper() + key.needed[1:])
    return ". ".join(parts) + "."


def one_of(forms: list[Schema]) -> Schema:
    """Return what is one of some forms; no two of ours fit the same value."""
    return forms[0] if len(forms) == 1 else {"oneOf": forms}


def scalar(kind: Kind) -> Schema:
    """Return the schema of one value; raises TypeError for a kind that nobody has told of."""
    if isinstance(kind, Quantity):
        pattern = quantity(kind.dimension, signed=kind.low < 0)
        least = "" if kind.low < 0 else "no less than nothing, "
        said = f"Write {DIMENSIONS[kind.dimension][0]} with its unit, {least}such as {kind.example}."
        return {"type": "string", "pattern": pattern, "patternErrorMessage": said, "errorMessage": said}
    if isinstance(kind, Factor):
        size = {"minimum": kind.low, "maximum": kind.high}
        return {"type": ["number", "string"], **size, "pattern": rf"^\s*[-+]?{NUMBER}\s*[%1]?\s*$"}
    if isinstance(kind, Count):
        size = {"minimum": kind.low, "maximum": kind.high}
        return {"type": ["integer", "string"], **size, "pattern": r"^\s*[0-9]{1,6}\s*$"}
    if isinstance(kind, OneWord):
        return {"enum": list(kind.words)}
    if isinstance(kind, YesNo):
        return {"enum": ["yes", "no"]}
    if isinstance(kind, Date):
        return {"type": "string", "pattern": DAY, "patternErrorMessage": f"Write {kind.example}."}
    if isinstance(kind, Words):
        return words(kind)
    raise TypeError(f"the JSON Schema has no word for {type(kind).__name__}")


def words(kind: Words) -> Schema:
    """Return the schema of free text; a title such as 2026 is a number to an editor."""
    if kind.pattern:
        types = ["string", "number"] if re.fullmatch(kind.pattern, "1") else ["string"]
        said = f"{kind.rule[0].upper()}{kind.rule[1:]}: write it like {kind.example}."
        pattern = f"^(?:{spelled_out(kind.pattern)})$"
        return {"type": types, "pattern": pattern, "patternErrorMessage": said, "maxLength": kind.most}
    types = ["string", "number", "boolean", *(["null"] if kind.blank else [])]
    return {"type": types, **({} if kind.blank else {"minLength": 1}), "maxLength": kind.most}


def quantity(dimension: str, *, signed: bool) -> str:
    """Return the pattern of a value with a unit of that dimension."""
    known = [symbol for symbol, unit in UNITS.items() if unit.dimension == dimension and "/mm" not in symbol]
    units = "|".join(re.escape(name) for name in _longest_first(spellings(known)))
    number = f"[-+]?{NUMBER}" if signed else rf"(?:\+?{NUMBER}|{NOUGHT})"
    return rf"^\s*{number}\s*(?:{units})\s*$"


def spelled_out(pattern: str) -> str:
    """Return a pattern with each letter of an any-case group in both cases."""
    return ANY_CASE.sub(
        lambda group: "(?:" + re.sub("[a-z]", lambda c: f"[{c[0]}{c[0].upper()}]", group[1]) + ")", pattern
    )


def _longest_first(names: Iterable[str]) -> list[str]:
    return sorted(names, key=lambda name: (-len(name), name))
