"""An earlier `numbers --json` read again, and files that are none."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from builder.checks import Results
from builder.checks.earlier import WRITE, read
from builder.errors import InputFaults

GOOD: dict[str, Any] = {"value": 780.0, "unit": "kg", "formula": "mass", "inputs": {}, "verdict": "ok"}


def test_what_numbers_wrote_is_read_back(tmp_path: Path, box: Results) -> None:
    path = tmp_path / "old.json"
    path.write_text(json.dumps(box.as_json()), encoding="utf-8")
    assert read(path) == json.loads(json.dumps(box.as_json()))


def test_a_byte_order_mark_is_no_matter(tmp_path: Path) -> None:
    path = tmp_path / "old.json"
    path.write_text(json.dumps({"shell.mass": GOOD}), encoding="utf-8-sig")
    assert read(path) == {"shell.mass": GOOD}


def _with(**parts: Any) -> bytes:
    return json.dumps({"shell.mass": {**GOOD, **parts}}).encode()


TABLE = {"columns": [{"key": "x", "unit": "m"}], "rows": [[1.0, 2.0]]}
WRONG = [
    (b"", "this is no JSON"),
    (b"ref: QR-0412\ntitle: x\n", "this is no JSON"),
    (b'{"a": 1,}', "this is no JSON"),
    (b"\xff\xfe\x00", "the file is no text"),
    (b"[" * 100_000, "nested too deep"),
    (b"[]", "this JSON is not numbers by key"),
    (b"{}", "this JSON is not numbers by key"),
    (b"7", "this JSON is not numbers by key"),
    (b'{"shell.mass": 780}', "'shell.mass': no number stands here"),
    (b'{"shell.mass": {"value": 780}}', "'shell.mass': it has no unit"),
    (b'{"shell.mass": {"value": NaN}}', "NaN is no finite number"),
    (b'{"shell.mass": {"value": 1e999}}', "1e999 is no finite number"),
    (_with(value="780"), "its value is not as it should be"),
    (_with(value=True), "its value is not as it should be"),
    (_with(value={"rows": []}), "its value is no table"),
    (_with(value=TABLE), "its value is no table"),
    (_with(inputs=[]), "its inputs is not as it should be"),
    (_with(inputs={"mass": 780}), "its inputs are not as they should be"),
    (_with(verdict="great"), "its verdict is none of ok, watch, cannot tell, stop"),
    (_with(verdict=None), "its verdict is not as it should be"),
]


@pytest.mark.parametrize(("raw", "wrong"), WRONG, ids=[wrong for _, wrong in WRONG])
def test_a_file_of_another_kind_is_one_clear_fault(tmp_path: Path, raw: bytes, wrong: str) -> None:
    path = tmp_path / "old.json"
    path.write_bytes(raw)
    with pytest.raises(InputFaults) as caught:
        read(path)
    (fault,) = caught.value.faults
    assert wrong in fault.wrong
    assert (fault.file, fault.instead) == (str(path), WRITE)


def test_a_missing_file_and_a_folder_are_one_clear_fault(tmp_path: Path) -> None:
    for path, wrong in ((tmp_path / "none.json", "there is no such file"), (tmp_path, "this is a folder")):
        with pytest.raises(InputFaults) as caught:
            read(path)
        assert [fault.wrong for fault in caught.value.faults] == [wrong]


def test_the_place_of_a_slip_is_told(tmp_path: Path) -> None:
    path = tmp_path / "old.json"
    path.write_text('{"a": 1,\n "b": }', encoding="utf-8")
    with pytest.raises(InputFaults) as caught:
        read(path)
    assert str(caught.value).startswith(f"{path}:2:7: ")
