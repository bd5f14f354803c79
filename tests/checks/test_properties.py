"""What must hold for any job: more groundwater, more water inside, a heavier shell, other units."""

from __future__ import annotations

import math
from itertools import pairwise
from typing import Any

from hypothesis import given, settings
from hypothesis import strategies as st

from builder.checks import Results, uplift
from builder.checks.pool_level import lowest_water
from builder.quantity import Table
from tests.checks.by_hand import results
from tests.checks.drawn_at_random import jobs

FEW = settings(max_examples=8, deadline=None, print_blob=True)
LEAST = 1e-7  # m: below what any root is found to


def wet(changes: dict[str, Any], depth: int) -> dict[str, Any]:
    return {**changes, "ground.groundwater": f"{depth} mm"}


@FEW
@given(jobs())
def test_every_number_is_finite_and_agrees_with_its_verdict(changes: dict[str, Any]) -> None:
    worked = results(changes)
    for key, number in worked.items():
        values = [number.value, number.low, number.high]
        if isinstance(number.value, Table):
            values = [cell for row in number.value.rows for cell in row if not isinstance(cell, str)]
        assert all(math.isfinite(value) for value in values if isinstance(value, int | float)), key
    si = {key: number.si for key, number in worked.items() if isinstance(number.value, float)}
    judged = {key: number.verdict for key, number in worked.items()}
    assert (judged["standpipe.girth_cut"] == "stop") == (si["standpipe.girth_cut"] > 0.40)
    assert (judged["standpipe.pump_clearance"] == "stop") == (si["standpipe.pump_clearance"] < 0.010 - 1e-9)
    assert (judged["valve.float_margin"] == "watch") == (si["valve.float_margin"] < 0)
    assert (judged["valve.opens_in_time"] == "watch") == (si["valve.opens_in_time"] < 0)
    if "uplift.safety_today" in si and worked.groundwater.state == "seen":
        act, watch = si["uplift.act_groundwater"], si["uplift.watch_groundwater"]
        level = si["level.groundwater"]
        expected = "stop" if level <= act else "watch" if level <= watch else "ok"
        assert judged["uplift.safety_today"] == expected
        if expected == "ok":  # under the watch line: SF over 1.3, 150 mm under the pool
            assert si["uplift.safety_today"] >= 1.3 - 1e-6
            assert level >= si["level.water"] + 0.150 - LEAST
        if expected != "stop":
            assert si["uplift.safety_today"] >= 1.1 - 1e-6


@FEW
@given(jobs())
def test_levels_stand_in_the_order_they_are_built_in(changes: dict[str, Any]) -> None:
    worked = results(changes)
    level = {key.split(".")[1]: n.value for key, n in worked.items() if key.startswith("level.")}
    down = [level[name] for name in ("overflow", "water", "seat", "floor_deep", "underside_deep")]
    assert down == sorted(down)
    assert level["underside_deep"] < level["bedding_base"]
    assert level["tube_top"] < level["tube_foot"]
    assert level["underside_deep"] <= level["tube_foot"]
    assert worked["uplift.act_groundwater"].si <= worked["uplift.watch_groundwater"].si + LEAST
    for line in ("watch", "act"):  # both dips end at the same water
        trimmed = worked[f"uplift.{line}_dip"].si + worked["level.tube_top"].si
        assert abs(trimmed - worked[f"uplift.{line}_dip_build"].si) < 1e-9
    limits = (worked["uplift.float_height"], worked["uplift.tip_height"], worked["uplift.panel_head"])
    known = [limit.si for limit in limits if limit.value is not None]
    assert worked["uplift.empty_limit"].si == min(known)


@FEW
@given(jobs(), st.integers(0, 2500), st.integers(0, 500))
def test_more_groundwater_never_raises_the_safety(changes: dict[str, Any], depth: int, rise: int) -> None:
    lower, higher = results(wet(changes, depth)), results(wet(changes, max(depth - rise, 0)))
    before, after = lower["uplift.safety_today"].value, higher["uplift.safety_today"].value
    if before is not None:  # else water was under the shell
        assert after is not None
        assert after <= before + 1e-9  # type: ignore[operator]
    worse = ("ok", "watch", "stop")
    for key in ("uplift.safety_today", "uplift.lowest_water"):
        assert worse.index(higher[key].verdict) >= worse.index(lower[key].verdict), key
    for key in lower:  # lines and limits of the shell know nothing of today's water
        if key.startswith("uplift.") and key not in ("uplift.safety_today", "uplift.lowest_water"):
            assert lower[key].value == higher[key].value, key


@FEW
@given(jobs())
def test_more_water_inside_holds_more_groundwater(changes: dict[str, Any]) -> None:
    placed = results(changes).levels
    for safety in (1.0, 1.1, 1.3):
        pools = [placed.floor_deep * step / 12 for step in range(13)]  # from the rim down to the floor
        held = [uplift.groundwater_at(placed, safety, pool) for pool in pools]
        assert all(more <= less + LEAST for more, less in pairwise(held))


@FEW
@given(jobs(), st.floats(1.05, 1.5))
def test_a_heavier_shell_never_floats_earlier(changes: dict[str, Any], times: float) -> None:
    mass = float(changes["shell.mass"].split()[0])
    light, heavy = results(changes), results({**changes, "shell.mass": f"{mass * times:.1f} kg"})
    assert heavy["uplift.float_height"].si >= light["uplift.float_height"].si - LEAST
    if heavy["uplift.tip_height"].value is not None:  # None: neither end lifts at all
        assert heavy["uplift.tip_height"].si >= light["uplift.tip_height"].si - LEAST
    assert heavy["uplift.watch_groundwater"].si <= light["uplift.watch_groundwater"].si + LEAST
    assert heavy["uplift.safety_flooded"].si > light["uplift.safety_flooded"].si
    assert heavy["valve.float_margin"].si >= light["valve.float_margin"].si - LEAST


@FEW
@given(jobs())
def test_the_lowest_water_rises_with_the_groundwater(changes: dict[str, Any]) -> None:
    worked = results(changes)
    rows = worked["uplift.lowest_water"].table.records()
    levels = [float(row["groundwater"]) for row in rows]  # type: ignore[arg-type]
    assert levels[0] <= worked["level.ground"].si < levels[0] + 0.1
    assert levels[-1] <= worked["level.underside_deep"].si < levels[-1] + 0.1
    for higher, lower in pairwise(rows):
        for column in ("by_sf", "by_panel"):
            assert higher[column] <= lower[column] + 1e-9  # type: ignore[operator]
    for row in rows:
        least = min(row["by_sf"], row["by_panel"])  # type: ignore[type-var]
        assert row["lowest"] == (least if least >= worked["level.overflow"].si else None)  # type: ignore[operator]


@FEW
@given(jobs())
def test_at_the_lowest_water_by_safety_the_untied_shell_has_just_that_safety(changes: dict[str, Any]) -> None:
    worked = results({**changes, "ring_beam.tied": "no"})
    placed = worked.levels
    shell, density = placed.solid.shell, placed.job.spec.water.density
    for at in range(1, 8):
        groundwater = placed.underside_deep * at / 8
        by_sf, _ = lowest_water(placed, groundwater)
        if 0 < by_sf < placed.floor_deep - 1e-6:
            inside = shell.mass + 1000 * placed.solid.inside_profile.volume_below(by_sf)
            lift = density * placed.solid.outside_profile.volume_below(groundwater)
            assert abs(inside / lift - 1.3) < 1e-6


@FEW
@given(jobs())
def test_tied_or_not_the_line_is_where_the_safety_is_just_that(changes: dict[str, Any]) -> None:
    placed = results(changes).levels
    shell, density = placed.solid.shell, placed.job.spec.water.density
    for safety in (1.0, 1.1, 1.3):
        level = uplift.groundwater_at(placed, safety, placed.water)
        if 0 <= level < placed.underside_deep:
            weight = (
                shell.mass
                + uplift.beam_mass(placed, level)
                + 1000 * placed.solid.inside_profile.volume_below(placed.water)
            )
            lift = density * placed.solid.outside_profile.volume_below(level)
            assert abs(weight / lift - safety) < 1e-5


@FEW
@given(jobs())
def test_the_valve_lets_in_more_at_more_head_and_less_through_a_mesh(changes: dict[str, Any]) -> None:
    number = results({**changes, "mesh": "cloth"})["valve.flow"]
    rows = number.table.records()
    for column in rows[0]:
        cells = [float(row[column]) for row in rows]  # type: ignore[arg-type]
        assert cells == sorted(cells), column
    for row in rows:
        for case in ("low", "typical", "high"):
            assert row[f"with_{case}"] <= row[f"without_{case}"]  # type: ignore[operator]
        for way in ("with", "without"):
            assert row[f"{way}_low"] <= row[f"{way}_typical"] <= row[f"{way}_high"]  # type: ignore[operator]


def test_the_same_job_gives_the_same_numbers_twice() -> None:
    def numbers(worked: Results) -> dict[str, object]:
        return worked.as_json()

    assert numbers(results()) == numbers(results())
