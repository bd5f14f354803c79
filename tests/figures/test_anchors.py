"""Anchors lie on the model, and labels move when the job moves."""

from __future__ import annotations

import math

import pytest


def texts(made, name):
    return [box.text for box in made.drawn[name].texts]


def test_the_sections_anchors_are_the_levels(made):
    levels, anchors = made.levels, made.drawn["long-section"].anchors
    assert anchors["tube.foot"] == (levels.tube.x, levels.tube_foot)
    assert anchors["tube.top"] == (levels.tube.x, levels.tube_top)
    assert anchors["valve"] == (levels.valve[0], levels.seat)
    assert anchors["water.left"][1] == pytest.approx(levels.water)
    assert anchors["ground.left"][1] == levels.ground
    assert anchors["dig.left"][1] == levels.ground
    assert anchors["paving.right"][1] == levels.paving
    assert anchors["beam.left"][1] == levels.beam_underside


def test_the_water_line_ends_on_the_shells_inside(made):
    levels = made.levels
    for name, axis in (("long-section", 0), ("cross-section", 1)):
        left, right = (made.drawn[name].anchors[key][0] for key in ("water.left", "water.right"))
        bounds = levels.solid.inset(levels.water).bounds
        low, high = bounds[axis], bounds[axis + 2]
        assert low - 1e-6 <= left < right <= high + 1e-6


def test_the_rims_lie_on_the_outline(made):
    levels = made.levels
    anchors = made.drawn["long-section"].anchors
    low, _, high, _ = levels.solid.outline.bounds
    left, right = anchors["rim.left"][0], anchors["rim.right"][0]
    assert low - 1e-9 <= left < right <= high + 1e-9
    assert anchors["rim.left"][1] == pytest.approx(0.0)


def test_the_base_of_the_bedding_lies_on_the_digs_base_less_what_is_overdug(made):
    levels = made.levels
    x, z = made.drawn["long-section"].anchors["bedding.right"]
    assert z == pytest.approx(levels.dig.base_depth(x) - levels.dig.overdug)


def test_the_pegs_stand_on_the_bounds_of_the_base(made):
    anchors = made.drawn["plan"].anchors
    x0, y0, x1, y1 = made.levels.dig.base.bounds
    assert [anchors[f"peg.{letter}"] for letter in "ABCD"] == [(x0, y0), (x1, y0), (x1, y1), (x0, y1)]
    diagonal = made.results["dig.check_diagonal"].si
    assert math.dist(anchors["peg.A"], anchors["peg.C"]) == pytest.approx(diagonal)


def test_the_standpipes_marks_are_its_lengths_from_the_foot(made):
    anchors, results = made.drawn["standpipe-cut"].anchors, made.results
    foot = anchors["foot"][1]
    assert foot - anchors["top"][1] == pytest.approx(results["standpipe.cut_length"].si)
    assert foot - anchors["trim"][1] == pytest.approx(results["standpipe.length"].si)
    assert foot - anchors["build mark"][1] == pytest.approx(results["standpipe.build_mark"].si)
    assert anchors["build mark"][1] == pytest.approx(0.0)  # the ring is at rim level
    assert anchors["trim"][1] == pytest.approx(made.levels.tube_top)


def test_the_gauges_marks_are_dips_below_their_zeros(made):
    anchors, results = made.drawn["dip-gauge"].anchors, made.results
    for name in ("watch", "act"):
        level = anchors[name][1]
        assert level - anchors["build mark"][1] == pytest.approx(results[f"uplift.{name}_dip_build"].si)
        assert level - anchors["tube top"][1] == pytest.approx(results[f"uplift.{name}_dip"].si)


def test_a_deeper_floor_moves_the_labels_of_the_floor_and_what_lies_under_it(changed):
    shallow, deep = changed(), changed(deep="1.90 m")
    assert "1,700 below rim" in texts(shallow, "long-section")
    assert "1,900 below rim" in texts(deep, "long-section")
    assert "1,700 below rim" not in texts(deep, "long-section")
    # 1,900 + floor 7 + bedding 75 = 1,982, to the nearest 5 mm
    assert "1,980 below rim" in texts(deep, "long-section")


def test_a_lower_pool_moves_the_water_line_down_the_page(changed):
    high, low = changed(), changed(water="300 mm")
    assert "300 below rim" in texts(low, "long-section")
    depths = [made.drawn["long-section"].anchors["water.left"][1] for made in (high, low)]
    assert depths == pytest.approx([0.120, 0.300])


def test_a_longer_pool_is_a_longer_dimension(changed):
    # 8.4 m inside; base 8,400 + two walls of 7 + two gaps of 300 = 9,014, to the nearest 5 mm
    made = changed(length="8.4 m")
    assert "8,400 inside, at the rim" in texts(made, "long-section")
    assert "A to B 9,015" in texts(made, "plan")


def test_groundwater_that_is_not_known_is_said_to_be_planned_at_ground_level(changed):
    made = changed(groundwater="{not_seen_to: 1.0 m}")
    assert made.results.groundwater.state == "unknown"
    assert "groundwater not known:" in texts(made, "long-section")
    assert "planned at ground level" in texts(made, "long-section")
    assert any("not known" in sentence for sentence in made.drawn["long-section"].long_description)


def test_a_dry_hole_is_shown_by_how_deep_it_was(changed):
    made = changed(groundwater="{not_seen_to: 3.0 m, watched_for: 14 d}")
    assert made.results.groundwater.state == "below"
    shown = set(texts(made, "long-section"))
    assert {"no groundwater seen to", "3,050 below rim", "deeper than shown"} <= shown
    assert "fig-groundwater" not in made.drawn["long-section"].svg


def test_seen_groundwater_is_drawn_with_its_level(changed):
    made = changed()
    assert "1,950 below rim" in texts(made, "long-section")
    assert "fig-groundwater" in made.drawn["long-section"].svg


def test_the_caption_says_how_much_the_wall_is_thickened(changed):
    made = changed()
    assert "Only the shell's wall is drawn " in made.drawn["long-section"].caption
    assert "times as thick as it is." in made.drawn["long-section"].caption


def test_a_shored_dig_shows_no_slope(changed):
    made = changed(batter="none, shoring: engineer")
    assert not any("cut back" in text for text in texts(made, "cross-section"))
    assert any("upright and are shored" in said for said in made.drawn["cross-section"].long_description)


def test_a_region_of_feet_and_inches_has_no_millimetres(changed):
    made = changed(region="us", length="8 m")
    # by hand: 8000 mm / 25.4 = 314.96 in = 26 ft 2.96 in
    assert "26′\u00a03″ inside, at the rim" in texts(made, "long-section")


def test_a_jobs_own_words_stay_words(changed):
    made = changed(ledge="<b>{{ x }}</b> & #ff0000")
    plan = made.drawn["plan"]
    assert "&lt;b&gt;{{ x }}&lt;/b&gt; &amp;" in plan.svg
    assert "<b>" not in plan.svg


def test_a_very_long_name_is_wrapped_within_the_frame(changed):
    made = changed(ledge="long winding steps with a northern bench")
    for name in ("plan", "long-section"):
        assert all(box.x0 >= 0 and box.x1 <= 288 for box in made.drawn[name].texts)


def test_the_valves_detail_lies_at_the_valve_on_its_seat(made):
    levels, anchors = made.levels, made.drawn["valve-detail"].anchors
    assert anchors["valve"] == (levels.valve[0], levels.seat)
    assert anchors["underside"][1] - levels.seat == pytest.approx(levels.job.spec.shell.floor_thickness)
    assert anchors["bedding"][1] - anchors["underside"][1] == pytest.approx(levels.job.spec.bedding.thickness)


def test_fence_heap_and_crane_stand_off_the_dig_by_what_is_worked(made):
    anchors, results = made.drawn["site-plan"].anchors, made.results
    x0, y0, x1, y1 = made.levels.dig.top.bounds
    low, high = anchors["fence.low"], anchors["fence.high"]
    assert (x0 - low[0], y0 - low[1], high[0] - x1, high[1] - y1) == pytest.approx((1.5,) * 4, abs=1e-6)
    above = anchors["heap.near"][1] > y1
    edge, other = (y1, y0) if above else (y0, y1)
    assert abs(anchors["heap.near"][1] - edge) == pytest.approx(results["dig.heap_back"].si)
    assert abs(anchors["heap.far"][1] - anchors["heap.near"][1]) == pytest.approx(
        results["dig.heap_width"].si
    )
    assert abs(anchors["crane.feet"][1] - other) == pytest.approx(results["dig.crane_back"].si)
    assert (anchors["crane.feet"][1] < y0) == above  # across the dig from the heap


def test_the_hose_leaves_the_tube_on_the_cranes_side_not_over_the_heap(made):
    anchors, levels = made.drawn["site-plan"].anchors, made.levels
    _, y0, _, y1 = levels.solid.outside.bounds
    if levels.tube.y > y1 or levels.tube.y < y0:  # beside a long wall
        assert (anchors["heap.near"][1] > y1) == (levels.tube.y < y0)


def test_the_site_plan_says_that_its_sides_are_an_example_and_who_places_the_crane(made):
    drawn = made.drawn["site-plan"]
    assert "the sides are an example" in drawn.caption
    assert "the crane firm" in drawn.caption
    assert "it may have to stand farther off" in " ".join(drawn.long_description)
