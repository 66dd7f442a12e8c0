"""Every pattern that a better solution could use: those whose reduced cost fits into the gap.

If a solution costs less than the incumbent, the reduced costs of its patterns add up to less than the gap between
incumbent and dual bound; so each single one does. Over the complete list a whole-number master is a proof.
Source: the reduced-cost argument of Nemhauser and Wolsey 1988, ch. II.5; Baldacci, Christofides, Mingozzi 2008.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from nesting.bars import knapsack
from nesting.bars.form import Segments
from nesting.bars.mitres import Mitres
from nesting.bars.pricing import Pricer, StockClass, to_pattern
from nesting.bars.problem import Certificate, Pattern, Problem
from nesting.bars.sparse import coarse
from nesting.bars.types import Ints, Table
from nesting.progress import Budget
from stock.money import Cost

_NODES_A_SECOND = 30_000_000
"""About what one core does; a list may take the whole of what is left of the budget."""

_AT_ONCE = 100
"""Fillings of one row that are looked at before the budget is asked again; segments take longer."""

_NONE: Ints = np.zeros(0, np.int64)
_NOTHING_TO_JOIN: tuple[Table, Ints, Ints, Ints] = (np.zeros((0, 0), np.int64), _NONE, _NONE, _NONE)


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


def spare_copies(problem: Problem, certificate: Certificate, top: Cost) -> Ints:
    """Of each item how many copies beyond its demand a solution of cost up to `top` can hold.

    What the sticks of a solution hold is paid for at the prices of the items, spare copies too; so these fit the gap.
    """
    gap = top * certificate.scale - dual_value(problem, certificate)
    for price, source in zip(certificate.source_prices, problem.sources, strict=True):
        gap += max(0, -price) * (source.limit or 0)
    pieces = sum(problem.demands)
    return np.array([min(pieces, gap // p) if p else pieces for p in certificate.item_prices], np.int64)


@dataclass(frozen=True, slots=True)
class Lattice:
    """Residues to join: which patterns can still be completed within the gap.

    Parameters
    ----------
    sizes
        Of the cyclic factors.
    item_steps
        (items, factors): residue of one copy of an item.
    ahead
        By stock: residue of the whole way less that of the stock's own limit.
    near
        Least price of the way to each residue, certificate units.
    """

    sizes: Ints
    item_steps: Table
    ahead: dict[int, Ints]
    near: Ints


def list_patterns(
    pricer: Pricer,
    certificate: Certificate,
    top: Cost,
    most: int,
    budget: Budget,
    most_nodes: int = 20_000_000,
    lattice: Lattice | None = None,
) -> list[Listed] | None:
    """The patterns that a solution of cost up to `top` can be made of, by stock; None if they are too many.

    Of whole sticks the maximal ones only, since a stick may always be left less full; of sticks with a form all that
    can be cut.

    Parameters
    ----------
    certificate
        Valid integer prices.
    most, most_nodes
        Limits on the list and on the search for it; the search also ends with the budget.
    lattice
        Only patterns that can be completed within the gap along it.
    """
    problem, scale = pricer.problem, pricer.scale
    prices = np.array(certificate.item_prices, np.int64)
    demands = np.array(problem.demands, np.int64)
    gap = top * scale - dual_value(problem, certificate)
    if not budget.counted:
        most_nodes = min(most_nodes, int(budget.seconds_left() * _NODES_A_SECOND))
    listed: list[Listed] = []
    size = 0
    for group in pricer.classes:
        ordered = _Ordered(group, prices, demands, scale, lattice)
        for t in group.members:
            if budget.over():
                return None
            source = problem.stocks[t].source
            least = problem.worth_limit(t, scale) + certificate.source_prices[source] - gap
            counts, complete = ordered.fillings(t, least, most - size, most_nodes)
            if not complete:
                return None
            counts = counts[counts.any(axis=1)]
            whole = np.zeros((len(counts), len(problem.items)), np.int64)
            whole[:, group.items] = ordered.back(counts)
            if group.form is not None:
                fits = _can_be_cut(problem, t, whole, budget)
                if fits is None:
                    return None
                whole = whole[fits]
            listed.append(Listed(t, whole))
            size += len(whole)
    return listed


def _can_be_cut(problem: Problem, stock: int, fillings: Table, budget: Budget) -> NDArray[np.bool_] | None:
    """Which fillings of a stock with a form one stick holds; None if that is not settled within the budget."""
    held = np.zeros(len(fillings), np.bool_)
    form = problem.stocks[stock].form
    step = _AT_ONCE if isinstance(form, Mitres) else 1
    for at in range(0, len(fillings), step):
        some = fillings[at : at + step]
        held[at : at + step] = _fits(problem, stock, some)
        # what earns may earn more in other places
        missed = some if isinstance(form, Segments) and form.rests else some[~held[at : at + step]]
        if isinstance(form, Mitres | Segments) and not all(
            form.is_settled(to_pattern(stock, row).counts) for row in missed
        ):
            return None
        if budget.over():
            return None
    return held


def _fits(problem: Problem, stock: int, fillings: Table) -> NDArray[np.bool_]:
    """Which fillings are found to fit."""
    form, weights = problem.stocks[stock].form, problem.weights[stock]
    if not isinstance(form, Mitres):
        return np.array([problem.can_be_cut(to_pattern(stock, row)) for row in fillings], np.bool_)
    each = np.array([weights.get(i, 0) for i in range(fillings.shape[1])], np.int64)
    fits: NDArray[np.bool_] = fillings @ each + form.excesses(fillings) <= problem.stocks[stock].capacity
    return fits


def widest_band(
    pricer: Pricer, certificate: Certificate, bound: Cost, highest: Cost, most: int, budget: Budget
) -> tuple[Cost, list[Listed]] | None:
    """The highest cost, from `bound` up to `highest`, whose list of patterns is not too long, and the list."""
    step = pricer.problem.cost_step
    listed = list_patterns(pricer, certificate, highest, most, budget)
    if listed is not None:
        return highest, listed
    low, high = bound - step, highest
    best: tuple[Cost, list[Listed]] | None = None
    while high - low > step and not budget.over():
        middle = low + (high - low) // (2 * step) * step
        listed = list_patterns(pricer, certificate, middle, most, budget)
        if listed is None:
            high = middle
        else:
            low, best = middle, (middle, listed)
            if sum(len(part.counts) for part in listed) > most // 2:
                break
    return best


class _Ordered:
    """A class of stocks with its items by falling worth per length."""

    def __init__(
        self, group: StockClass, prices: Ints, demands: Ints, scale: int, lattice: Lattice | None
    ) -> None:
        values = group.values(prices, scale)
        self._group = group
        self._order = np.argsort(-(values / group.weights), kind="stable")
        self._weights = group.weights[self._order]
        self._values = values[self._order]
        self._bounds = group.most(demands)[self._order]
        self._lattice = lattice
        # material cut to length gets dearer with every piece, so there a shorter filling is not beaten by a longer;
        # the longest sums of weights may not be cuttable
        self._all_of_them = bool(group.rate[0]) or group.form is not None
        self._step, self._behind = coarse(
            self._weights, self._values, self._bounds, group.widest, exactly=group.has_table
        )

    def fillings(self, stock: int, least: int, most: int, most_nodes: int) -> tuple[Table, bool]:
        """Fillings of one stock worth at least so much, as the kernel lists them."""
        capacity = self._group.capacities[stock]
        if capacity <= 0:
            return np.zeros((0, self._weights.size), np.int64), True
        steps, sizes, ahead, near = _NOTHING_TO_JOIN
        if self._lattice is not None:
            steps = self._lattice.item_steps[self._group.items][self._order]
            sizes, ahead, near = self._lattice.sizes, self._lattice.ahead[stock], self._lattice.near
        return knapsack.list_fillings(
            self._weights,
            self._values,
            self._bounds,
            capacity,
            least,
            self._behind,
            self._step,
            self._all_of_them,
            steps,
            sizes,
            ahead,
            near,
            most,
            most_nodes,
        )

    def back(self, counts: Table) -> Table:
        """Counts in the class's own order of items."""
        plain = np.zeros_like(counts)
        plain[:, self._order] = counts
        return plain
