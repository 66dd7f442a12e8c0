"""Forms of sticks: what a sum of weights does not know. Here sticks that the yard parts into segments.

A *way* is how a piece lies: an index into the ways of its item, 0 as drawn; pieces without mitres have just that one.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from functools import cached_property
from typing import Protocol

from nesting.bars.problem import Stock
from nesting.bars.rests import Rests
from stock.money import Cost

Counts = tuple[tuple[int, int], ...]
"""(item, number) pairs, ascending by item."""

Row = tuple[tuple[int, int, int], ...]
"""(item, which of its pieces, way) of each piece of a stick or segment in cutting order; most items are one piece."""

_MOST_STEPS = 20_000
"""Steps after which no more places in the segments are looked for."""
_MOST_TO_EARN = 2_000
"""The same once some are found, for places that earn more."""


class Ends(Protocol):
    """How the pieces of one stick lie in a row, and what that takes beyond the sum of their weights."""

    def excess(self, counts: Counts) -> int | None:
        """See `Form.excess`."""
        ...

    def is_settled(self, counts: Counts) -> bool:
        """Whether `excess` is the least there is."""
        ...

    def row(self, counts: Counts) -> Row:
        """The pieces in their best sequence; only if `excess` is not None."""
        ...


@dataclass(frozen=True, slots=True, order=True)
class Places:
    """Where the pieces of a parted stick lie; what is less is better.

    Parameters
    ----------
    owed
        What the rests earn, below zero.
    excess
        Ticks that the pieces take beyond their weights.
    parts
        The pieces of each segment.
    """

    owed: Cost
    excess: int
    parts: tuple[Counts, ...]

    @property
    def earned(self) -> Cost:
        """What the rests earn."""
        return -self.owed


@dataclass(frozen=True)
class Segments:
    """A stick that the yard parts: each piece in one segment, the places of the cuts chosen freely.

    What all segments hold together is the stock's capacity, as for every stick.

    Parameters
    ----------
    caps
        For each segment the most ticks that weights (and the excess of mitres) may add up to in it.
    weights
        (item, ticks) of every item that may be cut from the stick: the weights of its stock.
    ends
        How the pieces of a segment lie; None: square ends, in any sequence.
    room
        What all segments hold together. Places that keep to it are good enough: no others are looked for.
    as_one
        The stocks that one segment stands for as if it were a stick, of any length; none: as the stock itself.
    rests
        What is earned by what is left of the segments; None: nothing. Then those places are best that earn most.
    """

    caps: tuple[int, ...]
    weights: Counts
    ends: Ends | None = None
    room: int = 0
    as_one: tuple[Stock, ...] = ()
    rests: Rests | None = None
    _found: dict[Counts, Places | None] = field(default_factory=dict, compare=False, repr=False)
    _kept: dict[Counts, Places] = field(default_factory=dict, compare=False, repr=False)
    _cut_short: set[Counts] = field(default_factory=set, compare=False, repr=False)

    def excess(self, counts: Counts) -> int | None:
        """Ticks beyond the sum of weights; None if no places for all pieces were found in the segments."""
        found = self._parted(counts)
        return None if found is None else found.excess

    def earned(self, counts: Counts) -> Cost | None:
        """What the rests earn; None where they earn nothing, or no places were found."""
        if self.rests is None:
            return None
        found = self._parted(counts)
        return None if found is None else found.earned

    def is_settled(self, counts: Counts) -> bool:
        """Whether all places were looked at that could be better; if not, pieces for which none were found may have
        some all the same, or earn more."""
        self._parted(counts)
        return counts not in self._cut_short

    def arrange(self, counts: Counts) -> tuple[Row, ...]:
        """The pieces of each segment in cutting order; only if `excess` is not None."""
        found = self._parted(counts)
        if found is None:
            raise ValueError("these pieces cannot be cut from one stick")
        if self.ends is not None:
            return tuple(self.ends.row(part) for part in found.parts)
        return tuple(tuple((i, 0, 0) for i, n in part for _ in range(n)) for part in found.parts)

    def keep(self, parts: tuple[Counts, ...]) -> None:
        """Remember how pieces were parted, one after the other of `caps`, unless better places are known."""
        together: dict[int, int] = {}
        for item, n in (pair for part in parts for pair in part):
            together[item] = together.get(item, 0) + n
        counts = tuple(sorted(together.items()))
        over = [(self.ends.excess(part) or 0) if self.ends and part else 0 for part in parts]
        rooms = [
            cap - more - sum(self.weight_of[i] * n for i, n in part) if part else None
            for cap, more, part in zip(self.caps, over, parts, strict=True)
        ]
        kept = Places(0 if self.rests is None else -self.rests.best(rooms)[0], sum(over), parts)
        if self.rests is not None:
            self._kept[counts] = min(kept, self._kept.get(counts, kept))
        elif (known := self._found.get(counts)) is None or kept.excess < known.excess:
            self._found[counts] = kept

    def _parted(self, counts: Counts) -> Places | None:
        """The best places found."""
        if counts not in self._found:
            parting = _Parting(self, counts)
            found, kept = parting.best(), self._kept.get(counts)
            self._found[counts] = min((p for p in (found, kept) if p is not None), default=None)
            if parting.is_cut_short:
                self._cut_short.add(counts)
        return self._found[counts]

    @cached_property
    def weight_of(self) -> dict[int, int]:
        """Weight of each item."""
        return dict(self.weights)


_Like = tuple[int, int, tuple[int, ...]]
"""Room left in a segment, its tail, and its pieces."""


class _Parting:
    """One search for the places of pieces in segments: the heaviest first, each where it leaves least room."""

    def __init__(self, form: Segments, counts: Counts) -> None:
        self._form = form
        pieces = [(form.weight_of[i], i) for i, n in counts for _ in range(n)]
        self._pieces = sorted(pieces, reverse=True)
        self._ahead = [0]
        for weight, _ in reversed(self._pieces):
            self._ahead.append(self._ahead[-1] + weight)
        self._ahead.reverse()
        self._room = list(form.caps)
        self._in: list[list[int]] = [[] for _ in form.caps]
        self._steps = 0
        self._is_loose = False
        self._enough = max(0, form.room - self._ahead[0])
        self._tails = (0,) * len(form.caps) if form.rests is None else form.rests.tails
        self._most = 0 if form.rests is None else form.rests.at_most(self._left())
        self._best: Places | None = None
        self._done: set[tuple[int, tuple[_Like, ...]]] = set()

    def _left(self) -> int:
        """Ticks of all rests together, where each segment has pieces."""
        return max(0, self._form.room - self._ahead[0] + sum(max(0, tail) for tail in self._tails))

    def best(self) -> Places | None:
        """The best places found; None if there were none."""
        # a stick may hold more pieces than calls can be nested
        tries = [self._tries(0)]
        while tries:
            if next(tries[-1], False):
                tries.append(self._tries(len(tries)))
            else:
                tries.pop()
        return self._best

    @property
    def is_cut_short(self) -> bool:
        """Whether the search ran out of steps, or of sequences."""
        return self._is_over or self._is_loose

    @property
    def _is_over(self) -> bool:
        """Whether the steps are used up."""
        return self._steps > (_MOST_STEPS if self._best is None or not self._most else _MOST_TO_EARN)

    @property
    def _is_enough(self) -> bool:
        """Whether no places are better, or need be."""
        best = self._best
        return best is not None and best.excess <= self._enough and best.earned >= self._most

    def _tries(self, at: int) -> Iterator[bool]:
        """Put one piece into each segment in turn, as long as the ones behind it are to be placed; after the last
        piece the places are kept. Ends at the first places that are good enough."""
        self._steps += 1
        if self._is_over or self._ahead[at] > sum(self._room):
            return
        if at == len(self._pieces):
            self._take()
            return
        # what square ends leave depends on the room alone; what is placed is in order, so equal sets look equal
        held = [() if self._form.ends is None else tuple(pieces) for pieces in self._in]
        like = list(zip(self._room, self._tails, held, strict=True))
        state = (at, tuple(sorted(like)))
        if state in self._done:
            return
        weight, item = self._pieces[at]
        tried: set[_Like] = set()
        for segment in sorted(range(len(self._room)), key=lambda s: self._room[s]):
            if weight > self._room[segment] or like[segment] in tried:
                continue
            tried.add(like[segment])
            self._room[segment] -= weight
            self._in[segment].append(item)
            # pieces that do not fit in a row do not fit with more of them either
            if self._over(segment) is not None:
                yield True
            self._in[segment].pop()
            self._room[segment] += weight
            if self._is_enough:
                return
        self._done.add(state)

    def _take(self) -> None:
        """Keep the places if they are better than those before; what all segments hold together comes first."""
        over = [self._over(segment) or 0 for segment in range(len(self._in))]
        owed, rests = 0, self._form.rests
        if rests is not None and sum(over) <= self._enough:
            rooms = (room - more for room, more in zip(self._room, over, strict=True))
            owed = -rests.best([room if held else None for room, held in zip(rooms, self._in, strict=True)])[
                0
            ]
        places = Places(owed, sum(over), tuple(_counted(held) for held in self._in))
        if self._best is None or places < self._best:
            self._best = places

    def _over(self, segment: int) -> int | None:
        """Ticks that the pieces of a segment take beyond their weights; None if it cannot hold them."""
        held = self._in[segment]
        if self._form.ends is None or not held:
            return 0
        counts = _counted(held)
        excess = self._form.ends.excess(counts)
        self._is_loose = self._is_loose or not self._form.ends.is_settled(counts)
        return None if excess is None or excess > self._room[segment] else excess


def _counted(held: list[int]) -> Counts:
    return tuple((item, held.count(item)) for item in sorted(set(held)))
