"""The valve's detail over a sump: the valve stays large, and a piece of the sump is left out."""

from __future__ import annotations

import pytest

from builder.figures import valve_parts
from builder.figures.reader import Reader

SUMP = "sump: {depth: <d>, width: <w>, fill: drainage-gravel-20}"


def shape(made):
    return valve_parts.shape_of(Reader(made.levels, made.results, made.results.groundwater))


@pytest.mark.parametrize("width", ["500 mm", "900 mm"])
def test_a_wide_sump_is_broken_and_the_valve_keeps_most_of_the_width(changed, width):
    made = changed(more=SUMP.replace("<d>", "250 mm").replace("<w>", width))
    found = shape(made)
    relief = made.levels.job.spec.shell.relief
    assert found.wide
    assert relief.flange / found.drawn_width > 2 / 3
    assert found.right > made.levels.job.spec.sump.width / 2  # one side of the sump is shown
    assert "a piece is left out" in made.drawn["valve-detail"].caption


def test_without_a_sump_nothing_is_left_out(changed):
    made = changed()
    assert not shape(made).wide
    assert not shape(made).deep
    assert shape(made).drawn_width == shape(made).right - shape(made).left
    assert "a piece is left out" not in made.drawn["valve-detail"].caption


def test_water_is_said_to_come_through_what_lies_under_the_valve(changed):
    plain = changed().drawn["valve-detail"]
    over = changed(more=SUMP.replace("<d>", "250 mm").replace("<w>", "500 mm")).drawn["valve-detail"]
    assert any("through the bedding" in line for line in plain.long_description)
    assert any("through the sump" in line for line in over.long_description)
