"""A drawing shared out over sheets: pieces that fit, cuts that spare what should stay whole."""

from __future__ import annotations

from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from builder.figures.tiling import LAP, cuts, pieces


def test_a_drawing_that_fits_is_one_piece():
    assert cuts(60.0, 60.0) == (0.0, 60.0)


def test_pieces_are_alike():
    # by hand: 100 mm on sheets of 60 with 10 of lap: two, of 50 each
    assert cuts(100.0, 60.0) == pytest.approx((0.0, 50.0, 100.0))


def test_a_cut_goes_round_what_should_stay_whole():
    # by hand: an even cut at 50 would go through 45 to 55; the farthest before it that doesn't is 45, the
    # farthest at all is 50, so two pieces, cut at 45
    assert cuts(100.0, 60.0, [(45.0, 55.0)]) == pytest.approx((0.0, 45.0, 100.0))


def test_a_sheet_that_takes_no_more_than_a_lap_is_refused():
    with pytest.raises(ValueError, match="no room"):
        cuts(100.0, LAP)


@given(
    length=st.floats(1, 3000),
    room=st.floats(60, 500),
    pitch=st.floats(3, 300),
)
def test_pieces_cover_the_whole_and_each_fits_with_its_lap(length, room, pitch):
    whole = [(pitch * n + pitch / 3, pitch * n + pitch / 2) for n in range(int(length / pitch))]
    found = cuts(length, room, whole)
    assert (found[0], found[-1]) == (0.0, length)
    gaps = [b - a for a, b in pairwise(found)]
    assert all(gap > 0 for gap in gaps)
    assert all(gap + LAP <= room + 1e-6 for gap in gaps[:-1])
    assert gaps[-1] <= room + 1e-6
    if pitch < room / 4:
        assert not [cut for cut in found[1:-1] for low, high in whole if low < cut < high]


def test_both_pieces_at_a_join_have_the_same_marks_and_name_each_other():
    grid = pieces((0.0, 80.0, 150.0), (0.0, 90.0, 200.0), (), ())
    assert [piece.number for piece in grid] == [1, 2, 3, 4]
    one, two, three, four = grid
    assert one.right.marks == two.left.marks
    assert one.below.marks == three.above.marks
    assert four.left.marks == three.right.marks
    assert (one.right.neighbour, two.left.neighbour, four.above.neighbour) == (2, 1, 2)
    names = [name for piece in grid for _, join in piece.joins for name, _ in join.marks]
    assert sorted(names) == sorted(2 * sorted(set(names)))
    # by hand: a core of 80 by 90 that goes on both ways shows 10 more of each
    assert one.shown == (0.0, 0.0, 90.0, 100.0)
    assert four.shown == (80.0, 90.0, 150.0, 200.0)
