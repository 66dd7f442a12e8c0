"""No bound of sticks and sheets together is above the cheapest plan, and its prices prove it."""

from __future__ import annotations

from decimal import Decimal

import numpy as np
from hypothesis import HealthCheck, given, settings

from nesting.bars.counts import StickCounts
from nesting.bars.solution import cost_of, produced, sticks_used
from nesting.job import Job, Saw
from nesting.joint.as_sheets import sheets_bound
from nesting.joint.pricing import JointPricer
from nesting.joint.relax import Relaxation, relaxed_bound
from nesting.joint.search import JointSearch
from nesting.joint.whole import whole_bound
from stock.offer import Basis
from tests.nesting.joint.made_joint import (
    SCALE,
    cheapest,
    holding,
    pieces_of,
    pricer_of,
    problem_of,
    subsets,
    tiny_jobs,
    work,
)
from tests.nesting.market.asked import INCH, offer, part
from tests.nesting.market.asked_plates import FLAT_4, exact_shop, plate, plate_job, sheet

RANDOM = settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.too_slow])


@given(tiny_jobs())
@RANDOM
def test_no_bound_is_above_the_cheapest_plan(asked: Job) -> None:
    problem = problem_of(asked)
    best = cheapest(problem)
    pricer = JointPricer(problem, SCALE, 0)
    relaxed, _, _ = relaxed_bound(pricer, work(100))
    assert 0 <= relaxed.value <= best
    assert 0 <= sheets_bound(problem) <= best
    assert 0 <= whole_bound(pricer, relaxed.certificate, 2 * best, work(100)) <= best


@given(tiny_jobs())
@settings(parent=RANDOM, max_examples=40)
def test_the_prices_of_the_bound_are_worth_no_more_than_any_stick_or_sheet_costs(asked: Job) -> None:
    """And the bound is what they say: the worth of all pieces less that of the scarce sources, in whole cost steps."""
    problem = problem_of(asked)
    bound, _, _ = relaxed_bound(JointPricer(problem, SCALE, 0), work(100))
    proof = bound.certificate
    for items in subsets(pieces_of(problem)):
        worth = sum(proof.item_prices[i] for i in items)
        for pattern in holding(problem, items):
            allowed = problem.cost(pattern) * proof.scale
            assert worth <= allowed + proof.source_prices[problem.stocks[pattern.stock].source]
    assert all(p == 0 for p, s in zip(proof.source_prices, problem.sources, strict=True) if s.limit is None)
    total = sum(p * d for p, d in zip(proof.item_prices, problem.demands, strict=True))
    total -= sum(p * (s.limit or 0) for p, s in zip(proof.source_prices, problem.sources, strict=True))
    assert bound.value - problem.cost_step < max(0, -(-total // proof.scale)) <= bound.value


@given(tiny_jobs())
@settings(parent=RANDOM, max_examples=25)
def test_what_the_search_says_is_sound(asked: Job) -> None:
    """Its plan makes the demand within the limits at the cost it says; its bound is true."""
    problem = problem_of(asked)
    answer = JointSearch(problem, work(60), 1).run(work(60))
    assert (produced(problem, answer.solution) == np.array(problem.demands)).all()
    used = sticks_used(problem, answer.solution)
    assert all(s.limit is None or used[n] <= s.limit for n, s in enumerate(problem.sources))
    assert answer.cost == cost_of(problem, answer.solution)
    assert answer.bound.value <= answer.searched <= answer.cost
    assert answer.searched <= cheapest(problem)
    assert set(answer.layouts) == {p for p in answer.solution if not problem.is_stick(p)}


@given(tiny_jobs())
@settings(parent=RANDOM, max_examples=25)
def test_the_search_finds_the_cheapest_plan_of_few_pieces(asked: Job) -> None:
    """Or a cheaper one, where the torch or several blanks allow what is not tried here."""
    problem = problem_of(asked)
    assert JointSearch(problem, work(60), 1).run(work(60)).cost <= cheapest(problem)


@given(tiny_jobs())
@settings(parent=RANDOM, max_examples=40)
def test_patterns_over_items_and_over_forms_are_each_other(asked: Job) -> None:
    """A plate part as wide as two bars, by its length and by its width, has a form on each, one item on both."""
    problem = problem_of(asked)
    _, _, found = relaxed_bound(JointPricer(problem, SCALE, 0), work(100))
    for pattern in found:
        forms = problem.as_forms(pattern)
        assert problem.as_items(forms) == pattern
        assert problem.as_forms(problem.as_items(forms)) == forms
        assert problem.used(pattern) == problem.sticks.used(forms) <= problem.stocks[pattern.stock].capacity


def two_widths() -> Job:
    """A part of 6 x 4 in, and bars of 4 and of 6 in."""
    rows = [
        offer(1, 24 * INCH, "10.00", material=FLAT_4),
        sheet(2, 12 * INCH, 10 * INCH, "90.00"),
    ]
    return plate_job([plate("P", 5, 6 * INCH, 4 * INCH), part("B", 1, 12 * INCH, FLAT_4)], rows)


def test_one_bar_and_a_half_is_a_bound_by_prices_and_two_bars_by_counting() -> None:
    """Five of 6 in and one of 12 in are 42 in of a bar of 24 at 10: 17.50 by prices, in whole bars 20 (derived)."""
    pricer = pricer_of(two_widths())
    bound, prices, _ = relaxed_bound(pricer, work(100))
    assert bound.value == 20_0000  # prices, rounded up to whole cost steps of 10
    by_item = {pricer.problem.items[i].demand: p for i, p in enumerate(prices)}
    assert round(by_item[5]) == 2_5000
    assert round(by_item[1]) == 5_0000


def test_too_few_sheets_have_prices_that_say_so() -> None:
    """Four of 20 x 10 fill a sheet of 40 x 20; of five, one sheet leaves one without a place, two leave none."""
    pricer = pricer_of(
        plate_job([plate("A", 5, 20 * INCH, 10 * INCH)], [sheet(1, 40 * INCH, 20 * INCH, "50.00")])
    )
    lacking, prices, _ = Relaxation(pricer, (1,)).solve(work(50))
    assert abs(lacking - 1.0) < 1e-6
    assert StickCounts(pricer).add_cut(prices, (1,))
    lacking, _, _ = Relaxation(pricer, (2,)).solve(work(50))
    assert lacking <= 1e-7


def test_too_few_bars_and_sheets_have_prices_that_say_so() -> None:
    """42 in on one bar of 24 lack 18 in: three parts of 6 in, or one of 12 and one of 6; a sheet takes the parts."""
    pricer = pricer_of(two_widths())
    lacking, prices, _ = Relaxation(pricer, (1, 0)).solve(work(50))
    assert abs(lacking - 2.0) < 1e-6  # the 12 in and one of 6 are the fewest pieces
    assert StickCounts(pricer).add_cut(prices, (1, 0))
    assert Relaxation(pricer, (1, 1)).solve(work(50))[0] <= 1e-7
    assert Relaxation(pricer, (2, 0)).solve(work(50))[0] <= 1e-7


def test_a_bar_that_pieces_and_kerfs_fill_to_the_tick_counts_once() -> None:
    """Three of 6 in and two kerfs of 1/8 are 18 1/4 in; a bar one tick shorter is too short, so two are needed."""
    full = 73 * INCH // 4
    for length, bars in ((full, 1), (full - 1, 2)):
        rows = [
            offer(1, length, "10.00", material=FLAT_4, clean_ends=2),
            sheet(2, 8 * INCH, 8 * INCH, "90.00"),
        ]
        saws, shop = (Saw(name="saw", kerf=INCH // 8),), exact_shop(processes=("saw",))
        problem = problem_of(plate_job([plate("P", 3, 6 * INCH, 4 * INCH)], rows, saws=saws, shop=shop))
        assert sheets_bound(problem) == bars * 10_0000
        assert JointSearch(problem, work(30), 0).run(work(30)).cost == bars * 10_0000


def test_a_whole_sheet_or_all_from_bars_cut_to_length_is_what_a_plan_costs_at_the_least() -> None:
    """Five of 20 in: 100 in at 9.00 a foot and 1.00 are 76.00; a sheet, of which they take a tenth, is 50.00."""
    rows = [
        offer(1, 20 * 12 * INCH, "9.00", Basis.FOOT, material=FLAT_4, cut_to_length=Decimal(1)),
        sheet(2, 96 * INCH, 48 * INCH, "50.00"),
    ]
    pricer = pricer_of(plate_job([plate("P", 5, 20 * INCH, 4 * INCH)], rows))
    relaxed, _, _ = relaxed_bound(pricer, work(50))
    assert relaxed.value < 5_0000
    assert whole_bound(pricer, relaxed.certificate, 90_0000, work(50)) == 50_0000
