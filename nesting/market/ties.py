"""Among equally cheap plans the handiest: least rack length, fewest sticks, fewest different layouts, a long offcut.

Improved with CP-SAT over the patterns at hand, one wish after the other, each keeping what the earlier ones won.
"Improved", not "least": patterns that are not at hand are not tried.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from ortools.sat.python import cp_model

from nesting.bars.problem import Pattern, Problem
from nesting.bars.solution import Solution, cost_of, trimmed
from nesting.progress import Budget
from stock.money import Cost

_MOST_PATTERNS = 250
_WORK = 0.2
"""Deterministic time units of CP-SAT for each wish (about seconds)."""


@dataclass(frozen=True, slots=True)
class Wish:
    """Something to have less of.

    Parameters
    ----------
    words
        How the report says it, with places for the amount before and after.
    measure
        How much of it a solution has.
    """

    words: str
    measure: Callable[[Problem, Solution], int]


def rack_length(problem: Problem, solution: Solution) -> int:
    """Ticks of rack pieces that are started."""
    return sum(n * _rack_ticks(problem, p) for p, n in solution.items())


def sticks(problem: Problem, solution: Solution) -> int:
    """Sticks cut."""
    return sum(solution.values())


def different(problem: Problem, solution: Solution) -> int:
    """Different layouts."""
    return len(solution)


def shortness(problem: Problem, solution: Solution) -> int:
    """Falls when the rests gather in few long pieces."""
    return -sum(n * _rest_square(problem, p) for p, n in solution.items())


WISHES = (
    Wish("less rack length started, at the same cost", rack_length),
    Wish("sticks from {} to {}, at the same cost", sticks),
    Wish("different layouts from {} to {}, at the same cost", different),
    Wish("rests gathered into fewer, longer offcuts, at the same cost", shortness),
)


def improve_ties(
    problem: Problem,
    solution: Solution,
    pool: tuple[Pattern, ...],
    most_cost: Cost,
    budget: Budget,
    seed: int,
) -> tuple[Solution, tuple[str, ...]]:
    """A handier solution that costs at most `most_cost`, and what was gained, in words."""
    said = []
    best = solution
    reached: list[tuple[int, int]] = []
    for rank, wish in enumerate(WISHES):
        before = wish.measure(problem, best)
        if not budget.over() and before > _least(problem, wish):
            better = _better(problem, best, pool, most_cost, reached, rank, budget, seed)
            if better is not None and _is_handier(problem, better, best, most_cost, rank):
                best = better
                said.append(wish.words.format(before, wish.measure(problem, best)))
        reached.append((rank, wish.measure(problem, best)))
    return best, tuple(said)


def _least(problem: Problem, wish: Wish) -> int:
    """A measure that cannot be undercut, so that nothing need be tried."""
    if wish.measure is rack_length:
        return 0
    if wish.measure is different:
        return 1
    if wish.measure is sticks:
        widest = max(stock.capacity for stock in problem.stocks)
        kerf = min(stock.kerf for stock in problem.stocks)
        return -(-sum(i.demand * (i.length + kerf) for i in problem.items) // widest)
    longest = max(stock.length for stock in problem.stocks)
    return -sum(i.demand for i in problem.items) * longest**2


def _is_handier(problem: Problem, new: Solution, old: Solution, most_cost: Cost, rank: int) -> bool:
    """Whether the wish of this rank is better met and no earlier one worse; measured, not believed."""
    measures = [w.measure for w in WISHES[: rank + 1]]
    no_worse = all(m(problem, new) <= m(problem, old) for m in measures[:-1])
    return (
        no_worse
        and measures[-1](problem, new) < measures[-1](problem, old)
        and cost_of(problem, new) <= most_cost
    )


def _better(
    problem: Problem,
    solution: Solution,
    pool: tuple[Pattern, ...],
    most_cost: Cost,
    reached: list[tuple[int, int]],
    rank: int,
    budget: Budget,
    seed: int,
) -> Solution | None:
    """Solve for one wish over the patterns at hand; None if nothing is found."""
    patterns = list(dict.fromkeys([*sorted(solution), *pool]))[: max(_MOST_PATTERNS, len(solution))]
    model = cp_model.CpModel()
    most = [max(-(-problem.items[i].demand // k) for i, k in p.counts) for p in patterns]
    counts = [model.new_int_var(0, m, "") for m in most]
    is_used = [model.new_bool_var("") for _ in patterns]
    for x, used, m in zip(counts, is_used, most, strict=True):
        model.add(x <= m * used)
    made: list[list[cp_model.LinearExpr]] = [[] for _ in problem.items]
    for x, p in zip(counts, patterns, strict=True):
        for i, k in p.counts:
            made[i].append(k * x)
    for item, terms in zip(problem.items, made, strict=True):
        model.add(sum(terms) == item.demand)
    for s, source in enumerate(problem.sources):
        mine = [x for x, p in zip(counts, patterns, strict=True) if problem.stocks[p.stock].source == s]
        if source.limit is not None and mine:
            model.add(sum(mine) <= source.limit)
    model.add(sum(problem.cost(p) * x for x, p in zip(counts, patterns, strict=True)) <= most_cost)
    measures = [
        sum(_rack_ticks(problem, p) * x for x, p in zip(counts, patterns, strict=True)),
        sum(counts),
        sum(is_used),
        -sum(_rest_square(problem, p) * x for x, p in zip(counts, patterns, strict=True)),
    ]
    for earlier, value in reached:
        model.add(measures[earlier] <= value)
    model.minimize(measures[rank])
    for x, used, p in zip(counts, is_used, patterns, strict=True):
        model.add_hint(x, solution.get(p, 0))
        model.add_hint(used, p in solution)
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    solver.parameters.random_seed = seed
    solver.parameters.max_deterministic_time = _WORK
    if not budget.counted:
        solver.parameters.max_time_in_seconds = max(0.05, min(2.0 * _WORK, budget.seconds_left()))
    if solver.solve(model) not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        return None
    values = np.array([solver.value(x) for x in counts])
    return trimmed(problem, [(p, int(n)) for p, n in zip(patterns, values, strict=True) if n])


def _rack_ticks(problem: Problem, pattern: Pattern) -> int:
    stock = problem.stocks[pattern.stock]
    return stock.length if problem.sources[stock.source].rack else 0


def _rest_square(problem: Problem, pattern: Pattern) -> int:
    """The rest of a stick squared, in a unit that keeps the sums small."""
    stock = problem.stocks[pattern.stock]
    if stock.rate[0]:
        return 0
    rest = max(0, stock.length - stock.ends - problem.used(pattern))
    return (1000 * rest // max(1, max(s.length for s in problem.stocks))) ** 2
