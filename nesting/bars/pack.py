"""Pack all items into given numbers of sticks: a question of yes or no, tried by several means."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from nesting.bars.bound import safe_bound
from nesting.bars.columns import generate
from nesting.bars.correct import correct
from nesting.bars.counts import limited
from nesting.bars.dive import dive
from nesting.bars.enumerate import list_patterns, spare_copies
from nesting.bars.master import Master
from nesting.bars.mip import Combined, combine
from nesting.bars.pricing import Pricer
from nesting.bars.problem import Problem
from nesting.bars.solution import Solution, produced
from nesting.progress import Budget
from stock.money import Cost

_MOST_LISTED = 12_000
_SECONDS = 4.0


def pack(
    master: Master, counts: tuple[int, ...], tries: int, budget: Budget, rng: np.random.Generator
) -> Solution | None:
    """A solution of the master's problem within so many sticks, or None if none was found (which proves nothing).

    Parameters
    ----------
    counts
        Sticks by source.
    tries
        How often the means that depend on chance are tried.
    """
    problem = limited(master.problem, counts)
    demands = np.array(problem.demands, np.int64)
    for solution in _tries(problem, master, tries, budget, rng):
        if solution is not None and (produced(problem, solution) >= demands).all():
            return solution
    return None


def settle(master: Master, counts: tuple[int, ...], cost: Cost, budget: Budget) -> Combined | None:
    """Whether so many sticks, which cost `cost`, hold all items; None if there are too many patterns to ask.

    A whole-number master over every pattern that such a solution can use: if it ends by itself without a solution,
    there is none. The prices are those of the relaxation with just these sticks, so that few patterns fit the gap.
    """
    problem = limited(master.problem, counts)
    pricer = Pricer(problem, 2**40 // max([1, *(s.most for s in problem.stocks)]))
    demands = np.array(problem.demands, np.int64)
    inner = Master(problem, master.unit)
    inner.add(p for p in master.patterns if counts[problem.stocks[p.stock].source])
    _, duals, source_duals, _ = generate(inner, pricer, demands, budget, most_rounds=100)
    bound = safe_bound(pricer, duals, source_duals)
    if bound.value > cost:
        return Combined(None, True)
    listed = list_patterns(pricer, bound.certificate, cost, _MOST_LISTED, budget)
    if listed is None:
        return None
    patterns = [p for part in listed if counts[problem.stocks[part.stock].source] for p in part.patterns()]
    spare = spare_copies(problem, bound.certificate, cost)
    return combine(
        problem, patterns, demands, {}, cost + problem.cost_step, budget, _SECONDS, nodes=500, spare=spare
    )


def _tries(
    problem: Problem, master: Master, tries: int, budget: Budget, rng: np.random.Generator
) -> Iterator[Solution | None]:
    pricer = Pricer(problem, 2**40 // max([1, *(s.most for s in problem.stocks)]))
    demands = np.array(problem.demands, np.int64)
    yield from correct(pricer, demands, rng, passes=2, budget=budget)
    inner = Master(problem, master.unit)
    inner.add(p for p in master.patterns if (problem.sources[problem.stocks[p.stock].source].limit or 0) > 0)
    known = len(inner.patterns)
    # every full use of the sticks costs this much; the stand-ins make anything unpacked dearer
    cheapest = {t.source: t.cost for t in sorted(problem.stocks, key=lambda t: -t.cost)}
    below = sum((problem.sources[s].limit or 0) * cost for s, cost in cheapest.items())
    for n in range(tries):
        if budget.over():
            return
        yield dive(inner, pricer, below + problem.cost_step, budget, rng, shake=0.3 if n else 0.0, tries=4)
        if n == 0:
            pool = inner.patterns[-3000:]
            yield combine(
                problem, pool, demands, {}, below + problem.cost_step, budget, seconds=0.5, nodes=100
            ).solution
    master.add(inner.patterns[known:])
