"""What every function of the calc room must do, whatever its formula: which way it goes, limits, balance.

The table says of each argument which way the result goes as it grows: + never falls, - never rises,
? either. A calculation stands in it with all its arguments; its own bands are where it is meant to hold.
"""

from __future__ import annotations

import math
from typing import Any

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from scipy.integrate import quad

from builder.calc import constants, dig, filters, pump, standpipe, uplift, valve, walls, wells
from builder.quantity import Calculation
from tests.calc.calculations import ALL, EACH, NAMES, Band, band, inputs_of

MM = 1e-3

WAYS: dict[str, str] = {
    "dig.depth": "+base -ground",
    "dig.check_diagonal": "+base_length +base_width",
    "dig.volume": "+hole +sump +pit +beam_trench",
    "dig.bulked_volume": "+volume +bulking",
    "dig.truckloads": "+bulked_volume -truck",
    "dig.makeup": "+bedding +overdug",
    "dig.makeup_volume": "+base_area +overdug",
    "dig.backfill_volume": "+dig -bedding -makeup -sump -pit -shell_below_ground -beam_below_ground",
    "dig.mass": "+volume +density",
    "dig.prism": "+area +depth",
    "dig.influence_margin": "+away -base_depth +footing_depth +batter",
    "dig.lift_mass": "+shell_mass +spare",
    "dig.fence": "+size +fence_back",
    "dig.heap_back": "+edge +depth +fence_back +heap_fence",
    "dig.crane_back": "+crane_times +depth -run +fence_back",
    "filling.start_groundwater": "+bedding_base",
    "filling.tap_time": "+volume -flow",
    "filling.leak_per_mm": "+water_area",
    "filling.drawdown": "+held_to -groundwater",
    "filters.between_sieves": "+small -passing_small +large -passing_large +passing",
    "filters.uniformity": "+d60 -d10",
    "filters.retention": "+d15_filter -d85_base",
    "filters.flow": "+d15_filter -d15_base",
    "filters.spread": "+d50_filter -d50_base",
    "filters.opening_max": "+b +d85",
    "filters.opening_min": "+d15",
    "filters.opening_ratio": "+opening -limit",
    "filters.permittivity_ratio": "+permittivity -required",
    "filters.flow_left": "+with_mesh -without_mesh",
    "filters.over_opening": "+d85 -opening",
    "filters.hazen": "+d10",
    "filters.kozeny_carman": "+specific_weight -viscosity +porosity +d10",
    "levels.ground": "+rim_above_ground",
    "levels.paving": "-paving_above_rim",
    "levels.water": "+water_below_rim",
    "levels.overflow": "+overflow_below_rim",
    "levels.peg": "-peg_above_rim",
    "levels.underside_deep": "+floor_deep +floor_thickness",
    "levels.bedding_base": "+underside_deep +bedding",
    "levels.groundwater": "+rim_above_ground +groundwater_below_ground",
    "levels.tube_foot": "+underside_deep +foot_below_underside",
    "levels.tube_top": "+below_lid -paving_above_rim",
    "levels.tube_top_measured": "-tube_top_above_rim",
    "levels.tube_foot_measured": "+tube_top +tube_length",
    "levels.groundwater_dipped": "+mark +dip",
    "levels.shell_mass": "+mass",
    "levels.litres_per_mm": "+water_area",
    "rain.rise_per_mm": "+share +runoff +catchment -gap_area -porosity",
    "rain.litres_per_100mm": "+porosity +gap_area",
    "standpipe.length": "+tube_foot -tube_top",
    "standpipe.cut_length": "+length +spare_mm",
    "standpipe.build_mark": "+tube_foot",
    "standpipe.slot_count": "+rows +slotted -pitch",
    "standpipe.open_area": "+slot_count +slot_length +slot_width",
    "standpipe.girth_cut": "+rows +slot_length -outside_diameter",
    "standpipe.gentle_flow": "+entrance_velocity +open_area",
    "standpipe.bore": "+outside_diameter -wall",
    "standpipe.pump_clearance": "+bore -body",
    "standpipe.shape_factor": "+length +diameter",
    "standpipe.time_lag": "+bore -wet_length -diameter -k",
    "standpipe.hole_lag": "+diameter -wet -k",
    "standpipe.time_lag_bedding": "+porosity +distance -k -thickness",
    "standpipe.time_lag_soil": "+porosity +gap_area -equivalent_radius -k",
    "standpipe.equivalent_radius": "+base_length +base_width",
    "standpipe.ninety_percent": "+time_lag",
    "standpipe.ninety_percent_bedding": "+time_lag",
    "standpipe.reach": "+tube_foot -min_depth",
    "standpipe.tube_yield": (
        "+entrance_velocity +wet_slots +slot_length +slot_width +wet_length +diameter +k_low +in_tube"
        " -in_gravel"
    ),
    "standpipe.slot_retains": "+d85 -slot_width",
    "standpipe.place": "+underside_deep -underside_at_tube",
    "standpipe.proof_litres": "+least +sump_pores +show +foot_above_base +pore_area",
    "standpipe.proof_rise": "+poured -sump_pores -pore_area -foot_above_base +room",
    "uplift.safety": "+shell_mass +beam_mass +pool_density +water_inside -groundwater_density -displaced",
    "uplift.beam_mass": "+concrete_density +volume -groundwater_density -volume_under_water",
    "uplift.displaced_at": (
        "+shell_mass +beam_mass +pool_density +water_inside -safety -groundwater_density"
    ),
    "uplift.water_needed": "+safety +groundwater_density +displaced -shell_mass -beam_mass -pool_density",
    "uplift.height_above_underside": "+underside_deep -groundwater",
    "uplift.tipping_moment": ("+groundwater_density +moment -foot -displaced -shell_mass -weight_centre"),
    "uplift.panel_head": "+floor_thickness +laminate_density -groundwater_density",
    "uplift.empty_limit": "+float_height +tip_height +panel_head",
    "uplift.empty_limit_level": "+float_height +panel_head",
    "uplift.line_below_pool": "+level_at_safety +water_level +margin",
    "uplift.dip": "+groundwater -mark",
    "uplift.lowest_water_by_panel": (
        "+floor_deep -groundwater_density -underside_deep +groundwater +laminate_density +floor_thickness"
        " +pool_density -margin"
    ),
    "valve.opening_head": "+opening_head",
    "valve.head": "+seat -groundwater +water_level",
    "valve.disc_factor": "+radius",
    "valve.half_sphere_factor": "+radius",
    "valve.layer_factor": "+thickness -outer_radius +radius",
    "valve.sump_radius": "+width +depth",
    "valve.effective_area": "+discharge_coefficient +throat_area",
    "valve.flow": "+head -opening_head -resistance +effective_area +g",
    "valve.mesh_resistance": "-permittivity -mesh_area",
    "valve.ground_resistance": "-k -factor",
    "valve.float_margin": "+water_level -float_level -opening_head",
    "valve.opens_in_time": "+empty_limit -opening_head -underside_deep +seat",
    "valve.sealant_volume": "+bead +flange",
    "valve.turn_travel": "+pitch",
    "walls.at_rest": "-friction_angle",
    "walls.water_pressure": "+density +depth -water_level",
    # the pool inside pushes back, and with depth it may win
    "walls.inward": (
        "+at_rest +unit_weight_moist +unit_weight_saturated ?depth -fill_top -outside_water +inside_water"
        " +surcharge +groundwater_density -pool_density"
    ),
    # the water stands over the fill: that much more water weighs less and less with depth
    "walls.support_needed": "+pool_density -depth -water_level -unit_weight_moist +fill_top",
    "wells.influence_radius": "+equivalent_radius +drawdown +k",
    # Sichardt's radius grows with the drawdown: in tight ground faster than the flow through it
    "wells.inflow": "+k +saturated ?drawdown +equivalent_radius",
    "wells.mound_under_floor": "+distance +inflow -base_area -k",
    "wells.pore_water": "+backfill_porosity +volume_above +bedding_porosity +volume_below",
    "wells.drawdown_time": (
        "+backfill_porosity +volume_above +bedding_porosity +volume_below -tube_yield -pump_flow +inflow"
    ),
    "wells.throttle": "+tube_yield",
}
WATER, SOIL = (990.0, 1030.0), {"unit_weight_moist": (15e3, 18.5e3), "unit_weight_saturated": (19e3, 23e3)}
HOLDS: dict[str, dict[str, Band]] = {
    "dig.heap_back": {"edge": (0.5, 5.0), "fence_back": (0.2, 2.0), "heap_fence": (0.2, 2.0)},
    "dig.crane_back": {"crane_times": (1.0, 3.0), "run": (0.0, 2.0), "fence_back": (0.5, 6.0)},
    "standpipe.tube_yield": {"in_gravel": (0.0, 1.0), "in_tube": (1.1, 3.0)},
    "standpipe.proof_rise": {"poured": (1.0, 2.0), "sump_pores": (0.0, 0.9)},
    "uplift.water_needed": {
        "displaced": (20.0, 80.0),
        "shell_mass": (100.0, 5000.0),
        "beam_mass": (0.0, 5000.0),
    },
    "uplift.tipping_moment": {
        "moment": (200.0, 600.0),
        "foot": (0.0, 0.3),
        "displaced": (10.0, 60.0),
        "shell_mass": (100.0, 5000.0),
        "weight_centre": (1.0, 10.0),
    },
    "uplift.lowest_water_by_panel": {
        "groundwater": (0.0, 1.0),
        "underside_deep": (1.1, 3.0),
        "floor_thickness": (0.003, 0.02),
    },
    "valve.head": {"groundwater": (0.0, 1.0), "water_level": (1.0, 2.0), "seat": (0.5, 2.5)},
    "valve.flow": {"resistance": (0.0, 1e4), "effective_area": (1e-4, 1e-2)},
    "walls.water_pressure": {"water_level": (0.0, 1.0)},
    "walls.inward": {
        **SOIL,
        "at_rest": (0.2, 0.8),
        "outside_water": (0.0, 3.0),
        "inside_water": (0.0, 3.0),
        "groundwater_density": WATER,
        "pool_density": WATER,
    },
    "walls.support_needed": {"water_level": (0.0, 0.4), "fill_top": (0.5, 1.0)},
}
WAY = {"+": 1.0, "-": -1.0, "?": 0.0}


@EACH
def test_it_goes_the_way_its_arguments_push_it(calculation: Calculation[Any]) -> None:
    name = NAMES[ALL.index(calculation)]
    own, moved = HOLDS.get(name, {}), set()
    ways = {argument[1:]: WAY[argument[0]] for argument in WAYS[name].split()}
    assert set(ways) == set(calculation.units)

    @settings(max_examples=25)
    @given(inputs_of(calculation, own))
    def look(inputs: dict[str, float]) -> None:
        before = calculation(**inputs)
        for argument, unit in calculation.units.items():
            low, high = own.get(argument) or band(argument, unit)
            given_ = inputs[argument]
            more = given_ * 1.5 if low > 0 and high / low > 1000 else given_ + (high - low) / 50
            change = calculation(**{**inputs, argument: more}) - before
            rounding = 1e-12 * (abs(before) + max(map(abs, inputs.values())))
            assert change * ways[argument] >= -rounding, argument
            if abs(change) > rounding:
                moved.add(argument)

    look()
    assert moved == set(calculation.units)  # not one of them is without effect


def test_the_table_names_no_calculation_that_is_gone() -> None:
    assert set(WAYS) == set(NAMES)
    assert set(HOLDS) <= set(NAMES)


# --- the valve and the tube ----------------------------------------------------------------------

LEVEL = st.floats(0.0, 2.0)


@given(LEVEL, LEVEL)
def test_the_valve_is_lifted_by_ground_and_held_by_pool(groundwater: float, water: float) -> None:
    head = valve.head(seat=1.7, groundwater=groundwater, water_level=water)
    assert valve.head(seat=1.7, groundwater=groundwater - 0.1, water_level=water) >= head
    assert valve.head(seat=1.7, groundwater=groundwater, water_level=water - 0.1) <= head
    if max(groundwater, water) <= 1.7:
        assert head == pytest.approx(water - groundwater, abs=1e-12)


@given(st.floats(0.5, 3.0))
def test_a_cut_tube_is_never_short_and_at_most_10_mm_longer(length: float) -> None:
    cut = standpipe.cut_length(length=length, spare_mm=standpipe.SPARE_LENGTH_MM)
    assert cut * 100 == pytest.approx(round(cut * 100), abs=1e-9)
    assert length + 0.1495 - 1e-9 <= cut < length + 0.1605 + 1e-9


@given(st.floats(100, 3000), st.floats(0.1, 60), st.floats(1.0, 2.0), st.floats(0.0, 40))
def test_water_needed_volume_borne_and_safety_answer_each_other(
    mass: float, displaced: float, factor: float, water: float
) -> None:
    common = {"shell_mass": mass, "beam_mass": 0.0, "pool_density": 1000.0, "groundwater_density": 1025.0}
    needed = uplift.water_needed(safety=factor, displaced=displaced, **common)
    assert uplift.safety(water_inside=needed, displaced=displaced, **common) == pytest.approx(factor)
    borne = uplift.displaced_at(safety=factor, water_inside=water, **common)
    assert uplift.safety(water_inside=water, displaced=borne, **common) == pytest.approx(factor)


def test_nothing_displaced_has_no_safety() -> None:
    with pytest.raises(ZeroDivisionError):
        uplift.safety(
            shell_mass=780.0,
            beam_mass=0.0,
            pool_density=1000.0,
            water_inside=0.0,
            groundwater_density=1000.0,
            displaced=0.0,
        )


def test_a_shell_in_balance_has_no_tipping_moment() -> None:
    # 0.78 m3 displaced and 780 kg, both centred at x = 4: neither foot feels a moment.
    for foot in (0.1, 7.9):
        moment = uplift.tipping_moment(
            groundwater_density=1000.0,
            moment=0.78 * 4.0,
            foot=foot,
            displaced=0.78,
            shell_mass=780.0,
            weight_centre=4.0,
        )
        assert moment == pytest.approx(0.0, abs=1e-9)


@given(st.floats(0.06, 2.0), st.floats(1.0, 1e9))
def test_resistance_only_ever_takes_flow_away(head: float, resistance: float) -> None:
    common = {"head": head + 1e-6, "opening_head": 0.06, "effective_area": 1e-3, "g": constants.G}
    free = valve.flow(resistance=0.0, **common)
    held = valve.flow(resistance=resistance, **common)
    assert 0 < held <= free
    assert held <= (head + 1e-6 - 0.06) / resistance


@given(st.floats(0.1, 0.99), st.floats(0.1, 0.99))
def test_more_passing_is_never_a_smaller_size(one: float, other: float) -> None:
    curve = [(9.5 * MM, 1.0), (4.75 * MM, 0.5), (2.36 * MM, 0.5), (1.18 * MM, 0.1)]
    low, high = sorted((one, other))
    small, large = filters.percentile(curve, low), filters.percentile(curve, high)
    assert small is not None
    assert large is not None
    assert small <= large * (1 + 1e-12)


CURVES = st.dictionaries(st.integers(1, 400), st.floats(0.0, 1.0), min_size=2, max_size=7).map(
    lambda sieves: list(
        zip((size / 10 * MM for size in sorted(sieves)), sorted(sieves.values()), strict=True)
    )
)


@given(CURVES, st.floats(0.0, 1.0))
def test_a_percentile_lies_between_two_neighbouring_sieves(
    curve: list[tuple[float, float]], passing: float
) -> None:
    around, size = filters.bracket(curve, passing), filters.percentile(curve, passing)
    if around is None or size is None:
        assert around is size  # both have none
        shares = [share for _, share in curve]
        assert not shares[0] <= passing <= shares[-1] or shares[0] == shares[-1]
        return
    small, low, large, high = around
    assert curve.index((large, high)) == curve.index((small, low)) + 1
    assert low <= passing <= high
    assert small * (1 - 1e-9) <= size <= large * (1 + 1e-9)


@given(st.floats(1.0, 20.0), st.floats(0.0, 1.0), st.booleans())
def test_a_retention_factor_lies_between_one_and_two(cu: float, fines: float, nonwoven: bool) -> None:
    assert 1.0 <= filters.retention_factor(cu, fines, nonwoven=nonwoven) <= 2.0


@given(st.integers(1, 6), st.floats(0.1, 1.0), st.floats(0.0, 2.0), st.floats(0.0, 1.0))
def test_more_water_in_a_tube_covers_more_slots_and_never_more_than_it_has(
    rows: int, slotted: float, wet: float, more: float
) -> None:
    tube = {"rows": float(rows), "slotted": slotted, "pitch": 0.025}
    covered = standpipe.wet_slots(wet=wet, **tube)
    assert 0 <= covered <= standpipe.wet_slots(wet=wet + more, **tube) <= standpipe.slot_count(**tube)


@given(st.floats(-5, 0), st.floats(0.2, 1.0), st.floats(0.05, 0.3))
def test_the_best_level_lies_between_reach_and_gravel_and_gives_no_less_than_either(
    power: float, slotted: float, fall: float
) -> None:
    tube = {"slotted": slotted, "pitch": 0.025, "rows": 3.0, "slot_length": 0.03, "slot_width": 0.0015}
    k, foot, reach = 10**power, 1.8, 1.75
    best = standpipe.best_level(
        tube_foot=foot, reach=reach, in_gravel=reach - fall, diameter=0.08, k_low=k, **tube
    )
    assert reach - fall < best <= reach

    def given_at(level: float) -> float:
        wet = foot - level
        return standpipe.tube_yield(
            entrance_velocity=standpipe.ENTRANCE_VELOCITY,
            wet_slots=standpipe.wet_slots(rows=3.0, slotted=slotted, pitch=0.025, wet=wet),
            slot_length=0.03,
            slot_width=0.0015,
            wet_length=min(slotted, wet),
            diameter=0.08,
            k_low=k,
            in_tube=level,
            in_gravel=reach - fall,
        )

    most = given_at(best)
    for level in (reach, reach - 0.010, reach - fall / 1000):
        assert given_at(level) <= most * 1.01  # tried a millimetre at a time


# --- the pump ------------------------------------------------------------------------------------

REYNOLDS = st.floats(math.log10(2400), 7).map(lambda power: 10**power)


@given(REYNOLDS, st.floats(0.0, 0.05), st.floats(1.01, 10.0))
def test_friction_falls_with_speed_and_rises_with_roughness(
    reynolds: float, roughness: float, times: float
) -> None:
    factor = pump.friction_factor(reynolds, roughness)
    assert 0.005 < factor < 0.1
    assert pump.friction_factor(reynolds * times, roughness) <= factor * (1 + 1e-9)
    assert pump.friction_factor(reynolds, roughness * times + 1e-6) >= factor * (1 - 1e-9)


def test_a_rough_hose_knows_no_speed_in_the_end() -> None:
    # The limit of Colebrook's equation: f = 1/(2 log10(3.7/e))^2.
    for roughness in (1e-4, 1e-3, 1e-2):
        limit = (2 * math.log10(3.7 / roughness)) ** -2
        assert pump.friction_factor(1e12, roughness) == pytest.approx(limit, rel=1e-4)


HOSE = {"bore": st.floats(0.02, 0.1), "length": st.floats(1.0, 60.0), "static": st.floats(0.0, 6.0)}


@given(flow=st.floats(1e-4, 5e-3), more=st.floats(1.05, 3.0), **HOSE)
def test_a_hose_asks_for_more_head_at_more_flow_and_less_when_wider(
    flow: float, more: float, bore: float, length: float, static: float
) -> None:
    hose = {"static": static, "bore": bore, "length": length}
    speed = flow / (math.pi / 4 * bore**2)
    assume(not 500 < speed * bore / pump.VISCOSITY < 5000)  # in between flow turns rough in one step
    asked = pump.system_head(flow, **hose)
    assert asked > static
    assert pump.system_head(flow * more, **hose) > asked
    assert pump.system_head(flow, **{**hose, "length": length * more}) > asked
    assert pump.system_head(flow, **{**hose, "static": static + more}) == pytest.approx(asked + more)
    assert pump.system_head(0.0, **hose) == static


CURVE = [(0.0, 7.0), (1e-3, 5.0), (2e-3, 0.0)]


@given(st.floats(0.0, 2e-3), st.floats(0.0, 2e-3))
def test_a_pumps_head_falls_along_its_curve_and_passes_its_points(one: float, other: float) -> None:
    less, more = sorted((one, other))
    assert 7.0 >= pump.pump_head(CURVE, less) >= pump.pump_head(CURVE, more) >= -1e-12
    assert [pump.pump_head(CURVE, flow) for flow, _ in CURVE] == [head for _, head in CURVE]


@given(more=st.floats(0.05, 2.0), **HOSE)
def test_a_duty_lies_on_both_curves_and_falls_with_the_lift(
    more: float, bore: float, length: float, static: float
) -> None:
    found = pump.duty(CURVE, static=static, bore=bore, length=length)
    assert found is not None
    flow, head = found
    assert 0 < flow <= 2e-3
    assert head == pytest.approx(pump.pump_head(CURVE, flow))
    # where flow turns rough the hose's curve has a step, and the duty may stand in it
    if not 2290 < flow / (math.pi / 4 * bore) / pump.VISCOSITY < 2310:
        assert head == pytest.approx(
            pump.system_head(flow, static=static, bore=bore, length=length), abs=1e-6
        )
    higher = pump.duty(CURVE, static=min(static + more, 6.9), bore=bore, length=length)
    assert higher is not None
    assert higher[0] <= flow


# --- walls and wells -----------------------------------------------------------------------------


@given(st.floats(0.0, 1.0), st.floats(0.0, 3.0), st.floats(0.0, 2.0))
def test_outside_an_empty_shell_the_push_grows_with_depth(top: float, water: float, deeper: float) -> None:
    fill = {
        "at_rest": 0.45,
        "unit_weight_moist": 17e3,
        "unit_weight_saturated": 20e3,
        "fill_top": top,
        "outside_water": water,
        "inside_water": 9.0,
        "surcharge": 5e3,
        "groundwater_density": 1000.0,
        "pool_density": 1000.0,
    }
    assert walls.inward(depth=1.0 + deeper, **fill) >= walls.inward(depth=1.0, **fill)
    # nothing but the load stands on the fill's own top
    dry = {**fill, "outside_water": max(water, top)}
    assert walls.inward(depth=top, **dry) == pytest.approx(0.45 * 5e3)


@given(st.floats(-6, -2), st.floats(0.5, 8.0), st.floats(0.05, 2.0), st.floats(1.0, 6.0))
def test_inflow_is_never_less_than_a_discs_and_at_one_radius_grows_with_the_drawdown(
    power: float, saturated: float, drawdown: float, radius: float
) -> None:
    k = 10**power
    flow = wells.inflow(k=k, saturated=saturated, drawdown=drawdown, equivalent_radius=radius)
    assert flow >= 4 * k * radius * drawdown
    # by the same radius of influence, half the drawdown is more than half the inflow: the layer is thicker
    spread = math.log(wells.influence_radius(equivalent_radius=radius, drawdown=drawdown, k=k) / radius)
    half = math.pi * k * (saturated**2 - max(saturated - drawdown / 2, 0.0) ** 2) / spread
    assert half <= flow * (1 + 1e-9)
    if flow > 4 * k * radius * drawdown * (1 + 1e-9):
        assert half >= flow / 2 * (1 - 1e-9)


@given(st.floats(0.0, 1.2), st.floats(0.0, 1.2))
def test_at_rest_a_looser_fill_pushes_more_and_never_more_than_a_liquid(one: float, other: float) -> None:
    loose, firm = sorted((one, other))
    assert 0 < walls.at_rest(friction_angle=firm) <= walls.at_rest(friction_angle=loose) <= 1


@given(st.floats(0.0, 1.5))
def test_the_hydrostatic_push_is_half_the_pressure_at_the_foot(water: float) -> None:
    def pressure(z: float) -> float:
        return walls.water_pressure(density=1025.0, depth=z, water_level=water)

    push, _ = quad(pressure, water, 1.8)
    assert push == pytest.approx(pressure(1.8) * (1.8 - water) / 2, abs=1e-6)


@given(st.floats(1.0, 400.0), st.floats(1.01, 3.0), st.floats(2.0, 30.0), st.floats(0.5, 3.0))
def test_more_spoil_makes_a_wider_heap_that_is_no_lower_and_no_higher_than_it_may(
    volume: float, more: float, length: float, most: float
) -> None:
    slope = math.radians(35)
    (wide, high), (wider, higher) = (
        dig.heap(volume=each, length=length, most=most, slope=slope) for each in (volume, volume * more)
    )
    assert 0 < wide < wider
    assert 0 < high <= higher + 1e-9
    assert higher <= most
