"""The cheapest numbers of sheets that satisfy cuts: exact, by CP-SAT; only cuts that matter are handed to it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from ortools.sat.python import cp_model

from nesting.plates.problem import NoSheets, RectProblem
from nesting.plates.types import Ints, Table
from stock.money import Cost

_ROUNDS = 20
_AT_ONCE = 8
"""Cuts added in a round, of each table."""
_EFFORT = 0.5
"""Deterministic time of CP-SAT in each round."""
_LARGEST = 2**24
"""Numbers of a cut are halved, to the safe side, until they are no larger: CP-SAT called numbers of sheets cheapest
that were not near 2^40."""


@dataclass(frozen=True, slots=True)
class Cuts:
    """Of each cut: the sum over usable kinds of holds x number is at least needs.

    Parameters
    ----------
    needs
        One entry a cut.
    holds
        One row a cut, one column a kind.
    usable
        Of each kind: 1, or 0 if its sheets hold none of the items that the needs are about.
    """

    needs: Ints
    holds: Table
    usable: Ints


def cheapest_counts(problem: RectProblem, cuts: Sequence[Cuts]) -> Cost:
    """The least cost of sheets that satisfy the cuts; raises NoSheets if the limits forbid it."""
    counts = _Counts(problem)
    numbers = np.zeros(len(problem.kinds), np.int64)
    for _ in range(_ROUNDS):
        fresh = [cut for table in cuts for cut in _broken(table, numbers)]
        if not fresh:
            break
        for need, holds in fresh:
            counts.add(need, holds)
        numbers = counts.solve()
    return counts.bound


def single_cut(need: int, holds: list[int]) -> Cuts:
    """A table of one cut of numbers of any size."""
    need, holds = _handy(need, holds)
    return Cuts(np.array([need], np.int64), np.array([holds], np.int64), np.ones(len(holds), np.int64))


def _handy(need: int, holds: list[int]) -> tuple[int, list[int]]:
    """The same cut or a weaker one, of handy numbers."""
    while max(need, *holds) > _LARGEST:
        need, holds = need // 2, [-(-h // 2) for h in holds]
    return need, holds


def _broken(table: Cuts, numbers: Ints) -> list[tuple[int, list[int]]]:
    """The cuts that these numbers of sheets break most."""
    held = table.holds @ (numbers * table.usable)
    broken = np.flatnonzero(held < table.needs)
    lack = (table.needs[broken] - held[broken]) / table.needs[broken]
    holds = table.holds[broken] * table.usable
    size = holds.max(axis=1, initial=1) / table.needs[broken]
    worst = np.lexsort((size, -lack))[:_AT_ONCE]
    return [(int(table.needs[broken[c]]), holds[c].tolist()) for c in worst]


class _Counts:
    """The model: one whole number for each kind."""

    def __init__(self, problem: RectProblem) -> None:
        self.pieces = sum(i.demand for i in problem.items)
        self.problem = problem
        self.bound: Cost = 0
        self.model = cp_model.CpModel()
        self.numbers = [
            self.model.new_int_var(
                0, min(problem.limited.get(kind.source, self.pieces), self.pieces), f"kind {k}"
            )
            for k, kind in enumerate(problem.kinds)
        ]
        for source, limit in problem.limited.items():
            own = [n for k, n in zip(problem.kinds, self.numbers, strict=True) if k.source == source]
            self.model.add(sum(own) <= limit)
        self.model.minimize(sum(k.cost * n for k, n in zip(problem.kinds, self.numbers, strict=True)))

    def add(self, need: int, holds: list[int]) -> None:
        """Add one cut, in handy numbers."""
        need, holds = _handy(need, holds)
        self.model.add(sum(h * n for h, n in zip(holds, self.numbers, strict=True)) >= need)

    def solve(self) -> Ints:
        """The cheapest numbers; lifts the bound."""
        solver = cp_model.CpSolver()
        solver.parameters.num_workers = 1
        solver.parameters.random_seed = 0
        solver.parameters.max_deterministic_time = _EFFORT
        status = solver.solve(self.model)
        if status == cp_model.INFEASIBLE:
            raise NoSheets(tuple(i for i, item in enumerate(self.problem.items) if item.demand), True)
        self.bound = max(self.bound, round(solver.best_objective_bound))
        if status not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
            return np.full(
                len(self.numbers), self.pieces, np.int64
            )  # breaks no cut: the bound stands as it is
        return np.array([solver.value(n) for n in self.numbers], np.int64)
