"""Pricing of sticks with mitres: what they can be worth at the most, and fillings that can really be cut.

The first comes from plain knapsacks of the relaxed weights alone, so that anybody can verify it; the second is the
best of the fillings that the form confirms.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property
from itertools import islice

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


@dataclass(frozen=True, slots=True)
class Bridged:
    """Choices of the bridges that a stick must hold: their places in the class, what is lost, and what they weigh.

    Parameters
    ----------
    beside
        How the rest of the stick is filled.
    """

    places: Ints
    lost: Ints
    weights: Ints
    values: Ints
    beside: Wide


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
        self._choices: dict[int, Bridged] = {}

    def hopes(self, rooms: Ints, is_fine: bool = False) -> Ints:
        """For many capacities what a stick is never worth more than, as `Wide.hopes`."""
        best = np.zeros(rooms.size, np.int64)
        for worth, lost, beside in self._hoped:
            np.maximum(best, np.where(rooms < lost, 0, worth + beside.hopes(rooms - lost, is_fine)), out=best)
        return best

    def filled(self, room: int) -> Ints:
        """A filling worth the hope, which may take more than there is room."""
        rooms = np.array([room])
        hope = int(self.hopes(rooms)[0])
        for mode in self._modes:
            if not mode.fewest:
                if int(self._all.hopes(rooms - mode.lost)[0]) == hope:
                    return self._all.filled(room - mode.lost)
                continue
            for worth, forced, left in self._forced(mode, room, hope - 1, sharp=True):
                assert worth == hope
                held: Ints = np.minimum(forced + self._bridged(mode).beside.filled(left), self.bounds)
                return held
        return np.zeros(self.items.size, np.int64)

    @cached_property
    def _hoped(self) -> list[tuple[int, int, Wide]]:
        """(worth, ticks, what is filled beside them) of each choice of bridges that no other one beats in both."""
        found: list[tuple[int, int, Wide]] = []
        for mode in self._modes:
            if not mode.fewest:
                found.append((0, mode.lost, self._all))
                continue
            bridged, best = self._bridged(mode), -(2**62)
            ticks = bridged.weights + bridged.lost
            for n in np.lexsort((-bridged.values, ticks)):
                if bridged.values[n] > best:
                    best = int(bridged.values[n])
                    found.append((best, int(ticks[n]), bridged.beside))
        return found

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

    def good(self, capacity: int, threshold: int) -> Filled:
        """As `best_cut`, with less care: a good filling that can be cut."""
        most = self._most_worth(capacity, threshold, sharp=True)
        if most.counts is None or self._is_best(most, capacity):
            return most
        return Filled(most.value, self._cuttable(capacity, most.counts, threshold))

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
        for hope, forced, left in self._forced(mode, capacity, threshold, sharp):
            if hope <= best.value:
                break
            worth = self._worth(forced)
            value, counts = self._beside(mode, forced, left, max(0, best.value - worth))
            if counts is not None:
                best = Filled(value + worth, counts + forced)
            elif worth > best.value:
                best = Filled(worth, forced)
        return best

    def _forced(
        self, mode: Mode, capacity: int, threshold: int, sharp: bool
    ) -> Iterator[tuple[int, Ints, int]]:
        """Each choice of the bridges that must be there, with a worth never exceeded with them and the room they leave.

        The most promising first, as long as more than the threshold can be hoped for.
        """
        bridged = self._bridged(mode)
        left = capacity - bridged.weights - (bridged.lost if sharp else mode.lost)
        hopes = np.where(left < 0, threshold, bridged.values + bridged.beside.hopes(left))
        for n in np.argsort(-hopes, kind="stable"):
            if hopes[n] <= threshold:
                return
            forced = np.bincount(bridged.places[n], minlength=self.items.size).astype(np.int64)
            yield int(hopes[n]), forced, int(left[n])

    def _bridged(self, mode: Mode) -> Bridged:
        """The choices of bridges of a mode that there are enough of."""
        if mode.fewest not in self._choices:
            assert isinstance(self.form, Mitres)
            choices = self.form.choices(mode.fewest)
            places = np.array([[self._place[b.item] for b in some] for some, _ in choices], np.int64)
            lost = np.array([ticks for _, ticks in choices], np.int64)
            places, lost = places.reshape(-1, mode.fewest), lost.reshape(-1)
            copies = (places[:, :, None] == places[:, None, :]).sum(axis=2)
            enough = (copies <= self.bounds[places]).all(axis=1)
            places, lost = places[enough], lost[enough]
            beside = self._without_bridges if mode.alone else self._all
            self._choices[mode.fewest] = Bridged(
                places, lost, self.weights[places].sum(axis=1), self.values[places].sum(axis=1), beside
            )
        return self._choices[mode.fewest]

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
        for _, forced, left in islice(self._forced(mode, capacity, threshold, sharp=True), _FORCED):
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
