"""What the pieces of one segment of a stick can be worth by the room they take, and of several segments together.

Room is counted in coarse steps: a filling belongs to the step that its ticks fall into, so that whatever several
segments hold, the steps of all of them are no more than the steps of the stick. What a segment can be worth within each
number of steps is known from tables (`FormedSticks.hopes`); segment by segment they add up to what the stick can.

Source: Gilmore and Gomory 1965, *Multistage cutting stock problems of two and more dimensions* (a stage of sections,
and a stage of what they hold).
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from nesting.bars.formed import FormedSticks
from nesting.bars.sparse import FINE, Wide
from nesting.bars.types import Ints
from nesting.compiled import njit

_STEPS = 8_192
_ROUGH = 4
"""So many steps count as one where more than two segments are put together."""
_TRIES = 8
"""Fillings of ever fewer steps that are looked at until one fits."""


@dataclass(frozen=True, slots=True)
class Lot:
    """Items that lie in one row, and how a row of them is filled.

    Parameters
    ----------
    at
        Places of the items among all.
    lost
        Ticks that such a row loses in any case.
    """

    at: Ints
    lost: int
    sticks: Wide | FormedSticks


class Rows:
    """The rows that one segment may hold.

    Parameters
    ----------
    lots
        A row holds items of one of them.
    size
        Number of all items.
    room
        Ticks of the longest segment.
    taken
        Ticks that the pieces of one segment take, by their counts.
    is_fine
        Whether room is counted in finer steps.
    """

    def __init__(
        self,
        lots: Sequence[Lot],
        size: int,
        room: int,
        taken: Callable[[Ints], int],
        is_fine: bool = False,
    ) -> None:
        self._lots, self._size, self._room, self._taken = lots, size, max(0, room), taken
        self._is_fine = is_fine
        self.step = self._room // (FINE if is_fine else _STEPS) + 1
        self._filled: dict[int, tuple[Ints, int]] = {}
        self._joined: dict[tuple[int, tuple[int, ...]], Ints] = {}
        self._several: dict[int, list[Ints]] = {}

    @cached_property
    def fine(self) -> Rows:
        """The same by finer steps, which takes its time."""
        return Rows(self._lots, self._size, self._room, self._taken, is_fine=True)

    def hope(self, caps: tuple[int, ...], capacity: int) -> int:
        """No pieces in segments of so many ticks each, and of so many ticks together, are worth more."""
        rough = _ROUGH if len(caps) > 2 else 1
        first, others = self._within(caps[0], rough), caps[1:]
        steps = capacity // (self.step * rough)
        if not others:
            return int(first[min(steps, first.size - 1)])
        return int(_beside(first, self._together(others, rough), steps).max())

    def rooms(self, caps: tuple[int, ...], capacity: int, most: int) -> list[int]:
        """Ticks for the first segment: those with which most can be hoped for in all of them, and next best ones."""
        whole = min(caps[0], capacity)
        if len(caps) == 1:
            return [whole]
        rough = _ROUGH if len(caps) > 2 else 1
        step = self.step * rough
        hopes = _beside(self._within(caps[0], rough), self._together(caps[1:], rough), capacity // step)
        found: list[int] = []
        lower = hopes
        while lower.size and len(found) < most:
            hope = lower.max()
            lower = lower[lower < hope]
            # coarse steps say least at the rim of those that are as good
            best = np.flatnonzero(hopes == hope)
            run = int((best - best[0] == np.arange(best.size)).sum())
            found.append(min(whole, (int(best[run // 2]) + 1) * step - 1))
        return found

    def filling(self, room: int) -> tuple[Ints, int]:
        """A good filling of one segment that can be cut, and the ticks it takes."""
        at = min(room, self._room) // self.step
        first: Ints | None = None
        for _ in range(_TRIES):
            counts, taken = self._traced(at)
            if taken <= room:
                return counts, taken
            first = counts if first is None else first
            at = int(np.searchsorted(self._worth, self._worth[at])) - 1
            if at < 0:
                break
        assert first is not None
        return self._shortened(first, room)

    def several(self, room: int) -> list[Ints]:
        """Good fillings of one segment that can be cut."""
        if room not in self._several:
            found: list[Ints] = []
            for lot in self._lots:
                sticks, left = lot.sticks, room - lot.lost
                if left <= 0:
                    continue
                if isinstance(sticks, Wide):
                    fillings = [counts for _, counts in sticks.several(left, 0)]
                else:
                    fillings = sticks.several(left, 0)
                found += (self._spread(lot, counts) for counts in fillings)
            self._several[room] = found
        return self._several[room]

    @cached_property
    def _worth(self) -> Ints:
        """By steps, what a segment can be worth that has room for so many."""
        best = np.zeros(self._room // self.step + 1, np.int64)
        for lot in self._lots:
            np.maximum(best, lot.sticks.hopes(self._tops - lot.lost, self._is_fine), out=best)
        return best

    @cached_property
    def _tops(self) -> Ints:
        """The most ticks of each number of steps."""
        steps = np.arange(1, self._room // self.step + 2, dtype=np.int64)
        return np.minimum(steps * self.step - 1, self._room)

    def _within(self, cap: int, rough: int) -> Ints:
        """`_worth` of a segment of so many ticks, by rough steps."""
        steps = min(cap, self._room) // self.step + 1
        some = self._worth[:steps]
        return some if rough == 1 else np.append(some[rough - 1 : -1 : rough], some[-1])

    def _together(self, caps: tuple[int, ...], rough: int) -> Ints:
        """By rough steps, what several segments can be worth."""
        if len(caps) == 1:
            return self._within(caps[0], rough)
        if (rough, caps) not in self._joined:
            self._joined[rough, caps] = _joined(self._within(caps[0], rough), self._together(caps[1:], rough))
        return self._joined[rough, caps]

    def _traced(self, at: int) -> tuple[Ints, int]:
        """The filling that a number of steps is worth, and the ticks that it really takes."""
        if at not in self._filled:
            top, worth = int(self._tops[at]), int(self._worth[at])
            counts = np.zeros(self._size, np.int64)
            for lot in self._lots:
                left = top - lot.lost
                if worth and left >= 0 and int(lot.sticks.hopes(np.array([left]))[0]) == worth:
                    counts = self._spread(lot, lot.sticks.filled(left))
                    break
            self._filled[at] = counts, self._taken(counts)
        return self._filled[at]

    def _shortened(self, counts: Ints, room: int) -> tuple[Ints, int]:
        """A filling without those pieces that it holds too much, the least ones first."""
        left = counts.copy()
        for j in np.flatnonzero(counts)[::-1]:
            while left[j] and self._taken(left) > room:
                left[j] -= 1
        return left, self._taken(left)

    def _spread(self, lot: Lot, counts: Ints) -> Ints:
        whole = np.zeros(self._size, np.int64)
        whole[lot.at] = counts
        return whole


def _beside(first: Ints, others: Ints, steps: int) -> Ints:
    """What is worth most by the steps that go to the first segment, up to all of them."""
    some = np.arange(min(first.size, steps + 1))
    together: Ints = first[some] + others[np.minimum(steps - some, others.size - 1)]
    return together


@njit(cache=True, nogil=True)
def _joined(one: Ints, other: Ints) -> Ints:
    """By steps, the most that two together can be worth; both rise with the steps."""
    both = np.zeros(one.size + other.size - 1, np.int64)
    for i in range(one.size):
        if i and one[i] == one[i - 1]:
            continue
        for j in range(other.size):
            both[i + j] = max(both[i + j], one[i] + other[j])
    for k in range(1, both.size):
        both[k] = max(both[k], both[k - 1])
    return both
