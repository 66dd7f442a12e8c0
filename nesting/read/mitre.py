"""How much bar a mitred part takes: longest point to longest point.

Tangents are irrational but for 0 and 45 degrees, so an extent is rounded up, by less than one tick.
"""

from __future__ import annotations

import math
from decimal import Decimal
from fractions import Fraction

from nesting.job import Lean, Measured
from nesting.rules.turns import tangent
from stock.errors import BadLength

_SHARE: dict[Measured, Fraction] = {"long": Fraction(0), "short": Fraction(1), "centre": Fraction(1, 2)}
"""Of the slope, how much lies between the long points and the place where the length is measured."""


def mitred_extent(
    length: int, depth: int, ends: tuple[Decimal, Decimal], lean: Lean, measured: Measured
) -> int:
    """Ticks of bar between the outermost points of a part, extras left out.

    Parameters
    ----------
    length
        Ticks, measured to the long points (edge), the short points or on the centre line.
    depth
        Ticks across the face on which the mitres are seen.
    ends
        Degrees from a square cut, 0 <= angle < 90.

    Raises
    ------
    BadLength
        If the cuts meet before the short edge begins.

    >>> mitred_extent(24, 2, (Decimal(45), Decimal(45)), "opposite", "long")
    24
    >>> mitred_extent(20, 2, (Decimal(45), Decimal(45)), "opposite", "short")
    24
    >>> mitred_extent(24, 2, (Decimal(45), Decimal(45)), "same", "long")
    26
    """
    a, b = (tangent(angle) for angle in ends)
    # Opposed ends take from both points of one edge; ends that lean alike take from one point of each edge.
    slope, beyond = (a + b, Fraction(0)) if lean == "opposite" else (abs(a - b), min(a, b))
    longer = length + depth * slope * _SHARE[measured]
    if longer < depth * slope:
        raise BadLength(
            "the two mitres meet before the part ends; check length, angles and where it is measured"
        )
    return _up(longer + depth * beyond)


def shortest_length(depth: int, ends: tuple[Decimal, Decimal], lean: Lean, measured: Measured) -> int:
    """Ticks that a part must measure at the least, so that its two mitres do not meet.

    >>> shortest_length(2, (Decimal(45), Decimal(45)), "opposite", "long")
    4
    """
    a, b = (tangent(angle) for angle in ends)
    slope = a + b if lean == "opposite" else abs(a - b)
    return _up(depth * slope * (1 - _SHARE[measured]))


def _up(value: Fraction) -> int:
    nearest = round(value)
    # tan 15 + tan 75 is the whole number 4, so a sum may be whole although its terms are not.
    return nearest if abs(value - nearest) < Fraction(1, 10**30) else math.ceil(value)
