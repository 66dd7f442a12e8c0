"""Exact pricing: given prices of items, the patterns that are worth more than their stick costs."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from functools import reduce
from math import gcd

import numpy as np

from nesting.bars import knapsack
from nesting.bars.form import Segments
from nesting.bars.formed import Filled, FormedSticks
from nesting.bars.parted import PartedSticks
from nesting.bars.problem import Form, Pattern, Problem
from nesting.bars.rolled import Rolled
from nesting.bars.rows import Rows
from nesting.bars.sparse import Wide
from nesting.bars.types import Ints

MOST_CELLS = 4_000_000
"""Largest table of values over all capacities."""
_MOST_MARKS = 20_000_000
"""Capacities times items, where sticks are priced over all capacities; wider ones are searched under a coarse table."""
_MARKS_A_STEP = 8
_WIDE_WORK = 10_000
_FORMED_WORK = 20_000
"""Steps for each item of a stick too wide for a table, roughly, and of one with a form."""


@dataclass(frozen=True, slots=True)
class Priced:
    """What pricing found for one stock.

    Parameters
    ----------
    value
        The most that one stick can be worth, or the threshold if nothing is above it.
    counts
        Per item of the problem, or None if nothing is above the threshold. Of a stick with a form the best filling
        found, which may be worth less than `value`.
    exact
        False if the search gave up: then more may be possible.
    """

    value: int
    counts: Ints | None
    exact: bool = True


class StockClass:
    """Stocks that cut the same items with the same kerf, rate and form: one table serves them all.

    Parameters
    ----------
    problem
        The whole problem.
    members
        Indices of the stocks.
    """

    def __init__(self, problem: Problem, members: tuple[int, ...]) -> None:
        first = problem.stocks[members[0]]
        self.members = members
        self.rate = first.rate
        self.form = first.form
        self.item_count = len(problem.items)
        raw = [problem.weights[members[0]][i] for i in first.items]
        step = reduce(gcd, raw, 0) or 1
        self.step = step
        self.items = np.array(first.items, np.int64)
        self.weights: Ints = np.array([w // step for w in raw], np.int64)
        self.longest_first = np.argsort(-self.weights, kind="stable")
        self.ticks = {t: problem.stocks[t].capacity for t in members}
        self.capacities = {t: room // step for t, room in self.ticks.items()}
        self.widest = max([0, *self.capacities.values()])
        self.like: object = None
        """Equal where the segments of sticks are alike."""
        if isinstance(first.form, Segments):
            held = tuple((s.items, s.weights, s.form) for s in first.form.as_one)
            room = min(max(first.form.caps), max(self.ticks.values()))
            self.like = room, first.rate, first.form.weights, first.form.ends, held
        cells = (len(first.items) + 1) * (self.widest + 1)
        self.has_table = cells <= MOST_CELLS
        self.is_rolled = cells <= _MOST_MARKS

    def values(self, prices: Ints, scale: int) -> Ints:
        """Worth of each item of the class: its price, less its own material where the stick is cut to length."""
        worth = prices[self.items]
        num, den = self.rate
        if num:
            own = [int(w) * self.step * num * scale // den for w in self.weights]
            worth = worth - np.array(own, np.int64)
        return worth

    def most(self, demands: Ints, widest: int | None = None) -> Ints:
        """How many of each item a stick may hold at the most."""
        return np.minimum(demands[self.items], (self.widest if widest is None else widest) // self.weights)

    @property
    def work(self) -> int:
        """About how many steps it takes to price the sticks of the class."""
        if isinstance(self.form, Segments) and self.form.ends is not None:
            return self.weights.size * _FORMED_WORK * len(self.members) * len(self.form.as_one)
        if self.form is not None:
            return self.weights.size * _FORMED_WORK * len(self.members)
        return self.weights.size * (self.widest // _MARKS_A_STEP + 1 if self.is_rolled else _WIDE_WORK)

    def formed(
        self, form: Form, values: Ints, bounds: Ints, shared: dict[object, Rows]
    ) -> FormedSticks | PartedSticks:
        """The sticks of the class with their form, in ticks.

        Parameters
        ----------
        shared
            Holds rows of segments for these values, and gets those of this class.
        """
        ticks, widest = self.weights * self.step, max(self.ticks.values())
        if isinstance(form, Segments):
            parted = PartedSticks(form, self.items, ticks, values, bounds, widest, shared.get(self.like))
            shared[self.like] = parted.rows
            return parted
        return FormedSticks(form, self.items, ticks, values, bounds, widest)

    def priced(self, filled: Filled) -> Priced:
        """What was found for the class's items, for all items of the problem."""
        counts = None if filled.counts is None else self.spread(filled.counts)
        return Priced(filled.value, counts)

    def spread(self, counts: Ints) -> Ints:
        """Counts of the class's items as counts of the problem's items."""
        whole = np.zeros(self.item_count, np.int64)
        whole[self.items] = counts
        return whole


class Pricer:
    """Prices patterns of a problem, exactly.

    Parameters
    ----------
    problem
        Items, sources and stocks.
    scale
        Prices are whole multiples of 1/scale ten-thousandths.
    """

    def __init__(self, problem: Problem, scale: int) -> None:
        self.problem = problem
        self.scale = scale
        self.classes = [StockClass(problem, tuple(m)) for m in _alike(problem)]
        numbers: dict[object, int] = {}
        for group in self.classes:
            group.like = numbers.setdefault(group.like, len(numbers))

    def best(self, prices: Ints, thresholds: Sequence[int], demands: Ints) -> dict[int, Priced]:
        """For each stock the pattern worth most, where it is worth more than its threshold.

        Parameters
        ----------
        prices
            One per item, at least 0.
        thresholds
            One per stock.
        demands
            Most copies of each item in one pattern.
        """
        return self._priced(prices, thresholds, demands, lambda sticks: sticks.best_cut)

    def good(self, prices: Ints, demands: Ints) -> dict[int, Ints]:
        """For each stock a good filling that can be cut, where there is one; counts per item of the problem."""
        found = self._priced(prices, [0] * len(self.problem.stocks), demands, lambda sticks: sticks.good)
        return {t: priced.counts for t, priced in found.items() if priced.counts is not None}

    def at_most(self, prices: Ints, thresholds: Sequence[int], demands: Ints) -> dict[int, Priced]:
        """As `best`, by sums of weights alone, so that anybody can verify it; what it holds may not be cuttable."""
        return self._priced(prices, thresholds, demands, lambda sticks: sticks.most_worth)

    def _priced(
        self,
        prices: Ints,
        thresholds: Sequence[int],
        demands: Ints,
        way: Callable[[FormedSticks | PartedSticks], Callable[[int, int], Filled]],
    ) -> dict[int, Priced]:
        found: dict[int, Priced] = {}
        shared: dict[object, Rows] = {}
        for group in self.classes:
            values = group.values(prices, self.scale)
            bounds = group.most(demands)
            if group.form is not None:
                worth = way(group.formed(group.form, values, bounds, shared))
                for t in group.members:
                    found[t] = group.priced(worth(group.ticks[t], thresholds[t]))
            else:
                kind = Rolled if group.is_rolled else Wide
                sticks = kind(group.weights, values, bounds, group.widest)
                for t in group.members:
                    value, counts = sticks.best(group.capacities[t], thresholds[t])
                    found[t] = group.priced(Filled(value, counts))
        return found

    @property
    def work(self) -> int:
        """About how many steps one exact pricing takes."""
        return sum(c.work for c in self.classes)

    def quick(self, demands: Ints) -> dict[int, Ints]:
        """For each stock a filling made in one sweep, long items first; counts per item of the problem."""
        found = {}
        for group in self.classes:
            bounds = group.most(demands)
            for t in group.members:
                order = group.longest_first
                counts = np.zeros_like(bounds)
                counts[order] = knapsack.fill_first(
                    group.weights[order], bounds[order], max(0, group.capacities[t])
                )
                if group.form is not None:
                    sticks = group.formed(group.form, group.weights, bounds, {})
                    counts = sticks.thinned(group.ticks[t], counts)
                if counts.any():
                    found[t] = group.spread(counts)
        return found

    def best_with_each(
        self, prices: Ints, thresholds: Sequence[int], demands: Ints
    ) -> tuple[dict[int, Priced], list[tuple[int, Pattern]]]:
        """As `best`, and besides for each item the best pattern that holds it, over all stocks.

        Returns what `best` returns (but for sticks with a form that fillings were found for by other means), and
        (worth above threshold, pattern) pairs, positive worth only.
        """
        found: dict[int, Priced] = {}
        champion: dict[int, tuple[int, int, Ints]] = {}
        shared: dict[object, Rows] = {}
        for group in self.classes:
            values = group.values(prices, self.scale)
            bounds = group.most(demands)
            for t, priced, fillings in self._several(group, values, bounds, thresholds, shared):
                found[t] = priced
                for worth, filling, holds in fillings:
                    gain = worth - thresholds[t]
                    for j in holds:
                        i = int(group.items[j])
                        if gain > 0 and (i not in champion or gain > champion[i][0]):
                            champion[i] = (gain, t, group.spread(filling))
        chosen = {(t, counts.tobytes()): (gain, t, counts) for gain, t, counts in champion.values()}
        return found, sorted(((gain, to_pattern(t, c)) for gain, t, c in chosen.values()), reverse=True)

    def _several(
        self,
        group: StockClass,
        values: Ints,
        bounds: Ints,
        thresholds: Sequence[int],
        shared: dict[object, Rows],
    ) -> Iterator[tuple[int, Priced, list[tuple[int, Ints, Ints]]]]:
        """For each stock of a class what it is worth, and fillings: worth, counts, the items they stand for."""
        if group.form is not None:
            sticks = group.formed(group.form, values, bounds, shared)
            for t in group.members:
                fillings = sticks.several(group.ticks[t], thresholds[t])
                filled = Filled(thresholds[t], None)
                if not fillings:
                    filled = sticks.best_cut(group.ticks[t], thresholds[t])
                    fillings = [] if filled.counts is None else [filled.counts]
                yield t, group.priced(filled), [(int(values @ f), f, np.flatnonzero(f)) for f in fillings]
        elif group.is_rolled:
            rolled = Rolled(group.weights, values, bounds, group.widest)
            for t in group.members:
                priced = group.priced(Filled(*rolled.best(group.capacities[t], thresholds[t])))
                worth, counts = rolled.with_each(group.capacities[t], thresholds[t])
                above = np.flatnonzero(worth > thresholds[t])
                yield t, priced, [(int(worth[j]), counts[j], above[n : n + 1]) for n, j in enumerate(above)]
        else:
            wide = Wide(group.weights, values, bounds, group.widest)
            for t in group.members:
                several = wide.several(group.capacities[t], thresholds[t])
                filled = Filled(*several[0]) if several else Filled(thresholds[t], None)
                yield t, group.priced(filled), [(v, f, np.flatnonzero(f)) for v, f in several]


def _alike(problem: Problem) -> list[list[int]]:
    """Stocks of which the longest has all items that the others have, each as many of them as fit: longest first."""
    classes: list[list[int]] = []
    for t in sorted(range(len(problem.stocks)), key=lambda t: -problem.stocks[t].capacity):
        stock = problem.stocks[t]
        if not stock.items or stock.capacity <= 0:
            continue
        for members in classes:
            first = problem.stocks[members[0]]
            weights = problem.weights[members[0]]
            fitting = {i: w for i, w in weights.items() if w <= stock.capacity}
            if (stock.rate, stock.form) == (first.rate, first.form) and problem.weights[t] == (
                weights if stock.form else fitting
            ):
                members.append(t)
                break
        else:
            classes.append([t])
    return classes


def to_pattern(stock: int, counts: Ints) -> Pattern:
    """A pattern from an array of counts."""
    return Pattern(stock, tuple((int(i), int(counts[i])) for i in np.flatnonzero(counts)))
