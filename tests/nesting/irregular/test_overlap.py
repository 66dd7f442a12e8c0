"""The measure of overlap, held against a general geometry library (shapely)."""

from __future__ import annotations

from hypothesis import assume, given
from hypothesis import strategies as st
from shapely.affinity import translate
from shapely.geometry import Polygon

from nesting.irregular.convex import Point
from nesting.irregular.search import pair_depth
from nesting.irregular.tables import tables_of
from tests.nesting.irregular.test_convex import stars


@given(stars(), stars(), st.floats(-60, 60), st.floats(-60, 60))
def test_shapes_have_a_depth_just_where_they_overlap(
    a: list[Point], b: list[Point], dx: float, dy: float
) -> None:
    first, second = Polygon(a), translate(Polygon(b), dx, dy)
    shared = first.intersection(second).area
    assume(first.distance(second) > 1e-6 or shared > 1e-6)  # a touch is either in doubles
    assert (pair_depth(0, 1, dx, dy, *tables_of([a, b])) > 1e-12) == (shared > 1e-6)


@given(stars(), stars(), st.floats(-60, 60), st.floats(-60, 60))
def test_the_depth_is_the_same_from_both_sides(a: list[Point], b: list[Point], dx: float, dy: float) -> None:
    tables = tables_of([a, b])
    there, back = pair_depth(0, 1, dx, dy, *tables), pair_depth(1, 0, -dx, -dy, *tables)
    assert abs(there - back) <= 1e-9 * max(1.0, there)


def test_squares_are_as_deep_in_each_other_as_they_must_be_moved_apart() -> None:
    square = [(0.0, 0.0), (10.0, 0.0), (10.0, 10.0), (0.0, 10.0)]
    tables = tables_of([square])
    assert pair_depth(0, 0, 7.0, 2.0, *tables) == 3.0
    assert pair_depth(0, 0, 10.0, 2.0, *tables) == 0.0
