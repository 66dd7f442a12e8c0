"""Forms of sticks: what a sum of weights does not know. Here sticks that the yard parts into segments.

A *way* is how a piece lies: an index into the ways of its item, 0 as drawn; pieces without mitres have just that one.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from functools import cached_property
from typing import Protocol

from nesting.bars.problem import Stock

Counts = tuple[tuple[int, int], ...]
"""(item, number) pairs, ascending by item."""

Row = tuple[tuple[int, int], ...]
"""(item, way) of each piece of a stick or segment in cutting order."""

_MOST_STEPS = 20_000
"""Steps after which no more places in the segments are looked for."""


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
    """

    caps: tuple[int, ...]
    weights: Counts
    ends: Ends | None = None
    room: int = 0
    as_one: tuple[Stock, ...] = ()
    _found: dict[Counts, tuple[int, tuple[Counts, ...]] | None] = field(
        default_factory=dict, compare=False, repr=False
    )
    _cut_short: set[Counts] = field(default_factory=set, compare=False, repr=False)

    def excess(self, counts: Counts) -> int | None:
        """Ticks beyond the sum of weights; None if no places for all pieces were found in the segments."""
        found = self._parted(counts)
        return None if found is None else found[0]

    def is_settled(self, counts: Counts) -> bool:
        """Whether all places were looked at; if not, pieces for which none were found may have some all the same."""
        self._parted(counts)
        return counts not in self._cut_short

    def arrange(self, counts: Counts) -> tuple[Row, ...]:
        """The pieces of each segment in cutting order; only if `excess` is not None."""
        found = self._parted(counts)
        if found is None:
            raise ValueError("these pieces cannot be cut from one stick")
        if self.ends is not None:
            return tuple(self.ends.row(part) for part in found[1])
        return tuple(tuple((i, 0) for i, n in part for _ in range(n)) for part in found[1])

    def keep(self, parts: tuple[Counts, ...]) -> None:
        """Remember how pieces were parted, one after the other of `caps`, unless better places are known."""
        together: dict[int, int] = {}
        for item, n in (pair for part in parts for pair in part):
            together[item] = together.get(item, 0) + n
        excess = sum((self.ends.excess(part) or 0) if self.ends and part else 0 for part in parts)
        counts = tuple(sorted(together.items()))
        known = self._found.get(counts)
        if known is None or excess < known[0]:
            self._found[counts] = (excess, parts)

    def _parted(self, counts: Counts) -> tuple[int, tuple[Counts, ...]] | None:
        """The least excess found, and the pieces of each segment."""
        if counts not in self._found:
            parting = _Parting(self, counts)
            self._found[counts] = parting.best()
            if parting.is_cut_short:
                self._cut_short.add(counts)
        return self._found[counts]

    @cached_property
    def weight_of(self) -> dict[int, int]:
        """Weight of each item."""
        return dict(self.weights)


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
        self._best: tuple[int, tuple[Counts, ...]] | None = None
        self._done: set[tuple[int, tuple[tuple[int, tuple[int, ...]], ...]]] = set()

    def best(self) -> tuple[int, tuple[Counts, ...]] | None:
        """The least excess found and the parts; None if nothing was found."""
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
        return self._steps > _MOST_STEPS or self._is_loose

    def _tries(self, at: int) -> Iterator[bool]:
        """Put one piece into each segment in turn, as long as the ones behind it are to be placed; after the last
        piece the places are kept. Ends at the first places without excess."""
        self._steps += 1
        if self._steps > _MOST_STEPS or self._ahead[at] > sum(self._room):
            return
        if at == len(self._pieces):
            self._take()
            return
        # what square ends leave depends on the room alone; what is placed is in order, so equal sets look equal
        held = [() if self._form.ends is None else tuple(pieces) for pieces in self._in]
        like = list(zip(self._room, held, strict=True))
        state = (at, tuple(sorted(like)))
        if state in self._done:
            return
        weight, item = self._pieces[at]
        tried: set[tuple[int, tuple[int, ...]]] = set()
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
            if self._best is not None and self._best[0] <= self._enough:
                return
        self._done.add(state)

    def _take(self) -> None:
        """Keep the places if they have less excess than those before."""
        total = sum(self._over(segment) or 0 for segment in range(len(self._in)))
        if self._best is None or total < self._best[0]:
            self._best = (total, tuple(_counted(held) for held in self._in))

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
