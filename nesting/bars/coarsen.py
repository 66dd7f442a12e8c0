"""A good start for many lengths: solve with neighbouring lengths taken as one, then tell them apart again.

Of some lengths that follow each other the longest stands for all. That relaxation is small and soon solved; its
patterns, with real lengths put in, nearly cost what the real relaxation does, which then needs few rounds.

Source: the aggregation of near-equal items as in Fernandez de la Vega and Lueker 1981, used here to warm up column
generation.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from itertools import groupby

import numpy as np

from nesting.bars.columns import generate
from nesting.bars.construct import NoStock, fill_greedily
from nesting.bars.master import Master
from nesting.bars.pricing import Pricer
from nesting.bars.problem import Item, Pattern, Problem
from nesting.progress import Budget

_MANY = 150
_TOGETHER = 4
_SHARE = 0.3
"""Of the budget."""


def starting_patterns(problem: Problem, scale: int, unit: float, budget: Budget) -> list[Pattern]:
    """Patterns to start column generation from; none where there are few lengths, or sticks with rules of their own.

    Parameters
    ----------
    scale, unit
        As the pricer and the master of the problem have them.
    """
    if len(problem.items) < _MANY or any(t.form is not None or t.weights for t in problem.stocks):
        return []
    groups = _groups(problem)
    if 2 * len(groups) > len(problem.items):
        return []
    small = _merged(problem, groups)
    pricer, master = Pricer(small, scale), Master(small, unit)
    demands = np.array(small.demands, np.int64)
    share = budget.share(_SHARE)
    try:
        master.add(fill_greedily(pricer, demands, is_quick=True))
    except NoStock:
        return []
    master.add(starting_patterns(small, scale, unit, share))
    generate(master, pricer, demands, share)
    cut = [(p, float(x)) for p, x in zip(master.patterns, master.activity(), strict=False) if x > 1e-9]
    return list(dict.fromkeys(_told_apart(problem, groups, cut)))


def _groups(problem: Problem) -> list[list[int]]:
    """Neighbouring items that the same stocks can cut, longest first."""
    sticks: list[list[int]] = [[] for _ in problem.items]
    for t, stock in enumerate(problem.stocks):
        for i in stock.items:
            sticks[i].append(t)
    ranked = sorted(range(len(problem.items)), key=lambda i: (sticks[i], -problem.items[i].length))
    groups = []
    for _, alike in groupby(ranked, key=lambda i: sticks[i]):
        members = list(alike)
        groups += [members[n : n + _TOGETHER] for n in range(0, len(members), _TOGETHER)]
    return groups


def _merged(problem: Problem, groups: list[list[int]]) -> Problem:
    """The problem with the longest of each group in the place of all."""
    items = tuple(
        Item(length=problem.items[g[0]].length, demand=sum(problem.items[i].demand for i in g))
        for g in groups
    )
    stocks = tuple(
        replace(t, items=tuple(n for n, g in enumerate(groups) if g[0] in held))
        for t, held in ((t, set(t.items)) for t in problem.stocks)
    )
    return replace(problem, items=items, stocks=stocks)


def _told_apart(
    problem: Problem, groups: list[list[int]], cut: list[tuple[Pattern, float]]
) -> Iterator[Pattern]:
    """Patterns of real items that share out what the merged ones cut."""
    left = [[float(problem.items[i].demand) for i in g] for g in groups]
    for pattern, times in sorted(cut, key=lambda c: (-c[1], c[0])):
        uncut = times
        while uncut > 1e-9:
            held: dict[int, int] = {}
            share = uncut
            for g, count in pattern.counts:
                need = count
                for n, i in enumerate(groups[g]):
                    take = min(need, problem.items[i].demand) if left[g][n] > 1e-9 else 0
                    if take:
                        held[i] = take
                        share = min(share, left[g][n] / take)
                        need -= take
            if not held:
                break
            for g, _ in pattern.counts:
                for n, i in enumerate(groups[g]):
                    left[g][n] -= share * held.get(i, 0)
            uncut -= share
            yield Pattern(pattern.stock, tuple(sorted(held.items())))
