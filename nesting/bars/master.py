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
        for d in self.demands:
            self._highs.addRow(float(d), INFINITY, 0, np.empty(0, np.int32), np.empty(0))
        for s in self._limited:
            source = problem.sources[s]
            top = float(source.limit or 0)
            self._highs.addRow(top if exact else 0.0, top, 0, np.empty(0, np.int32), np.empty(0))
        dear = 20.0 * max([1.0, *(s.cost / unit for s in problem.stocks)])
        for i in range(n):
            self._highs.addCol(dear, 0.0, INFINITY, 1, np.array([i], np.int32), np.ones(1))
        self._first = n

    def add(self, patterns: Iterable[Pattern]) -> int:
        """Add the patterns not yet there; returns how many were new."""
        fresh = 0
        for pattern in patterns:
            if pattern in self._known or not pattern.counts:
                continue
            self._known.add(pattern)
            self.patterns.append(pattern)
            self._highs.addCol(
                self.problem.even_cost(pattern) / self.unit, 0.0, INFINITY, *self._column(pattern)
            )
            fresh += 1
        return fresh

    def _column(self, pattern: Pattern) -> tuple[int, Ints, Floats]:
        rows = [i for i, _ in pattern.counts]
        values = [float(k) for _, k in pattern.counts]
        row = self._limited.get(self.problem.stocks[pattern.stock].source)
        if row is not None:
            rows.append(row)
            values.append(1.0)
        return len(rows), np.array(rows, np.int32), np.array(values)

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
