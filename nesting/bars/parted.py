"""Pricing of sticks that a yard parts: what they can be worth at the most, and fillings of their segments.

A segment is filled as a whole stick of its length is; segment after segment makes a filling of the stick.
"""

from __future__ import annotations

from functools import cached_property

import numpy as np

from nesting.bars.form import Counts, Segments
from nesting.bars.formed import Filled, FormedSticks
from nesting.bars.mitres import Mitres
from nesting.bars.problem import Stock
from nesting.bars.rows import Lot, Rows
from nesting.bars.sparse import Wide
from nesting.bars.types import Ints

_FIRST = 5
"""Fillings of the longest segment that are completed, where many are asked for."""

_SPLITS = 3
"""Rooms of the longest segment that are tried."""


class PartedSticks:
    """Parted sticks of one class, for given values; parameters as `FormedSticks`.

    Parameters
    ----------
    rows
        Of one segment, if another class that differs in its sticks alone has them already.
    """

    def __init__(
        self,
        form: Segments,
        items: Ints,
        weights: Ints,
        values: Ints,
        bounds: Ints,
        widest: int,
        rows: Rows | None = None,
    ) -> None:
        self.form, self.items = form, items
        self.weights, self.values, self.bounds, self.widest = weights, values, bounds, widest
        self._longest_first = sorted(range(len(form.caps)), key=lambda n: -form.caps[n])
        self._caps = tuple(min(form.caps[n], widest) for n in self._longest_first)
        self.rows = rows or Rows(self._lots(self._caps[0]), items.size, self._caps[0], self._taken)

    def most_worth(self, capacity: int, threshold: int) -> Filled:
        """An upper bound by weights alone: no more than a whole stick as long, and no more than all segments."""
        value, counts = self._all.best(capacity, threshold)
        if counts is None:
            return Filled(value, None)
        alike = {cap: self._all.best(cap, 0)[0] for cap in set(self._caps)}
        apart = sum(alike[cap] for cap in self._caps)
        return Filled(threshold, None) if apart <= threshold else Filled(min(value, apart), counts)

    def best_cut(self, capacity: int, threshold: int) -> Filled:
        """An upper bound that knows what segments can hold, with a good filling that can be cut."""
        hope = self.rows.hope(self._caps, capacity)
        if hope <= threshold:
            return Filled(threshold, None)
        counts = max(self._split(capacity), key=self._worth)
        if self._worth(counts) < hope:
            hope = self.rows.fine.hope(self._caps, capacity)
        if hope <= threshold:
            return Filled(threshold, None)
        most = self.most_worth(capacity, threshold)
        if most.counts is None:
            return most
        value = min(most.value, hope)
        if self.form.ends is None and self._worth(counts) < value and self._holds(capacity, most.counts):
            counts = most.counts
        return Filled(value, counts if self._worth(counts) > threshold else None)

    def good(self, capacity: int, threshold: int) -> Filled:
        """As `best_cut`, with less care: a good filling that can be cut."""
        hope, counts = self.rows.hope(self._caps, capacity), max(self._split(capacity), key=self._worth)
        return Filled(max(hope, threshold), counts if self._worth(counts) > threshold else None)

    def several(self, capacity: int, threshold: int) -> list[Ints]:
        """Fillings that can be cut and are worth more than the threshold, different ones in the longest segment."""
        rows, caps = self.rows, self._caps
        if rows.hope(caps, capacity) <= threshold:
            return []
        room = min(caps[0], capacity)
        firsts = sorted(rows.several(room), key=self._worth, reverse=True)[:_FIRST]
        found = [self._completed(capacity, [first]) for first in firsts]
        found += self._split(capacity)
        return [counts for counts in found if self._worth(counts) > threshold]

    def thinned(self, capacity: int, counts: Ints) -> Ints:
        """A filling that can be cut, of no more than the pieces given: the heaviest first, where they go in first."""
        parts: list[Ints] = []
        left, room = counts.copy(), capacity
        heaviest_first = np.argsort(-self.weights, kind="stable").tolist()
        for cap in self._caps:
            parts.append(self._topped_up(np.zeros_like(counts), min(cap, room), left, heaviest_first))
            left = left - parts[-1]
            room -= self._taken(parts[-1])
        return self._kept(parts)

    def _split(self, capacity: int) -> list[Ints]:
        """Good fillings that can be cut, by the rooms of the longest segment with which most can be hoped for."""
        rooms = self.rows.rooms(self._caps, capacity, _SPLITS)
        return [self._completed(capacity, [self.rows.filling(room)[0]]) for room in rooms]

    def _completed(self, capacity: int, firsts: list[Ints]) -> Ints:
        """The best filling whose longest segments hold what is given, in whole numbers of steps of room."""
        parts, left, room = list(firsts), self.bounds - sum(firsts), capacity
        room -= sum(self._taken(part) for part in firsts)
        for n in range(len(firsts), len(self._caps)):
            (within,) = self.rows.rooms(self._caps[n:], room, most=1)
            found, _ = self.rows.filling(within)
            if (found > left).any():
                found = self._topped_up(np.minimum(found, left), within, left, self._best_first)
            parts.append(found)
            left = left - found
            room -= self._taken(found)
        return self._kept(parts)

    def _kept(self, parts: list[Ints]) -> Ints:
        """All pieces of the segments, whose places are remembered; of segments as long the first is the fullest."""
        total: Ints = np.sum(parts, axis=0)
        if total.any():
            fullest_first = sorted(
                range(len(parts)), key=lambda n: (-self._caps[n], -int(self.weights @ parts[n]))
            )
            places = dict(zip(self._longest_first, fullest_first, strict=True))
            self.form.keep(tuple(self._counted(parts[places[n]]) for n in range(len(parts))))
        return total

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

    def _lots(self, room: int) -> list[Lot]:
        """How one segment is filled, by the stocks that it stands for as if it were a stick."""
        if self.form.ends is None or not self.form.as_one:
            return [Lot(np.arange(self.items.size), 0, Wide(self.weights, self.values, self.bounds, room))]
        return [self._lot(stock, room) for stock in self.form.as_one]

    def _lot(self, stock: Stock, room: int) -> Lot:
        at = np.flatnonzero(np.isin(self.items, np.array(stock.items, np.int64)))
        weights, values, bounds = self.weights[at], self.values[at], self.bounds[at]
        if not isinstance(stock.form, Mitres):
            return Lot(at, 0, Wide(weights, values, bounds, room))
        lost = stock.form.taken
        return Lot(
            at, lost, FormedSticks(stock.form, self.items[at], weights, values, bounds, max(0, room - lost))
        )
