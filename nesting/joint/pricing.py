"""Prices patterns of sticks exactly and those of sheets by filling them; knows what no sheet can be worth more than."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence

import numpy as np

from nesting.bars.pricing import Priced, Pricer
from nesting.bars.problem import Pattern
from nesting.bars.types import Ints
from nesting.joint.area import apart, item_area, most_worth, room_area
from nesting.joint.problem import JointProblem
from nesting.plates.problem import Layout
from nesting.plates.propose import Proposer

_TRIES = 10
_MANY = 20_000
"""Pieces times kinds of sheet from which a sheet is filled once only."""


class JointPricer(Pricer):
    """Stands where a pricer of sticks stands, for a joint problem.

    The value it gives for a sheet is an upper bound by area, whatever filling comes with it.

    Parameters
    ----------
    problem, scale
        See `Pricer`.
    seed
        Of the fillings tried.
    """

    problem: JointProblem

    def __init__(self, problem: JointProblem, scale: int, seed: int) -> None:
        super().__init__(problem.sticks, scale)
        self.problem = problem
        self._first = len(problem.sticks.stocks)
        work = len(problem.sheets.kinds) * sum(problem.demands)
        self._tries = _TRIES if work < _MANY else 1
        self._proposer = Proposer(problem.sheets, seed)
        self._layouts: dict[Pattern, Layout] = {}
        gaps = [apart(kind) for kind in problem.sheets.kinds]
        self._rooms = [room_area(kind, gap) for kind, gap in zip(problem.sheets.kinds, gaps, strict=True)]
        self._areas = [
            {problem.rect_items[r]: item_area(problem.sheets.items[r], gap) for r in sorted(held)}
            for gap, held in zip(gaps, problem.sheets.fitting, strict=True)
        ]

    def best(self, prices: Ints, thresholds: Sequence[int], demands: Ints) -> dict[int, Priced]:
        """See `Pricer.best`; of a sheet the best filling found, and a value that none can exceed."""
        found = self._sticks(super().best(*self._of_forms(prices, thresholds, demands)))
        filled = self._filled(prices, demands)
        for k in range(len(self._rooms)):
            counts = self._counts(filled[k][0]) if k in filled else None
            found[self._first + k] = Priced(self.most(k, prices, demands), counts)
        return found

    def good(self, prices: Ints, demands: Ints) -> dict[int, Ints]:
        """See `Pricer.good`."""
        found = self.best(prices, [0] * len(self.problem.stocks), demands)
        return {t: priced.counts for t, priced in found.items() if priced.counts is not None}

    def best_with_each(
        self, prices: Ints, thresholds: Sequence[int], demands: Ints
    ) -> tuple[dict[int, Priced], list[tuple[int, Pattern]]]:
        """See `Pricer.best_with_each`; of a sheet the fillings found that are worth more than its threshold."""
        priced, every = self.best_sticks(prices, thresholds, demands)
        found = self._sticks(priced)
        for k, patterns in self._filled(prices, demands).items():
            for pattern in patterns:
                gain = sum(int(prices[i]) * n for i, n in pattern.counts) - thresholds[self._first + k]
                if gain > 0:
                    every.append((gain, pattern))
        return found, sorted(set(every), reverse=True)

    def best_sticks(
        self, prices: Ints, thresholds: Sequence[int], demands: Ints
    ) -> tuple[dict[int, Priced], list[tuple[int, Pattern]]]:
        """`best_with_each` of the sticks alone; thresholds and values are theirs."""
        priced, offers = super().best_with_each(*self._of_forms(prices, thresholds, demands))
        return priced, [(gain, self.problem.as_items(p)) for gain, p in offers]

    def most_of_sticks(self, prices: Ints, demands: Ints) -> dict[int, Priced]:
        """What each stick can be worth at the most, by sums of weights alone: see `Pricer.at_most`."""
        return super().at_most(*self._of_forms(prices, [0] * self._first, demands))

    def quick(self, demands: Ints) -> dict[int, Ints]:
        """See `Pricer.quick`."""
        areas: Ints = np.array([i.length for i in self.problem.items], np.int64)
        found = {t: self._over_items(c) for t, c in super().quick(demands[self._forms()]).items()}
        for k, patterns in self._filled(areas, demands, 1).items():
            found[self._first + k] = self._counts(patterns[0])
        return found

    def most(self, kind: int, prices: Ints, demands: Ints) -> int:
        """What the pieces of one sheet can be worth at the most, by area."""
        items = list(self._areas[kind])
        areas = [self._areas[kind][i] for i in items]
        room = self._rooms[kind]
        numbers = [min(int(demands[i]), room // a) for i, a in zip(items, areas, strict=True)]
        return most_worth(room, areas, [int(prices[i]) for i in items], numbers)

    def add(self, layout: Layout) -> Pattern:
        """Remember how the pieces of a sheet lie; returns its pattern, that of a stick if it is no more than one."""
        items = Counter(self.problem.rect_items[p.item] for p in layout.pieces)
        pattern = Pattern(self._first + layout.kind, tuple(sorted(items.items())))
        self._layouts.setdefault(pattern, layout)
        return self.problem.as_stick(layout, pattern.counts) or pattern

    def layout(self, pattern: Pattern) -> Layout:
        """How the pieces of a sheet lie; a pattern that holds less than a known one lies likewise."""
        if pattern not in self._layouts:
            self._layouts[pattern] = self._lighter(pattern)
        return self._layouts[pattern]

    def _lighter(self, pattern: Pattern) -> Layout:
        for known, layout in self._layouts.items():
            held = dict(known.counts)
            if known.stock == pattern.stock and all(held.get(i, 0) >= n for i, n in pattern.counts):
                left = Counter(dict(pattern.counts))
                kept = []
                for piece in layout.pieces:
                    item = self.problem.rect_items[piece.item]
                    if left[item]:
                        left[item] -= 1
                        kept.append(piece)
                return Layout(layout.kind, tuple(kept))
        raise LookupError(f"no sheet was ever filled with {pattern}")

    def _filled(self, prices: Ints, demands: Ints, tries: int = 0) -> dict[int, list[Pattern]]:
        """Of each kind the patterns found, worth most first."""
        problem = self.problem
        worth = [float(prices[i]) for i in problem.rect_items]
        left = [int(demands[i]) for i in problem.rect_items]
        if not any(w > 0 and n for w, n in zip(worth, left, strict=True)):
            return {}
        found: dict[int, list[Pattern]] = {}
        for layout in self._proposer.propose(worth, left, tries or self._tries):
            found.setdefault(layout.kind, []).append(self.add(layout))
        for patterns in found.values():
            patterns.sort(key=lambda p: -sum(int(prices[i]) * n for i, n in p.counts))
        return found

    def _forms(self) -> Ints:
        return np.array(self.problem.form_items, np.int64)

    def _of_forms(
        self, prices: Ints, thresholds: Sequence[int], demands: Ints
    ) -> tuple[Ints, Sequence[int], Ints]:
        forms = self._forms()
        return prices[forms], thresholds[: self._first], demands[forms]

    def _sticks(self, priced: dict[int, Priced]) -> dict[int, Priced]:
        return {
            t: p if p.counts is None else Priced(p.value, self._over_items(p.counts), p.exact)
            for t, p in priced.items()
        }

    def _over_items(self, counts: Ints) -> Ints:
        """Counts of forms as counts of items."""
        whole = np.zeros(len(self.problem.items), np.int64)
        np.add.at(whole, self._forms(), counts)
        return whole

    def _counts(self, pattern: Pattern) -> Ints:
        whole = np.zeros(len(self.problem.items), np.int64)
        for i, n in pattern.counts:
            whole[i] = n
        return whole
