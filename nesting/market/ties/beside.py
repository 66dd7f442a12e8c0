"""Ties among the sticks of a plan that has sheets as well: the sheets stay, the sticks beside them become handier."""

from __future__ import annotations

from dataclasses import replace
from functools import partial

from nesting.bars.problem import Problem
from nesting.bars.solution import Solution, cost_of, sticks_used
from nesting.job import Shop
from nesting.joint.problem import JointProblem
from nesting.joint.search import JointAnswer
from nesting.market.ties.wishes import improve_ties
from nesting.progress import Budget
from nesting.report.words import length_words
from stock.money import Cost


def improve_sticks(
    problem: JointProblem, answer: JointAnswer, tie: Cost, budget: Budget, seed: int, shop: Shop
) -> tuple[Solution, tuple[str, ...]]:
    """The solution with handier sticks that cost at most `tie` more, and what was gained, in words."""
    sticks = {p: n for p, n in answer.solution.items() if problem.is_stick(p)}
    if not sticks:
        return answer.solution, ()
    sheets = {p: n for p, n in answer.solution.items() if p not in sticks}
    beside = _beside(problem, sticks, sheets)
    forms = {problem.as_forms(p): n for p, n in sticks.items()}
    pool = tuple(problem.as_forms(p) for p in answer.pool)
    better, improved = improve_ties(
        beside,
        forms,
        pool,
        cost_of(beside, forms) + tie,
        budget,
        seed,
        shop.prefer,
        partial(length_words, shop=shop),
    )
    return {**sheets, **{problem.as_items(p): n for p, n in better.items()}}, improved


def _beside(problem: JointProblem, sticks: Solution, sheets: Solution) -> Problem:
    """The sticks alone: what they make now, from what the sheets leave."""
    made: dict[int, int] = {}
    for pattern, n in sticks.items():
        for form, k in problem.as_forms(pattern).counts:
            made[form] = made.get(form, 0) + n * k
    used = sticks_used(problem, sheets)
    sources = tuple(
        s if s.limit is None else replace(s, limit=max(0, s.limit - used[n]))
        for n, s in enumerate(problem.sources)
    )
    items = tuple(replace(form, demand=made.get(f, 0)) for f, form in enumerate(problem.sticks.items))
    return Problem(items, sources, problem.sticks.stocks)
