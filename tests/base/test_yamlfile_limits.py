"""Files made to hurt: refused at once, with few and short faults."""

from __future__ import annotations

import time

import pytest

from builder import yamlfile
from builder.errors import InputFaults
from builder.yamlfile import MAX_BYTES, MAX_FAULTS

SLOW = 0.9  # s; the common reader takes minutes or memory for some of these
HOSTILE = {
    "aliases in aliases": "a: &a [x, x]\n" + "".join(f"b{n}: &b{n} [*a, *a, *a]\n" for n in range(5000)),
    "aliases": "a: [" + "*a, " * 60000 + "]",
    "anchors": "a: [" + "&x 1, " * 40000 + "]",
    "tags": "a: [" + "!x 1, " * 40000 + "]",
    "repeated keys": "a: 1\n" * 50000,
    "keys that are lists": "{" + "[a]: 1, " * 30000 + "}",
    "open brackets": "[" * 200000,
    "open braces": "{a: " * 60000,
    "indents": "".join(" " * n + "a:\n" for n in range(650)),
    "dashes": "- " * 120000,
    "questions": "? " * 120000,
    "an endless quote": "a: '" + "x" * 250000,
    "a long key": "? " + "k" * 130000 + "\n: [" + "*a, " * 30000 + "]",
    "tabs": "a:\t1\n" * 50000,
    "documents": "--- a\n" * 40000,
}


@pytest.mark.parametrize("name", HOSTILE)
def test_a_hostile_file_is_refused_in_under_a_second(name: str) -> None:
    raw = HOSTILE[name].encode()
    assert len(raw) <= MAX_BYTES
    began = time.perf_counter()
    with pytest.raises(InputFaults) as refused:
        yamlfile.parse(raw, "job.yml")
    assert time.perf_counter() - began < SLOW
    assert 1 <= len(refused.value.faults) <= MAX_FAULTS + 1
    assert len(str(refused.value)) < 20000
