"""The figures of filling, digging and rising water show the job's own tables."""

from __future__ import annotations

import re

import numpy as np
import pytest

from builder.figures.chart import Scale, nice, steps
from builder.figures.index import SCENES
from builder.figures.reader import Reader
from builder.figures.turns import turns


def texts(made, name):
    return [box.text for box in made.drawn[name].texts]


def reader(made):
    return Reader(made.levels, made.results, made.results.groundwater)


def test_the_strip_and_the_pole_have_the_levels_of_the_table(made):
    rows = made.results["fill.stages"].table.records()
    strip, pole = made.drawn["lift-strip"].anchors, made.drawn["story-pole"].anchors
    for number, row in enumerate(rows, 1):
        if f"fill.{number}" in strip:
            assert strip[f"fill.{number}"][1] == row["backfill_top"]
            assert strip[f"water.{number}"][1] == row["water_after"]
    marks = {depth for name, (_, depth) in pole.items() if name.startswith("fill.")}
    assert marks <= {row["backfill_top"] for row in rows}
    assert strip["water.0"][1] == rows[0]["water_before"]


def test_every_fill_and_water_level_a_tape_can_tell_apart_is_on_the_pole(made):
    read = reader(made)
    shown = texts(made, "story-pole")
    for row in made.results["fill.stages"].table.records():
        for key in ("backfill_top", "water_after"):
            assert read.words.length(row[key]) in shown


def test_the_water_of_a_lift_stands_over_its_fill_in_the_strip(changed):
    plan = turns(reader(changed()))
    # the water goes first, 140 mm above the coming fill's top, so it is the higher of the two
    assert all(turn.water < turn.fill for turn in plan if turn.fills)
    assert [turn.number for turn in plan] == sorted(turn.number for turn in plan)


def test_a_turn_that_adds_nothing_has_no_section_of_its_own(made):
    assert all(turn.fills or turn.waters for turn in turns(reader(made)))


def test_a_higher_pool_is_another_last_water_on_the_pole(changed):
    assert "300" in texts(changed(water="300 mm"), "story-pole")
    assert "300" not in texts(changed(), "story-pole")


def test_the_stations_of_the_dig_lie_on_its_base(made):
    dig = made.levels.dig
    anchors = made.drawn["dig-section"].anchors
    found = [point for name, point in anchors.items() if name.startswith("station.")]
    assert all(z == pytest.approx(dig.base_depth(x)) for x, z in found)
    xs = [x for x, _ in found]
    assert (min(xs), max(xs)) == pytest.approx((dig.base.bounds[0], dig.base.bounds[2]))
    assert xs == sorted(xs)


def test_between_two_readings_the_base_runs_straight(made):
    anchors, dig = made.drawn["dig-section"].anchors, made.levels.dig
    found = [point for name, point in anchors.items() if name.startswith("station.")]
    for row in made.results["dig.stations"].table.records():
        between = np.interp(row["x"], [x for x, _ in found], [z for _, z in found])
        # a tape is read to 5 mm
        assert between == pytest.approx(dig.base_depth(row["x"]), abs=0.005)


def test_the_reading_of_a_station_counts_from_the_peg(changed):
    made = changed()
    z = made.levels.dig.deepest - made.levels.peg
    assert reader(made).words.length(z) in texts(made, "dig-section")


def test_who_may_enter_the_dig_is_said_where_the_numbers_say_it(made):
    told = " ".join(made.drawn["dig-section"].long_description)
    assert bool(made.results["dig.people"].reason) <= ("sides" in told)


def test_the_flow_for_rising_water_asks_by_the_jobs_own_lines(made):
    read, shown = reader(made), " ".join(texts(made, "water-rises"))
    for name in ("watch", "act"):
        for key in (f"uplift.{name}_dip", f"uplift.{name}_dip_build"):
            assert read.length(key) in shown
    assert read.length("level.overflow") in shown


def test_the_act_line_is_asked_before_the_watch_line(made):
    shown = texts(made, "water-rises")
    assert shown.index("ACT") < shown.index("WATCH")


def test_the_curve_of_uplift_has_a_sentence_for_every_row_of_the_table(made):
    rows = made.results["uplift.lowest_water"].table.records()
    told = made.drawn["uplift"].long_description
    assert sum("no level of the pool is enough" in line for line in told) == sum(
        row["lowest"] is None for row in rows
    )
    assert sum("With groundwater" in line for line in told) == len(rows)


def test_the_bars_of_the_wall_are_the_pressures_of_the_table(made):
    rows = made.results["fill.stages"].table.records()
    told = made.drawn["wall-pressure"].long_description
    # an inch of fresh water is 0.0254 m x 9,806.65 N/m3
    one = 0.0254 * 9.80665 if made.levels.job.region.units == "us" else 1.0
    for line, row in zip(told, rows, strict=False):
        numbers = re.findall(r"\d+\.\d", line)
        assert numbers == [
            f"{row[key] / one:.1f}" for key in ("outward_kpa", "inward_kpa", "inward_flooded_kpa")
        ]


def test_the_working_level_is_marked_at_its_volume(made):
    volume, depth = made.drawn["depth-volume"].anchors["working"]
    assert volume == made.results["shell.water_volume"].si
    assert depth == made.levels.water


def test_a_material_without_a_grading_is_named_as_such(changed):
    shown = " ".join(texts(changed(), "gradings"))
    assert "No grading is known for stiff clay (ground)." in shown


def test_a_scale_reads_from_its_start_to_its_end():
    scale = Scale(2.0, 1.0, ((2.0, "2"), (1.0, "1")), "x")
    assert [scale.share(value) for value in (2.0, 1.5, 1.0)] == [0.0, 0.5, 1.0]
    assert scale.numbers == "2, 1"


def test_steps_are_the_whole_multiples_within_a_range():
    assert steps(0.1, 0.7, 0.2) == pytest.approx((0.2, 0.4, 0.6))
    assert steps(0.0, 0.4, 0.2) == pytest.approx((0.0, 0.2, 0.4))


def test_a_nice_step_is_one_two_or_five_of_a_power_of_ten():
    # by hand: 34 / 5 = 6.8 parts, too many for 6; 34 / 10 = 3.4
    assert nice(34.0, 6) == pytest.approx(10.0)
    assert nice(20.9, 6) == pytest.approx(5.0)


@pytest.mark.parametrize("name", ["lift-strip", "story-pole", "wall-pressure"])
def test_a_job_without_a_plan_of_filling_says_so(changed, name):
    made = changed()

    class Without:
        groundwater = made.results.groundwater

        def __getitem__(self, key):
            number = made.results[key]
            return type(number)(key, number.words, None, "1", "", "", "") if key == "fill.stages" else number

    scene = SCENES[name](Reader(made.levels, Without(), made.results.groundwater))
    assert scene.long_description == ("There is no plan of filling for this job.",)


def test_the_dig_has_one_depth_in_figure_and_verdict(made):
    told = " ".join(made.drawn["dig-section"].long_description)
    depth = reader(made).mm("dig.depth_deep")
    assert f"The deepest part is {depth} below the ground." in told
    assert made.results["dig.people"].si == made.results["dig.depth_deep"].si
    assert made.results["dig.people"].safe_side == made.results["dig.depth_deep"].safe_side
    assert "mm" not in made.results["dig.people"].reason  # the depth is said once, beside it
