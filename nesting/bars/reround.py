"""Fix a few sticks of the fractional solution by chance and round the rest exactly, by its own corner relaxation.

Where the first corner relaxation fails because a pattern that is cut a few times only would be cut less than no
times, fixing such patterns first leaves a rest whose rounding holds.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from nesting.bars.bound import safe_bound
from nesting.bars.columns import generate
from nesting.bars.corner import Corner
from nesting.bars.enumerate import widest_band
from nesting.bars.master import Master
from nesting.bars.pricing import Pricer
from nesting.bars.problem import Problem
from nesting.bars.solution import Solution, cost_of, produced, sticks_used
from nesting.bars.types import Floats
from nesting.progress import Budget
from stock.money import Cost

_SMALL = 4.0
_LIST = 20_000


def reround(
    master: Master, pricer: Pricer, activity: Floats, below: Cost, budget: Budget, rng: np.random.Generator
) -> Solution | None:
    """A solution cheaper than `below`, or None if this throw gives none.

    Parameters
    ----------
    activity
        How often each pattern of the master is cut in the fractional solution.
    """
    problem = pricer.problem
    fixed = _throw(master, pricer, activity, rng)
    rest = _rest(problem, fixed)
    if rest is None:
        return None
    below_rest = below - cost_of(problem, fixed)
    inner = Pricer(rest, pricer.scale)
    demands = np.array(rest.demands, np.int64)
    try:
        master.set_demands(demands, dict(sticks_used(problem, fixed)))
        _, duals, source_duals, _ = generate(master, inner, demands, budget, most_rounds=30)
        basis = master.basis()
    finally:
        master.set_demands(np.array(problem.demands, np.int64), {})
    if basis is None:
        return None
    bound = safe_bound(inner, duals, source_duals)
    if bound.value >= below_rest:
        return None
    corner = Corner(inner, bound.certificate, *basis)
    band = widest_band(inner, bound.certificate, bound.value, below_rest - problem.cost_step, _LIST, budget)
    if not corner.is_small or band is None:
        return None
    rounded = corner.round(band[1], band[0], below_rest, budget, rng, join=False)
    if rounded is None or rounded.solution is None:
        return None
    whole = dict(fixed)
    for pattern, n in rounded.solution.items():
        whole[pattern] = whole.get(pattern, 0) + n
    return whole


def _throw(master: Master, pricer: Pricer, activity: Floats, rng: np.random.Generator) -> Solution:
    """Round patterns that are cut a few times up or down, by chance."""
    fixed: Solution = {}
    left = np.array(pricer.problem.demands, np.int64)
    for j in rng.permutation(np.flatnonzero((activity > 1e-6) & (activity < _SMALL))):
        pattern = master.patterns[j]
        n = int(activity[j] + rng.random())
        n = min([n, *(int(left[i]) // k for i, k in pattern.counts)])
        if n and rng.random() < 0.7:
            fixed[pattern] = n
            for i, k in pattern.counts:
                left[i] -= n * k
    return fixed


def _rest(problem: Problem, fixed: Solution) -> Problem | None:
    """The problem that is left; None if a limited source is overdrawn."""
    made = produced(problem, fixed)
    used = sticks_used(problem, fixed)
    if any(s.limit is not None and used[i] > s.limit for i, s in enumerate(problem.sources)):
        return None
    items = tuple(
        replace(item, demand=max(0, item.demand - int(n)))
        for item, n in zip(problem.items, made, strict=True)
    )
    sources = tuple(
        s if s.limit is None else replace(s, limit=s.limit - used[i]) for i, s in enumerate(problem.sources)
    )
    return Problem(items, sources, problem.stocks)
