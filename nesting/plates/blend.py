"""One strong cut for several kinds of sheet: prices of items that no sheet holds more of than it costs.

A linear program shares the items out among the kinds, each kind bound by scales of its own. Its multipliers, rounded
down to whole numbers, blend the scales into one price for each item and one holding for each kind. Whatever the
multipliers are, the cut holds: the program only finds good ones.
"""

from __future__ import annotations

import highspy
import numpy as np
from numpy.typing import NDArray

from nesting.highs import INFINITY, quiet_highs
from nesting.plates.problem import RectProblem
from nesting.plates.scales import Scales, needs_of, worth_of
from nesting.plates.types import Flags, Floats, Ints, Table

_ROUNDS = 12
_AT_ONCE = 6
"""Pairs of scales added in a round, for each kind."""
_BITS = 40
"""Multipliers are whole multiples of 2^-40."""


class Blend:
    """The linear program: shares of items, numbers of sheets, rows for pairs of scales.

    Parameters
    ----------
    wide, high
        Scales along both axes.
    numbers
        Of each kind and room of the scales: how often a sheet has it.
    demands
        Of each item asked for.
    quarter
        Of each of them: whether it turns.
    fits
        Of each kind and such item: whether it fits as drawn; whether turned.
    """

    def __init__(
        self,
        problem: RectProblem,
        wide: Scales,
        high: Scales,
        numbers: Table,
        demands: Ints,
        quarter: Flags,
        fits: NDArray[np.bool_],
    ) -> None:
        rooms = [np.flatnonzero(own) for own in numbers]
        self.wide = [wide.of_rooms(own) for own in rooms]
        self.high = [high.of_rooms(own) for own in rooms]
        self.holds = [
            (self.wide[k].most * numbers[k, own]) @ self.high[k].most.T for k, own in enumerate(rooms)
        ]
        costs = np.array([kind.cost for kind in problem.kinds], np.float64)
        self.demands, self.quarter, self.fits = demands, quarter, fits
        self.unit = max(float(costs.max()), 1.0)
        self.pairs: list[tuple[int, int]] = []
        self.worths: list[Ints] = []
        self.highs = quiet_highs()
        kinds, items = costs.size, demands.size
        for k in range(kinds):
            self.highs.addVar(0.0, INFINITY)
            self.highs.changeColCost(k, float(costs[k]) / self.unit)
        for k in range(kinds):
            for i in range(items):
                self.highs.addVar(0.0, INFINITY if fits[k, i].any() else 0.0)
        for i in range(items):
            columns = np.array([kinds + k * items + i for k in range(kinds)], np.int32)
            self.highs.addRow(float(demands[i]), INFINITY, kinds, columns, np.ones(kinds))
        for source, limit in problem.limited.items():
            own = np.array([k for k in range(kinds) if problem.kinds[k].source == source], np.int32)
            self.highs.addRow(-INFINITY, float(limit), own.size, own, np.ones(own.size))
        self.kinds, self.items, self.plain_rows = kinds, items, items + len(problem.limited)

    def cut(self) -> tuple[int, list[int]] | None:
        """What the items need and each kind holds; None if the program finds nothing."""
        multipliers: Floats = np.zeros(0)
        for _ in range(_ROUNDS):
            self.highs.run()
            if self.highs.getModelStatus() != highspy.HighsModelStatus.kOptimal:
                return None
            solution = self.highs.getSolution()
            multipliers = -np.array(solution.row_dual)[self.plain_rows :]
            if not self._separate(np.array(solution.col_value)):
                break
        return self._rounded(multipliers)

    def _separate(self, values: Floats) -> bool:
        """Add the pairs of scales that the shares break most; whether there were any."""
        shares = values[self.kinds :].reshape(self.kinds, self.items)
        added = False
        for k in range(self.kinds):
            needs = needs_of(
                self.wide[k].values, self.high[k].values, shares[k].copy(), self.quarter, self.fits[k]
            )
            holds = self.holds[k].astype(np.float64)
            lack = np.where(needs > 0.0, (needs - holds * values[k]) / np.maximum(holds, 1.0), 0.0)
            for flat in np.argsort(-lack, axis=None, kind="stable")[:_AT_ONCE]:
                if lack.flat[flat] > 1e-6:
                    self._add(k, *(int(v) for v in np.unravel_index(flat, lack.shape)))
                    added = True
        return added

    def _add(self, kind: int, a: int, b: int) -> None:
        worth = worth_of(self.wide[kind].values[a], self.high[kind].values[b], self.quarter, self.fits[kind])
        most = int(self.holds[kind][a, b])
        size = float(max(1, most))
        own = np.flatnonzero(worth)
        columns = np.concatenate([[kind], self.kinds + kind * self.items + own]).astype(np.int32)
        row = np.concatenate([[-1.0], worth[own] / size])
        self.highs.addRow(-INFINITY, 0.0, columns.size, columns, row)
        self.pairs.append((kind, most))
        self.worths.append(worth)

    def _rounded(self, multipliers: Floats) -> tuple[int, list[int]]:
        """The cut of whole-number multipliers: exact."""
        holds = [0] * self.kinds
        prices = [[0] * self.items for _ in range(self.kinds)]
        # pairs added in the last round have no multiplier yet
        for (kind, most), worth, multiplier in zip(self.pairs, self.worths, multipliers, strict=False):
            whole = int(max(0.0, multiplier) * 2**_BITS) // max(1, most)
            holds[kind] += whole * most
            for i in np.flatnonzero(worth).tolist():
                prices[kind][i] += whole * int(worth[i])
        need = 0
        for i in range(self.items):
            need += int(self.demands[i]) * min(
                (prices[k][i] for k in range(self.kinds) if self.fits[k, i].any()), default=0
            )
        return need, holds
