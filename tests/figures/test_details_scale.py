"""A detail's scale, measured on the drawing itself: what is so many millimetres wide is drawn so wide."""

from __future__ import annotations

import re
import xml.etree.ElementTree as ET

import pytest

from builder.figures import details
from builder.figures.breaks import Broken, left_out
from builder.figures.style import palette_css
from builder.figures.wording import Words

SVG = "{http://www.w3.org/2000/svg}"
FEET, METRIC = Words(feet=True), Words(feet=False)


def rings(drawn, role, *, stroke=False):
    """Every line or ring painted in a role, its points in millimetres of the printed figure."""
    root = ET.fromstring(drawn.svg)  # noqa: S314 - our own figure
    wide = float(root.get("viewBox").split()[2])
    mm = float(root.get("width").removesuffix("mm")) / wide
    found = []
    for path in root.findall(f"./{SVG}path"):
        if f"var(--fig-{role}," in path.get("stroke" if stroke else "fill", ""):
            for part in path.get("d").split("M")[1:]:
                numbers = [float(number) * mm for number in re.findall(r"-?\d+(?:\.\d+)?", part)]
                found.append(list(zip(numbers[::2], numbers[1::2], strict=True)))
    return found


def width(ring):
    return max(x for x, _ in ring) - min(x for x, _ in ring)


def height(ring):
    return max(y for _, y in ring) - min(y for _, y in ring)


def near(millimetres):
    return pytest.approx(millimetres, abs=0.08)  # points are written to a tenth: 0.035 mm at either end


def test_the_valve_of_every_demo_job_is_drawn_at_half_its_size(made):
    drawn, spec = made.drawn["valve-detail"], made.levels.job.spec
    bodies = rings(drawn, "valve")
    left = min(x for ring in bodies for x, _ in ring)
    right = max(x for ring in bodies for x, _ in ring)
    assert right - left == near(spec.shell.relief.flange * 1000 / 2)
    for ring in rings(drawn, "laminate"):
        assert height(ring) == near(spec.shell.floor_thickness * 1000 / 2)
    assert "drawn at half its true size when printed" in drawn.caption


def test_the_slots_of_every_demo_job_are_drawn_at_their_true_size(made):
    drawn, spec = made.drawn["standpipe-cut"], made.levels.job.spec.standpipe
    slots = [ring for ring in rings(drawn, "ink") if len(ring) == 4]
    assert len(slots) == 2
    for ring in slots:
        assert width(ring) == near(spec.slot_length * 1000)
        assert height(ring) == near(spec.slot_width * 1000)
    middles = sorted(sum(y for _, y in ring) / 4 for ring in slots)
    assert middles[1] - middles[0] == near(spec.pitch * 1000)
    assert "drawn at its true size when printed" in drawn.caption


def test_the_lid_of_every_demo_job_is_drawn_at_a_fifth_of_its_size(made):
    drawn, spec = made.drawn["lid-detail"], made.levels.job.spec
    lid = max(rings(drawn, "valve"), key=width)  # the other is the lid's mark in the plan
    assert width(lid) == near(spec.standpipe.lid.width * 1000 / 5)
    assert height(lid) == near(spec.standpipe.lid.thickness * 1000 / 5)
    beam = spec.ring_beam.width * 1000 / 5, spec.ring_beam.depth * 1000 / 5
    assert any((width(ring), height(ring)) == near(beam) for ring in rings(drawn, "concrete"))
    assert "drawn at a fifth of its true size when printed" in drawn.caption


@pytest.mark.parametrize("name", ["valve-detail", "standpipe-cut", "lid-detail"])
def test_a_scale_is_said_the_same_in_caption_and_words(made, name):
    drawn = made.drawn[name]
    said = re.search(r"drawn at [^.;,]* wide", drawn.caption)
    assert said is not None
    assert any(said[0] in line for line in drawn.long_description)
    assert said[0].endswith(
        "printed 4\u2033 wide" if made.levels.job.region.units == "us" else "100\u00a0mm wide"
    )


@pytest.mark.parametrize("name", ["valve-detail", "standpipe-cut", "lid-detail"])
def test_a_figure_to_scale_is_as_wide_by_itself_as_it_says(made, name):
    feet = made.levels.job.region.units == "us"
    root = ET.fromstring(made.drawn[name].svg)  # noqa: S314 - our own figure
    assert root.get("width") == ("101.6mm" if feet else "100mm")
    assert root.get("class") == ("fig to-scale inches" if feet else "fig to-scale")


def test_the_page_prints_a_figure_to_scale_as_wide_as_it_says():
    css = palette_css()
    assert details.PRINTED == 0.1
    assert details.FEET_PRINTED == pytest.approx(0.1016)  # by hand: 4 x 25.4 mm
    assert "@media print{.fig.to-scale{box-sizing:content-box;width:100mm;max-width:none}" in css
    assert ".fig.to-scale.inches{width:4in}" in css


def test_other_figures_fill_their_frame_and_say_no_scale(made):
    for name in ("long-section", "plan", "dip-gauge"):
        assert 'class="fig"' in made.drawn[name].svg
        assert "when printed" not in made.drawn[name].caption


def test_what_is_too_large_for_its_scale_takes_the_next_smaller_one():
    # by hand: 1 to 1 gives 288 points for 100 mm, so 0.2 m take 576 points, 288 at 1 to 2, 192 at 1 to 3
    for room, down in ((600.0, 1), (576.0, 1), (575.0, 2), (288.0, 2), (287.0, 3)):
        assert details.fitting(1, 0.2, room, METRIC).down == down
    assert details.fitting(2, 0.01, 288.0, METRIC).down == 2  # never larger than was asked for
    assert details.fitting(1, 0.1016, 288.0, FEET).down == 1
    with pytest.raises(ValueError, match="has no scale"):
        details.fitting(1, 500.0, 288.0, METRIC)


def test_a_valve_too_wide_says_the_scale_it_is_drawn_at(changed):
    steps = 'steps", at: [0 m, 0 m], size: [0.9 m, 3.4 m], depth: 400 mm}]'
    drawn = changed(ledge=f"{steps}\n  relief: {{throat: 150 mm, flange: 260 mm}} #").drawn["valve-detail"]
    bodies = rings(drawn, "valve")
    wide = max(x for ring in bodies for x, _ in ring) - min(x for ring in bodies for x, _ in ring)
    said = re.search(r"drawn at 1/(\d+) of its true size|drawn at a (quarter|fifth)", drawn.caption)
    assert said is not None
    down = {"quarter": 4, "fifth": 5}.get(said[2]) or int(said[1])
    assert wide == near(260 / down)


def test_what_is_left_out_lies_on_the_break_and_the_rest_keeps_its_scale():
    view = Broken(1000.0, -0.2, 0.0, 0.0, 0.0, wide=((0.1, 0.2),), deep=((1.0, 1.5), (1.7, 1.9)))
    assert view.x(0.15) == pytest.approx(view.x(0.1))  # in the piece left out
    assert view.x(0.25) - view.x(0.2) == pytest.approx(50.0)  # 0.05 m at 1000 points a metre
    assert view.x(0.2) == pytest.approx(view.x(0.1))
    assert view.y(1.6) - view.y(0.9) == pytest.approx(200.0)  # 0.7 m less the 0.5 m left out
    assert view.y(2.0) - view.y(0.9) == pytest.approx(400.0)  # 1.1 m less 0.5 m and 0.2 m


def test_a_layer_is_cut_only_where_it_is_thicker_than_it_may_be():
    assert left_out(1.0, 1.1, 0.1 + 1e-9, 0.06) == ()
    # by hand: 200 mm thick, 60 mm kept, half above and half below
    assert left_out(1.0, 1.2, 0.1, 0.06) == ((pytest.approx(1.03), pytest.approx(1.17)),)
