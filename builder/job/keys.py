"""Every key of a job spec in reading order: what to write, what is allowed, default or required."""

from __future__ import annotations

import re
import textwrap
from collections.abc import Iterator
from dataclasses import dataclass

from builder.job import defaults
from builder.job.defaults import Default
from builder.job.ids import Id
from builder.job.outline import OutlineForm
from builder.job.reading import Kind, like
from builder.job.scalars import Words
from builder.job.schema import SPEC
from builder.job.shapes import Either, Fields, ListOf, Pair
from builder.job.shell import ShellForm

WIDTH = 100  # columns of a terminal's line
_ELSE = {
    "shell.outline.length": "points",
    "shell.outline.width": "points",
    "shell.outline.points": "length and width",
}


@dataclass(frozen=True)
class Key:
    """One key.

    path      dotted, `[]` for any item of a list
    write     what to write there, after the word "write"
    allowed   ranges and lengths, a sentence each; empty where the keys below say it
    default   its row of the table of defaults; None where it has none
    needed    why it has to be there, such as "required"; empty where it need not
    kind      what reads it
    """

    path: str
    write: str
    allowed: tuple[str, ...]
    default: Default | None
    needed: str
    kind: Kind

    @property
    def said(self) -> str:
        """The key for a terminal: what to write, then its default or that it is required, indented."""
        allowed = f" ({'; '.join(self.allowed)})" if self.allowed else ""
        lines = _wrapped(f"{self.path}: write {self.write}{allowed}", "")
        if self.default is not None:
            row = self.default
            text = row.text if row.text == "not given" else f"default {row.text}"
            lines += _wrapped(f"{text}: {row.why}; {row.who} may change it", "    ")
        elif self.needed:
            lines += _wrapped(self.needed, "    ")
        return "\n".join(lines)


def every_key() -> Iterator[Key]:
    """Yield every key of a job spec."""
    yield from _below(SPEC, "")


def _below(kind: Kind, path: str) -> Iterator[Key]:
    if isinstance(kind, Fields):
        for key, part in kind.kinds.items():
            here = f"{path}.{key}" if path else key
            row = defaults.TABLE.get(here)
            allowed = tuple(dict.fromkeys(_allowed(part)))
            yield Key(here, like(part.example), allowed, row, _needed(here, part, row), part)
            yield from _below(part, here)
    elif isinstance(kind, ListOf):
        yield from _below(kind.kind, f"{path}[]")
    elif isinstance(kind, Either):
        for branch in (kind.text, kind.items, kind.mapping):
            if branch is not None:
                yield from _below(branch, path)
    elif isinstance(kind, ShellForm | OutlineForm):
        for form in kind.forms:
            yield from _below(form, path)


def _needed(path: str, kind: Kind, row: Default | None) -> str:
    if row is not None or (isinstance(kind, Fields) and path not in _ELSE):
        return ""
    if path in _ELSE:
        return f"required, unless {_ELSE[path]} are given"
    parent, _, _ = path.rpartition(".")
    if parent == "shell":
        return "required of a shell in line"
    if parent.endswith("[]"):
        return "required of every item"
    return f"required where {parent} is given" if parent in defaults.TABLE else "required"


def _allowed(kind: Kind) -> Iterator[str]:
    about = getattr(kind, "about", "")
    if about:
        yield about
    if isinstance(kind, Id):
        yield f"an id in shared/{kind.shelf}.yml" + (f", for {kind.use}" if kind.use else "")
    elif isinstance(kind, Words):
        yield f"at most {kind.most} characters" + (", lines as they are" if kind.lines else "")
        if kind.rule:
            yield kind.rule
    elif isinstance(kind, Pair):
        yield from (kind.first.about, kind.second.about)
    elif isinstance(kind, ListOf):
        yield f"{kind.least} to {kind.most} items" if kind.least < kind.most else f"{kind.least} items"
        yield from _allowed(kind.kind)
    elif isinstance(kind, Either):
        for branch in (kind.text, kind.items):
            if branch is not None:
                yield from _allowed(branch)


def _wrapped(text: str, indent: str) -> list[str]:
    """Return the text in lines, later ones indented; a value keeps its unit beside it."""
    kept = re.sub(r"(?<=\d) (?=[A-Za-z])", "\N{NO-BREAK SPACE}", text)
    further = indent + "    "
    lines = textwrap.wrap(
        kept, WIDTH, initial_indent=indent, subsequent_indent=further, break_on_hyphens=False
    )
    return [line.replace("\N{NO-BREAK SPACE}", " ") for line in lines]
