"""How much of a stick mitred pieces take at the least, by what its ends take.

Whatever the order of pieces, the bar between two neighbours holds half a cut of each (`half_cut`) and at least what
their `toll`s differ by; the stick's own ends are as square ones, which take no toll. A piece whose ends take the same
toll leads no further; a *bridge*, whose ends take different ones, leads from one to the other for nothing. So going
from the first end of the stick to the last, all tolls on the way are climbed and come down again: without a bridge
twice the greatest one; past a single bridge both of its own and twice what others have above them; past several at
least twice what no bridge leads past. Every set of pieces belongs to one of these *cases*.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise

from nesting.check.mitres import Face, down, faces, half_cut, toll, turns
from nesting.check.pricing import ANY_ENDS, MANY
from nesting.job import Part, Plane


@dataclass(frozen=True, slots=True)
class Weighed:
    """A part as a stick sees it on one saw.

    Parameters
    ----------
    weight
        Ticks that one piece takes at the least, half a cut at each end included.
    tolls
        Of its two ends, the lesser one first; of several pieces the least and the greatest.
    pieces
        How many pieces it is, that lie anywhere on the stick.
    """

    part: Part
    weight: int
    tolls: tuple[Fraction, Fraction]
    pieces: int = 1

    @property
    def is_mixed(self) -> bool:
        """Whether it is pieces whose ends take different tolls: where they lead the tolls of others is not known."""
        return self.pieces > 1 and self.tolls[0] != self.tolls[1]


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


@dataclass(frozen=True, slots=True)
class Beside:
    """What ends may lie beside another in a stick, as (side of the bar, leans to higher x with higher y).

    Parameters
    ----------
    before, behind
        Slanted ends that may lie before, and behind, that of another piece.
    """

    before: frozenset[tuple[Plane, bool]]
    behind: frozenset[tuple[Plane, bool]]


def beside(parts: Iterable[Part]) -> Beside:
    """What may lie beside an end where only these parts are cut from the stick, each in all its turns."""
    mitred = {(p.end_a, p.end_b, p.lean, p.plane, p.flip, p.material): p for p in parts if p.is_mitred}
    lying = [faces(p, *turn) for p in mitred.values() for turn in turns(p)]
    before, behind = (frozenset(_lean(pair[n]) for pair in lying if pair[n].slope) for n in (1, 0))
    return Beside(before, behind)


def weighed(part: Part, extent: int, cut: int, others: Beside | None = None) -> Weighed:
    """A part on a saw whose square cut takes `cut` ticks; `extent` is what it takes along the stick.

    Parameters
    ----------
    others
        What may lie beside it. An end that can never face one that leans the same way on the same side is cut
        square in between: it takes its point, half a square cut, and no toll. None: any end may have such a neighbour.
    """
    if part.is_plate or not part.is_mitred:
        return Weighed(part, extent + cut, (Fraction(0), Fraction(0)))
    ends = [(f, others is None or _nests(part, n, others)) for n, f in enumerate(faces(part))]
    beyond = (half_cut(f, cut) - f.half if nests else Fraction(cut, 2) for f, nests in ends)
    least, other = sorted(toll(f, cut) if nests else Fraction(0) for f, nests in ends)
    return Weighed(part, down(extent + sum(beyond, Fraction(0))), (least, other))


def _nests(part: Part, end: int, others: Beside) -> bool:
    """Whether end a (0) or b (1) of a part, somehow turned, can face one that leans the same way on the same side.

    Turns that leave the piece as it lay say nothing new, whichever of its ends comes first then.
    """
    seen: set[tuple[Face, Face]] = set()
    for first, roll in sorted(turns(part), key=lambda turn: (turn[1], turn[0])):
        pair = faces(part, first, roll)
        at = end if first == "a" else 1 - end
        if (
            pair not in seen
            and pair[at].slope
            and _lean(pair[at]) in (others.behind if at else others.before)
        ):
            return True
        seen.add(pair)
    return False


def _lean(face: Face) -> tuple[Plane, bool]:
    return face.plane, face.slope > 0


def any_ends(parts: Iterable[Weighed]) -> Case:
    """The case that covers all: nothing is known of the outermost ends, whose tolls are never below zero."""
    return Case(0, tuple((p, 0) for p in parts), ANY_ENDS)


def cases(parts: Iterable[Weighed]) -> Iterator[Case]:
    """Every case that some pieces of these parts can be; where all ends take the same toll, there is one.

    Of a stick with mixed pieces that come together nothing is known: it is a case of its own, whatever else it holds.
    """
    every = tuple(parts)
    if any(p.is_mixed for p in every):
        yield Case(0, tuple((p, int(p.is_mixed)) for p in every), (1, MANY))
    parts = tuple(p for p in every if not p.is_mixed)
    even = tuple(p for p in parts if p.tolls[0] == p.tolls[1])
    tops = sorted({Fraction(0), *(p.tolls[0] for p in even)})
    for top in tops:
        held = tuple((p, 0) for p in even if p.tolls[0] <= top)
        if held:
            yield Case(down(2 * top), held, ANY_ENDS)
    bridges = [p.tolls for p in parts if p.tolls[0] != p.tolls[1]]
    for top in tops if bridges else ():
        counted = tuple(
            (p, int(p.tolls in bridges)) for p in parts if p.tolls in bridges or p.tolls[0] <= top
        )
        yield Case(down(2 * _not_led_past(top, bridges)), counted, (2, MANY))
        past_one = min(low + high + 2 * max(Fraction(0), top - high) for low, high in bridges)
        yield Case(down(past_one), counted, (1, 1))


def _not_led_past(top: Fraction, bridges: list[tuple[Fraction, Fraction]]) -> Fraction:
    """Of the tolls up to the greatest one that must be reached, those that no bridge leads past."""
    top = max(top, min(low for low, _ in bridges))
    marks = sorted({Fraction(0), top, *(t for pair in bridges for t in pair if t < top)})
    apart = ((a, b) for a, b in pairwise(marks) if not any(low <= a and b <= high for low, high in bridges))
    return sum((b - a for a, b in apart), Fraction(0))
