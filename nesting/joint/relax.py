"""The bound of a joint problem: sticks by their patterns, sheets by area; and its prices as a certificate.

The relaxation asks how many pieces of each item come from sheets, and only that their areas have room on the sheets
bought. Its prices are such that no stick is worth more than it costs, by exact pricing, and no sheet, by area.
"""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np

from nesting.bars.bound import SafeBound, clipped, whole_prices
from nesting.bars.construct import NoStock
from nesting.bars.problem import Certificate, Pattern, Problem
from nesting.bars.types import Floats, Ints
from nesting.highs import INFINITY, quiet_highs
from nesting.joint.area import apart, item_area, room_area
from nesting.joint.pricing import JointPricer
from nesting.joint.problem import JointProblem
from nesting.progress import Budget
from stock.money import Cost

_TOLERANCE = 1e-9
_ROUNDS = 300
_SETS = 16
"""Sets of items whose area is looked at."""


class Relaxation:
    """The linear programme, grown pattern by pattern.

    Parameters
    ----------
    pricer
        The problem.
    numbers
        Of each source how many there are, at no cost; None: as many as its limit says, at their cost.
    patterns
        Of sticks, to begin with.

    Every item has a stand-in column of great cost, so that the programme is never infeasible.
    """

    def __init__(
        self, pricer: JointPricer, numbers: tuple[int, ...] | None = None, patterns: Iterable[Pattern] = ()
    ) -> None:
        problem = pricer.problem
        self.pricer, self.problem = pricer, problem
        self.is_free = numbers is not None
        self.unit = 1.0 if self.is_free else float(max([1, *(s.most for s in problem.stocks)]))
        self.demands = np.array(problem.demands, np.int64)
        self.patterns: list[Pattern] = []
        self._known: set[Pattern] = set()
        limits = [s.limit for s in problem.sources] if numbers is None else list(numbers)
        self._limited = {s: limit for s, limit in enumerate(limits) if limit is not None}
        self._highs = quiet_highs()
        none = (0, np.empty(0, np.int32), np.empty(0))
        for d in self.demands:
            self._highs.addRow(float(d), INFINITY, *none)
        self._rows = _area_rows(problem)
        for _ in self._rows:
            self._highs.addRow(0.0, INFINITY, *none)
        for limit in self._limited.values():
            self._highs.addRow(-INFINITY, float(limit), *none)
        first = self.demands.size + len(self._rows)
        self._row_of_source = {s: first + r for r, s in enumerate(self._limited)}
        dear = 1.0 if self.is_free else 20.0
        for i in range(self.demands.size):
            self._column(dear, {i: 1.0})
        self._add_sheets()
        self.add(patterns)

    def _add_sheets(self) -> None:
        """What comes from sheets, and how many sheets there are."""
        n = self.demands.size
        top = float(max((room for row in self._rows for room in row.rooms.values()), default=1))
        held = {i for row in self._rows for i in row.areas}
        for i in sorted(held):
            entries = {i: 1.0}
            for r, row in enumerate(self._rows):
                if i in row.areas:
                    entries[n + r] = -row.areas[i] / top
            self._column(0.0, entries)
        for k, kind in enumerate(self.problem.sheets.kinds):
            entries = {n + r: row.rooms[k] / top for r, row in enumerate(self._rows) if k in row.rooms}
            if kind.source in self._row_of_source:
                entries[self._row_of_source[kind.source]] = 1.0
            if entries:
                self._column(0.0 if self.is_free else kind.cost / self.unit, entries)

    def add(self, patterns: Iterable[Pattern]) -> int:
        """Add patterns of sticks not yet there; returns how many were new."""
        fresh = 0
        for pattern in patterns:
            if pattern in self._known:
                continue
            self._known.add(pattern)
            self.patterns.append(pattern)
            entries = {i: float(k) for i, k in pattern.counts}
            row = self._row_of_source.get(self.problem.stocks[pattern.stock].source)
            if row is not None:
                entries[row] = 1.0
            self._column(0.0 if self.is_free else self.problem.cost(pattern) / self.unit, entries)
            fresh += 1
        return fresh

    def solve(self, budget: Budget) -> tuple[float, Floats, dict[int, float]]:
        """Grow it until no stick is worth more than it costs, or the budget is over.

        Returns the value, in ten-thousandths, and the prices of items and of limited sources (below zero).
        """
        for _ in range(_ROUNDS):
            self._highs.run()
            value = float(self._highs.getInfo().objective_function_value) * self.unit
            dual = np.array(self._highs.getSolution().row_dual) * self.unit
            prices: Floats = np.maximum(dual[: self.demands.size], 0.0)
            scarce = {s: float(dual[r]) for s, r in self._row_of_source.items()}
            budget.spend()
            if not self.add(self._worthwhile(prices, scarce)) or budget.over():
                break
        return value, prices, scarce

    def missing(self) -> Floats:
        """How many of each item no source can give, even in fractions."""
        return np.array(self._highs.getSolution().col_value)[: self.demands.size]

    def _worthwhile(self, prices: Floats, scarce: dict[int, float]) -> list[Pattern]:
        """Stick patterns that are worth more than they cost."""
        scale = 2.0**30 if self.is_free else self.pricer.scale
        slack = _TOLERANCE * self.unit
        thresholds = []
        for t, stock in enumerate(self.problem.sticks.stocks):
            cost = 0 if self.is_free else self.problem.worth_limit(t, self.pricer.scale)
            thresholds.append(cost + int((slack - scarce.get(stock.source, 0.0)) * scale))
        whole = np.floor(prices * scale).astype(np.int64)
        _, offers = self.pricer.best_sticks(whole, thresholds, self.demands)
        return [p for _, p in offers]

    def _column(self, cost: float, entries: dict[int, float]) -> None:
        rows = np.array(list(entries), np.int32)
        self._highs.addCol(cost, 0.0, INFINITY, len(entries), rows, np.array(list(entries.values())))


class _AreaRow:
    """Pieces of some items on sheets have no more area than the sheets that can hold one of them.

    Parameters
    ----------
    areas, rooms
        Of each item, and of each kind, enlarged alike.
    """

    def __init__(self, problem: JointProblem, items: frozenset[int]) -> None:
        kinds = [k for k, held in enumerate(_held(problem)) if held & items]
        between = min(apart(problem.sheets.kinds[k]) for k in kinds)
        self.rooms = {k: room_area(problem.sheets.kinds[k], between) for k in kinds}
        self.areas: dict[int, int] = {}
        for r, i in enumerate(problem.rect_items):
            if i in items:
                area = item_area(problem.sheets.items[r], between)
                self.areas[i] = min(area, self.areas.get(i, area))


def _held(problem: JointProblem) -> list[frozenset[int]]:
    """Of each kind the items that fit it."""
    return [frozenset(problem.rect_items[r] for r in held) for held in problem.sheets.fitting]


def _area_rows(problem: JointProblem) -> list[_AreaRow]:
    """All items, and those that none of some kinds can hold: they need sheets of the others."""
    held = _held(problem)
    sets = {frozenset().union(*held)}
    for some in sorted(set(held), key=sorted):
        if len(sets) < _SETS:
            sets |= {items - some for items in sets}
    return [_AreaRow(problem, items) for items in sorted(sets, key=sorted) if items]


def relaxed_bound(pricer: JointPricer, budget: Budget) -> tuple[SafeBound, Floats, list[Pattern]]:
    """The bound with its certificate, the prices it came from, and the patterns of sticks found on the way.

    Raises NoStock if even fractions of the limited sources do not hold the items.
    """
    relaxation = Relaxation(pricer)
    relaxation.add(
        Pattern(t, ((i, 1),))
        for t, forms in enumerate(pricer.problem.forms_of)
        for i, f in forms.items()
        if pricer.problem.sticks.weights[t][f] <= pricer.problem.stocks[t].capacity
    )
    _, prices, scarce = relaxation.solve(budget)
    missing = relaxation.missing()
    if missing.max(initial=0.0) > 1e-6:
        raise NoStock(np.ceil(missing - 1e-6).astype(np.int64))
    return _safe(pricer, prices, scarce), prices, relaxation.patterns


def _safe(pricer: JointPricer, prices: Floats, scarce: dict[int, float]) -> SafeBound:
    """Integer prices at which no stick and no sheet of an unlimited source is worth more than it costs."""
    problem, scale = pricer.problem, pricer.scale
    whole = _clipped(problem, whole_prices(prices, scale), scale)
    allowed = [problem.worth_limit(t, scale) for t in range(len(problem.stocks))]
    unlimited = [problem.sources[s.source].limit is None for s in problem.stocks]
    for _ in range(4):
        worth = worths(pricer, whole, allowed)
        over = [t for t, free in enumerate(unlimited) if free and worth[t] > max(0, allowed[t])]
        if not over:
            break
        shrink = min(max(0, allowed[t]) / worth[t] for t in over)
        whole = np.floor(whole * (shrink * (1.0 - 4e-16))).astype(np.int64)
    else:
        whole = np.zeros_like(whole)
        worth = worths(pricer, whole, allowed)
    source_prices = [0] * len(problem.sources)
    for t, stock in enumerate(problem.stocks):
        if not unlimited[t]:
            source_prices[stock.source] = max(source_prices[stock.source], worth[t] - allowed[t])
    return _bound(problem, Certificate(scale, tuple(whole.tolist()), tuple(source_prices)))


def _clipped(problem: JointProblem, prices: Ints, scale: int) -> Ints:
    """Prices at which no stick cut to length for nothing is worth more than it costs; see `bars.bound.clipped`."""
    forms = np.array(problem.form_items, np.int64)
    result = prices.copy()
    np.minimum.at(result, forms, clipped(problem.sticks, prices[forms], scale))
    return result


def worths(pricer: JointPricer, prices: Ints, allowed: list[int]) -> list[int]:
    """What each stick and sheet is worth at the most, as the certificate reckons it."""
    problem = pricer.problem
    demands = np.array(problem.demands, np.int64)
    first = len(problem.sticks.stocks)
    found = pricer.most_of_sticks(prices, demands)
    values = [found[t].value if t in found else 0 for t in range(first)]
    if not all(p.exact for p in found.values()):
        values = [2**62 if prices.any() else 0] * first
    return values + [pricer.most(k, prices, demands) for k in range(len(allowed) - first)]


def _bound(problem: Problem, certificate: Certificate) -> SafeBound:
    total = sum(p * d for p, d in zip(certificate.item_prices, problem.demands, strict=True))
    total -= sum(p * (s.limit or 0) for p, s in zip(certificate.source_prices, problem.sources, strict=True))
    value: Cost = max(0, -(-total // certificate.scale))
    step = problem.cost_step
    return SafeBound(-(-value // step) * step, certificate)
