"""Compiled kernels for the bounded knapsack: tables over all capacities, a quick filling, lists of all good ones.

All values and weights are 64-bit integers; callers keep the sum of values below 2^62.
Sources: Gilmore and Gomory 1961 (pricing cutting patterns by a knapsack); Martello and Toth, *Knapsack Problems*,
1990, ch. 3 (bounded knapsack, branch and bound by value per weight).
"""

from __future__ import annotations

import numpy as np

from nesting.bars.types import Ints, Table
from nesting.compiled import njit


@njit(cache=True, nogil=True)
def _add(row: Ints, weight: int, value: int, bound: int) -> None:
    """Let a row of best values, by capacity, hold copies of one more item."""
    capacity = row.size - 1
    if value <= 0 or weight > capacity:
        return
    if weight == 0:
        row += bound * value
        return
    left = min(bound, capacity // weight)
    if left == capacity // weight:
        # as many as fit: upwards, each capacity builds on one that may hold the item already
        for c in range(weight, capacity + 1):
            row[c] = max(row[c], row[c - weight] + value)
        return
    lot = 1
    while left > 0:
        take = min(lot, left)
        w, v = take * weight, take * value
        for c in range(capacity, w - 1, -1):
            row[c] = max(row[c], row[c - w] + v)
        left -= take
        lot *= 2


@njit(cache=True, nogil=True)
def tables(weights: Ints, values: Ints, bounds: Ints, capacity: int) -> Table:
    """Best value of the first i items within every capacity.

    Returns an array (items + 1, capacity + 1); row i uses items 0 .. i-1.
    """
    n = weights.size
    best = np.zeros((n + 1, capacity + 1), np.int64)
    for i in range(n):
        best[i + 1] = best[i]
        _add(best[i + 1], weights[i], values[i], bounds[i])
    return best


@njit(cache=True, nogil=True)
def worths(weights: Ints, values: Ints, bounds: Ints, capacity: int) -> Ints:
    """Best value within every capacity: the last row of `tables`, in less room."""
    row = np.zeros(capacity + 1, np.int64)
    for i in range(weights.size):
        _add(row, weights[i], values[i], bounds[i])
    return row


@njit(cache=True, nogil=True)
def trace(
    best: Table, weights: Ints, values: Ints, bounds: Ints, capacity: int, last: int, out: Ints
) -> None:
    """Add to `out` the counts that reach best[last, capacity] with the items before `last`."""
    c = capacity
    for i in range(last - 1, -1, -1):
        if best[i + 1, c] == best[i, c]:
            continue
        for k in range(1, bounds[i] + 1):
            left = c - k * weights[i]
            if left < 0:
                break
            if best[i, left] + k * values[i] == best[i + 1, c]:
                out[i] += k
                c = left
                break


@njit(cache=True, nogil=True)
def fill_first(weights: Ints, bounds: Ints, capacity: int) -> Ints:
    """A quick filling: of each item in order as many as go in."""
    counts = np.zeros(weights.size, np.int64)
    left = capacity
    for i in range(weights.size):
        take = min(bounds[i], left // weights[i])
        counts[i] = take
        left -= take * weights[i]
    return counts


@njit(cache=True, nogil=True)
def list_fillings(
    weights: Ints,
    values: Ints,
    bounds: Ints,
    capacity: int,
    least: int,
    behind: Table,
    step: int,
    all_of_them: bool,
    steps: Table,
    sizes: Ints,
    ahead: Ints,
    near: Ints,
    most: int,
    most_nodes: int,
) -> tuple[Table, bool]:
    """Every maximal filling worth at least `least`, or every filling; items ordered by falling value per weight.

    Maximal: no further copy of any item fits within its bound. Value zero items take part too.

    Parameters
    ----------
    behind
        `tables` of the items in reverse order, for a sharp bound on what is left.
    step
        Steps of the capacity for each column of `behind`, weights there rounded down; 0: there is no table.
    steps, sizes, ahead, near
        A lattice to join, none if `near` is empty: of fillings whose items move by `steps` through residues of the
        cyclic `sizes`, those count whose value is at least `least` and `near` of what is left of the way `ahead`.
    most, most_nodes
        Give up beyond as many fillings or steps.

    Returns the counts (fillings, items) and whether the list is complete.
    """
    n = weights.size
    room = 1024
    found = np.zeros((room, n), np.int64)
    size = 0
    counts = np.zeros(n, np.int64)
    value = 0
    left = capacity
    i = 0
    nodes = 0
    while True:
        alive = True
        while i < n:
            nodes += 1
            if step and value + behind[n - i, left // step] < least:
                alive = False
                break
            # what is worth less than nothing need not be taken
            ahead_worth = (left / weights[i]) * max(0, values[i]) * (1.0 + 1e-12)
            if step != 1 and value + ahead_worth + 1.0 < least:
                alive = False
                break
            take = min(bounds[i], left // weights[i])
            counts[i] = take
            value += take * values[i]
            left -= take * weights[i]
            i += 1
        if alive and value >= least:
            wanted = True
            if not all_of_them:
                for j in range(n):
                    if counts[j] < bounds[j] and weights[j] <= left:
                        wanted = False
                        break
            if wanted and near.size > 0:
                at = 0
                for k in range(sizes.size):
                    rest = ahead[k]
                    for j in range(n):
                        rest -= counts[j] * steps[j, k]
                    at = at * sizes[k] + rest % sizes[k]
                wanted = value - least >= near[at]
            if wanted:
                if size == most:
                    return found[:size], False
                if size == room:
                    room *= 2
                    wider = np.zeros((room, n), np.int64)
                    wider[:size] = found
                    found = wider
                found[size] = counts
                size += 1
        if nodes > most_nodes:
            return found[:size], False
        # positions from i on are not set: clear, then give up one copy of the last item taken
        for j in range(i, n):
            counts[j] = 0
        i -= 1
        while i >= 0 and counts[i] == 0:
            i -= 1
        if i < 0:
            return found[:size], True
        counts[i] -= 1
        value -= values[i]
        left += weights[i]
        i += 1


__all__ = ["fill_first", "list_fillings", "tables", "trace", "worths"]
