"""Column generation: the linear relaxation over all patterns.

Sources: Gilmore and Gomory 1961, 1963; smoothing of the dual prices after Pessoa, Sadykov, Uchoa and Vanderbeck 2018.
"""

from __future__ import annotations

from math import inf

from nesting.bars.bound import whole_prices
from nesting.bars.master import Master
from nesting.bars.pricing import Pricer
from nesting.bars.problem import Pattern, Problem
from nesting.bars.types import Floats, Ints
from nesting.progress import Budget

_TOLERANCE = 1e-9
_STEADY, _STEADIER = 0.5, 0.8
"""Weight of the point of the best bound in where patterns are priced; of many items the prices swing more."""
_MANY = 150


def generate(
    master: Master,
    pricer: Pricer,
    demands: Ints,
    budget: Budget,
    most_rounds: int = 10_000,
    enough: float = -inf,
) -> tuple[float, Floats, dict[int, float], bool]:
    """Add patterns to the master until none is worth more than it costs.

    Parameters
    ----------
    demands
        What is asked now; a pattern holds at most that.
    most_rounds
        Stop earlier (while diving the last bit is not worth its time).
    enough
        Stop as soon as the value is no more than this.

    Returns the value of the relaxation (ten-thousandths), the prices of items and of limited sources, and whether
    it was solved to the end.
    """
    steady = _STEADY if len(demands) < _MANY else _STEADIER
    centre: Floats | None = None
    highest = -1.0
    for _ in range(most_rounds):
        value = master.solve()
        duals, source_duals = master.duals()
        budget.spend()
        if value <= enough:
            break
        point = duals if centre is None else steady * centre + (1.0 - steady) * duals
        fresh, bound = worthwhile(master, pricer, point, duals, source_duals, demands)
        if bound > highest:
            highest, centre = bound, point
        if not fresh:
            if budget.over():
                break
            fresh, bound = worthwhile(master, pricer, duals, duals, source_duals, demands)
            if bound > highest:
                highest, centre = bound, duals
        if not master.add(fresh):
            return value, duals, source_duals, True
        if budget.over():
            break
    return value, duals, source_duals, False


def worthwhile(
    master: Master,
    pricer: Pricer,
    point: Floats,
    duals: Floats,
    source_duals: dict[int, float],
    demands: Ints,
) -> tuple[list[Pattern], float]:
    """Patterns found by pricing at `point` that are worth more than they cost at the true prices, and a bound.

    The bound is what the prices at `point` add up to, scaled down until no stick is worth more than it costs.
    """
    slack = _TOLERANCE * master.unit
    thresholds = [
        pricer.problem.worth_limit(t, pricer.scale)
        + int((slack - source_duals.get(s.source, 0.0)) * pricer.scale)
        for t, s in enumerate(pricer.problem.stocks)
    ]
    found, offers = pricer.best_with_each(whole_prices(point, pricer.scale), thresholds, demands)
    excess = max([1.0, *(p.value / thresholds[t] for t, p in found.items() if thresholds[t] > 0)])
    patterns = [p for _, p in offers if reduced_cost(pricer.problem, p, duals, source_duals) < -slack]
    return patterns, float(point @ demands) / excess


def reduced_cost(problem: Problem, pattern: Pattern, duals: Floats, source_duals: dict[int, float]) -> float:
    """What a pattern costs more than its items and its source are worth, ten-thousandths."""
    source = problem.stocks[pattern.stock].source
    worth = sum(float(duals[i]) * k for i, k in pattern.counts) + source_duals.get(source, 0.0)
    return problem.even_cost(pattern) - worth
