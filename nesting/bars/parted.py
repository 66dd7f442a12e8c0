"""Pricing of sticks that a yard parts: what they can be worth at the most, and fillings of their segments.

A segment is filled as a whole stick of its length is; segment after segment makes a filling of the stick.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import cached_property

import numpy as np

from nesting.bars.form import Counts, Segments
from nesting.bars.formed import Filled, FormedSticks
from nesting.bars.mitres import Mitres
from nesting.bars.sparse import Wide
from nesting.bars.types import Ints

_FIRST = 12
"""Fillings of the longest segment that are completed, where many are asked for."""


class PartedSticks:
    """Parted sticks of one class, for given values; parameters as `FormedSticks`."""

    def __init__(
        self, form: Segments, items: Ints, weights: Ints, values: Ints, bounds: Ints, widest: int
    ) -> None:
        self.form, self.items = form, items
        self.weights, self.values, self.bounds, self.widest = weights, values, bounds, widest

    def most_worth(self, capacity: int, threshold: int) -> Filled:
        """An upper bound by weights alone: no more than a whole stick as long, and no more than all segments."""
        value, counts = self._all.best(capacity, threshold)
        if counts is None:
            return Filled(value, None)
        alike = {cap: self._all.best(min(cap, self.widest), 0)[0] for cap in set(self.form.caps)}
        apart = sum(alike[cap] for cap in self.form.caps)
        return Filled(threshold, None) if apart <= threshold else Filled(min(value, apart), counts)

    def best_cut(self, capacity: int, threshold: int) -> Filled:
        """An upper bound that knows what segments can hold, with a good filling that can be cut."""
        most = self.most_worth(capacity, threshold)
        if most.counts is None:
            return most
        alike = {cap: self._segment.most(min(cap, self.widest)) for cap in set(self.form.caps)}
        value = min(most.value, sum(alike[cap] for cap in self.form.caps))
        if value <= threshold:
            return Filled(threshold, None)
        counts = self._one_by_one(capacity, self.bounds, {})
        if self.form.ends is None and self._worth(counts) < most.value and self._holds(capacity, most.counts):
            counts = most.counts
        return Filled(value, counts if self._worth(counts) > threshold else None)

    def several(self, capacity: int, threshold: int) -> list[Ints]:
        """Fillings that can be cut and are worth more than the threshold, different ones in the longest segment."""
        longest = max(range(len(self.form.caps)), key=lambda n: self.form.caps[n])
        room = min(self.form.caps[longest], capacity)
        firsts = sorted(self._segment.several(room), key=self._worth, reverse=True)[:_FIRST]
        found = [self._one_by_one(capacity, self.bounds, {longest: first}) for first in firsts]
        return [counts for counts in found if self._worth(counts) > threshold]

    def thinned(self, capacity: int, counts: Ints) -> Ints:
        """A filling that can be cut, of no more than the pieces given: the heaviest first, where they go in first."""
        parts = [np.zeros_like(counts) for _ in self.form.caps]
        left = counts.copy()
        for n in sorted(range(len(parts)), key=lambda n: -self.form.caps[n]):
            room = min(self.form.caps[n], capacity - sum(self._taken(part) for part in parts))
            parts[n] = self._topped_up(
                parts[n], room, left, np.argsort(-self.weights, kind="stable").tolist()
            )
            left = left - parts[n]
        return self._kept(parts)

    def _one_by_one(self, capacity: int, most: Ints, filled: dict[int, Ints]) -> Ints:
        """Each segment filled best with what the ones before leave, the longest first; some are filled already."""
        caps, left, room = self.form.caps, most.copy(), capacity
        parts = [np.zeros_like(most) for _ in caps]
        for n in sorted(range(len(caps)), key=lambda n: (n not in filled, -caps[n])):
            parts[n] = filled[n] if n in filled else self._best(min(caps[n], room), left)
            left = left - parts[n]
            room -= self._taken(parts[n])
        return self._kept(parts)

    def _kept(self, parts: list[Ints]) -> Ints:
        """All pieces of the segments, whose places are remembered."""
        total: Ints = np.sum(parts, axis=0)
        if total.any():
            self.form.keep(tuple(self._counted(part) for part in parts))
        return total

    def _best(self, room: int, left: Ints) -> Ints:
        """A good filling of one segment: the best one, or what is left for it and what else goes in."""
        found = self._segment.best(room)
        if (found <= left).all():
            return found
        if self.form.ends is None:
            return self._segment_of(left, room).best(room)
        return self._topped_up(np.minimum(found, left), room, left, self._best_first)

    def _topped_up(self, held: Ints, room: int, left: Ints, order: list[int]) -> Ints:
        """A segment with more of the pieces that are left, in some order, as long as they can be cut."""
        topped = held.copy()
        for j in order:
            while topped[j] < left[j] and self._taken(topped) + self.weights[j] <= room:
                topped[j] += 1
                if self._taken(topped) > room:
                    topped[j] -= 1
                    break
        return topped

    @cached_property
    def _best_first(self) -> list[int]:
        useful = np.flatnonzero(self.values > 0)
        order: list[int] = useful[
            np.argsort(-self.values[useful] / self.weights[useful], kind="stable")
        ].tolist()
        return order

    def _taken(self, counts: Ints) -> int:
        """Ticks that the pieces of one segment take."""
        held = self._counted(counts)
        excess = self.form.ends.excess(held) if held and self.form.ends is not None else 0
        return int(self.weights @ counts) + (excess or 0)

    def _holds(self, capacity: int, counts: Ints) -> bool:
        """Whether places for the pieces are found."""
        excess = self.form.excess(self._counted(counts))
        return excess is not None and int(self.weights @ counts) + excess <= capacity

    def _counted(self, counts: Ints) -> Counts:
        return tuple((int(self.items[j]), int(counts[j])) for j in np.flatnonzero(counts))

    def _worth(self, counts: Ints) -> int:
        return int(self.values @ counts)

    @cached_property
    def _all(self) -> Wide:
        return Wide(self.weights, self.values, self.bounds, self.widest)

    @cached_property
    def _segment(self) -> _Segment:
        if self.form.ends is None:
            return _Segment([(np.arange(self.items.size), 0, self._all)], self.items.size)
        return self._segment_of(self.bounds, min(max(self.form.caps), self.widest))

    def _segment_of(self, bounds: Ints, widest: int) -> _Segment:
        """A segment that is filled with some pieces."""
        stocks: list[_Lot] = []
        for stock in self.form.as_one:
            at = np.flatnonzero(np.isin(self.items, np.array(stock.items, np.int64)))
            weights, values, most = self.weights[at], self.values[at], bounds[at]
            if isinstance(stock.form, Mitres):
                lost = stock.form.taken
                room = max(0, widest - lost)
                sticks = FormedSticks(stock.form, self.items[at], weights, values, most, room)
                stocks.append((at, lost, sticks))
            else:
                stocks.append((at, 0, Wide(weights, values, most, widest)))
        if not stocks:
            stocks.append((np.arange(self.items.size), 0, Wide(self.weights, self.values, bounds, widest)))
        return _Segment(stocks, self.items.size)


_Lot = tuple[Ints, int, Wide | FormedSticks]
"""Some items by their places, what a stick with these loses in any case, and how it is filled."""


class _Segment:
    """One segment: the stocks that a stick of its length stands for."""

    def __init__(self, stocks: list[_Lot], size: int) -> None:
        self._stocks, self._size = stocks, size
        self._best: dict[int, Ints] = {}

    def most(self, room: int) -> int:
        """What pieces in a segment can be worth at the most."""
        return max(value for value, _ in self._filled(room))

    def best(self, room: int) -> Ints:
        """A good filling that can be cut."""
        if room not in self._best:
            best, counts = 0, np.zeros(self._size, np.int64)
            for value, found in self._filled(room):
                if found is not None and value > best:
                    best, counts = value, found
            self._best[room] = counts
        return self._best[room]

    def several(self, room: int) -> Iterator[Ints]:
        """Good fillings that can be cut."""
        for at, lost, sticks in self._stocks:
            if room <= lost:
                continue
            if isinstance(sticks, Wide):
                found = [counts for _, counts in sticks.several(room, 0)]
            else:
                found = sticks.several(room - lost, 0)
            yield from (self._spread(at, counts) for counts in found)

    def _filled(self, room: int) -> Iterator[tuple[int, Ints | None]]:
        """Of each stock an upper bound and a filling that can be cut."""
        for at, lost, sticks in self._stocks:
            if room <= lost:
                yield 0, None
                continue
            if isinstance(sticks, Wide):
                value, counts = sticks.best(room, 0)
            else:
                filled = sticks.best_cut(room - lost, 0)
                value, counts = filled.value, filled.counts
            yield value, None if counts is None else self._spread(at, counts)

    def _spread(self, at: Ints, counts: Ints) -> Ints:
        whole = np.zeros(self._size, np.int64)
        whole[at] = counts
        return whole
