"""Our numbers beside numbers in print: `make validation` writes VALIDATION.md.

Nothing is typed here twice. The published tests are run with each of their comparisons written
down: `assert ours == pytest.approx(printed, ...), source` is one row. A comparison with `!=` is a
trap, a number in print that ours must not reproduce. What was called is seen while it runs.
"""

from __future__ import annotations

import ast
import importlib
import inspect
import itertools
import math
import sys
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from types import CodeType, FrameType, ModuleType
from typing import Any

PROJECT = Path(__file__).resolve().parents[1]
if __name__ == "__main__":
    sys.path.insert(0, str(PROJECT))

TESTS = sorted((PROJECT / "tests" / "calc").glob("test_published_*.py"))
PAGE = PROJECT / "VALIDATION.md"
OURS = ("builder.calc.", "builder.levels.", "builder.plan", "builder.units", "builder.formula")
SAME = 5e-5  # per cent: less apart is the same, in any print
DEFAULT = 1e-6  # what pytest allows where a test says nothing
LONGEST = 28  # characters of a parameter that still says something in a cell


@dataclass(frozen=True)
class Row:
    """One comparison: what, our functions, our value, the one in print, how near it must be, its source."""

    topic: str
    what: str
    functions: tuple[str, ...]
    ours: float
    printed: float
    allowed: str
    source: str
    trap: bool

    @property
    def difference(self) -> str:
        """How far ours lies from the print: a share of it, or as it is beside a print of 0."""
        apart = self.ours - self.printed
        if self.printed == 0:
            return f"{apart:+.2g}"
        share = 100 * apart / abs(self.printed)
        return "0 %" if abs(share) < SAME else f"{share:+.2g} %"


def rows() -> list[Row]:
    """Return every comparison of the published tests, in their order."""
    return [row for path in TESTS for row in _of_module(path)]


def _of_module(path: Path) -> Iterator[Row]:
    text = path.read_text(encoding="utf-8")
    tree = ast.parse(text)
    topic = (ast.get_docstring(tree) or path.stem).split(" against ")[0].splitlines()[0]
    recorder = Recorder()
    module = ModuleType(path.stem)
    vars(module).update({"__file__": str(path), RECORD: recorder})
    exec(_recording(tree, path), vars(module))  # noqa: S102 our own test module, its comparisons written down
    for name, test in list(vars(module).items()):
        if not name.startswith("test_") or not inspect.isfunction(test):
            continue
        for given in cases(test):
            recorder.begin(topic, _sentence(name, given))
            with recorder:
                test(**given)
    yield from recorder.rows


RECORD = "record_of_comparisons"


class Recorder:
    """Writes down comparisons, and which of our functions were called before each."""

    def __init__(self) -> None:
        """Begin empty."""
        self.rows: list[Row] = []
        self._topic = self._what = ""
        self._called: dict[str, None] = {}
        self._before: dict[str, None] = {}

    def begin(self, topic: str, what: str) -> None:
        """Turn to the next test."""
        self._topic, self._what = topic, what
        self._called, self._before = {}, {}

    def __enter__(self) -> None:
        """Watch calls."""
        sys.setprofile(self._watch)

    def __exit__(self, *_: object) -> None:
        """Watch no more."""
        sys.setprofile(None)

    def _watch(self, frame: FrameType, event: str, _: object) -> None:
        if event == "call" and frame.f_globals.get("__name__", "").startswith(OURS):
            name = frame.f_code.co_qualname
            if "<" not in name and "._" not in f".{name}" and name != "parse":  # it remembers what it read
                module = frame.f_globals["__name__"].rpartition(".")[2]
                self._called.setdefault(name if "." in name else f"{module}.{name}")

    def __call__(self, ours: object, expected: Any, source: object, *, trap: bool) -> None:
        """Write one comparison down; pairs of a sequence each for themselves.

        Its functions are those called since the comparison before it, or all so far where none was.
        """
        functions = tuple(self._called or self._before)
        self._before |= self._called
        self._called = {}
        for value, printed in _pairs(ours, expected.expected):
            tolerance = (
                f"{100 * (expected.rel or DEFAULT):g} %" if expected.abs is None else f"{expected.abs:g}"
            )
            self.rows.append(
                Row(
                    self._topic,
                    self._what,
                    functions,
                    float(value),
                    float(printed),
                    tolerance,
                    str(source),
                    trap,
                )
            )


def _pairs(ours: Any, printed: Any) -> Iterator[tuple[Any, Any]]:
    if isinstance(printed, Mapping):
        yield from ((ours[key], printed[key]) for key in printed)
    elif isinstance(printed, Sequence):
        yield from zip(ours, printed, strict=True)
    else:
        yield ours, printed


def _recording(tree: ast.Module, path: Path) -> CodeType:
    """The module with a record before every assert that compares with a number in print."""
    return compile(ast.fix_missing_locations(_Written().visit(tree)), str(path), "exec")


class _Written(ast.NodeTransformer):
    def visit_Assert(self, node: ast.Assert) -> list[ast.stmt]:
        test = node.test
        if (
            node.msg is None
            or not isinstance(test, ast.Compare)
            or len(test.ops) != 1
            or not isinstance(test.ops[0], ast.Eq | ast.NotEq)
            or "approx" not in ast.unparse(test.comparators[0])
        ):
            return [node]
        call = ast.Call(
            func=ast.Name(RECORD, ast.Load()),
            args=[test.left, test.comparators[0], node.msg],
            keywords=[ast.keyword("trap", ast.Constant(isinstance(test.ops[0], ast.NotEq)))],
        )
        return [ast.copy_location(ast.Expr(call), node), node]


def cases(test: Any) -> Iterator[dict[str, Any]]:
    """Yield every set of arguments that its parametrize marks give a test."""
    sets: list[list[dict[str, Any]]] = []
    for mark in getattr(test, "pytestmark", ()):
        names, values = mark.args
        keys = [name.strip() for name in names.split(",")] if isinstance(names, str) else list(names)
        each = [getattr(value, "values", value) if len(keys) > 1 else (value,) for value in values]
        sets.append([dict(zip(keys, value, strict=True)) for value in each])
    for combined in itertools.product(*sets):
        yield {key: value for one in combined for key, value in one.items()}


def _sentence(name: str, given: Mapping[str, Any]) -> str:
    words = name.removeprefix("test_").replace("_", " ")
    told = [
        f"{key.replace('_', ' ')} {value:g}" if isinstance(value, float | int) else str(value)
        for key, value in given.items()
        if isinstance(value, float | int) or (isinstance(value, str) and len(value) <= LONGEST)
    ]
    return f"{words} ({', '.join(told)})" if told else words


def page(found: Sequence[Row]) -> str:
    """Return VALIDATION.md."""
    plain, traps = [row for row in found if not row.trap], [row for row in found if row.trap]
    lines = [
        "# Our numbers beside numbers in print",
        "",
        "Written by `make validation` from the tests in `tests/calc/test_published_*.py`; a test fails where "
        "this page is behind them. Each row is one comparison: what the functions named give, what stands in "
        "print, how far apart they are, and how far apart they may be. A print is often rounded: then the "
        "difference is the rounding. Where a source is a formula, the numbers were worked independently.",
        "",
        f"{len(plain)} comparisons with {len({row.source for row in plain})} sources; {len(traps)} traps.",
    ]
    for topic, group in itertools.groupby(plain, key=lambda row: row.topic):
        lines += ["", f"## {topic}", "", *_table(list(group))]
    lines += [
        "",
        "## Traps: numbers in print that are wrong",
        "",
        "Ours must not reproduce these; each test says why.",
        "",
        *_table(traps),
        "",
    ]
    return "\n".join(lines)


def _table(group: Sequence[Row]) -> list[str]:
    head = ["what", "functions", "ours", "in print", "difference", "allowed", "source"]
    lines = [f"| {' | '.join(head)} |", "|---|---|---:|---:|---:|---:|---|"]
    for row in group:
        functions = ", ".join(f"`{name}`" for name in row.functions) or "–"
        allowed = f"over {row.allowed}" if row.trap else row.allowed
        cells = [
            row.what,
            functions,
            _digits(row.ours),
            _digits(row.printed),
            row.difference,
            allowed,
            row.source,
        ]
        lines.append(f"| {' | '.join(cell.replace('|', '/') for cell in cells)} |")
    return lines


def _digits(value: float) -> str:
    if value == 0 or not math.isfinite(value):
        return f"{value:g}"
    return f"{value:.6g}"


def main() -> int:
    """Write VALIDATION.md and say what is in it."""
    importlib.import_module("builder")
    found = rows()
    PAGE.write_text(page(found), encoding="utf-8")
    traps = sum(row.trap for row in found)
    sys.stdout.write(f"{PAGE.name}: {len(found) - traps} comparisons and {traps} traps\n")
    return 0


if __name__ == "__main__":
    sys.exit(main())
