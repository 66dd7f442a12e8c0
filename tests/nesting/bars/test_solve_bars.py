"""The one-dimensional solver against trying everything."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from nesting.bars.bound import length_bound
from nesting.bars.construct import NoStock
from nesting.bars.problem import Problem
from nesting.bars.solution import cost_of, produced, sticks_used
from nesting.bars.solve import Answer, Search, solve
from tests.nesting.bars.tiny import (
    UNIT,
    cheapest,
    counted,
    earning,
    fillings,
    one_stick,
    priced,
    problems,
    stick_price,
)


def assert_sound(problem: Problem, answer: Answer) -> None:
    """Every pattern fits its stock, the demand is made exactly, no source is overdrawn, the cost adds up."""
    for pattern in answer.solution:
        stock = problem.stocks[pattern.stock]
        assert problem.used(pattern) <= stock.capacity
        assert {i for i, _ in pattern.counts} <= set(stock.items)
    assert tuple(produced(problem, answer.solution)) == problem.demands
    for source, used in sticks_used(problem, answer.solution).items():
        limit = problem.sources[source].limit
        assert limit is None or used <= limit
    assert cost_of(problem, answer.solution) == answer.cost


def certified(problem: Problem, answer: Answer) -> int:
    """What the certificate proves by its own words, after trying every filling of every stock."""
    paper = answer.bound.certificate
    for stock in problem.stocks:
        for counts in fillings(problem, stock, problem.demands):
            worth = sum(k * p for k, p in zip(counts, paper.item_prices, strict=True))
            paid = stick_price(problem, stock, counts) * paper.scale + paper.source_prices[stock.source]
            assert not any(counts) or worth <= paid
    assert all(p == 0 for p, s in zip(paper.source_prices, problem.sources, strict=True) if s.limit is None)
    total = sum(p * d for p, d in zip(paper.item_prices, problem.demands, strict=True))
    total -= sum(p * (s.limit or 0) for p, s in zip(paper.source_prices, problem.sources, strict=True))
    return -(-total // paper.scale)


@given(problems())
@settings(max_examples=120, deadline=None)
def test_a_solved_problem_costs_what_trying_everything_finds(problem: Problem) -> None:
    """Scarce sources, several saws and material cut to length included; no bound is above the optimum."""
    best = cheapest(problem)
    assert best is not None
    answer = solve(problem, counted(), seed=1)
    assert_sound(problem, answer)
    assert answer.bound.value <= answer.searched <= best <= answer.cost
    assert answer.cost == best
    assert Search(problem, counted(), 0).bound.value <= best


@given(earning())
@settings(max_examples=150, deadline=None)
def test_where_rests_earn_a_solved_problem_costs_what_trying_everything_finds(problem: Problem) -> None:
    """Rests kept from a length on, scrap below it, in whole cents; scarce sources that keep their whole value too."""
    best = cheapest(problem)
    assert best is not None
    answer = solve(problem, counted(), seed=1)
    assert_sound(problem, answer)
    assert answer.bound.value <= answer.searched <= best <= answer.cost
    assert answer.cost == best


@given(st.one_of(problems(), earning()))
@settings(max_examples=60, deadline=None)
def test_no_solution_is_cheaper_than_its_bar_by_length(problem: Problem) -> None:
    best = cheapest(problem)
    assert best is not None
    assert 0 <= length_bound(problem, 2**20).value <= best


@given(st.one_of(problems(), earning()))
@settings(max_examples=90, deadline=None)
def test_the_certificate_proves_the_dual_bound(problem: Problem) -> None:
    """No filling of any stick is worth more than the certificate says it may be."""
    answer = solve(problem, counted(), seed=1)
    step = problem.cost_step
    proved = max(0, certified(problem, answer))
    assert answer.bound.value <= -(-proved // step) * step


@given(problems())
@settings(max_examples=20, deadline=None)
def test_the_same_seed_and_work_give_the_same_answer(problem: Problem) -> None:
    first, second = (solve(problem, counted(50), seed=7) for _ in range(2))
    assert (first.solution, first.cost, first.searched) == (second.solution, second.cost, second.searched)


@pytest.mark.parametrize("work", [0, 1, 2, 5, 20])
def test_any_budget_hands_over_a_sound_answer(work: int) -> None:
    """A solve that is stopped at once has a whole solution and a bound below it."""
    problem = one_stick(
        5600, [(1380, 22), (1520, 25), (1560, 12), (1820, 18), (1930, 20), (2200, 20)], kerf=3
    )
    answer = solve(problem, counted(work), seed=0)
    assert_sound(problem, answer)
    assert 0 < answer.searched <= answer.cost


def test_scarce_sticks_that_greed_wastes_are_still_found_to_suffice() -> None:
    """Sticks of 10 and 9 hold 6+4 and 5+4 only in one way: each piece of 4 in its own stick."""
    problem = priced([(10, UNIT, 1), (9, UNIT, 1)], [(6, 1), (5, 1), (4, 2)])
    answer = solve(problem, counted(), seed=0)
    assert_sound(problem, answer)
    assert answer.cost == 2 * UNIT
    assert answer.proved


def test_what_no_stick_is_left_for_is_named() -> None:
    """Two sticks hold four of five pieces; the fifth is reported missing."""
    with pytest.raises(NoStock) as caught:
        solve(priced([(10, UNIT, 2)], [(5, 5)]), counted(), seed=0)
    assert caught.value.missing.tolist() == [1]


def test_whole_sticks_that_are_too_few_are_refused_even_if_fractions_would_do() -> None:
    """By length two sticks of 10 hold three pieces of 6 (18 of 20), cut they hold two."""
    with pytest.raises(NoStock) as caught:
        solve(priced([(10, UNIT, 2)], [(6, 3)]), counted(200), seed=0)
    assert caught.value.missing.sum() >= 1


def test_lengths_on_a_fine_grid_need_no_table() -> None:
    """Ticks of mixed inches and millimetres: too wide for a table, solved to the proof all the same."""
    inch, mm = 81_280_000, 3_200_000
    problem = one_stick(240 * inch, [(48 * inch + 1, 8), (1000 * mm, 9), (733 * mm, 10)], kerf=3 * mm)
    answer = solve(problem, counted(), seed=0)
    assert_sound(problem, answer)
    assert answer.proved


def test_very_many_pieces_of_very_many_lengths_are_cut_within_a_few_sticks_of_the_bound() -> None:
    """200 lengths, 20,000 pieces: neighbouring lengths as one, whole parts of the relaxation, the rest with care."""
    demands = [(3_000 + 15 * n, 60 + 7 * (n % 13)) for n in range(200)]
    problem = one_stick(12_000, demands)
    answer = solve(problem, counted(150), seed=0)
    assert_sound(problem, answer)
    assert answer.cost <= 1.001 * answer.searched
