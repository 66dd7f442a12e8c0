"""Sequential value correction: fill stick after stick, then value dearer what ended in wasteful sticks, and again.

Source: Mukhacheva, Belousov, Lebedev 2000; Belov and Scheithauer 2007.
"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from nesting.bars.construct import best_value, is_large
from nesting.bars.pricing import Pricer, to_pattern
from nesting.bars.solution import Solution, produced, sticks_used
from nesting.bars.types import Floats, Ints
from nesting.progress import Budget

_UNIT = 2.0**24


class Correction:
    """Values of items that learn from pass to pass.

    Parameters
    ----------
    pricer
        The problem.
    rng
        Varies how strongly a value is corrected and how often a pattern is cut.
    """

    def __init__(self, pricer: Pricer, rng: np.random.Generator) -> None:
        self.pricer = pricer
        self.rng = rng
        lengths: Floats = np.array([i.length for i in pricer.problem.items], np.float64)
        self._lengths = lengths / lengths.max()
        self._power = self._lengths ** (1.02 + 0.04 * float(rng.random()))
        self._values: Floats = self._power.copy()

    def one_pass(self, demands: Ints, taken: dict[int, int], budget: Budget) -> Solution | None:
        """Cut everything once, correcting the values on the way; None if limited sticks or the budget run out.

        Parameters
        ----------
        taken
            Sticks of each source that are already used.
        """
        problem = self.pricer.problem
        left = demands.copy()
        used = dict(taken)
        solution: Solution = {}
        while left.any():
            if budget.over():
                return None
            prices = np.where(left > 0, np.maximum(1, (self._values * _UNIT).astype(np.int64)), 0)
            choice = best_value(self.pricer, prices, left, used)
            if choice is None:
                return None
            stock, counts = choice
            held = np.flatnonzero(counts)
            times = int((left[held] // counts[held]).min())
            source = problem.stocks[stock].source
            limit = problem.sources[source].limit
            if limit is not None:
                times = min(times, limit - used.get(source, 0))
            times = max(1, int(times * self.rng.uniform(0.4, 1.0)))
            pattern = to_pattern(stock, counts)
            solution[pattern] = solution.get(pattern, 0) + times
            used[source] = used.get(source, 0) + times
            self._correct(stock, counts, held, left, demands)
            left = left - times * counts
        return solution

    def _correct(self, stock: int, counts: Ints, held: Ints, left: Ints, demands: Ints) -> None:
        """Pull the values of what the stick holds towards what it costs there."""
        size = self.pricer.problem.stocks[stock].capacity / max(i.length for i in self.pricer.problem.items)
        filled = float(self._lengths @ counts)
        fresh = self._power[held] * max(1.0, size / filled)
        weight = self.rng.uniform(1.0, 1.5) * (demands[held] + left[held]) / counts[held]
        self._values[held] = (weight * self._values[held] + fresh) / (weight + 1.0)


def correct(
    pricer: Pricer, demands: Ints, rng: np.random.Generator, passes: int, budget: Budget
) -> Iterator[Solution]:
    """Solutions of several passes, in the order found; none where a pass would take too long."""
    if is_large(pricer):
        return
    correction = Correction(pricer, rng)
    for _ in range(passes):
        if budget.over():
            return
        budget.spend()
        solution = correction.one_pass(demands, {}, budget)
        if solution is not None:
            yield solution


def correct_rest(
    pricer: Pricer, whole: Solution, rng: np.random.Generator, passes: int, budget: Budget
) -> Iterator[Solution]:
    """Solutions that keep some sticks and cut the rest in several passes, in the order found."""
    problem = pricer.problem
    left = np.array(problem.demands, np.int64) - produced(problem, whole)
    taken = dict(sticks_used(problem, whole))
    correction = Correction(pricer, rng)
    for _ in range(passes):
        if budget.over():
            return
        budget.spend()
        rest = correction.one_pass(left, taken, budget)
        if rest is not None:
            yield {p: whole.get(p, 0) + rest.get(p, 0) for p in [*whole, *rest]}
