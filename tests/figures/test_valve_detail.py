"""The valve's detail over a sump: the valve stays large, and a piece of the sump is left out."""

from __future__ import annotations

import pytest

from builder.figures import valve_parts
from builder.figures.reader import Reader

SUMP = "sump: {depth: <d>, width: <w>, fill: drainage-gravel-20}"


def shape(made):
    return valve_parts.shape_of(Reader(made.levels, made.results, made.results.groundwater))


@pytest.mark.parametrize("width", ["500 mm", "900 mm"])
def test_a_wide_sump_is_broken_and_the_valve_keeps_a_third_of_the_width(changed, width):
    made = changed(more=SUMP.replace("<d>", "250 mm").replace("<w>", width))
    found = shape(made)
    relief = made.levels.job.spec.shell.relief
    assert found.broken
    assert relief.flange / (2 * found.drawn_half) > 1 / 3.2
    assert found.half > made.levels.job.spec.sump.width / 2  # both sides of the sump are shown
    assert "Break lines" in made.drawn["valve-detail"].caption


def test_without_a_sump_nothing_is_left_out(changed):
    made = changed()
    assert not shape(made).broken
    assert shape(made).drawn_half == shape(made).half
    assert "Break lines" not in made.drawn["valve-detail"].caption


def test_water_is_said_to_come_through_what_lies_under_the_valve(changed):
    plain = changed().drawn["valve-detail"]
    over = changed(more=SUMP.replace("<d>", "250 mm").replace("<w>", "500 mm")).drawn["valve-detail"]
    assert any("through the bedding" in line for line in plain.long_description)
    assert any("through the sump" in line for line in over.long_description)


def test_what_is_left_out_lies_on_the_break_and_the_rest_keeps_its_scale():
    view = valve_parts.Broken(1000.0, -0.2, 0.0, 0.0, 0.0, wide=(0.1, 0.2), deep=(1.0, 1.5))
    assert view.x(0.15) == pytest.approx(view.x(0.1))  # in the piece left out
    assert view.x(0.25) - view.x(0.2) == pytest.approx(50.0)  # 0.05 m at 1000 points a metre
    assert view.x(0.2) == pytest.approx(view.x(0.1))
    assert view.x(-0.25) - view.x(0.0) == pytest.approx(-(view.x(0.25) - view.x(0.0)))
    assert view.y(1.6) - view.y(0.9) == pytest.approx(200.0)  # 0.7 m less the 0.5 m left out
