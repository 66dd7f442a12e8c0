"""A whole answer to a problem: patterns with how often each is cut."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping

import numpy as np

from nesting.bars.problem import Pattern, Problem
from nesting.bars.types import Ints
from stock.money import Cost

Solution = dict[Pattern, int]
"""Patterns and how many sticks are cut to each."""


def cost_of(problem: Problem, solution: Mapping[Pattern, int]) -> Cost:
    """What the sticks of a solution cost."""
    return sum(n * problem.cost(p) for p, n in solution.items())


def sticks_used(problem: Problem, solution: Mapping[Pattern, int]) -> Counter[int]:
    """How many sticks of each source a solution takes."""
    used: Counter[int] = Counter()
    for pattern, n in solution.items():
        used[problem.stocks[pattern.stock].source] += n
    return used


def produced(problem: Problem, solution: Mapping[Pattern, int]) -> Ints:
    """How many of each item a solution makes."""
    made = np.zeros(len(problem.items), np.int64)
    for pattern, n in solution.items():
        for i, k in pattern.counts:
            made[i] += n * k
    return made


def trimmed(problem: Problem, patterns: Iterable[tuple[Pattern, int]]) -> Solution:
    """A solution that makes exactly the demand, from one that makes at least it: spare copies are not cut.

    Sticks that then hold nothing are left out; those whose rest is then worth keeping are counted so.
    """
    spare = produced(problem, dict(patterns)) - np.array(problem.demands, np.int64)
    result: Solution = {}
    for pattern, n in sorted(dict(patterns).items()):
        remaining = n
        while remaining:
            cut = [(i, min(k, int(spare[i]))) for i, k in pattern.counts]
            drop = {i: k for i, k in cut if k}
            if not drop:
                settled = problem.settled(pattern)
                result[settled] = result.get(settled, 0) + remaining
                break
            # as many sticks as all can drop the same copies
            alike = min([remaining, *(int(spare[i]) // k for i, k in drop.items())])
            kept = tuple((i, k - drop.get(i, 0)) for i, k in pattern.counts if k > drop.get(i, 0))
            for i, k in drop.items():
                spare[i] -= alike * k
            if kept:
                lighter = problem.settled(Pattern(pattern.stock, kept))
                result[lighter] = result.get(lighter, 0) + alike
            remaining -= alike
    return result
