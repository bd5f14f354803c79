"""Plan geometry: offsets by other methods, exact areas, and outlines that cannot be built."""

from __future__ import annotations

import math

import numpy as np
import pytest
import shapely
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from shapely.affinity import rotate
from shapely.geometry import MultiPolygon, Point, Polygon

from builder.plan import (
    Outline,
    chords,
    clearance,
    following,
    outline_of,
    pieces,
    preceding,
    rectangle,
    simple,
)

L_SHAPE = np.array([[0, 0], [7, 0], [7, 2], [3, 2], [3, 5], [0, 5]], dtype=float)


def star(radii: list[float], turn: float = 0.0) -> Outline:
    """A star-shaped polygon about (0, 0): simple whatever its radii, convex or not."""
    angles = np.linspace(0, 2 * math.pi, len(radii), endpoint=False) + turn
    return Outline(np.array(radii)[:, None] * np.column_stack([np.cos(angles), np.sin(angles)]))


STARS = st.lists(st.floats(2.0, 4.0), min_size=5, max_size=9).map(star)
CONVEX = st.lists(st.tuples(st.floats(-4, 4), st.floats(-2, 2)), min_size=6, max_size=12, unique=True).map(
    lambda points: shapely.convex_hull(shapely.MultiPoint(points))
)


def turns(outline: Outline) -> np.ndarray:
    """How far the outline turns to the left at each corner, in rad."""
    (x0, y0), (x1, y1) = preceding(outline.normals, 0).T, outline.normals.T
    return np.asarray(np.arctan2(x0 * y1 - y0 * x1, x0 * x1 + y0 * y1))


def same(one: shapely.Geometry, other: shapely.Geometry) -> bool:
    """Whether two shapes are the same within a micrometre.

    Snapped to a grid: without one the overlay routine can call two shapes that differ in the last
    binary digit of their corners strangers.
    """
    return bool(one.symmetric_difference(other, grid_size=1e-6).area < 1e-5)


# --- outlines ------------------------------------------------------------------------------------


def test_an_outline_runs_counter_clockwise_whichever_way_it_is_given() -> None:
    for ring in (L_SHAPE, L_SHAPE[::-1]):
        outline = Outline(ring)
        assert outline.polygon.exterior.is_ccw
        assert outline.polygon.area == pytest.approx(7 * 2 + 3 * 3)  # by hand
        assert outline.bounds == (0.0, 0.0, 7.0, 5.0)


def test_repeated_and_straight_points_are_dropped() -> None:
    ring = np.array([[0, 0], [2, 0], [2, 0], [4, 0], [4, 3], [4, 3], [0, 3], [0, 1.5], [0, 0]], dtype=float)
    assert len(Outline(ring).points) == 4


def test_which_outlines_are_convex() -> None:
    assert rectangle(8, 4).convex
    assert rectangle(8, 4, 0.5).convex
    assert not Outline(L_SHAPE).convex


@pytest.mark.parametrize(
    "points",
    [
        [[0, 0], [4, 4], [4, 0], [0, 4]],  # a bow tie
        [[0, 0], [4, 0], [4, 3], [2, 0], [0, 3]],  # touches itself at (2, 0)
        [[0, 0], [4, 0], [8, 0]],  # no area
        [[0, 0], [4, 0]],
        [[1, 1], [1, 1], [1, 1]],
    ],
)
def test_an_outline_that_crosses_or_touches_itself_is_refused(points: list[list[float]]) -> None:
    with pytest.raises(ValueError, match=r".+"):
        Outline(np.array(points, dtype=float))


def test_normals_point_outwards_and_are_of_unit_length() -> None:
    outline = Outline(L_SHAPE)
    assert np.hypot(*outline.normals.T) == pytest.approx(np.ones(6))
    middles = (outline.points + np.roll(outline.points, -1, axis=0)) / 2
    for middle, normal in zip(middles, outline.normals, strict=True):
        assert not outline.polygon.contains(Point(*(middle + 1e-6 * normal)))
        assert outline.polygon.contains(Point(*(middle - 1e-6 * normal)))


# --- rectangles, exact ---------------------------------------------------------------------------


@given(st.floats(2.0, 12.0), st.floats(1.5, 5.0), st.floats(0.0, 1.0))
def test_a_round_cornered_rectangle_has_its_true_area(length: float, width: float, share: float) -> None:
    radius = share * min(length, width) / 2
    outline = rectangle(length, width, radius)
    assert outline.polygon.area == pytest.approx(length * width - (4 - math.pi) * radius**2, rel=1e-9)
    assert outline.bounds == pytest.approx((0.0, 0.0, length, width), abs=1e-3 * radius + 1e-12)


def test_the_rim_of_a_round_cornered_rectangle_is_nearly_its_true_length() -> None:
    # By hand: 2 (8 + 4) - 8 r + 2 pi r with r = 0.5; the chords are within 0.1 % of the arcs.
    assert rectangle(8, 4, 0.5).polygon.length == pytest.approx(24 - 4 + math.pi, rel=1e-3)


def test_a_radius_larger_than_half_the_width_is_refused() -> None:
    with pytest.raises(ValueError, match="crosses or touches"):
        rectangle(8.0, 4.0, 2.5)


# --- offsets, exact ------------------------------------------------------------------------------


@given(st.floats(2.0, 12.0), st.floats(1.5, 5.0), st.floats(-0.7, 3.0))
def test_offsets_of_a_rectangle_are_rectangles(length: float, width: float, distance: float) -> None:
    moved = rectangle(length, width).offset(distance)
    assert moved.area == pytest.approx((length + 2 * distance) * (width + 2 * distance), rel=1e-9)
    assert moved.bounds == pytest.approx((-distance, -distance, length + distance, width + distance))


@pytest.mark.parametrize("distance", [-0.9, -0.4, 0.0, 0.6, 2.5])
def test_offsets_of_an_l_shape(distance: float) -> None:
    # By hand: a mitred offset of an L is an L, the inner corner at (3, 2) moves to (3 + d, 2 + d).
    d = distance
    by_hand = (7 + 2 * d) * (2 + 2 * d) + (3 + 2 * d) * 3
    assert Outline(L_SHAPE).offset(d).area == pytest.approx(by_hand, rel=1e-9)


def test_an_inset_that_leaves_nothing_is_empty() -> None:
    assert rectangle(8, 4).offset(-2.1).is_empty
    assert rectangle(8, 4, 0.5).offset(-2.1).is_empty


def test_an_inset_may_fall_into_two_pieces() -> None:
    # A dumb-bell with a neck 0.4 m wide: from an inset of 0.2 m on there are two rooms of (2 - 2d)^2.
    ring = [
        [0, 0],
        [2, 0],
        [2, 0.8],
        [4, 0.8],
        [4, 0],
        [6, 0],
        [6, 2],
        [4, 2],
        [4, 1.2],
        [2, 1.2],
        [2, 2],
        [0, 2],
    ]
    inset = Outline(np.array(ring, dtype=float)).offset(-0.3)
    assert isinstance(inset, MultiPolygon)
    assert [part.area for part in pieces(inset)] == pytest.approx([1.4**2, 1.4**2])


# --- offsets by other methods --------------------------------------------------------------------


@given(CONVEX, st.floats(0.01, 1.5), st.integers(0, 2**32 - 1))
@settings(max_examples=60)
def test_a_point_is_in_the_inset_of_a_convex_outline_where_every_wall_is_far_enough(
    hull: shapely.Geometry, distance: float, seed: int
) -> None:
    assume(isinstance(hull, Polygon) and hull.area > 1)
    assume(min(hull.length, hull.area) > 0.5 and len(hull.exterior.coords) >= 4)
    outline = Outline(np.asarray(hull.exterior.coords)[:-1])
    inset = outline.offset(-distance)
    points = np.random.default_rng(seed).uniform([-4, -2], [4, 2], (60, 2))
    # How far each point lies inside the line of each wall.
    inside = ((outline.points[None] - points[:, None]) * outline.normals[None]).sum(axis=2).min(axis=1)
    for point, depth in zip(points, inside, strict=True):
        if abs(depth - distance) > 1e-6:
            assert inset.contains(Point(*point)) == (depth > distance)


@given(STARS, st.floats(0.02, 1.0))
@settings(max_examples=60)
def test_insets_are_the_librarys_mitred_buffers(outline: Outline, distance: float) -> None:
    library = outline.polygon.buffer(-distance, join_style="mitre", mitre_limit=1e6)
    inset = outline.offset(-distance)
    assert same(inset, library)


@given(STARS, st.floats(0.01, 0.6))
@settings(max_examples=60)
def test_outsets_are_the_librarys_mitred_buffers(outline: Outline, distance: float) -> None:
    library = outline.polygon.buffer(distance, join_style="mitre", mitre_limit=1e6)
    outset = outline.offset(distance)
    assert same(outset, library)


@given(STARS, st.floats(0.01, 0.25))
@settings(max_examples=40)
def test_the_area_grows_by_the_length_of_the_rim(outline: Outline, distance: float) -> None:
    # A thin strip: d(area)/d(offset) is the perimeter; second order is the mitres, half their change.
    step = 1e-5
    grown, here = outline.offset(distance + step), outline.offset(distance)
    assume(isinstance(here, Polygon))
    assert (grown.area - here.area) / step == pytest.approx(here.length, rel=1e-3)


@given(STARS, st.lists(st.floats(-1.5, 0.5), min_size=1, max_size=8))
@settings(max_examples=40)
def test_many_offsets_at_once_are_the_single_ones(outline: Outline, distances: list[float]) -> None:
    many = outline.offsets(np.array(distances))
    assert len(many) == len(distances)
    for distance, moved in zip(distances, many, strict=True):
        assert same(moved, outline.offset(distance))


@given(STARS, st.floats(0, 360), st.floats(-0.8, 0.5))
@settings(max_examples=30)
def test_an_offset_does_not_know_which_way_the_outline_lies(outline: Outline, turn: float, by: float) -> None:
    turned = outline_of(rotate(outline.polygon, turn, origin=(0, 0)))
    assert turned.offset(by).area == pytest.approx(outline.offset(by).area, rel=1e-9, abs=1e-9)


@given(STARS, st.floats(0.05, 1.0), st.integers(0, 2**32 - 1))
@settings(max_examples=40)
def test_growing_round_reaches_every_point_within_the_distance(
    outline: Outline, distance: float, seed: int
) -> None:
    grown = outline.grown_round(distance, quad_segments=32).polygon
    chord = distance * (1 - math.cos(math.pi / 4 / 32)) + 1e-9  # what the chords of an arc may cut off
    for point in np.random.default_rng(seed).uniform(-5, 5, (60, 2)):
        away = outline.polygon.distance(Point(*point))
        if away < distance - chord:
            assert grown.covers(Point(*point))
        if away > distance + 1e-9:
            assert not grown.contains(Point(*point))


def test_growing_a_rectangle_round_by_hand() -> None:
    # L W + 2 (L + W) d + pi d^2, the arcs in 64 chords.
    grown = rectangle(8, 4).grown_round(0.3).polygon
    assert grown.area == pytest.approx(32 + 24 * 0.3 + math.pi * 0.09, rel=1e-4)


@given(STARS)
@settings(max_examples=60)
def test_an_inset_about_to_vanish_shrinks_to_nothing_without_a_spike(outline: Outline) -> None:
    # No point lies farther from the walls than the middle of the largest circle between them, and a
    # mitred inset takes nothing less away than all that lies nearer to a wall than its distance.
    assume(not outline.convex)
    widest = float(shapely.maximum_inscribed_circle(outline.polygon, tolerance=1e-7).length)
    before = outline.polygon
    for left in (0.3, 0.1, 1e-2, 1e-3, 1e-5, 1e-7, 0.0, -1e-6, -1e-3, -0.1):
        distance = widest * (1 - left)
        inset = outline.offset(-distance)
        assert inset.is_valid
        assert inset.area <= before.area + 1e-12
        assert inset.difference(before).area < 1e-9
        for part in pieces(inset):
            corners = shapely.points(np.asarray(part.exterior.coords))
            assert shapely.distance(corners, outline.polygon.exterior).min() > distance - 1e-9
        if left < 0:
            assert pieces(inset) == []
        before = inset


@given(STARS, st.floats(0.2, 3.0))
@settings(max_examples=60)
def test_round_growth_of_any_outline_is_all_that_lies_near_it(outline: Outline, distance: float) -> None:
    # The union of a finely drawn round strip about every wall. Chords of a = 90/16 degrees are short of
    # a corner's sector (turn d^2 / 2) by 1 - sin(a)/a = 0.0016 of it, and no point lies beyond the round.
    assume(not outline.convex)
    walls = shapely.linestrings(np.stack([outline.points, following(outline.points, 0)], axis=1))
    exact = shapely.union_all([outline.polygon, *shapely.buffer(walls, distance, quad_segs=256)])
    grown = outline.grown_round(distance)
    turned = turns(outline)
    assert grown.polygon.difference(exact).area < 1e-4 * distance**2  # the strips' own chords
    assert exact.area - grown.polygon.area < 0.0017 * turned[turned > 0].sum() * distance**2 / 2 + 1e-6
    assert (turns(grown) < -1e-6).sum() <= (turned < 0).sum()  # no teeth: no inner corner that was not there


# --- rings, many at once -------------------------------------------------------------------------


@given(STARS, st.lists(st.floats(-6.0, 6.0), min_size=1, max_size=12), st.floats(-9, 9))
@settings(max_examples=100)
def test_a_ring_is_simple_where_the_library_says_so(
    outline: Outline, distances: list[float], away: float
) -> None:
    rings = outline.points + np.array(distances)[:, None, None] * outline.mitres + away
    assert simple(rings).tolist() == shapely.is_valid(shapely.polygons(rings)).tolist()


def test_a_ring_that_goes_round_twice_is_not_simple() -> None:
    for round_, is_simple in ((1, True), (2, False)):  # a pentagon and a pentagram: to the left all the way
        turns = 2 * math.pi * round_ / 5 * np.arange(5)
        ring = np.column_stack([np.cos(turns), np.sin(turns)])
        assert simple(ring[None]).tolist() == [is_simple]


@given(st.integers(1, 5), st.integers(1, 9))
@settings(max_examples=20)
def test_neighbours_round_a_ring_are_those_of_a_roll(many: int, corners: int) -> None:
    rings = np.arange(many * corners * 2, dtype=float).reshape(many, corners, 2)
    for axis in (0, 1):
        assert (following(rings, axis) == np.roll(rings, -1, axis=axis)).all()
        assert (preceding(rings, axis) == np.roll(rings, 1, axis=axis)).all()


# --- pieces, chords, clearance -------------------------------------------------------------------


def test_pieces_come_largest_first_without_slivers() -> None:
    shape = MultiPolygon([shapely.box(0, 0, 1, 1), shapely.box(5, 0, 8, 2), shapely.box(9, 0, 9.0005, 0.001)])
    assert [part.area for part in pieces(shape)] == [6.0, 1.0]
    assert pieces(shapely.GeometryCollection([Point(0, 0), shapely.box(0, 0, 2, 1)]))[0].area == 2.0
    assert pieces(Point(0, 0)) == []


def test_the_outline_of_a_shape_is_its_largest_piece() -> None:
    shape = MultiPolygon([shapely.box(0, 0, 1, 1), shapely.box(5, 0, 8, 2)])
    assert outline_of(shape).bounds == (5.0, 0.0, 8.0, 2.0)
    with pytest.raises(ValueError, match="no area"):
        outline_of(Polygon())


def test_chords_across_a_shape() -> None:
    u_shape = Polygon([(0, 0), (6, 0), (6, 4), (4, 4), (4, 1), (2, 1), (2, 4), (0, 4)])
    assert chords(u_shape, y=2) == [(0.0, 2.0), (4.0, 6.0)]
    assert chords(u_shape, y=0.5) == [(0.0, 6.0)]
    assert chords(u_shape, x=3) == [(0.0, 1.0)]
    assert chords(u_shape, x=9) == []
    assert chords(u_shape, y=0.0) == [(0.0, 6.0)]


def test_a_chord_runs_along_one_of_x_and_y() -> None:
    for given_ in ({}, {"x": 1.0, "y": 1.0}):
        with pytest.raises(ValueError, match="one of x and y"):
            chords(shapely.box(0, 0, 1, 1), **given_)


def test_clearance_is_the_distance_to_the_nearest_wall() -> None:
    assert clearance(shapely.box(0, 0, 8, 4), 1.0, 1.5) == pytest.approx(1.0)
    assert clearance(shapely.box(0, 0, 8, 4), 4.0, 2.0) == pytest.approx(2.0)
    # To the inner corner of an L, by hand: from (2.7, 1.6) to (3, 2) is 0.5.
    assert clearance(Polygon(L_SHAPE), 2.7, 1.6) == pytest.approx(0.5)
