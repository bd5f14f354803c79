"""Faults in catalogue files: all at once, each with its place and what to write instead."""

from __future__ import annotations

from pathlib import Path

import pytest

from builder.catalogue import load, nearest
from builder.catalogue.store import SHARED
from builder.errors import InputFaults

SOURCES = """\
shop-talk:
  title: Common practice
  edition: ""
  kind: practice
  seen: no
"""
PIPE = """\
pvc-one:
  name: One
  source: shop-talk
  where: ""
  memory: yes
  series: metric
  outside: 110 mm
  wall: 4 mm
  sold_lengths: [3 m, 6 m]
"""
MATERIAL = """\
pea:
  name: Pea gravel
  source: shop-talk
  where: somewhere
  memory: [k, waste]
  uses: [bedding, sump]
  drains: yes
  k: [1e-3 m/s, 1e-2 m/s, 1e-1 m/s]
  grading: {9.5 mm: 100, 4.75 mm: 0-40, 2.36 mm: 0-5}
  friction_angle: 34 deg
  unit_weight_moist: 16 kN/m3
  unit_weight_saturated: 19 kN/m3
  porosity: 40 %
  bulk_density: 1500 kg/m3
  waste: 10 %
  cemented: no
  hatch: gravel
  ask_for: pea gravel
"""


def faults_of(folder: Path, kind: str, text: str) -> list[str]:
    (folder / "sources.yml").write_text(SOURCES, encoding="utf-8")
    (folder / f"{kind}.yml").write_text(text, encoding="utf-8")
    with pytest.raises(InputFaults) as caught:
        getattr(load(folder), kind)
    return [str(fault).replace(str(folder) + "/", "") for fault in caught.value.faults]


def test_a_sound_file_is_read(tmp_path: Path) -> None:
    (tmp_path / "sources.yml").write_text(SOURCES, encoding="utf-8")
    (tmp_path / "pipes.yml").write_text(PIPE, encoding="utf-8")
    (tmp_path / "materials.yml").write_text(MATERIAL, encoding="utf-8")
    pipe = load(tmp_path).pipes["pvc-one"]
    assert pipe.bore == pytest.approx(0.102)  # by hand: 110 - 2 * 4 = 102 mm
    assert pipe.sold_lengths == (3.0, 6.0)
    pea = load(tmp_path).materials["pea"]
    assert pea.grading is not None
    assert pea.grading.sieves[1] == pytest.approx((0.00475, 0.0, 0.40))
    assert (pea.memory, pea.memory_of) == (True, ("k", "waste"))
    assert pea.waste == pytest.approx(0.10)


def test_all_faults_of_a_file_come_together_in_reading_order(tmp_path: Path) -> None:
    text = (
        PIPE.replace("110 mm", "110")
        .replace("wall: 4 mm", "wall: 4 kg")
        .replace("memory: yes", "memory: maybe")
    )
    assert faults_of(tmp_path, "pipes", text) == [
        "pipes.yml:5:11: pvc-one.memory: 'maybe' is neither yes nor no. Write yes or no.",
        "pipes.yml:7:12: pvc-one.outside: '110' has no unit. Write 110 mm.",
        "pipes.yml:8:9: pvc-one.wall: '4 kg' is not a length. "
        "Write a length in mm, cm, m, in, ft, such as 75 mm.",
    ]


def test_a_mistyped_key_names_the_nearest_known_one_and_the_missing_one(tmp_path: Path) -> None:
    assert faults_of(tmp_path, "pipes", PIPE.replace("sold_lengths", "sold_length")) == [
        "pipes.yml:1:1: pvc-one.sold_lengths: this key is missing. Add `sold_lengths: [one, two]`.",
        "pipes.yml:9:3: pvc-one.sold_length: this key is not known here. Did you mean sold_lengths?",
    ]


def test_a_source_that_is_not_in_the_list_is_a_fault(tmp_path: Path) -> None:
    assert faults_of(tmp_path, "pipes", PIPE.replace("source: shop-talk", "source: shoptalk")) == [
        "pipes.yml:3:11: pvc-one.source: 'shoptalk' is not known here. Did you mean shop-talk?"
    ]
    assert faults_of(tmp_path, "pipes", PIPE.replace("  series", "  also: [zzz]\n  series")) == [
        "pipes.yml:6:10: pvc-one.also[0]: 'zzz' is not known here. Write one of: shop-talk."
    ]


def test_memory_may_only_name_keys_of_the_row(tmp_path: Path) -> None:
    assert faults_of(tmp_path, "materials", MATERIAL.replace("[k, waste]", "[k, wast]")) == [
        "materials.yml:5:15: pea.memory[1]: 'wast' is not known here. Did you mean waste?"
    ]


@pytest.mark.parametrize(
    ("old", "new", "expected"),
    [
        (
            "4.75 mm: 0-40",
            "4.75 mm: 40-0",
            "9:35: pea.grading.4.75 mm: this is not a share passing. Write least-most, from 0 to 100.",
        ),
        (
            "2.36 mm: 0-5",
            "2.36 mm: 0-55",
            "9:50: pea.grading.2.36 mm: more passes here than the coarser sieve before. Check both rows.",
        ),
        (
            "2.36 mm: 0-5",
            "5 mm: 0-5",
            "9:41: pea.grading.5 mm: this sieve is no finer than the last. List from coarse to fine.",
        ),
        (
            "2.36 mm: 0-5",
            "2.36 mm: few",
            "9:50: pea.grading.2.36 mm: this is not a share passing. Write per cent, such as 95-100.",
        ),
        (
            "{9.5 mm: 100, 4.75 mm: 0-40, 2.36 mm: 0-5}",
            "{9.5 mm: 100}",
            "9:12: pea.grading: one sieve is no grading. Write two or more sieves, or `none`.",
        ),
        (
            "[1e-3 m/s, 1e-2 m/s, 1e-1 m/s]",
            "[1e-3 m/s, 1e-2 m/s]",
            "8:6: pea.k: 2 values stand here. Write three: [low, typical, high].",
        ),
        (
            "[1e-3 m/s, 1e-2 m/s, 1e-1 m/s]",
            "[1e-1 m/s, 1e-2 m/s, 1e-3 m/s]",
            "8:6: pea.k: the values do not rise. Write low first, then typical, then high.",
        ),
        ("waste: 10 %", "waste: 110 %", "15:10: pea.waste: 110 % is too large. Write 1 (SI) or less."),
        (
            "friction_angle: 34 deg",
            "friction_angle: -3 deg",
            "10:19: pea.friction_angle: -3 deg is too small. Write a value above 0 (SI).",
        ),
        (
            "unit_weight_saturated: 19 kN/m3",
            "unit_weight_saturated: 12 kN/m3",
            "12:26: pea.unit_weight_saturated: it weighs less full of water than moist. "
            "Check both unit weights.",
        ),
        (
            "drains: yes",
            "drains: often",
            "7:11: pea.drains: 'often' is neither yes nor no. Write yes, no or unknown.",
        ),
        (
            "uses: [bedding, sump]",
            "uses: [beding, sump]",
            "6:10: pea.uses[0]: 'beding' is not known here. Did you mean bedding?",
        ),
        ("uses: [bedding, sump]", "uses: []", "6:9: pea.uses: the list is empty. Write at least one value."),
        (
            "uses: [bedding, sump]",
            "uses: [[bedding], sump]",
            "6:10: pea.uses[0]: a single value is wanted here. Leave out the brackets.",
        ),
        (
            "uses: [bedding, sump]",
            "uses: bedding",
            "6:9: pea.uses: a list is wanted here, not a single value. Write `uses: [one, two]`.",
        ),
        ("name: Pea gravel", "name: ''", "2:9: pea.name: nothing is written here. Write the name."),
    ],
)
def test_each_wrong_value_is_located_with_its_remedy(
    tmp_path: Path, old: str, new: str, expected: str
) -> None:
    assert old in MATERIAL
    assert faults_of(tmp_path, "materials", MATERIAL.replace(old, new)) == [f"materials.yml:{expected}"]


def test_unknown_and_none_are_words_and_not_numbers(tmp_path: Path) -> None:
    text = MATERIAL.replace("drains: yes", "drains: unknown").replace("porosity: 40 %", "porosity: unknown")
    text = text.replace("[1e-3 m/s, 1e-2 m/s, 1e-1 m/s]", "unknown")
    text = text.replace("{9.5 mm: 100, 4.75 mm: 0-40, 2.36 mm: 0-5}", "none")
    (tmp_path / "sources.yml").write_text(SOURCES, encoding="utf-8")
    (tmp_path / "materials.yml").write_text(text, encoding="utf-8")
    pea = load(tmp_path).materials["pea"]
    assert (pea.drains, pea.porosity, pea.k, pea.grading) == (None, None, None, None)


def test_walls_thicker_than_the_tube_are_a_fault(tmp_path: Path) -> None:
    assert faults_of(tmp_path, "pipes", PIPE.replace("wall: 4 mm", "wall: 110 mm")) == [
        "pipes.yml:8:9: pvc-one.wall: two walls fill the whole tube. Write the wall, not the diameter."
    ]


def test_a_row_that_is_no_mapping_and_an_id_with_a_space_are_faults(tmp_path: Path) -> None:
    assert faults_of(tmp_path, "pipes", "two pipes: 7\n") == [
        "pipes.yml:1:1: two pipes: this is no id. Use letters, digits, dash, point and slash, "
        "such as pvc-dn65-pn9.",
        "pipes.yml:1:12: two pipes: a row is a mapping of keys. "
        "Write `name: …` and the other keys under the id.",
    ]


def test_a_region_without_an_answer_for_an_act_is_a_fault(tmp_path: Path) -> None:
    for file in ("sources.yml", "standards.yml"):
        (tmp_path / file).write_bytes((SHARED / file).read_bytes())
    text = (SHARED / "regions.yml").read_text(encoding="utf-8")
    whole = text[text.index("za:") :]
    gas = next(line for line in whole.splitlines() if line.startswith("    gas:"))
    (tmp_path / "regions.yml").write_text(
        whole.replace(gas + "\n", "").replace("[za]", "[zaa]"), encoding="utf-8"
    )
    with pytest.raises(InputFaults) as caught:
        _ = load(tmp_path).regions
    found = [(fault.path, fault.instead) for fault in caught.value.faults]
    assert ("za.trades.gas", "Add `gas: {…}`") in found
    assert ("za.standards[0]", "Did you mean za?") in found
    assert len(found) == 2


def test_a_file_is_read_only_when_it_is_asked_for(tmp_path: Path) -> None:
    (tmp_path / "sources.yml").write_text(SOURCES, encoding="utf-8")
    (tmp_path / "pipes.yml").write_text(PIPE, encoding="utf-8")
    (tmp_path / "grounds.yml").write_text("broken: [", encoding="utf-8")
    catalogue = load(tmp_path)
    assert set(catalogue.pipes) == {"pvc-one"}
    assert catalogue.pipes is catalogue.pipes
    with pytest.raises(InputFaults, match=r"grounds\.yml"):
        _ = catalogue.grounds


def test_rows_cannot_be_changed_through_the_mapping() -> None:
    pipes = load().pipes
    with pytest.raises(TypeError):
        pipes["mine"] = pipes["pvc-dn65-pn9"]  # type: ignore[index]


@pytest.mark.parametrize(
    ("typed", "found"),
    [
        ("Stiff Clay", "stiff-clay"),
        ("stiff_clay", "stiff-clay"),
        ("stifclay", "stiff-clay"),
        ("sadn", "sand"),
    ],
)
def test_the_nearest_word_is_found(typed: str, found: str) -> None:
    assert nearest(typed, ["sand", "silt", "stiff-clay"]) == found


def test_a_word_like_no_other_finds_none() -> None:
    assert nearest("concrete", ["sand", "silt"]) is None
