"""Wall pressures and hose friction against values in print."""

from __future__ import annotations

import math

import pytest
from scipy.integrate import quad

from builder.calc import constants, pump, walls

JAKY = "Jaky 1944, K0 = 1 - sin phi; numbers worked independently"
RANKINE = "Solution page of an Indian examination, surcharge and water table"
STRESS = "Open geotechnics teaching text in French, example of a stress profile"
TRIANGLE = "Open civil-engineering teaching text in French, lesson on hydrostatics, step by step"
LINDEBURG = (
    "Lindeburg, Civil Engineering Reference Manual, Example 17.2 (answers as quoted in a package vignette)"
)
PLASTIC = "Pipe-flow handbook in metric units, example 7.1 (answer as quoted in a public library)"
GRID = "fluids 1.3.1, Colebrook's equation solved"
HOSE = "Darcy-Weisbach with Colebrook, 1.5 um, 20 degrees; numbers worked independently"


@pytest.mark.parametrize(("degrees", "k0"), [(28, 0.5305), (30, 0.5), (35, 0.4264), (38, 0.3843)])
def test_earth_pressure_at_rest(degrees: int, k0: float) -> None:
    assert walls.at_rest(friction_angle=math.radians(degrees)) == pytest.approx(k0, rel=0.0005), JAKY


def press(
    coefficient: float, depth: float, moist: float, saturated: float, water: float, load: float
) -> float:
    """Inward pressure in kPa from a fill up to depth 0, nothing inside."""
    return (
        walls.inward(
            at_rest=coefficient,
            unit_weight_moist=moist * 1000,
            unit_weight_saturated=saturated * 1000,
            depth=depth,
            fill_top=0.0,
            outside_water=water,
            inside_water=depth,
            surcharge=load * 1000,
            groundwater_density=1000.0,
            pool_density=1000.0,
        )
        / 1000
    )


@pytest.mark.parametrize(("depth", "pressure"), [(0.0, 6.67), (3.0, 22.67), (8.0, 92.03)])
def test_pressure_with_surcharge_and_water_table(depth: float, pressure: float) -> None:
    # 20 kPa on 3 m at 16 and 5 m at 22 kN/m3, water 3 m down; the coefficient is 1/3 there.
    assert press(1 / 3, depth, 16, 22, 3.0, 20) == pytest.approx(pressure, rel=0.001), RANKINE


def test_the_whole_push_with_surcharge_and_water_table() -> None:
    push, _ = quad(lambda z: press(1 / 3, z, 16, 22, 3.0, 20), 0.0, 8.0, points=[3.0])
    assert push == pytest.approx(330.76, rel=0.001), RANKINE


@pytest.mark.parametrize(("depth", "total", "effective"), [(3.0, 54, 54), (8.0, 154, 104.9)])
def test_a_stress_profile(depth: float, total: float, effective: float) -> None:
    # Sand of 18 over 20 kN/m3, water at 3 m. With a coefficient of one the pressure is the vertical stress.
    ours = press(1.0, depth, 18, 20, 3.0, 0)
    water = walls.water_pressure(density=1000.0, depth=depth, water_level=3.0) / 1000
    assert ours == pytest.approx(total, rel=0.001), STRESS
    assert ours - water == pytest.approx(effective, rel=0.001), STRESS


def test_the_hydrostatic_triangle() -> None:
    # 3.0 m of water: 29.4 kPa at the foot, 44.1 kN and 44.1 kN m a metre of wall.
    def pressure(z: float) -> float:
        return walls.water_pressure(density=1000.0, depth=z, water_level=0.0) / 1000

    assert pressure(3.0) == pytest.approx(29.4, rel=0.002), TRIANGLE
    assert quad(pressure, 0, 3)[0] == pytest.approx(44.1, rel=0.002), TRIANGLE
    assert quad(lambda z: pressure(z) * (3 - z), 0, 3)[0] == pytest.approx(44.1, rel=0.002), TRIANGLE


def test_equal_water_on_both_sides_leaves_the_fill_alone() -> None:
    # By hand: submerged 10 kN/m3 less than saturated; 0.5 (20 - 9.80665) 1.5 = 7.645 kPa.
    ours = walls.inward(
        at_rest=0.5,
        unit_weight_moist=17000.0,
        unit_weight_saturated=20000.0,
        depth=1.5,
        fill_top=0.0,
        outside_water=0.0,
        inside_water=0.0,
        surcharge=0.0,
        groundwater_density=1000.0,
        pool_density=1000.0,
    )
    assert ours == pytest.approx(0.5 * (20000 - 9806.65) * 1.5, rel=1e-12)


def test_active_pressure_of_the_surcharged_wall_in_pieces() -> None:
    # The same wall: 20 kPa alone 6.67; 3 m at 16 adds 16.00; 5 m submerged adds 20.32, its water 49.05.
    base, three, eight = (press(1 / 3, depth, 16, 22, 3.0, 20) for depth in (0.0, 3.0, 8.0))
    assert three - base == pytest.approx(16.00, rel=0.001), RANKINE
    assert eight - three == pytest.approx((22 - 9.81) * 5 / 3 + 9.81 * 5, rel=0.001), RANKINE


@pytest.mark.parametrize(
    ("depth", "at_rest", "flooded", "net"),
    [(0.5, 4.0, 7.4, 2.5), (1.0, 8.0, 14.8, 5.0), (1.5, 12.0, 22.2, 7.5)],
)
def test_dry_fill_holds_less_than_the_pool_and_flooded_fill_more(
    depth: float, at_rest: float, flooded: float, net: float
) -> None:
    # By hand, 30 degrees, 16 kN/m3 dry, 10 submerged: 0.5·16·z; 0.5·10·z + 9.81·z; less 9.81·z inside.
    saturated = 10 + 9.80665
    assert press(0.5, depth, 16, saturated, depth, 0) == pytest.approx(at_rest, abs=0.05)
    assert press(0.5, depth, 16, saturated, 0.0, 0) == pytest.approx(flooded, abs=0.05)
    inside = walls.inward(
        at_rest=0.5,
        unit_weight_moist=16000.0,
        unit_weight_saturated=saturated * 1000,
        depth=depth,
        fill_top=0.0,
        outside_water=0.0,
        inside_water=0.0,
        surcharge=0.0,
        groundwater_density=1000.0,
        pool_density=1000.0,
    )
    assert inside / 1000 == pytest.approx(net, abs=0.05)


@pytest.mark.parametrize("degrees", [28, 30, 33, 35, 38, 42])
def test_at_rest_lies_between_the_active_and_the_passive_coefficient(degrees: int) -> None:
    # Rankine: (1 - sin)/(1 + sin) and its inverse.
    rest, sine = walls.at_rest(friction_angle=math.radians(degrees)), math.sin(math.radians(degrees))
    assert (1 - sine) / (1 + sine) < rest < (1 + sine) / (1 - sine)


def test_water_over_the_fill_counts_with_its_whole_height() -> None:
    # By hand: fill from 1.0, water from 0.4, at 1.5: 0.5 (10.19335·0.5) + 9.80665·1.1 = 13.336 kPa.
    ours = walls.inward(
        at_rest=0.5,
        unit_weight_moist=17000.0,
        unit_weight_saturated=20000.0,
        depth=1.5,
        fill_top=1.0,
        outside_water=0.4,
        inside_water=1.5,
        surcharge=0.0,
        groundwater_density=1000.0,
        pool_density=1000.0,
    )
    assert ours == pytest.approx(13336, abs=1)


def test_the_push_the_fill_must_answer() -> None:
    # By hand: 0.42 m of water against 0.28 m of fill at 16 kN/m3: 4118.8/4480 = 0.9194.
    ours = walls.support_needed(
        pool_density=1000.0, depth=1.40, water_level=0.98, unit_weight_moist=16000.0, fill_top=1.12
    )
    assert ours == pytest.approx(0.9194, abs=1e-4)


@pytest.mark.parametrize(
    ("reynolds", "roughness", "factor", "tolerance", "source"),
    [
        (4e5, 0.004, 0.0287, 0.004, LINDEBURG),
        (100600, 0.0, 0.0179, 0.006, PLASTIC),
        (5000, 0.0, 0.037393, 0.0002, GRID),
        (50000, 0.0, 0.020891, 0.0002, GRID),
        (100000, 0.0, 0.017990, 0.0002, GRID),
        (100000, 0.001, 0.022175, 0.0002, GRID),
        (1e6, 0.0002, 0.014683, 0.0002, GRID),
    ],
)
def test_friction_factor(
    reynolds: float, roughness: float, factor: float, tolerance: float, source: str
) -> None:
    assert pump.friction_factor(reynolds, roughness) == pytest.approx(factor, rel=tolerance), source


@pytest.mark.parametrize(
    ("litres_a_second", "bore", "lost"),
    [(2.0, 0.0525, 1.7533), (5.0, 0.0525, 9.0512), (3.0, 0.0409, 11.9923)],
)
def test_head_lost_in_100_m_of_hose(litres_a_second: float, bore: float, lost: float) -> None:
    flow = litres_a_second / 1000
    velocity_head = (flow / (math.pi / 4 * bore**2)) ** 2 / (2 * constants.G)
    ours = pump.system_head(flow, static=0.0, bore=bore, length=100.0)
    fittings = (pump.MINOR + pump.EXIT) * velocity_head
    assert ours - fittings == pytest.approx(lost, rel=0.002), HOSE
