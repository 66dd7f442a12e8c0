"""The handiest mix of patterns at hand, by CP-SAT: one aim after the other, earlier ones kept."""

from __future__ import annotations

from ortools.sat.python import cp_model

from nesting.bars.problem import Pattern, Problem
from nesting.bars.solution import Solution, trimmed
from nesting.market.ties.longest import rest_of
from nesting.progress import Budget
from stock.money import Cost

_MOST_PATTERNS = 250
_WORK = 0.015
"""Deterministic time units of CP-SAT for each aim (about seconds)."""


class Mixing:
    """Mixes patterns at hand.

    Parameters
    ----------
    pool
        The patterns.
    most_cost
        What a mix may cost.
    """

    def __init__(
        self, problem: Problem, pool: tuple[Pattern, ...], most_cost: Cost, budget: Budget, seed: int
    ) -> None:
        self.problem, self.most_cost, self.budget, self.seed = problem, most_cost, budget, seed
        self._pool = [p for p in pool if problem.can_be_cut(p)]

    def least(self, solution: Solution, aims: list[str]) -> Solution | None:
        """A mix with least of the last aim and no more of those before than the solution has; None if none is found.

        Stop moves are counted by stick alone, without how sticks follow each other; a mix is to be measured again.
        """
        mine = sorted(solution)
        patterns = list(dict.fromkeys([*mine, *self._pool]))[: max(_MOST_PATTERNS, len(mine))]
        model = _Model(self.problem, patterns, self.most_cost)
        for aim in aims[:-1]:
            model.add(model.amount(aim) <= model.amount_of(aim, solution))
        goal = model.amount(aims[-1])
        model.add(goal <= model.amount_of(aims[-1], solution) - 1)
        model.minimize(goal)
        for x, used, p in zip(model.counts, model.is_used, patterns, strict=True):
            model.add_hint(x, solution.get(p, 0))
            model.add_hint(used, p in solution)
        solver = cp_model.CpSolver()
        solver.parameters.num_workers = 1
        solver.parameters.random_seed = self.seed
        solver.parameters.max_deterministic_time = _WORK
        if not self.budget.counted:
            solver.parameters.max_time_in_seconds = max(0.05, min(4.0 * _WORK, self.budget.seconds_left()))
        if solver.solve(model) not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
            return None
        chosen = [(p, solver.value(x)) for p, x in zip(patterns, model.counts, strict=True)]
        return trimmed(self.problem, [(p, n) for p, n in chosen if n])


class _Model(cp_model.CpModel):
    """How often each pattern is cut, so that all is made at no more than some cost, and what there is of each aim."""

    def __init__(self, problem: Problem, patterns: list[Pattern], most_cost: Cost) -> None:
        super().__init__()
        self.problem, self.patterns = problem, patterns
        most = [max(-(-problem.items[i].demand // k) for i, k in p.counts) for p in patterns]
        self.counts = [self.new_int_var(0, m, "") for m in most]
        self.is_used = [self.new_bool_var("") for _ in patterns]
        self._longest: list[cp_model.IntVar] = []
        for x, used in zip(self.counts, self.is_used, strict=True):
            self.add(x >= 1).only_enforce_if(used)
            self.add(x == 0).only_enforce_if(~used)
        made: list[list[cp_model.LinearExpr]] = [[] for _ in problem.items]
        for x, p in zip(self.counts, patterns, strict=True):
            for i, k in p.counts:
                made[i].append(k * x)
        for item, terms in zip(problem.items, made, strict=True):
            self.add(cp_model.LinearExpr.sum(terms) == item.demand)
        for s, source in enumerate(problem.sources):
            mine = [
                x for x, p in zip(self.counts, patterns, strict=True) if problem.stocks[p.stock].source == s
            ]
            if source.limit is not None and mine:
                self.add(sum(mine) <= source.limit)
        self.add(self._sum([problem.cost(p) for p in patterns]) <= most_cost)

    def amount(self, aim: str) -> cp_model.LinearExpr:
        """How much there is of an aim."""
        if aim == "layouts":
            return cp_model.LinearExpr.sum(self.is_used)
        if aim == "offcut":
            return self._shortness()
        per_stick = self._sum([_per_stick(self.problem, aim, p) for p in self.patterns])
        if aim != "stops":
            return per_stick
        alike = [u for u, p in zip(self.is_used, self.patterns, strict=True) if len(p.counts) == 1]
        return per_stick + cp_model.LinearExpr.sum(alike)

    def amount_of(self, aim: str, solution: Solution) -> int:
        """How much of an aim a solution has, counted as `amount` does."""
        if aim == "layouts":
            return len(solution)
        if aim == "offcut":
            return -max(_rest(self.problem, p) for p in solution)
        alike = sum(len(p.counts) == 1 for p in solution) if aim == "stops" else 0
        return alike + sum(n * _per_stick(self.problem, aim, p) for p, n in solution.items())

    def _sum(self, amounts: list[int]) -> cp_model.LinearExpr:
        return cp_model.LinearExpr.weighted_sum(self.counts, amounts)

    def _shortness(self) -> cp_model.LinearExpr:
        """Less the longer the rest of the one pattern that is chosen for it, which must be cut."""
        if not self._longest:
            self._longest = [self.new_bool_var("") for _ in self.patterns]
            self.add_exactly_one(self._longest)
            for chosen, used in zip(self._longest, self.is_used, strict=True):
                self.add_implication(chosen, used)
        return cp_model.LinearExpr.weighted_sum(
            self._longest, [-_rest(self.problem, p) for p in self.patterns]
        )


def _per_stick(problem: Problem, aim: str, pattern: Pattern) -> int:
    """What one stick adds to an aim."""
    stock = problem.stocks[pattern.stock]
    if aim == "rack":
        return stock.length if problem.sources[stock.source].rack else 0
    if aim == "stops":
        return len(pattern.counts) if len(pattern.counts) > 1 else 0
    return 1


def _rest(problem: Problem, pattern: Pattern) -> int:
    """The rest in a unit that keeps the sums small."""
    longest = max(1, max(s.length for s in problem.stocks))
    return 10_000 * rest_of(problem, pattern) // longest
