"""How much of a stick mitred pieces take at the least, by which ends lie outermost.

Whatever the order of pieces, the bar between two neighbours holds half a cut of each (`half_cut`), and the two
outermost ends take their `toll`. So a stick holds pieces only if the sum of their weights and the tolls of the two
ends with the least tolls is within what square pieces and their kerfs have. Every set of pieces belongs to one
*case*: the least toll of all its ends, and the next one.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from fractions import Fraction

from nesting.check.mitres import down, faces, half_cut, toll
from nesting.check.pricing import ANY_ENDS, MANY
from nesting.job import Part


@dataclass(frozen=True, slots=True)
class Weighed:
    """A part as a stick sees it on one saw.

    Parameters
    ----------
    weight
        Ticks that one piece takes at the least, half a cut at each end included.
    tolls
        Of its two ends, the lesser one first.
    """

    part: Part
    weight: int
    tolls: tuple[Fraction, Fraction]


@dataclass(frozen=True, slots=True)
class Case:
    """Sets of pieces of which the outermost ends are known.

    Parameters
    ----------
    taken
        Ticks of the two least tolls.
    parts
        Parts that may be among them, each with how many of its ends have the least toll.
    ends
        How many ends have the least toll: (fewest, most), as `find_above` takes them.
    """

    taken: int
    parts: tuple[tuple[Weighed, int], ...]
    ends: tuple[int, int]


def weighed(part: Part, extent: int, cut: int) -> Weighed:
    """A part on a saw whose square cut takes `cut` ticks; `extent` is what it takes along the stick."""
    if part.is_plate or not part.is_mitred:
        return Weighed(part, extent + cut, (Fraction(0), Fraction(0)))
    ends = faces(part)
    weight = extent + sum((half_cut(f, cut) - f.half for f in ends), Fraction(0))
    least, other = sorted(toll(f, cut) for f in ends)
    return Weighed(part, down(weight), (least, other))


def any_ends(parts: Iterable[Weighed]) -> Case:
    """The case that covers all: nothing is known of the outermost ends, whose tolls are never below zero."""
    return Case(0, tuple((p, 0) for p in parts), ANY_ENDS)


def cases(parts: Iterable[Weighed]) -> Iterator[Case]:
    """Every case that some pieces of these parts can be; where all ends are square, there is one."""
    parts = tuple(parts)
    tolls = sorted({t for p in parts for t in p.tolls})
    for at, first in enumerate(tolls):
        above = tuple((p, p.tolls.count(first)) for p in parts if p.tolls[0] >= first)
        yield Case(down(2 * first), above, (2, MANY) if len(tolls) > 1 else ANY_ENDS)
        for second in tolls[at + 1 :]:
            alone = tuple((p, 1) for p in parts if p.tolls[0] == first and p.tolls[1] >= second)
            others = tuple((p, 0) for p in parts if p.tolls[0] >= second)
            if alone:
                yield Case(down(first + second), alone + others, (1, 1))
