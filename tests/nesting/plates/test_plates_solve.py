"""Whole answers: sound, bounded, repeatable, and as good as plain reasoning says they can be."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace

import pytest
from hypothesis import given, settings

from nesting.plates.problem import Cutting, NoSheets, RectItem, RectProblem, Region, Turn
from nesting.plates.solve import solve
from nesting.progress import Budget, Silent
from tests.nesting.plates.sound import breaches, breaches_of, problem_of, problems, work


class Impatient(Silent):
    """A user who interrupts at once."""

    def interrupted(self) -> bool:
        """Always."""
        return True


@settings(max_examples=60, deadline=None)
@given(problems())
def test_answers_are_sound(problem: RectProblem) -> None:
    """No overlap, clearance and edges kept, turns allowed, cuts straight, demand met, money right."""
    assert breaches(problem, solve(problem, work(30), 1)) == []


@settings(max_examples=8, deadline=None)
@given(problems())
def test_same_work_and_seed_give_the_same_answer(problem: RectProblem) -> None:
    assert solve(problem, work(25), 7) == solve(problem, work(25), 7)


@pytest.mark.parametrize("cutting", Cutting)
def test_pieces_that_tile_the_sheet_are_proved(cutting: Cutting) -> None:
    """Eight 5 x 4 pieces tile two 10 x 8 sheets (derived)."""
    answer = solve(problem_of([(5, 4, 8)], [(10, 8, 3)], cutting=cutting), work(50), 0)
    assert (answer.cost, answer.bound, answer.proved) == (6, 6, True)


def test_a_pinwheel_needs_free_cutting() -> None:
    """Four 3 x 2 round a hole in 5 x 5: no straight cut frees them, so a saw needs a second sheet (derived)."""
    pieces = [(3, 2, 2), (2, 3, 2)]
    torch = solve(problem_of(pieces, [(5, 5, 1)]), work(60), 0)
    saw = solve(problem_of(pieces, [(5, 5, 1)], cutting=Cutting.GUILLOTINE), work(60), 0)
    assert (torch.cost, saw.cost) == (1, 2)


def test_a_quarter_turn_can_save_a_sheet() -> None:
    """Two 6 x 4 and a 4 x 8 tile 10 x 8; drawn the other way they do so only if a quarter turn is allowed (derived)."""
    pieces = [(6, 4, 2), (4, 8, 1)]
    assert solve(problem_of(pieces, [(10, 8, 1)]), work(60), 0).cost == 1
    upright = [(4, 6, 2), (8, 4, 1)]
    assert solve(problem_of(upright, [(10, 8, 1)]), work(60), 0).cost == 2
    assert solve(problem_of(upright, [(10, 8, 1)], turn=Turn.QUARTER), work(60), 0).cost == 1
    assert solve(problem_of(upright, [(10, 8, 1)], turn=Turn.HALF), work(60), 0).cost == 2


def test_the_kerf_counts_between_pieces_only() -> None:
    """Two 5 wide and a kerf of 1 fill 11 exactly, 10 not (kerf identity: pieces and sheet enlarged by the kerf)."""
    assert solve(problem_of([(5, 4, 2)], [(11, 4, 1)], between=1), work(40), 0).cost == 1
    assert solve(problem_of([(5, 4, 2)], [(10, 4, 1)], between=1), work(40), 0).cost == 2


def test_the_cheapest_mix_of_sizes_is_found() -> None:
    """Three 5 x 5: the 10 x 10 at 10 holds four, the 5 x 5 at 4 one; 10 beats 12 (derived)."""
    three = problem_of([(5, 5, 3)], [(10, 10, 10), (5, 5, 4)])
    five = problem_of([(5, 5, 5)], [(10, 10, 10), (5, 5, 4)])
    assert [solve(p, work(60), 0).cost for p in (three, five)] == [10, 14]
    assert all(solve(p, work(60), 0).proved for p in (three, five))


def test_limits_are_kept() -> None:
    """One small sheet of each size there is: the dear one is needed for the second piece (derived)."""
    answer = solve(problem_of([(5, 5, 2)], [(5, 5, 1), (6, 6, 9)], limit=1), work(60), 0)
    assert answer.cost == 10


def test_a_piece_larger_than_every_sheet_is_refused_with_its_number() -> None:
    with pytest.raises(NoSheets) as refused:
        solve(problem_of([(3, 3, 1), (9, 2, 1)], [(8, 8, 1)]), work(10), 0)
    assert (refused.value.items, refused.value.impossible) == ((1,), True)


def test_too_few_sheets_are_refused() -> None:
    with pytest.raises(NoSheets) as refused:
        solve(problem_of([(5, 5, 3)], [(5, 5, 1)], limit=2), work(10), 0)
    assert refused.value.impossible


def test_nothing_asked_for_costs_nothing() -> None:
    answer = solve(problem_of([(5, 5, 0)], [(8, 8, 1)]), work(10), 0)
    assert (answer.layouts, answer.cost, answer.bound) == ((), 0, 0)


def test_an_interrupted_search_hands_over_a_whole_plan() -> None:
    problem = problem_of([(7, 5, 9), (3, 4, 12), (6, 6, 5)], [(16, 15, 10)])
    assert breaches(problem, solve(problem, Budget(60.0, None, Impatient()), 0)) == []


def test_ways_to_cut_one_source_share_its_limit() -> None:
    """One sheet of a source, by torch at 1 or by saw at 2; the other two pieces cost 50 each (derived)."""
    problem = problem_of([(10, 10, 3)], [(10, 10, 1), (10, 10, 2), (10, 10, 50)])
    torch, saw, dear = problem.kinds
    kinds = torch, replace(saw, source=0, cutting=Cutting.GUILLOTINE), replace(dear, source=1)
    limited = RectProblem(problem.items, kinds, (1, None))
    answer = solve(limited, work(60), 0)
    assert (answer.cost, answer.bound) == (101, 101)
    assert breaches(limited, answer) == []
    with pytest.raises(NoSheets):
        solve(RectProblem(problem.items, kinds, (1, 1)), work(10), 0)


def test_pieces_lie_within_the_blanks_and_the_bound_knows_it() -> None:
    """Six 6 x 6: three on 21 x 10; two if it is parted into 10 x 10, and then no piece 11 wide (derived)."""
    whole = problem_of([(6, 6, 6)], [(21, 10, 1)]).kinds[0]
    parted = replace(whole, blanks=(Region(0, 0, 10, 10), Region(11, 0, 10, 10)))
    six = RectItem(width=6, height=6, demand=6)
    assert solve(RectProblem((six,), (parted,)), work(60), 0).bound == 3
    assert solve(RectProblem((six,), (whole,)), work(60), 0).cost == 2
    with pytest.raises(NoSheets):
        solve(RectProblem((RectItem(width=11, height=5, demand=1),), (parted,)), work(10), 0)


def test_straight_cuts_know_no_blanks() -> None:
    kind = problem_of([(6, 6, 6)], [(21, 10, 1)], cutting=Cutting.GUILLOTINE).kinds[0]
    with pytest.raises(ValueError, match="freely"):
        replace(kind, blanks=(Region(0, 0, 10, 10),))


def test_a_source_without_an_entry_among_the_limits_is_refused() -> None:
    problem = problem_of([(6, 6, 1)], [(10, 10, 1), (9, 9, 1)])
    with pytest.raises(ValueError, match="source"):
        RectProblem(problem.items, problem.kinds, (3,))


@settings(max_examples=40, deadline=None)
@given(problems())
def test_a_plan_to_start_from_is_never_made_worse(problem: RectProblem) -> None:
    start = solve(problem, work(30), 1)
    answer = solve(problem, work(3), 2, start.layouts)
    assert answer.cost <= start.cost
    assert breaches(problem, answer) == []


@settings(max_examples=40, deadline=None)
@given(problems())
def test_the_sheets_handed_over_are_sound_each_for_itself(problem: RectProblem) -> None:
    answer = solve(problem, work(30), 1)
    assert answer.pool
    assert len(set(answer.pool)) == len(answer.pool)
    for layout in answer.pool:
        made = Counter(p.item for p in layout.pieces)
        assert breaches_of(problem, layout) == []
        assert all(n <= problem.items[i].demand for i, n in made.items())


def test_an_item_that_is_not_asked_for_does_not_matter() -> None:
    """Not even if no sheet could hold it."""
    problem = problem_of([(99, 99, 0), (5, 4, 8), (3, 3, 0)], [(10, 8, 3), (7, 7, 9)])
    answer = solve(problem, work(60), 0)
    assert (answer.cost, answer.bound, breaches(problem, answer)) == (6, 6, [])


def test_a_proved_plan_does_not_wait_for_the_end_of_the_budget() -> None:
    """Eight 5 x 4 on two 10 x 8: area alone proves it; of ten thousand steps few are spent."""
    budget = work(10_000)
    assert solve(problem_of([(5, 4, 8)], [(10, 8, 3)]), budget, 0).proved
    left = budget.steps_left()
    assert left is not None
    assert left > 9_900


def test_a_cost_that_is_enough_ends_the_search() -> None:
    problem = problem_of([(7, 5, 9), (3, 4, 12), (6, 6, 5)], [(16, 15, 10)])
    budget = work(10_000)
    assert solve(problem, budget, 0, enough=60).cost <= 60
    left = budget.steps_left()
    assert left is not None
    assert left > 9_000
