"""How many sticks of each source: what a plan costs depends on these few numbers alone.

Any prices of the items give a cut that the numbers must satisfy: the sticks together can hold at least what all items
are worth. The cheapest numbers that satisfy all cuts found so far are a bound that knows about whole sticks; numbers
that the linear relaxation cannot pack give a new cut.

Source: Benders 1962 (cuts from a subproblem's duals), Gilmore and Gomory 1961 (the duals); the numbers are chosen by
CP-SAT in whole numbers, so that the bound is exact.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from ortools.sat.python import cp_model

from nesting.bars.columns import generate
from nesting.bars.master import Master
from nesting.bars.pricing import Pricer
from nesting.bars.problem import Problem
from nesting.bars.types import Floats
from nesting.progress import Budget
from stock.money import Cost

_PRICE_UNIT = 2**20
_WORK = 2.0
"""Deterministic time units of CP-SAT for one choice."""


@dataclass(frozen=True, slots=True)
class Choice:
    """Numbers of sticks by source, and what they cost."""

    counts: tuple[int, ...]
    cost: Cost


class Undecided(Exception):
    """The choice of numbers was not settled within its work."""


class StickCounts:
    """The numbers of sticks of a problem without material cut to length, and the cuts they must satisfy.

    Parameters
    ----------
    pricer
        The problem.
    """

    def __init__(self, pricer: Pricer) -> None:
        problem = pricer.problem
        self.pricer, self.problem = pricer, problem
        self._cuts: list[tuple[list[int], int]] = []
        self._refused: list[tuple[int, ...]] = []
        self._impossible: list[tuple[int, ...]] = []
        self._costs = [
            min((t.cost for t in problem.stocks if t.source == s), default=0)
            for s in range(len(problem.sources))
        ]

    @property
    def say_all(self) -> bool:
        """Whether the cost follows from the numbers; it does not where one way to cut a source is dearer than another.

        Then a search at the least cost of some numbers does not rule them out at a higher one.
        """
        return all(t.cost == self._costs[t.source] for t in self.problem.stocks)

    def add_cut(self, prices: Floats, violated_by: tuple[int, ...] | None = None) -> bool:
        """Add the cut of some item prices; False if it does not cut off the numbers it should."""
        top = float(prices.max(initial=0.0))
        if top <= 0.0:
            return False
        whole = np.floor(np.maximum(prices, 0.0) / top * _PRICE_UNIT).astype(np.int64)
        demands = np.array(self.problem.demands, np.int64)
        found = self.pricer.best(whole, [0] * len(self.problem.stocks), demands)
        if not all(p.exact for p in found.values()):
            return False
        held = [0] * len(self.problem.sources)
        for t, priced in found.items():
            source = self.problem.stocks[t].source
            held[source] = max(held[source], priced.value)
        need = int(whole @ demands)
        if violated_by is not None and sum(h * n for h, n in zip(held, violated_by, strict=True)) >= need:
            return False
        self._cuts.append((held, need))
        return all(t.cost == self._costs[t.source] for t in self.problem.stocks)

    def refuse(self, counts: tuple[int, ...]) -> None:
        """Pass over these numbers, and fewer, from now on: no packing was found (which proves nothing)."""
        self._refused.append(counts)

    def rule_out(self, counts: tuple[int, ...]) -> None:
        """These numbers, and fewer, were shown not to hold the items."""
        self._impossible.append(counts)

    def forget_refused(self) -> None:
        """Take refused numbers into consideration again."""
        self._refused.clear()

    def cheapest(self, at_least: Cost, below: Cost, budget: Budget) -> Choice | None:
        """The cheapest numbers that satisfy the cuts and cost from `at_least` up to less than `below`.

        Returns None if there are none. Raises Undecided if that is not settled.
        """
        step = self.problem.cost_step
        model = cp_model.CpModel()
        most = [self._most(s, below) for s in range(len(self._costs))]
        counts = [model.new_int_var(0, m, "") for m in most]
        for held, need in self._cuts:
            model.add(sum(h * n for h, n in zip(held, counts, strict=True)) >= need)
        for refused in [*self._refused, *self._impossible]:
            more = [model.new_bool_var("") for _ in counts]
            for n, limit, is_more in zip(counts, refused, more, strict=True):
                model.add(n >= limit + 1).only_enforce_if(is_more)
            model.add_bool_or(more)
        cost = sum((c // step) * n for c, n in zip(self._costs, counts, strict=True))
        model.add(cost >= -(-at_least // step))
        model.add(cost <= (below - 1) // step)
        model.minimize(cost)
        solver = solved(model, budget)
        if solver is None:
            return None
        chosen = tuple(solver.value(n) for n in counts)
        return Choice(chosen, sum(c * n for c, n in zip(self._costs, chosen, strict=True)))

    def _most(self, source: int, below: Cost) -> int:
        cost, limit = self._costs[source], self.problem.sources[source].limit
        pieces = sum(self.problem.demands)
        most = pieces if cost == 0 else min(pieces, below // cost)
        return most if limit is None else min(limit, most)


def solved(model: cp_model.CpModel, budget: Budget) -> cp_model.CpSolver | None:
    """The solver with the best solution of a choice of numbers; None if there is none. Raises Undecided."""
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    solver.parameters.random_seed = 0
    solver.parameters.max_deterministic_time = _WORK
    if not budget.counted:
        solver.parameters.max_time_in_seconds = max(0.05, budget.seconds_left())
    budget.spend()
    status = solver.solve(model)
    if status == cp_model.INFEASIBLE:
        return None
    if status != cp_model.OPTIMAL:
        raise Undecided
    return solver


def limited(problem: Problem, counts: tuple[int, ...]) -> Problem:
    """The problem with just so many sticks."""
    sources = tuple(replace(s, limit=n) for s, n in zip(problem.sources, counts, strict=True))
    return Problem(problem.items, sources, problem.stocks)


def unpackable_prices(master: Master, counts: tuple[int, ...], budget: Budget) -> Floats | None:
    """Prices of the items that show why so many sticks are too few, even cut in fractions; None if they are enough.

    Patterns found on the way are added to the master.
    """
    problem = limited(master.problem, counts)
    free = Problem(problem.items, problem.sources, tuple(replace(s, cost=0) for s in problem.stocks))
    inner = Master(free, 1.0)
    inner.add(p for p in master.patterns if counts[problem.stocks[p.stock].source])
    known = len(inner.patterns)
    demands = np.array(problem.demands, np.int64)
    value, duals, _, _ = generate(inner, Pricer(free, 2**40), demands, budget, most_rounds=200)
    master.add(inner.patterns[known:])
    return None if value <= 1e-7 else duals
