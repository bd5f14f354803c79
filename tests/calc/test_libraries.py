"""The formulas against independent libraries and against the differential equations behind them."""

from __future__ import annotations

import math

import numpy as np
import pytest
import shapely
from anaflow import thiem
from fluids.core import dP_from_K
from fluids.flow_meter import flow_meter_discharge
from fluids.friction import Colebrook
from fluids.packed_bed import Carman
from fluids.piping import nearest_pipe
from hypothesis import given
from hypothesis import strategies as st
from iapws import IAPWS97
from scipy.integrate import quad, solve_ivp
from scipy.optimize import brentq

from builder.calc import constants, filters, pump, standpipe, uplift, valve, walls, wells
from builder.levels import Profile
from builder.plan import rectangle

ATMOSPHERE = 0.101325  # MPa


def water(celsius: float) -> IAPWS97:
    """Water at one atmosphere, by the industrial formulation of 1997."""
    return IAPWS97(T=273.15 + celsius, P=ATMOSPHERE)


# --- the properties of water the numbers assume ---------------------------------------------------


@pytest.mark.parametrize(
    ("celsius", "density", "viscosity"),
    [
        # Published: Vennard and Street 5th ed., as Table C-1 of MWH Water Treatment 3rd ed.
        (5, 1000.0, 1.518),
        (10, 999.7, 1.307),
        (20, 998.2, 1.002),
        (25, 997.0, 0.890),
        (40, 992.2, 0.653),
    ],
)
def test_the_librarys_water_is_the_printed_tables(celsius: int, density: float, viscosity: float) -> None:
    state = water(celsius)
    assert state.rho == pytest.approx(density, rel=1e-4)
    assert state.mu * 1000 == pytest.approx(viscosity, rel=0.003)


@pytest.mark.parametrize("celsius", [0.1, 4, 10, 20, 30])
def test_fresh_water_of_1000_is_at_most_half_a_per_cent_off_outdoors(celsius: float) -> None:
    # 0.44 % at 30 degrees; the lighter water lifts less, so 1000 outside is on the safe side.
    rho = water(celsius).rho
    assert rho <= constants.FRESH
    assert pytest.approx(rho, rel=0.005) == constants.FRESH


def test_the_margin_against_floating_hardly_knows_the_temperature() -> None:
    def safety(pool: float, ground: float) -> float:
        return uplift.safety(
            shell_mass=780.0,
            beam_mass=0.0,
            pool_density=pool,
            water_inside=28.0,
            groundwater_density=ground,
            displaced=21.0,
        )

    warm_pool_cold_ground = safety(water(30).rho, water(10).rho)
    assert warm_pool_cold_ground == pytest.approx(safety(1000.0, 1000.0), rel=0.005)


@pytest.mark.parametrize(("celsius", "k"), [(10, 2.3e-5), (20, 3.0e-5)])
def test_kozeny_carman_with_real_water(celsius: float, k: float) -> None:
    # Published for 10 degrees: 2.3e-5 m/s. By hand for 20: 2.297e-5 * 1.3059/1.0016 = 2.995e-5.
    state = water(celsius)
    ours = filters.kozeny_carman(
        specific_weight=state.rho * constants.G, viscosity=state.mu, porosity=0.30, d10=1e-4
    )
    assert ours == pytest.approx(k, rel=0.005)


@pytest.mark.parametrize("porosity", [0.25, 0.35, 0.45])
@pytest.mark.parametrize("grain", [1e-4, 1e-3])
def test_kozeny_carman_is_the_slow_limit_of_a_packed_bed(porosity: float, grain: float) -> None:
    # The library's bed law 180/Re + 2.87/Re^0.1 is Kozeny-Carman where the speed is small.
    state, speed, length = water(20), 1e-9, 1.0
    lost = Carman(dp=grain, voidage=porosity, vs=speed, rho=state.rho, mu=state.mu, L=length)
    k = speed * length / (lost / (state.rho * constants.G))
    ours = filters.kozeny_carman(
        specific_weight=state.rho * constants.G, viscosity=state.mu, porosity=porosity, d10=grain
    )
    assert ours == pytest.approx(k, rel=1e-3)


def test_hazen_and_kozeny_carman_agree_within_a_small_factor_for_clean_sand() -> None:
    # Hazen's constant stands for porosities of about 0.3 to 0.4: between a third and three times.
    state = water(20)
    for porosity in (0.32, 0.38):
        ratio = filters.kozeny_carman(
            specific_weight=state.rho * constants.G, viscosity=state.mu, porosity=porosity, d10=2e-4
        ) / filters.hazen(d10=2e-4)
        assert 1 / 3 < ratio < 3


# --- the valve -----------------------------------------------------------------------------------


@pytest.mark.parametrize("throat", [0.025, 0.05, 0.075])
@pytest.mark.parametrize("head", [0.05, 0.3, 1.0])
@pytest.mark.parametrize("coefficient", [0.6, 0.8])
def test_an_open_valve_passes_what_an_orifice_in_a_large_pipe_passes(
    throat: float, head: float, coefficient: float
) -> None:
    rho = 1000.0
    mass_flow = flow_meter_discharge(
        D=100.0,
        Do=throat,
        P1=2e5 + rho * constants.G * head,
        P2=2e5,
        rho=rho,
        C=coefficient,
        expansibility=1.0,
    )
    effective = valve.effective_area(discharge_coefficient=coefficient, throat_area=math.pi / 4 * throat**2)
    ours = valve.flow(head=head, opening_head=0.0, resistance=0.0, effective_area=effective, g=constants.G)
    assert ours == pytest.approx(mass_flow / rho, rel=1e-6)


@given(
    head=st.floats(0.061, 2.0),
    k=st.floats(-9, -1).map(lambda x: 10**x),
    throat=st.floats(0.02, 0.1),
    coefficient=st.floats(0.5, 0.9),
)
def test_the_valve_flow_balances_the_head(head: float, k: float, throat: float, coefficient: float) -> None:
    # Head lost in the ground by Darcy, in the throat by the library's K = 1/Cd^2, and the spring's.
    area = math.pi / 4 * throat**2
    resistance = valve.ground_resistance(k=k, factor=valve.disc_factor(radius=throat / 2))
    effective = valve.effective_area(discharge_coefficient=coefficient, throat_area=area)

    def surplus(flow: float) -> float:
        in_throat = dP_from_K(K=1 / coefficient**2, rho=1000.0, V=flow / area) / (1000.0 * constants.G)
        return 0.06 + resistance * flow + float(in_throat) - head

    most = min(head / resistance, effective * math.sqrt(2 * constants.G * head))
    root = brentq(surplus, 0.0, most, xtol=1e-300, rtol=1e-13)
    ours = valve.flow(
        head=head, opening_head=0.06, resistance=resistance, effective_area=effective, g=constants.G
    )
    assert ours == pytest.approx(root, rel=1e-6)


@pytest.mark.parametrize(("outer", "inner", "thickness"), [(1.5, 0.025, 0.075), (100.0, 1.0, 1.0)])
def test_a_layer_passes_what_the_integral_of_darcy_says(outer: float, inner: float, thickness: float) -> None:
    # Head lost over rings of 2 pi r b, for a flow of 1 and k of 1.
    lost, _ = quad(lambda r: 1 / (2 * math.pi * r * thickness), inner, outer)
    factor = valve.layer_factor(thickness=thickness, outer_radius=outer, radius=inner)
    assert valve.ground_resistance(k=1.0, factor=factor) == pytest.approx(lost, rel=1e-9)


def test_a_half_sphere_passes_what_the_integral_of_darcy_says() -> None:
    lost, _ = quad(lambda r: 1 / (2 * math.pi * r * r), 0.2, np.inf)
    factor = valve.half_sphere_factor(radius=0.2)
    assert valve.ground_resistance(k=1.0, factor=factor) == pytest.approx(lost, rel=1e-9)


def test_a_disc_takes_in_what_its_known_flux_adds_up_to() -> None:
    # A disc held at one head on a half space: the flux at radius r is 2 k h/(pi sqrt(a^2 - r^2)).
    # With r = a sin t the integral over the disc is smooth.
    radius = 0.025
    inflow, _ = quad(lambda t: 2 / math.pi * 2 * math.pi * radius * math.sin(t), 0.0, math.pi / 2)
    assert valve.disc_factor(radius=radius) == pytest.approx(inflow, rel=1e-12)


def test_the_sumps_half_sphere_holds_the_sumps_volume() -> None:
    radius = valve.sump_radius(width=0.4, depth=0.2)
    half, _ = quad(lambda z: math.pi * (radius**2 - z**2), 0.0, radius)
    assert half == pytest.approx(0.4 * 0.4 * 0.2, rel=1e-9)


# --- the standpipe -------------------------------------------------------------------------------


@pytest.mark.parametrize(("length", "diameter"), [(0.6, 0.075), (0.3, 0.1), (3.0, 0.2)])
def test_the_shape_factor_is_that_of_a_line_of_sources(length: float, diameter: float) -> None:
    # A line of even inflow along the intake: head at the middle of its surface, for inflow and k of 1.
    lost, _ = quad(
        lambda z: 1 / (4 * math.pi * length * math.hypot(z, diameter / 2)), -length / 2, length / 2
    )
    assert standpipe.shape_factor(length=length, diameter=diameter) == pytest.approx(1 / lost, rel=1e-9)


def test_the_time_lag_is_that_of_the_falling_head_equation() -> None:
    # A dh/dt = -F k h, stepped by the library: 1/e of the difference is left after the lag, a tenth after
    # the ninety per cent time.
    bore, slotted, outside, k = 0.0694, 0.6, 0.0754, 1e-6
    area = math.pi / 4 * bore**2
    factor = standpipe.shape_factor(length=slotted, diameter=outside)
    lag = standpipe.time_lag(bore=bore, wet_length=slotted, diameter=outside, k=k)
    ninety = standpipe.ninety_percent(time_lag=lag)
    run = solve_ivp(
        lambda _, h: -factor * k * h / area, (0, ninety), [1.0], t_eval=[lag, ninety], rtol=1e-10, atol=1e-12
    )
    assert run.y[0] == pytest.approx([math.exp(-1), 0.1], rel=1e-6)


@pytest.mark.parametrize("inches", [1.5, 2, 3, 4, 6])
def test_schedule_40_bores_are_the_librarys(inches: float) -> None:
    _, bore, outside, wall = nearest_pipe(NPS=inches, schedule="40")
    ours = standpipe.bore(outside_diameter=outside, wall=wall)
    assert ours == pytest.approx(bore, abs=5e-5)


# --- the pump ------------------------------------------------------------------------------------


def test_the_viscosity_of_the_hose_is_that_of_water_at_20_degrees() -> None:
    state = water(20)
    assert pytest.approx(state.mu / state.rho, rel=1e-4) == pump.VISCOSITY


@given(st.floats(3.4, 6.5).map(lambda x: 10**x), st.floats(0.0, 0.02))
def test_the_friction_factor_is_the_librarys(reynolds: float, roughness: float) -> None:
    assert pump.friction_factor(reynolds, roughness) == pytest.approx(
        Colebrook(reynolds, roughness), rel=1e-8
    )


@pytest.mark.parametrize(
    ("bore", "length", "rise"), [(0.025, 15.0, 2.2), (0.032, 30.0, 1.5), (0.05, 10.0, 4.0)]
)
def test_the_duty_point_is_the_root_of_the_librarys_curves(bore: float, length: float, rise: float) -> None:
    curve = [(0.0, 7.0), (60e-3 / 60, 5.0), (120e-3 / 60, 0.0)]
    flows, heads = np.array(curve).T

    def spare(flow: float) -> float:
        speed = flow / (math.pi / 4 * bore**2)
        factor = Colebrook(speed * bore / pump.VISCOSITY, pump.ROUGHNESS / bore)
        lost = dP_from_K(factor * length / bore + 2.5, 998.2, speed) / (998.2 * constants.G)
        return float(np.interp(flow, flows, heads) - rise - lost)

    root = brentq(spare, 1e-4, 2e-3)
    found = pump.duty(curve, static=rise, bore=bore, length=length)
    assert found is not None
    assert found == pytest.approx((root, np.interp(root, flows, heads)), rel=1e-6)


def test_a_pump_that_cannot_lift_so_high_has_no_duty_and_a_short_curve_ends_at_its_end() -> None:
    curve = [(0.0, 7.0), (1e-3, 5.0), (2e-3, 0.0)]
    assert pump.duty(curve, static=7.0, bore=0.05, length=10.0) is None
    assert pump.duty(curve[:2], static=0.1, bore=0.10, length=5.0) == (1e-3, 5.0)
    assert pump.system_head(0.0, static=1.2, bore=0.05, length=10.0) == 1.2
    with pytest.raises(ValueError, match="off the pump's curve"):
        pump.pump_head(curve, 3e-3)
    with pytest.raises(ValueError, match="needs a flow"):
        pump.friction_factor(0.0, 0.0)
    assert pump.friction_factor(1000.0, 0.01) == 0.064  # by hand: 64/1000


# --- groundwater ---------------------------------------------------------------------------------

DIGS = pytest.mark.parametrize(
    ("k", "saturated", "drawdown", "radius"),
    [(1e-4, 6.0, 1.0, 3.989), (1e-5, 6.0, 1.0, 3.0), (1e-3, 9.0, 0.4, 2.5), (2e-6, 5.0, 1.0, 4.2)],
)


@DIGS
def test_the_inflow_is_a_groundwater_librarys_in_half_the_squared_head(
    k: float, saturated: float, drawdown: float, radius: float
) -> None:
    # Dupuit: 2 pi r k h dh/dr is the same through every ring, so h^2/2 follows the confined solution with
    # k in place of the transmissivity. The library has that one; the flow is ours, the head at the dig its.
    flow = wells.inflow(k=k, saturated=saturated, drawdown=drawdown, equivalent_radius=radius)
    assert flow > 4 * k * radius * drawdown  # the sides' inflow, not the disc's
    outer = wells.influence_radius(equivalent_radius=radius, drawdown=drawdown, k=k)
    half = thiem([radius, outer], outer, k, rate=-flow, h_ref=saturated**2 / 2)
    assert np.sqrt(2 * half) == pytest.approx([saturated - drawdown, saturated], rel=1e-9)


@DIGS
def test_the_inflow_is_that_of_dupuits_equation_walked_outwards(
    k: float, saturated: float, drawdown: float, radius: float
) -> None:
    flow = wells.inflow(k=k, saturated=saturated, drawdown=drawdown, equivalent_radius=radius)
    outer = wells.influence_radius(equivalent_radius=radius, drawdown=drawdown, k=k)
    run = solve_ivp(
        lambda r, h: flow / (2 * math.pi * r * k * h),
        (radius, outer),
        [saturated - drawdown],
        rtol=1e-10,
        atol=1e-12,
    )
    assert run.y[0, -1] == pytest.approx(saturated, rel=1e-7)


def test_the_mound_is_that_of_dupuits_equation() -> None:
    # Even inflow N over a strip drained on both sides: k h dh/dx = -N x, from the drain inwards.
    rate, k, half = 1e-4 / 30.0, 1e-2, 1.7
    run = solve_ivp(
        lambda x, squared: [-2 * rate * x / k], (half, 0.0), [0.0], rtol=1e-10, atol=1e-14
    )  # of h squared
    ours = wells.mound_under_floor(distance=half, inflow=1e-4, base_area=30.0, k=k)
    assert ours == pytest.approx(math.sqrt(run.y[0, -1]), rel=1e-6)


# --- the wall ------------------------------------------------------------------------------------
# The libraries found have active and passive coefficients and no water or load beside the wall: the
# pressure is put together here from weights, slice by slice.


@given(
    top=st.floats(0.0, 1.5),
    outside=st.floats(-0.5, 2.5),
    inside=st.floats(0.0, 2.5),
    load=st.floats(0.0, 1e4),
    ground=st.sampled_from([1000.0, 1025.0]),
)
def test_a_walls_pressure_is_the_weight_of_the_slices_above_it(
    top: float, outside: float, inside: float, load: float, ground: float
) -> None:
    deep, count = 1.6, 4000
    dry, wet, angle = 1650.0, 1950.0, math.radians(34)
    edges = np.linspace(min(top, outside), deep, count + 1)
    thick = np.diff(edges)
    middle = (edges[:-1] + edges[1:]) / 2
    # bulk weight of all that stands over the point, water on top of the fill included
    density = np.where(middle < top, ground, np.where(middle < outside, dry, wet))
    total = load + constants.G * float((density * thick).sum())
    pores = constants.G * ground * float(thick[middle > outside].sum())
    pool = constants.G * 1000 * max(deep - inside, 0.0)
    push = (1 - math.sin(angle)) * (total - pores) + pores - pool
    ours = walls.inward(
        at_rest=walls.at_rest(friction_angle=angle),
        unit_weight_moist=dry * constants.G,
        unit_weight_saturated=wet * constants.G,
        depth=deep,
        fill_top=top,
        outside_water=outside,
        inside_water=inside,
        surcharge=load,
        groundwater_density=ground,
        pool_density=1000.0,
    )
    assert ours == pytest.approx(push, abs=constants.G * 3000 * 2.1 / count)


# --- the solid by level --------------------------------------------------------------------------


@given(
    length=st.floats(3.0, 12.0),
    width=st.floats(2.0, 5.0),
    lean=st.floats(0.0, 0.15),
    depth=st.floats(0.8, 2.5),
    level=st.floats(0.0, 1.0),
)
def test_volumes_and_moments_are_the_librarys_integrals(
    length: float, width: float, lean: float, depth: float, level: float
) -> None:
    outline = rectangle(length, width)

    def plan(z: float) -> shapely.Geometry:
        return shapely.box(lean * z, lean * z, length - lean * z, width - lean * z)

    def slices(depths: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        areas = np.array([outline.offset(-lean * float(z)).area for z in depths])
        return areas, areas * length / 2

    profile = Profile(slices, 0.0, depth, (), step=0.5)
    z = level * depth
    volume, _ = quad(lambda at: plan(at).area, z, depth)
    assert profile.volume_below(z) == pytest.approx(volume, rel=1e-6, abs=1e-6)
    assert profile.moment_below(z) == pytest.approx(volume * length / 2, rel=1e-6, abs=1e-6)
    if volume > 0.01:
        found = brentq(lambda at: quad(lambda q: plan(q).area, at, depth)[0] - volume / 2, 0.0, depth)
        assert profile.depth_holding(volume / 2) == pytest.approx(found, abs=1e-5)


def test_the_tipping_moment_of_a_sloped_box_is_the_librarys_integral() -> None:
    # Floor from 1.0 m at x = 0 to 2.0 m at x = 8, 4 m wide, water to 0.5 m: uplift moment about x = 0.2.
    displaced, _ = quad(lambda x: 4 * (1 + x / 8 - 0.5), 0, 8)
    about_zero, _ = quad(lambda x: 4 * (1 + x / 8 - 0.5) * x, 0, 8)
    about_foot, _ = quad(lambda x: 1000 * 4 * (1 + x / 8 - 0.5) * (x - 0.2), 0, 8)
    ours = uplift.tipping_moment(
        groundwater_density=1000.0,
        moment=about_zero,
        foot=0.2,
        displaced=displaced,
        shell_mass=800.0,
        weight_centre=4.4,
    )
    assert ours == pytest.approx(about_foot - 800 * (4.4 - 0.2), rel=1e-9)
