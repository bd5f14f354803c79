"""A plain box, every number of it worked out on paper.

Inside 6 m by 3 m by 1.4 m, walls upright; wall 10 mm, floor 20 mm thick, 1500 kg/m3, 800 kg. The rim
stands 50 mm above the ground, water 120 mm and overflow 60 mm below the rim, groundwater 550 mm.
"""

import math

import pytest

from builder.checks import Results
from tests.checks.by_hand import results

INSIDE = 6.0 * 3.0  # plan area inside
OUTSIDE = 6.02 * 3.02  # 10 mm of wall at both ends
FULL = 800 + 1000 * INSIDE * (1.40 - 0.12)  # kg: shell and the water at its working level
# D p of a straight log line from 2 mm to 8 mm is 2 mm · 4^p
D85 = 0.002 * 4**0.85
# Hvorslev's shape factor: 0.6 m slotted, 80 mm outside
F = 2 * math.pi * 0.6 / math.log(0.6 / 0.08 + math.sqrt(1 + (0.6 / 0.08) ** 2))
BORE_AREA = math.pi / 4 * 0.072**2
# upright dig: the ring of 300 mm round 6.02 m by 3.02 m, corners round
GAP = 2 * (6.02 + 3.02) * 0.3 + math.pi * 0.3**2
R_E = math.sqrt(6.62 * 3.62 / math.pi)

ON_PAPER = {
    "shell.brim_volume": INSIDE * 1.40,
    "shell.water_volume": INSIDE * 1.28,
    "shell.water_area": INSIDE,
    "shell.perimeter": 18.0,
    "shell.outside_volume": OUTSIDE * 1.42,
    "shell.mass": 800.0,
    "shell.litres_per_mm": INSIDE,
    "level.ground": 0.05,
    "level.paving": -0.04,
    "level.water": 0.12,
    "level.overflow": 0.06,
    "level.floor_deep": 1.40,
    "level.underside_deep": 1.42,
    "level.bedding_base": 1.42 + 0.08,
    "level.groundwater": 0.05 + 0.50,
    "level.tube_foot": 1.42 + 0.33,
    "level.tube_top": 0.03 - 0.04,
    "level.peg": -0.50,
    "level.seat": 1.40,
    # a 100 mm hole with 300 mm of it wet in ground of 1e-6 m/s
    "ground.lag_90": math.log(10)
    * (math.pi / 4 * 0.1**2)
    / (2 * math.pi * 0.3 / math.log(3 + math.sqrt(10)) * 1e-6),
    "standpipe.length": 1.75 + 0.01,
    "standpipe.cut_length": 1.91,  # 1760 + 150 mm: a multiple of 10 mm as it is
    "standpipe.build_mark": 1.75,
    "standpipe.slot_count": 3 * 24,  # 600/25
    "standpipe.open_area": 72 * 0.030 * 0.0015,
    "standpipe.girth_cut": 3 * 0.030 / (math.pi * 0.080),
    "standpipe.gentle_flow": 0.03 * 72 * 0.030 * 0.0015 / 2,
    "standpipe.bore": 0.080 - 2 * 0.004,
    "standpipe.pump_clearance": 0.072 - 0.050,
    "standpipe.place": 0.0,
    "standpipe.slot_retains": D85 / 0.0015,
    "standpipe.time_lag_backfill": BORE_AREA / (F * 2e-2),
    "standpipe.time_lag_bedding": 0.4 * 1.51**2 / (1e-2 * 0.08),  # valve in the middle: 1.5 m and a wall
    "standpipe.time_lag_soil": 0.3 * GAP / (4 * R_E * 1e-6),
    "standpipe.ninety_percent_backfill": math.log(10) * BORE_AREA / (F * 2e-2),
    "standpipe.ninety_percent_bedding": 0.4 * 1.51**2 / (1e-2 * 0.08),
    "standpipe.ninety_percent_soil": math.log(10) * 0.3 * GAP / (4 * R_E * 1e-6),
    "standpipe.reach": 1.75 - 0.05,
    # ten of 24 rings under the pumped water, 12 mm under the gravel's at 1500 mm: F(238 mm) = 0.82595
    "standpipe.yield": 0.82595 * 2e-3 * 0.012,
    "standpipe.reads_floor": 0.0,
    "valve.opening_head": 0.06,
    "valve.head": (1.40 - 0.55) - (1.40 - 0.12),
    # floats full where 1000·OUTSIDE·(1.42 − z) = FULL
    "valve.float_margin": 0.12 - (1.42 - FULL / 1000 / OUTSIDE) - 0.06,
    "valve.opens_in_time": 0.03 - (0.06 + 1.42 - 1.40),
    "valve.sealant_volume": math.pi / 4 * 0.008**2 * math.pi * 0.090,
    "valve.turn_travel": 0.004 / 4,
    "uplift.float_height": 0.8 / OUTSIDE,
    "uplift.tip_height": 0.8 / OUTSIDE,  # weight and uplift both 3 m from either foot
    "uplift.panel_head": 0.020 * 1.5,
    "uplift.empty_limit": 0.030,
    "uplift.safety_today": FULL / (1000 * OUTSIDE * (1.42 - 0.55)),
    "uplift.safety_flooded": (800 + 1000 * INSIDE * 1.34) / (1000 * OUTSIDE * (1.42 - 0.05)),
    "uplift.watch_groundwater": 1.42 - FULL / 1300 / OUTSIDE,  # 411 mm: deeper than 120 + 150
    "uplift.act_groundwater": 1.42 - FULL / 1100 / OUTSIDE,  # 228 mm: deeper than 120 + 50
    "uplift.watch_dip": 1.42 - FULL / 1300 / OUTSIDE + 0.01,
    "uplift.watch_dip_build": 1.42 - FULL / 1300 / OUTSIDE,
    "uplift.act_dip": 1.42 - FULL / 1100 / OUTSIDE + 0.01,
    "uplift.act_dip_build": 1.42 - FULL / 1100 / OUTSIDE,
    "bedding.drains": 1e-2,
}
# the round corners of the gap are drawn in chords: 0.16 % of a corner's own area is missing
BY_CHORDS = {"standpipe.time_lag_soil", "standpipe.ninety_percent_soil"}


@pytest.mark.parametrize("key", ON_PAPER)
def test_a_number_of_the_box_is_what_paper_gives(box: Results, key: str) -> None:
    rel = 2e-4 if key in BY_CHORDS else 1e-7
    assert box[key].si == pytest.approx(ON_PAPER[key], rel=rel, abs=1e-9)


@pytest.mark.parametrize(
    ("key", "low", "high"),
    [  # a lag is shortest where k is largest
        ("standpipe.time_lag_backfill", BORE_AREA / (F * 2e-1), BORE_AREA / (F * 2e-3)),
        ("standpipe.time_lag_bedding", 0.4 * 1.51**2 / (1e-1 * 0.08), 0.4 * 1.51**2 / (1e-3 * 0.08)),
        ("standpipe.time_lag_soil", 0.3 * GAP / (4 * R_E * 1e-5), 0.3 * GAP / (4 * R_E * 1e-7)),
        ("bedding.drains", 1e-3, 1e-1),
    ],
)
def test_a_range_of_the_box_runs_from_the_best_to_the_worst_permeability(
    box: Results, key: str, low: float, high: float
) -> None:
    assert box[key].low == pytest.approx(low, rel=2e-4)
    assert box[key].high == pytest.approx(high, rel=2e-4)


def test_a_key_with_a_unit_in_its_name_carries_that_unit(box: Results) -> None:
    assert box["shell.litres_per_mm"].as_json()["value"] == pytest.approx(18.0)
    assert box["shell.litres_per_mm"].unit == "L/mm"
    assert box["proof.litres"].as_json()["value"] == pytest.approx(20.0)
    assert box["proof.litres"].unit == "L"


def test_the_depth_table_of_the_box_is_a_straight_line(box: Results) -> None:
    rows = box["shell.depth_volume"].table.records()
    assert [row["below_rim"] for row in rows] == pytest.approx(
        [0.0, 0.06, 0.1, 0.12, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.9, 1.0, 1.1, 1.2, 1.3, 1.4]
    )
    for row in rows:
        z = float(row["below_rim"])  # type: ignore[arg-type]
        assert row["water_depth"] == pytest.approx(1.4 - z, abs=1e-9)
        assert row["volume"] == pytest.approx(18 * (1.4 - z), abs=1e-7)
        if z < 1.4:
            assert row["area"] == pytest.approx(18.0)


def test_every_row_of_the_lowest_water_is_what_paper_gives(box: Results) -> None:
    rows = box["uplift.lowest_water"].table.rows
    assert [row[0] for row in rows] == pytest.approx([z / 10 for z in range(15)])  # 0.0 above the ground
    for z, by_sf, by_panel, lowest in rows:
        assert isinstance(z, float)
        needed = 1.3 * OUTSIDE * (1.42 - z) - 0.8  # m3 of water for SF 1.3
        sf_level = 1.4 - max(needed, 0.0) / INSIDE  # above the rim the same 18 m2 go on
        panel_level = 1.40 - ((1.42 - z) - 1.5 * 0.020) - 0.150
        higher = min(sf_level, panel_level)
        assert by_sf == pytest.approx(sf_level, abs=1e-7)
        assert by_panel == pytest.approx(panel_level, abs=1e-9)
        assert lowest == (pytest.approx(higher, abs=1e-7) if higher >= 0.06 else None)


def test_todays_row_is_the_next_hundred_above_todays_groundwater(box: Results) -> None:
    # 550 mm: the row of 500 mm, 1.4 − (1.3·18.1804·0.92 − 0.8)/18 = 236 mm, lower than the water
    assert box["uplift.lowest_water"].verdict == "ok"
    assert "235 mm" in box["uplift.lowest_water"].reason
    # 410 mm: the row of 400 mm gives 1.4 − (1.3·18.1804·1.02 − 0.8)/18 = 105 mm, over the water of 120
    watched = results({"ground.groundwater": "360 mm"})["uplift.lowest_water"]
    assert watched.verdict == "watch"
    assert "105 mm" in watched.reason
    # 350 mm: the row of 300 mm gives −26 mm, over the rim
    assert results({"ground.groundwater": "300 mm"})["uplift.lowest_water"].verdict == "stop"
    # exactly on a row: 400 mm is its own row
    assert results({"ground.groundwater": "350 mm"})["uplift.lowest_water"].verdict == "watch"


def flow_by_hand(head: float, k: float, factor: float, *, mesh: bool, more: float = 0.0) -> float:
    """The root of Δh = h_open + Q·Σ + (Q/(Cd·A))²/2g, by bisection."""
    if head <= 0.06:
        return 0.0
    area = math.pi / 4 * 0.050**2
    lost = 1 / (k * factor) + more + (1 / (0.5 * area) if mesh else 0.0)
    low, high = 0.0, 1.0
    for _ in range(200):
        q = (low + high) / 2
        if 0.06 + q * lost + (q / (0.6 * area)) ** 2 / (2 * 9.80665) < head:
            low = q
        else:
            high = q
    return low


@pytest.mark.parametrize(
    ("changes", "factor"),
    [
        # r = 25 mm: a disc, 4r = 0.1, is less than the layer, 2π·0.08/ln(1.51/0.025) = 0.1226
        ({}, 0.1),
        # 50 mm of bedding: the layer, 2π·0.05/ln(1.51/0.025) = 0.0766, is less
        ({"bedding.thickness": "50 mm"}, 2 * math.pi * 0.05 / math.log(1.51 / 0.025)),
        # over open ground (1e-3, not under a tenth of 1e-2) the layer form does not count
        ({"bedding.thickness": "50 mm", "ground.soil": "open-ground"}, 0.1),
    ],
)
def test_the_valves_flow_is_the_root_of_its_quadratic(changes: dict[str, str], factor: float) -> None:
    table = results(changes)["valve.flow"].table.records()
    assert [row["head"] for row in table] == pytest.approx([0.05 * step for step in range(1, 11)])
    for row in table:
        head = float(row["head"])  # type: ignore[arg-type]
        for case, k in (("low", 1e-3), ("typical", 1e-2), ("high", 1e-1)):
            for way, mesh in (("without", False), ("with", True)):
                expected = flow_by_hand(head, k, factor, mesh=mesh)
                assert row[f"{way}_{case}"] == pytest.approx(expected, rel=1e-9, abs=1e-15)


def test_with_a_sump_the_water_passes_bedding_and_fill() -> None:
    sump = {"depth": "200 mm", "width": "400 mm", "fill": "stone"}
    rows = results({"sump": sump})["valve.flow"].table.records()
    # half sphere of the pit's 0.4²·0.2 m3: r = (3·0.032/2π)^(1/3) = 248.1 mm
    r_s = (3 * 0.4**2 * 0.2 / (2 * math.pi)) ** (1 / 3)
    assert r_s == pytest.approx(0.2481, abs=1e-4)
    # the layer, 2π·(0.08 + 0.2)/ln(1.51/0.2481) = 0.974, is less than 2π·r_s = 1.559, and 1.51 > 2·r_s
    layer = 2 * math.pi * 0.28 / math.log(1.51 / r_s)
    assert layer < 2 * math.pi * r_s
    for case, k_bed, k_stone in (("low", 1e-3, 1e-2), ("typical", 1e-2, 1e-1), ("high", 1e-1, 1.0)):
        fill = 1 / (k_stone * 4 * 0.025)
        expected = flow_by_hand(0.5, k_bed, layer, mesh=False, more=fill)
        assert rows[-1][f"without_{case}"] == pytest.approx(expected, rel=1e-9)


def test_without_a_mesh_there_is_no_mesh_column_and_with_an_unknown_one_nobody_can_tell() -> None:
    bare = results({"mesh": "none"})["valve.flow"]
    assert bare.verdict == "ok"
    assert all(row["with_typical"] is None for row in bare.table.records())
    veiled = results({"mesh": "veil"})["valve.flow"]
    assert veiled.verdict == "cannot tell"
    assert veiled.reason


def test_a_weight_off_the_middle_tips_one_end_first() -> None:
    worked = results({"shell.weight_centre": "2 m"})
    # about the left foot: 800·2 = 1000·OUTSIDE·h·3; about the right: 800·4
    assert worked["uplift.tip_height"].si == pytest.approx(0.8 * 2 / (OUTSIDE * 3), abs=1e-7)
    assert worked["uplift.empty_limit"].si == pytest.approx(0.8 * 2 / (OUTSIDE * 3), abs=1e-7)
    assert "lift one end of" in worked["uplift.empty_limit"].reason


def test_salt_groundwater_lifts_more() -> None:
    worked = results({"water.density": "1025 kg/m3"})
    assert worked["uplift.float_height"].si == pytest.approx(0.8 / 1.025 / OUTSIDE, rel=1e-7)
    assert worked["uplift.panel_head"].si == pytest.approx(0.030 / 1.025)
    assert worked["uplift.safety_today"].si == pytest.approx(FULL / (1025 * OUTSIDE * 0.87))
    assert worked["uplift.watch_groundwater"].si == pytest.approx(1.42 - FULL / (1.3 * 1025) / OUTSIDE)
    row = worked["uplift.lowest_water"].table.rows[5]  # groundwater at 0.5 m; the pool is fresh
    assert row[1] == pytest.approx(1.4 - (1.3 * 1.025 * OUTSIDE * 0.92 - 0.8) / 18)
    assert row[2] == pytest.approx(1.40 - (1.025 * 0.92 - 1.5 * 0.020) - 0.150)


# The beam: a ring 300 mm wide round 6.02 m by 3.02 m, 200 mm high, 2400 kg/m3.
RING = 2 * (6.02 + 3.02) * 0.3 + math.pi * 0.3**2


def test_a_tied_beam_counts_dry_where_the_groundwater_is_under_it() -> None:
    worked = results({"ring_beam.tied": "yes"})
    heavy = FULL + 2400 * RING * 0.2
    assert worked["uplift.safety_today"].si == pytest.approx(heavy / (1000 * OUTSIDE * 0.87), rel=1e-4)
    # 1.42 − 26.58/1.3/18.18 = 295 mm, under the beam's 200 mm
    assert worked["uplift.watch_groundwater"].si == pytest.approx(1.42 - heavy / 1300 / OUTSIDE, abs=1e-4)


def test_a_tied_beam_is_buoyant_where_the_groundwater_stands_in_it() -> None:
    worked = results({"ring_beam.tied": "yes"})
    # full: 1000·OUTSIDE·(1.42 − z) = FULL + RING·(2400·0.2 − 1000·(0.2 − z)), z below the rim
    z = (1000 * OUTSIDE * 1.42 - FULL - RING * (480 - 200)) / (1000 * OUTSIDE + 1000 * RING)
    assert z < 0.2
    assert worked["valve.float_margin"].si == pytest.approx(0.12 - z - 0.06, abs=1e-4)
    flooded = 800 + 1000 * INSIDE * 1.34 + RING * (2400 * 0.2 - 1000 * 0.15)
    assert worked["uplift.safety_flooded"].si == pytest.approx(flooded / (1000 * OUTSIDE * 1.37), rel=1e-4)


def test_an_untied_beam_counts_for_nothing() -> None:
    heavier = results({"ring_beam.depth": "300 mm", "ring_beam.width": "500 mm"})
    for key, expected in ON_PAPER.items():
        if key.startswith("uplift."):
            assert heavier[key].si == pytest.approx(expected, rel=1e-7), key


@pytest.mark.parametrize(
    ("rim", "verdict"),
    [("110 mm", "ok"), ("109 mm", "watch"), ("10 mm", "watch"), ("9 mm", "stop"), ("300 mm", "ok")],
)
def test_a_flood_is_judged_by_how_the_overflow_stands_to_the_ground(rim: str, verdict: str) -> None:
    # the overflow is 60 mm below the rim: 50 mm above the ground where the rim is 110 mm above it
    assert results({"levels.rim_above_ground": rim})["uplift.safety_flooded"].verdict == verdict


def test_a_shell_that_floats_brim_full_stops_whatever_its_overflow() -> None:
    # salt flood at the ground: (800 + 25200)/(1250·18.18·1.31) is under 1
    light = results({"levels.rim_above_ground": "110 mm", "water.density": "1250 kg/m3"})
    assert light["uplift.safety_flooded"].verdict == "stop"


@pytest.mark.parametrize(
    ("below_ground", "verdict"),
    # watch line 411.3 mm, act line 227.9 mm below the rim, 50 mm less below the ground
    [("362 mm", "ok"), ("361 mm", "watch"), ("178 mm", "watch"), ("177 mm", "stop")],
)
def test_todays_safety_is_judged_by_the_watch_and_act_lines(below_ground: str, verdict: str) -> None:
    assert results({"ground.groundwater": below_ground})["uplift.safety_today"].verdict == verdict


def test_a_line_keeps_its_margin_under_the_pool_where_the_shell_is_heavy() -> None:
    heavy = results({"shell.mass": "4500 kg"})
    # SF 1.3 at 1.42 − 27.54/1.3/18.18 = 255 mm, above 120 + 150; SF 1.1 above 120 + 50
    assert heavy["uplift.watch_groundwater"].si == pytest.approx(0.270)
    assert heavy["uplift.act_groundwater"].si == pytest.approx(0.170)


def test_with_a_ring_seal_there_is_no_sealant_and_no_turn() -> None:
    worked = results({"shell.relief.seal": "ring"})
    for key in ("valve.sealant_volume", "valve.turn_travel"):
        assert worked[key].value is None
        assert worked[key].verdict == "ok"
        assert "ring" in worked[key].reason
