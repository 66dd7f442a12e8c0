"""Pricing of sticks with a form: what they can be worth at the most, and fillings that can really be cut.

The first comes from plain knapsacks of the relaxed weights alone, so that anybody can verify it; the second is the
best of the fillings that the form confirms.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from itertools import combinations_with_replacement

import numpy as np

from nesting.bars import knapsack
from nesting.bars.form import Counts, Segments
from nesting.bars.mitres import Mitres, Mode
from nesting.bars.problem import Form
from nesting.bars.types import Ints

_LISTED = 400
_NODES = 100_000
_NARROWED = 3
_CELLS = 2_000
"""Of the coarse table that proposes many fillings at once."""

_ANY = (Mode(0, None, 0),)
_NO_TABLE = np.zeros((1, 1), np.int64)
_NO_STEPS = np.zeros((0, 0), np.int64)
_NOTHING: Ints = np.zeros(0, np.int64)


@dataclass(frozen=True, slots=True)
class Filled:
    """What one stick can be worth.

    Parameters
    ----------
    value
        An upper bound, or the threshold if nothing is above it.
    counts
        Of each item of the class in a filling worth more than the threshold, or None.
    exact
        Whether `value` is proved; False if a search gave up.
    """

    value: int
    counts: Ints | None
    exact: bool


Search = Callable[[Ints, Ints, int, int], Filled]
"""The plain knapsack: values, most copies, capacity, threshold. A filling that it gives is worth the value."""


@dataclass(frozen=True, slots=True)
class Stick:
    """One stick at given values.

    Parameters
    ----------
    items
        Of the problem, for each item of the class.
    weights, values, bounds
        Of each item of the class: ticks, worth, most copies.
    """

    form: Form
    items: Ints
    weights: Ints
    values: Ints
    bounds: Ints
    capacity: int
    search: Search

    def over(self, counts: Ints) -> int | None:
        """Ticks that a filling takes beyond the capacity; None if it can be cut from no stick however long."""
        held: Counts = tuple((int(self.items[j]), int(counts[j])) for j in np.flatnonzero(counts))
        excess = self.form.excess(held) if held else 0
        return None if excess is None else int(self.weights @ counts) + excess - self.capacity

    def can_be_cut(self, counts: Ints) -> bool:
        """Whether a filling can be cut from the stick."""
        over = self.over(counts)
        return over is not None and over <= 0

    def worth(self, counts: Ints) -> int:
        """Worth of a filling."""
        return int(self.values @ counts)


def most_worth(stick: Stick, threshold: int) -> Filled:
    """An upper bound on the worth of one stick, with a filling that need not be cuttable."""
    if isinstance(stick.form, Segments):
        return _segments_worth(stick, stick.form, threshold)
    best = Filled(threshold, None, True)
    for mode in (stick.form.modes if isinstance(stick.form, Mitres) else ()) or _ANY:
        found = _mode_worth(stick, mode, best.value)
        counts = best.counts if found.counts is None else found.counts
        best = Filled(max(best.value, found.value), counts, best.exact and found.exact)
    return best


def best_cut(stick: Stick, threshold: int) -> Filled:
    """As `most_worth`, but with a filling that can be cut, and the value of the best one where that is settled."""
    most = most_worth(stick, threshold)
    if most.counts is None or (stick.worth(most.counts) == most.value and stick.can_be_cut(most.counts)):
        return most
    counts = _cuttable(stick, most.counts, threshold)
    floor = threshold if counts is None else stick.worth(counts)
    if not isinstance(stick.form, Segments):
        better, is_whole = _listed(stick, floor)
        if better is not None:
            counts, floor = better, stick.worth(better)
        if is_whole:
            return Filled(floor, counts, True)
    return Filled(most.value, counts, most.exact)


def thinned(stick: Stick, counts: Ints) -> Ints:
    """A filling that can be cut: pieces of least worth for their weight are left out until the rest can."""
    left = counts.copy()
    by_worth = np.argsort(stick.values / stick.weights, kind="stable")
    while left.any() and not stick.can_be_cut(left):
        worst = next(j for j in by_worth if left[j])
        left[worst] -= 1
    return left


def proposed(stick: Stick, threshold: int) -> list[Ints]:
    """Many fillings that can be cut and are worth more than the threshold, for each item one that holds it.

    From a table over capacities in coarse steps, weights rounded up.
    """
    step = max(1, stick.capacity // _CELLS)
    weights: Ints = -(-stick.weights // step)
    room = stick.capacity // step
    fits = weights <= room
    bounds: Ints = np.where(fits, np.minimum(stick.bounds, room // np.maximum(weights, 1)), 0)
    ahead = knapsack.tables(weights, stick.values, bounds, room)
    behind = knapsack.tables(weights[::-1].copy(), stick.values[::-1].copy(), bounds[::-1].copy(), room)
    worth, fillings = knapsack.best_with_each(ahead, behind, weights, stick.values, bounds, room)
    cut = [thinned(stick, fillings[j]) for j in np.flatnonzero(worth > threshold)]
    return [counts for counts in cut if stick.worth(counts) > threshold]


def _mode_worth(stick: Stick, mode: Mode, threshold: int) -> Filled:
    """`most_worth` of fillings that hold so many bridges."""
    room = stick.capacity - mode.lost
    if not mode.fewest:
        return stick.search(stick.values, stick.bounds, room, threshold)
    best = Filled(threshold, None, True)
    ranked = sorted(_forced(stick, mode, room), key=lambda pair: -pair[0])
    for hope, forced in ranked:
        if hope <= best.value:
            break
        worth, left = stick.worth(forced), room - int(stick.weights @ forced)
        found = stick.search(stick.values, _beside(stick, mode, forced), left, best.value - worth)
        if found.counts is not None:
            best = Filled(found.value + worth, found.counts + forced, best.exact and found.exact)
        elif worth > best.value:
            best = Filled(worth, forced, best.exact and found.exact)
        else:
            best = replace(best, exact=best.exact and found.exact)
    return best


def _forced(stick: Stick, mode: Mode, room: int) -> Iterator[tuple[float, Ints]]:
    """Each choice of the bridges that must be there, with what the stick is worth with it at the very most."""
    bridges = _bridges(stick)
    hope = _Hope(stick)
    for chosen in combinations_with_replacement(bridges.tolist(), mode.fewest):
        forced = np.bincount(chosen, minlength=stick.items.size).astype(np.int64)
        left = room - int(stick.weights @ forced)
        if left >= 0 and (forced <= stick.bounds).all():
            yield stick.worth(forced) + hope.at(left), forced


def _bridges(stick: Stick) -> Ints:
    assert isinstance(stick.form, Mitres)
    return np.flatnonzero(np.isin(stick.items, np.array(stick.form.bridges, np.int64)))


def _beside(stick: Stick, mode: Mode, forced: Ints) -> Ints:
    """Most copies of each item beside the bridges that must be there."""
    bounds: Ints = stick.bounds - forced
    if mode.most is not None:
        bounds[_bridges(stick)] = 0
    return bounds


class _Hope:
    """What some room is worth if pieces could be cut in parts: never less than it is worth."""

    def __init__(self, stick: Stick) -> None:
        useful = np.flatnonzero((stick.values > 0) & (stick.bounds > 0))
        order = useful[np.argsort(-stick.values[useful] / stick.weights[useful], kind="stable")]
        self._room = np.concatenate(
            [[0.0], np.cumsum(stick.weights[order] * stick.bounds[order], dtype=float)]
        )
        self._worth = np.concatenate(
            [[0.0], np.cumsum(stick.values[order] * stick.bounds[order], dtype=float)]
        )

    def at(self, room: int) -> float:
        """The worth of so much room, widened so that rounding takes nothing off."""
        return float(np.interp(room, self._room, self._worth)) * (1.0 + 1e-9) + 1.0


def _segments_worth(stick: Stick, form: Segments, threshold: int) -> Filled:
    """A stick that the yard parts holds no more than one as long would, and no more than its segments each at best."""
    whole = stick.search(stick.values, stick.bounds, stick.capacity, threshold)
    if whole.counts is None:
        return whole
    apart, exact = 0, whole.exact
    alike = {cap: stick.search(stick.values, stick.bounds, cap, 0) for cap in set(form.caps)}
    for cap in form.caps:
        apart += alike[cap].value
        exact &= alike[cap].exact
    if apart <= threshold:
        return Filled(threshold, None, exact)
    return Filled(min(whole.value, apart), whole.counts, exact)


def _cuttable(stick: Stick, counts: Ints, threshold: int) -> Ints | None:
    """A good filling worth more than the threshold that can be cut; None if none was found."""
    tries = [thinned(stick, counts)]
    if isinstance(stick.form, Segments):
        tries.append(thinned(stick, _one_by_one(stick, stick.form)))
    else:
        tries += _narrowed(stick, counts, threshold)
    best = max(tries, key=stick.worth)
    return best if stick.worth(best) > threshold else None


def _narrowed(stick: Stick, counts: Ints, threshold: int) -> Iterator[Ints]:
    """The best filling of a stick that is shorter by what the last filling takes too much."""
    narrow = stick
    for _ in range(_NARROWED):
        over = stick.over(counts)
        if over is None or over <= 0:
            return
        narrow = replace(narrow, capacity=narrow.capacity - over)
        found = most_worth(narrow, threshold)
        if found.counts is None:
            return
        counts = found.counts
        if stick.can_be_cut(counts):
            yield counts


def _one_by_one(stick: Stick, form: Segments) -> Ints:
    """Each segment filled best with what the ones before leave."""
    counts = np.zeros_like(stick.bounds)
    left = stick.capacity
    for cap in sorted(form.caps, reverse=True):
        found = stick.search(stick.values, stick.bounds - counts, min(cap, left), 0)
        if found.counts is not None:
            counts = counts + found.counts
            left -= int(stick.weights @ found.counts)
    return counts


def _listed(stick: Stick, floor: int) -> tuple[Ints | None, bool]:
    """The best filling worth more than `floor` that can be cut, and whether all that are worth more were looked at."""
    useful = np.flatnonzero((stick.values > 0) & (stick.bounds > 0) & (stick.weights <= stick.capacity))
    order = useful[np.argsort(-(stick.values[useful] / stick.weights[useful]), kind="stable")]
    if not order.size:
        return None, True
    listed, is_whole = knapsack.list_fillings(
        stick.weights[order],
        stick.values[order],
        np.minimum(stick.bounds[order], stick.capacity // stick.weights[order]),
        stick.capacity,
        floor + 1,
        _NO_TABLE,
        0,
        True,
        _NO_STEPS,
        _NOTHING,
        _NOTHING,
        _NOTHING,
        _LISTED,
        _NODES,
    )
    fillings = np.zeros((len(listed), stick.items.size), np.int64)
    fillings[:, order] = listed
    for counts in fillings[np.argsort(-(fillings @ stick.values), kind="stable")]:
        if stick.can_be_cut(counts):
            return counts, is_whole
    return None, is_whole
