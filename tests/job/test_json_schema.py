"""The JSON Schema of a spec, held against a reference validator: it refuses no spec that the reader takes.

Every spec is validated twice: with each scalar as the text its author typed, and with the types an
editor's YAML server makes of it (the core schema of YAML 1.2: numbers, true and false, null).
"""

from __future__ import annotations

import json
import random
import re
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from jsonschema import Draft7Validator

from builder import yamlfile
from builder.catalogue import Catalogue, load
from builder.errors import InputFaults
from builder.job import Job, json_schema
from builder.job.reading import BROKEN, Reading
from builder.job.scalars import Count, Quantity
from builder.units import UNITS
from tests.job.test_malformed import ROWS
from tests.random_specs import draw

PROJECT = Path(__file__).resolve().parents[2]
KEPT = PROJECT / "shared" / "job.schema.json"
DEMOS = sorted((PROJECT / "jobs").glob("*.yml"))
MODELINE = "# yaml-language-server: $schema=../shared/job.schema.json"
SCHEMA = json.loads(KEPT.read_text(encoding="utf-8"))
VALIDATOR = Draft7Validator(SCHEMA)


def core(tree: Any) -> Any:
    """The tree with the types that YAML 1.2 gives plain scalars (section 10.3.2, the core schema)."""
    if isinstance(tree, dict):
        return {key: core(value) for key, value in tree.items()}
    if isinstance(tree, list):
        return [core(item) for item in tree]
    if re.fullmatch(r"null|Null|NULL|~|", tree):
        return None
    if re.fullmatch(r"true|True|TRUE|false|False|FALSE", tree):
        return tree.lower() == "true"
    if re.fullmatch(r"[-+]?[0-9]+", tree):
        return int(tree)
    if re.fullmatch(r"[-+]?(\.[0-9]+|[0-9]+(\.[0-9]*)?)([eE][-+]?[0-9]+)?", tree):
        return float(tree)
    return tree


def tree_of(text: str) -> Any:
    return yamlfile.plain(yamlfile.parse(text.encode(), "job.yml"))


def wrong_in(tree: Any) -> list[str]:
    return [f"{error.json_path}: {error.message[:200]}" for error in VALIDATOR.iter_errors(tree)]


def test_the_kept_schema_is_what_the_code_and_the_catalogue_make_today(catalogue: Catalogue) -> None:
    made = json_schema.text(catalogue)
    assert KEPT.read_text(encoding="utf-8") == made, (
        "write it anew: python -m builder schema --json > shared/job.schema.json"
    )


def test_the_schema_is_sound_draft_7() -> None:
    Draft7Validator.check_schema(SCHEMA)
    assert SCHEMA["$schema"] == "http://json-schema.org/draft-07/schema#"


@pytest.mark.parametrize("path", DEMOS, ids=lambda path: path.stem)
@pytest.mark.parametrize("typed", [lambda tree: tree, core], ids=["as text", "as an editor reads it"])
def test_every_demo_job_is_valid(path: Path, typed: Callable[[Any], Any]) -> None:
    text = path.read_text(encoding="utf-8")
    assert wrong_in(typed(tree_of(text))) == []
    assert text.splitlines()[0] == MODELINE


def test_the_spec_with_every_key_is_valid(full: str) -> None:
    assert wrong_in(tree_of(full)) == []
    assert wrong_in(core(tree_of(full))) == []


def test_a_hundred_random_specs_are_valid(catalogue: Catalogue, reads: Callable[[str], Job]) -> None:
    rng = random.Random(20261125)  # noqa: S311 a draw to repeat, no secret
    sound = 0
    while sound < 100:
        spec = draw(rng, catalogue)
        try:
            reads(flow(spec))
        except InputFaults:
            continue
        sound += 1
        assert wrong_in(spec) == []
        assert wrong_in(core(spec)) == []


def flow(tree: Any) -> str:
    if isinstance(tree, dict):
        return "{" + ", ".join(f"{key}: {flow(value)}" for key, value in tree.items()) + "}"
    if isinstance(tree, list):
        return "[" + ", ".join(flow(item) for item in tree) + "]"
    return f'"{tree}"'


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("ref: QR-0412", "ref: QR 0412"),  # a blank
        ("ref: QR-0412", "ref: con"),  # no folder can be called so everywhere
        ("ref: QR-0412\n", ""),  # required
        ("title: Quandong Rise", "title:"),
        ("issued: 2026-11-25", "issued: 25/11/2026"),
        ("issued: 2026-11-25", "issued: 2026-13-25"),
        ("link: 6k3v", "link: 6k31"),  # no 1 in base32
        ("region: au-nsw", "region: nsw"),
        ("audience: owner-builder", "audience: owner"),
        ("  mass: 780 kg", "  mass: 780"),  # no unit
        ("  mass: 780 kg", "  mass: 780 mm"),
        ("  wall: 7 mm", "  wall: -7 mm"),
        ("  wall: 7 mm", "  wall: 7,5 mm"),
        ("  wall: 7 mm\n", ""),
        ("corner_radius: 300 mm", "corner_radius: 300 mm, points: [[0 m, 0 m], [1 m, 0 m], [1 m, 1 m]]"),
        ("floor: [[0 m, 1.15 m], ", "floor: [[0 m, 1.15 m, 1 m], "),
        ("thread: G2", "thread: G7"),
        ("seal: ring", "seal: bead"),
        ("  soil: stiff-clay", "  soil: clay"),
        ("  soil: stiff-clay", "  soil: stiff-clay\n  layers: [{soil: sand}]"),
        ("  soil: stiff-clay\n", ""),
        ("  runoff: 1.0", "  runoff: 1.5"),
        ("site_class: M", "site_class: Q"),
        ("tidal: no", "tidal: maybe"),
        ("material: bedding-gravel-7", "material: sand"),  # a ground, not a bedding
        ("lift: 150 mm", "lifts: 150 mm"),
        ("rows: 3", "rows: three"),
        ("rows: 3", "rows: 30"),
        ("mesh: geotextile-fine", "mesh: nothing"),
        ("levels:\n", "level:\n"),
        ("makeup: none", "makeup: yes"),
    ],
)
def test_a_slip_is_refused(full: str, old: str, new: str) -> None:
    assert old in full
    slipped = full.replace(old, new, 1)
    assert wrong_in(core(tree_of(slipped)))


def test_most_malformed_specs_are_refused_too(full: str) -> None:
    told = whole = 0
    for old, new, _fault in ROWS:
        try:
            tree = tree_of(full.replace(old, new))
        except InputFaults:
            continue  # not even a tree
        whole += 1
        told += bool(wrong_in(core(tree)))
    assert whole > 60
    assert told > whole / 2  # the rest are ranges and geometry, which `check` tells


LOOKALIKES = ["2026", "1:2", "no", "true", "2026-11-25", "1e3", "0412", "~x", "007", "yes"]


@pytest.mark.parametrize("word", LOOKALIKES)
def test_text_that_yaml_takes_for_something_else_is_no_slip(
    full: str, reads: Callable[[str], Job], word: str
) -> None:
    text = full.replace("title: Quandong Rise", f"title: {word}").replace(
        "where: gate post", f"where: {word}"
    )
    text = text.replace("by: crew lead", f"by: {word}").replace("Side gate is 1.1 m wide.", word)
    assert reads(text).spec.title == word
    assert wrong_in(core(tree_of(text))) == []


def test_a_reference_of_digits_alone_is_no_slip(full: str, reads: Callable[[str], Job]) -> None:
    text = full.replace("ref: QR-0412", "ref: 0412")
    assert reads(text).spec.ref == "0412"
    assert wrong_in(core(tree_of(text))) == []


UNIT_SIGNS = ["", " ", "  "]


@settings(max_examples=400, deadline=None, derandomize=True)
@given(
    number=st.from_regex(r"\A[-+]?([0-9]{1,3}(\.[0-9]{0,2})?|\.[0-9]{1,3})(e[0-9])?\Z"),
    blank=st.sampled_from(UNIT_SIGNS),
    unit=st.sampled_from([*UNITS, "°", "m²", "m³", "l/min", "l/s", "ltr", "M", "mms", ""]),
    dimension=st.sampled_from(["m", "m2", "m3", "kg", "m3/s", "Pa", "rad", "s", "kg/m3"]),
    signed=st.booleans(),
)
def test_the_pattern_takes_every_quantity_the_reader_takes(
    number: str, blank: str, unit: str, dimension: str, signed: bool
) -> None:
    text = f"{number}{blank}{unit}"
    kind = Quantity(dimension, -1e-3 if signed else 0.0, 1e-3, "a range", "7 mm")
    reading = Reading("job.yml", yamlfile.Mapping({}, {}, 1, 1), load())
    read = kind.read(yamlfile.Text(text, 1, 1), (), reading) is not BROKEN
    fits = re.search(json_schema.quantity(dimension, signed=signed), text) is not None
    assert fits or not read, text
    if fits and not read:  # only a range may tell them apart
        assert "range" in reading.faults[0].wrong, text


def test_a_count_is_refused_as_text_where_the_reader_refuses_it() -> None:
    made = json_schema.scalar(Count(1, 12, "1 to 12", "3"))
    assert not Draft7Validator(made).is_valid("three")
    assert Draft7Validator(made).is_valid("3")
    assert not Draft7Validator(made).is_valid(13)


def test_a_kind_the_schema_has_no_word_for_is_a_defect_told_at_once() -> None:
    with pytest.raises(TypeError, match="no word for"):
        json_schema.scalar(object())  # type: ignore[arg-type]


def test_every_key_says_what_it_is_and_who_may_change_it() -> None:
    def look(schema: dict[str, Any]) -> None:
        for key, below in schema.get("properties", {}).items():
            assert below["description"].endswith("."), key
            look(below)
        for part in (*schema.get("oneOf", []), schema.get("items")):
            for one in part if isinstance(part, list) else [part]:
                if isinstance(one, dict):
                    look(one)

    look(SCHEMA)
    lift = SCHEMA["properties"]["backfill"]["properties"]["lift"]
    assert "The engineer or certifier may change it." in lift["description"]
    assert lift["default"] == "150 mm"
