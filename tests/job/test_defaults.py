"""The one table of defaults, and the defaults that follow from other parts of the spec."""

from __future__ import annotations

import dataclasses
import math
from collections.abc import Callable, Iterator

import pytest

from builder.job import TABLE, Job, Pit, rules
from builder.job.reading import Kind
from builder.job.schema import SPEC
from builder.job.shapes import Either, Fields, ListOf, keys_of
from builder.job.shell import Shell

REQUIRED = {
    "ref",
    "title",
    "region",
    "shell",
    "shell.outline",
    "shell.outline.length",
    "shell.outline.width",
    "shell.outline.points",
    "shell.floor",
    "shell.wall",
    "shell.mass",
    "ground.groundwater",
}
_AN_HOUR = "groundwater: {{not_seen_to: 3 m, watched_for: 1 h}}"
CLAY_OVER_SAND = "layers: [{{to: {}, soil: stiff-clay}}, {{soil: sand}}], " + _AN_HOUR
SAND_OVER_CLAY = "layers: [{{to: {}, soil: sand}}, {{soil: stiff-clay}}], " + _AN_HOUR
BARE = "ref: A-1\ntitle: A\nregion: nz\nshell: quail-60\n"


def _keys(kind: Kind, path: str = "") -> Iterator[tuple[str, Kind]]:
    """Every key under a kind with its path as the table writes it."""
    if isinstance(kind, Fields):
        for key, below in kind.kinds.items():
            here = f"{path}.{key}" if path else key
            yield here, below
            yield from _keys(below, here)
    elif isinstance(kind, ListOf):
        yield from _keys(kind.kind, f"{path}[]")
    elif isinstance(kind, Either):
        for branch in (kind.text, kind.items, kind.mapping):
            if branch is not None:
                yield from _keys(branch, path)
    elif path == "shell":
        yield from _keys(Fields(Shell, ""), path)
    elif path == "shell.outline":
        from builder.job.outline import _Box, _Polygon

        yield from _keys(Fields(_Box, ""), path)
        yield from _keys(Fields(_Polygon, ""), path)


def test_every_optional_key_has_its_row_and_every_row_its_key() -> None:
    keys = dict(_keys(SPEC))
    parents = {path for path, kind in keys.items() if isinstance(kind, Fields) and path not in TABLE}
    in_lists = {path for path in keys if "[]." in path and path not in TABLE}
    in_forms = {
        "ground.groundwater.not_seen_to",
        "shell.relief.seal.bead",
        "shell.skimmer.at",
        "standpipe.beside.at",
    }
    in_forms |= {"standpipe.pit.depth", "standpipe.pit.width"}
    assert set(keys) - set(TABLE) - parents - in_lists == REQUIRED | in_forms
    assert set(TABLE) <= set(keys)


def test_every_row_says_why_and_who() -> None:
    assert all(row.why and row.who for row in TABLE.values())


def test_every_default_is_read_like_an_authors_text(reads: Callable[[str], Job]) -> None:
    job = reads(BARE + "ground: {soil: sand, groundwater: 1 m}\n")
    given = {used.path: used.value for used in job.defaults_used}
    assert given["bedding.thickness"] == "75 mm"
    assert job.spec.bedding.thickness == pytest.approx(0.075)
    flows, heads = zip(*job.spec.pump.curve, strict=True)
    assert flows == pytest.approx((0.0, 1e-3, 2e-3))  # 60 and 120 L/min
    assert heads == (7.0, 5.0, 0.0)
    assert job.spec.ring_beam.tied is False
    assert job.spec.notes == ""
    assert job.spec.sump is None
    assert job.mesh is not None
    assert job.mesh.id == "geotextile-fine"


def test_a_key_that_is_given_is_no_default_used(reads: Callable[[str], Job]) -> None:
    job = reads(BARE + "ground: {soil: sand, groundwater: 1 m}\nbedding: {thickness: 80 mm}\n")
    used = {default.path for default in job.defaults_used}
    assert "bedding.thickness" not in used
    assert "bedding.material" in used


def test_the_floor_is_as_thick_as_the_wall_unless_it_is_given(reads: Callable[[str], Job]) -> None:
    shell = reads(BARE + "ground: {soil: sand, groundwater: 1 m}\n").spec.shell
    assert shell.floor_thickness == pytest.approx(0.006)


@pytest.mark.parametrize(
    ("ground", "pit"),
    [
        # quail-60: floor 1.35 + 0.006, bedding 0.075: base 1.431 m below the rim, 1.381 m below ground;
        # 300 mm more is 1.681 m
        ("soil: stiff-clay, groundwater: 1.69 m", False),
        ("soil: stiff-clay, groundwater: 1.67 m", True),
        ("soil: stiff-clay, groundwater: 3 m, highest_known: 1.67 m", True),
        ("soil: stiff-clay, groundwater: 3 m, highest_known: 1.69 m", False),
        ("soil: stiff-clay, groundwater: 3 m, tidal: yes", True),
        ("soil: stiff-clay, groundwater: {not_seen_to: 3 m}", True),
        (
            "soil: stiff-clay, groundwater: {not_seen_to: 3 m, watched_for: 6.9 d}",
            True,
        ),
        ("soil: stiff-clay, groundwater: {not_seen_to: 3 m, watched_for: 7 d}", False),
        ("soil: stiff-clay, groundwater: {not_seen_to: 1.6 m, watched_for: 30 d}", True),
        # sand, k 3e-4 m/s: 0.017447 m / k = 58 s
        ("soil: sand, groundwater: {not_seen_to: 3 m, watched_for: 1 min}", False),
        ("soil: sand, groundwater: {not_seen_to: 3 m, watched_for: 57 s}", True),
        # only layers between the base and the hole's bottom count
        (
            CLAY_OVER_SAND.format("1 m"),
            False,
        ),
        (
            SAND_OVER_CLAY.format("2 m"),
            True,
        ),
        (
            SAND_OVER_CLAY.format("3.1 m"),
            False,
        ),
    ],
)
def test_the_tube_gets_a_pit_unless_water_is_known_to_stay_well_below(
    ground: str, pit: bool, reads: Callable[[str], Job]
) -> None:
    tube = reads(BARE + f"ground: {{{ground}}}\n").spec.standpipe
    if pit:
        assert tube.pit == Pit(pytest.approx(0.3), pytest.approx(0.4))  # type: ignore[arg-type]
        assert tube.foot_below_underside == pytest.approx(0.075 + 0.3 - 0.05)
    else:
        assert tube.pit is None
        assert tube.foot_below_underside == pytest.approx(0.015)


def test_a_given_pit_sets_the_foot_and_a_given_foot_the_pit(reads: Callable[[str], Job]) -> None:
    ground = "ground: {soil: sand, groundwater: 1 m}\n"
    tube = reads(BARE + ground + "standpipe: {pit: {depth: 500 mm, width: 400 mm}}\n").spec.standpipe
    assert tube.foot_below_underside == pytest.approx(0.075 + 0.5 - 0.05)
    tube = reads(BARE + ground + "standpipe: {foot_below_underside: 20 mm}\n").spec.standpipe
    assert tube.pit is None
    tube = reads(BARE + ground + "standpipe: {foot_below_underside: 600 mm}\n").spec.standpipe
    assert tube.pit is not None
    assert tube.pit.depth == pytest.approx(0.6 - 0.075 + 0.05)
    tube = reads(BARE + ground + "standpipe: {pit: none}\n").spec.standpipe
    assert tube.foot_below_underside == pytest.approx(0.015)


def test_the_lag_of_a_hole_by_hand() -> None:
    # A = π/4·0.1² = 7.85398e-3; L/D = 3; F = 2π·0.3/ln(3 + √10) = 1.884956/1.818446 = 1.036575
    # ln 10·A/(F·k) = 2.302585·7.85398e-3/(1.036575·1e-5) = 1744.62 s
    assert rules.hole_lag(1e-5) == pytest.approx(1744.62, rel=1e-5)


def test_the_batter_is_the_flattest_of_the_grounds_to_the_half_degree_below(
    reads: Callable[[str], Job],
) -> None:
    layered = "ground: {layers: [{to: 1 m, soil: stiff-clay}, {soil: sand}], groundwater: 1 m}\n"
    # clay 1:1 is 45°, sand 1:2 is 26.57°
    assert reads(BARE + layered).spec.excavation.batter == pytest.approx(math.radians(26.5))
    clay = "ground: {soil: stiff-clay, groundwater: 1 m}\n"
    assert reads(BARE + clay).spec.excavation.batter == pytest.approx(math.radians(45))
    shored = reads(BARE + clay + "excavation: {shoring: engineer}\n").spec.excavation
    assert shored.batter is None


def test_a_schema_class_with_postponed_annotations_is_refused_at_once() -> None:
    @dataclasses.dataclass(frozen=True)
    class Postponed:
        width: int  # a string here: this module postpones its annotations

    with pytest.raises(TypeError, match="postponed"):
        keys_of(Postponed)
