"""The placer: labels apart, in the frame, and uncrossed where that can be had, for any job."""

from __future__ import annotations

import itertools
import random

import pytest

from builder.figures import draw, marks
from builder.figures.arrange import CLEAR, Way, arranged
from builder.figures.ladder import ladder
from builder.figures.lettering import bold, width
from builder.figures.placer import Note, Span, along, place

LEFT, RIGHT = 7.0, 281.0


def boxes(placed):
    return [(one.x0, one.start, one.x1, one.start + one.height) for one in placed]


def overlapping(placed):
    found = boxes(placed)
    return [
        (one, other)
        for at, one in enumerate(found)
        for other in found[at + 1 :]
        if min(one[2], other[2]) > max(one[0], other[0])
        and min(one[3], other[3]) > max(one[1], other[1]) + 1e-9
    ]


@pytest.mark.parametrize("seed", range(60))
def test_texts_never_overlap_and_never_leave_the_frame_whatever_the_anchors(seed):
    chance = random.Random(seed)  # noqa: S311 - a fixed sequence, not a secret
    items = []
    for _ in range(chance.randint(1, 9)):
        x = chance.uniform(LEFT, RIGHT)
        lines = tuple("n" * chance.randint(4, 24) for _ in range(chance.randint(1, 3)))
        items.append(Note(lines, ((x, 0.0), (min(x + chance.uniform(0, 60), RIGHT), 0.0))))
    for _ in range(chance.randint(0, 2)):
        x = chance.uniform(LEFT + 15, RIGHT - 60)
        items.append(Span("8" * chance.randint(3, 20), (x, 0.0), (x + chance.uniform(4, 45), 0.0)))
    placed = place(items, LEFT, RIGHT)
    assert [one.item for one in placed] == items
    assert not overlapping(placed)
    assert all(LEFT <= one.x0 and one.x1 <= RIGHT for one in placed)


def test_no_leader_passes_through_a_text_on_its_way_to_its_own():
    items = [Note(("a fairly long label", "of two lines"), ((30.0 + 25 * at, 0.0),)) for at in range(8)]
    placed = place(items, LEFT, RIGHT)
    for text in placed:
        for other in placed:
            if other is not text:
                ((x, _),) = other.leaders
                assert not (text.x0 < x < text.x1 and text.start < other.start)


def test_two_labels_of_one_place_get_leaders_apart():
    here = ((100.0, 0.0),)
    one, other = place([Note(("tube foot",), here), Note(("pit base",), here)], LEFT, RIGHT)
    assert abs(one.leaders[0][0] - other.leaders[0][0]) >= 3.0


def test_a_label_takes_its_second_place_where_the_first_is_taken():
    taken = Note(("valve",), ((100.0, 0.0),))
    free = Note(("bedding",), ((101.0, 0.0), (150.0, 0.0)))
    _, placed = place([taken, free], LEFT, RIGHT)
    assert placed.leaders[0][0] == 150.0


def test_a_dimension_too_narrow_for_its_text_has_it_beside():
    (placed,) = place([Span("300 gap", (100.0, 0.0), (108.0, 0.0))], LEFT, RIGHT)
    assert placed.side in ("left", "right")
    assert placed.x0 > 108.0 or placed.x1 < 100.0


def test_nothing_to_place_is_no_fault():
    assert place([], LEFT, RIGHT) == ()
    assert arranged([]) == (0, [])


def _way(low, high, at):
    return Way(low, high, low, high, ((at, 0.0),), "right", 10.0, 0)


def test_labels_out_of_each_others_way_share_a_row():
    crossings, found = arranged([[_way(0, 50, 0)], [_way(80, 130, 80)]])
    assert crossings == 0
    assert [start for _, start in found] == [0.0, 0.0]


@pytest.mark.parametrize("seed", range(40))
def test_an_order_without_a_crossing_is_found_wherever_one_exists(seed):
    chance = random.Random(seed)  # noqa: S311 - a fixed sequence, not a secret
    items = []
    for _ in range(chance.randint(2, 5)):
        at = chance.uniform(0, 150)
        items.append(
            [_way(at - back, at + chance.uniform(10, 80), at) for back in (0.0, chance.uniform(5, 60))]
        )

    def crosses(nearer, farther):  # by the definition: a farther leader runs through a nearer text
        return nearer.low - CLEAR < farther.leaders[0][0] < nearer.high + CLEAR

    orders = itertools.permutations(range(len(items)))
    possible = any(
        not any(crosses(ways[a], ways[b]) for a, b in itertools.combinations(order, 2))
        for order in orders
        for ways in itertools.product(*items)
    )
    crossings, _ = arranged(items)
    assert (crossings == 0) == possible


def test_a_ladder_keeps_order_and_distance_and_moves_as_little_as_it_can():
    # by hand: two boxes of 10 wished at 50 and 52 stand at 46 and 56, the mean of the wishes kept
    assert ladder([50.0, 52.0], [10.0, 10.0], 0.0, 100.0) == pytest.approx((46.0, 56.0))
    assert ladder([20.0, 60.0], [10.0, 10.0], 0.0, 100.0) == pytest.approx((20.0, 60.0))
    assert ladder([2.0], [10.0], 0.0, 100.0) == pytest.approx((5.0,))
    assert ladder([99.0], [10.0], 0.0, 100.0) == pytest.approx((95.0,))


def test_places_along_a_line_start_in_its_middle():
    assert along((0.0, 1.0), (8.0, 1.0), 3)[0] == (4.0, 1.0)


def test_a_width_is_the_fonts_own():
    # published: a digit of DejaVu Sans is 1303/2048 of the size wide, 1425/2048 in bold (its hmtx table)
    assert width("7", 1.0) == pytest.approx(1303 / 2048, abs=1e-4)
    assert width(bold("7"), 1.0) == pytest.approx(1425 / 2048, abs=1e-4)


def test_no_leader_of_a_demo_job_passes_through_a_text(made, monkeypatch):
    arrangements = []

    def recorded(*args, **kwargs):
        placed = place(*args, **kwargs)
        arrangements.append(placed)
        return placed

    monkeypatch.setattr(marks, "place", recorded)
    for name in ("long-section", "cross-section", "plan"):
        draw(name, made.levels, made.results)
    assert len(arrangements) == 6
    for placed in arrangements:
        for text in placed:
            for other in placed:
                if other is not text and other.start > text.start:
                    assert not any(text.x0 < x < text.x1 for x, _ in other.leaders), (text.item, other.item)


def test_a_label_made_narrower_keeps_its_words_whole():
    spots = [((at, 0.0),) for at in (40.0, 70.0, 100.0, 130.0, 160.0, 190.0, 220.0, 250.0)]
    items = [Note(("groundwater not known:", "planned at ground level"), spot) for spot in spots]
    placed = place([*items, Span("1,590 inside", (85.0, 0.0), (205.0, 0.0))], LEFT, RIGHT)
    words = {word for one in placed for line in one.lines for word in line.split(" ")}
    assert words <= set("groundwater not known: planned at ground level 1,590 inside".split())
