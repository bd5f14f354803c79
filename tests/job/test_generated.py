"""Specs garbled at random: nothing but located faults with a remedy ever comes out, and quickly."""

from __future__ import annotations

import time
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from builder import yamlfile
from builder.catalogue import load
from builder.errors import Fault, InputFaults
from builder.job import of

FULL = (Path(__file__).parent / "full.yml").read_text(encoding="utf-8")
LINES = FULL.splitlines()
CATALOGUE = load()
NO_FAULT_TOLD = (Fault("", 0, 0, "", "", ""),)  # fails every look below
TRAPS = """none|no|yes|~|0|-1|1e-3|1:2|7 m|1e999 m|nan mm|lowest|[|{|}|[]|{}|[[]]|[0 m]|[0 m, 0 m]
{at: 1}|&a b|*a
!!int 3|<<|- x|'|{{ x }}|ref: x|# x|1e300 m|-0 mm|30 m|0.001 mm|89.9 deg|stiff-clay||\t""".replace(
    "\n", "|"
).split("|")
TEXTS = st.one_of(
    st.sampled_from(TRAPS),
    st.text(max_size=30),
    st.integers(-(10**20), 10**20).map(str),
    st.tuples(st.floats(allow_nan=True), st.sampled_from(["mm", "m", "kg", "deg", "L/min", "", "kPa"])).map(
        lambda pair: f"{pair[0]:g} {pair[1]}"
    ),
)
LEAVES = st.one_of(TEXTS, st.sampled_from(["0 m", "1 m", "7.4 m", "3.4 m", "400 mm"]))
TREES = st.recursive(
    LEAVES,
    lambda inner: (
        st.lists(inner, max_size=4)
        | st.dictionaries(st.sampled_from(["at", "depth", "to", "soil", "x"]), inner)
    ),
    max_leaves=8,
)


def _flow(tree: object) -> str:
    if isinstance(tree, list):
        return "[" + ", ".join(_flow(item) for item in tree) + "]"
    if isinstance(tree, dict):
        return "{" + ", ".join(f"{key}: {_flow(value)}" for key, value in tree.items()) + "}"
    return str(tree)


@st.composite
def garbled(draw: st.DrawFn) -> str:
    """The full spec with one to four lines dropped, repeated, moved, retyped or garbled."""
    lines = list(LINES)
    for _ in range(draw(st.integers(1, 4))):
        at = draw(st.integers(0, len(lines) - 1))
        line = lines[at]
        how = draw(
            st.sampled_from(
                ["drop", "repeat", "move", "value", "tree", "key", "indent", "cut", "swap", "word"]
            )
        )
        key, colon, value = line.partition(":")
        if how == "drop":
            del lines[at]
        elif how == "repeat":
            lines.insert(draw(st.integers(0, len(lines))), line)
        elif how == "move":
            lines.insert(draw(st.integers(0, len(lines) - 1)), lines.pop(at))
        elif how == "value":
            lines[at] = f"{key}{colon} {draw(TEXTS)}"
        elif how == "tree":
            lines[at] = f"{key}{colon} {_flow(draw(TREES))}"
        elif how == "key":
            lines[at] = f"{draw(TEXTS)}{colon}{value}"
        elif how == "indent":
            lines[at] = " " * draw(st.integers(0, 6)) + line.strip()
        elif how == "cut":
            lines[at] = line[: draw(st.integers(0, len(line)))]
        elif how == "swap":
            lines[at] = f"{key}{colon}{LINES[draw(st.integers(0, len(LINES) - 1))].partition(':')[2]}"
        else:
            words = line.split(" ")
            words[draw(st.integers(0, len(words) - 1))] = draw(TEXTS)
            lines[at] = " ".join(words)
        lines = lines or [""]
    return "\n".join(lines)


def _faults(text: str) -> tuple[Fault, ...]:
    try:
        of(yamlfile.parse(text.encode("utf-8", "surrogatepass"), "job.yml"), "job.yml", CATALOGUE)
    except InputFaults as exc:
        return exc.faults or NO_FAULT_TOLD
    return ()


def _seconds(text: str) -> float:
    start = time.process_time()
    _faults(text)
    return time.process_time() - start


def _look(text: str) -> None:
    found = _faults(text)
    assert (
        _seconds(text) < 0.5 or min(_seconds(text) for _ in range(3)) < 0.5
    )  # a busy machine may stall once
    rows = text.removeprefix("\ufeff").replace("\r\n", "\n").replace("\r", "\n").split("\n")
    for fault in found:
        assert fault.file == "job.yml"
        assert 1 <= fault.line <= len(rows) + 1
        assert (
            1
            <= fault.column
            <= len(rows[min(fault.line, len(rows)) - 1].encode("utf-8", "surrogatepass")) + 2
        )
        assert fault.wrong.strip()
        assert len(fault.instead) > 5
        assert str(fault).isprintable()
        assert len(str(fault)) < 800
        for word in ("pydantic", "validation", "NoneType", "Traceback", "input_value", "float(", "object at"):
            assert word not in fault.wrong + fault.instead


@pytest.fixture(scope="module", autouse=True)
def _warm() -> None:
    _look(FULL)  # the catalogue is read once


@settings(max_examples=150, deadline=None, derandomize=True, suppress_health_check=[HealthCheck.too_slow])
@given(garbled())
def test_a_garbled_spec_brings_nothing_but_located_faults_with_a_remedy(text: str) -> None:
    _look(text)


@settings(max_examples=100, deadline=None, derandomize=True)
@given(
    st.dictionaries(
        st.sampled_from(["ref", "title", "shell", "ground", "levels", "x", "pump"]), TREES, max_size=6
    )
)
def test_random_yaml_brings_nothing_but_located_faults_with_a_remedy(tree: dict[str, object]) -> None:
    _look("\n".join(f"{key}: {_flow(value)}" for key, value in tree.items()))


@settings(max_examples=100, deadline=None, derandomize=True)
@given(st.text(max_size=200))
def test_random_text_brings_nothing_but_located_faults_with_a_remedy(text: str) -> None:
    _look(text)


@settings(max_examples=100, deadline=None, derandomize=True)
@given(
    st.lists(st.tuples(st.floats(0, 12), st.floats(0, 8)), min_size=3, max_size=12),
    st.lists(st.tuples(st.floats(0, 12), st.floats(0.1, 4)), min_size=2, max_size=6),
    st.floats(0, 30),
    st.lists(
        st.tuples(
            st.floats(0, 12), st.floats(0, 8), st.floats(0.1, 6), st.floats(0.1, 6), st.floats(0.05, 3)
        ),
        max_size=3,
    ),
)
def test_random_shells_bring_nothing_but_located_faults(
    points: list[tuple[float, float]],
    floor: list[tuple[float, float]],
    batter: float,
    ledges: list[tuple[float, float, float, float, float]],
) -> None:
    low = (min(x for x, _ in points), min(y for _, y in points))
    length = max(x for x, _ in points) - low[0]
    rising = sorted(x * length / 12 for x, _ in floor)
    rising[0], rising[-1] = 0.0, length
    shell = [
        "outline: {points: ["
        + ", ".join(f"[{x - low[0]:.4f} m, {y - low[1]:.4f} m]" for x, y in points)
        + "]}",
        "floor: ["
        + ", ".join(f"[{x:.4f} m, {z:.4f} m]" for x, (_, z) in zip(rising, floor, strict=True))
        + "]",
        f"wall_batter: {batter:.3f} deg",
        "ledges: ["
        + ", ".join(
            f"{{name: seat, at: [{x:.3f} m, {y:.3f} m], size: [{a:.3f} m, {b:.3f} m], depth: {d:.3f} m}}"
            for x, y, a, b, d in ledges
        )
        + "]",
        "wall: 7 mm",
        "mass: 700 kg",
    ]
    lines = "".join(f"  {line}\n" for line in shell)
    _look(f"ref: A\ntitle: A\nregion: nz\nshell:\n{lines}ground: {{soil: sand, groundwater: 1 m}}\n")
