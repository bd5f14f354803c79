"""Shells that cannot be built: outlines, floors, walls, ledges and valves that do not go together."""

from __future__ import annotations

import shutil
from collections.abc import Callable
from pathlib import Path

import pytest

from builder import yamlfile
from builder.catalogue import load
from builder.catalogue.store import SHARED
from builder.errors import Fault, InputFaults
from builder.job import Job, of

Find = Callable[[str], tuple[Fault, ...]]


def spec(
    outline: str = "{length: 6 m, width: 3 m}",
    floor: str = "[[0 m, 1.5 m], [6 m, 1.5 m]]",
    mass: str = "500 kg",
    more: str = "",
    rest: str = "",
) -> str:
    """A box shell of 6 m by 3 m by 1.5 m with the rest at its defaults."""
    lines = [f"  {line}" for line in more.splitlines()]
    return "\n".join(
        [
            "ref: BX-1",
            "title: Box",
            "region: nz",
            "shell:",
            f"  outline: {outline}",
            f"  floor: {floor}",
            "  wall: 6 mm",
            f"  mass: {mass}",
            *lines,
            "ground: {soil: stiff-clay, groundwater: 1 m}",
            rest,
        ]
    )


def paths(found: tuple[Fault, ...]) -> list[str]:
    return [fault.path for fault in found]


def test_a_shell_of_four_keys_is_enough(reads: Callable[[str], Job]) -> None:
    job = reads(spec())
    assert job.spec.shell.outline.polygon.area == pytest.approx(18.0)
    assert job.spec.shell.id is None


def test_walls_that_meet_above_the_floor_are_refused(faults_of: Find) -> None:
    # 1 m wide, 29 degrees from the vertical: the walls have met at 0.5 / tan 29° = 0.90 m
    narrow = spec("{length: 6 m, width: 1 m}", mass="250 kg", more="wall_batter: 29 deg")
    (fault,) = faults_of(narrow)
    assert fault.path == "shell.wall_batter"
    assert "meet above the floor at 1.5 m" in fault.wrong


def test_walls_that_part_the_floor_at_a_waist_are_refused(faults_of: Find) -> None:
    waist = (
        "{points: [[0 m, 0 m], [2.5 m, 0 m], [2.5 m, 1.4 m], [3.5 m, 1.4 m], [3.5 m, 0 m], [6 m, 0 m], "
        "[6 m, 3 m], [3.5 m, 3 m], [3.5 m, 1.6 m], [2.5 m, 1.6 m], [2.5 m, 3 m], [0 m, 3 m]]}"
    )
    (fault,) = faults_of(spec(waist, more="wall_batter: 5 deg"))  # 2 × 1.5 m × tan 5° = 262 mm of 200 mm
    assert fault.path == "shell.wall_batter"
    assert "part the floor in 2" in fault.wrong
    assert not faults_of(spec(waist, more="wall_batter: 3 deg"))  # 157 mm of 200 mm


def test_a_floor_that_falls_all_the_way_to_a_leaning_end_wall_is_fine(faults_of: Find) -> None:
    assert not faults_of(spec(floor="[[0 m, 1.2 m], [6 m, 1.8 m]]", more="wall_batter: 6 deg"))


def test_a_v_shaped_floor_is_fine(faults_of: Find) -> None:
    assert not faults_of(spec(floor="[[0 m, 1.2 m], [3 m, 1.8 m], [6 m, 1.2 m]]", more="wall_batter: 4 deg"))


def test_a_ledge_over_the_point_of_a_v_shaped_floor_is_refused(faults_of: Find) -> None:
    ledge = "ledges: [{name: bench, at: [2.5 m, 0 m], size: [1 m, 3 m], depth: 600 mm}]"
    assert paths(faults_of(spec(floor="[[0 m, 1.2 m], [3 m, 1.8 m], [6 m, 1.2 m]]", more=ledge))) == [
        "shell.ledges"
    ]


def test_ledges_that_leave_no_room_for_the_flange_are_refused(faults_of: Find) -> None:
    ledge = "ledges: [{name: bench, at: [0 m, 0 m], size: [6 m, 2.7 m], depth: 600 mm}]"
    assert paths(faults_of(spec(more=ledge))) == ["shell.relief.flange"]  # 300 mm free, 390 mm needed
    assert not faults_of(spec(more=ledge.replace("2.7 m", "2.6 m")))  # 400 mm free


def test_a_ledge_in_the_notch_of_an_l_is_outside(faults_of: Find) -> None:
    outline = "{points: [[0 m, 0 m], [6 m, 0 m], [6 m, 3 m], [3 m, 3 m], [3 m, 1.5 m], [0 m, 1.5 m]]}"
    ledge = "ledges: [{name: steps, at: [0.5 m, 1.8 m], size: [1 m, 1 m], depth: 400 mm}]"
    (fault,) = faults_of(spec(outline, more=ledge))
    assert (fault.path, fault.wrong) == ("shell.ledges[0]", "most of the ledge lies outside the outline")


def test_steps_in_round_corners_are_inside(faults_of: Find) -> None:
    ledge = "ledges: [{name: steps, at: [0 m, 0 m], size: [0.6 m, 3 m], depth: 400 mm}]"
    assert not faults_of(spec("{length: 6 m, width: 3 m, corner_radius: 600 mm}", more=ledge))


def test_sizes_in_feet_may_be_off_by_a_millimetre(faults_of: Find) -> None:
    # 19 ft 8.22 in is 6.0 m to 0.2 mm
    assert not faults_of(spec(floor="[[0 m, 1.5 m], [19.685 ft, 1.5 m]]"))
    assert paths(faults_of(spec(floor="[[0 m, 1.5 m], [19.7 ft, 1.5 m]]"))) == ["shell.floor[1]"]  # 4.6 mm


def test_a_polygon_may_be_walked_either_way_round(reads: Callable[[str], Job]) -> None:
    one = reads(spec("{points: [[0 m, 0 m], [6 m, 0 m], [6 m, 3 m], [0 m, 3 m]]}"))
    other = reads(spec("{points: [[0 m, 3 m], [6 m, 3 m], [6 m, 0 m], [0 m, 0 m]]}"))
    assert one.spec.shell.outline.polygon.equals(other.spec.shell.outline.polygon)


def test_a_tube_longer_than_any_sold_length_is_refused(faults_of: Find) -> None:
    # foot 3.9 + 0.006 + 0.075 + 2.0 − 0.05 = 5.931 m, top at −0.04 + 0.03: 5.941 + 0.15 = 6.091, cut 6.10 m
    deep = spec(
        floor="[[0 m, 3.9 m], [6 m, 3.9 m]]",
        mass="900 kg",
        rest="standpipe: {pit: {depth: 2 m, width: 400 mm}}",
    )
    (fault,) = faults_of(deep)
    assert fault.path == "standpipe.pipe"
    assert "cut 6.1 m long, but pvc-dn65-pn9 is sold in at most 6 m" in fault.wrong


def test_a_foot_below_its_pit_is_refused(faults_of: Find) -> None:
    tube = "standpipe: {foot_below_underside: 400 mm, pit: {depth: 300 mm, width: 400 mm}}"
    (fault,) = faults_of(spec(rest=tube))
    assert fault.path == "standpipe.foot_below_underside"
    assert fault.instead == "Write at most 325 mm, or a deeper pit"  # 75 + 300 − 50


@pytest.mark.parametrize(
    ("rest", "path"),
    [
        ("standpipe: {slot_width: 10 mm, pitch: 10 mm}", "standpipe.pitch"),
        ("standpipe: {slotted: 60 mm, pitch: 61 mm}", "standpipe.pitch"),
        ("standpipe: {beside: skimmer}", "standpipe.beside"),
        ("standpipe: {pipe: pvc-dn150-pn9}\nbackfill: {working_gap: 150 mm}", "standpipe.pipe"),
        ("standpipe: {pit: {depth: 300 mm, width: 100 mm}, pipe: pvc-dn150-pn9}", "standpipe.pit.width"),
    ],
)
def test_a_tube_that_cannot_be_cut_or_stood_is_refused(rest: str, path: str, faults_of: Find) -> None:
    assert paths(faults_of(spec(rest=rest))) == [path]


def test_a_sump_narrower_than_the_throat_is_refused(faults_of: Find) -> None:
    valve = "relief: {throat: 120 mm, flange: 200 mm}"
    assert paths(faults_of(spec(more=valve, rest="sump: {width: 110 mm}"))) == ["sump.width"]


def test_a_beam_or_a_water_level_below_the_floor_is_refused(faults_of: Find) -> None:
    shallow = {"floor": "[[0 m, 0.8 m], [6 m, 1.5 m]]", "rest": "ring_beam: {depth: 0.9 m}"}
    assert paths(faults_of(spec(**shallow))) == ["ring_beam.depth"]
    shallow["rest"] = "levels: {water_below_rim: 0.9 m}"
    assert paths(faults_of(spec(**shallow))) == ["levels.water_below_rim"]


def test_a_fault_of_a_catalogue_shell_is_told_in_the_catalogues_file(tmp_path: Path) -> None:
    for file in SHARED.glob("*.yml"):
        shutil.copy(file, tmp_path)
    shells = (tmp_path / "shells.yml").read_text(encoding="utf-8")
    (tmp_path / "shells.yml").write_text(shells.replace("wall: 7 mm", "wall: 7 m", 1), encoding="utf-8")
    text = "ref: A\ntitle: A\nregion: nz\nshell: tern-74\nground: {soil: sand, groundwater: 1 m}\n"
    with pytest.raises(InputFaults) as caught:
        of(yamlfile.parse(text.encode(), "job.yml"), "job.yml", load(tmp_path))
    (fault,) = caught.value.faults
    assert fault.file.endswith("shells.yml")
    assert fault.path == "tern-74.spec.wall"
    assert shells.splitlines()[fault.line - 1].strip() == "wall: 7 mm"
