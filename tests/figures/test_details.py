"""The lid, the pump and the details: drawn from the job's own numbers, and joined to the sections."""

from __future__ import annotations

import math
import re
import xml.etree.ElementTree as ET

import pytest

from builder.figures import details
from builder.figures.cut import Cut
from builder.figures.index import SCENES
from builder.figures.reader import Reader
from builder.figures.style import EDGE
from builder.levels import cross_section, long_section


def texts(made, name):
    return [box.text for box in made.drawn[name].texts]


def test_the_lids_tapes_are_the_jobs_tie_measures(made):
    levels, anchors = made.levels, made.drawn["lid-detail"].anchors
    rows = made.results["standpipe.ties"].table.records()
    assert len(rows) == 3
    for number, row in enumerate(rows, 1):
        mark = anchors[f"tie.{number}"]
        assert mark == (row["x"], row["y"])
        assert math.dist(mark, (levels.tube.x, levels.tube.y)) == pytest.approx(row["away"])
        assert any(text.startswith(f"{number}: from {row['from']}") for text in texts(made, "lid-detail"))


def test_a_mark_of_the_lid_lies_on_the_rims_inside_edge(made):
    rim = made.levels.solid.outline.polygon.exterior
    for row in made.results["standpipe.ties"].table.records():
        assert rim.distance(details_point(row["x"], row["y"])) < 1e-3


def details_point(x, y):
    from shapely.geometry import Point

    return Point(x, y)


def test_the_lid_lies_level_with_the_paving_and_the_tube_under_it(made):
    levels, anchors = made.levels, made.drawn["lid-detail"].anchors
    assert anchors["lid"][1] == levels.paving
    assert anchors["tube top"][1] == levels.tube_top
    lid = levels.job.spec.standpipe.lid
    assert anchors["lid.under"][1] - anchors["lid"][1] == pytest.approx(lid.thickness)
    away = levels.solid.outside.polygon.exterior.distance(details_point(levels.tube.x, levels.tube.y))
    assert anchors["tube top"][0] == pytest.approx(away)


def test_a_wider_lid_is_drawn_and_labelled_wider(changed):
    usual, wide = changed(), changed(more="standpipe: {lid: {width: 300 mm}}")
    assert "lid 250" in texts(usual, "lid-detail")
    assert "lid 300" in texts(wide, "lid-detail")


def test_the_duty_point_is_the_jobs_duty(made):
    anchors, results = made.drawn["pump-curve"].anchors, made.results
    flow, head = anchors["duty"]
    assert flow == results["pump.duty_flow"].si
    assert head == pytest.approx(results["pump.duty_head"].si)


def test_a_pump_that_must_be_throttled_shows_to_what(changed):
    made = changed(groundwater="1.0 m")
    throttle = made.results["pump.throttle_to"].si
    assert made.drawn["pump-curve"].anchors["throttle"][0] == throttle
    rounded_down = math.floor(throttle * 60e3 * 10) / 10  # more would draw fines
    assert f"{rounded_down:g}\u00a0L/min" in texts(made, "pump-curve")


def test_a_pump_too_weak_for_its_lift_says_so(changed):
    made = changed(more="pump: {curve: [[0 L/min, 1 m], [60 L/min, 0 m]]}")
    assert made.results["pump.duty_flow"].value is None
    assert "This pump cannot lift the water to the hose's end" in texts(made, "pump-curve")
    assert made.drawn["pump-curve"].anchors == {}


def test_every_detail_is_marked_in_the_long_section_and_bears_its_letter(made):
    section = texts(made, "long-section")
    for letter, name in (
        (details.VALVE, "valve-detail"),
        (details.LID, "lid-detail"),
        (details.SLOTS, "standpipe-cut"),
    ):
        assert any(text.split(" ")[0] == letter for text in section), letter
        assert any(text.split(" ")[0] == letter for text in texts(made, name)), name
        assert f"Detail {letter} of the " in made.drawn[name].caption


@pytest.mark.parametrize("name", ["long-section", "cross-section"])
def test_a_circle_lies_round_every_place_that_has_a_detail(made, name):
    root = ET.fromstring(made.drawn[name].svg)  # noqa: S314 - our own figure
    circles = [
        [float(number) for number in ring.removesuffix("z").split()]
        for path in root.iter("{http://www.w3.org/2000/svg}path")
        if path.get("fill") == "none" and path.get("stroke-width") == f"{EDGE:g}"
        for ring in path.get("d").split("M")
        if ring.endswith("z") and len(ring.split()) == 2 * details.SIDES
    ]
    found = [((min(c[::2]) + max(c[::2])) / 2, (min(c[1::2]) + max(c[1::2])) / 2, c) for c in circles]
    read = Reader(made.levels, made.results, made.results.groundwater)
    sheet = SCENES[name](read).sheet
    section = (
        long_section(made.levels)
        if name == "long-section"
        else cross_section(made.levels, made.levels.valve[0])
    )
    view = Cut(made.levels, section).view()
    anchors = made.drawn[name].anchors
    places = [("valve", anchors["valve"])]
    if name == "long-section":
        places += [("tube.top", anchors["tube.top"])]
        x, top = anchors["tube.slots"]
        foot = anchors["tube.foot"][1]
        places += [("slots", (x, top + (foot - top) * share)) for share in (0.0, 0.5, 1.0)]
    met = set()
    for place, (x, z) in places:
        at = view.x(x), view.y(z) + sheet.offset
        if any(math.dist(at, (cx, cy)) <= (max(c[::2]) - min(c[::2])) / 2 for cx, cy, c in found):
            met.add(place)
    assert met == {place for place, _ in places}


def test_a_region_in_feet_has_no_metric_unit_in_its_charts(changed):
    made = changed(region="us", groundwater="1.0 m")
    for name in ("depth-volume", "wall-pressure", "pump-curve"):
        drawn = made.drawn[name]
        said = " ".join([*texts(made, name), drawn.caption, *drawn.long_description])
        assert not re.search(r"kPa|kilopascal|m³|cubic metre|L/min|litre|\d\u00a0m\b", said), name
    # a US gallon is 3.785411784 L by definition; said to ten of them
    volume = made.results["shell.water_volume"].si / 3.785411784e-3
    assert any(f"{round(volume / 10) * 10:,} gal" in text for text in texts(made, "depth-volume"))


def test_pressures_of_a_region_in_feet_are_inches_of_water(changed):
    made = changed(region="us")
    row = made.results["fill.stages"].table.records()[0]
    # by hand: an inch of fresh water is 0.0254 m x 9,806.65 N/m3 = 249.09 Pa
    assert f"{row['outward_kpa'] * 1000 / 249.08891:.1f}" in texts(made, "wall-pressure")
    assert "inches of water" in made.drawn["wall-pressure"].caption


def test_two_zeros_all_but_level_give_one_ruler_with_both_readings(changed):
    made = changed()  # the usual tube ends 10 mm above the rim
    shown = texts(made, "dip-gauge")
    assert shown.count("1,500") == 1
    act = made.results["uplift.act_dip"].si, made.results["uplift.act_dip_build"].si
    assert act[0] - act[1] == pytest.approx(0.010)
    assert "The ruler counts from the tube top." in made.drawn["dip-gauge"].caption


def test_two_zeros_apart_give_two_rulers(changed):
    made = changed(more="standpipe: {below_lid: 200 mm}")  # 160 mm below the rim
    assert texts(made, "dip-gauge").count("1,000") == 2
    assert "the left ruler until" in made.drawn["dip-gauge"].caption


def test_two_zeros_level_give_one_reading_each(changed):
    made = changed(more="standpipe: {below_lid: 40 mm}")  # level with the rim: paving 40 mm above it
    assert "before and after trimming:" in texts(made, "dip-gauge")
    assert "stand at one level" in made.drawn["dip-gauge"].caption


def test_a_tube_in_the_beam_is_drawn_and_told_with_its_sleeve(changed):
    # by hand: half of a 300 mm gap less half of 75.35 mm is 112.3 mm from the shell: inside 300 mm of beam
    made = changed()
    assert made.levels.tube_away == pytest.approx(0.150)
    assert made.levels.tube_in_beam
    shown = " ".join(texts(made, "lid-detail"))
    assert "sleeve, or foam 10 thick" in shown
    assert "collar" not in shown  # the beam stands all round the tube
    told = " ".join(made.drawn["lid-detail"].long_description)
    assert "or in a sleeve, so that the concrete does not grip it: common practice, no source." in told


def test_a_beam_that_ends_before_the_tube_has_no_sleeve(changed):
    made = changed(more="ring_beam: {width: 100 mm, depth: 150 mm}")  # the tube begins at 112.3 mm
    assert not made.levels.tube_in_beam
    assert "sleeve" not in " ".join(texts(made, "lid-detail")) + made.drawn["lid-detail"].caption
    told = made.drawn["lid-detail"].long_description
    assert "The tube stands clear of the beam." in told
    assert "300 deep" in texts(made, "lid-detail")
    assert any("packed round the tube, 300\u00a0mm deep" in sentence for sentence in told)


def test_a_tube_that_touches_the_beam_within_its_wrap_is_wrapped_and_has_half_a_collar(changed):
    # by hand: the tube begins 112.3 mm from the shell; 110 mm of beam leaves 2.3 mm, less than 10 mm of foam
    made = changed(more="ring_beam: {width: 110 mm, depth: 150 mm}")
    assert made.levels.tube_in_beam
    assert made.levels.tube_at_face
    told = " ".join(made.drawn["lid-detail"].long_description)
    assert "so that the concrete does not grip it" in told
    assert "on the tube's side away from the beam, 300\u00a0mm deep" in told


def test_a_section_names_the_sleeve_where_it_shows_the_tube_in_the_beam(changed):
    beside = changed(more="standpipe: {beside: {at: [5.5 m, 3.55 m]}}")
    assert "sleeved in the beam" in texts(beside, "cross-section")
    behind = changed()  # at the deep end, which the cross-section looks past
    assert "sleeved in the beam" not in texts(behind, "cross-section")


def test_a_charts_upright_arrow_points_to_where_its_values_grow(made):
    for name, way in (
        ("pump-curve", "\u2191"),
        ("gradings", "\u2191"),
        ("depth-volume", "\u2193"),
        ("uplift", "\u2193"),
    ):
        shown = [text for text in texts(made, name) if text[:1] in "\u2191\u2193"]
        assert len(shown) == 1
        assert shown[0].startswith(way), name
