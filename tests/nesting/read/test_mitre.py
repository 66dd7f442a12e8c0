"""The bar a mitred part takes: never too little, never a tick too much."""

from __future__ import annotations

import math
from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from nesting.job import Lean, Measured
from nesting.read.mitre import mitred_extent, shortest_length, tangent
from stock.errors import BadLength
from stock.length import PER_INCH

angles = st.decimals(0, Decimal("89.9"), places=2)
depths = st.integers(1, 10 * PER_INCH)
extra_lengths = st.integers(0, 500 * PER_INCH)


@given(angles)
def test_the_tangent_is_that_of_the_maths_library(degrees: Decimal) -> None:
    assert float(tangent(degrees)) == pytest.approx(math.tan(math.radians(float(degrees))), rel=1e-9)


@given(angles, angles, depths, extra_lengths)
def test_one_part_measured_three_ways_takes_the_same_bar(
    a: Decimal, b: Decimal, depth: int, more: int
) -> None:
    slope = depth * (tangent(a) + tangent(b))
    short = math.ceil(slope) + more
    from_short = mitred_extent(short, depth, (a, b), "opposite", "short")
    assert from_short - 1 < short + slope <= from_short
    assert mitred_extent(from_short, depth, (a, b), "opposite", "long") == from_short
    centre = short + math.ceil(slope / 2)
    assert 0 <= mitred_extent(centre, depth, (a, b), "opposite", "centre") - from_short <= 1


@given(angles, angles, depths, extra_lengths)
def test_ends_that_lean_alike_reach_beyond_the_longer_edge_by_the_lesser_slope(
    a: Decimal, b: Decimal, depth: int, more: int
) -> None:
    length = math.ceil(depth * abs(tangent(a) - tangent(b))) + more
    reach: Fraction = length + depth * tangent(min(a, b))
    extent = mitred_extent(length, depth, (a, b), "same", "long")
    assert extent - 1 < reach <= extent or abs(extent - reach) < Fraction(1, 10**30)


def test_a_point_that_just_vanishes_is_cut_and_less_is_refused() -> None:
    right = (Decimal(45), Decimal(45))
    assert mitred_extent(4 * PER_INCH, 2 * PER_INCH, right, "opposite", "long") == 4 * PER_INCH
    with pytest.raises(BadLength, match="the two mitres meet"):
        mitred_extent(4 * PER_INCH - 1, 2 * PER_INCH, right, "opposite", "long")


@given(angles, angles, depths, st.sampled_from(["opposite", "same"]), st.sampled_from(["long", "centre"]))
def test_the_shortest_length_is_just_long_enough(
    a: Decimal, b: Decimal, depth: int, lean: Lean, measured: Measured
) -> None:
    """A tick less, and the mitres meet before the part ends."""
    least = shortest_length(depth, (a, b), lean, measured)
    assert mitred_extent(least, depth, (a, b), lean, measured) >= least
    if least:
        with pytest.raises(BadLength, match="the two mitres meet"):
            mitred_extent(least - 1, depth, (a, b), lean, measured)
