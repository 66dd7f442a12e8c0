"""Mitred ends: legal turns and least gaps, against hand arithmetic and the geometry itself."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction
from math import isclose, radians, tan

import pytest
from hypothesis import given
from hypothesis import strategies as st

from nesting.job import Part
from nesting.rules.turns import End, Turn, down, ends_of, gap, half_cut, secant, tangent, toll, turns_of, up
from stock.length import PER_INCH
from stock.material import parse_material

INCH = PER_INCH
ANGLES = [Decimal(a) for a in ("0", "15", "22.5", "30", "45", "60", "75")]


def mitred(section: str, **more: object) -> Part:
    """A part 24 in from point to point, both ends 45 degrees."""
    given: dict[str, object] = {"end_a": Decimal(45), "end_b": Decimal(45)} | more
    return Part(
        mark="P",
        qty=1,
        material=parse_material(section, unit="in"),
        length=24 * INCH,
        extent=24 * INCH,
        **given,  # type: ignore[arg-type]
    )


def end(angle: Decimal, sign: int, depth: int, plane: str = "wide") -> End:
    """An end by its angle from square and the sign of its slope."""
    return End(plane, sign * tangent(angle), depth)  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("section", "more", "ways"),
    [
        ("tube 2 x 2 x 1/8", {}, {(e, r) for e in "ab" for r in range(4)}),
        ("square 1", {}, {(e, r) for e in "ab" for r in range(4)}),
        ("round 1", {}, {(e, r) for e in "ab" for r in range(4)}),
        ("tube 3 x 2 x 1/8", {}, {(e, r) for e in "ab" for r in (0, 2)}),
        ("flat 1/4 x 2", {}, {(e, r) for e in "ab" for r in (0, 2)}),
        ("C3x4.1", {}, {("a", 0), ("b", 0)}),
        ("C3x4.1", {"plane": "narrow"}, {("a", 0), ("b", 2)}),
        ("angle 2 x 2 x 1/4", {}, {("a", 0)}),
        ("tube 2 x 2 x 1/8", {"flip": False}, {("a", 0), ("b", 0)}),
        ("C3x4.1", {"plane": "narrow", "flip": False}, {("a", 0)}),
        ("tube 2 x 2 x 1/8", {"end_a": Decimal(0), "end_b": Decimal(0)}, {("a", 0)}),
    ],
)
def test_a_part_lies_in_every_way_that_maps_its_section_onto_itself(
    section: str, more: dict[str, object], ways: set[tuple[str, int]]
) -> None:
    """Turns follow from the symmetry of the section (derived); a part that must not be turned over keeps its face."""
    assert set(turns_of(mitred(section, **more))) == ways


def test_turned_end_for_end_a_slope_stays_and_rolled_by_half_it_changes_sign() -> None:
    part = mitred("tube 2 x 2 x 1/8", end_b=Decimal(30))
    a, b = ends_of(part, Turn())
    assert a.slope == 1
    assert b.slope < 0
    assert ends_of(part, Turn("b", 0)) == (b, a)
    rolled = ends_of(part, Turn("a", 2))
    assert [e.slope for e in rolled] == [-a.slope, -b.slope]
    quarter = ends_of(part, Turn("a", 1))
    assert [(e.plane, e.slope) for e in quarter] == [("narrow", a.slope), ("narrow", b.slope)]
    back = ends_of(mitred("tube 2 x 2 x 1/8", plane="narrow"), Turn("a", 1))
    assert [(e.plane, e.slope) for e in back] == [("wide", Fraction(-1)), ("wide", Fraction(1))]


def test_parallel_ends_share_one_slanted_cut() -> None:
    """2 in deep, both 45: reach 1 in each; the cut of 1/16 takes 0.0883883 in along the bar, so -1.9116116 in."""
    nested = gap(end(Decimal(45), 1, 2 * INCH), end(Decimal(45), 1, 2 * INCH), INCH // 16)
    assert isclose(nested / INCH, -1.911611652, abs_tol=1e-8)


@pytest.mark.parametrize(
    ("first", "second"),
    [
        (end(Decimal(45), 1, 2 * INCH), end(Decimal(45), -1, 2 * INCH)),
        (end(Decimal(45), 1, 2 * INCH), end(Decimal(45), 1, 2 * INCH, "narrow")),
        (end(Decimal(45), 1, 2 * INCH), End("wide", Fraction(0), 0)),
        (End("wide", Fraction(0), 0), End("wide", Fraction(0), 0)),
    ],
)
def test_ends_that_do_not_lean_alike_are_parted_by_a_square_cut_between_their_points(
    first: End, second: End
) -> None:
    assert gap(first, second, INCH // 16) == INCH // 16


@given(
    st.sampled_from(ANGLES),
    st.sampled_from(ANGLES),
    st.sampled_from([1, -1]),
    st.sampled_from([1, -1]),
    st.integers(1, 3 * INCH),
    st.integers(0, INCH // 4),
)
def test_neighbours_never_come_nearer_than_their_half_cuts_and_what_their_tolls_differ_by(
    one: Decimal, other: Decimal, up_one: int, up_other: int, depth: int, cut: int
) -> None:
    """What the relaxation of a mitred stick rests on; and a gap is never more than a square cut."""
    first, second = end(one, up_one, depth), end(other, up_other, depth)
    between = gap(first, second, cut)
    assert between <= cut
    centres = between + first.reach + second.reach
    apart = half_cut(first, cut) + half_cut(second, cut) + abs(toll(first, cut) - toll(second, cut))
    assert centres >= apart - Fraction(1, 10**20)
    assert toll(first, cut) >= 0


@given(st.sampled_from(ANGLES), st.sampled_from(ANGLES), st.integers(1, 10**6), st.integers(0, 10**4))
def test_nested_faces_leave_room_for_one_slanted_cut_and_the_wedge_between_them(
    one: Decimal, other: Decimal, depth: int, cut: int
) -> None:
    """Two faces that lean alike, reckoned in floats: the cut at the lesser angle, the wedge to the other one."""
    first, second = end(one, 1, depth), end(other, 1, depth)
    between = gap(first, second, cut)
    slanted = min(float(secant(first.slope)), float(secant(second.slope))) * cut
    wedge = abs(tan(radians(float(one))) - tan(radians(float(other)))) * depth / 2
    nested = wedge + slanted - float(first.reach + second.reach)
    assert between == cut or -1e-3 <= between - nested < 1 + 1e-3
    assert between == cut or nested < cut


def test_what_is_irrational_is_rounded_up_for_plans_and_down_for_bounds() -> None:
    assert secant(Fraction(1)) ** 2 - 2 < Fraction(1, 10**50)
    assert (up(secant(Fraction(1))), down(secant(Fraction(1)))) == (2, 1)
    assert (up(Fraction(3)), down(Fraction(3))) == (3, 3)
