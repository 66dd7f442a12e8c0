"""Mitred ends: how a part may be turned in its bar, and how near two ends may come to each other.

An *end* is a cut face x = c + s*y across the side of the bar on which its angle is seen: x along the bar, y from -d/2
to d/2, s the tangent of the angle with a sign, c on the centre line. Facing ends that lean alike share one cut or
nest; a helping square cut between two ends is possible wherever it takes less bar. Tangents and cosines are
irrational: they are reckoned to some fifty digits and rounded to whole ticks by the caller's side, up for plans and
down for bounds.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from decimal import Decimal, localcontext
from fractions import Fraction
from functools import cache
from typing import Literal, NamedTuple

from nesting.job import Part, Plane
from stock.material import Material
from stock.section import Shape

_OTHER: dict[Plane, Plane] = {"wide": "narrow", "narrow": "wide"}
_PI = Decimal("3.14159265358979323846264338327950288419716939937510582097494459230781640628620899")
_DIGITS = 60
_PRECISION = 10**60
_NEAR = Fraction(1, 10**30)
_QUARTERS = frozenset({Shape.ROUND, Shape.ROUND_TUBE, Shape.PIPE, Shape.SQUARE})


class Turn(NamedTuple):
    """How a piece lies: which end of the part comes first, then quarter turns about the length."""

    first: Literal["a", "b"] = "a"
    roll: int = 0


@dataclass(frozen=True, slots=True)
class End:
    """A cut end of a piece as it lies.

    Parameters
    ----------
    plane
        The side of the bar on which its angle is seen; of a square end "wide".
    slope
        Tangent of its angle, 0 if square.
    depth
        Ticks across that side; 0 if square.
    """

    plane: Plane
    slope: Fraction
    depth: int

    @property
    def reach(self) -> Fraction:
        """Ticks along the bar from the centre of the face to its point."""
        return abs(self.slope) * self.depth / 2


SQUARE = End("wide", Fraction(0), 0)
"""A square end, or one that is laid as if it were."""


def on_bar(part: Part, bar: Material) -> Part:
    """A bar part as it is cut from a bar: near-equal stock gives it its own depth, and its own turns."""
    is_same = part.is_plate or part.material.section == bar.section
    return part if is_same else replace(part, material=bar)


def turns_of(part: Part) -> tuple[Turn, ...]:
    """The ways in which a bar part may lie, the plainest first.

    They follow from the turns that map its section onto itself, and from whether it may be turned over. A part with
    square ends lies as it is drawn.
    """
    if not part.is_mitred:
        return (Turn(),)
    found = [Turn(first, roll) for roll in range(4) for first in _firsts(part, roll)]
    return tuple(turn for turn in found if part.flip or not turn.roll)


def _firsts(part: Part, roll: int) -> tuple[Literal["a", "b"], ...]:
    """Which ends of a part may come first if it is rolled so far."""
    section = part.material.section
    if section.shape is Shape.ANGLE:
        return ("a",) if roll == 0 else ()
    if section.shape is Shape.CHANNEL:
        web: Plane = "wide" if section.sizes[0] >= section.sizes[1] else "narrow"
        over = 0 if part.plane == web else 2
        return tuple(first for first, due in (("a", 0), ("b", over)) if roll == due)  # type: ignore[misc]
    is_even = section.shape in _QUARTERS or (
        section.shape in (Shape.TUBE, Shape.FLAT) and section.sizes[0] == section.sizes[1]
    )
    return ("a", "b") if is_even or roll % 2 == 0 else ()


def ends_of(part: Part, turn: Turn) -> tuple[End, End]:
    """The ends of a part as it lies in a bar, the one that comes first before the other.

    Ends that oppose stand like "/ \\" with end a first, ends that lean the same way like "/ /".
    """
    if not part.is_mitred:
        return SQUARE, SQUARE
    a, b = tangent(part.end_a), tangent(part.end_b)
    slopes = [a, -b if part.lean == "opposite" else b]
    if turn.first == "b":
        slopes.reverse()
    plane = part.plane
    for _ in range(turn.roll):
        # a quarter turn maps wide+ to narrow+ and narrow+ to wide-
        if plane == "narrow":
            slopes = [-slope for slope in slopes]
        plane = _OTHER[plane]
    depth = part.material.depth(part.plane)
    first, last = (End(plane, s, depth) if s else End("wide", Fraction(0), 0) for s in slopes)
    return first, last


def gap(one: End, other: End, cut: int) -> int:
    """Ticks from the last point of a piece to the first point of the next, at the least; below zero where they nest.

    Parameters
    ----------
    one, other
        The facing ends.
    cut
        Ticks that a square cut takes.

    Rounded up by less than a tick, and never more than a helping square cut.
    """
    if one.plane != other.plane or one.slope * other.slope <= 0:
        return cut
    apart = abs(one.slope - other.slope) * max(one.depth, other.depth) / 2
    nested = apart + cut * min(secant(one.slope), secant(other.slope)) - one.reach - other.reach
    return min(cut, up(nested))


def half_cut(end: End, cut: int) -> Fraction:
    """Ticks that an end takes of any cut that frees it, beyond the centre of its face: a lower bound.

    Facing ends lie at least the sum of both apart, and further by what their tolls differ (`toll`). Half a slanted
    cut; where the cut is wider than the bar is deep that may be too much, and half a square cut is taken.
    """
    return cut * (secant(end.slope) if cut <= end.depth else Fraction(1)) / 2


def toll(end: End, cut: int) -> Fraction:
    """Ticks that an end takes beyond `half_cut` where it faces a square end, or is the first or last of its stick."""
    return end.reach - half_cut(end, cut) + Fraction(cut, 2)


@cache
def tangent(degrees: Decimal) -> Fraction:
    """Tangent of an angle from 0 to below 90 degrees, exact at 0 and 45, else to some 50 digits.

    >>> tangent(Decimal(45)), tangent(Decimal(0))
    (Fraction(1, 1), Fraction(0, 1))
    """
    if degrees in (0, 45):
        return Fraction(int(degrees) // 45)
    with localcontext() as context:
        context.prec = _DIGITS
        turn = degrees * _PI / 180
        return Fraction(_series(turn, 1)) / Fraction(_series(turn, 0))


def _series(turn: Decimal, first: int) -> Decimal:
    """Sine (first = 1) or cosine (first = 0) by its power series."""
    term = turn if first else Decimal(1)
    total, power = term, first
    while abs(term) > Decimal(10) ** -_DIGITS:
        power += 2
        term = -term * turn * turn / (power * (power - 1))
        total += term
    return total


@cache
def secant(slope: Fraction) -> Fraction:
    """1 / cosine of the angle with such a tangent.

    >>> secant(Fraction(3, 4))
    Fraction(5, 4)
    """
    square = 1 + slope * slope
    root = Fraction(math.isqrt(square.numerator * _PRECISION**2 // square.denominator), _PRECISION)
    exact = root.limit_denominator(10**15)
    return exact if exact * exact == square else root


def up(value: Fraction) -> int:
    """The next whole number; what is nearer to one than any sum of these terms can be told from it, is that one."""
    return math.ceil(value - _NEAR)


def down(value: Fraction) -> int:
    """The whole number before."""
    return math.floor(value + _NEAR)
