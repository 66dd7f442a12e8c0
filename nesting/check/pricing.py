"""The checker's own pricing: can a stick hold parts that are worth more than it is allowed to be?

A bounded knapsack asked as a yes-or-no question, in exact integers. The states (ticks used, worth so far)
grow part by part, best worth per tick first. A state lives only while no other is both shorter and worth
more, and while the parts still to come, cut into fractions if need be, could lift it above the limit. Memory
follows the states that live, never the length of the stick.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from fractions import Fraction
from functools import reduce
from itertools import pairwise
from math import gcd
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

Ints: TypeAlias = NDArray[np.int64]

LARGEST_VALUE = 2**61
"""Sums of prices from here on are refused, so that 64-bit sums cannot overflow."""
LARGEST_CAPACITY = 2**46
"""Ticks; some twenty kilometres. With the limit above, the exact division below stays exact."""
MOST_STATES = 2_000_000
"""More live states than this are refused: a matter of seconds and some hundred megabytes."""


MANY = 2**31
"""As good as any number of pieces in a stick."""
ANY_ENDS = (0, MANY)


class TooLargeError(Exception):
    """The question is beyond what is answered exactly here."""


@dataclass(frozen=True, slots=True)
class Item:
    """A part as the knapsack sees it.

    Parameters
    ----------
    weight
        Ticks of bar it takes, kerf included; above zero.
    value
        Its price.
    copies
        At most so many in one stick.
    worth
        The price less what its own ticks cost, rounded up; equal to `value` where the stick is bought whole.
    ends
        How many of its ends are of the kind that a case of `find_above` counts.
    """

    weight: int
    value: int
    copies: int
    worth: int
    ends: int = 0


@dataclass(frozen=True, slots=True)
class Found:
    """A set of parts that is worth too much: ticks used and sum of prices."""

    weight: int
    value: int


def find_above(
    items: list[Item],
    capacity: int,
    threshold: int,
    exceeds: Callable[[int, int], bool] | None = None,
    ends: tuple[int, int] = ANY_ENDS,
) -> Found | None:
    """Find parts that fit a stick and are together worth more than a threshold.

    Parameters
    ----------
    items
        What may be cut from the stick.
    capacity
        Ticks for the sum of weights.
    threshold
        The sum of `worth` must be above it.
    exceeds
        Last word on a set above the threshold, given its ticks and its sum of values, for rules that `worth`
        only comes near to; None: every such set counts.
    ends
        Fewest `Item.ends` that a set must have together, and most: as many, or any number.

    Returns
    -------
    Found or None
        One such set; None proves that there is none.

    Raises
    ------
    TooLargeError
        If the numbers or the number of states are beyond the limits of this module.
    """
    items = [i for i in items if i.weight <= capacity and i.value > 0 and i.copies > 0]
    step = reduce(gcd, (i.weight for i in items), 0) or 1
    room = capacity // step
    chunks = _chunks(items, step, room)
    _refuse_large(chunks, capacity, threshold)
    found = _grow(chunks, room, threshold, exceeds or (lambda weight, value: True), step, ends)
    return None if found is None else Found(found[0] * step, found[1])


def worth_at_most(items: list[Item], capacity: int) -> int:
    """The most that parts which fit a stick can be worth; see `find_above`."""
    most = 0
    while (better := find_above(items, capacity, most)) is not None:
        most = better.value
    return most


@dataclass(frozen=True, slots=True)
class _Chunk:
    """Several copies of an item, taken together or not at all."""

    weight: int
    value: int
    worth: int
    ends: int


def _chunks(items: list[Item], step: int, room: int) -> list[_Chunk]:
    """Items as chunks of 1, 2, 4, ... copies, of which every number is made; best worth per tick first."""
    chunks = []
    for item in sorted(items, key=lambda i: Fraction(i.worth, i.weight), reverse=True):
        weight = item.weight // step
        left, size = min(item.copies, room // weight), 1
        while left > 0:
            take = min(size, left)
            chunks.append(_Chunk(take * weight, take * item.value, take * item.worth, take * item.ends))
            left, size = left - take, size * 2
    return chunks


def _refuse_large(chunks: list[_Chunk], capacity: int, threshold: int) -> None:
    largest = max(sum(c.value for c in chunks), sum(abs(c.worth) for c in chunks)) + abs(threshold)
    if largest >= LARGEST_VALUE:
        raise TooLargeError("its prices are too large to be added exactly")
    if capacity >= LARGEST_CAPACITY:
        raise TooLargeError("its stick is too long")


def _grow(
    chunks: list[_Chunk],
    room: int,
    threshold: int,
    exceeds: Callable[[int, int], bool],
    step: int,
    ends: tuple[int, int],
) -> tuple[int, int] | None:
    hope = _Hope(chunks)
    fewest, most = ends
    weight = value = worth = counted = np.zeros(1, np.int64)
    for done, chunk in enumerate(chunks, start=1):
        fits = (weight <= room - chunk.weight) & (counted + chunk.ends <= most)
        weight = np.concatenate((weight, weight[fits] + chunk.weight))
        value = np.concatenate((value, value[fits] + chunk.value))
        worth = np.concatenate((worth, worth[fits] + chunk.worth))
        # where there may be more than the fewest, there may be any number
        counted = np.concatenate((counted, np.minimum(counted[fits] + chunk.ends, fewest)))
        lives = worth + hope.of(done, room - weight) > threshold
        lived = _undominated(weight[lives], value[lives], worth[lives], counted[lives])
        weight, value, worth, counted = lived
        if not len(weight):
            return None
        if len(weight) > MOST_STATES:
            raise TooLargeError("it leaves too many ways to cut a stick to be looked through")
        able = np.flatnonzero(counted >= fewest)
        best = able[np.argmax(worth[able])] if len(able) else 0
        if len(able) and worth[best] > threshold and exceeds(int(weight[best]) * step, int(value[best])):
            return int(weight[best]), int(value[best])
    above = (worth > threshold) & (counted >= fewest)
    for w, v in zip(weight[above].tolist(), value[above].tolist(), strict=True):
        if exceeds(w * step, v):
            return w, v
    return None


def _undominated(weight: Ints, value: Ints, worth: Ints, counted: Ints) -> tuple[Ints, Ints, Ints, Ints]:
    """Drop every state that another with as many counted ends is at least as short and at least as valuable as."""
    order = np.lexsort((weight, counted))
    weight, value, worth, counted = weight[order], value[order], worth[order], counted[order]
    if len(weight) < 2:
        return weight, value, worth, counted
    same = counted[1:] == counted[:-1]
    best = _best_before(value, same)
    keep = np.concatenate(([True], ~same | (value[1:] > best[:-1])))
    weight, value, worth, counted = weight[keep], value[keep], worth[keep], counted[keep]
    last = np.concatenate(((weight[1:] != weight[:-1]) | (counted[1:] != counted[:-1]), [True]))
    return weight[last], value[last], worth[last], counted[last]


def _best_before(value: Ints, same: NDArray[np.bool_]) -> Ints:
    """The greatest value up to each state, among those with as many counted ends."""
    starts = np.concatenate(([0], np.flatnonzero(~same) + 1, [len(value)])).tolist()
    runs = [np.maximum.accumulate(value[a:b]) for a, b in pairwise(starts)]
    return np.concatenate(runs)


class _Hope:
    """The most that the chunks still to come can add, if the last of them may be cut anywhere.

    Source: Dantzig 1957, *Discrete-variable extremum problems* (from memory).
    """

    def __init__(self, chunks: list[_Chunk]) -> None:
        gains = [max(0, c.worth) for c in chunks]
        self.ends = np.cumsum([0, *(c.weight for c in chunks)], dtype=np.int64)
        self.gained = np.cumsum([0, *gains], dtype=np.int64)
        self.weights = np.array([*(c.weight for c in chunks), 1], np.int64)
        self.gains = np.array([*gains, 0], np.int64)

    def of(self, done: int, room: Ints) -> Ints:
        """Upper bound of what the chunks from number `done` on add to states with so much room left."""
        reach = room + self.ends[done]
        whole = np.searchsorted(self.ends, reach, side="right") - 1
        part = _times_over(reach - self.ends[whole], self.gains[whole], self.weights[whole])
        total: Ints = self.gained[whole] + part - self.gained[done]
        return total


def _times_over(a: Ints, b: Ints, c: Ints) -> Ints:
    """a x b / c rounded down, exact though a x b may need more than 64 bits.

    For 0 <= a <= c < 2**47 and 0 <= b < 2**62: the float quotient is off by less than 2**12, so that the
    remainder is right although both products wrap around.
    """
    about = np.asarray(a * (b / c), np.float64).astype(np.int64)
    remainder = a * b - about * c
    result: Ints = about + np.floor_divide(remainder, c, dtype=np.int64)
    return result
