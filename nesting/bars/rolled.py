"""The bounded knapsack over all capacities: one row of values rolled on from item to item, a mark for each step.

The mark of a lot and a capacity says whether the best filling with the lots so far takes this one. The row alone is
worked on, so that the loops run over neighbouring numbers and the marks take one byte each.

Sources: Gilmore and Gomory 1966 (the recursion); Martello and Toth, *Knapsack Problems*, 1990, ch. 3 (copies of an item
as lots of 1, 2, 4, ...).
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from nesting.bars.types import Ints, Table
from nesting.compiled import njit


class Rolled:
    """Fillings of sticks up to a widest capacity, for given worths.

    Parameters
    ----------
    weights, values, bounds
        Of each item: steps of the capacity, worth, most copies.
    widest
        Steps of the longest stick.
    """

    def __init__(self, weights: Ints, values: Ints, bounds: Ints, widest: int) -> None:
        self._weights, self._values, self._bounds = weights, values, bounds
        self._row, self._marks, self._items, self._sizes = roll(weights, values, bounds, max(0, widest))

    def best(self, capacity: int, threshold: int) -> tuple[int, Ints | None]:
        """The most that a stick can be worth, and a filling, which is None if that is not above the threshold."""
        value = int(self._row[max(0, capacity)])
        if value <= threshold:
            return value, None
        counts = np.zeros_like(self._weights)
        trace(self._marks, self._items, self._sizes, self._weights, capacity, counts)
        return value, counts

    def with_each(self, capacity: int, threshold: int) -> tuple[Ints, Table]:
        """For each item a filling that holds it, the best but where that takes all copies of the item: worth, counts.

        Items without one above the threshold are worth that.
        """
        return with_each(
            self._row,
            self._marks,
            self._items,
            self._sizes,
            self._weights,
            self._values,
            self._bounds,
            max(0, capacity),
            threshold,
        )


@njit(cache=True, nogil=True)
def roll(
    weights: Ints, values: Ints, bounds: Ints, widest: int
) -> tuple[Ints, NDArray[np.bool_], Ints, Ints]:
    """The best value within every capacity, the marks of each lot, its item, and its size.

    Size 0: as many copies as fit, one at a time. Items worth nothing have no lots. All weights are above 0.
    """
    items, sizes = _lots(weights, values, bounds, widest)
    marks = np.zeros((items.size, widest + 1), np.bool_)
    row = np.zeros(widest + 1, np.int64)
    other = np.zeros(widest + 1, np.int64)
    for lot in range(items.size):
        weight, value = weights[items[lot]], values[items[lot]]
        if sizes[lot] == 0:
            _take_many(row, marks[lot], weight, value)
        else:
            _take_lot(row, other, marks[lot], sizes[lot] * weight, sizes[lot] * value)
            row, other = other, row
    return row, marks, items, sizes


@njit(cache=True, nogil=True)
def _take_many(row: Ints, marks: NDArray[np.bool_], weight: int, value: int) -> None:
    """Any number of copies: upwards, each stretch as long as the item builds on the one before."""
    for start in range(weight, row.size, weight):
        end = min(start + weight, row.size)
        without, rest, mark = row[start:end], row[start - weight : end - weight], marks[start:end]
        for c in range(without.size):
            taken = rest[c] + value
            mark[c] = taken > without[c]
            without[c] = max(without[c], taken)


@njit(cache=True, nogil=True)
def _take_lot(row: Ints, out: Ints, marks: NDArray[np.bool_], weight: int, value: int) -> None:
    """One lot or none."""
    out[:weight] = row[:weight]
    without, rest = row[weight:], row[: row.size - weight]
    better, mark = out[weight:], marks[weight:]
    for c in range(without.size):
        taken = rest[c] + value
        mark[c] = taken > without[c]
        better[c] = max(without[c], taken)


@njit(cache=True, nogil=True)
def _lots(weights: Ints, values: Ints, bounds: Ints, widest: int) -> tuple[Ints, Ints]:
    """Item and size of each lot that fits."""
    total = 0
    for at in range(2):
        items, sizes = np.zeros(total, np.int64), np.zeros(total, np.int64)
        total = 0
        for i in range(weights.size):
            most = widest // weights[i]
            left = min(bounds[i], most)
            if values[i] <= 0 or left <= 0:
                continue
            many = left == most
            lot = 1
            while left > 0:
                size = left if many else min(lot, left)
                if at:
                    items[total], sizes[total] = i, 0 if many else size
                total += 1
                left -= size
                lot *= 2
    return items, sizes


@njit(cache=True, nogil=True)
def trace(
    marks: NDArray[np.bool_], items: Ints, sizes: Ints, weights: Ints, capacity: int, out: Ints
) -> None:
    """Add to `out` the counts of the best filling within a capacity."""
    lot, left = items.size - 1, capacity
    while lot >= 0:
        i = items[lot]
        if marks[lot, left]:
            size = max(1, sizes[lot])
            out[i] += size
            left -= size * weights[i]
            if sizes[lot] == 0:
                continue
        lot -= 1


@njit(cache=True, nogil=True)
def with_each(
    row: Ints,
    marks: NDArray[np.bool_],
    items: Ints,
    sizes: Ints,
    weights: Ints,
    values: Ints,
    bounds: Ints,
    capacity: int,
    threshold: int,
) -> tuple[Ints, Table]:
    """As `Rolled.with_each`."""
    n = weights.size
    worth = np.full(n, threshold, np.int64)
    counts = np.zeros((n, n), np.int64)
    if row[capacity] <= threshold:
        return worth, counts
    best = np.zeros(n, np.int64)
    trace(marks, items, sizes, weights, capacity, best)
    for i in range(n):
        if best[i]:
            counts[i] = best
            worth[i] = row[capacity]
        elif bounds[i] > 0 and weights[i] <= capacity:
            room = capacity - weights[i]
            if row[room] + values[i] > threshold:
                counts[i, i] = 1
                trace(marks, items, sizes, weights, room, counts[i])
                # the rest of the stick may be filled with all copies of the item once more
                spare = max(0, counts[i, i] - bounds[i])
                counts[i, i] -= spare
                worth[i] = row[room] + values[i] - spare * values[i]
    return worth, counts


__all__ = ["Rolled", "roll", "trace", "with_each"]
