"""A first valid solution at once: the stick that costs least for what it holds, filled best, as often as it goes.

Source: Haessler 1971 (sequential heuristic procedure), with exact filling of each stick.
"""

from __future__ import annotations

import numpy as np

from nesting.bars.pricing import Pricer, to_pattern
from nesting.bars.problem import Problem
from nesting.bars.solution import Solution
from nesting.bars.types import Ints


class NoStock(Exception):
    """The limited sources do not hold the parts; `missing` is what is left over, per item."""

    def __init__(self, missing: Ints) -> None:
        super().__init__("limited sources do not hold the parts")
        self.missing = missing


def fill_greedily(pricer: Pricer, demands: Ints, taken: dict[int, int] | None = None) -> Solution:
    """Cut stick after stick, each filled as full as possible, long items first.

    Parameters
    ----------
    demands
        Per item.
    taken
        Sticks of each source that are already used.

    Raises
    ------
    NoStock
        If the sticks run out.
    """
    problem = pricer.problem
    left = demands.copy()
    used = dict(taken or {})
    solution: Solution = {}
    lengths = np.array([i.length for i in problem.items], np.float64)
    while left.any():
        # long items are worth slightly more per length, since they are harder to place later
        worth = lengths * (1.0 + lengths / lengths.max()) * (2**20 / lengths.max())
        prices = np.where(left > 0, np.maximum(1, worth.astype(np.int64)), 0)
        choice = best_value(problem, pricer, prices, left, used)
        if choice is None:
            raise NoStock(left)
        stock, counts = choice
        source = problem.stocks[stock].source
        held = np.flatnonzero(counts)
        times = int((left[held] // counts[held]).min())
        limit = problem.sources[source].limit
        if limit is not None:
            times = min(times, limit - used.get(source, 0))
        pattern = to_pattern(stock, counts)
        solution[pattern] = solution.get(pattern, 0) + times
        used[source] = used.get(source, 0) + times
        left = left - times * counts
    return solution


def best_value(
    problem: Problem, pricer: Pricer, prices: Ints, left: Ints, used: dict[int, int]
) -> tuple[int, Ints] | None:
    """The stock and filling that cost least for their worth, among sticks still to be had."""
    found = pricer.best(prices, [0] * len(problem.stocks), left)
    best: tuple[float, int, int, Ints] | None = None
    for t, priced in found.items():
        stock = problem.stocks[t]
        limit = problem.sources[stock.source].limit
        if priced.counts is None or (limit is not None and used.get(stock.source, 0) >= limit):
            continue
        worth = float(prices @ priced.counts)
        key = (problem.cost(to_pattern(t, priced.counts)) / worth, -priced.value, t)
        if best is None or key < best[:3]:
            best = (*key, priced.counts)
    return None if best is None else (best[2], best[3])
