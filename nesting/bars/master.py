"""The linear master problem: how often each pattern is cut, and the dual prices of items and sources.

Kept in HiGHS and grown column by column, so that each solve starts from the last basis.
"""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np
from highspy import Highs, HighsLp, HighsModelStatus
from numpy.typing import NDArray

from nesting.bars.problem import Pattern, Problem
from nesting.bars.types import Floats, Ints
from nesting.highs import INFINITY, quiet_highs

_KEPT = 10
"""Columns a row that the interior point method starts with; others follow where they are missed."""
_MISSED = 1e-9
_DUAL, _PRIMAL = 1, 4
"""HiGHS's numbers of the simplex methods."""


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
        self._held: list[tuple[int, int, int]] = []
        self._is_closed: NDArray[np.bool_] = np.zeros(0, np.bool_)
        self._highs = quiet_highs()
        self._is_moved = True
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
        first = len(self.patterns)
        self.patterns += fresh
        self._held += [(first + j, i, k) for j, p in enumerate(fresh) for i, k in p.counts]
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
        """Ask for other demands, with `taken` sticks of each source already used.

        Patterns that hold more of an item than is asked are closed: half a stick with two would do for one. Those that
        are cut now are added with what is still asked of them.
        """
        cut = self.activity() > 1e-6
        self._is_moved = True
        n = len(demands)
        self._highs.changeRowsBounds(
            n, np.arange(n, dtype=np.int32), demands.astype(np.float64), np.full(n, INFINITY)
        )
        self._close(demands)
        for j in np.flatnonzero(cut & self._is_closed[: cut.size]):
            pattern = self.patterns[j]
            asked = tuple((i, min(k, int(demands[i]))) for i, k in pattern.counts if demands[i])
            self.add([Pattern(pattern.stock, asked)])
        for s, row in self._limited.items():
            limit = self.problem.sources[s].limit or 0
            top = float(max(0, limit - taken.get(s, 0)))
            self._highs.changeRowBounds(row, top if self.exact else 0.0, top)

    def _close(self, demands: Ints) -> None:
        """Close the patterns that hold more of an item than is asked, and open the others."""
        held = np.array(self._held, np.int64).reshape(-1, 3)
        closed = np.zeros(len(self.patterns), np.bool_)
        closed[held[held[:, 2] > demands[held[:, 1]], 0]] = True
        was = np.zeros_like(closed)
        was[: self._is_closed.size] = self._is_closed
        other = np.flatnonzero(closed != was)
        tops = np.where(closed[other], 0.0, INFINITY)
        columns = (self._first + other).astype(np.int32)
        self._highs.changeColsBounds(other.size, columns, np.zeros(other.size), tops)
        self._is_closed = closed

    def solve(self) -> float:
        """Solve the LP; returns its value in ten-thousandths."""
        # other demands leave the last prices feasible, more columns the last point
        self._highs.setOptionValue("simplex_strategy", _DUAL if self._is_moved else _PRIMAL)
        self._is_moved = False
        self._highs.run()
        return float(self._highs.getInfo().objective_function_value) * self.unit

    def duals(self) -> tuple[Floats, dict[int, float]]:
        """Prices of the items and of the limited sources, ten-thousandths (a scarce source's price is negative)."""
        return self._split(self._highs)

    def central_duals(self) -> tuple[Floats, dict[int, float]] | None:
        """As `duals`, from near the centre of all optimal ones; None if the interior point method fails.

        It gets the columns that are cheapest at the last prices, and then those that are worth more than they cost.
        """
        lp = self._highs.getLp()
        cheap = np.argsort(_reduced(lp, self._highs), kind="stable")
        is_out = np.ones(lp.num_col_, np.bool_)
        is_out[cheap[: _KEPT * lp.num_row_]] = False
        while True:
            inner = quiet_highs()
            inner.setOptionValue("solver", "ipm")
            inner.setOptionValue("run_crossover", "off")
            inner.passModel(lp)
            out = np.flatnonzero(is_out).astype(np.int32)
            if out.size:
                inner.deleteCols(out.size, out)
            inner.run()
            if inner.getModelStatus() != HighsModelStatus.kOptimal:
                return None
            missed = is_out & (_reduced(lp, inner) < -_MISSED)
            if not missed.any():
                return self._split(inner)
            is_out &= ~missed

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


def _reduced(lp: HighsLp, solved: Highs) -> Floats:
    """Reduced costs of all columns of a program at the prices of its rows where it was solved, perhaps with fewer."""
    matrix = lp.a_matrix_
    paid = np.array(matrix.value_) * np.array(solved.getSolution().row_dual)[np.array(matrix.index_)]
    reduced: Floats = np.array(lp.col_cost_) - np.add.reduceat(paid, np.array(matrix.start_)[:-1])
    return reduced


def _bounded(problem: Problem) -> list[int]:
    return [s for s, source in enumerate(problem.sources) if source.limit is not None]
