"""YAML read as text, every scalar with its line and column.

The common reader makes 62 of `1:2` and False of `no`; here a scalar is the text the author typed.
Tags, anchors, aliases, merges, repeated keys, a second document, tabs, control and direction
characters (typed or escaped), files over 256 KB and nesting over 20 levels are faults, each with its
place. A byte order mark and CRLF line ends are fine.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any, NamedTuple

import yaml

from builder.errors import Fault, InputFaults

MAX_BYTES = 256 * 1024
MAX_DEPTH = 20
MAX_FAULTS = 50  # reported of one file; more would hide the first, and take seconds to put together
MAX_KEY = 80  # characters

Step = str | int
_LOADER: Any = getattr(yaml, "CLoader", yaml.Loader)
_FORBIDDEN = frozenset(
    [chr(c) for c in range(0x20) if c not in (0x0A, 0x0D)]
    + [chr(c) for c in range(0x7F, 0xA0)]
    + [chr(c) for c in (0x200B, 0x200E, 0x200F, 0x2028, 0x2029, 0x2060, 0x061C, 0xFEFF)]
    + [chr(c) for c in range(0x202A, 0x202F)]
    + [chr(c) for c in range(0x2066, 0x206A)]
)
_UNWRITTEN = _FORBIDDEN | {chr(plane << 16 | 0xFFFE | odd) for plane in range(17) for odd in (0, 1)}
"""What no escape may write: the same, and what is no character."""


class Text(NamedTuple):
    """A scalar as typed; a file has thousands, and a tuple is made in a third of a dataclass's time."""

    text: str
    line: int
    column: int


@dataclass(frozen=True)
class Sequence:
    """A list."""

    items: tuple[Node, ...]
    line: int
    column: int


@dataclass(frozen=True)
class Mapping:
    """A mapping: key to value, and key to the place of the key itself."""

    entries: dict[str, Node]
    keys: dict[str, Text]
    line: int
    column: int


Node = Text | Sequence | Mapping


def read(path: Path, name: str | None = None) -> Mapping:
    """Return the mapping in `path`; `name` is how faults call the file.

    Raises InputFaults with every fault found.
    """
    name = name or str(path)
    try:
        size = path.stat().st_size
        if size > MAX_BYTES:
            raise InputFaults(
                [_fault(name, 1, 1, f"the file has {size} bytes", f"Keep it under {MAX_BYTES} bytes")]
            )
        raw = path.read_bytes()
    except FileNotFoundError:
        raise InputFaults(
            [_fault(name, 1, 1, "there is no such file", "Name a job spec that exists")]
        ) from None
    except IsADirectoryError:
        raise InputFaults([_fault(name, 1, 1, "this is a folder", "Name the spec file in it")]) from None
    except (OSError, ValueError) as exc:
        why = getattr(exc, "strerror", None) or str(exc)
        raise InputFaults(
            [_fault(name, 1, 1, f"the file cannot be read: {why}", "Check its name and rights")]
        ) from exc
    return parse(raw, name)


def parse(raw: bytes, name: str) -> Mapping:
    """Return the mapping in the bytes of one YAML file called `name`; raises InputFaults."""
    text = _decoded(raw, name)
    _check_characters(text, name)
    reader = _Reader(text, name)
    try:
        node = reader.document()
    except yaml.MarkedYAMLError as exc:
        raise InputFaults([*reader.faults, _syntax_fault(exc, name)]) from None
    except yaml.YAMLError as exc:
        reader.faults.append(_fault(name, 1, 1, f"this is not YAML: {exc}", "Compare with the demo specs"))
        raise InputFaults(reader.faults) from None
    if reader.faults:
        raise InputFaults(reader.faults)
    if node is None or (isinstance(node, Text) and not node.text):
        raise InputFaults([_fault(name, 1, 1, "the file is empty", "Start with `ref:` and `title:`")])
    if not isinstance(node, Mapping):
        wrong, instead = "the file holds no keys", "Write `key: value` lines, such as `ref: QR-0412`"
        raise InputFaults([_fault(name, node.line, node.column, wrong, instead)])
    return node


def plain(node: Node) -> Any:
    """Return the tree as dicts, lists and str."""
    if isinstance(node, Text):
        return node.text
    if isinstance(node, Sequence):
        return [plain(item) for item in node.items]
    return {key: plain(value) for key, value in node.entries.items()}


def hidden_in(text: str) -> str | None:
    """Return the first character of a text that no file may hold (control, direction, tab), or None."""
    return next((sign for sign in text if sign in _UNWRITTEN), None)


def place(root: Node, path: tuple[Step, ...]) -> tuple[int, int]:
    """Return line and column of what stands at `path`, or of its nearest ancestor."""
    line, column = root.line, root.column
    node: Node = root
    for step in path:
        if isinstance(node, Mapping) and step in node.entries:
            key = node.keys[str(step)]
            node = node.entries[str(step)]
            line, column = key.line, key.column
            if isinstance(node, Text):
                line, column = node.line, node.column
        elif isinstance(node, Sequence) and isinstance(step, int) and step < len(node.items):
            node = node.items[step]
            line, column = node.line, node.column
        elif isinstance(node, Mapping):
            continue  # a step a validator added, such as the name of a union's branch
        else:
            break
    return line, column


def dotted(path: tuple[Step, ...]) -> str:
    """Return `shell.floor[1]` for ("shell", "floor", 1)."""
    out = ""
    for step in path:
        out += f"[{step}]" if isinstance(step, int) else (f".{step}" if out else step)
    return out


def _fault(name: str, line: int, column: int, wrong: str, instead: str, path: str = "") -> Fault:
    return Fault(name, line, column, path, wrong, instead)


def _decoded(raw: bytes, name: str) -> str:
    try:
        return raw.decode("utf-8-sig").replace("\r\n", "\n").replace("\r", "\n")
    except UnicodeDecodeError as exc:
        # exc.object is what was left to decode after a byte order mark; what stands before is sound.
        lines = exc.object[: exc.start].decode("utf-8").replace("\r\n", "\n").replace("\r", "\n").split("\n")
        line, column = len(lines), len(lines[-1]) + 1
        raise InputFaults(
            [_fault(name, line, column, "a byte here is not UTF-8 text", "Save the file as UTF-8")]
        ) from None


def _check_characters(text: str, name: str) -> None:
    if _FORBIDDEN.isdisjoint(text):
        return
    faults = []
    for number, line in enumerate(text.split("\n"), 1):
        for column, character in enumerate(line, 1):
            if character not in _FORBIDDEN:
                continue
            if character == "\t":
                faults.append(_fault(name, number, column, "a tab stands here", "Use spaces"))
            else:
                wrong = f"an invisible character U+{ord(character):04X} stands here"
                faults.append(_fault(name, number, column, wrong, "Delete it, or type the line again"))
            if len(faults) == MAX_FAULTS:
                raise InputFaults(faults)
    raise InputFaults(faults)


def _syntax_fault(exc: yaml.MarkedYAMLError, name: str) -> Fault:
    mark = exc.problem_mark or exc.context_mark
    line, column = (mark.line + 1, mark.column + 1) if mark else (1, 1)
    problem = (exc.problem or "this is not YAML").strip()
    remedy = "Check the indent, and put quotes around text that holds `: `, `#` or brackets"
    return _fault(name, line, column, f"this is not YAML: {problem}", remedy)


class _Reader:
    """Builds the tree straight from the event stream, so nothing is ever resolved or expanded."""

    def __init__(self, text: str, name: str) -> None:
        self.name = name
        self.faults: list[Fault] = []
        self.events: Iterator[Any] = iter(_LOADER(text).get_event, None)
        self.depth = 0

    def document(self) -> Node | None:
        root: Node | None = None
        documents = 0
        for event in self.events:
            if isinstance(event, yaml.DocumentStartEvent):
                documents += 1
                if documents > 1:
                    self.fault(event, "", "a second document starts here", "Keep one job in one file")
                    return root
            elif isinstance(event, yaml.ScalarEvent | yaml.CollectionStartEvent | yaml.AliasEvent):
                root = self.node(event, "")
        return root

    def node(self, event: Any, path: str) -> Node:
        mark = event.start_mark
        line, column = mark.line + 1, mark.column + 1
        if isinstance(event, yaml.ScalarEvent) and event.anchor is event.tag is None and event.style != '"':
            return Text(event.value, line, column)  # nearly every one; only double quotes have escapes
        if isinstance(event, yaml.AliasEvent):
            self.fault(event, path, f"the alias *{event.anchor} is not allowed", "Write the value out")
            return Text("", line, column)
        self.undecorated(event, path)
        if isinstance(event, yaml.ScalarEvent):
            text = str(event.value)
            if not _UNWRITTEN.isdisjoint(text):  # none was typed as it is, so an escape wrote it
                hidden = next(sign for sign in text if sign in _UNWRITTEN)
                wrong = f"an escape writes the invisible character U+{ord(hidden):04X}"
                self.fault(event, path, wrong, "Leave it out")
            return Text(text, line, column)
        self.depth += 1
        if self.depth > MAX_DEPTH:
            wrong = f"the nesting is more than {MAX_DEPTH} levels deep"
            fault = _fault(self.name, line, column, wrong, "A spec needs no more than six")
            raise InputFaults([*self.faults, fault])
        if isinstance(event, yaml.SequenceStartEvent):
            built: Node = self.sequence(path, line, column)
        else:
            built = self.mapping(path, line, column)
        self.depth -= 1
        return built

    def sequence(self, path: str, line: int, column: int) -> Sequence:
        items: list[Node] = []
        for event in self.events:
            if isinstance(event, yaml.SequenceEndEvent):
                break
            items.append(self.node(event, f"{path}[{len(items)}]"))
        return Sequence(tuple(items), line, column)

    def mapping(self, path: str, line: int, column: int) -> Mapping:
        entries: dict[str, Node] = {}
        keys: dict[str, Text] = {}
        for event in self.events:
            if isinstance(event, yaml.MappingEndEvent):
                break
            key = self.node(event, path)
            if not isinstance(key, Text):
                self.fault(event, path, "a key must be plain text", "Write `key: value`")
                self.node(next(self.events), path)
                continue
            long = len(key.text) > MAX_KEY
            shown = "".join(
                "?" if sign in _UNWRITTEN else sign for sign in key.text[: 20 if long else MAX_KEY]
            )
            shown += "…" if long else ""
            below = f"{path}.{shown}" if path else shown
            if long:
                wrong = f"this key has {len(key.text)} characters"
                self.fault(event, below, wrong, "A key is a word or two before `: `")
            value = self.node(next(self.events), below)
            if key.text == "<<":
                self.fault(event, path, "merge keys are not allowed", "Write the keys out")
            elif key.text in entries:
                first = keys[key.text].line
                self.fault(event, below, f"this key stands twice (first in line {first})", "Keep one of them")
            else:
                keys[key.text], entries[key.text] = key, value
        return Mapping(entries, keys, line, column)

    def undecorated(self, event: Any, path: str) -> None:
        if event.anchor is not None:
            self.fault(
                event,
                path,
                f"the anchor &{event.anchor} is not allowed",
                "Write the value out where it is needed",
            )
        if event.tag is not None:
            self.fault(event, path, f"the tag {event.tag} is not allowed", "Write the plain value")

    def fault(self, event: Any, path: str, wrong: str, instead: str) -> None:
        mark = event.start_mark
        self.faults.append(_fault(self.name, mark.line + 1, mark.column + 1, wrong, instead, path))
        if len(self.faults) == MAX_FAULTS:
            raise InputFaults(self.faults)


def walk(node: Node, path: tuple[Step, ...] = ()) -> Iterator[tuple[tuple[Step, ...], Node]]:
    """Yield every node under `node` with its path, parents first."""
    yield path, node
    if isinstance(node, Sequence):
        for at, item in enumerate(node.items):
            yield from walk(item, (*path, at))
    elif isinstance(node, Mapping):
        for key, value in node.entries.items():
            yield from walk(value, (*path, key))
