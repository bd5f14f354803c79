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
