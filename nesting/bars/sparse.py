"""The bounded knapsack for capacities too wide for a table: lists of undominated states under a coarse table.

A table over capacities in coarse steps, weights rounded down, says what any rest of a stick can be worth at the very
most. A state (weight, worth) that cannot reach the bar with that is dropped, and so is one that another beats in
both. What is left follows the number of good fillings, not the capacity.

Sources: Pisinger 1997, *A minimal algorithm for the 0-1 knapsack problem* (lists of undominated states cut off by
bounds); Martello and Toth, *Knapsack Problems*, 1990, ch. 3 (copies of an item as lots of 1, 2, 4, ...).
"""

from __future__ import annotations

from functools import cached_property

import numpy as np

from nesting.bars import knapsack
from nesting.bars.types import Ints, Table
from nesting.compiled import njit

_CELLS = 2_000_000
_COLUMNS = (2_048, 8_192)
"""Least and most coarse steps of the widest stick; as many as fit into the cells of a table."""

FINE = 65_536
"""Steps of the widest stick where a bound hangs on them."""

_STATES = 8_000_000
_WALKED = 20_000
_BARS = (0.9, 0.5, 0.0)
"""Where the bar is put between threshold and hope, one after the other until enough is found above it."""

_FEW_STATES = 20_000
"""A search with no more states is cheap enough to be repeated below a lower bar."""


class Wide:
    """Fillings of sticks up to a widest capacity, for given worths.

    Parameters
    ----------
    weights, values, bounds
        Of each item: ticks, worth, most copies.
    widest
        Ticks of the longest stick.
    """

    def __init__(self, weights: Ints, values: Ints, bounds: Ints, widest: int) -> None:
        useful = np.flatnonzero((values > 0) & (bounds > 0) & (weights <= widest))
        self._order = useful[np.argsort(-weights[useful], kind="stable")]
        self._size, self._widest = weights.size, max(0, widest)
        self._weights, self._values = weights[self._order], values[self._order]
        self._bounds = bounds[self._order]
        self._step, self._behind = coarse(self._weights, self._values, self._bounds, max(0, widest))

    def hope(self, capacity: int) -> int:
        """No filling is worth more."""
        return int(self._behind[-1, max(0, capacity) // self._step])

    def hopes(self, rooms: Ints, is_fine: bool = False) -> Ints:
        """`hope` of many capacities at once, by finer steps if so asked; nothing below zero."""
        step, row = self._fine if is_fine else (self._step, self._behind[-1])
        hopes: Ints = np.where(rooms < 0, 0, row[np.maximum(rooms, 0) // step])
        return hopes

    @cached_property
    def _fine(self) -> tuple[int, Ints]:
        """A finer step, and the most that a stick can be worth within each number of them."""
        step = self._widest // FINE + 1
        return step, knapsack.worths(self._weights // step, self._values, self._bounds, self._widest // step)

    def filled(self, room: int) -> Ints:
        """A filling worth the hope, which may take some coarse steps more than there is room."""
        counts = np.zeros(self._order.size, np.int64)
        if room >= 0:
            weights, values = self._weights[::-1] // self._step, self._values[::-1].copy()
            bounds, steps = self._bounds[::-1].copy(), room // self._step
            knapsack.trace(self._behind, weights, values, bounds, steps, counts.size, counts)
        return self._spread(counts[::-1])

    def best(self, capacity: int, threshold: int) -> tuple[int, Ints | None]:
        """The most that a stick can be worth, and a filling; (threshold, None) if nothing is worth more.

        Where the search for it is too long, the worth is the hope, and the filling the best one found.
        """
        for bar in self._bars(capacity, threshold):
            worth, found, is_whole, _ = self._above(capacity, threshold, bar, only_best=True)
            counts = self._spread(found[0]) if len(found) else None
            if not is_whole:
                return self.hope(capacity), counts
            if counts is not None:
                return int(worth[0]), counts
        return threshold, None

    def several(self, capacity: int, threshold: int) -> list[tuple[int, Ints]]:
        """Many of the fillings worth most above the threshold, for each item one that holds it, with their worth."""
        best: list[tuple[int, Ints]] = []
        for bar in self._bars(capacity, threshold):
            worth, found, is_whole, states = self._above(capacity, threshold, bar, only_best=False)
            best = [(int(v), self._spread(counts)) for v, counts in zip(worth, found, strict=True)]
            if not is_whole or (best and (states > _FEW_STATES or 4 * len(best) > self._order.size)):
                break
        return best

    def _bars(self, capacity: int, threshold: int) -> list[int]:
        gap = self.hope(capacity) - threshold
        if gap <= 0 or not self._order.size:
            return []
        return sorted({threshold + int(gap * share) for share in _BARS}, reverse=True)

    def _above(self, capacity: int, floor: int, bar: int, only_best: bool) -> tuple[Ints, Table, bool, int]:
        return fillings_above(
            self._weights,
            self._values,
            self._bounds,
            capacity,
            floor,
            bar,
            only_best,
            self._behind,
            self._step,
            _STATES,
            _WALKED,
        )

    def _spread(self, counts: Ints) -> Ints:
        whole = np.zeros(self._size, np.int64)
        whole[self._order] = counts
        return whole


def coarse(
    weights: Ints, values: Ints, bounds: Ints, widest: int, exactly: bool = False
) -> tuple[int, Table]:
    """A step, and `tables` of the items in reverse order with weights and capacities rounded down to whole steps."""
    least, most = _COLUMNS
    columns = min(most, max(least, _CELLS // (weights.size + 1)))
    step = 1 if exactly else widest // columns + 1
    behind = knapsack.tables(
        weights[::-1] // step, np.ascontiguousarray(values[::-1]), bounds[::-1].copy(), widest // step
    )
    return step, behind


@njit(cache=True, nogil=True)
def fillings_above(
    weights: Ints,
    values: Ints,
    bounds: Ints,
    capacity: int,
    floor: int,
    bar: int,
    only_best: bool,
    behind: Table,
    step: int,
    most_states: int,
    most_walked: int,
) -> tuple[Ints, Table, bool, int]:
    """Good fillings worth more than a bar, which rises with the best one found; all values and weights above 0.

    Parameters
    ----------
    floor, bar
        The bar starts at `bar` and rises to half way between `floor` and the best, or to the best (`only_best`).
    behind, step
        As `coarse` gives them.
    most_states, most_walked
        Give up beyond as many states; look at so many of the fillings found.

    Returns falling worths and counts (fillings, items), whether the search was complete, and the states kept. With
    `only_best` it is one filling at the most, the best of all; otherwise each holds an item that none before it holds.
    """
    n = weights.size
    lot_item, lot_size, rest = _lots(weights, bounds, capacity)
    ratio = np.zeros(n + 1)
    for i in range(n - 1, -1, -1):
        ratio[n - i] = max(ratio[n - i - 1], values[i] / weights[i] * (1.0 + 1e-12))
    store = 4096
    state_from = np.zeros(store, np.int32)
    state_lot = np.full(store, -1, np.int32)
    kept = 1
    room = 1024
    found_worth = np.zeros(room, np.int64)
    found_state = np.zeros(room, np.int64)
    found = 0
    live_w = np.zeros(1, np.int64)
    live_v = np.zeros(1, np.int64)
    live_id = np.zeros(1, np.int64)
    best = floor
    is_complete = True
    for b in range(lot_item.size):
        w = lot_size[b] * weights[lot_item[b]]
        v = lot_size[b] * values[lot_item[b]]
        hope = behind[rest[b]]
        slope = ratio[rest[b]]
        m = live_w.size
        new_w = np.empty(2 * m, np.int64)
        new_v = np.empty(2 * m, np.int64)
        new_id = np.empty(2 * m, np.int64)
        size = 0
        p = 0
        q = 0
        top = -1
        while p < m or q < m:
            added = q < m and (p >= m or live_w[q] + w < live_w[p])
            if added:
                cw, cv, cid = live_w[q] + w, live_v[q] + v, live_id[q]
                q += 1
                if cw > capacity:
                    q = m
                    continue
            else:
                cw, cv, cid = live_w[p], live_v[p], live_id[p]
                p += 1
            left = capacity - cw
            if cv <= top or cv + hope[left // step] <= bar or cv + left * slope + 1.0 <= bar:
                continue
            if added:
                if kept == store:
                    if kept >= most_states:
                        is_complete = False
                        break
                    store *= 2
                    state_from = _grown(state_from, store)
                    state_lot = _grown(state_lot, store)
                state_from[kept] = cid
                state_lot[kept] = b
                cid = kept
                kept += 1
                if cv > bar:
                    if found == room:
                        room *= 2
                        found_worth = _grown(found_worth, room)
                        found_state = _grown(found_state, room)
                    found_worth[found] = cv
                    found_state[found] = cid
                    found += 1
                    best = max(best, cv)
                    bar = max(bar, best if only_best else floor + (best - floor) // 2)
            top = cv
            new_w[size] = cw
            new_v[size] = cv
            new_id[size] = cid
            size += 1
        if not is_complete:
            break
        live_w = new_w[:size].copy()
        live_v = new_v[:size].copy()
        live_id = new_id[:size].copy()
    order = np.argsort(-found_worth[:found], kind="mergesort")
    if only_best:
        order = order[:1]
    worth = np.zeros(min(n, found), np.int64)
    fillings = np.zeros((min(n, found), n), np.int64)
    is_held = np.zeros(n, np.bool_)
    counts = np.zeros(n, np.int64)
    size = 0
    for r in range(min(order.size, most_walked)):
        counts[:] = 0
        is_fresh = False
        s = found_state[order[r]]
        while s > 0:
            i = lot_item[state_lot[s]]
            counts[i] += lot_size[state_lot[s]]
            is_fresh = is_fresh or not is_held[i]
            is_held[i] = True
            s = state_from[s]
        if is_fresh:
            fillings[size] = counts
            worth[size] = found_worth[order[r]]
            size += 1
    return worth[:size], fillings[:size], is_complete, kept


@njit(cache=True, nogil=True)
def _lots(weights: Ints, bounds: Ints, capacity: int) -> tuple[Ints, Ints, Ints]:
    """Copies of each item in lots: item, size, and how many items the rest behind the lot still has."""
    n = weights.size
    total = 0
    for i in range(n):
        left = min(bounds[i], capacity // weights[i])
        lot = 1
        while left > 0:
            left -= min(lot, left)
            lot *= 2
            total += 1
    item = np.zeros(total, np.int64)
    size = np.zeros(total, np.int64)
    rest = np.zeros(total, np.int64)
    at = 0
    for i in range(n):
        left = min(bounds[i], capacity // weights[i])
        lot = 1
        while left > 0:
            item[at] = i
            size[at] = min(lot, left)
            left -= size[at]
            rest[at] = n - i if left > 0 else n - 1 - i
            lot *= 2
            at += 1
    return item, size, rest


@njit(cache=True, nogil=True)
def _grown(array, size):  # type: ignore[no-untyped-def]
    """A longer copy, of any kind of whole numbers."""
    longer = np.zeros(size, array.dtype)
    longer[: array.size] = array
    return longer
