"""Permeability, time lag, wells and screens against values in print."""

from __future__ import annotations

import math
from itertools import pairwise

import numpy as np
import pytest

from builder.calc import constants, filters, standpipe, valve, wells
from builder.units import parse, to_unit

HAZEN = "Hazen 1892/1911, as in Terzaghi, Peck and Mesri 1996"
HELP_PAGE = "Groundwater software vendor's help page, calculator 6"
CALCULATOR = "Help page of an online calculator"
GEOTECHNICS = "Open geotechnics teaching text in French, exercise on the constant-head permeameter"
LOWERING = "Open geotechnics teaching text in French, lesson on groundwater lowering, example"
DAVIS = "Davis, Water and Wastewater Engineering, ch. 4, wells example, p. 4-38"
ENTRANCE = "Davis (0.03 m/s, quoting two well handbooks); US Army TM 5-813-1 and TI 814-01 (0.1 ft/s)"
SLUG = "Postgraduate assignment sheet ECW5001 (2021, public): data in print, answer worked here"
HVORSLEV = "Hvorslev 1951, WES Bulletin 36: the formula; numbers worked independently"
THIEM = "anaflow 1.2.0, a public groundwater library"
LINSLEY = "Linsley, Kohler and Paulhus 1982, Table 6-2: 50 darcy of sand, 5,000 of gravel; numbers worked"
STUDY = "Worked answer on a public study page"
ITEM = "Published multiple-choice item, answer 9/16"
SICHARDT = "SI form: Powers 1992, as quoted in a county procedure; US form from memory (UFC 3-220-05)"
EQUIVALENT = "Method of CIRIA C750, Cashman and Preene, UFC 3-220-05; numbers worked independently"


@pytest.mark.parametrize(("d10_mm", "k"), [(0.1, 1e-4), (0.2, 4e-4)])
def test_hazen(d10_mm: float, k: float) -> None:
    assert filters.hazen(d10=d10_mm * 1e-3) == pytest.approx(k, rel=0.001), HAZEN


def test_kozeny_carman_of_a_fine_sand_at_10_degrees() -> None:
    # Published: n 0.30, d10 0.1 mm, 10 degrees (999.7 kg/m3, 1.307 mPa s): 0.000023 m/s.
    ours = filters.kozeny_carman(specific_weight=999.7 * 9.81, viscosity=1.307e-3, porosity=0.30, d10=1e-4)
    assert ours == pytest.approx(2.3e-5, rel=0.005), HELP_PAGE


def test_a_printed_kozeny_carman_answer_is_ten_times_too_high() -> None:
    # The page prints 4.47e-4 m/s; it takes n^3/(1-n)^2 as 0.551 where it is 0.0551. Its form divides by
    # about 120 (a factor of 8.3e-3), ours by 180.
    ours = filters.kozeny_carman(specific_weight=9.81, viscosity=1.004e-6, porosity=0.3, d10=1e-4)
    as_its_form = ours * 180 * 8.3e-3
    assert as_its_form != pytest.approx(4.47e-4, rel=0.5), CALCULATOR
    assert as_its_form == pytest.approx(4.47e-5, rel=0.01), CALCULATOR


@pytest.mark.parametrize(("darcy", "k"), [(50, 4.82e-4), (5000, 4.82e-2)])
def test_permeability_of_the_pores_times_the_water_in_them(darcy: int, k: float) -> None:
    # 1 darcy is 9.869e-13 m2. A grain whose n^3/(1-n)^2 d^2/180 is that many, in water of 20 degrees.
    grain = math.sqrt(darcy * 9.869e-13 * 180 * (1 - 0.35) ** 2 / 0.35**3)
    ours = filters.kozeny_carman(
        specific_weight=998.2 * constants.G, viscosity=1.0016e-3, porosity=0.35, d10=grain
    )
    assert ours == pytest.approx(k, rel=0.005), LINSLEY


def test_head_lost_in_a_permeameter() -> None:
    # Published: 150 cm3 in 60 s through 12 cm of soil, 78.5 cm2, under 30 cm: k = 1.27e-4 m/s. The
    # sample's shape factor is area over length.
    lost = valve.ground_resistance(k=1.27e-4, factor=78.5e-4 / 0.12) * (150e-6 / 60)
    assert lost == pytest.approx(0.30, rel=0.005), GEOTECHNICS


def test_screen_length_by_entrance_velocity() -> None:
    # Published: 32 m3/h at 0.010 m/s through 0.097 m2 of opening a metre needs 9.16 m. We count half the
    # openings as blocked, so our gentle flow through that screen is half the book's.
    ours = standpipe.gentle_flow(entrance_velocity=0.010, open_area=0.097 * 9.16)
    assert to_unit(ours, "m3/h") == pytest.approx(32 / 2, rel=0.001), DAVIS


def test_the_entrance_velocity_is_the_one_of_both_handbooks() -> None:
    assert standpipe.ENTRANCE_VELOCITY == 0.03, ENTRANCE
    assert standpipe.ENTRANCE_VELOCITY == pytest.approx(parse("0.1 ft", "m"), rel=0.02), ENTRANCE


# --- the tube's time lag -------------------------------------------------------------------------

SECONDS = (0, 22, 43, 65, 92, 134, 167, 225, 263, 298, 350, 415, 472, 542, 628)
HEADS = (0.6, 0.55, 0.51, 0.475, 0.436, 0.387, 0.344, 0.298, 0.258, 0.228, 0.192, 0.156, 0.134, 0.104, 0.082)
CASING, BORING, INTAKE = 0.052, 0.20, 3.0  # m; the intake from 5.2 to 8.2 m


def lag_of_the_data() -> float:
    """Time at which the level difference has fallen to 36.8 %, straight between readings."""
    for (t0, h0), (t1, h1) in pairwise(zip(SECONDS, HEADS, strict=True)):
        if h0 / HEADS[0] >= 0.368 > h1 / HEADS[0]:
            return t0 + (t1 - t0) * (h0 - 0.368 * HEADS[0]) / (h0 - h1)
    raise AssertionError("the data never falls that far")


def test_permeability_of_the_published_slug_test() -> None:
    # K = r^2 ln(L/R)/(2 L T0) = 1.245e-6 m/s with T0 = 307.8 s.
    lag = lag_of_the_data()
    assert lag == pytest.approx(307.8, rel=0.003), SLUG
    k = standpipe.time_lag(bore=CASING, wet_length=INTAKE, diameter=BORING, k=1.0) / lag
    assert k == pytest.approx(1.245e-6, rel=0.003), SLUG


def test_the_lag_of_that_permeability_predicts_every_reading() -> None:
    # h = h0 exp(-t/T0) with our own lag: within 15 mm of fifteen readings of up to 600 mm.
    lag = standpipe.time_lag(bore=CASING, wet_length=INTAKE, diameter=BORING, k=1.245e-6)
    predicted = HEADS[0] * np.exp(-np.array(SECONDS) / lag)
    assert np.abs(predicted - np.array(HEADS)).max() < 0.015, SLUG


def test_regressions_of_the_published_slug_test() -> None:
    # T0 by regression of ln(h/h0): 311.3 s through the origin, 315.8 s free; our lag of the permeability
    # each gives is that T0 again, so k differs by as much as the readings do.
    t, ln = np.array(SECONDS, dtype=float), np.log(np.array(HEADS) / HEADS[0])
    through_origin = -(t @ t) / (t @ ln)
    free = -1 / np.polyfit(t, ln, 1)[0]
    for fitted, printed in ((through_origin, 311.3), (free, 315.8)):
        k = 1.245e-6 * 307.8 / printed
        ours = standpipe.time_lag(bore=CASING, wet_length=INTAKE, diameter=BORING, k=k)
        assert ours == pytest.approx(fitted, rel=0.003), SLUG


def test_two_notations_of_the_lag_agree() -> None:
    # r^2 ln(L/R)/(2 L k) and d^2 ln(2L/D)/(8 L k): the long form, which ours nears as L/D grows.
    ours = standpipe.time_lag(bore=CASING, wet_length=INTAKE, diameter=BORING, k=1.245e-6)
    by_radius = (CASING / 2) ** 2 * math.log(INTAKE / (BORING / 2)) / (2 * INTAKE * 1.245e-6)
    by_diameter = CASING**2 * math.log(2 * INTAKE / BORING) / (8 * INTAKE * 1.245e-6)
    assert by_radius == pytest.approx(by_diameter, rel=1e-5)
    assert ours == pytest.approx(by_radius, rel=0.001), HVORSLEV


@pytest.mark.parametrize(
    ("diameter", "length", "k", "long_form", "general", "lag", "ninety"),
    [
        (0.10, 1.0, 1e-5, 2.0974, 2.0956, 374.47, 862.24),
        (0.10, 1.0, 1e-7, 2.0974, 2.0956, 37447.0, 86224.0),
        (0.15, 1.5, 1e-8, 3.1461, 3.1435, 561700.0, 1293400.0),
    ],
)
def test_lag_of_a_standpipe(
    diameter: float, length: float, k: float, long_form: float, general: float, lag: float, ninety: float
) -> None:
    # Lags in print use the long form F = 2 pi L/ln(L/R), 0.08 % above the general form that is ours.
    factor = standpipe.shape_factor(length=length, diameter=diameter)
    assert factor == pytest.approx(general, rel=0.0005), HVORSLEV
    assert factor == pytest.approx(long_form, rel=0.001), HVORSLEV
    ours = standpipe.time_lag(bore=diameter, wet_length=length, diameter=diameter, k=k)
    assert ours == pytest.approx(lag, rel=0.001), HVORSLEV
    assert standpipe.ninety_percent(time_lag=ours) == pytest.approx(ninety, rel=0.001), HVORSLEV
    assert standpipe.hole_lag(diameter=diameter, wet=length, k=k) == pytest.approx(ninety, rel=0.001), (
        HVORSLEV
    )


def test_nine_tenths_take_2_303_lags() -> None:
    ours = standpipe.ninety_percent(time_lag=1.0)
    assert ours == pytest.approx(2.303, rel=0.0005), HVORSLEV
    assert 1 - math.exp(-ours) == pytest.approx(0.9, rel=1e-12), HVORSLEV


# --- radial flow ---------------------------------------------------------------------------------


@pytest.mark.parametrize(("radius", "drawdown"), [(1.0, 0.7329356), (10.0, 0.3664678)])
def test_thiem_drawdown(radius: float, drawdown: float) -> None:
    # Q 1e-3 m3/s, transmissivity 1e-3 m2/s, no drawdown at 100 m: a layer of 1 m with k 1e-3 m/s.
    factor = valve.layer_factor(thickness=1.0, outer_radius=100.0, radius=radius)
    ours = 1e-3 * valve.ground_resistance(k=1e-3, factor=factor)
    assert ours == pytest.approx(drawdown, rel=1e-6), THIEM


def well(k: float, high: float, low: float, outer: float, inner: float) -> float:
    """Dupuit's flow by our layer: a layer drawn down from `high` to `low` counts with its mean."""
    factor = valve.layer_factor(thickness=(high + low) / 2, outer_radius=outer, radius=inner)
    return (high - low) / valve.ground_resistance(k=k, factor=factor)


def test_a_single_well_in_unconfined_sand() -> None:
    # Published: k 5e-4 m/s, 10 m of water drawn to 7 m, r 0.15 m, R 201 m: 0.0111 m3/s, 40 m3/h.
    ours = well(5e-4, 10.0, 7.0, 201.0, 0.15)
    assert ours == pytest.approx(0.0111, rel=0.005), LOWERING
    assert to_unit(ours, "m3/h") == pytest.approx(40, rel=0.005), LOWERING


def test_a_well_with_two_observation_wells() -> None:
    # Published: K 86 m/d, 35 m deep, drawdown 8.1 m at 45 m and 6.7 m at 65 m: 56,800 m3/d; drawdown at
    # the well of 2.5 m radius 24.2 m.
    k = parse("86 m/d", "m/s")
    ours = well(k, 35 - 6.7, 35 - 8.1, 65.0, 45.0)
    assert ours * 86400 == pytest.approx(56800, rel=0.003), STUDY
    assert well(k, 35 - 8.1, 35 - 24.2, 45.0, 2.5) == pytest.approx(ours, rel=0.003), STUDY


def test_doubling_the_drawdown_does_not_double_the_flow() -> None:
    ratio = well(1e-4, 100, 80, 300, 1) / well(1e-4, 100, 60, 300, 1)
    assert ratio == pytest.approx(0.5625, rel=1e-4), ITEM


@pytest.mark.parametrize(
    ("outer", "a_day"),
    [(30.0, 147.99), (33.989, 139.37)],  # R alone, and R with r_e added
)
def test_a_pit_of_10_by_5_m_as_an_equivalent_well(outer: float, a_day: float) -> None:
    radius = standpipe.equivalent_radius(base_length=10.0, base_width=5.0)
    assert radius == pytest.approx(3.9894, rel=0.0005), EQUIVALENT
    assert well(1e-4, 6.0, 5.0, outer, radius) * 86400 == pytest.approx(a_day, rel=0.0005), EQUIVALENT


def test_sichardts_radius() -> None:
    # Published: R = 201 m for 3 m of drawdown and k 5e-4 m/s. In US units R[ft] = 3 s[ft] sqrt(k[1e-4 cm/s]).
    ours = wells.influence_radius(equivalent_radius=0.0, drawdown=3.0, k=5e-4)
    assert ours == pytest.approx(201, rel=0.005), LOWERING
    feet = 3 * (3.0 / parse("1 ft", "m")) * math.sqrt(5e-4 / 1e-6)
    assert ours == pytest.approx(feet * parse("1 ft", "m"), rel=1e-4), SICHARDT


def test_inflow_is_that_of_the_published_well() -> None:
    # The same well by the function the guide uses: its outer radius has the well's own 0.15 m on top.
    ours = wells.inflow(k=5e-4, saturated=10.0, drawdown=3.0, equivalent_radius=0.15)
    assert ours == pytest.approx(0.0111, rel=0.005), LOWERING


def test_inflow_is_that_of_the_pit() -> None:
    # 10 by 5 m, 6 m of water drawn down 1 m, k 1e-4, R + r_e: 139.37 m3 a day, more than 4 k r s.
    radius = standpipe.equivalent_radius(base_length=10.0, base_width=5.0)
    ours = wells.inflow(k=1e-4, saturated=6.0, drawdown=1.0, equivalent_radius=radius)
    assert ours * 86400 == pytest.approx(139.37, rel=0.0005), EQUIVALENT
    # In a thin aquifer the disc from below counts instead: by hand 4*1e-4*3.9894*1.
    thin = wells.inflow(k=1e-4, saturated=2.0, drawdown=1.0, equivalent_radius=radius)
    assert thin == pytest.approx(4e-4 * 3.9894, rel=0.0005), EQUIVALENT
