"""The most that one sheet can be worth at given prices, if its pieces need only keep to sums that no sheet exceeds.

A search over how many of each item, depth first, the best first; cut off by the fractional knapsack of one blended
sum. All in whole numbers. Source: Horowitz and Sahni, "Computing partitions with applications to the knapsack
problem", 1974 (from memory), for the order of the search.
"""

from __future__ import annotations

import numpy as np

from nesting.compiled import njit
from nesting.plates.types import Ints, Table

LARGEST_PRICE = 2**22
LARGEST_SIZE = 2**38
"""Prices and blended sizes up to these keep all products within 64 bits."""


@njit(cache=True, nogil=True)
def _reach(prices: Ints, sizes: Ints, most: Ints, start: int, room: int) -> int:
    """At least what the items from `start` on can add within a room of the blended sum; they lie by price per size."""
    worth = 0
    for i in range(start, prices.size):
        if sizes[i] * most[i] <= room:
            room -= sizes[i] * most[i]
            worth += prices[i] * most[i]
        else:
            return int(worth + prices[i] * room // sizes[i])
    return int(worth)


@njit(cache=True, nogil=True)
def _most_of(rows: Table, left: Ints, item: int, most: int) -> int:
    """How many more of an item the sums allow."""
    for r in range(left.size):
        if rows[r, item] > 0:
            most = min(most, left[r] // rows[r, item])
    return int(most)


@njit(cache=True, nogil=True)
def most_worth(
    prices: Ints, most: Ints, rows: Table, holds: Ints, sizes: Ints, room: int, nodes: int
) -> tuple[int, int, Ints]:
    """The greatest worth that a sheet cannot exceed, the greatest one found, and its pieces of each item.

    Parameters
    ----------
    prices, most
        Of each item: worth of a piece, above 0, and how many there are. In order of falling price per blended size.
    rows, holds
        Of each sum and item what a piece adds to it; the most that a sheet may reach.
    sizes, room
        One further sum, blended of the others, by which the search is cut off.
    nodes
        Sheets looked at before what is left of the search is only estimated.
    """
    n = prices.size
    counts = np.zeros(n, np.int64)
    best_counts = np.zeros(n, np.int64)
    left = holds.copy()
    best = 0
    above = 0
    worth = 0
    start = 0
    while True:
        for i in range(start, n):
            c = _most_of(rows, left, i, most[i])
            if c > 0:
                counts[i] = c
                worth += c * prices[i]
                room -= c * sizes[i]
                for r in range(left.size):
                    left[r] -= c * rows[r, i]
        if worth > best:
            best = worth
            best_counts[:] = counts
        nodes -= 1
        last = n - 1
        while True:
            while last >= 0 and counts[last] == 0:
                last -= 1
            if last < 0:
                return max(best, above), best, best_counts
            counts[last] -= 1
            worth -= prices[last]
            room += sizes[last]
            for r in range(left.size):
                left[r] += rows[r, last]
            reach = worth + _reach(prices, sizes, most, last + 1, room)
            if reach > best:
                if nodes > 0:
                    start = last + 1
                    break
                above = max(above, reach)
            elif counts[last] > 0:
                # fewer of this item reach no further, as those that follow give less for their size
                worth -= counts[last] * prices[last]
                room += counts[last] * sizes[last]
                for r in range(left.size):
                    left[r] += counts[last] * rows[r, last]
                counts[last] = 0
