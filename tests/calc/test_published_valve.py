"""The relief valve and its fittings against values in print."""

from __future__ import annotations

import math

import pytest

from builder.calc import constants, standpipe, uplift, valve
from builder.units import parse

HOMEWORK = "Worked homework answer on a public question page"
ORIFICE = "Q = Cd A sqrt(2 g h), as in standard hydraulics texts; numbers worked independently"
BALANCE = "h = F/(rho g A), a balance of forces; numbers worked independently"
WATER = "Vennard and Street, Elementary Fluid Mechanics 5th ed., as Table C-1 of MWH Water Treatment 3rd ed."
THREADS = "ISO 228-1 as tabulated on a thread reference page, 11 threads to the inch"
SEALANT = "L = V/(pi d^2/4); numbers worked independently"
SCHEDULE_40 = "ASTM D1785, table of diameters and least walls, schedule 40"
METRIC = "IS 4985:2000, table of mean diameters and least walls (diameters to ISO 161-1)"


@pytest.mark.parametrize(
    ("diameter", "head", "coefficient", "g", "flow", "tolerance", "source"),
    [
        (0.060, 6.0, 0.68 * 0.92, 9.8, 0.0192, 0.002, HOMEWORK),
        (0.040, 0.3, 0.62, 9.80665, 1.88989e-3, 0.0005, ORIFICE),
        (0.050, 0.1, 0.62, 9.80665, 1.70489e-3, 0.0005, ORIFICE),
    ],
)
def test_a_valve_without_ground_and_spring_is_an_orifice(
    diameter: float, head: float, coefficient: float, g: float, flow: float, tolerance: float, source: str
) -> None:
    area = math.pi / 4 * diameter**2
    effective = valve.effective_area(discharge_coefficient=coefficient, throat_area=area)
    ours = valve.flow(head=head, opening_head=0.0, resistance=0.0, effective_area=effective, g=g)
    assert ours == pytest.approx(flow, rel=tolerance), source


def test_a_spring_takes_its_opening_head_off_the_orifice() -> None:
    # By hand from the published orifice: 0.1 m over an opening head of 60 mm is 0.16 m of net head.
    effective = valve.effective_area(discharge_coefficient=0.62, throat_area=math.pi / 4 * 0.05**2)
    ours = valve.flow(head=0.16, opening_head=0.06, resistance=0.0, effective_area=effective, g=constants.G)
    assert ours == pytest.approx(1.70489e-3, rel=0.0005), ORIFICE


def test_the_head_that_cracks_a_weighted_disc_is_a_panel_of_the_same_weight() -> None:
    # 2.0 N on a seat of 50 mm in water of 998.2 kg/m3: 0.10405 m. A plate of that weight a square metre
    # is lifted by the same water; the opening head goes through as its maker gives it.
    area = math.pi / 4 * 0.05**2
    plate = uplift.panel_head(
        floor_thickness=1.0, laminate_density=2.0 / (constants.G * area), groundwater_density=998.2
    )
    assert plate == pytest.approx(0.10405, rel=0.0005), BALANCE
    assert valve.opening_head(opening_head=plate) == plate


@pytest.mark.parametrize(
    ("celsius", "density", "weight"),
    [
        (0, 999.8, 9.805),
        (5, 1000.0, 9.807),
        (10, 999.7, 9.804),
        (20, 998.2, 9.789),
        (25, 997.0, 9.777),
        (40, 992.2, 9.730),
    ],
)
def test_standard_gravity_turns_the_printed_density_into_the_printed_weight(
    celsius: int, density: float, weight: float
) -> None:
    assert density * constants.G / 1000 == pytest.approx(weight, abs=0.002), f"{celsius} degrees: {WATER}"


@pytest.mark.parametrize(
    ("celsius", "density"), [(0, 999.8), (5, 1000.0), (10, 999.7), (20, 998.2), (25, 997.0)]
)
def test_fresh_water_of_1000_is_within_a_third_of_a_per_cent(celsius: int, density: float) -> None:
    assert pytest.approx(density, rel=0.0035) == constants.FRESH, f"{celsius} degrees: {WATER}"


@pytest.mark.parametrize("thread", ["G 1", "G 1-1/2", "G 2"])
def test_a_quarter_turn_is_a_quarter_of_the_printed_pitch(thread: str) -> None:
    ours = valve.turn_travel(pitch=parse("1 in", "m") / 11)
    assert 4 * ours * 1000 == pytest.approx(2.309, abs=0.002), f"{thread}: {THREADS}"


@pytest.mark.parametrize(
    ("millilitres", "bead_mm", "metres"), [(310, 6, 10.96), (300, 6, 10.61), (300, 10, 3.82)]
)
def test_a_cartridge_lays_a_bead_of_the_printed_length(millilitres: int, bead_mm: int, metres: float) -> None:
    # A ring of that length: flange = length/pi. How much sealant does our bead take?
    ours = valve.sealant_volume(bead=bead_mm / 1000, flange=metres / math.pi)
    assert ours == pytest.approx(parse(f"{millilitres} mL", "m3"), rel=0.001), SEALANT


@pytest.mark.parametrize(
    ("size", "outside", "wall", "bore"),
    [
        ("NPS 1-1/2", 48.26, 3.68, 40.9),
        ("NPS 2", 60.32, 3.91, 52.5),
        ("NPS 3", 88.90, 5.49, 77.92),
        ("NPS 4", 114.30, 6.02, 102.26),
    ],
)
def test_bore_of_schedule_40_tubes(size: str, outside: float, wall: float, bore: float) -> None:
    ours = standpipe.bore(outside_diameter=outside / 1000, wall=wall / 1000)
    assert ours * 1000 == pytest.approx(bore, abs=0.05), f"{size}: {SCHEDULE_40}"


@pytest.mark.parametrize(
    ("size", "pressure", "wall"),
    [(110, 0.6, 3.7), (110, 0.8, 4.9), (63, 1.25, 4.3), (50, 0.8, 2.3)],
)
def test_bore_of_metric_tubes_follows_the_design_stress(size: int, pressure: float, wall: float) -> None:
    # Published walls; the standard's rule e = p d/(2 sigma + p), sigma 8.6 MPa, gives them within 0.1 mm,
    # so bore and rule agree: d - 2e = d (2 sigma - p)/(2 sigma + p).
    ours = standpipe.bore(outside_diameter=size / 1000, wall=wall / 1000) * 1000
    by_rule = size * (17.2 - pressure) / (17.2 + pressure)
    assert ours == pytest.approx(by_rule, abs=0.2), METRIC
    assert standpipe.pump_clearance(bore=ours, body=ours - 10) == pytest.approx(10)
