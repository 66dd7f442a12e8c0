"""A stick less: what one stick holds goes into the room that others have."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator

from nesting.bars.problem import Pattern, Problem
from nesting.bars.solution import Solution

_MOST_STICKS = 60
"""With more sticks it would take too long to go through them all."""


def spread(problem: Problem, solution: Solution) -> Iterator[Solution]:
    """Solutions with one stick less, as they are found; rack pieces are left out first, then what holds least.

    The pieces of that stick go, largest first, where least room is left over.
    """
    if sum(solution.values()) > _MOST_STICKS:
        return
    sources, stocks = problem.sources, problem.stocks
    order = sorted(
        solution, key=lambda p: (not sources[stocks[p.stock].source].rack, sum(k for _, k in p.counts), p)
    )
    for gone in order:
        others = [p for p, n in sorted(solution.items()) for _ in range(n - (p == gone))]
        made = _placed(problem, others, gone)
        if made is not None and all(map(problem.can_be_cut, made)):
            yield made


def _placed(problem: Problem, others: list[Pattern], gone: Pattern) -> Solution | None:
    """The other sticks with the pieces of the one that is gone; None if one has no room."""
    kinds = [problem.plain(pattern.stock) for pattern in others]
    held = [Counter(dict(pattern.counts)) for pattern in others]
    room = [
        problem.stocks[kind].capacity - sum(k * problem.weights[kind][i] for i, k in pattern.counts)
        for kind, pattern in zip(kinds, others, strict=True)
    ]
    weights = problem.weights[gone.stock]
    for i in sorted((i for i, k in gone.counts for _ in range(k)), key=lambda i: -weights[i]):
        fitting = [
            (room[n] - problem.weights[kind][i], n)
            for n, kind in enumerate(kinds)
            if i in problem.weights[kind] and problem.weights[kind][i] <= room[n]
        ]
        if not fitting:
            return None
        left, n = min(fitting)
        room[n] = left
        held[n][i] += 1
    patterns = [Pattern(kind, tuple(sorted(holds.items()))) for kind, holds in zip(kinds, held, strict=True)]
    return dict(Counter(map(problem.settled, patterns)))
