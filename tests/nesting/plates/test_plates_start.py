"""A plan to begin with is never made worse, and a plan that is good enough ends the search."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from nesting.plates.problem import Layout, Placed, RectProblem
from nesting.plates.solve import solve
from tests.nesting.plates.sound import breaches, problem_of, problems, work


def one_by_one(problem: RectProblem) -> list[Layout]:
    """Every piece on a sheet of its own, of the first kind."""
    kind = problem.kinds[0]
    return [
        Layout(0, (Placed(i, kind.near[0], kind.near[1], item.width, item.height, False),))
        for i, item in enumerate(problem.items)
        for _ in range(item.demand)
    ]


def cost_of(problem: RectProblem, layouts: list[Layout]) -> int:
    """What the sheets cost."""
    return sum(problem.kinds[layout.kind].cost for layout in layouts)


@settings(max_examples=40, deadline=None)
@given(problems(), st.integers(0, 9))
def test_a_plan_to_begin_with_is_not_made_worse(problem: RectProblem, seed: int) -> None:
    """A poor one, and one that the search itself found before."""
    poor = one_by_one(problem)
    first = solve(problem, work(3), seed, poor)
    assert breaches(problem, first) == []
    assert first.cost <= cost_of(problem, poor)
    second = solve(problem, work(10), seed + 1, first.layouts)
    assert breaches(problem, second) == []
    assert second.cost <= first.cost


@settings(max_examples=40, deadline=None)
@given(problems(), st.integers(0, 9))
def test_a_part_of_a_plan_is_made_whole(problem: RectProblem, seed: int) -> None:
    """The first source has no limit, so a plan of the rest is never out of reach."""
    part = one_by_one(problem)[seed % 3 :: 3]
    answer = solve(problem, work(20), seed, part)
    assert breaches(problem, answer) == []


@settings(max_examples=40, deadline=None)
@given(problems(), st.integers(0, 9))
def test_a_plan_that_costs_no_more_than_enough_ends_the_search(problem: RectProblem, seed: int) -> None:
    """Whether it is there from the start or the first that is found; no step more is spent, no bound looked for."""
    poor = one_by_one(problem)
    budget = work(100)
    kept = solve(problem, budget, seed, poor, cost_of(problem, poor))
    assert (kept.cost, kept.bound, budget.steps_left()) == (cost_of(problem, poor), 0, 100)
    any_cost = sum(item.demand for item in problem.items) * max(k.cost for k in problem.kinds)
    found = solve(problem, budget, seed, (), any_cost)
    assert breaches(problem, found) == []
    assert (budget.steps_left() or 0) >= 99


def test_a_start_that_can_be_bettered_is() -> None:
    """Four 5 x 5, one on each of four 10 x 10, go on one (derived)."""
    problem = problem_of([(5, 5, 4)], [(10, 10, 7)])
    answer = solve(problem, work(20), 0, one_by_one(problem))
    assert (answer.cost, answer.proved) == (7, True)


@pytest.mark.parametrize("seed", range(4))
def test_a_good_plan_whose_bound_is_not_met_is_kept(seed: int) -> None:
    """Pieces that hardly combine: what a few steps find anew is dearer than what many steps found before."""
    sizes = [(7, 5, 9), (3, 4, 12), (6, 6, 5), (9, 4, 6), (11, 2, 7), (5, 8, 8)]
    problem = problem_of(sizes, [(16, 15, 40), (13, 17, 39), (9, 9, 17)])
    best = solve(problem, work(60), 7)
    assert not best.proved
    for steps in (1, 2, 5):
        assert solve(problem, work(steps), seed, best.layouts).cost <= best.cost
