"""Lines of a cut moved and cut, and text broken into lines, each by hand."""

from __future__ import annotations

import math

import pytest

from builder.figures.lettering import BOLD, PLAIN, bold, inline, spoken, width, wrapped
from builder.figures.lines import below, cut, moved, plainer, within

SQUARE = [(0.0, 0.0), (4.0, 0.0), (4.0, 2.0), (0.0, 2.0)]


def test_a_line_from_left_to_right_moves_up_by_its_distance():
    assert moved([(0.0, 2.0), (4.0, 2.0)], 0.5) == [(0.0, 1.5), (4.0, 1.5)]


def test_a_corner_moves_along_its_mitre():
    # down a wall and along a floor: both lie half a metre further in
    assert moved([(0.0, 0.0), (0.0, 2.0), (4.0, 2.0)], 0.5)[1] == pytest.approx((0.5, 1.5))


def test_a_slope_moves_square_to_itself():
    # 45 degrees down: the way (1, 1)/sqrt 2 has the normal (1, -1)/sqrt 2
    line = moved([(0.0, 0.0), (2.0, 2.0)], math.sqrt(2))
    assert line[0] == pytest.approx((1.0, -1.0))
    assert line[1] == pytest.approx((3.0, 1.0))


def test_a_ring_is_cut_at_a_level_and_between_two_sides():
    assert sorted(below(SQUARE, 1.5)) == [(0.0, 1.5), (0.0, 2.0), (4.0, 1.5), (4.0, 2.0)]
    assert {x for x, _ in within(SQUARE, 1.0, 3.0)} == {1.0, 3.0}
    assert below(SQUARE, 3.0) == []


def test_a_line_passes_a_level_where_its_depth_is_that_level():
    # from 0 to 2 over 4 m: at half the depth after half the way
    assert cut([(0.0, 0.0), (4.0, 2.0), (8.0, 0.0)], 1.0) == [2.0, 6.0]


def test_wrapped_lines_keep_within_their_room_and_lose_no_word():
    text = "sump, 20 mm drainage gravel washed and crushed"
    lines = wrapped(text, 90.0)
    assert len(lines) > 1
    assert all(width(line, 9.0) <= 90.0 for line in lines)
    assert " ".join(lines) == text


def test_bold_goes_on_over_a_lines_end():
    lines = wrapped("size " + bold("one thousand and one millimetres"), 70.0)
    assert all(line.count(BOLD) == line.count(PLAIN) for line in lines)
    assert " ".join(spoken(line) for line in lines) == "size one thousand and one millimetres"
    assert lines[-1].startswith(BOLD)


def test_a_word_wider_than_its_room_is_cut():
    lines = wrapped("n" * 60, 90.0)
    assert "".join(lines) == "n" * 60
    assert all(width(line, 9.0) <= 90.0 for line in lines)


def test_a_name_within_a_sentence_starts_small_unless_it_is_an_abbreviation():
    assert inline("Washed coarse sand") == "washed coarse sand"
    assert inline("PVC mesh") == "PVC mesh"
    assert inline("") == ""


def test_a_plainer_line_keeps_its_bends_and_loses_what_is_too_fine():
    # by hand: the middle point lies 0.01 off the straight line, the corner 1 off
    assert plainer([(0, 0), (1, 0.01), (2, 0), (2, 1)], 0.02) == [(0, 0), (2, 0), (2, 1)]
    assert plainer([(0, 0), (1, 0.01), (2, 0), (2, 1)], 0.005) == [(0, 0), (1, 0.01), (2, 0), (2, 1)]
    assert plainer([(0, 0), (1, 0)], 1.0) == [(0, 0), (1, 0)]


def test_nothing_lies_below_a_level_where_there_is_nothing():
    assert below([], 1.0) == []
