"""Exact pricing: given prices of items, the patterns that are worth more than their stick costs."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import reduce
from math import gcd

import numpy as np

from nesting.bars import knapsack
from nesting.bars.problem import Pattern, Problem
from nesting.bars.types import Ints, Table

MOST_CELLS = 4_000_000
"""Largest table over all capacities (32 MB); wider problems are searched instead."""

_NODES = 300_000
_STATES = 4_000_000


@dataclass(frozen=True, slots=True)
class Priced:
    """What pricing found for one stock.

    Parameters
    ----------
    value
        The most that one stick can be worth, or the threshold if nothing is above it.
    counts
        Per item of the problem, or None if nothing is above the threshold.
    exact
        False if the search gave up: then more may be possible.
    """

    value: int
    counts: Ints | None
    exact: bool = True


class StockClass:
    """Stocks that cut the same items with the same kerf and rate: one table serves them all.

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
        self.item_count = len(problem.items)
        raw = [problem.weights[members[0]][i] for i in first.items]
        step = reduce(gcd, raw, 0) or 1
        self.step = step
        self.items = np.array(first.items, np.int64)
        self.weights: Ints = np.array([w // step for w in raw], np.int64)
        self.longest_first = np.argsort(-self.weights, kind="stable")
        self.capacities = {t: problem.stocks[t].capacity // step for t in members}
        self.widest = max([0, *self.capacities.values()])
        self.has_table = (len(first.items) + 1) * (self.widest + 1) <= MOST_CELLS

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
        alike: dict[tuple[object, ...], list[int]] = {}
        for t, stock in enumerate(problem.stocks):
            if stock.items and stock.capacity > 0:
                alike.setdefault((stock.kerf, stock.rate, stock.items, stock.weights), []).append(t)
        self.classes = [StockClass(problem, tuple(m)) for m in alike.values()]

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
        found: dict[int, Priced] = {}
        for group in self.classes:
            values = group.values(prices, self.scale)
            bounds = group.most(demands)
            if group.has_table:
                ahead = knapsack.tables(group.weights, values, bounds, group.widest)
                for t in group.members:
                    found[t] = self._from_table(group, ahead, values, bounds, t, thresholds[t])
            else:
                for t in group.members:
                    found[t] = _search(group, values, bounds, group.capacities[t], thresholds[t])
        return found

    def _from_table(
        self, group: StockClass, ahead: Table, values: Ints, bounds: Ints, t: int, threshold: int
    ) -> Priced:
        capacity = max(0, group.capacities[t])
        value = int(ahead[-1, capacity])
        if value <= threshold:
            return Priced(value, None)
        counts = np.zeros(values.size, np.int64)
        knapsack.trace(ahead, group.weights, values, bounds, capacity, values.size, counts)
        return Priced(value, group.spread(counts))

    @property
    def work(self) -> int:
        """About how many steps one exact pricing takes."""
        return sum(c.weights.size * (c.widest + 1) for c in self.classes)

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
                if counts.any():
                    found[t] = group.spread(counts)
        return found

    def best_with_each(
        self, prices: Ints, thresholds: Sequence[int], demands: Ints
    ) -> tuple[dict[int, Priced], list[tuple[int, Pattern]]]:
        """As `best`, and besides for each item the best pattern that holds it, over all stocks.

        Returns what `best` returns, and (worth above threshold, pattern) pairs, positive worth only.
        """
        found: dict[int, Priced] = {}
        champion: dict[int, tuple[int, Pattern]] = {}

        def offer(item: int, gain: int, t: int, counts: Ints) -> None:
            if gain > 0 and (item not in champion or gain > champion[item][0]):
                champion[item] = (gain, to_pattern(t, counts))

        for group in self.classes:
            values = group.values(prices, self.scale)
            bounds = group.most(demands)
            ahead = behind = None
            if group.has_table:
                ahead = knapsack.tables(group.weights, values, bounds, group.widest)
                behind = knapsack.tables(
                    group.weights[::-1].copy(), values[::-1].copy(), bounds[::-1].copy(), group.widest
                )
            for t in group.members:
                if ahead is None or behind is None:
                    priced = _search(group, values, bounds, group.capacities[t], thresholds[t])
                    if priced.counts is not None:
                        for i in np.flatnonzero(priced.counts):
                            offer(int(i), priced.value - thresholds[t], t, priced.counts)
                else:
                    priced = self._from_table(group, ahead, values, bounds, t, thresholds[t])
                    if priced.counts is not None:
                        worth, counts = knapsack.best_with_each(
                            ahead, behind, group.weights, values, bounds, group.capacities[t]
                        )
                        for j in np.flatnonzero(worth > thresholds[t]):
                            offer(
                                int(group.items[j]), int(worth[j]) - thresholds[t], t, group.spread(counts[j])
                            )
                found[t] = priced
        return found, sorted(set(champion.values()), reverse=True)


def _search(group: StockClass, values: Ints, bounds: Ints, capacity: int, threshold: int) -> Priced:
    """Branch and bound, then lists of states where that runs long."""
    useful = np.flatnonzero((values > 0) & (bounds > 0) & (group.weights <= capacity))
    order = useful[np.argsort(-(values[useful] / group.weights[useful]), kind="stable")]
    if not order.size or capacity <= 0:
        return Priced(min(threshold, 0) if threshold < 0 else threshold, None)
    args = (
        group.weights[order],
        values[order],
        np.minimum(bounds[order], capacity // group.weights[order]),
        capacity,
    )
    value, counts, done = knapsack.branch_and_bound(*args, threshold, _NODES)
    exact = done
    if not done:
        better, listed, done = knapsack.sparse_best(*args, value, _STATES)
        exact = done
        if better > value and done:
            value, counts = better, listed
    if value <= threshold:
        return Priced(threshold, None, exact)
    whole = np.zeros(values.size, np.int64)
    whole[order] = counts
    return Priced(int(value), group.spread(whole), exact)


def to_pattern(stock: int, counts: Ints) -> Pattern:
    """A pattern from an array of counts."""
    return Pattern(stock, tuple((int(i), int(counts[i])) for i in np.flatnonzero(counts)))
