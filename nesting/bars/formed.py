"""Pricing of sticks with mitres: what they can be worth at the most, and fillings that can really be cut.

The first comes from plain knapsacks of the relaxed weights alone, so that anybody can verify it; the second is the
best of the fillings that the form confirms.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from nesting.bars import knapsack
from nesting.bars.form import Counts
from nesting.bars.mitres import Mitres, Mode
from nesting.bars.problem import Form
from nesting.bars.sparse import Wide, coarse
from nesting.bars.types import Ints

_LISTED = 200
_NODES = 100_000
_NARROWED = 3
_FORCED = 4
"""Choices of bridges for which fillings are proposed."""

_ANY = (Mode(0, False, 0),)
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
    """

    value: int
    counts: Ints | None


class FormedSticks:
    """Sticks of one class with mitres, for given values.

    Parameters
    ----------
    items
        Of the problem, for each item of the class.
    weights, values, bounds
        Of each item of the class: ticks, worth, most copies.
    widest
        Capacity of the longest of the sticks.
    """

    def __init__(
        self, form: Form, items: Ints, weights: Ints, values: Ints, bounds: Ints, widest: int
    ) -> None:
        self.form, self.items = form, items
        self.weights, self.values, self.bounds, self.widest = weights, values, bounds, widest

    def most_worth(self, capacity: int, threshold: int) -> Filled:
        """An upper bound on the worth of one stick, with a filling that need not be cuttable."""
        return self._most_worth(capacity, threshold, sharp=False)

    def _most_worth(self, capacity: int, threshold: int, sharp: bool) -> Filled:
        """`most_worth`; if sharp, with what each choice of bridges loses, and not just what all of them lose."""
        best = Filled(threshold, None)
        for mode in self._modes:
            found = self._mode_worth(mode, capacity, best.value, sharp)
            best = best if found.counts is None else found
        return best

    def best_cut(self, capacity: int, threshold: int) -> Filled:
        """As `most_worth`, but with a filling that can be cut; the value is that of the best one if that is settled."""
        most = self._most_worth(capacity, threshold, sharp=True)
        if most.counts is None or self._is_best(most, capacity):
            return most
        counts = self._cuttable(capacity, most.counts, threshold)
        floor = threshold if counts is None else self._worth(counts)
        better, is_whole = self._listed(capacity, floor)
        if better is not None:
            counts, floor = better, self._worth(better)
        return Filled(floor if is_whole else most.value, counts)

    def several(self, capacity: int, threshold: int) -> list[Ints]:
        """Good fillings that can be cut and are worth more than the threshold, different items in them."""
        found: list[Ints] = []
        for mode in self._modes:
            if mode.fewest:
                found += self._several_forced(mode, capacity, threshold)
            else:
                found += (counts for _, counts in self._all.several(capacity, threshold))
        cut = [self.thinned(capacity, counts) for counts in found]
        return [counts for counts in cut if self._worth(counts) > threshold]

    def thinned(self, capacity: int, counts: Ints) -> Ints:
        """A filling that can be cut: pieces of least worth for their weight are left out until the rest can."""
        left = counts.copy()
        while left.any() and not self.can_be_cut(capacity, left):
            worst = next(j for j in self._worst_first if left[j])
            left[worst] -= 1
        return left

    def can_be_cut(self, capacity: int, counts: Ints) -> bool:
        """Whether a filling can be cut from a stick."""
        over = self._over(capacity, counts)
        return over is not None and over <= 0

    def _over(self, capacity: int, counts: Ints) -> int | None:
        """Ticks that a filling takes beyond the capacity; None if it can be cut from no stick however long."""
        held = self._held(counts)
        excess = self.form.excess(held) if held else 0
        return None if excess is None else int(self.weights @ counts) + excess - capacity

    def _held(self, counts: Ints) -> Counts:
        return tuple((int(self.items[j]), int(counts[j])) for j in np.flatnonzero(counts))

    def _worth(self, counts: Ints) -> int:
        return int(self.values @ counts)

    def _is_best(self, filled: Filled, capacity: int) -> bool:
        """Whether a filling is worth its bound and can be cut."""
        counts = filled.counts
        return (
            counts is not None and self._worth(counts) == filled.value and self.can_be_cut(capacity, counts)
        )

    @property
    def _modes(self) -> tuple[Mode, ...]:
        return (self.form.modes if isinstance(self.form, Mitres) else ()) or _ANY

    @cached_property
    def _all(self) -> Wide:
        return Wide(self.weights, self.values, self.bounds, self.widest)

    @cached_property
    def _without_bridges(self) -> Wide:
        bounds = self.bounds.copy()
        if isinstance(self.form, Mitres):
            bounds[[self._place[bridge.item] for bridge in self.form.bridges]] = 0
        return Wide(self.weights, self.values, bounds, self.widest)

    @cached_property
    def _place(self) -> dict[int, int]:
        """Where each item stands in the class."""
        return {int(item): j for j, item in enumerate(self.items)}

    @cached_property
    def _ticks(self) -> list[int]:
        ticks: list[int] = self.weights.tolist()
        return ticks

    @cached_property
    def _worst_first(self) -> list[int]:
        worst: list[int] = np.argsort(self.values / self.weights, kind="stable").tolist()
        return worst

    def _mode_worth(self, mode: Mode, capacity: int, threshold: int, sharp: bool) -> Filled:
        """`most_worth` of fillings that hold as many bridges as a mode asks for."""
        if not mode.fewest:
            return Filled(*self._all.best(capacity - mode.lost, threshold))
        best = Filled(threshold, None)
        for hope, forced, left in self._forced(mode, capacity, sharp):
            if hope <= best.value:
                break
            worth = self._worth(forced)
            value, counts = self._beside(mode, forced, left, max(0, best.value - worth))
            if counts is not None:
                best = Filled(value + worth, counts + forced)
            elif worth > best.value:
                best = Filled(worth, forced)
        return best

    def _forced(self, mode: Mode, capacity: int, sharp: bool) -> list[tuple[int, Ints, int]]:
        """Each choice of the bridges that must be there, with a worth never exceeded with them and the room they leave.

        The most promising first.
        """
        form = self.form
        assert isinstance(form, Mitres)
        wide = self._without_bridges if mode.alone else self._all
        found = []
        for chosen, lost in form.choices(mode.fewest):
            where = [self._place[bridge.item] for bridge in chosen]
            left = capacity - (lost if sharp else mode.lost) - sum(self._ticks[j] for j in where)
            if left >= 0 and all(where.count(j) <= self.bounds[j] for j in where):
                found.append((sum(int(self.values[j]) for j in where) + wide.hope(left), where, left))
        size = self.items.size
        ranked = sorted(found, key=lambda choice: (-choice[0], choice[1]))
        return [
            (hope, np.bincount(where, minlength=size).astype(np.int64), left) for hope, where, left in ranked
        ]

    def _beside(self, mode: Mode, forced: Ints, left: int, threshold: int) -> tuple[int, Ints | None]:
        """The best filling beside the bridges that must be there."""
        if mode.alone:
            return self._without_bridges.best(left, threshold)
        value, counts = self._all.best(left, threshold)
        if counts is None or (counts + forced <= self.bounds).all():
            return value, counts
        return Wide(self.weights, self.values, self.bounds - forced, left).best(left, threshold)

    def _several_forced(self, mode: Mode, capacity: int, threshold: int) -> Iterator[Ints]:
        """Good fillings that hold bridges, for the most promising choices of them."""
        wide = self._without_bridges if mode.alone else self._all
        for hope, forced, left in self._forced(mode, capacity, sharp=True)[:_FORCED]:
            if hope <= threshold:
                break
            for _, counts in wide.several(left, max(0, threshold - self._worth(forced))):
                if (counts + forced <= self.bounds).all():
                    yield counts + forced

    def _cuttable(self, capacity: int, counts: Ints, threshold: int) -> Ints | None:
        """A good filling worth more than the threshold that can be cut; None if none was found."""
        tries = [self.thinned(capacity, counts), *self._narrowed(capacity, counts, threshold)]
        best = max(tries, key=self._worth)
        return best if self._worth(best) > threshold else None

    def _narrowed(self, capacity: int, counts: Ints, threshold: int) -> Iterator[Ints]:
        """The best filling of a stick that is shorter by what the last filling takes too much."""
        narrow = capacity
        for _ in range(_NARROWED):
            over = self._over(capacity, counts)
            if over is None or over <= 0:
                return
            narrow -= over
            found = self._most_worth(narrow, threshold, sharp=True)
            if found.counts is None:
                return
            counts = found.counts
            if self.can_be_cut(capacity, counts):
                yield counts

    def _listed(self, capacity: int, floor: int) -> tuple[Ints | None, bool]:
        """The best filling worth more than `floor` that can be cut, and whether all that are worth more were seen."""
        useful = np.flatnonzero((self.values > 0) & (self.bounds > 0) & (self.weights <= capacity))
        order = useful[np.argsort(-(self.values[useful] / self.weights[useful]), kind="stable")]
        if not order.size:
            return None, True
        weights, values = self.weights[order], self.values[order]
        bounds = np.minimum(self.bounds[order], capacity // weights)
        step, behind = coarse(weights, values, bounds, capacity)
        listed, is_whole = knapsack.list_fillings(
            weights,
            values,
            bounds,
            capacity,
            floor + 1,
            behind,
            step,
            True,
            _NO_STEPS,
            _NOTHING,
            _NOTHING,
            _NOTHING,
            _LISTED,
            _NODES,
        )
        fillings = np.zeros((len(listed), self.items.size), np.int64)
        fillings[:, order] = listed
        for counts in fillings[np.argsort(-(fillings @ self.values), kind="stable")]:
            if self.can_be_cut(capacity, counts):
                return counts, is_whole
            if isinstance(self.form, Mitres) and not self.form.is_settled(self._held(counts)):
                return None, False
        return None, is_whole
