"""What the rests of a parted stick's segments earn, and how long the segments are then.

Behind the pieces of each segment lies a rest. Where the yard cuts is free, within what can be carried: so what is left
over is gathered in as many rests worth keeping as earn most. A segment without pieces earns nothing.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from nesting.bars.problem import CENT
from stock.money import Cost


@dataclass(frozen=True, slots=True, kw_only=True)
class Rests:
    """The rests of one stick.

    Parameters
    ----------
    kept, scrap
        Ten-thousandths that a tick of a rest earns, from `keep` ticks up and below; each rest in whole cents.
    limit
        Nominal ticks of the longest segment that is carried home.
    total
        Nominal ticks of all segments together.
    one_stays
        Whether one more segment stays at the yard, of whatever length above zero.
    tails
        Of each segment that is carried home the ticks that are left behind its pieces at the least; below zero where
        the last kerf may be missing.
    """

    kept: Fraction
    scrap: Fraction
    keep: int
    limit: int
    total: int
    one_stays: bool
    tails: tuple[int, ...]

    def best(self, rooms: Sequence[int | None]) -> tuple[Cost, tuple[int, ...]]:
        """The most that the rests can earn, and by how much each segment is longer than it needs to be.

        Parameters
        ----------
        rooms
            Of each segment the ticks by which it may be longer at the most; None: it has no pieces.
        """
        spare = self.total - self.one_stays
        spare -= sum(1 if room is None else self.limit - room for room in rooms)
        held = [n for n, room in enumerate(rooms) if room is not None]
        held.sort(key=lambda n: -(self.tails[n] + (rooms[n] or 0)))
        found = [self._spread(rooms, held, kept, spare) for kept in range(len(held) + 1)]
        return max(
            ((self.earned(rooms, more), more) for more in found if more is not None),
            default=(0, (0,) * len(rooms)),
        )

    def earned(self, rooms: Sequence[int | None], more: Sequence[int]) -> Cost:
        """What the rests earn where segments are so much longer than they need to be."""
        return sum(self._worth(self.tails[n] + more[n]) for n, room in enumerate(rooms) if room is not None)

    def at_most(self, left: int) -> Cost:
        """What rests can earn at the most that are so many ticks together, each segment with pieces."""
        tails = sorted(max(0, tail) for tail in self.tails)
        number = min(len(tails), left // self.keep)
        kept = left - sum(tails[: len(tails) - number]) if number else 0
        return int((self.kept * kept + self.scrap * (left - kept)) // CENT * CENT)

    def _worth(self, rest: int) -> Cost:
        return int((self.kept if rest >= self.keep else self.scrap) * max(0, rest) // CENT * CENT)

    def _spread(
        self, rooms: Sequence[int | None], held: Sequence[int], kept: int, spare: int
    ) -> tuple[int, ...] | None:
        """What is spare, first to the rests of the first so many segments, which are kept; None if it is too little."""
        more = [0] * len(rooms)
        for n in held[:kept]:
            more[n] = max(0, self.keep - self.tails[n])
            if more[n] > (rooms[n] or 0):
                return None
        spare -= sum(more)
        if spare < 0:
            return None
        for n in held:
            extra = min(spare, (rooms[n] or 0) - more[n])
            more[n] += extra
            spare -= extra
        return tuple(more)
