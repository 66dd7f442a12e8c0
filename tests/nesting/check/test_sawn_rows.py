"""Rows of mitred pieces, sawn: exact outlines of the pieces and of what every cut takes, in fractions.

Slopes are those of right triangles with whole sides, 3-4-5 and the like, so that the cuts' widths are exact as well.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction
from itertools import pairwise
from typing import TypeAlias

from hypothesis import given
from hypothesis import strategies as st

from nesting.check.mitres import Face, least_gap, secant

Point: TypeAlias = tuple[Fraction, Fraction]
Outline: TypeAlias = tuple[Point, ...]
"""Corners of a convex shape, in order round it."""

_TRIANGLES = ((3, 4, 5), (4, 3, 5), (5, 12, 13), (8, 15, 17))
_SLOPES = [Fraction(0), *(sign * Fraction(a, b) for a, b, _ in _TRIANGLES for sign in (1, -1))]
_SECANT = {Fraction(0): Fraction(1), **{Fraction(a, b): Fraction(c, b) for a, b, c in _TRIANGLES}}
"""How much longer a slanted cut is along the bar: hypotenuse over side (Pythagoras)."""
_DEPTH = 240

slopes = st.sampled_from(_SLOPES)
pieces = st.tuples(slopes, slopes, st.integers(1, 400))
"""Slopes of the first and the last face, and ticks of the shorter edge."""


def outline(first: Fraction, last: Fraction, short: int) -> tuple[Outline, Fraction, Fraction]:
    """A piece with the foremost point of its first face at 0; where its first and last points are."""
    half = Fraction(_DEPTH, 2)
    apart = short + max((first - last) * y for y in (-half, half))
    corners = [
        (first * -half, -half),
        (apart + last * -half, -half),
        (apart + last * half, half),
        (first * half, half),
    ]
    start = min(x for x, _ in corners)
    placed = tuple((x - start, y) for x, y in corners)
    return placed, Fraction(0), max(x for x, _ in placed)


def moved(shape: Outline, by: Fraction | int) -> Outline:
    return tuple((x + by, y) for x, y in shape)


def laid(row: Sequence[tuple[Fraction, Fraction, int]], kerf: int, nearer: int = -1) -> list[Outline]:
    """The pieces of a row, each as near to the one before as the check says; at one place a tick nearer."""
    shapes, at = [], Fraction(0)
    for n, (first, last, short) in enumerate(row):
        shape, _, end = outline(first, last, short)
        if n:
            at += least_gap(_face(row[n - 1][1]), _face(first), kerf) - (n == nearer)
        shapes.append(moved(shape, at))
        at += end
    return shapes


def _face(slope: Fraction) -> Face:
    return Face(slope, _DEPTH, "wide")


def overlap(one: Outline, other: Outline) -> bool:
    """Whether two convex shapes share more than their edges: no edge of either has them on its two sides."""
    for shape in (one, other):
        for (x, y), (u, v) in pairwise((*shape, shape[0])):
            normal = (v - y, x - u)
            if not any(normal):
                continue
            sides = [[a * normal[0] + b * normal[1] for a, b in each] for each in (one, other)]
            if max(sides[0]) <= min(sides[1]) or max(sides[1]) <= min(sides[0]):
                return False
    return True


def bands(before: Outline, after: Outline, kerf: int) -> Iterator[Outline]:
    """What the first cut between two pieces may take.

    Along the last face of the one before, along the first face of the one behind, or square between their points.
    """
    (_, (a, low), (b, high), _), ((c, _), _, _, (d, _)) = before, after
    wide = kerf * _SECANT[abs(b - a) / _DEPTH]
    yield ((a, low), (a + wide, low), (b + wide, high), (b, high))
    wide = kerf * _SECANT[abs(d - c) / _DEPTH]
    yield ((c - wide, low), (c, low), (d, high), (d - wide, high))
    end, start = max(a, b), min(c, d)
    if start - end >= kerf:
        yield ((end, low), (end + kerf, low), (end + kerf, high), (end, high))


def can_be_sawn(shapes: Sequence[Outline], kerf: int) -> list[bool]:
    """Of each place between two pieces whether some first cut frees the one before and spares all the others.

    Once that is off the stick, the second cut of the place, along the other face, goes through waste alone.
    """
    found = []
    for n, (before, after) in enumerate(pairwise(shapes)):
        behind = shapes[n + 1 :]
        found.append(
            any(
                not any(overlap(band, other) for other in behind) and not overlap(band, before)
                for band in bands(before, after, kerf)
            )
        )
    return found


@given(st.lists(pieces, min_size=2, max_size=4), st.integers(1, 200))
def test_every_row_laid_as_near_as_the_check_allows_can_be_sawn(
    row: list[tuple[Fraction, Fraction, int]], kerf: int
) -> None:
    """No piece overlaps another, and no cut touches a piece, not even one behind a sliver between them."""
    shapes = laid(row, kerf)
    assert all(can_be_sawn(shapes, kerf))
    assert not any(overlap(one, other) for n, one in enumerate(shapes) for other in shapes[n + 1 :])


@given(pieces, pieces, st.integers(1, 200))
def test_a_tick_nearer_no_cut_fits_between(
    one: tuple[Fraction, Fraction, int], other: tuple[Fraction, Fraction, int], kerf: int
) -> None:
    """So what the check calls due is the least there is."""
    assert can_be_sawn(laid([one, other], kerf, nearer=1), kerf) == [False]


@given(slopes)
def test_the_check_knows_the_secants_of_whole_triangles(slope: Fraction) -> None:
    assert abs(secant(slope) - _SECANT[abs(slope)]) < Fraction(1, 10**60)
