"""Every calculation that no table in print covers, worked by hand beside the value; and its sign.

One job runs through: rim 50 mm above ground, paving 40 mm above the rim, floor 1.70 m deep and 7 mm
thick, 75 mm of bedding, groundwater 1.90 m below ground.
"""

from __future__ import annotations

import math

import pytest

from builder.calc import (
    constants,
    dig,
    filling,
    filters,
    levels,
    pump,
    rain,
    standpipe,
    uplift,
    valve,
    walls,
    wells,
)
from builder.quantity import Calculation

MM = 1e-3


@pytest.mark.parametrize(
    ("calculation", "inputs", "by_hand"),
    [
        (levels.ground, {"rim_above_ground": 0.05}, 0.05),
        (levels.paving, {"paving_above_rim": 0.04}, -0.04),
        (levels.water, {"water_below_rim": 0.12}, 0.12),
        (levels.overflow, {"overflow_below_rim": 0.06}, 0.06),
        (levels.peg, {"peg_above_rim": 0.5}, -0.5),
        (levels.underside_deep, {"floor_deep": 1.70, "floor_thickness": 0.007}, 1.707),
        (levels.bedding_base, {"underside_deep": 1.707, "bedding": 0.075}, 1.782),
        (levels.groundwater, {"rim_above_ground": 0.05, "groundwater_below_ground": 1.90}, 1.95),
        (levels.tube_foot, {"underside_deep": 1.707, "foot_below_underside": 0.015}, 1.722),
        (levels.tube_top, {"below_lid": 0.03, "paving_above_rim": 0.04}, -0.01),
        (levels.tube_top_measured, {"tube_top_above_rim": 0.012}, -0.012),
        (levels.tube_foot_measured, {"tube_top": -0.012, "tube_length": 1.74}, 1.728),
        (levels.groundwater_dipped, {"mark": -0.012, "dip": 1.62}, 1.608),
        (levels.shell_mass, {"mass": 780.0}, 780.0),
        (levels.litres_per_mm, {"water_area": 24.0}, 24.0),
        (standpipe.length, {"tube_foot": 1.722, "tube_top": -0.01}, 1.732),
        (standpipe.cut_length, {"length": 1.732, "spare_mm": 150}, 1.89),  # 1732 + 150 = 1882, up to 1890
        (standpipe.cut_length, {"length": 1.74, "spare_mm": 150}, 1.89),  # 1890 stays
        (standpipe.cut_length, {"length": 1.741, "spare_mm": 150}, 1.90),  # 1891 goes up
        (standpipe.build_mark, {"tube_foot": 1.722}, 1.722),
        (standpipe.slot_count, {"rows": 3, "slotted": 0.6, "pitch": 0.025}, 3 * 24),
        (standpipe.slot_count, {"rows": 3, "slotted": 0.599, "pitch": 0.025}, 3 * 23),
        (standpipe.open_area, {"slot_count": 72, "slot_length": 0.03, "slot_width": 0.0015}, 72 * 45e-6),
        (
            standpipe.girth_cut,
            {"rows": 3, "slot_length": 0.03, "outside_diameter": 0.075},
            0.09 / 0.235619449,
        ),
        (
            standpipe.time_lag_bedding,  # 0.4 * 1.5^2 / (0.001 * 0.075) = 0.9/7.5e-5
            {"porosity": 0.4, "distance": 1.5, "k": 1e-3, "thickness": 0.075},
            12000.0,
        ),
        (
            standpipe.time_lag_soil,  # 0.4 * 12 / (4 * 3 * 1e-6) = 4.8/1.2e-5
            {"porosity": 0.4, "gap_area": 12.0, "equivalent_radius": 3.0, "k": 1e-6},
            400000.0,
        ),
        (standpipe.ninety_percent_bedding, {"time_lag": 12000.0}, 12000.0),
        (standpipe.reach, {"tube_foot": 1.722, "min_depth": 0.05}, 1.672),
        (
            standpipe.tube_yield,  # slots: half of 72 of 30 by 1.5 mm; the gravel would give 6.8e-3
            {
                "entrance_velocity": 0.03,
                "wet_slots": 72.0,
                "slot_length": 0.03,
                "slot_width": 0.0015,
                "wet_length": 0.6,
                "diameter": 0.075,
                "k_low": 0.01,
                "in_tube": 1.7,
                "in_gravel": 1.2,
            },
            48.6e-6,
        ),
        (
            standpipe.tube_yield,  # gravel: L/D = 8, ln(8 + sqrt 65) = 2.77647; 3.76991/2.77647*1e-5*0.5
            {
                "entrance_velocity": 0.03,
                "wet_slots": 72.0,
                "slot_length": 0.03,
                "slot_width": 0.0015,
                "wet_length": 0.6,
                "diameter": 0.075,
                "k_low": 1e-5,
                "in_tube": 1.7,
                "in_gravel": 1.2,
            },
            6.78903e-6,
        ),
        (standpipe.place, {"underside_deep": 1.707, "underside_at_tube": 1.557}, 0.15),
        (
            standpipe.proof_litres,  # 12.8 L in the sump, (50 + 15 mm) over 0.2 m2 of voids: 13 L
            {"least": 0.02, "sump_pores": 0.0128, "show": 0.05, "foot_above_base": 0.015, "pore_area": 0.2},
            0.0258,
        ),
        (
            standpipe.proof_litres,  # never under the least
            {"least": 0.02, "sump_pores": 0.0, "show": 0.05, "foot_above_base": 0.015, "pore_area": 0.1},
            0.02,
        ),
        (
            standpipe.proof_rise,  # and pouring that much shows the 50 mm
            {"poured": 0.0258, "sump_pores": 0.0128, "pore_area": 0.2, "foot_above_base": 0.015, "room": 0.1},
            0.05,
        ),
        (
            standpipe.proof_rise,  # where only 20 mm of gravel stand over the foot, 20 mm
            {
                "poured": 0.0258,
                "sump_pores": 0.0128,
                "pore_area": 0.2,
                "foot_above_base": 0.015,
                "room": 0.02,
            },
            0.02,
        ),
        (uplift.height_above_underside, {"underside_deep": 1.707, "groundwater": 1.5}, 0.207),
        (uplift.empty_limit, {"float_height": 0.086, "tip_height": 0.06, "panel_head": 0.0112}, 0.0112),
        (uplift.empty_limit_level, {"float_height": 0.086, "panel_head": 0.09}, 0.086),
        (
            uplift.panel_head,
            {"floor_thickness": 0.007, "laminate_density": 1600, "groundwater_density": 1000},
            0.0112,
        ),
        (uplift.line_below_pool, {"level_at_safety": 0.25, "water_level": 0.12, "margin": 0.15}, 0.27),
        (uplift.line_below_pool, {"level_at_safety": 0.40, "water_level": 0.12, "margin": 0.15}, 0.40),
        (uplift.dip, {"groundwater": 0.27, "mark": -0.01}, 0.28),
        (uplift.dip, {"groundwater": 0.27, "mark": 0.0}, 0.27),
        (
            # 1.707 - 1.2 = 507 mm of water, less 11.2 mm the laminate carries: 495.8 up from 1.700, and 150
            uplift.lowest_water_by_panel,
            {
                "floor_deep": 1.70,
                "groundwater_density": 1000,
                "underside_deep": 1.707,
                "groundwater": 1.2,
                "laminate_density": 1600,
                "floor_thickness": 0.007,
                "pool_density": 1000,
                "margin": 0.15,
            },
            1.70 - 0.4958 - 0.15,
        ),
        (valve.head, {"seat": 1.70, "groundwater": 0.50, "water_level": 0.60}, 0.10),  # 1.20 - 1.10
        (valve.head, {"seat": 1.70, "groundwater": 0.60, "water_level": 0.12}, -0.48),
        (valve.head, {"seat": 1.70, "groundwater": 1.95, "water_level": 1.80}, 0.0),  # both under the seat
        (valve.float_margin, {"water_level": 0.12, "float_level": 0.04, "opening_head": 0.06}, 0.02),
        (
            valve.opens_in_time,  # opens when water stands 60 + 7 mm over the underside; the panel bears 11.2
            {"empty_limit": 0.0112, "opening_head": 0.06, "underside_deep": 1.707, "seat": 1.70},
            -0.0558,
        ),
        (valve.turn_travel, {"pitch": 0.0024}, 0.0006),
        (valve.disc_factor, {"radius": 0.025}, 0.1),
        (valve.half_sphere_factor, {"radius": 0.2}, 1.2566371),
        (
            valve.sump_radius,
            {"width": 0.4, "depth": 0.2},
            0.24814020,
        ),  # (3*0.032/2 pi)^(1/3) = 0.0152789^(1/3)
        (filters.flow_left, {"with_mesh": 3e-4, "without_mesh": 4e-4}, 0.75),
        (dig.depth, {"base": 1.782, "ground": 0.05}, 1.732),
        (dig.check_diagonal, {"base_length": 8.0, "base_width": 6.0}, 10.0),
        (dig.volume, {"hole": 60.0, "sump": 0.03, "pit": 0.05, "beam_trench": 0.5}, 60.58),
        (dig.bulked_volume, {"volume": 60.0, "bulking": 1.25}, 75.0),
        (dig.truckloads, {"bulked_volume": 72.0, "truck": 8.0}, 9.0),
        (dig.truckloads, {"bulked_volume": 72.1, "truck": 8.0}, 10.0),
        (dig.makeup, {"bedding": 0.075, "overdug": 0.05}, 0.125),
        (dig.makeup_volume, {"base_area": 30.0, "overdug": 0.05}, 1.5),
        (
            dig.backfill_volume,
            {
                "dig": 60.0,
                "bedding": 2.0,
                "makeup": 1.5,
                "sump": 0.03,
                "pit": 0.05,
                "shell_below_ground": 40.0,
                "beam_below_ground": 1.0,
            },
            15.42,
        ),
        (dig.mass, {"volume": 2.0, "density": 1600}, 3200.0),
        (dig.prism, {"area": 6.0, "depth": 0.2}, 1.2),
        (
            dig.influence_margin,  # 1.3 m lower at 45 degrees reaches 1.3 m out; 2.4 - 1.3
            {"away": 2.4, "base_depth": 1.7, "footing_depth": 0.4, "batter": math.pi / 4},
            1.1,
        ),
        (
            dig.influence_margin,  # deeper than the base: its whole distance
            {"away": 2.4, "base_depth": 1.7, "footing_depth": 3.0, "batter": math.pi / 4},
            2.4,
        ),
        (dig.lift_mass, {"shell_mass": 780.0, "spare": 1.25}, 975.0),
        (dig.fence, {"size": 10.0, "fence_back": 1.5}, 13.0),
        (dig.heap_back, {"edge": 1.0, "depth": 1.73, "fence_back": 1.5, "heap_fence": 1.0}, 2.5),
        (dig.heap_back, {"edge": 1.0, "depth": 3.2, "fence_back": 1.5, "heap_fence": 1.0}, 3.2),
        (dig.crane_back, {"crane_times": 3.0, "depth": 1.7, "run": 1.0, "fence_back": 1.5}, 4.1),
        (dig.crane_back, {"crane_times": 2.0, "depth": 1.7, "run": 1.9, "fence_back": 1.5}, 1.7),
        (filling.start_groundwater, {"bedding_base": 1.782}, 1.782),
        (filling.tap_time, {"volume": 5.4, "flow": 0.0003}, 18000.0),  # 18 L/min: 300 minutes
        (filling.leak_per_mm, {"water_area": 24.0}, 24.0),
        (filling.drawdown, {"held_to": 1.782, "groundwater": 1.25}, 0.532),
        (filling.drawdown, {"held_to": 1.782, "groundwater": 1.95}, 0.0),
        (
            rain.rise_per_mm,  # 54 m2 that shed and 12 of the gap on 4.8 m2 of voids
            {"share": 1.0, "runoff": 0.9, "catchment": 60.0, "gap_area": 12.0, "porosity": 0.4},
            13.75,
        ),
        (rain.litres_per_100mm, {"porosity": 0.4, "gap_area": 12.0}, 0.48),
        (walls.water_pressure, {"density": 1000, "depth": 1.7, "water_level": 1.4}, 2941.995),
        (
            walls.support_needed,  # 1.2 m of water over 1.0 m of fill at 16 kN/m3: 11.768/16
            {
                "pool_density": 1000,
                "depth": 1.7,
                "water_level": 0.5,
                "unit_weight_moist": 16000,
                "fill_top": 0.7,
            },
            0.7354988,
        ),
        (
            wells.mound_under_floor,  # 1.7 sqrt(1e-4/(30*1e-2)) = 1.7*0.0182574
            {"distance": 1.7, "inflow": 1e-4, "base_area": 30.0, "k": 1e-2},
            0.03103758,
        ),
        (
            wells.pore_water,
            {"backfill_porosity": 0.4, "volume_above": 6.0, "bedding_porosity": 0.35, "volume_below": 0.4},
            2.54,
        ),
        (
            wells.drawdown_time,  # 2.54 m3 at 50 less 10 L/min: 2.54/(0.04/60)
            {
                "backfill_porosity": 0.4,
                "volume_above": 6.0,
                "bedding_porosity": 0.35,
                "volume_below": 0.4,
                "tube_yield": 0.05 / 60,
                "pump_flow": 0.06 / 60,
                "inflow": 0.01 / 60,
            },
            3810.0,
        ),
        (
            wells.drawdown_time,  # the pump moves 30 L/min, less than the tube gives: 2.54/(0.02/60)
            {
                "backfill_porosity": 0.4,
                "volume_above": 6.0,
                "bedding_porosity": 0.35,
                "volume_below": 0.4,
                "tube_yield": 0.05 / 60,
                "pump_flow": 0.03 / 60,
                "inflow": 0.01 / 60,
            },
            7620.0,
        ),
        (wells.throttle, {"tube_yield": 4.86e-5}, 4.86e-5),
    ],
    ids=lambda value: value.__name__ if isinstance(value, Calculation) else "",
)
def test_a_calculation_by_hand(calculation: Calculation, inputs: dict[str, float], by_hand: float) -> None:  # type: ignore[type-arg]
    assert calculation(**inputs) == pytest.approx(by_hand, rel=1e-5, abs=1e-9)


def test_more_water_under_the_deep_end_lifts_it() -> None:
    # Uplift of 0.5 m3 centred at x = 6 against 780 kg at x = 4, about a foot at x = 0 and at x = 8, by hand:
    # 3000 - 3120 = -120 (stays down) and 500*(-2) - 780*(-4) = 2120 (positive: no lift of the far end).
    about = {
        "groundwater_density": 1000.0,
        "moment": 3.0,
        "displaced": 0.5,
        "shell_mass": 780.0,
        "weight_centre": 4.0,
    }
    assert uplift.tipping_moment(foot=0.0, **about) == pytest.approx(-120.0)
    assert uplift.tipping_moment(foot=8.0, **about) == pytest.approx(2120.0)


def test_a_very_tight_bedding_keeps_all_digits_of_the_flow() -> None:
    # With 1e12 s/m2 the throat loses nothing that counts: by hand 0.24/1e12.
    flow = valve.flow(head=0.30, opening_head=0.06, resistance=1e12, effective_area=1e-3, g=constants.G)
    assert flow == pytest.approx(0.24e-12, rel=1e-9)


def test_percentiles_off_the_curve_are_none_and_on_a_flat_the_finest() -> None:
    curve = [(9.5 * MM, 1.0), (4.75 * MM, 0.5), (2.36 * MM, 0.5), (1.18 * MM, 0.1)]
    assert filters.percentile(curve, 0.05) is None
    assert filters.percentile(curve, 0.5) == pytest.approx(2.36 * MM)
    assert filters.percentile(curve, 1.0) == pytest.approx(9.5 * MM)
    assert filters.percentile(curve[::-1], 0.5) == filters.percentile(curve, 0.5)
    # By hand, half way on the logarithm: sqrt(4.75 * 9.5).
    assert filters.percentile(curve, 0.75) == pytest.approx(math.sqrt(4.75 * 9.5) * MM)


def test_a_pumps_head_half_way_between_its_points_is_the_mean_of_theirs() -> None:
    # By hand: 7 and 5 m at 0 and 60 L/min, 0 m at 120: 6 m at 30, 2.5 m at 90 L/min.
    curve = [(0.0, 7.0), (1e-3, 5.0), (2e-3, 0.0)]
    assert pump.pump_head(curve, 0.5e-3) == pytest.approx(6.0)
    assert pump.pump_head(curve, 1.5e-3) == pytest.approx(2.5)


def test_slots_covered_by_the_water_in_a_tube() -> None:
    # By hand: the first ring stands half a pitch up, so 200 mm cover (200 + 12.5)/25 = 8.5, 8 rings of 3.
    tube = {"rows": 3.0, "slotted": 0.6, "pitch": 0.025}
    assert standpipe.wet_slots(wet=0.2, **tube) == 24
    assert standpipe.wet_slots(wet=0.7, **tube) == 72  # all there are


def test_a_pumped_tube_in_open_gravel_gives_most_with_its_slots_under_water() -> None:
    # By hand: foot 1.8, gravel's water at 1.5. Twelve rings are covered from 11.5 pitches up, 287.5 mm, so
    # from 1.5125 m upwards; the deepest millimetre is 1.512. In tight gravel the fall decides: 100 mm under
    # water and 200 mm of fall give 2 pi 0.1/ln(1.25 + 1.601) 0.2 = 0.120, 150 and 150 mm give 0.102: 1.7 m.
    tube = {
        "tube_foot": 1.8,
        "reach": 1.7,
        "in_gravel": 1.5,
        "slotted": 0.6,
        "pitch": 0.025,
        "rows": 3.0,
        "slot_length": 0.03,
        "slot_width": 0.0015,
        "diameter": 0.08,
    }
    assert standpipe.best_level(k_low=1.0, **tube) == pytest.approx(1.512)
    assert standpipe.best_level(k_low=1e-5, **tube) == pytest.approx(1.7)


def test_a_heap_is_a_ridge_with_sloping_ends() -> None:
    # 10 m long at 45 degrees, 4 m wide: 2 m high; a ridge of 6 m over 4 m2, and two ends that make a pyramid
    # on 4 x 4 m: 24 + 32/3 m3
    found = dig.heap(volume=24 + 32 / 3, length=10.0, most=3.0, slope=math.pi / 4)
    assert found == pytest.approx((4.0, 2.0), abs=1e-6)
    # cut flat at 1 m, 6 m wide: middle 8 x 4 m, four sides of 1/2 m2, four corners of 1/3 m3
    flat = dig.heap(volume=32 + (8 + 8 + 4 + 4) / 2 + 4 / 3, length=10.0, most=1.0, slope=math.pi / 4)
    assert flat == pytest.approx((6.0, 1.0), abs=1e-6)
