"""Every pattern that a better solution could use: those whose reduced cost fits into the gap.

If a solution costs less than the incumbent, the reduced costs of its patterns add up to less than the gap between
incumbent and dual bound; so each single one does. Over the complete list a whole-number master is a proof.
Source: the reduced-cost argument of Nemhauser and Wolsey 1988, ch. II.5; Baldacci, Christofides, Mingozzi 2008.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from nesting.bars import knapsack
from nesting.bars.pricing import Pricer, StockClass, to_pattern
from nesting.bars.problem import Certificate, Pattern, Problem
from nesting.bars.types import Ints, Table
from stock.money import Cost


@dataclass(frozen=True, slots=True)
class Listed:
    """Patterns of one stock.

    Parameters
    ----------
    stock
        Index into `Problem.stocks`.
    counts
        (patterns, items of the problem).
    """

    stock: int
    counts: Table

    def patterns(self) -> list[Pattern]:
        """The same as objects."""
        return [to_pattern(self.stock, row) for row in self.counts]


def dual_value(problem: Problem, certificate: Certificate) -> int:
    """What the prices of a certificate add up to, certificate units."""
    total = sum(p * i.demand for p, i in zip(certificate.item_prices, problem.items, strict=True))
    return total - sum(
        p * (s.limit or 0) for p, s in zip(certificate.source_prices, problem.sources, strict=True)
    )


def list_patterns(
    pricer: Pricer, certificate: Certificate, top: Cost, most: int, most_nodes: int = 20_000_000
) -> list[Listed] | None:
    """The patterns that a solution of cost up to `top` can be made of, by stock; None if they are too many.

    Of whole sticks the maximal ones only, since a stick may always be left less full.

    Parameters
    ----------
    certificate
        Valid integer prices.
    most, most_nodes
        Limits on the list and on the search for it.
    """
    problem, scale = pricer.problem, pricer.scale
    prices = np.array(certificate.item_prices, np.int64)
    demands = np.array(problem.demands, np.int64)
    gap = top * scale - dual_value(problem, certificate)
    listed: list[Listed] = []
    size = 0
    for group in pricer.classes:
        ordered = _Ordered(group, prices, demands, scale)
        for t in group.members:
            source = problem.stocks[t].source
            least = problem.worth_limit(t, scale) + certificate.source_prices[source] - gap
            counts, complete = ordered.fillings(group.capacities[t], least, most - size, most_nodes)
            if not complete:
                return None
            counts = counts[counts.any(axis=1)]
            whole = np.zeros((len(counts), len(problem.items)), np.int64)
            whole[:, group.items] = ordered.back(counts)
            listed.append(Listed(t, whole))
            size += len(counts)
    return listed


class _Ordered:
    """A class of stocks with its items by falling worth per length."""

    def __init__(self, group: StockClass, prices: Ints, demands: Ints, scale: int) -> None:
        values = group.values(prices, scale)
        self._order = np.argsort(-(values / group.weights), kind="stable")
        self._weights = group.weights[self._order]
        self._values = values[self._order]
        self._bounds = group.most(demands)[self._order]
        self._behind = np.zeros((1, 1), np.int64)
        self._has_table = group.has_table
        # material cut to length gets dearer with every piece, so there a shorter filling is not beaten by a longer
        self._all_of_them = bool(group.rate[0])
        if group.has_table:
            self._behind = knapsack.tables(
                self._weights[::-1].copy(), self._values[::-1].copy(), self._bounds[::-1].copy(), group.widest
            )

    def fillings(self, capacity: int, least: int, most: int, most_nodes: int) -> tuple[Table, bool]:
        if capacity <= 0:
            return np.zeros((0, self._weights.size), np.int64), True
        return knapsack.list_fillings(
            self._weights,
            self._values,
            self._bounds,
            capacity,
            least,
            self._behind,
            self._has_table,
            self._all_of_them,
            most,
            most_nodes,
        )

    def back(self, counts: Table) -> Table:
        """Counts in the class's own order of items."""
        plain = np.zeros_like(counts)
        plain[:, self._order] = counts
        return plain
