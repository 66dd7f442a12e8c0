"""Parts that are bound to a stick: by a rack piece or heat that they name, or because they come together.

A *lot* is what must come from one stick: one copy, or as many as an assembly has, of each part with the same word in
`together`. Parts without an assembly come together with all their copies.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction

from nesting.job import Job, Part
from nesting.rules.turns import Turn, down, ends_of
from stock.offer import Offer
from stock.rack import RackPiece


@dataclass(frozen=True, slots=True)
class Lot:
    """Several pieces that come from one stick.

    Parameters
    ----------
    parts
        In job order, each with how many copies are in one lot.
    count
        How many such lots are made.
    """

    parts: tuple[tuple[Part, int], ...]
    count: int

    @property
    def word(self) -> str:
        """The word that its parts share."""
        return self.parts[0][0].together

    @property
    def pieces(self) -> tuple[Part, ...]:
        """The part of each piece of one lot, longest first."""
        longest = sorted(self.parts, key=lambda pair: -pair[0].extent)
        return tuple(part for part, number in longest for _ in range(number))

    @property
    def extent(self) -> int:
        """Ticks of all pieces of one lot, without the cuts between them."""
        return sum(part.extent * number for part, number in self.parts)

    def length(self, cut: int) -> int:
        """Ticks from the first to the last point of a lot whose pieces are laid square, one cut apart."""
        return self.extent + (len(self.pieces) - 1) * cut

    @property
    def least(self) -> int:
        """Ticks that its pieces take at the least: mitred ones may lie in each other's waste, up to their centres."""
        ends = ((number, end) for part, number in self.parts for end in ends_of(part, Turn()))
        return down(self.extent - sum((number * end.reach for number, end in ends), Fraction(0)))


def lots_of(job: Job, parts: Iterable[Part]) -> tuple[Lot, ...]:
    """The lots among some parts, in the order of their first parts; a piece that would be alone is none."""
    together: dict[tuple[str, str], list[Part]] = {}
    for part in parts:
        if part.together:
            together.setdefault((part.assembly, part.together), []).append(part)
    built = {assembly.name: assembly.qty for assembly in job.assemblies}
    lots = (
        Lot(tuple((part, part.qty) for part in of_one), built.get(assembly, 1))
        for (assembly, _), of_one in together.items()
    )
    return tuple(lot for lot in lots if sum(number for _, number in lot.parts) > 1)


def comes_from(part: Part, source: Offer | RackPiece) -> bool:
    """Whether a source is one that a part may come from by the name it gives: any, or a rack piece by id or heat."""
    return not part.source or (isinstance(source, RackPiece) and part.source in (source.id, source.heat))
