"""Compiled kernels for the bounded knapsack: tables over all capacities, and branch and bound for wide ones.

All values and weights are 64-bit integers; callers keep the sum of values below 2^62.
Sources: Gilmore and Gomory 1961 (pricing cutting patterns by a knapsack); Martello and Toth, *Knapsack Problems*,
1990, ch. 3 (bounded knapsack, branch and bound by value per weight).
"""

from __future__ import annotations

import numpy as np

from nesting.bars.types import Ints, Table
from nesting.compiled import njit


@njit(cache=True, nogil=True)
def tables(weights: Ints, values: Ints, bounds: Ints, capacity: int) -> Table:
    """Best value of the first i items within every capacity.

    Returns an array (items + 1, capacity + 1); row i uses items 0 .. i-1.
    """
    n = weights.size
    best = np.zeros((n + 1, capacity + 1), np.int64)
    for i in range(n):
        row = best[i + 1]
        row[:] = best[i]
        weight = weights[i]
        value = values[i]
        if value <= 0 or weight > capacity:
            continue
        left = min(bounds[i], capacity // weight)
        if left == capacity // weight:
            # as many as fit: upwards, each capacity builds on one that may hold the item already
            for c in range(weight, capacity + 1):
                row[c] = max(row[c], row[c - weight] + value)
            continue
        lot = 1
        while left > 0:
            take = min(lot, left)
            w = take * weight
            v = take * value
            for c in range(capacity, w - 1, -1):
                row[c] = max(row[c], row[c - w] + v)
            left -= take
            lot *= 2
    return best


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
def best_with_each(
    ahead: Table, behind: Table, weights: Ints, values: Ints, bounds: Ints, capacity: int
) -> tuple[Ints, Table]:
    """For each item the best filling that holds at least one of it.

    Parameters
    ----------
    ahead
        `tables` of the items in order.
    behind
        `tables` of the items in reverse order.

    Returns the values (items; -1 if the item does not fit) and the counts (items, items).
    """
    n = weights.size
    worth = np.full(n, -1, np.int64)
    counts = np.zeros((n, n), np.int64)
    back_weights = weights[::-1].copy()
    back_values = values[::-1].copy()
    back_bounds = bounds[::-1].copy()
    back = np.zeros(n, np.int64)
    for i in range(n):
        most = min(bounds[i], capacity // weights[i])
        before = ahead[i]
        after = behind[n - 1 - i]
        best_k = 0
        best_c = 0
        for k in range(1, most + 1):
            room = capacity - k * weights[i]
            for c in range(room + 1):
                value = k * values[i] + before[c] + after[room - c]
                if value > worth[i]:
                    worth[i] = value
                    best_k = k
                    best_c = c
        if best_k:
            trace(ahead, weights, values, bounds, best_c, i, counts[i])
            back[:] = 0
            room = capacity - best_k * weights[i]
            trace(behind, back_weights, back_values, back_bounds, room - best_c, n - 1 - i, back)
            counts[i] += back[::-1]
            counts[i, i] += best_k
    return worth, counts


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
def branch_and_bound(
    weights: Ints, values: Ints, bounds: Ints, capacity: int, floor: int, most_nodes: int
) -> tuple[int, Ints, bool]:
    """Best filling by depth-first search; the items come ordered by falling value per weight, all values above 0.

    Parameters
    ----------
    floor
        Only a filling worth more than this is looked for.
    most_nodes
        Give up after as many steps.

    Returns the best value found (`floor` if none is above it), its counts, and whether the search was complete.
    """
    n = weights.size
    counts = np.zeros(n, np.int64)
    best_counts = np.zeros(n, np.int64)
    lightest = np.empty(n + 1, np.int64)
    lightest[n] = capacity + 1
    for i in range(n - 1, -1, -1):
        lightest[i] = min(lightest[i + 1], weights[i])
    best = floor
    value = 0
    left = capacity
    i = 0
    nodes = 0
    while True:
        # forward: fill greedily from item i on, as long as it can still beat the best
        alive = True
        while i < n:
            nodes += 1
            if left < lightest[i]:
                break
            # float upper bound, widened so that rounding never prunes a better filling
            if value + (left / weights[i]) * values[i] * (1.0 + 1e-12) + 1.0 <= best:
                alive = False
                break
            take = min(bounds[i], left // weights[i])
            counts[i] = take
            value += take * values[i]
            left -= take * weights[i]
            i += 1
        if alive and value > best:
            best = value
            best_counts[:] = 0
            best_counts[:i] = counts[:i]
        if nodes > most_nodes:
            return best, best_counts, False
        # back: give up one copy of the last item taken
        i -= 1
        while i >= 0 and counts[i] == 0:
            i -= 1
        if i < 0:
            return best, best_counts, True
        counts[i] -= 1
        value -= values[i]
        left += weights[i]
        i += 1


@njit(cache=True, nogil=True)
def list_fillings(
    weights: Ints,
    values: Ints,
    bounds: Ints,
    capacity: int,
    least: int,
    behind: Table,
    use_table: bool,
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
        `tables` of the items in reverse order (used if `use_table`), for a sharp bound on what is left.
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
            if use_table:
                bound = value + behind[n - i, left]
                if bound < least:
                    alive = False
                    break
            elif value + (left / weights[i]) * values[i] * (1.0 + 1e-12) + 1.0 < least:
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


@njit(cache=True, nogil=True)
def sparse_best(
    weights: Ints, values: Ints, bounds: Ints, capacity: int, floor: int, most_states: int
) -> tuple[int, Ints, bool]:
    """Best filling by lists of undominated (weight, value) states; items ordered by falling value per weight.

    For wide capacities on which branch and bound runs long; memory follows the number of states, not the capacity.
    Returns as `branch_and_bound` does; not complete if the states grow beyond `most_states`.
    """
    n = weights.size
    total = 0
    for i in range(n):
        left = min(bounds[i], capacity // weights[i])
        lot = 1
        while left > 0:
            take = min(lot, left)
            left -= take
            lot *= 2
            total += 1
    lot_item = np.zeros(total, np.int64)
    lot_size = np.zeros(total, np.int64)
    at = 0
    for i in range(n):
        left = min(bounds[i], capacity // weights[i])
        lot = 1
        while left > 0:
            take = min(lot, left)
            lot_item[at] = i
            lot_size[at] = take
            at += 1
            left -= take
            lot *= 2
    # every state ever kept: its weight, value, the state it came from and the lot it added
    store = 1024
    state_from = np.zeros(store, np.int64)
    state_lot = np.full(store, -1, np.int64)
    kept = 1
    live_w = np.zeros(1, np.int64)
    live_v = np.zeros(1, np.int64)
    live_id = np.zeros(1, np.int64)
    best = floor
    best_id = -1
    for b in range(total):
        i = lot_item[b]
        w = lot_size[b] * weights[i]
        v = lot_size[b] * values[i]
        ratio = 0.0
        if b + 1 < total:
            ratio = values[lot_item[b + 1]] / weights[lot_item[b + 1]] * (1.0 + 1e-12)
        m = live_w.size
        new_w = np.empty(2 * m, np.int64)
        new_v = np.empty(2 * m, np.int64)
        new_id = np.empty(2 * m, np.int64)
        size = 0
        p = 0
        q = 0
        top = -1
        while p < m or q < m:
            if q >= m or (p < m and live_w[p] <= live_w[q] + w):
                cw, cv, cid, added = live_w[p], live_v[p], live_id[p], False
                p += 1
            else:
                cw, cv, cid, added = live_w[q] + w, live_v[q] + v, live_id[q], True
                q += 1
                if cw > capacity:
                    continue
            if cv <= top:
                continue
            if added:
                if kept == store:
                    if kept >= most_states:
                        return best, np.zeros(n, np.int64), False
                    store *= 2
                    grown_from = np.zeros(store, np.int64)
                    grown_lot = np.full(store, -1, np.int64)
                    grown_from[:kept] = state_from
                    grown_lot[:kept] = state_lot
                    state_from = grown_from
                    state_lot = grown_lot
                state_from[kept] = cid
                state_lot[kept] = b
                cid = kept
                kept += 1
                if cv > best:
                    best = cv
                    best_id = cid
            if cv + (capacity - cw) * ratio + 1.0 <= best and cid != best_id:
                continue
            top = cv
            new_w[size] = cw
            new_v[size] = cv
            new_id[size] = cid
            size += 1
        live_w = new_w[:size].copy()
        live_v = new_v[:size].copy()
        live_id = new_id[:size].copy()
    counts = np.zeros(n, np.int64)
    while best_id > 0:
        b = state_lot[best_id]
        counts[lot_item[b]] += lot_size[b]
        best_id = state_from[best_id]
    return best, counts, True


__all__ = [
    "best_with_each",
    "branch_and_bound",
    "fill_first",
    "list_fillings",
    "sparse_best",
    "tables",
    "trace",
]
