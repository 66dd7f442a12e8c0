"""One long offcut: the stick that keeps most gives pieces away to others that have room for them.

The pieces of two sticks are divided anew, one of them filled as far as it goes, so that what the other keeps grows.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator

from nesting.bars.form import Segments
from nesting.bars.problem import Pattern, Problem
from nesting.bars.solution import Solution

_STICKS = 6
"""Sticks with the longest rests that are tried."""
_SUMS = 1_000
"""Fillings of one stick that are looked at."""


def rest_of(problem: Problem, pattern: Pattern) -> int:
    """Ticks that are left of a stick; nothing of material cut to length, or that the yard parts."""
    stock = problem.stocks[pattern.stock]
    if stock.is_cut_to_length or isinstance(stock.form, Segments):
        return 0
    return max(0, stock.length - stock.head - problem.taken(pattern))


def with_longer_rest(problem: Problem, solution: Solution) -> Iterator[Solution]:
    """Solutions with a longer longest rest, made by dividing the pieces of two sticks anew."""
    rests = {p: rest_of(problem, p) for p in sorted(solution)}
    longest = max(rests.values(), default=0)
    for giver in sorted(rests, key=lambda p: -rests[p])[:_STICKS]:
        for taker, rest in rests.items():
            if taker == giver and solution[giver] < 2:
                continue
            saved = _most_left(problem, giver, taker)
            if saved is not None and rests[giver] + rest + saved <= longest:
                continue
            given = _divided(problem, giver, taker)
            if given is None:
                continue
            less, more = given
            if max(rest_of(problem, less), rest_of(problem, more)) <= longest:
                continue
            better = Counter(solution)
            better.subtract([giver, taker])
            better.update([problem.settled(less), problem.settled(more)])
            yield {p: n for p, n in better.items() if n and p.counts}


def _most_left(problem: Problem, giver: Pattern, taker: Pattern) -> int | None:
    """How much more than both rests now one stick can have left: the last kerf, which need not be there.

    None if pieces take more of one stick than of the other, so that there is no such limit.
    """
    one, other = problem.stocks[giver.stock], problem.stocks[taker.stock]
    if one.kerf != other.kerf or any(s.form or s.weights or s.is_cut_to_length for s in (one, other)):
        return None
    return one.kerf


def _divided(problem: Problem, giver: Pattern, taker: Pattern) -> tuple[Pattern, Pattern] | None:
    """The pieces of two sticks with as much as can be on the taker's; None if nothing changes or it cannot be cut."""
    pieces = Counter(dict(giver.counts))
    pieces.update(dict(taker.counts))
    plain = problem.plain(taker.stock)
    weights, room = problem.weights[plain], problem.stocks[plain].capacity
    fillings: dict[int, tuple[tuple[int, int], ...]] = {0: ()}
    for i, n in sorted(pieces.items()):
        weight = weights.get(i)
        if weight is None:
            continue
        for used, held in list(fillings.items()):
            for k in range(1, n + 1):
                if used + k * weight > room or len(fillings) > _SUMS:
                    break
                fillings.setdefault(used + k * weight, (*held, (i, k)))
    full = fillings[max(fillings)]
    left = pieces - Counter(dict(full))
    more, less = Pattern(plain, full), Pattern(problem.plain(giver.stock), tuple(sorted(left.items())))
    if sorted([more.counts, less.counts]) == sorted([giver.counts, taker.counts]):
        return None
    if not less.counts or any(i not in problem.weights[less.stock] for i, _ in less.counts):
        return None
    return (less, more) if problem.can_be_cut(less) and problem.can_be_cut(more) else None
