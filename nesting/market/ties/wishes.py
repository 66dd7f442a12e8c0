"""Among equally cheap plans the handiest, by the shop's own order of wishes.

Before them all, no more of the rack is started than it takes. Then one wish after the other, each keeping what the
earlier ones won. Each is tried over the patterns at hand with CP-SAT, and by means of its own: layouts are merged
(`merge`), pieces change sticks so that one rest grows (`longest`). "Improved", not "least": not everything is tried.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass

from nesting.bars.problem import Pattern, Problem
from nesting.bars.solution import Solution, cost_of
from nesting.job import WISHES, Wish
from nesting.market.ties.longest import rest_of, with_longer_rest
from nesting.market.ties.merge import merged
from nesting.market.ties.mixing import Mixing
from nesting.market.ties.stops import stop_moves
from nesting.progress import Budget
from stock.money import Cost

_ROUNDS = 40
"""Improvements by a wish's own means, one after the other."""
_MIXED = 15
"""With more layouts a mix wins nothing in its time but stop moves, where they are the first wish."""


@dataclass(frozen=True, slots=True)
class Aim:
    """Something to have less of.

    Parameters
    ----------
    name
        The wish, or "rack".
    words
        How the report says it, with places for the amount before and after.
    measure
        How much of it a solution has.
    means
        Other solutions that may have less of it, if it has means of its own.
    """

    name: str
    words: str
    measure: Callable[[Problem, Solution], int]
    means: Callable[[Problem, Solution], Iterator[Solution]] | None = None


def rack_length(problem: Problem, solution: Solution) -> int:
    """Ticks of rack pieces that are started."""
    stocks, sources = problem.stocks, problem.sources
    return sum(
        n * stocks[p.stock].length for p, n in solution.items() if sources[stocks[p.stock].source].rack
    )


def sticks(problem: Problem, solution: Solution) -> int:
    """Sticks cut."""
    return sum(solution.values())


def different(problem: Problem, solution: Solution) -> int:
    """Different layouts."""
    return len(solution)


def shortness(problem: Problem, solution: Solution) -> int:
    """Falls as the longest offcut grows."""
    return -max((rest_of(problem, p) for p in solution), default=0)


RACK = Aim("rack", "less rack length started", rack_length)
AIMS: dict[Wish, Aim] = {
    "sticks": Aim("sticks", "sticks from {} to {}", sticks),
    "layouts": Aim("layouts", "different layouts from {} to {}", different, merged),
    "stops": Aim("stops", "stop moves from {} to {}", stop_moves),
    "offcut": Aim("offcut", "the longest rest from {} to {}", shortness, with_longer_rest),
}


def improve_ties(
    problem: Problem,
    solution: Solution,
    pool: tuple[Pattern, ...],
    most_cost: Cost,
    budget: Budget,
    seed: int,
    prefer: tuple[Wish, ...] = WISHES,
    length_words: Callable[[int], str] = str,
) -> tuple[Solution, tuple[str, ...]]:
    """A handier solution that costs at most `most_cost`, and what was gained, in words.

    Parameters
    ----------
    pool
        Patterns at hand.
    prefer
        The wishes, the most wanted first.
    length_words
        How a length in ticks is said.
    """
    mixing = Mixing(problem, pool, most_cost, budget, seed)
    aims = (RACK, *(AIMS[wish] for wish in prefer))
    at_what = "at the same cost" if most_cost <= cost_of(problem, solution) else "within the tie"
    said = []
    for rank, aim in enumerate(aims):
        better = _improved(problem, solution, mixing, aims[: rank + 1], most_cost, budget)
        before, after = aim.measure(problem, solution), aim.measure(problem, better)
        if after < before:
            amounts = (length_words(-n) if aim.measure is shortness else str(n) for n in (before, after))
            said.append(f"{aim.words.format(*amounts)}, {at_what}")
            solution = better
    return solution, tuple(said)


def _improved(
    problem: Problem,
    solution: Solution,
    mixing: Mixing,
    aims: tuple[Aim, ...],
    most_cost: Cost,
    budget: Budget,
) -> Solution:
    """The solution, or one with less of the last aim and no more of those before."""
    aim = aims[-1]

    def is_handier(new: Solution, old: Solution) -> bool:
        if cost_of(problem, new) > most_cost or aim.measure(problem, new) >= aim.measure(problem, old):
            return False
        return all(a.measure(problem, new) <= a.measure(problem, old) for a in aims[:-1])

    if budget.over() or aim.measure(problem, solution) <= _least(problem, aim):
        return solution
    for _ in range(_ROUNDS if aim.means is not None else 0):
        assert aim.means is not None
        found = next((new for new in aim.means(problem, solution) if is_handier(new, solution)), None)
        if found is None or budget.over():
            break
        solution = found
    if len(solution) > _MIXED and (aim.measure is not stop_moves or len(aims) > 2):
        return solution
    mixed = mixing.least(solution, [a.name for a in aims])
    return mixed if mixed is not None and is_handier(mixed, solution) else solution


def _least(problem: Problem, aim: Aim) -> int:
    """A measure that cannot be undercut, so that nothing need be tried."""
    if aim.measure is rack_length:
        return 0
    if aim.measure is sticks:
        widest = max(stock.capacity for stock in problem.stocks)
        lightest = (min(weights[i] for weights in problem.weights if i in weights) for i in _cut(problem))
        return -(-sum(w * problem.demands[i] for w, i in zip(lightest, _cut(problem), strict=True)) // widest)
    if aim.measure is shortness:
        return -max(stock.length for stock in problem.stocks)
    return 1


def _cut(problem: Problem) -> list[int]:
    """Items that are asked for and that some stick holds."""
    return [i for i, d in enumerate(problem.demands) if d and any(i in w for w in problem.weights)]
