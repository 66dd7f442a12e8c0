"""Among equally cheap plans the handier one, and never a dearer one than allowed."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

from hypothesis import given, settings
from hypothesis import strategies as st

from nesting.bars.problem import Item, Pattern, Problem, Source, Stock
from nesting.bars.solution import cost_of, produced
from nesting.bars.solve import solve
from nesting.check import check_plan
from nesting.job import Job
from nesting.market import make_plan
from nesting.market.ties.stops import stop_moves
from nesting.market.ties.wishes import different, improve_ties, rack_length, shortness, sticks
from stock.rack import RackPiece
from tests.nesting.bars.tiny import counted, problems
from tests.nesting.market.asked import COUNTED, FOOT, INCH, TUBE, job, jobs, offer, part


def four_pieces() -> Problem:
    """Four pieces of 10 from sticks of 10, 20 and 40 at the same price per length."""
    stocks = tuple(
        Stock(source=s, length=n, kerf=0, capacity=n, cost=n * 100, items=(0,))
        for s, n in enumerate((10, 20, 40))
    )
    return Problem((Item(length=10, demand=4),), (Source(), Source(), Source(limit=1, rack=True)), stocks)


def test_fewer_sticks_at_the_same_cost_are_found_and_told() -> None:
    """Four sticks of 10 become two of 20: the rack piece of 40 would be one stick, but starts rack length."""
    problem = four_pieces()
    singles = {Pattern(0, ((0, 1),)): 4}
    pool = (Pattern(1, ((0, 2),)), Pattern(2, ((0, 4),)))
    better, said = improve_ties(problem, singles, pool, 4_000, counted(), seed=0)
    assert better == {Pattern(1, ((0, 2),)): 2}
    assert said == ("sticks from 4 to 2, at the same cost",)


def test_rack_length_is_given_back_first() -> None:
    """The rack piece is left on the rack, although two sticks are more than one."""
    problem = four_pieces()
    pool = (Pattern(1, ((0, 2),)),)
    better, said = improve_ties(problem, {Pattern(2, ((0, 4),)): 1}, pool, 4_000, counted(), seed=0)
    assert rack_length(problem, better) == 0
    assert sticks(problem, better) == 2
    assert said == ("less rack length started, at the same cost",)


def test_nothing_is_dearer_than_allowed() -> None:
    """A stick of 40 at 4100 would save three sticks: only if 100 more are allowed."""
    problem = four_pieces()
    dearer = Stock(source=2, length=40, kerf=0, capacity=40, cost=4_100, items=(0,))
    problem = Problem(problem.items, (Source(), Source(), Source()), (*problem.stocks[:1], dearer))
    singles = {Pattern(0, ((0, 1),)): 4}
    pool = (Pattern(1, ((0, 4),)),)
    assert improve_ties(problem, singles, pool, 4_000, counted(), seed=0) == (singles, ())
    assert sticks(problem, improve_ties(problem, singles, pool, 4_100, counted(), seed=0)[0]) == 1


@given(problems())
@settings(max_examples=10, deadline=None)
def test_improving_keeps_the_parts_the_limits_and_the_cost(problem: Problem) -> None:
    """And no wish gets worse for one that comes later."""
    answer = solve(problem, counted(), seed=0)
    better, said = improve_ties(problem, answer.solution, answer.pool, answer.cost, counted(), seed=0)
    assert cost_of(problem, better) <= answer.cost
    assert tuple(produced(problem, better)) == problem.demands
    now, before = (
        [measure(problem, x) for measure in (rack_length, sticks, different, stop_moves, shortness)]
        for x in (better, answer.solution)
    )
    assert now <= before
    assert bool(said) == (better != answer.solution)


def test_a_plan_does_not_start_the_rack_for_nothing() -> None:
    """A rack piece of value 0 that saves no stick is not touched; the unit price is the same either way."""
    piece = RackPiece(id="R1", material=TUBE, length=11 * FOOT)
    plan = make_plan(job([part("A", 2, 10 * FOOT)], [offer(1, 20 * FOOT, "40.00")], rack=(piece,)), COUNTED)
    (group,) = plan.groups
    assert check_plan(plan) == ()
    assert group.cost == Decimal(40)
    assert group.layouts[0].source == "offer 1"


@given(jobs(), st.integers(0, 2_000))
@settings(max_examples=6, deadline=None)
def test_the_tie_setting_makes_a_proved_plan_dearer_by_no_more_than_its_money(asked: Job, cents: int) -> None:
    """Compared with the same job without a tie, group by group."""
    tie = Decimal(cents) / 100
    strict = make_plan(replace(asked, shop=replace(asked.shop, tie=Decimal(0))), COUNTED)
    generous = make_plan(replace(asked, shop=replace(asked.shop, tie=tie)), COUNTED)
    assert check_plan(generous) == ()
    for one, other in zip(strict.groups, generous.groups, strict=True):
        if one.proved:
            cent_lines = Decimal("0.01") * len(other.purchases)  # the tie counts before lines are rounded
            assert one.cost <= other.cost <= one.cost + tie + cent_lines


def test_rests_gather_in_one_long_offcut() -> None:
    """Five pieces of 60 in from sticks of 240: four and one, which leaves 180 in one piece."""
    plan = make_plan(job([part("A", 5, 60 * INCH)], [offer(1, 240 * INCH, "40.00")]), COUNTED)
    assert sorted(x.rest for x in plan.groups[0].layouts) == [0, 180 * INCH]
