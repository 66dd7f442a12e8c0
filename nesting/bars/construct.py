"""A first valid solution at once: the stick that costs least for what it holds, filled best, as often as it goes.

Source: Haessler 1971 (sequential heuristic procedure), with exact filling of each stick.
"""

from __future__ import annotations

import numpy as np

from nesting.bars.pricing import Pricer, to_pattern
from nesting.bars.solution import Solution
from nesting.bars.types import Ints

_MOST_WORK = 400_000_000


class NoStock(Exception):
    """The limited sources do not hold the parts; `missing` is what is left over, per item."""

    def __init__(self, missing: Ints) -> None:
        super().__init__("limited sources do not hold the parts")
        self.missing = missing


def fill_greedily(
    pricer: Pricer, demands: Ints, taken: dict[int, int] | None = None, is_quick: bool = False
) -> Solution:
    """Cut stick after stick, each filled as full as possible, long items first.

    Parameters
    ----------
    demands
        Per item.
    taken
        Sticks of each source that are already used.
    is_quick
        Fill each stick in one sweep, even where filling it exactly would not take long.

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
    is_quick = is_quick or is_large(pricer)
    while left.any():
        # long items are worth slightly more per length, since they are harder to place later
        worth = lengths * (1.0 + lengths / lengths.max()) * (2**20 / lengths.max())
        prices = np.where(left > 0, np.maximum(1, worth.astype(np.int64)), 0)
        choice = best_value(pricer, prices, left, used, is_quick)
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


def is_large(pricer: Pricer) -> bool:
    """Whether filling every stick exactly would take more than a second or so."""
    problem = pricer.problem
    longest = max(s.length for s in problem.stocks)
    sticks = sum(i.length * i.demand for i in problem.items) // longest
    return min(sticks, 4 * len(problem.items)) * pricer.work > _MOST_WORK


def best_value(
    pricer: Pricer, prices: Ints, left: Ints, used: dict[int, int], is_quick: bool = False
) -> tuple[int, Ints] | None:
    """The stock and filling that cost least for their worth, among sticks still to be had.

    Parameters
    ----------
    prices
        Worth of each item.
    left, used
        Items not yet cut; sticks of each source already used.
    is_quick
        Fill in one sweep instead of best.
    """
    problem = pricer.problem
    fillings = pricer.quick(left) if is_quick else pricer.good(prices, left)
    best: tuple[float, float, int, Ints] | None = None
    for t, counts in fillings.items():
        source = problem.stocks[t].source
        limit = problem.sources[source].limit
        if limit is not None and used.get(source, 0) >= limit:
            continue
        worth = float(prices @ counts)
        # what a rest earns in full takes its time to find out
        cost = problem.even_cost(to_pattern(t, counts)) if is_quick else problem.cost(to_pattern(t, counts))
        key = (cost / worth, -worth, t)
        if best is None or key < best[:3]:
            best = (*key, counts)
    return None if best is None else (best[2], best[3])
