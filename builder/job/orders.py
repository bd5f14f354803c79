"""Jobs from a spreadsheet: a table with a header row that names keys by their dotted path, one job a row.

Each row becomes a spec and is read by the job's own reader before anything is written. A fault is told
by row and cell, as a spreadsheet counts them. One bad row stops no other; a bad header stops all.
"""

from __future__ import annotations

import csv
import io
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any

from builder import yamlfile
from builder.catalogue import Catalogue
from builder.catalogue.nearest import nearest
from builder.errors import Fault, InputFaults
from builder.job import fresh
from builder.job.keys import every_key
from builder.job.outline import OutlineForm
from builder.job.read import of
from builder.job.reading import Kind, echo
from builder.job.shapes import Either, Fields, ListOf, Pair
from builder.job.shell import ShellForm

MAX_BYTES = 8 * 1024 * 1024
MARKS = ",;\t"
MANY = (Fields, ListOf, Pair, Either, OutlineForm, ShellForm)  # kinds of more than one value
Cells = list[str]


@dataclass(frozen=True)
class Order:
    """A row that is sound: its number, its reference, and its spec's text for the file `path`."""

    row: int
    ref: str
    path: Path
    text: str


@dataclass(frozen=True)
class Orders:
    """What a table holds: sound rows, faults of the others, and how many rows there are."""

    sound: tuple[Order, ...]
    faults: tuple[Fault, ...]
    rows: int


def read(table: Path, out: Path, taken: Mapping[str, str], catalogue: Catalogue) -> Orders:
    """Return the orders in a file of comma, semicolon or tab separated cells.

    out     the folder the specs are to stand in
    taken   references that are in use there, in small letters, each with its file

    Raises InputFaults where the file is no table, or its header is wrong.
    """
    name = str(table)
    rows = list(_records(_text(table, name), name))
    if not rows:
        raise InputFaults(
            [Fault(name, 1, 1, "", "the table is empty", "Begin with a row of keys: ref, title")]
        )
    header, faults = _header(rows[0], name)
    seen: dict[str, str] = dict(taken)
    sound: list[Order] = []
    count = 0
    for number, cells in enumerate(rows[1:], 2):
        if not any(cell.strip() for cell in cells):
            continue
        count += 1
        row = _Row(name, number, header, cells, {fault.column for fault in faults if fault.line == 1})
        order = row.order(out, catalogue)
        if order is not None:
            other = seen.setdefault(order.ref.lower(), f"row {number}")
            if other == f"row {number}":
                sound.append(order)
            else:
                row.fault("ref", f"{order.ref} is the reference of {other} too", "Give it one of its own")
        faults += row.faults
    if any(fault.line == 1 for fault in faults):
        raise InputFaults(faults)
    return Orders(tuple(sound), tuple(sorted(faults)), count)


def _text(table: Path, name: str) -> str:
    def wrong(what: str, instead: str) -> InputFaults:
        return InputFaults([Fault(name, 1, 1, "", what, instead)])

    try:
        raw = table.read_bytes()
    except FileNotFoundError:
        raise wrong("there is no such file", "Name a table saved as CSV") from None
    except OSError as error:
        raise wrong(f"the file cannot be read: {error.strerror}", "Check its name and rights") from error
    if len(raw) > MAX_BYTES:
        raise wrong(f"the file has {len(raw)} bytes", f"Keep it under {MAX_BYTES} bytes")
    if raw.startswith(b"PK"):
        raise wrong("this is a workbook, not a table of text", "Save the sheet as CSV, in UTF-8")
    try:
        return raw.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        row = error.object[: error.start].count(b"\n") + 1
        what = "a byte here is not UTF-8 text"
        raise InputFaults([Fault(name, row, 1, "", what, "Save the sheet as CSV in UTF-8")]) from None


def _records(text: str, name: str) -> Iterator[Cells]:
    """Yield the rows; cells are parted by whichever mark the header has most of."""
    header = text.lstrip("\r\n").partition("\n")[0]
    mark = max(MARKS, key=header.count)
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=mark, strict=True)
    number = 0
    try:
        for number, cells in enumerate(reader, 1):  # noqa: B007 said when a row cannot be read
            yield cells
    except csv.Error as error:
        remedy = "Close each quote, and double a quote that stands in a quoted cell"
        raise InputFaults(
            [Fault(name, number + 1, 1, "", f"this row cannot be taken apart: {error}", remedy)]
        ) from None


def _header(cells: Cells, name: str) -> tuple[dict[int, str], list[Fault]]:
    """Return the keys by column, counted from 1, and what is wrong with them."""
    known = list(_kinds())
    header: dict[int, str] = {}
    faults = []
    for column, cell in enumerate(cells, 1):
        key = cell.strip()
        if not key:
            continue
        if key in header.values():
            first = next(at for at, other in header.items() if other == key)
            wrong = f"this key stands over column {first} too"
            faults.append(Fault(name, 1, column, key, wrong, "Keep one of them"))
        elif key not in known:
            ends = [path for path in known if path.rpartition(".")[2] == key]
            near = ends[0] if len(ends) == 1 else nearest(key[:80], known)
            instead = f"Write {near}" if near else "`schema` prints the keys; a list goes in one cell"
            faults.append(Fault(name, 1, column, "", f"{echo(key)} is no key of a job", instead))
        else:
            header[column] = key
    return header, faults


@cache
def _kinds() -> Mapping[str, Kind]:
    """Return the keys that a column may hold, each with its kind."""
    return {key.path: key.kind for key in every_key() if "[]" not in key.path}


class _Row:
    """One row on its way to a spec."""

    def __init__(
        self, file: str, number: int, header: Mapping[int, str], cells: Cells, faulty: set[int]
    ) -> None:
        self.file = file
        self.number = number
        self.columns = {key: column for column, key in header.items()}
        self.faults: list[Fault] = []
        self.given: dict[str, Any] = {}
        for column, cell in enumerate(cells, 1):
            text = cell.strip()
            if text and column in header:
                self.take(header[column], text)
            elif text and column not in faulty:
                self.add(
                    column, "", "this cell has no key above it", "Write the key in row 1, or clear the cell"
                )
        for key in self.given:
            parts = key.split(".")
            above = next(
                (p for at in range(1, len(parts)) if (p := ".".join(parts[:at])) in self.given), None
            )
            if above is not None:
                self.fault(key, f"{above} is filled in too", "Fill in the whole or its parts, not both")

    def take(self, key: str, text: str) -> None:
        """Take one cell: text as it is, or a list or mapping as YAML writes it on one line."""
        if sign := yamlfile.hidden_in(text.replace("\r\n", "\n")):
            self.fault(key, f"an invisible character U+{ord(sign):04X} stands here", "Delete it")
        elif text[0] in "[{" and isinstance(_kinds()[key], MANY):
            try:
                tree = yamlfile.parse(f"value: {text}".replace("\n", " ").encode(), self.file)
            except InputFaults as faults:
                for fault in faults.faults:
                    self.fault(key, fault.wrong, fault.instead)
                return
            if set(tree.entries) != {"value"} or isinstance(tree.entries["value"], yamlfile.Text):
                self.fault(key, "this is no list or mapping", "Write it like {length: 7.4 m, width: 3.4 m}")
                return
            self.given[key] = yamlfile.plain(tree.entries["value"])
        else:
            self.given[key] = text.replace("\r\n", "\n")

    def order(self, out: Path, catalogue: Catalogue) -> Order | None:
        """Return the order where the whole spec is sound; its faults are told of the cells otherwise."""
        path = out / f"{self.given.get('ref', '')}.yml".lower()
        told = {fault.path for fault in self.faults}
        try:
            text = fresh.text(self.given, catalogue, path)
            of(yamlfile.parse(text.encode(), self.file), self.file, catalogue)
        except InputFaults as faults:
            for fault in faults.faults:
                if fault.file != self.file:  # the catalogue's own
                    self.faults.append(fault)
                elif fault.path not in told:
                    self.fault(fault.path, fault.wrong, fault.instead)
        return None if self.faults else Order(self.number, self.given["ref"], path, text)

    def fault(self, path: str, wrong: str, instead: str) -> None:
        """Tell a fault of a key, at the cell it is written in, or at the row's first."""
        self.add(self.column(path), path, wrong, instead)

    def add(self, column: int, path: str, wrong: str, instead: str) -> None:
        """Tell a fault at a cell."""
        self.faults.append(Fault(self.file, self.number, column, path, wrong, instead))

    def column(self, path: str) -> int:
        """Return the column of a key, of what it is part of, or of a part of it."""
        steps = path.replace("[", ".[").split(".")
        for length in range(len(steps), 0, -1):
            above = ".".join(steps[:length]).replace(".[", "[")
            if above in self.columns and (length == len(steps) or above in self.given):
                return self.columns[above]
        return next((at for key, at in self.columns.items() if key.startswith(f"{path}.")), 1)
