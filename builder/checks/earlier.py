"""Reading an earlier `numbers --json` again."""

from __future__ import annotations

import json
import math
from collections.abc import Mapping
from pathlib import Path
from typing import Any, NoReturn

from builder.checks.causes import Entries
from builder.errors import Fault, InputFaults
from builder.quantity import VERDICTS

WRITE = "Name a file that `numbers JOB --json` wrote"
_SHAPE: Mapping[str, tuple[type, ...]] = {
    "value": (int, float, dict, type(None)),
    "unit": (str,),
    "formula": (str,),
    "inputs": (dict,),
    "verdict": (str,),
}


def read(path: Path) -> Entries:
    """Return the entries of an earlier `numbers --json`; raises InputFaults with one fault."""
    name = str(path)
    try:
        found = json.loads(path.read_text(encoding="utf-8-sig"), parse_float=_finite, parse_constant=_finite)
    except FileNotFoundError:
        _refuse(name, "there is no such file")
    except IsADirectoryError:
        _refuse(name, "this is a folder")
    except OSError as error:
        _refuse(name, f"the file can't be read: {error.strerror}")
    except UnicodeDecodeError:
        _refuse(name, "the file is no text")
    except json.JSONDecodeError as error:
        _refuse(name, f"this is no JSON: {error.msg}", error.lineno, error.colno)
    except RecursionError:
        _refuse(name, "this is no JSON of numbers: it is nested too deep")
    except ValueError as error:
        _refuse(name, f"this is no JSON of numbers: {error}")
    if not isinstance(found, dict) or not found:
        _refuse(name, "this JSON is not numbers by key")
    for key, entry in found.items():
        wrong = _wrong(entry)
        if wrong:
            _refuse(name, f"{key!a:.60}: {wrong}")
    return found


def _wrong(entry: Any) -> str:
    """Say what is wrong with the shape of one entry; nothing where it is sound."""
    if not isinstance(entry, dict):
        return "no number stands here"
    for part, types in _SHAPE.items():
        if part not in entry:
            return f"it has no {part}"
        if not isinstance(entry[part], types) or isinstance(entry[part], bool):
            return f"its {part} is not as it should be"
    if entry["verdict"] not in VERDICTS:
        return "its verdict is none of " + ", ".join(VERDICTS)
    table = entry["value"]
    if isinstance(table, dict) and not _is_table(table):
        return "its value is no table"
    if not all(isinstance(given, dict) and "value" in given for given in entry["inputs"].values()):
        return "its inputs are not as they should be"
    return ""


def _is_table(table: Mapping[str, Any]) -> bool:
    columns, rows = table.get("columns"), table.get("rows")
    if not isinstance(columns, list) or not isinstance(rows, list):
        return False
    named = all(isinstance(column, dict) and {"key", "unit"} <= column.keys() for column in columns)
    return named and all(isinstance(row, list) and len(row) == len(columns) for row in rows)


def _finite(text: str) -> float:
    value = float(text)
    if not math.isfinite(value):
        raise ValueError(f"{text[:20]} is no finite number")
    return value


def _refuse(file: str, wrong: str, line: int = 1, column: int = 1) -> NoReturn:
    raise InputFaults([Fault(file, line, column, "", wrong, WRITE)]) from None
