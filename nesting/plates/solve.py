"""The cheapest way to cut a group's rectangles from its sheets, with a bound: the recipe of this room."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from nesting.plates.bound import SheetBound, lower_bound
from nesting.plates.chance import chance_of, fraction
from nesting.plates.columns import Columns
from nesting.plates.construct import construct
from nesting.plates.field import Desk, desk_for, desk_of, field_of, layouts_of
from nesting.plates.improve import improve
from nesting.plates.order import MEASURES
from nesting.plates.pool import Pool, lay
from nesting.plates.problem import Layout, NoSheets, RectProblem
from nesting.plates.propose import Proposer
from nesting.plates.types import Floats
from nesting.progress import Budget
from stock.money import Cost

_CHUNK = 400_000
"""Counted steps of the compiled search between two looks at the budget: a few milliseconds."""
_PATIENCE = 60, 25
"""Chunks without a cheaper plan before the sheets seen are combined and the search starts anew; with several kinds,
where good sheets of different plans complete one another more often, fewer."""
_TRIES = 10
_HANDED = 200
"""Sheets handed over with the answer."""
_BOUND_AFTER = 1
"""Searches before strong cuts are looked for,"""
_BOUND_SHARE = 0.3
"""with at most so much of what is left of the budget."""
_PROPOSALS = 30
_FILLINGS = 40
_FRESH = 150
"""Sheets not seen before that make another combination worthwhile."""


@dataclass(frozen=True, slots=True)
class Answer:
    """The best plan found and what is known about it.

    Parameters
    ----------
    layouts
        One for each sheet; they hold exactly the demand.
    cost
        Ten-thousandths.
    bound
        No plan costs less; from areas under scales and from the counts of sheets.
    pool
        Good sheets seen on the way, the fullest first.
    """

    layouts: tuple[Layout, ...]
    cost: Cost
    bound: Cost
    pool: tuple[Layout, ...] = ()

    @property
    def proved(self) -> bool:
        """Whether no plan is cheaper."""
        return self.cost <= self.bound


def solve(
    problem: RectProblem, budget: Budget, seed: int, start: Sequence[Layout] = (), enough: Cost = 0
) -> Answer:
    """Solve a problem until it is proved or the budget is over.

    Parameters
    ----------
    start
        A plan to begin with, of the demand or a part of it; none if left out.
    enough
        A plan that costs no more ends the search; above 0, no bound is looked for.

    Raises
    ------
    NoSheets
        If the limited sheets do not hold the items, or no way to make them hold was found.
    """
    _refuse_what_fits_nothing(problem)
    if not any(i.demand for i in problem.items):
        return Answer((), 0, 0)
    return _Search(problem, budget, seed, enough).run(start)


def _refuse_what_fits_nothing(problem: RectProblem) -> None:
    held = frozenset().union(*problem.fitting)
    homeless = tuple(i for i, item in enumerate(problem.items) if item.demand and i not in held)
    if homeless:
        raise NoSheets(homeless, True)


class _Search:
    """State of one solve."""

    def __init__(self, problem: RectProblem, budget: Budget, seed: int, enough: Cost) -> None:
        self.problem = problem
        self.enough = enough
        self.budget = budget
        self.field = field_of(problem)
        self.chance = chance_of(seed)
        self.pool = Pool(problem, self.field)
        self.proposer = Proposer(problem, seed)
        self.best = desk_for(self.field)
        self.lost = float("inf")
        self.cost: Cost | None = None
        self.bound: Cost = 0

    def run(self, start: Sequence[Layout]) -> Answer:
        if not self.enough:
            self.bound = lower_bound(self.problem, thorough=False)
        if start:
            self._take(desk_of(self.problem, self.field, start))
        if not start:
            self._start()
        if len(self.problem.kinds) > 1 and not self.enough and not self._done():
            self.bound = max(self.bound, lower_bound(self.problem))
        rounds = 0
        while not self._done():
            self._search_on()
            self._combine()
            rounds += 1
            if rounds == _BOUND_AFTER and not self.enough and not self._done():
                self._raise_bound()
        if self.cost is None:
            raise NoSheets(tuple(sorted(set(self.field.alike[self.best.sheet_of < 0].tolist()))), False)
        layouts = tuple(layouts_of(self.problem, self.field, self.best))
        return Answer(layouts, self.cost, self.bound, self.pool.fullest(_HANDED))

    def _raise_bound(self) -> None:
        """Look for strong cuts, beginning with the sheets seen."""
        if self.cost is None:
            return
        bound = SheetBound(self.problem)
        bound.blend(len(self.problem.kinds) > 1)
        best = layouts_of(self.problem, self.field, self.best)
        budget = self.budget.share(_BOUND_SHARE)
        bound.generate([*best, *self.pool.fullest(_HANDED)], budget, self.bound)
        self.bound = max(self.bound, bound.cost())
        self.budget.spend(int(_BOUND_SHARE * (self.budget.steps_left() or 0)))

    def _done(self) -> bool:
        return self.budget.over() or (self.cost is not None and self.cost <= max(self.bound, self.enough))

    def _start(self) -> None:
        """Plans by plain rules: every measure of size with three rules of place; then one with chance in it."""
        for rule in (2, 0, 3):
            for measure in range(MEASURES):
                desk = desk_for(self.field)
                construct(self.field, desk, self.field.areas, 1, measure, rule, 0.0, self.chance)
                self._take(desk)
                self.budget.spend()
                if self._done():
                    return

    def _fresh_plan(self) -> Desk:
        """A plan to search on from: the best one, or one by chance that prefers large pieces more or less."""
        desk = desk_for(self.field)
        if fraction(self.chance) < 0.5:
            _copy(self.best, desk)
            return desk
        worth: Floats = self.field.areas ** (1.0 + fraction(self.chance))
        construct(self.field, desk, worth, 3, -1, -1, 0.5, self.chance)
        return desk

    def _search_on(self) -> None:
        """Improve one plan until nothing more comes of it."""
        desk = self._fresh_plan()
        self._take(desk)
        waited = 0
        patience = _PATIENCE[len(self.problem.kinds) > 1]
        while waited < patience and not self._done():
            changes, cheaper = improve(self.field, desk, self.field.areas, _CHUNK, _TRIES, self.chance)
            self.budget.spend()
            waited = 0 if cheaper else waited + 1
            if changes:
                self._take(desk)
            elif desk.sheets[0] == 1:
                break

    def _combine(self) -> None:
        """The best combination of the sheets seen."""
        if self.cost is None or self.pool.fresh < _FRESH or self._done():
            return
        self._propose()
        seconds = 0.15 * self.budget.seconds_left() + 0.05
        found = self.pool.combine(self.cost, self.budget, min(seconds, 20.0), 20)
        if found is not None:
            desk = desk_for(self.field)
            lay(self.field, desk, found)
            self._take(desk)

    def _propose(self) -> None:
        """Sheets worth most at the prices that the sheets seen give the items."""
        demands = np.array([i.demand for i in self.problem.items], np.int64)
        sheets = [(s.kind, np.bincount(s.items, minlength=demands.size)) for s in self.pool.sheets.values()]
        columns = Columns(self.problem, demands, sheets)
        for _ in range(_PROPOSALS):
            prices = columns.prices()
            if prices is None or self._done():
                return
            found = self.proposer.propose(prices.tolist(), demands.tolist(), _FILLINGS)
            fresh = self.pool.put(found)
            for sheet in fresh:
                columns.add(sheet.kind, np.bincount(sheet.items, minlength=demands.size))
            self.budget.spend()
            if not fresh:
                return

    def _take(self, desk: Desk) -> None:
        """Put a plan's sheets into the pool; keep it if it is the cheapest whole one."""
        self.pool.add(desk)
        kinds = desk.kind_of[: int(desk.sheets[0])].tolist()
        cost = sum(self.problem.kinds[k].cost for k in kinds)
        lost = float(self.field.areas[desk.sheet_of < 0].sum())
        if lost > 0.0:
            if self.cost is None and lost < self.lost:
                self.lost = lost
                _copy(desk, self.best)
        elif self.cost is None or cost < self.cost:
            _copy(desk, self.best)
            self.cost = cost
            self.budget.progress.report("laying out sheets", cost, self.bound)


def _copy(source: Desk, target: Desk) -> None:
    for column in ("sheet_of", "at", "kind_of", "sheets"):
        getattr(target, column)[:] = getattr(source, column)
