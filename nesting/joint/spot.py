"""A joint problem with just so many sticks and sheets of each way: what the items are worth then."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from nesting.bars.problem import Pattern, Problem, Source
from nesting.bars.types import Floats
from nesting.joint.pricing import JointPricer
from nesting.joint.problem import JointProblem
from nesting.joint.relax import Relaxation
from nesting.plates.problem import RectProblem
from nesting.progress import Budget


def spot_prices(
    pricer: JointPricer, numbers: tuple[int, ...], patterns: Iterable[Pattern], budget: Budget
) -> Floats:
    """Prices of the items where each way (`JointProblem.ways`) has a limit of its own.

    Parameters
    ----------
    numbers
        Sticks or sheets of each way.
    patterns
        Of sticks, to begin with.
    """
    spot = JointPricer(_spot(pricer.problem, numbers), pricer.scale, 0)
    known = (p for p in patterns if numbers[pricer.problem.ways[p.stock]])
    return Relaxation(spot, patterns=known).solve(budget)[1]


def _spot(problem: JointProblem, numbers: tuple[int, ...]) -> JointProblem:
    """The problem with its ways as sources."""
    sources = tuple(Source(limit=n) for n in numbers)
    first = len(problem.sticks.stocks)
    stocks = zip(problem.sticks.stocks, problem.ways[:first], strict=True)
    kinds = zip(problem.sheets.kinds, problem.ways[first:], strict=True)
    return replace(
        problem,
        sources=sources,
        stocks=tuple(replace(s, source=w) for s, w in zip(problem.stocks, problem.ways, strict=True)),
        sticks=Problem(problem.sticks.items, sources, tuple(replace(s, source=w) for s, w in stocks)),
        sheets=RectProblem(problem.sheets.items, tuple(replace(k, source=w) for k, w in kinds), numbers),
    )
