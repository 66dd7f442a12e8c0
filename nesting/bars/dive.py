"""Diving: round the fractional solution stick by stick, pricing new patterns for what is left.

Source: the diving heuristics of column generation, e.g. Vance 1998; Sadykov, Vanderbeck, Pessoa, Tahiri, Uchoa 2019.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import inf

import numpy as np

from nesting.bars.columns import generate
from nesting.bars.construct import NoStock, fill_greedily
from nesting.bars.master import Master
from nesting.bars.pricing import Pricer
from nesting.bars.problem import Pattern
from nesting.bars.solution import Solution
from nesting.bars.types import Floats, Ints
from nesting.progress import Budget
from stock.money import Cost

_PART = 20
"""With one try, at least this part of what is cut in fractions is rounded up at a time."""
_ROUNDS = 100
"""Of column generation after a choice."""


@dataclass
class _State:
    """What is fixed so far and what is left."""

    left: Ints
    taken: dict[int, int]
    solution: Solution
    cost: Cost

    def copy(self) -> _State:
        return _State(self.left.copy(), dict(self.taken), dict(self.solution), self.cost)


def dive(
    master: Master,
    pricer: Pricer,
    below: Cost,
    budget: Budget,
    rng: np.random.Generator,
    shake: float = 0.0,
    tries: int = 1,
) -> Solution | None:
    """A whole-number solution near the fractional one, or None if the dive fails.

    Parameters
    ----------
    below
        A choice after which the relaxation is not below this is taken back; with one try that ends the dive.
    shake
        How much the choice of what to round up is varied (0: always the largest fraction).
    tries
        How many choices are tried at each level before the dive is given up; 1: the first is kept, whatever it costs.

    Out of budget, the rest is filled greedily. The master's demands are put back at the end.
    """
    state = _State(np.array(pricer.problem.demands, np.int64), {}, {}, 0)
    try:
        _relax(master, pricer, state, budget)
        while state.left.any():
            if budget.over():
                for pattern, n in fill_greedily(pricer, state.left, state.taken).items():
                    state.solution[pattern] = state.solution.get(pattern, 0) + n
                break
            following = _next(master, pricer, state, below, budget, rng, shake, tries)
            if following is None:
                return None
            state = following
    except NoStock:
        return None
    finally:
        master.set_demands(np.array(pricer.problem.demands, np.int64), {})
    return state.solution


def whole_parts(master: Master, pricer: Pricer, activity: Floats) -> Solution:
    """How often each pattern is cut in the fractional solution, less the fractions."""
    state = _State(np.array(pricer.problem.demands, np.int64), {}, {}, 0)
    for j in np.flatnonzero(activity > 1.0 - 1e-6):
        _take(master.patterns[j], int(activity[j] + 1e-6), pricer, state)
    return state.solution


def _relax(
    master: Master,
    pricer: Pricer,
    state: _State,
    budget: Budget,
    rounds: int = _ROUNDS,
    enough: float = -inf,
) -> tuple[float, bool]:
    """Cost of what is fixed and the relaxation of what is left, and whether that was solved to the end."""
    master.set_demands(state.left, state.taken)
    value, _, _, done = generate(master, pricer, state.left, budget, rounds, enough - state.cost)
    return state.cost + value, done


def _next(
    master: Master,
    pricer: Pricer,
    state: _State,
    below: Cost,
    budget: Budget,
    rng: np.random.Generator,
    shake: float,
    tries: int,
) -> _State | None:
    """The state after one more choice; None if no choice of those tried leads below the cost wanted."""
    activity = master.activity()
    candidates = np.flatnonzero(activity > 1e-6)
    if not candidates.size:
        return None
    target = below - pricer.problem.cost_step + 1e-6 * master.unit
    whole = state.copy()
    by_size = candidates[np.argsort(-activity[candidates], kind="stable")]
    whole_ones = [j for j in by_size if activity[j] > 1.0 - 1e-6]
    taken = [_take(master.patterns[j], int(activity[j] + 1e-6), pricer, whole) for j in whole_ones]
    if any(taken):
        _relax(master, pricer, whole, budget, enough=target)
        return whole
    score: Floats = activity[candidates] + (shake * rng.random(candidates.size) if shake else 0.0)
    order = candidates[np.argsort(-score, kind="stable")]
    if tries == 1:
        for rank, j in enumerate(order):
            if rank > candidates.size // _PART and activity[j] < 0.8:
                break
            if rank == 0 or _is_asked(master.patterns[j], whole.left):
                _take(master.patterns[j], 1, pricer, whole)
        value, done = _relax(master, pricer, whole, budget, enough=target)
        return None if done and value > target else whole
    for j in order[:tries]:
        one = state.copy()
        if _take(master.patterns[j], 1, pricer, one) and _relax(master, pricer, one, budget)[0] <= target:
            return one
        if budget.over():
            break
    return None


def _is_asked(pattern: Pattern, left: Ints) -> bool:
    """Whether all of a pattern is still to be cut: with less in it, it would waste what others make good use of."""
    return all(k <= left[i] for i, k in pattern.counts)


def _take(pattern: Pattern, times: int, pricer: Pricer, state: _State) -> bool:
    """Cut a pattern as often as asked and as the demand that is left allows, once at least, less what is spare."""
    problem = pricer.problem
    left, taken, solution = state.left, state.taken, state.solution
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
    state.cost += times * problem.cost(pattern)
    for i, k in pattern.counts:
        left[i] -= times * k
    return True
