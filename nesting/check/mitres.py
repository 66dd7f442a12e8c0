"""Mitred ends, from the definition: faces, legal turns, how much bar they take and how near two of them may come.

A face is the straight line x = c + s*y across the side of the bar on which its angle is seen: x along the bar, y
from -d/2 to d/2 across, s the tangent of its angle from square with the sign of its lean. All arithmetic is in
fractions good to some sixty digits, so that a plan that is rounded up passes and one a tick too tight does not.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from decimal import Decimal, localcontext
from fractions import Fraction
from functools import cache
from math import ceil, floor

from nesting.job import Part, Plane
from nesting.plan import Piece
from stock.material import Material
from stock.section import Section, Shape

_DIGITS = 70
_TERMS = 60
"""Of the continued fraction below; at 89 degrees it has settled after some forty."""
_NOISE = Fraction(1, 10**30)
"""What lies nearer to a whole tick than this is that tick: 3 / cos 60 is 6."""
_OTHER: dict[Plane, Plane] = {"wide": "narrow", "narrow": "wide"}


@dataclass(frozen=True, slots=True)
class Face:
    """A cut end of a piece as it lies.

    Parameters
    ----------
    slope
        Tangent of its angle, above zero where the cut leans to higher x with higher y.
    depth
        Ticks across the side of the bar on which it is seen.
    plane
        That side.
    """

    slope: Fraction
    depth: int
    plane: Plane

    @property
    def half(self) -> Fraction:
        """Ticks along the bar from its centre to its foremost point."""
        return abs(self.slope) * self.depth / 2


SQUARE = Face(Fraction(0), 0, "wide")


def tangent(degrees: Decimal) -> Fraction:
    """Tangent of an angle from 0 to below 90 degrees.

    Lambert's continued fraction, x / (1 - x2 / (3 - x2 / (5 - ...))), and pi after Machin, 16 atan(1/5) -
    4 atan(1/239); both from memory, tested against square roots.
    """
    return _tangent(Fraction(degrees))


@cache
def _tangent(degrees: Fraction) -> Fraction:
    if degrees in (0, 45):
        return degrees / 45
    with localcontext() as context:
        context.prec = _DIGITS
        x = _pi() * degrees.numerator / degrees.denominator / 180
        below = Decimal(2 * _TERMS + 1)
        for odd in range(2 * _TERMS - 1, 0, -2):
            below = odd - x * x / below
        return Fraction(x / below)


@cache
def _pi() -> Decimal:
    with localcontext() as context:
        context.prec = _DIGITS

        def arc(n: int) -> Decimal:
            power = total = Decimal(1) / n
            for odd in range(3, 2 * _DIGITS, 2):
                power /= -n * n
                total += power / odd
            return total

        return 16 * arc(5) - 4 * arc(239)


@cache
def secant(slope: Fraction) -> Fraction:
    """1 / cosine of the angle with such a tangent: how much longer a slanted cut is along the bar."""
    with localcontext() as context:
        context.prec = _DIGITS
        square = 1 + slope * slope
        return Fraction((Decimal(square.numerator) / Decimal(square.denominator)).sqrt())


def up(value: Fraction) -> int:
    """The next whole tick."""
    return ceil(value - _NOISE)


def down(value: Fraction) -> int:
    """The whole tick before."""
    return floor(value + _NOISE)


def on_bar(part: Part, bar: Material) -> Part:
    """A bar part as a bar of near-equal stock makes it: the depth and the turns are the bar's, the extent its own."""
    return part if part.is_plate else replace(part, material=bar)


def faces(part: Part, first: str = "a", roll: int = 0) -> tuple[Face, Face]:
    """The faces of a bar part, the one towards the end that is cut first before the other.

    Parameters
    ----------
    first, roll
        As in `Piece`. Ends that oppose stand like "/ \\" with end a first, ends that lean the same way like "/ /".
    """
    a, b = tangent(part.end_a), tangent(part.end_b)
    slopes = [a, -b if part.lean == "opposite" else b]
    if first == "b":
        slopes.reverse()
    plane = part.plane
    for _ in range(roll % 4):
        if plane == "narrow":
            slopes = [-s for s in slopes]
        plane = _OTHER[plane]
    depth = part.material.depth(part.plane)
    return Face(slopes[0], depth, plane), Face(slopes[1], depth, plane)


def faces_of(part: Part, piece: Piece) -> tuple[Face, Face]:
    """The faces of a piece; of a plate part on a bar, square ones."""
    if part.is_plate:
        return SQUARE, SQUARE
    return faces(part, piece.first, piece.roll)


def turns(part: Part) -> frozenset[tuple[str, int]]:
    """How a part may lie in the bar, as (which end first, quarter turns about the length).

    What maps the section onto itself: of a tube or bar every half turn, of a square or round one quarter turns as
    well, of a channel the half turn about the line square to its web, of an angle none. A part that must not be
    turned over keeps its face up.
    """
    if part.is_plate:
        return frozenset({("a", 0)})
    section = part.material.section
    allowed: set[tuple[str, int]]
    match section.shape:
        case Shape.ANGLE:
            allowed = {("a", 0)}
        case Shape.CHANNEL:
            is_on_web = part.plane == _web_side(section)
            allowed = {("a", 0), ("b", 0 if is_on_web else 2)}
        case _:
            rolls = range(4) if _is_even(section) else (0, 2)
            allowed = {(end, roll) for end in "ab" for roll in rolls}
    return frozenset(turn for turn in allowed if part.flip or turn[1] == 0)


def _web_side(section: Section) -> Plane:
    """Which side of a channel its web is seen on."""
    return "wide" if section.sizes[0] >= section.sizes[1] else "narrow"


def _is_even(section: Section) -> bool:
    """Whether a quarter turn maps a section onto itself."""
    if section.shape in (Shape.TUBE, Shape.FLAT):
        return section.sizes[0] == section.sizes[1]
    return section.shape in (Shape.ROUND, Shape.ROUND_TUBE, Shape.PIPE, Shape.SQUARE)


def extent_of(part: Part) -> int:
    """Ticks of bar from the first to the last point of a bar part, extras included.

    With centres m apart, one edge measures m + (s_b - s_a) d/2 and the other m - (s_b - s_a) d/2.
    """
    near, far = faces(part)
    apart = abs(far.slope - near.slope) * near.depth / 2
    centre = part.length + {"long": -apart, "centre": Fraction(0), "short": apart}[part.measured]
    return up(centre + near.half + far.half + part.extra_a + part.extra_b)


def meets_itself(part: Part) -> bool:
    """Whether the cuts of a part meet before its short edge begins."""
    near, far = faces(part)
    slopes = abs(far.slope - near.slope) * near.depth
    return part.length + _NOISE < {"long": slopes, "centre": slopes / 2, "short": Fraction(0)}[part.measured]


def least_gap(one: Face, other: Face, cut: int) -> int:
    """Ticks from the last point of a piece to the first point of the next; below zero where they nest.

    Faces seen on the same side of the bar that lean the same way lie in each other's shadow: then one slanted cut
    and its neighbour's may be nearer than the square cut between their points that always does.

    Parameters
    ----------
    cut
        Ticks that a square cut takes.
    """
    if one.plane != other.plane or one.slope * other.slope <= 0:
        return cut
    depth = max(one.depth, other.depth)
    between = abs(one.slope - other.slope) * depth / 2 + cut * min(secant(one.slope), secant(other.slope))
    return min(cut, up(between - one.half - other.half))


def half_cut(face: Face, cut: int) -> Fraction:
    """Ticks that an end takes of the cut to its neighbour at the least, beyond the centre of its face.

    Half the slanted cut, since |1/cos - 1/cos'| is never above |tan - tan'|. Where the cut is wider than the bar is
    deep, that needs not hold, but half a square cut does.
    """
    return cut * (secant(face.slope) if cut <= face.depth else Fraction(1)) / 2


def toll(face: Face, cut: int) -> Fraction:
    """Ticks that a face takes beyond `half_cut` where it is the first or the last of a stick."""
    return face.half - half_cut(face, cut) + Fraction(cut, 2)
