"""Changing one input moves exactly the numbers that depend on it, and no other."""

from typing import Any

import pytest

from builder.checks import Results
from tests.checks.by_hand import results

SIX = (
    "shell.",
    "level.",
    "ground.",
    "standpipe.",
    "proof.",
    "valve.",
    "filter.",
    "bedding.drains",
    "uplift.",
)

# the lines of the full shell, as levels and as dips from either mark
BUILD_LINES = "uplift.watch_groundwater uplift.act_groundwater uplift.watch_dip_build uplift.act_dip_build "
LINES = BUILD_LINES + "uplift.watch_dip uplift.act_dip "
SOIL_LAG = "standpipe.time_lag_soil standpipe.ninety_percent_soil "
TOP = "level.tube_top standpipe.length standpipe.cut_length uplift.watch_dip uplift.act_dip "

TABLE: tuple[tuple[dict[str, Any], str], ...] = (
    (
        {"bedding.thickness": "100 mm"},  # the valve's disc stays less than the layer
        "level.bedding_base standpipe.yield standpipe.time_lag_bedding "
        "standpipe.ninety_percent_bedding proof.rise",
    ),
    (
        {"standpipe.slot_width": "2 mm"},
        "standpipe.open_area standpipe.gentle_flow standpipe.yield standpipe.slot_retains "
        "filter.backfill_slot filter.backfill_slot.retention",
    ),
    (
        {"standpipe.slot_length": "28 mm"},
        "standpipe.open_area standpipe.girth_cut standpipe.gentle_flow standpipe.yield",
    ),
    (
        {"standpipe.slotted": "500 mm"},
        "standpipe.slot_count standpipe.open_area standpipe.gentle_flow "
        "standpipe.time_lag_backfill standpipe.ninety_percent_backfill",
    ),
    (
        {"standpipe.pipe": "tube-110"},
        "standpipe.bore standpipe.pump_clearance standpipe.girth_cut standpipe.yield "
        "standpipe.time_lag_backfill standpipe.ninety_percent_backfill",
    ),
    (
        {"standpipe.foot_below_underside": "300 mm"},
        "level.tube_foot standpipe.length standpipe.cut_length standpipe.build_mark standpipe.reach "
        "standpipe.yield proof.rise",
    ),
    ({"standpipe.below_lid": "50 mm"}, TOP),
    ({"levels.paving_above_rim": "60 mm"}, "level.paving " + TOP),
    (
        {"shell.mass": "900 kg"},  # the floor's own weight stays the least of what an empty shell bears
        LINES + "shell.mass uplift.float_height uplift.tip_height uplift.safety_today uplift.safety_flooded "
        "uplift.lowest_water valve.float_margin",
    ),
    (
        {"shell.laminate_density": "1600 kg/m3"},
        "uplift.panel_head uplift.empty_limit uplift.lowest_water valve.opens_in_time",
    ),
    ({"ground.groundwater": "0.6 m"}, "level.groundwater uplift.safety_today valve.head"),
    (
        {"levels.water_below_rim": "150 mm"},
        LINES + "level.water shell.water_volume shell.depth_volume uplift.safety_today valve.head "
        "valve.float_margin",
    ),
    ({"levels.overflow_below_rim": "80 mm"}, "level.overflow shell.depth_volume uplift.safety_flooded"),
    (
        {"levels.rim_above_ground": "100 mm"},
        "level.ground level.groundwater uplift.safety_today uplift.safety_flooded uplift.lowest_water "
        "valve.head",
    ),
    ({"levels.peg.above_rim": "600 mm"}, "level.peg"),
    (
        {"shell.relief.opening_head": "80 mm"},
        "valve.opening_head valve.flow valve.float_margin valve.opens_in_time filter.mesh_throat "
        "filter.mesh_throat.flow",
    ),
    ({"shell.relief.throat": "40 mm"}, "valve.flow filter.mesh_throat filter.mesh_throat.flow"),
    ({"shell.relief.flange": "100 mm"}, "valve.sealant_volume"),
    ({"shell.relief.seal": {"bead": "6 mm"}}, "valve.sealant_volume"),
    ({"pump.body": "55 mm"}, "standpipe.pump_clearance"),
    ({"pump.min_depth": "80 mm"}, "standpipe.reach"),  # the slots limit the yield, not the reach
    (
        {"water.density": "1025 kg/m3"},
        LINES + "uplift.float_height uplift.tip_height uplift.panel_head uplift.empty_limit "
        "uplift.safety_today uplift.safety_flooded uplift.lowest_water valve.float_margin "
        "valve.opens_in_time",
    ),
    ({"backfill.working_gap": "400 mm"}, SOIL_LAG + "standpipe.ties"),
    ({"excavation": {"batter": "45 deg"}}, SOIL_LAG),
    (
        {"mesh": "veil"},
        "valve.flow filter.bedding_mesh filter.bedding_mesh.flow filter.mesh_throat filter.mesh_throat.flow",
    ),
    # what the six groups do not hang on
    ({"ring_beam.depth": "250 mm"}, ""),  # not tied
    ({"water.flow": "20 L/min"}, ""),
    ({"excavation.truck": "6 m3"}, ""),
    ({"backfill.lift": "200 mm"}, ""),
    ({"ground.catchment": "90 m2"}, ""),
    ({"ground.aquifer_base": "5 m"}, ""),
    ({"notes": "A gate."}, ""),
)


def told(worked: Results) -> dict[str, object]:
    """The values that the JSON prints, without inputs and reasons, to nine digits."""
    cut: dict[str, object] = {}
    for key, number in worked.as_json().items():
        if key.startswith(SIX):
            assert isinstance(number, dict)
            cut[key] = _rounded([number["value"], number.get("low"), number.get("high")])
    return cut


def _rounded(value: object) -> object:
    if isinstance(value, float):
        return float(f"{value:.9g}") if abs(value) > 1e-12 else 0.0
    if isinstance(value, list):
        return [_rounded(item) for item in value]
    if isinstance(value, dict):
        return {key: _rounded(item) for key, item in value.items()}
    return value


@pytest.mark.parametrize(
    ("changes", "moves"), TABLE, ids=lambda value: next(iter(value), None) if isinstance(value, dict) else ""
)
def test_changing_one_input_moves_exactly_what_depends_on_it(
    box: Results, changes: dict[str, Any], moves: str
) -> None:
    before, after = told(box), told(results(changes))
    assert before.keys() == after.keys()
    assert {key for key in before if before[key] != after[key]} == set(moves.split())
