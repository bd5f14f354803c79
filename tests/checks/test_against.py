"""What moved since an earlier result, and whether by spec, catalogue or method."""

from __future__ import annotations

import copy
import json
import shutil
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from builder import checks, job, levels, yamlfile
from builder.catalogue import Catalogue, load
from builder.checks import Results, moves
from builder.checks.against import Difference, compare
from builder.quantity import Range
from tests.checks.demo import FOLDER

SPEC = (FOLDER / "quandong-rise.yml").read_text(encoding="utf-8")
Entries = dict[str, Any]


def work(text: str, catalogue: Catalogue | None = None) -> Results:
    return checks.work(levels.place(job.of(yamlfile.parse(text.encode(), "job.yml"), "job.yml", catalogue)))


def entries(text: str, catalogue: Catalogue | None = None) -> Entries:
    """Return the numbers as a file holds them."""
    found: Entries = json.loads(json.dumps(work(text, catalogue).as_json()))
    return found


def corrected(shelf: str, name: str, **values: Any) -> Catalogue:
    """Return the catalogue with other values in one row."""
    catalogue = load()
    rows = dict(getattr(catalogue, shelf))
    rows[name] = replace(rows[name], **values)
    catalogue.__dict__[shelf] = rows
    return catalogue


@pytest.fixture(scope="module")
def now() -> Results:
    return work(SPEC)


@pytest.fixture
def same(now: Results) -> Entries:
    return copy.deepcopy(json.loads(json.dumps(now.as_json())))


def causes(difference: Difference) -> set[str]:
    return {cause for one in difference.moved for cause in one.causes}


def sure(difference: Difference) -> set[str]:
    return {cause for one in difference.moved if one.certain for cause in one.causes}


def test_nothing_moved_against_itself(now: Results, same: Entries) -> None:
    difference = compare(same, now)
    assert (difference.moved, difference.new, difference.gone) == ((), (), ())
    assert list(moves.lines(difference)) == [f"nothing moved: all {len(now)} numbers are as they were"]


def test_rounding_of_another_machine_is_no_move(now: Results, same: Entries) -> None:
    same["shell.brim_volume"]["value"] *= 1 + 1e-13
    assert compare(same, now).moved == ()


@pytest.mark.parametrize(
    ("old", "new", "key"),
    [
        ("groundwater: 1.9 m", "groundwater: 1.5 m", "level.groundwater"),
        ("slot_width: 1.5 mm", "slot_width: 2 mm", "standpipe.open_area"),
        ("rows: 3", "rows: 2", "standpipe.slot_count"),
        ("working_gap: 300 mm", "working_gap: 400 mm", "dig.volume"),
        ("thickness: 75 mm", "thickness: 100 mm", "level.bedding_base"),
        ("batter: 45 deg", "batter: 60 deg", "dig.top_length"),
        ("tied: no", "tied: yes", "uplift.watch_groundwater"),
        ("flow: 18 L/min", "flow: 9 L/min", "fill.barrier_minutes"),
        ("catchment: 60 m2", "catchment: 90 m2", "rain.rise_per_mm"),
        # another row of the catalogue is the spec's choice
        ("pipe: pvc-dn65-pn9", "pipe: pvc-dn80-pn9", "standpipe.bore"),
        ("material: bedding-gravel-7", "material: bedding-gravel-5", "standpipe.time_lag_bedding"),
        ("material: drainage-gravel-7", "material: drainage-gravel-10", "standpipe.time_lag_backfill"),
        ("soil: stiff-clay", "soil: sand", "standpipe.time_lag_soil"),
        ("shell: tern-74", "shell: quail-60", "shell.mass"),
        ("region: au-nsw", "region: nz", None),
    ],
)
def test_an_edit_of_the_spec_is_told_as_the_spec(now: Results, old: str, new: str, key: str | None) -> None:
    assert SPEC.count(old) == 1
    difference = compare(entries(SPEC.replace(old, new)), now)
    assert difference.corrected == ()
    assert sure(difference) <= {"spec"}
    assert "catalogue" not in causes(difference)
    if key is not None:
        (one,) = [one for one in difference.moved if one.key == key]
        assert (one.causes, one.certain) == (("spec",), True)


@pytest.mark.parametrize(
    ("shelf", "name", "values", "key"),
    [
        ("pipes", "pvc-dn65-pn9", {"wall": 0.0031}, "standpipe.bore"),
        ("materials", "bedding-gravel-7", {"porosity": 0.33}, "standpipe.time_lag_bedding"),
        ("materials", "drainage-gravel-7", {"porosity": 0.31}, "rain.rise_per_mm"),
        ("grounds", "stiff-clay", {"bulking": 1.5}, "dig.bulked_volume"),
        ("grounds", "stiff-clay", {"k": Range(1.0005e-11, 1.0005e-9, 1.0005e-7)}, "standpipe.time_lag_soil"),
        ("fabrics", "geotextile-fine", {"permittivity": 0.7}, "filter.bedding_mesh.flow"),
        ("regions", "au-nsw", {"barrier_depth": 0.25}, "fill.barrier_litres"),
    ],
)
def test_a_corrected_row_is_told_as_the_catalogue_and_named(
    now: Results, shelf: str, name: str, values: dict[str, Any], key: str
) -> None:
    difference = compare(entries(SPEC, corrected(shelf, name, **values)), now)
    assert difference.corrected == (f"{shelf}/{name}",)
    assert "spec" not in causes(difference)
    (one,) = [one for one in difference.moved if one.key == key]
    assert (one.causes, one.certain) == (("catalogue",), True)


def test_a_corrected_shell_is_told_as_the_catalogue(now: Results, tmp_path: Path) -> None:
    shared = tmp_path / "shared"
    shutil.copytree(FOLDER.parent / "shared", shared, ignore=shutil.ignore_patterns("theme"))
    text = (shared / "shells.yml").read_text(encoding="utf-8")
    assert text.count("mass: 780 kg") == 1
    (shared / "shells.yml").write_text(text.replace("mass: 780 kg", "mass: 700 kg"), encoding="utf-8")
    difference = compare(entries(SPEC, load(shared)), now)
    assert difference.corrected == ("shells/tern-74",)
    assert {one.causes for one in difference.moved} == {("catalogue",)}
    assert "uplift.float_height" in {one.key for one in difference.moved}


def test_a_shell_in_line_is_the_spec_itself() -> None:
    text = (Path(__file__).parents[1] / "job" / "full.yml").read_text(encoding="utf-8")
    assert text.count("mass: 780 kg") == 1
    difference = compare(entries(text.replace("mass: 780 kg", "mass: 700 kg")), work(text))
    assert {one.causes for one in difference.moved} == {("spec",)}


def test_both_are_told_apart_number_by_number(now: Results) -> None:
    catalogue = corrected("pipes", "pvc-dn65-pn9", wall=0.0031)
    text = SPEC.replace("working_gap: 300 mm", "working_gap: 400 mm")
    found = {one.key: one.causes for one in compare(entries(text, catalogue), now).moved}
    assert found["standpipe.bore"] == ("catalogue",)
    assert found["standpipe.pump_clearance"] == ("catalogue",)
    assert found["dig.volume"] == ("spec",)


def test_a_number_that_both_moved_says_both(now: Results) -> None:
    catalogue = corrected("materials", "drainage-gravel-7", porosity=0.31)
    text = SPEC.replace("catchment: 60 m2", "catchment: 90 m2")
    found = {one.key: one for one in compare(entries(text, catalogue), now).moved}
    assert found["rain.rise_per_mm"].causes == ("spec", "catalogue")
    assert found["rain.rise_per_mm"].certain


def test_another_value_from_the_same_inputs_is_the_method(now: Results, same: Entries) -> None:
    same["backfill.mass"]["value"] *= 1.2
    (one,) = compare(same, now).moved
    assert (one.key, one.causes, one.certain) == ("backfill.mass", ("method",), True)


def test_another_formula_is_the_method_though_the_value_stayed(now: Results, same: Entries) -> None:
    same["standpipe.length"]["formula"] = "tube_foot - tube_top + 0"
    difference = compare(same, now)
    assert [(one.key, one.causes) for one in difference.moved] == [("standpipe.length", ("method",))]
    assert any(
        line.startswith("standpipe.length  stays 1.732 m  by method") for line in moves.lines(difference)
    )


def test_another_constant_is_the_method(now: Results, same: Entries) -> None:
    same["pump.duty_flow"]["inputs"]["roughness"]["value"] *= 2
    same["pump.duty_flow"]["value"] *= 0.9
    (one,) = compare(same, now).moved
    assert (one.key, one.causes) == ("pump.duty_flow", ("method",))


def test_what_follows_from_a_moved_number_moved_for_its_reason(now: Results, same: Entries) -> None:
    """A method that gives another bedding volume moves the mass worked from it."""
    same["bedding.volume"]["value"] *= 2
    same["bedding.mass"]["inputs"]["volume"]["value"] *= 2
    same["bedding.mass"]["value"] *= 2
    found = {one.key: one.causes for one in compare(same, now).moved}
    assert found == {"bedding.volume": ("method",), "bedding.mass": ("method",)}


def test_verdicts_come_first_and_stop_lines_first_of_all(now: Results, same: Entries) -> None:
    same["backfill.mass"]["value"] *= 1.2
    same["uplift.panel_head"]["value"] *= 1.2
    same["dig.people"]["verdict"] = "stop"
    same["uplift.safety_flooded"]["verdict"] = "ok"
    keys = [one.key for one in compare(same, now).moved]
    assert keys == ["uplift.safety_flooded", "dig.people", "uplift.panel_head", "backfill.mass"]


def test_keys_that_came_and_went_are_listed(now: Results, same: Entries) -> None:
    same["shell.weight"] = same.pop("shell.mass")
    difference = compare(same, now)
    assert (difference.new, difference.gone) == (("shell.mass",), ("shell.weight",))
    lines = list(moves.lines(difference))
    assert lines[0] == f"0 of {len(now)} numbers moved, 0 of them in their verdict; 1 new, 1 gone"
    assert lines[1:] == ["shell.mass  new: 780 kg  ok", "shell.weight  gone: was 780 kg  ok"]


def test_a_line_names_from_what_to_what_and_the_inputs(now: Results, same: Entries) -> None:
    """The tube ends 20 mm lower: 1.722 m foot, so 1.732 m now was 1.712 m."""
    entry = same["standpipe.length"]
    entry["value"] -= 0.020
    entry["inputs"]["tube_top"]["value"] += 0.020
    same["level.tube_top"]["value"] += 0.020
    same["level.tube_top"]["inputs"]["below_lid"]["value"] += 0.020
    lines = list(moves.lines(compare(same, now)))
    assert "level.tube_top  0.01 m -> -0.01 m  by spec: below_lid 0.05 -> 0.03 m" in lines
    assert "standpipe.length  1.712 m -> 1.732 m  by spec: tube_top 0.01 -> -0.01 m" in lines


def test_a_table_is_told_in_short(now: Results, same: Entries) -> None:
    rows = same["shell.depth_volume"]["value"]["rows"]
    rows[2][1] *= 2
    columns = same["shell.depth_volume"]["value"]["columns"]
    (line,) = list(moves.lines(compare(same, now)))[1:]
    assert line.startswith(f"shell.depth_volume  a table, {len(rows)} rows, 1 moved, first row 3: ")
    assert f"{columns[1]['key']} {rows[2][1]:.6g} -> {rows[2][1] / 2:.6g}" in line


def test_the_difference_is_json_too(now: Results) -> None:
    difference = compare(entries(SPEC.replace("groundwater: 1.9 m", "groundwater: 1.5 m")), now)
    found = json.loads(json.dumps(difference.as_json(), allow_nan=False))
    assert set(found) == {"moved", "new", "gone", "corrected"}
    level = found["moved"]["level.groundwater"]
    assert (level["before"]["value"], level["now"]["value"]) == (pytest.approx(1.55), pytest.approx(1.95))
    assert level["causes"] == ["spec"]


def test_an_input_is_not_taken_for_a_number_that_has_its_value_by_chance() -> None:
    # The ground below the rim, the spec's, and the region's barrier depth both go from 250 to 300 mm.
    high = SPEC.replace("rim_above_ground: 50 mm", "rim_above_ground: 250 mm")
    before = entries(high, corrected("regions", "au-nsw", barrier_depth=0.25))
    difference = compare(before, work(high.replace("250 mm", "300 mm", 1)))
    found = {one.key: (one.causes, one.certain) for one in difference.moved}
    assert found["level.ground"] == (("spec",), True)
    assert found["fill.barrier_litres"] == (("catalogue",), True)
    assert difference.corrected == ("regions/au-nsw",)


def test_an_input_that_is_a_number_moved_for_that_numbers_reasons(now: Results, same: Entries) -> None:
    # The tube's top was worked otherwise: the length it is put into moved by method, though it is no figure.
    same["level.tube_top"]["formula"] = "below_lid"
    same["level.tube_top"]["value"] += 0.020
    same["standpipe.length"]["inputs"]["tube_top"]["value"] += 0.020
    same["standpipe.length"]["value"] -= 0.020
    found = {one.key: one.causes for one in compare(same, now).moved}
    assert found["standpipe.length"] == ("method",)
