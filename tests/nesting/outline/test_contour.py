"""Contours against closed forms, against a general geometry library (shapely), and against themselves when moved."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapely.geometry import Polygon

from nesting.outline.contour import Contour, Vertex, arc_between, circle, polygon
from nesting.outline.flatten import flattened

bulges = st.one_of(st.just(0.0), st.floats(-0.4, 0.4))


@st.composite
def contours(draw: st.DrawFn) -> Contour:
    """Corners around a middle, far enough apart that edges bent a little do not cross."""
    count = draw(st.integers(3, 9))
    radii = [draw(st.floats(50, 60)) for _ in range(count)]
    bend = [draw(bulges) * min(1.0, 3 / count) for _ in range(count)]
    return Contour(
        tuple(
            Vertex(r * math.cos(math.tau * n / count), r * math.sin(math.tau * n / count), b)
            for n, (r, b) in enumerate(zip(radii, bend, strict=True))
        )
    )


def test_a_circle_has_the_area_and_length_of_the_closed_forms() -> None:
    disc = circle(3, 4, 10)
    assert disc.area == pytest.approx(math.pi * 25, rel=1e-14)
    assert disc.length == pytest.approx(math.pi * 10, rel=1e-14)
    assert disc.centre == pytest.approx((3, 4))
    assert disc.bounds == pytest.approx((-2, -1, 8, 9))


def test_half_a_disc_has_its_centre_four_thirds_of_r_over_pi_from_the_straight_edge() -> None:
    """Handbook value: 4 r / (3 pi) from the diameter."""
    half = Contour((Vertex(-6, 0), Vertex(6, 0, 1.0)))
    assert half.area == pytest.approx(math.pi * 18)
    assert half.centre == pytest.approx((0, 8 / math.pi))


def test_an_arc_of_nearly_a_whole_circle_keeps_its_radius() -> None:
    arc = arc_between(Vertex(0, 0, math.tan(math.radians(359) / 4)), (0.1, 0))
    chord = 2 * arc.radius * math.sin(math.radians(0.5))
    assert chord == pytest.approx(0.1)
    assert math.degrees(arc.sweep) == pytest.approx(359)


@given(contours())
def test_area_centre_and_length_are_those_of_a_fine_polygon(contour: Contour) -> None:
    fine = Polygon(flattened(contour, 1e-5))
    assert fine.is_valid
    assert contour.area == pytest.approx(fine.area, rel=1e-5)
    assert contour.length == pytest.approx(fine.length, rel=1e-4)
    assert contour.centre == pytest.approx((fine.centroid.x, fine.centroid.y), abs=1e-3)
    assert contour.bounds == pytest.approx(fine.bounds, abs=1e-4)


@given(contours(), st.floats(-100, 100), st.floats(-360, 360), st.booleans())
def test_moving_and_mirroring_keep_area_and_length(
    contour: Contour, shift: float, degrees: float, is_mirrored: bool
) -> None:
    moved = contour.moved(shift, -shift, degrees, is_mirrored)
    assert moved.area == pytest.approx(contour.area, rel=1e-9)
    assert moved.length == pytest.approx(contour.length, rel=1e-9)
    assert moved.is_left_turning != is_mirrored
    assert moved.left_turning().is_left_turning


def test_a_quarter_turn_is_exact() -> None:
    assert polygon([(0, 0), (3, 0), (0, 2)]).moved(0, 0, 90).vertices[1:] == (Vertex(0, 3), Vertex(-2, 0))


@given(contours(), st.floats(1e-3, 2))
def test_flattening_is_on_the_safe_side_and_within_the_tolerance(contour: Contour, tolerance: float) -> None:
    """What is cut around never gets smaller, a hole never larger; a fine polygon stands for the true curve."""
    true = Polygon(flattened(contour, 1e-4, is_hole=True)), Polygon(flattened(contour, 1e-4))
    outer, hole = Polygon(flattened(contour, tolerance)), Polygon(flattened(contour, tolerance, is_hole=True))
    assert true[0].difference(outer).area <= 1e-6
    assert hole.difference(true[1]).area <= 1e-6
    assert outer.difference(true[1].buffer(tolerance * 1.0001 + 1e-4)).area <= 1e-6
    assert true[0].buffer(-tolerance * 1.0001 - 1e-4).difference(hole).area <= 1e-6
