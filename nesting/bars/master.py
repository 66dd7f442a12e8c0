"""The linear master problem: how often each pattern is cut, and the dual prices of items and sources.

Kept in HiGHS and grown column by column, so that each solve starts from the last basis.
"""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np
from highspy import Highs, HighsModelStatus

from nesting.bars.problem import Pattern, Problem
from nesting.bars.types import Floats, Ints
from nesting.highs import INFINITY, quiet_highs

_PRIMAL = 4
"""HiGHS's number of the primal simplex method."""


class Master:
    """Set covering by patterns, with limits of sources.

    Parameters
    ----------
    problem
        Items, sources and stocks.
    unit
        Costs are divided by this, so that a stick costs about 1.
    exact
        Whether limited sources are used to the last stick.

    Every item has a stand-in column of great cost, so that the problem is never infeasible; `missing` reads them.
    """

    def __init__(self, problem: Problem, unit: float, exact: bool = False) -> None:
        self.problem = problem
        self.exact = exact
        self.unit = unit
        self.patterns: list[Pattern] = []
        self._known: set[Pattern] = set()
        self._highs = quiet_highs()
        self._highs.setOptionValue(
            "simplex_strategy", _PRIMAL
        )  # columns are added, the last point stays feasible
        n = len(problem.items)
        self.demands = np.array(problem.demands, np.float64)
        self._limited = {s: n + r for r, s in enumerate(_bounded(problem))}
        tops = np.array([problem.sources[s].limit or 0 for s in self._limited], np.float64)
        lower = np.concatenate([self.demands, tops if exact else 0.0 * tops])
        upper = np.concatenate([np.full(n, INFINITY), tops])
        nothing = np.empty(0, np.int32)
        self._highs.addRows(lower.size, lower, upper, 0, np.zeros(lower.size, np.int32), nothing, np.empty(0))
        dear = 20.0 * max([1.0, *(s.cost / unit for s in problem.stocks)])
        self._add_columns(np.full(n, dear), list(range(n)), list(range(n)), [1] * n)
        self._first = n

    def add(self, patterns: Iterable[Pattern]) -> int:
        """Add the patterns not yet there; returns how many were new."""
        fresh = [p for p in dict.fromkeys(patterns) if p.counts and p not in self._known]
        if not fresh:
            return 0
        self._known.update(fresh)
        self.patterns += fresh
        rows: list[int] = []
        values: list[int] = []
        starts = []
        for pattern in fresh:
            starts.append(len(rows))
            for i, k in pattern.counts:
                rows.append(i)
                values.append(k)
            limited = self._limited.get(self.problem.stocks[pattern.stock].source)
            if limited is not None:
                rows.append(limited)
                values.append(1)
        costs = np.array([self.problem.even_cost(p) / self.unit for p in fresh])
        self._add_columns(costs, starts, rows, values)
        return len(fresh)

    def _add_columns(self, costs: Floats, starts: list[int], rows: list[int], values: list[int]) -> None:
        size, free = costs.size, np.zeros(costs.size)
        matrix = np.array(starts, np.int32), np.array(rows, np.int32), np.array(values, np.float64)
        self._highs.addCols(size, costs, free, np.full(size, INFINITY), len(rows), *matrix)

    def set_demands(self, demands: Ints, taken: dict[int, int]) -> None:
        """Ask for other demands, with `taken` sticks of each source already used."""
        for i, d in enumerate(demands):
            self._highs.changeRowBounds(i, float(d), INFINITY)
        for s, row in self._limited.items():
            limit = self.problem.sources[s].limit or 0
            top = float(max(0, limit - taken.get(s, 0)))
            self._highs.changeRowBounds(row, top if self.exact else 0.0, top)

    def solve(self) -> float:
        """Solve the LP; returns its value in ten-thousandths."""
        self._highs.run()
        return float(self._highs.getInfo().objective_function_value) * self.unit

    def duals(self) -> tuple[Floats, dict[int, float]]:
        """Prices of the items and of the limited sources, ten-thousandths (a scarce source's price is negative)."""
        return self._split(self._highs)

    def central_duals(self) -> tuple[Floats, dict[int, float]] | None:
        """As `duals`, from near the centre of all optimal ones; None if the interior point method fails."""
        inner = quiet_highs()
        inner.setOptionValue("solver", "ipm")
        inner.setOptionValue("run_crossover", "off")
        inner.passModel(self._highs.getLp())
        inner.run()
        return self._split(inner) if inner.getModelStatus() == HighsModelStatus.kOptimal else None

    def _split(self, highs: Highs) -> tuple[Floats, dict[int, float]]:
        """Prices of items and of limited sources."""
        dual = np.array(highs.getSolution().row_dual) * self.unit
        return np.maximum(dual[: len(self.problem.items)], 0.0), {
            s: float(dual[r]) for s, r in self._limited.items()
        }

    def activity(self) -> Floats:
        """How often each pattern is cut."""
        return np.array(self._highs.getSolution().col_value)[self._first :]

    def basis(self) -> tuple[list[Pattern], list[int]] | None:
        """The basic patterns and the rows whose slack is basic; None if a stand-in is basic."""
        _, basic = self._highs.getBasicVariables()
        if any(0 <= j < self._first for j in basic):
            return None
        return [self.patterns[j - self._first] for j in basic if j >= 0], [-j - 1 for j in basic if j < 0]

    def missing(self) -> Floats:
        """How many of each item no source can give, in the fractional relaxation."""
        return np.array(self._highs.getSolution().col_value)[: len(self.problem.items)]


def _bounded(problem: Problem) -> list[int]:
    return [s for s, source in enumerate(problem.sources) if source.limit is not None]
