"""The most that one sheet is worth at prices of the items, never understated, and what such a sheet might hold."""

from __future__ import annotations

import highspy
import numpy as np

from nesting.highs import INFINITY, quiet_highs
from nesting.plates.blend import Blend
from nesting.plates.crowd import cannot_lie
from nesting.plates.knapsack import LARGEST_PRICE, LARGEST_SIZE, most_worth
from nesting.plates.scales import needs_of, worth_of
from nesting.plates.straight import best_values, cut_points, pieces_of
from nesting.plates.types import Flags, Ints
from nesting.progress import Budget

_NODES = 30_000
"""Sheets looked at in one search for the one worth most."""
_ROWS = 200
"""Pairs of scales that a search keeps to at most."""
_AT_ONCE = 4
"""Pairs added when a sheet breaks some."""
_FEW = 12
"""Pieces about which a proof is tried that they do not fit together."""
_STEPS = 30_000_000
"""Of the recursion over straight cuts; where it would take more, it is left out."""

Priced = tuple[int, Ints]
"""The most that a sheet can be worth, and pieces of each item that a sheet worth much might hold."""


class SheetPrices:
    """The most that a sheet of one kind is worth, as far as pairs of scales, and proofs about few pieces, tell.

    Parameters
    ----------
    widths, heights
        Of each item, in cells.
    area
        Of all rooms, in cells.
    size
        Of the room, in cells; None if there are several.
    budget
        Spent on proofs.
    """

    def __init__(
        self,
        blend: Blend,
        kind: int,
        widths: Ints,
        heights: Ints,
        area: int,
        size: tuple[int, int] | None,
        budget: Budget,
    ) -> None:
        self.widths, self.heights, self.size, self.budget = widths, heights, size, budget
        self.known: set[bytes] = set()
        self.wide, self.high, self.pair_holds = blend.wide[kind], blend.high[kind], blend.holds[kind]
        self.quarter, self.fits = blend.quarter, blend.fits[kind]
        self.usable = self.fits.any(axis=1)
        self.demands = blend.demands * self.usable
        self.rows: list[Ints] = []
        self.holds: list[int] = []
        self.seen: set[tuple[int, int]] = set()
        self.highs = quiet_highs()
        for demand in self.demands.tolist():
            self.highs.addVar(0.0, float(demand))
        self._enter(widths * heights * self.usable, area)
        self._separate(self.demands)

    def most(self, prices: Ints, cost: int) -> Priced:
        """What no sheet is worth more than, and pieces of that worth that keep to all pairs of scales, or nearly."""
        if not self.usable.any():
            return 0, np.zeros(prices.size, np.int64)
        while True:
            above, found, counts = self._search(prices)
            if found <= cost or len(self.rows) >= _ROWS:
                return above, counts
            if not self._separate(counts) and not self._refute(counts):
                return above, counts

    def _search(self, prices: Ints) -> tuple[int, int, Ints]:
        """By search under the pairs at hand."""
        rows, holds = np.array(self.rows), np.array(self.holds, np.int64)
        sizes, room = self._blended(prices, rows, holds)
        with np.errstate(divide="ignore"):
            alone = np.where(rows > 0, holds[:, None] // np.maximum(rows, 1), np.iinfo(np.int64).max)
        most = np.minimum(self.demands, alone.min(axis=0))
        own = np.flatnonzero((prices > 0) & (most > 0))
        order = own[np.argsort(-prices[own] / np.maximum(sizes[own], 1e-9), kind="stable")]
        above, found, laid = most_worth(
            prices[order],
            most[order],
            np.ascontiguousarray(rows[:, order]),
            holds,
            sizes[order],
            room,
            _NODES,
        )
        counts = np.zeros(prices.size, np.int64)
        counts[order] = laid
        return above, found, counts

    def _blended(self, prices: Ints, rows: Ints, holds: Ints) -> tuple[Ints, int]:
        """One sum of all rows, by the multipliers of the fractional knapsack."""
        n = prices.size
        self.highs.changeColsCost(n, np.arange(n, dtype=np.int32), -prices.astype(np.float64) / LARGEST_PRICE)
        self.highs.run()
        multipliers = np.maximum(0.0, -np.array(self.highs.getSolution().row_dual))
        if self.highs.getModelStatus() != highspy.HighsModelStatus.kOptimal or not multipliers.any():
            multipliers = np.ones(holds.size)
        shares = multipliers / multipliers.sum()
        whole = (
            (shares * LARGEST_SIZE / holds).astype(np.int64) if (holds > 0).all() else np.zeros_like(holds)
        )
        return whole @ rows, int(whole @ holds)

    def _separate(self, counts: Ints) -> bool:
        """Add the pairs of scales that these pieces break most; whether there were any."""
        if not self.pair_holds.size:
            return False
        needs = needs_of(self.wide.values, self.high.values, counts, self.quarter, self.fits)
        lack = (needs - self.pair_holds) / np.maximum(1, self.pair_holds)
        worst = np.argsort(-lack, axis=None, kind="stable")[:_AT_ONCE]
        pairs = [divmod(int(flat), lack.shape[1]) for flat in worst if lack.flat[flat] > 0.0]
        return sum(self._add(a, b) for a, b in pairs) > 0

    def _refute(self, counts: Ints) -> bool:
        """Add that these pieces do not lie on a sheet together, if that is so and few enough to be proved."""
        held = np.flatnonzero(counts)
        if self.size is None or counts.sum() > _FEW or counts.tobytes() in self.known or self.budget.over():
            return False
        self.known.add(counts.tobytes())
        # with further copies left, the same number of pieces might be others of the same items
        if (counts[held] < self.demands[held]).any() or not self._cannot_lie(held):
            return False
        for i in held[np.argsort(self.widths[held] * self.heights[held], kind="stable")]:
            fewer = held[held != i]
            if self._cannot_lie(fewer):
                held = fewer
        row = np.zeros(counts.size, np.int64)
        row[held] = 1
        wide, high = self.widths[held], self.heights[held]
        if not self.quarter.any():
            row[(self.widths >= wide.max()) & (self.heights >= high.max()) & self.usable] = 1
        self._enter(row, int(self.demands[held].sum()) - 1)
        return True

    def _cannot_lie(self, held: Ints) -> bool:
        assert self.size is not None
        self.budget.spend()
        pieces = [
            (
                int(self.widths[i]),
                int(self.heights[i]),
                bool(self.fits[i, 0]),
                bool(self.fits[i, 1] & self.quarter[i]),
            )
            for i in held
            for _ in range(self.demands[i])
            if self.widths[i] > 0 and self.heights[i] > 0
        ]
        return cannot_lie(pieces, *self.size)

    def _add(self, a: int, b: int) -> bool:
        hold = int(self.pair_holds[a, b])
        if (a, b) in self.seen or hold <= 0:
            return False
        self.seen.add((a, b))
        row = worth_of(self.wide.values[a], self.high.values[b], self.quarter, self.fits) * self.usable
        self._enter(row, hold)
        return True

    def _enter(self, row: Ints, hold: int) -> None:
        """Let a sum keep to what a sheet holds of it."""
        self.rows.append(row)
        self.holds.append(hold)
        own = np.flatnonzero(row)
        self.highs.addRow(-INFINITY, 1.0, own.size, own.astype(np.int32), row[own] / max(1, hold))


class StraightPrices:
    """The most that straight cuts get from a sheet, any number of each item; exact but for the grid of the sides.

    Parameters
    ----------
    widths, heights
        Of each item, in cells.
    fits
        Of each item: whether it fits as drawn; whether turned.
    quarter
        Of each item: whether it turns.
    size
        Of the room, in cells.
    """

    def __init__(
        self, widths: Ints, heights: Ints, fits: Flags, quarter: Flags, size: tuple[int, int]
    ) -> None:
        drawn, turned = np.flatnonzero(fits[:, 0]), np.flatnonzero(fits[:, 1] & quarter)
        self.items = np.concatenate([drawn, turned])
        sides = (
            np.concatenate([widths[drawn], heights[turned]]),
            np.concatenate([heights[drawn], widths[turned]]),
        )
        self.ways = np.stack([*sides, np.zeros(self.items.size, np.int64)], axis=1)
        self.across, self.along = (
            cut_points(length, own.tolist()) for length, own in zip(size, sides, strict=True)
        )
        a, b = self.across.size, self.along.size
        # an item thinner than a cell could be cut without end
        self.is_usable = bool(
            self.items.size and self.ways[:, :2].min() > 0 and a * b * (a + b) <= 4 * _STEPS
        )

    def most(self, prices: Ints) -> Priced:
        """The greatest value, and the pieces that make it."""
        self.ways[:, 2] = prices[self.items]
        best = best_values(self.across, self.along, self.ways)
        counts = np.zeros(prices.size, np.int64)
        for way, _, _ in pieces_of(self.across, self.along, self.ways, best):
            counts[self.items[way]] += 1
        return int(best[-1, -1]), counts
