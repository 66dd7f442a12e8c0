"""A compiled walk over the residues of a lattice.

A residue is a tuple of remainders, kept as one index in mixed radix.
"""

from __future__ import annotations

import heapq

import numpy as np

from nesting.bars.types import Ints, Table
from nesting.compiled import njit

_FAR = np.int64(2**62)


@njit(cache=True, nogil=True)
def index_of(sizes: Ints, residue: Ints) -> int:
    """The index of a residue."""
    index = 0
    for k in range(sizes.size):
        index = index * sizes[k] + residue[k]
    return index


@njit(cache=True, nogil=True)
def moved(sizes: Ints, index: int, step: Ints, sign: int) -> int:
    """The index of a residue after a step forwards (1) or backwards (-1)."""
    result = 0
    radix = 1
    for k in range(sizes.size - 1, -1, -1):
        digit = index % sizes[k]
        index //= sizes[k]
        result += ((digit + sign * step[k]) % sizes[k]) * radix
        radix *= sizes[k]
    return result


@njit(cache=True, nogil=True)
def shortest(sizes: Ints, steps: Table, prices: Ints, limit: int) -> tuple[Ints, Ints]:
    """The cheapest multiset of steps to every residue, as far as it costs at most `limit`.

    Steps come by rising price. Source: Dijkstra 1959.

    Returns for each residue the price (2^62 where there is none) and the last step (-1 where there is none).
    """
    order = 1
    for size in sizes:
        order *= size
    # of steps to the same residue only the cheapest can be on a shortest way
    seen = np.zeros(order, np.bool_)
    useful = np.empty(prices.size, np.int64)
    count = 0
    for j in range(prices.size):
        at = index_of(sizes, steps[j])
        if at and not seen[at]:
            seen[at] = True
            useful[count] = j
            count += 1
    best = np.full(order, _FAR, np.int64)
    came = np.full(order, -1, np.int64)
    best[0] = 0
    heap = [(np.int64(0), np.int64(0))]
    while len(heap) > 0:
        price, here = heapq.heappop(heap)
        if price > best[here]:
            continue
        for c in range(count):
            j = useful[c]
            total = price + prices[j]
            if total > limit:
                break
            to = moved(sizes, int(here), steps[j], 1)
            if total < best[to]:
                best[to] = total
                came[to] = j
                heapq.heappush(heap, (total, np.int64(to)))
    return best, came


@njit(cache=True, nogil=True)
def way_to(sizes: Ints, steps: Table, came: Ints, residue: Ints) -> Ints:
    """The steps of the cheapest way to a residue that can be reached."""
    length = 0
    at = index_of(sizes, residue)
    while at != 0:
        length += 1
        at = moved(sizes, at, steps[came[at]], -1)
    way = np.empty(length, np.int64)
    at = index_of(sizes, residue)
    for k in range(length):
        way[k] = came[at]
        at = moved(sizes, at, steps[came[at]], -1)
    return way
