"""The means by which plans become handier: layouts merged, one rest made long, stop moves counted as printed."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from itertools import combinations

from hypothesis import given, settings
from hypothesis import strategies as st

from nesting.bars.problem import Item, Pattern, Problem, Source, Stock
from nesting.bars.solution import Solution, cost_of, produced, sticks_used
from nesting.bars.solve import solve
from nesting.job import WISHES, Job, Wish
from nesting.market import make_plan
from nesting.market.ties.longest import rest_of, with_longer_rest
from nesting.market.ties.merge import merged
from nesting.market.ties.stops import stop_moves
from nesting.market.ties.wishes import AIMS, RACK, improve_ties
from nesting.report.saw_list import saw_list
from tests.nesting.bars.tiny import counted, earning, problems
from tests.nesting.market.asked import COUNTED, FOOT, INCH, job, offer, part


def sticks_of(room: int, *lengths: tuple[int, int]) -> Problem:
    """(length, demand) pairs from any number of sticks of one length at 1.00, clean and without a kerf."""
    items = tuple(Item(length=w, demand=d) for w, d in lengths)
    held = tuple(range(len(items)))
    stick = Stock(source=0, length=room, kerf=0, capacity=room, cost=10_000, items=held)
    return Problem(items, (Source(),), (stick,))


def test_two_layouts_become_one_where_all_numbers_divide() -> None:
    """Two of 50 and two of 30 on two sticks of 100, each with its own kind: one 50 and one 30 on both."""
    problem = sticks_of(100, (50, 2), (30, 2))
    apart = {Pattern(0, ((0, 2),)): 1, Pattern(0, ((1, 2),)): 1}
    assert next(merged(problem, apart)) == {Pattern(0, ((0, 1), (1, 1))): 2}


def test_three_layouts_become_two() -> None:
    """60 + 40, 60 + 20 + 20 and 40 + 20 + 20 on sticks of 100: 60 + 40 twice, and four of 20 on the third."""
    problem = sticks_of(100, (60, 2), (40, 2), (20, 4))
    three = [((0, 1), (1, 1)), ((0, 1), (2, 2)), ((1, 1), (2, 2))]
    found = next(merged(problem, {Pattern(0, held): 1 for held in three}))
    assert found == {Pattern(0, ((0, 1), (1, 1))): 2, Pattern(0, ((2, 4),)): 1}


@st.composite
def cut(draw: st.DrawFn) -> tuple[Problem, Solution]:
    """A random problem with a solution, cheapest or not."""
    problem = draw(st.one_of(problems(), earning()))
    many = replace(problem, items=tuple(replace(i, demand=draw(st.integers(1, 5))) for i in problem.items))
    many = replace(many, sources=tuple(replace(s, limit=None) for s in many.sources))
    return many, solve(many, counted(20), seed=draw(st.integers(0, 3))).solution


@given(cut())
@settings(max_examples=80, deadline=None)
def test_merging_keeps_pieces_and_sticks_and_finds_every_pair(made: tuple[Problem, Solution]) -> None:
    """One layout less each time; two layouts that can be one by divisibility are never overlooked."""
    problem, solution = made
    found = list(merged(problem, solution))
    for new in found:
        assert len(new) < len(solution)
        assert tuple(produced(problem, new)) == tuple(produced(problem, solution))
        assert sum((sticks_used(problem, new) - sticks_used(problem, solution)).values()) == 0
        assert all(problem.can_be_cut(pattern) for pattern in new)
    assert bool(found) or not any(_are_one(problem, solution, a, b) for a, b in combinations(solution, 2))


def _are_one(problem: Problem, solution: Solution, a: Pattern, b: Pattern) -> bool:
    """Whether two layouts of one stick can be cut as one, tried by hand."""
    times = solution[a] + solution[b]
    need = Counter({i: k * solution[a] for i, k in a.counts})
    need.update({i: k * solution[b] for i, k in b.counts})
    stock = problem.plain(a.stock)
    if stock != problem.plain(b.stock) or any(n % times for n in need.values()):
        return False
    return problem.can_be_cut(Pattern(stock, tuple(sorted((i, n // times) for i, n in need.items()))))


def test_pieces_change_sticks_so_that_one_rest_grows() -> None:
    """40 + 20 and 40 + 30 on sticks of 100 leave 40 and 30; 40 + 40 + 20 beside 30 leave nothing and 70."""
    problem = sticks_of(100, (40, 2), (30, 1), (20, 1))
    even = {Pattern(0, ((0, 1), (2, 1))): 1, Pattern(0, ((0, 1), (1, 1))): 1}
    longest = [max(rest_of(problem, p) for p in new) for new in with_longer_rest(problem, even)]
    assert max(longest) == 70


@given(cut())
@settings(max_examples=60, deadline=None)
def test_a_longer_rest_keeps_pieces_and_sticks(made: tuple[Problem, Solution]) -> None:
    problem, solution = made
    for new in with_longer_rest(problem, solution):
        assert tuple(produced(problem, new)) == tuple(produced(problem, solution))
        assert sticks_used(problem, new) == sticks_used(problem, solution)
        assert max(rest_of(problem, p) for p in new) > max(rest_of(problem, p) for p in solution)


@given(cut(), st.permutations(WISHES))
@settings(max_examples=60, deadline=None)
def test_each_wish_keeps_what_earlier_ones_won(made: tuple[Problem, Solution], prefer: list[Wish]) -> None:
    """In any order: the measures, read in that order, never get worse than they were, and the cost neither."""
    problem, solution = made
    better, said = improve_ties(
        problem, solution, (), cost_of(problem, solution), counted(), 0, tuple(prefer)
    )
    aims = [RACK, *(AIMS[wish] for wish in prefer)]
    before, after = ([aim.measure(problem, x) for aim in aims] for x in (solution, better))
    assert after <= before
    assert cost_of(problem, better) <= cost_of(problem, solution)
    assert tuple(produced(problem, better)) == tuple(produced(problem, solution))
    assert bool(said) == (after < before)


def test_the_order_of_wishes_decides() -> None:
    """40 + 20 twice on sticks of 100: alike they leave 40 twice; 40 + 40 + 20 beside 20 leave nothing and 80."""
    problem = sticks_of(100, (40, 2), (20, 2))
    alike = {Pattern(0, ((0, 1), (1, 1))): 2}
    one_long, said = improve_ties(
        problem, alike, (), 20_000, counted(), 0, ("offcut", "layouts", "stops", "sticks")
    )
    assert max(rest_of(problem, p) for p in one_long) == 80
    assert said == ("the longest rest from 40 to 80, at the same cost",)
    assert improve_ties(problem, alike, (), 20_000, counted(), 0)[0] == alike


@st.composite
def square_jobs(draw: st.DrawFn) -> Job:
    """Parts of one section from one or two lengths of stick, on one saw."""
    lengths = draw(st.lists(st.integers(5, 110), min_size=1, max_size=5, unique=True))
    parts = [part(f"P{n}", draw(st.integers(1, 6)), inches * INCH) for n, inches in enumerate(lengths)]
    offers = [offer(1, 20 * FOOT, "40.00"), offer(2, 24 * FOOT, "49.00")]
    return job(parts, offers[: draw(st.integers(1, 2))], kerf=INCH // 8)


@given(square_jobs())
@settings(max_examples=25, deadline=None)
def test_stop_moves_are_counted_as_the_saw_list_prints_them(asked: Job) -> None:
    """A plan of square parts, read back as patterns."""
    plan = make_plan(asked, COUNTED)
    extents = sorted({p.extent for p in asked.parts}, reverse=True)
    problem = sticks_of(1, *((extent, 1) for extent in extents))
    solution: Counter[Pattern] = Counter()
    for layout in plan.groups[0].layouts:
        held = Counter(extents.index(piece.extent) for piece in layout.pieces)
        solution[Pattern(0, tuple(sorted(held.items())))] += layout.times
    printed = saw_list(plan)
    if len(solution) == len(
        plan.groups[0].layouts
    ):  # no layout is printed twice for its marks or lengths of stick
        assert stop_moves(problem, solution) == printed.stop_moves
