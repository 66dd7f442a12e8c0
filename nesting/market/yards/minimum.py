"""Minimum orders: the layouts at hand of all groups, combined anew so that what is short of a minimum buys material.

The groups' own problems do not know of each other; a yard's minimum order is paid once for all of them. One
whole-number program over the layouts at hand of all groups, each at the quantity breaks of its plan, settles that.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field

import highspy
import numpy as np

from nesting.bars.problem import Pattern, Problem
from nesting.bars.solution import Solution, trimmed
from nesting.highs import INFINITY, quiet_highs
from nesting.job import Job
from nesting.joint.problem import JointProblem
from nesting.joint.search import JointAnswer
from nesting.market.build import Built
from nesting.market.group import GroupPlanner
from nesting.market.yards.choices import Choice
from nesting.plan import GroupPlan
from stock.money import Cost, to_cost
from stock.offer import Offer, Yard

_MOST_PATTERNS = 400
"""Layouts of a group that are combined."""
_SECONDS = 2.0
_NODES = 400
_MONEY = 10_000


def topped_up(
    job: Job, planners: tuple[GroupPlanner, ...], choice: Choice, seconds: float
) -> tuple[GroupPlan, ...] | None:
    """Plans of all groups that together cost least with the fees, by the layouts at hand; None if there are none.

    Parameters
    ----------
    planners
        Of all groups, planned under the choice.
    seconds
        Left for the job; infinite if steps are counted.
    """
    yards = [y for y in job.yards if choice[y.name] != "left out" and _charges(y, choice)]
    priced = [p for p in planners if p.priced]
    pools = [_at_hand(p) for p in priced]
    program = _Program(yards, choice)
    for planner, pool in zip(priced, pools, strict=True):
        program.add_group(planner.best.built, pool)
    values = program.solve(seconds)
    if values is None:
        return None
    chosen = list(_solutions(priced, pools, values))
    if not all(_is_laid(p, solution) for p, solution in zip(priced, chosen, strict=True)):
        return None
    solutions = iter(chosen)
    return tuple(_planned(p, next(solutions)) if p.priced else p.planned for p in planners)


def _charges(yard: Yard, choice: Choice) -> bool:
    return yard.minimum_order > 0 or (choice[yard.name] == "delivered" and bool(yard.delivery))


def _is_laid(planner: GroupPlanner, solution: Solution) -> bool:
    """Whether it is known how the pieces of every sheet lie: not if some are left out because sticks make them too."""
    problem, answer = planner.best.built.problem, planner.best.answer
    if not isinstance(problem, JointProblem):
        return True
    assert isinstance(answer, JointAnswer)
    return all(problem.is_stick(p) or p in answer.layouts for p in solution)


def _planned(planner: GroupPlanner, solution: Solution) -> GroupPlan:
    """The plan of a solution; the handier one there is already if as much is bought from each yard at the same cost."""
    built, own = planner.best.built, planner.best.answer.solution
    if _spent(built, solution) == _spent(built, own):
        return planner.planned
    return planner.plan_of(solution)


def _spent(built: Built, solution: Mapping[Pattern, int]) -> dict[str, Cost]:
    """Cost of a solution, and money of its steel lines by yard."""
    spent = {"": sum(n * built.problem.cost(p) for p, n in solution.items())}
    for pattern, n in solution.items():
        yard, money = steel_of(built, pattern)
        if money:
            spent[yard] = spent.get(yard, 0) + n * money
    return spent


def _solutions(
    planners: list[GroupPlanner], pools: list[list[Pattern]], values: list[int]
) -> Iterator[Solution]:
    at = 0
    for planner, pool in zip(planners, pools, strict=True):
        chosen = [(p, n) for p, n in zip(pool, values[at : at + len(pool)], strict=True) if n]
        at += len(pool)
        yield trimmed(planner.best.built.problem, chosen)


def _at_hand(planner: GroupPlanner) -> list[Pattern]:
    """The layouts of a group: of its plan, of its pool, and the same cut from other sticks that hold them."""
    problem, answer = planner.best.built.problem, planner.best.answer
    own = dict.fromkeys([*sorted(answer.solution), *answer.pool])
    twins = (twin for pattern in own for twin in _elsewhere(problem, pattern))
    return list(dict.fromkeys([*own, *twins]))[: max(_MOST_PATTERNS, len(own))]


def _elsewhere(problem: Problem, pattern: Pattern) -> Iterator[Pattern]:
    """What a stick holds, on every other kind of stick that holds it too; a sheet is not moved."""
    sticks = len(problem.stocks)
    if isinstance(problem, JointProblem):
        sticks = len(problem.sticks.stocks) if problem.is_stick(pattern) else 0
    for t in range(sticks):
        twin = Pattern(t, pattern.counts)
        if t != pattern.stock and _holds(problem, twin):
            yield twin


def _holds(problem: Problem, pattern: Pattern) -> bool:
    """Whether a stick holds what a pattern says."""
    if isinstance(problem, JointProblem):
        forms = problem.forms_of[pattern.stock]
        if not all(i in forms for i, _ in pattern.counts):
            return False
        return _holds(problem.sticks, problem.as_forms(pattern))
    stock, weights = problem.stocks[pattern.stock], problem.weights[pattern.stock]
    if not all(i in weights for i, _ in pattern.counts):
        return False
    if stock.form is not None and stock.form.excess(pattern.counts) is None:
        return False
    return problem.taken(pattern) <= stock.capacity


def steel_of(built: Built, pattern: Pattern) -> tuple[str, Cost]:
    """Yard and money of the steel line that a stick or sheet adds to; none for the rack and what is bought anyway."""
    stock = built.problem.stocks[pattern.stock]
    origin = built.origins[stock.source]
    if not isinstance(origin, Offer):
        return "", 0
    if stock.source in built.prepaid:
        return origin.yard, 0
    return origin.yard, built.problem.cost(pattern) if stock.is_cut_to_length else to_cost(
        origin.unit_price()
    )


@dataclass
class _Program:
    """Columns: of each yard whether it is used and what is short of its minimum, then the layouts of all groups."""

    yards: list[Yard]
    choice: Choice
    costs: list[float] = field(default_factory=list)
    most: list[float] = field(default_factory=list)
    entries: list[list[tuple[int, float]]] = field(default_factory=list)
    lower: list[float] = field(default_factory=list)
    upper: list[float] = field(default_factory=list)

    def __post_init__(self) -> None:
        """Row of a yard: steel + short - minimum x used >= 0."""
        self._rows = {yard.name: n for n, yard in enumerate(self.yards)}
        self._links: list[tuple[int, int]] = []
        self.lower, self.upper = [0.0] * len(self.yards), [INFINITY] * len(self.yards)
        for n, yard in enumerate(self.yards):
            delivered = self.choice[yard.name] == "delivered"
            minimum = float(yard.minimum_order)
            self._column(float(yard.delivery or 0) if delivered else 0.0, 1.0, [(n, -minimum)])
            self._column(1.0, minimum, [(n, 1.0)])

    def add_group(self, built: Built, pool: list[Pattern]) -> None:
        """Rows of items and limited sources, columns of layouts; a layout is linked to the yard it buys from."""
        problem = built.problem
        first = len(self.lower)
        self.lower += map(float, problem.demands)
        self.upper += [INFINITY] * len(problem.demands)
        limits = {}
        for s, source in enumerate(problem.sources):
            if source.limit is not None:
                limits[s] = len(self.lower)
                self.lower.append(0.0)
                self.upper.append(float(source.limit))
        for s, offer in built.prepaid.items():
            row = self._rows.get(offer.yard)
            if row is not None:
                self.lower[row] -= float((problem.sources[s].limit or 0) * offer.unit_price())
        for pattern in pool:
            own = problem.stocks[pattern.stock].source
            need = max(-(-problem.demands[i] // k) for i, k in pattern.counts)
            entries = [(first + i, float(k)) for i, k in pattern.counts]
            if own in limits:
                entries.append((limits[own], 1.0))
                need = min(need, int(self.upper[limits[own]]))
            yard, steel = steel_of(built, pattern)
            row = self._rows.get(yard)
            if row is not None and steel:
                entries.append((row, steel / _MONEY))
                self._links.append((len(self.costs), row))
            self._column(problem.cost(pattern) / _MONEY, float(need), entries)

    def solve(self, seconds: float) -> list[int] | None:
        """How often each layout is used; None if nothing was found in time."""
        for column, row in self._links:
            if self.most[column]:
                link = len(self.lower)
                self.lower.append(-INFINITY)
                self.upper.append(0.0)
                self.entries[column].append((link, 1.0))
                self.entries[2 * row].append((link, -self.most[column]))
        highs = quiet_highs()
        if seconds == float("inf"):
            highs.setOptionValue("mip_max_nodes", _NODES)
        else:
            highs.setOptionValue("time_limit", min(_SECONDS, 0.3 * seconds))
        highs.passModel(self._lp())
        highs.run()
        if highs.getInfo().primal_solution_status != 2:
            return None
        values = np.rint(np.array(highs.getSolution().col_value)).astype(int)
        return [int(n) for n in values[2 * len(self.yards) :]]

    def _column(self, cost: float, most: float, entries: list[tuple[int, float]]) -> None:
        self.costs.append(cost)
        self.most.append(most)
        self.entries.append(entries)

    def _lp(self) -> highspy.HighsLp:
        lp = highspy.HighsLp()
        lp.num_col_, lp.num_row_ = len(self.costs), len(self.lower)
        lp.col_cost_, lp.col_upper_ = np.array(self.costs), np.array(self.most)
        lp.col_lower_ = np.zeros(len(self.costs))
        lp.row_lower_, lp.row_upper_ = np.array(self.lower), np.array(self.upper)
        lp.a_matrix_.format_ = highspy.MatrixFormat.kColwise
        lp.a_matrix_.start_ = np.cumsum([0, *map(len, self.entries)]).astype(np.int32)
        lp.a_matrix_.index_ = np.array([row for e in self.entries for row, _ in e], np.int32)
        lp.a_matrix_.value_ = np.array([value for e in self.entries for _, value in e])
        kinds = highspy.HighsVarType
        yards = [kinds.kInteger, kinds.kContinuous] * len(self.yards)
        lp.integrality_ = yards + [kinds.kInteger] * (len(self.costs) - len(yards))
        return lp
