"""Improve a solution piece by piece: take some sticks apart and combine their items anew, exactly.

Source: Shaw 1998 (large neighbourhood search); the neighbourhoods are solved as whole-number masters.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence

import numpy as np

from nesting.bars.mip import combine
from nesting.bars.problem import Pattern, Problem
from nesting.bars.solution import Solution, cost_of, sticks_used
from nesting.bars.types import Floats, Ints
from nesting.progress import Budget


def recut(
    problem: Problem,
    solution: Solution,
    pool: Sequence[Pattern],
    waste: dict[Pattern, float],
    size: int,
    budget: Budget,
    rng: np.random.Generator,
) -> Solution | None:
    """Take `size` sticks apart, wasteful ones first by chance, and combine their items cheaper; None if it fails.

    Parameters
    ----------
    pool
        Patterns to choose from.
    waste
        Reduced cost of each pattern of the solution, in sticks.
    """
    sticks = [p for p, n in sorted(solution.items()) for _ in range(n)]
    size = min(size, len(sticks))
    weight: Floats = np.array([max(0.0, waste.get(p, 0.0)) + 0.02 for p in sticks])
    chosen = rng.choice(len(sticks), size=size, replace=False, p=weight / weight.sum())
    opened = Counter(sticks[i] for i in sorted(chosen))
    rest = Counter(solution)
    rest.subtract(opened)
    rest = +rest
    demands: Ints = np.zeros(len(problem.items), np.int64)
    for pattern, n in opened.items():
        for i, k in pattern.counts:
            demands[i] += n * k
    usable = [p for p in pool if all(k <= demands[i] for i, k in p.counts)]
    usable += sorted(set(opened) - set(usable))
    found = combine(
        problem,
        usable,
        demands,
        dict(sticks_used(problem, rest)),
        cost_of(problem, opened),
        budget,
        seconds=0.3,
        nodes=50,
    )
    if found.solution is None:
        return None
    better = Counter(rest)
    better.update(found.solution)
    return dict(better)
