"""Polygons into convex pieces, held against a general geometry library (shapely)."""

from __future__ import annotations

import math

from hypothesis import given
from hypothesis import strategies as st
from shapely.geometry import Polygon
from shapely.ops import unary_union

from nesting.irregular.convex import Point, convex_pieces


@st.composite
def stars(draw: st.DrawFn) -> list[Point]:
    """Corners around a middle, near and far in any order: simple, and mostly not convex."""
    radii = draw(st.lists(st.integers(2, 40), min_size=3, max_size=14))
    step = math.tau / len(radii)
    points = [(r * math.cos(n * step), r * math.sin(n * step)) for n, r in enumerate(radii)]
    return points if draw(st.booleans()) else points[::-1]


@given(stars())
def test_the_pieces_are_convex_and_make_up_the_polygon(points: list[Point]) -> None:
    whole = Polygon(points)
    pieces = [Polygon(piece) for piece in convex_pieces(points)]
    assert abs(sum(piece.area for piece in pieces) - whole.area) < 1e-9 * whole.area
    assert unary_union(pieces).symmetric_difference(whole).area < 1e-9 * whole.area
    for piece in pieces:
        assert piece.exterior.is_ccw
        assert piece.convex_hull.area - piece.area < 1e-9 * whole.area


def test_a_convex_polygon_stays_whole_and_an_l_becomes_two() -> None:
    octagon = [(math.cos(math.tau * n / 8), math.sin(math.tau * n / 8)) for n in range(8)]
    assert len(convex_pieces(octagon)) == 1
    assert len(convex_pieces([(0, 0), (6, 0), (6, 1), (1, 1), (1, 4), (0, 4)])) == 2
