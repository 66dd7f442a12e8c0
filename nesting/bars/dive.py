"""Diving: round the fractional solution stick by stick, pricing new patterns for what is left.

Source: the diving heuristics of column generation, e.g. Vance 1998; Sadykov, Vanderbeck, Pessoa, Tahiri, Uchoa 2019.
"""

from __future__ import annotations

import numpy as np

from nesting.bars.columns import generate
from nesting.bars.construct import NoStock, fill_greedily
from nesting.bars.master import Master
from nesting.bars.pricing import Pricer
from nesting.bars.problem import Pattern
from nesting.bars.solution import Solution
from nesting.bars.types import Floats, Ints
from nesting.progress import Budget


def dive(
    master: Master, pricer: Pricer, budget: Budget, rng: np.random.Generator, shake: float = 0.0
) -> Solution | None:
    """A whole-number solution near the fractional one, or None if limited sticks run out on the way.

    Parameters
    ----------
    shake
        How much the choice of what to round up is varied (0: always the largest fraction).

    Out of budget, the rest is filled greedily. The master's demands are put back at the end.
    """
    problem = pricer.problem
    left = np.array(problem.demands, np.int64)
    taken: dict[int, int] = {}
    solution: Solution = {}
    try:
        while left.any():
            master.set_demands(left, taken)
            generate(master, pricer, left, budget, most_rounds=8)
            if budget.over():
                for pattern, n in fill_greedily(pricer, left, taken).items():
                    solution[pattern] = solution.get(pattern, 0) + n
                break
            if not _round(master, pricer, left, taken, solution, rng, shake):
                return None
    except NoStock:
        return None
    finally:
        master.set_demands(np.array(problem.demands, np.int64), {})
    return solution


def _round(
    master: Master,
    pricer: Pricer,
    left: Ints,
    taken: dict[int, int],
    solution: Solution,
    rng: np.random.Generator,
    shake: float,
) -> bool:
    """Fix what is whole, else the largest fractions; changes left, taken and solution. False: nothing to fix."""
    activity = master.activity()
    candidates = np.flatnonzero(activity > 1e-6)
    if not candidates.size:
        return False
    fixed = False
    for j in candidates[np.argsort(-activity[candidates], kind="stable")]:
        if activity[j] >= 1.0 - 1e-6:
            fixed |= _take(master.patterns[j], int(activity[j] + 1e-6), pricer, left, taken, solution)
    if fixed:
        return True
    score: Floats = activity[candidates] + (shake * rng.random(candidates.size) if shake else 0.0)
    order = candidates[np.argsort(-score, kind="stable")]
    for rank, j in enumerate(order):
        if rank and activity[j] < 0.8:
            break
        fixed |= _take(master.patterns[j], 1, pricer, left, taken, solution)
    return fixed


def _take(
    pattern: Pattern, times: int, pricer: Pricer, left: Ints, taken: dict[int, int], solution: Solution
) -> bool:
    """Cut a pattern as often as asked and as the demand that is left allows, once at least, less what is spare."""
    problem = pricer.problem
    source = problem.stocks[pattern.stock].source
    limit = problem.sources[source].limit
    whole = min(int(left[i]) // k for i, k in pattern.counts)
    if whole:
        times = min(times, whole)
    else:
        counts = tuple((i, min(k, int(left[i]))) for i, k in pattern.counts if left[i])
        if not counts:
            return False
        pattern, times = Pattern(pattern.stock, counts), 1
    if limit is not None:
        times = min(times, limit - taken.get(source, 0))
    if times <= 0:
        return False
    solution[pattern] = solution.get(pattern, 0) + times
    taken[source] = taken.get(source, 0) + times
    for i, k in pattern.counts:
        left[i] -= times * k
    return True
