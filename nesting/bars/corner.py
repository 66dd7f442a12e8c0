"""The corner relaxation: round a basic solution of the linear relaxation as cheaply as the integers allow.

Around an optimal basis B every whole-number solution is a multiset of other columns whose sum, modulo the lattice of
B, is what the demand leaves over. Dropping "not below zero" for the basic patterns (which are cut many times where
demands are large) turns the problem into a shortest path over |det B| residues: a bound, and a solution whenever the
basic patterns stay at zero or above.

Source: Gomory 1969, *Some polyhedra related to combinatorial problems*.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import prod

import numpy as np
from numpy.typing import NDArray

from nesting.bars import residues
from nesting.bars.enumerate import Listed
from nesting.bars.pricing import to_pattern
from nesting.bars.problem import Certificate, Pattern, Problem
from nesting.bars.smith import Smith, smith
from nesting.bars.solution import Solution, cost_of
from nesting.bars.types import Ints, Table

_MOST_RESIDUES = 300_000
_MOST_RELAXATIONS = 2_000_000_000
_TRIES = 12


@dataclass(frozen=True, slots=True)
class Rounded:
    """What the corner relaxation gave.

    Parameters
    ----------
    solution
        A whole-number solution, cheap but not always the cheapest, or None.
    least
        In no solution the reduced costs add up to less, certificate units.
    """

    solution: Solution | None
    least: int


class Corner:
    """An optimal basis as a lattice.

    Parameters
    ----------
    problem, certificate
        The problem and valid integer prices for it.
    patterns, slack_rows
        The basic patterns, and the rows whose slack is basic.
    """

    def __init__(
        self,
        problem: Problem,
        certificate: Certificate,
        patterns: Sequence[Pattern],
        slack_rows: Sequence[int],
    ) -> None:
        self.problem, self.certificate = problem, certificate
        limited = [s for s, source in enumerate(problem.sources) if source.limit is not None]
        self._row_of = {s: len(problem.items) + r for r, s in enumerate(limited)}
        self._rows = len(problem.items) + len(limited)
        self._target = [*problem.demands, *(problem.sources[s].limit or 0 for s in limited)]
        self._slack_prices = [*certificate.item_prices, *(certificate.source_prices[s] for s in limited)]
        self.patterns = tuple(patterns)
        self.slack_rows = tuple(slack_rows)
        columns = [self._column(p) for p in patterns] + [self._slack(r) for r in slack_rows]
        self._smith: Smith | None = smith(columns) if len(columns) == self._rows else None

    @property
    def order(self) -> int:
        """How many residues there are; 0 if the basis cannot be used."""
        return 0 if self._smith is None else prod(self._smith.diagonal)

    @property
    def is_small(self) -> bool:
        """Whether the residues can be walked through."""
        return 0 < self.order <= _MOST_RESIDUES

    def round(
        self, listed: Sequence[Listed], limit: int, reach: int, rng: np.random.Generator
    ) -> Rounded | None:
        """The cheapest rounding by these patterns; None if the search is too long.

        Parameters
        ----------
        listed
            All patterns whose reduced cost is at most `limit`.
        limit, reach
            Certificate units; roundings up to `reach` are looked for.
        """
        form = self._smith
        if form is None:
            return None
        stocks, vectors, costs = self._columns(listed)
        cheap = np.flatnonzero(costs <= reach)
        order = cheap[np.argsort(costs[cheap], kind="stable")]
        if not order.size or self.order * min(self.order, order.size) > _MOST_RELAXATIONS:
            return None
        goal = form.residues(np.array([self._target], np.int64))[0]
        walk = (np.array(form.sizes, np.int64), form.residues(vectors[order]), costs[order], goal)
        least, way = residues.shortest(*walk, reach)
        least = min(int(least), limit + 1)
        if not way.size and any(goal):
            return Rounded(None, least)
        best = self._complete(order[way], stocks, vectors)
        if best is None:
            best = self._try_others(walk, reach, order, stocks, vectors, rng)
        return Rounded(best, least)

    def _try_others(
        self,
        walk: tuple[Ints, Table, Ints, Ints],
        reach: int,
        order: Ints,
        stocks: Ints,
        vectors: Table,
        rng: np.random.Generator,
    ) -> Solution | None:
        """Nearly cheapest ways, found at prices blurred by chance; the cheapest that holds, or None."""
        sizes, steps, prices, goal = walk
        best: tuple[int, Solution] | None = None
        for blur in np.linspace(0.01, 0.5, _TRIES):
            blurred = prices + rng.integers(0, max(1, int(blur * reach)), prices.size)
            ranked = np.argsort(blurred, kind="stable")
            _, way = residues.shortest(sizes, steps[ranked], blurred[ranked], goal, 4 * reach)
            solution = self._complete(order[ranked[way]], stocks, vectors) if way.size else None
            if solution is not None:
                cost = cost_of(self.problem, solution)
                if best is None or cost < best[0]:
                    best = (cost, solution)
        return None if best is None else best[1]

    def _columns(self, listed: Sequence[Listed]) -> tuple[Ints, Table, Ints]:
        """Stock (-1: a slack), vector and reduced cost of every column that is not basic."""
        problem, certificate = self.problem, self.certificate
        prices = np.array(certificate.item_prices, np.int64)
        free = [r for r in range(self._rows) if r not in self.slack_rows]
        stocks = [np.full(len(free), -1, np.int64)]
        vectors = [np.array([self._slack(r) for r in free], np.int64).reshape(len(free), self._rows)]
        costs = [np.array([self._slack_prices[r] for r in free], np.int64)]
        for part in listed:
            stock = problem.stocks[part.stock]
            rows = np.zeros((len(part.counts), self._rows), np.int64)
            rows[:, : len(problem.items)] = part.counts
            if stock.source in self._row_of:
                rows[:, self._row_of[stock.source]] = 1
            new = ~_among(rows, [self._column(p) for p in self.patterns if p.stock == part.stock])
            rows = rows[new]
            allowed = (
                problem.worth_limit(part.stock, certificate.scale) + certificate.source_prices[stock.source]
            )
            own = part.counts[new] @ (prices - self._own_material(part.stock))
            stocks.append(np.full(len(rows), part.stock, np.int64))
            vectors.append(rows)
            costs.append(np.maximum(0, allowed - own))
        return np.concatenate(stocks), np.concatenate(vectors), np.concatenate(costs)

    def _own_material(self, stock: int) -> Ints:
        """What each item's own length costs where a stick is cut to length, certificate units, rounded down."""
        s = self.problem.stocks[stock]
        num, den = s.rate
        scale = self.certificate.scale
        return np.array([(i.length + s.kerf) * num * scale // den for i in self.problem.items], np.int64)

    def _complete(self, chosen: Ints, stocks: Ints, vectors: Table) -> Solution | None:
        """The solution that holds the chosen columns, or None if a basic one would be below zero."""
        assert self._smith is not None
        counts = self._smith.solve((np.array(self._target, np.int64) - vectors[chosen].sum(axis=0)).tolist())
        if counts is None or min(counts) < 0:
            return None
        solution: Solution = {}
        for j in chosen:
            if stocks[j] >= 0:
                pattern = to_pattern(int(stocks[j]), vectors[j, : len(self.problem.items)])
                solution[pattern] = solution.get(pattern, 0) + 1
        for pattern, n in zip(self.patterns, counts, strict=False):
            if n:
                solution[pattern] = solution.get(pattern, 0) + n
        return solution

    def _column(self, pattern: Pattern) -> list[int]:
        column = [0] * self._rows
        for i, k in pattern.counts:
            column[i] = k
        row = self._row_of.get(self.problem.stocks[pattern.stock].source)
        if row is not None:
            column[row] = 1
        return column

    def _slack(self, row: int) -> list[int]:
        """A spare copy of an item, or a stick of a limited source left."""
        column = [0] * self._rows
        column[row] = -1 if row < len(self.problem.items) else 1
        return column


def _among(rows: Table, few: list[list[int]]) -> NDArray[np.bool_]:
    """Which rows are among a few given ones."""
    found = np.zeros(len(rows), bool)
    for one in few:
        found |= (rows == np.array(one, np.int64)).all(axis=1)
    return found
