"""How much of a stick mitred pieces take at the least, by what its ends take.

Whatever the order of pieces, the bar between two neighbours holds half a cut of each (`half_cut`) and at least what
their `toll`s differ by; the stick's own ends are as square ones, which take no toll. A piece whose ends take the same
toll leads no further; a *bridge*, whose ends take different ones, leads from one to the other for nothing. So going
from the first end of the stick to the last, all tolls on the way are climbed and come down again: without a bridge
twice the greatest one, past a single bridge both of its own, past several at least twice the least they have. Every
set of pieces belongs to one of these *cases*.
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
    """Sets of pieces of which it is known what the tolls take.

    Parameters
    ----------
    taken
        Ticks that the tolls take at the least.
    parts
        Parts that may be among them, each with 1 if it is counted, a bridge, or 0.
    ends
        How many pieces are counted: (fewest, most), as `find_above` takes them.
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
    """Every case that some pieces of these parts can be; where all ends take the same toll, there is one."""
    parts = tuple(parts)
    even = tuple(p for p in parts if p.tolls[0] == p.tolls[1])
    for greatest in sorted({p.tolls[0] for p in even}):
        held = tuple((p, 0) for p in even if p.tolls[0] <= greatest)
        yield Case(down(2 * greatest), held, ANY_ENDS)
    bridges = [p for p in parts if p.tolls[0] != p.tolls[1]]
    if bridges:
        counted = tuple((p, int(p in bridges)) for p in parts)
        yield Case(down(2 * min(p.tolls[0] for p in bridges)), counted, (2, MANY))
        yield Case(down(min(sum(p.tolls, Fraction(0)) for p in bridges)), counted, (1, 1))
