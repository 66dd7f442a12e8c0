"""Prices of items at which no sheet holds more than it costs, found by column generation: strong cuts for a bound.

A linear program chooses among sheets; where its prices make some sheet worth more than it costs, that sheet enters.
What enters is any collection of pieces that keeps to all pairs of scales, whether it can be laid or not, so that the
most a sheet is worth is never understated. Whatever the prices are, the cut they give holds.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from math import ceil

import highspy
import numpy as np

from nesting.highs import INFINITY, quiet_highs
from nesting.plates.counts import Cuts, single_cut
from nesting.plates.knapsack import LARGEST_PRICE
from nesting.plates.pricing import Priced
from nesting.plates.problem import RectProblem
from nesting.plates.types import Floats, Ints
from nesting.progress import Budget
from stock.money import Cost

_ROUNDS = 400
_KEPT = 6
"""Cuts handed over."""
_CLOSE = 1e-4
"""Ends when the best cut is so close to the value of the linear program."""
_SMOOTH = 0.6
"""Share of the best prices so far in those that are tried."""

Pricer = Callable[[int, Ints, int], Priced]
"""Prices one kind: its number, prices of the items, its cost in the same unit."""


class Columns:
    """The linear program over sheets.

    Parameters
    ----------
    demands
        Of each item asked for.
    sheets
        (kind, pieces of each such item) to begin with; among them sheets that meet the demand within the limits.
    """

    def __init__(self, problem: RectProblem, demands: Ints, sheets: Sequence[tuple[int, Ints]]) -> None:
        self.problem, self.demands = problem, demands
        self.costs = np.array([kind.cost for kind in problem.kinds], np.float64)
        self.unit = max(float(self.costs.max()), 1.0)
        self.row_of = {source: demands.size + n for n, source in enumerate(problem.limited)}
        self.highs = quiet_highs()
        none, nothing = np.zeros(0, np.int32), np.zeros(0)
        for demand in demands.tolist():
            self.highs.addRow(float(demand), INFINITY, 0, none, nothing)
        for limit in problem.limited.values():
            self.highs.addRow(-INFINITY, float(limit), 0, none, nothing)
        self.best: list[tuple[float, int, list[int]]] = []
        for kind, counts in sheets:
            self.add(kind, counts)

    def prices(self) -> Floats | None:
        """Of each item, in units of the dearest sheet; None if the program cannot be solved."""
        self.highs.run()
        if self.highs.getModelStatus() != highspy.HighsModelStatus.kOptimal:
            return None
        prices: Floats = np.array(self.highs.getSolution().row_dual)[: self.demands.size]
        return np.maximum(0.0, prices)

    def cuts(self, price: Pricer, budget: Budget, known: Cost) -> list[Cuts]:
        """The strongest cuts found, until they say no more than a `known` bound; none if there is no solution."""
        held: Floats = np.zeros(self.demands.size)
        costs = (self.costs * LARGEST_PRICE / self.unit).astype(np.int64)
        for _ in range(_ROUNDS):
            self.highs.run()
            if budget.over() or self.highs.getModelStatus() != highspy.HighsModelStatus.kOptimal:
                break
            duals = np.array(self.highs.getSolution().row_dual)
            value = self.highs.getInfo().objective_function_value
            strength = self.best[0][0] if self.best else 0.0
            if self._least(value) <= known or self._least(strength) >= self._least(value * (1.0 - _CLOSE)):
                break
            fresh = np.maximum(0.0, duals[: self.demands.size])
            smooth = _SMOOTH if held.any() else 0.0
            added = False
            while not added and smooth >= 0.0:
                tried = smooth * held + (1.0 - smooth) * fresh
                strength, added = self._round(tried, fresh, duals, costs, price)
                if strength >= self.best[0][0]:
                    held = tried
                smooth = -1.0 if smooth == 0.0 else 0.0
            budget.spend()
            if not added:
                break
        return [single_cut(need, holds) for _, need, holds in self.best]

    def _least(self, value: float) -> float:
        """The cost that a value of the program stands for: of whole sheets, where there is one kind."""
        return self.unit * (ceil(value - 1e-9) if len(self.problem.kinds) == 1 else value)

    def _round(
        self, tried: Floats, fresh: Floats, duals: Floats, costs: Ints, price: Pricer
    ) -> tuple[float, bool]:
        """Price every kind; how strong the cut is, and whether a sheet entered."""
        prices = np.minimum(tried * LARGEST_PRICE, LARGEST_PRICE).astype(np.int64)
        holds, added = [], False
        for k, kind in enumerate(self.problem.kinds):
            above, counts = price(k, prices, int(costs[k]))
            holds.append(above)
            row = self.row_of.get(kind.source)
            charge = self.costs[k] / self.unit - (duals[row] if row is not None else 0.0)
            if float(fresh @ counts) > charge + 1e-7:
                self.add(k, counts)
                added = True
        need = int(prices @ self.demands)
        rate = min((c / h for c, h in zip(self.costs / self.unit, holds, strict=True) if h > 0), default=0.0)
        strength = need * rate
        self.best = sorted([*self.best, (strength, need, holds)], key=lambda cut: -cut[0])[:_KEPT]
        return strength, added

    def add(self, kind: int, counts: Ints) -> None:
        """Let a sheet enter."""
        own = np.flatnonzero(counts)
        index, values = own.astype(np.int32), counts[own].astype(np.float64)
        row = self.row_of.get(self.problem.kinds[kind].source)
        if row is not None:
            index, values = np.append(index, np.int32(row)), np.append(values, 1.0)
        self.highs.addCol(float(self.costs[kind]) / self.unit, 0.0, INFINITY, index.size, index, values)
