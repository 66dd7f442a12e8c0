"""The corner relaxation: round a basic solution of the linear relaxation as cheaply as the integers allow.

Around an optimal basis B every whole-number solution is a multiset of other columns whose sum, modulo the lattice of
B, is what the demand leaves over. Dropping "not below zero" for the basic patterns (which are cut many times where
demands are large) turns the problem into a shortest way through |det B| residues: a bound, and a solution whenever
the basic patterns stay at zero or above.

Columns up to half the price in question are walked through; of the dearer ones a rounding holds one at most, so they
are only tried as its one last step, while they are listed.

Source: Gomory 1969, *Some polyhedra related to combinatorial problems*.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import prod

import numpy as np
from numpy.typing import NDArray

from nesting.bars import residues
from nesting.bars.enumerate import Lattice, Listed, dual_value, list_patterns
from nesting.bars.pricing import Pricer, to_pattern
from nesting.bars.problem import Certificate, Pattern
from nesting.bars.smith import Smith, smith
from nesting.bars.solution import Solution, cost_of
from nesting.bars.types import Ints, Table
from nesting.progress import Budget
from stock.money import Cost

_MOST_ROWS = 80
_MOST_RESIDUES = 300_000
_MOST_RELAXATIONS = 2_000_000_000
_QUICK_RELAXATIONS = 50_000_000
_MOST_JOINED = 20_000
_JOIN_NODES = 150_000_000
_MOST_TRIED = 400
_BLURRED = 8


@dataclass(frozen=True, slots=True)
class Rounded:
    """What the corner relaxation gave.

    Parameters
    ----------
    solution
        A whole-number solution, cheap but not always the cheapest, or None.
    least
        In no solution the reduced costs add up to less, certificate units.
    met
        Whether `least` is the relaxation's own optimum, so that no wider search lifts it.
    """

    solution: Solution | None
    least: int
    met: bool


@dataclass(frozen=True, slots=True)
class _Columns:
    """Columns outside the basis by rising reduced cost: stock (-1: a slack), vector, residue, reduced cost."""

    stocks: Ints
    vectors: Table
    steps: Table
    costs: Ints


class Corner:
    """An optimal basis as a lattice.

    Parameters
    ----------
    pricer, certificate
        The problem and valid integer prices for it.
    patterns, slack_rows
        The basic patterns, and the rows whose slack is basic.
    """

    def __init__(
        self, pricer: Pricer, certificate: Certificate, patterns: Sequence[Pattern], slack_rows: Sequence[int]
    ) -> None:
        problem = pricer.problem
        self.pricer, self.problem, self.certificate = pricer, problem, certificate
        limited = [s for s, source in enumerate(problem.sources) if source.limit is not None]
        self._row_of = {s: len(problem.items) + r for r, s in enumerate(limited)}
        self._rows = len(problem.items) + len(limited)
        target = [*problem.demands, *(problem.sources[s].limit or 0 for s in limited)]
        self._target: Ints = np.array(target, np.int64)
        self._slack_prices = [*certificate.item_prices, *(certificate.source_prices[s] for s in limited)]
        self.patterns = tuple(patterns)
        self.slack_rows = tuple(slack_rows)
        columns = [self._column(p) for p in patterns] + [self._slack(r) for r in slack_rows]
        self._smith: Smith | None = None
        if len(columns) == self._rows <= _MOST_ROWS:
            self._smith = smith(columns)

    @property
    def order(self) -> int:
        """How many residues there are; 0 if the basis cannot be used."""
        return 0 if self._smith is None else prod(self._smith.diagonal)

    @property
    def is_small(self) -> bool:
        """Whether the residues can be walked through."""
        return 0 < self.order <= _MOST_RESIDUES

    def round(
        self,
        listed: Sequence[Listed],
        half: Cost,
        best: Cost,
        budget: Budget,
        rng: np.random.Generator,
        join: bool = True,
    ) -> Rounded | None:
        """The cheapest rounding below a cost; None if the search is too long.

        Parameters
        ----------
        listed
            All patterns that a solution of cost up to `half` can hold.
        best
            A solution must be cheaper than this.
        join
            Whether to try dearer patterns as a last step too, which takes longer and proves more.
        """
        form = self._smith
        if form is None:
            return None
        scale, dual = self.certificate.scale, dual_value(self.problem, self.certificate)
        reach = (best - self.problem.cost_step) * scale - dual
        known = half * scale - dual
        limit = min(reach, 2 * known + 1)
        columns = self._columns(form, listed, reach)
        relaxations = self.order * min(self.order, columns.costs.size)
        if not 0 < relaxations <= _MOST_RELAXATIONS:
            return None
        is_quick = relaxations <= _QUICK_RELAXATIONS
        if not is_quick:
            reach = limit  # a wider walk finds more roundings, but takes long
        sizes = np.array(form.sizes, np.int64)
        goal = form.residues(self._target.reshape(1, -1))[0]
        near, came = residues.shortest(sizes, columns.steps, columns.costs, reach)
        direct = int(near[residues.index_of(sizes, goal)])
        joined = (
            self._join(form, sizes, near, (limit + dual) // scale, budget) if join and limit > known else []
        )
        least = min(direct, *(c for c, _, _ in joined)) if joined else direct
        proved = limit if join and joined is not None else known
        solution = self._first_whole(sizes, columns, came, goal, direct, reach, joined or [])
        if solution is None and is_quick and not budget.over():
            solution = self._blurred(sizes, columns, goal, reach, budget, rng)
        return Rounded(solution, min(least, proved + 1), met=least <= proved)

    def _join(
        self, form: Smith, sizes: Ints, near: Ints, top: Cost, budget: Budget
    ) -> list[tuple[int, Pattern, Ints]] | None:
        """Patterns that complete a way, with the price of the whole and what is left to go; None if too many."""
        items = len(self.problem.items)
        unit = np.eye(self._rows, dtype=np.int64)
        steps = form.residues(unit)
        goal = form.residues(self._target.reshape(1, -1))[0]
        ahead = {}
        for t, stock in enumerate(self.problem.stocks):
            row = self._row_of.get(stock.source)
            ahead[t] = goal if row is None else (goal - steps[row]) % sizes
        lattice = Lattice(sizes, steps[:items], ahead, near)
        listed = list_patterns(self.pricer, self.certificate, top, _MOST_JOINED, budget, _JOIN_NODES, lattice)
        if listed is None:
            return None
        found = []
        for part in listed:
            prices = self._reduced(part)
            rest = (ahead[part.stock] - part.counts @ steps[:items]) % sizes
            for counts, price, left in zip(part.counts, prices, rest, strict=True):
                total = int(price) + int(near[residues.index_of(sizes, left)])
                found.append((total, to_pattern(part.stock, counts), left))
        return sorted(found, key=lambda f: (f[0], f[1]))

    def _first_whole(
        self,
        sizes: Ints,
        columns: _Columns,
        came: Ints,
        goal: Ints,
        direct: int,
        reach: int,
        joined: list[tuple[int, Pattern, Ints]],
    ) -> Solution | None:
        """The first of the roundings found, by rising price, that leaves no basic pattern below zero."""
        ways: list[tuple[int, Pattern | None, Ints]] = [*joined]
        if direct <= reach:
            ways.append((direct, None, goal))
        ways.sort(key=lambda w: w[0])
        for _, pattern, left in ways[:_MOST_TRIED]:
            way = residues.way_to(sizes, columns.steps, came, left)
            solution = self._complete(columns, way, pattern)
            if solution is not None:
                return solution
        return None

    def _blurred(
        self, sizes: Ints, columns: _Columns, goal: Ints, reach: int, budget: Budget, rng: np.random.Generator
    ) -> Solution | None:
        """Nearly cheapest ways, found at prices blurred by chance; the cheapest that holds, or None."""
        best: tuple[int, Solution] | None = None
        at = residues.index_of(sizes, goal)
        for blur in np.linspace(0.01, 0.5, _BLURRED):
            if budget.over():
                break
            prices = columns.costs + rng.integers(0, max(1, int(blur * reach)), columns.costs.size)
            ranked = np.argsort(prices, kind="stable")
            near, came = residues.shortest(sizes, columns.steps[ranked], prices[ranked], 2 * reach)
            if near[at] > 2 * reach:
                continue
            way = residues.way_to(sizes, columns.steps[ranked], came, goal)
            solution = self._complete(columns, ranked[way], None)
            if solution is not None:
                cost = cost_of(self.problem, solution)
                if best is None or cost < best[0]:
                    best = (cost, solution)
        return None if best is None else best[1]

    def _columns(self, form: Smith, listed: Sequence[Listed], reach: int) -> _Columns:
        """The listed patterns and the slacks that are not basic and within reach."""
        free = [r for r in range(self._rows) if r not in self.slack_rows]
        stocks = [np.full(len(free), -1, np.int64)]
        vectors = [np.array([self._slack(r) for r in free], np.int64).reshape(len(free), self._rows)]
        costs = [np.array([self._slack_prices[r] for r in free], np.int64)]
        for part in listed:
            rows = self._vectors(part)
            new = ~_among(rows, [self._column(p) for p in self.patterns if p.stock == part.stock])
            stocks.append(np.full(int(new.sum()), part.stock, np.int64))
            vectors.append(rows[new])
            costs.append(self._reduced(part)[new])
        price = np.concatenate(costs)
        order = np.flatnonzero(price <= reach)
        order = order[np.argsort(price[order], kind="stable")]
        whole = np.concatenate(vectors)[order]
        return _Columns(np.concatenate(stocks)[order], whole, form.residues(whole), price[order])

    def _vectors(self, part: Listed) -> Table:
        """Patterns as columns of the master."""
        rows = np.zeros((len(part.counts), self._rows), np.int64)
        rows[:, : len(self.problem.items)] = part.counts
        row = self._row_of.get(self.problem.stocks[part.stock].source)
        if row is not None:
            rows[:, row] = 1
        return rows

    def _reduced(self, part: Listed) -> Ints:
        """Reduced costs of patterns, certificate units, rounded down but not below zero."""
        stock = self.problem.stocks[part.stock]
        scale = self.certificate.scale
        num, den = stock.rate
        weights = self.problem.weights[part.stock]
        own = [weights.get(i, 0) * num * scale // den for i in range(len(self.problem.items))]
        allowed = self.problem.worth_limit(part.stock, scale) + self.certificate.source_prices[stock.source]
        values = np.array(self.certificate.item_prices, np.int64) - np.array(own, np.int64)
        price: Ints = np.maximum(0, allowed - part.counts @ values)
        return price

    def _complete(self, columns: _Columns, chosen: Ints, pattern: Pattern | None) -> Solution | None:
        """The solution that holds the chosen columns, or None if a basic one would be below zero."""
        assert self._smith is not None
        left = self._target - columns.vectors[chosen].sum(axis=0)
        if pattern is not None:
            left = left - np.array(self._column(pattern), np.int64)
        counts = self._smith.solve(left.tolist())
        if counts is None or min(counts) < 0:
            return None
        solution: Solution = {}
        for one, n in [*self._chosen(columns, chosen, pattern), *zip(self.patterns, counts, strict=False)]:
            if n:
                solution[one] = solution.get(one, 0) + n
        return solution

    def _chosen(
        self, columns: _Columns, chosen: Ints, pattern: Pattern | None
    ) -> Iterator[tuple[Pattern, int]]:
        if pattern is not None:
            yield pattern, 1
        for j in chosen:
            if columns.stocks[j] >= 0:
                yield to_pattern(int(columns.stocks[j]), columns.vectors[j, : len(self.problem.items)]), 1

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
