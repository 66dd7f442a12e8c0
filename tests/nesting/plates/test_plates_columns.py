"""Cuts from column generation: never above an optimum, and stronger where few pieces crowd a sheet."""

from __future__ import annotations

from itertools import product

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from nesting.plates.bound import SheetBound, lower_bound
from nesting.plates.crowd import cannot_lie
from nesting.plates.knapsack import most_worth
from nesting.plates.problem import Cutting, RectItem, RectProblem, SheetKind, Turn
from nesting.plates.solve import solve
from nesting.plates.straight import best_values, cut_points, pieces_of
from tests.benchmarks.plates_verify import is_straight
from tests.nesting.plates.sound import problem_of, problems, work
from tests.nesting.plates.test_plates_bound import fewest


def generated(problem: RectProblem, steps: int = 200) -> tuple[int, int]:
    """The bound with and without these cuts, and asserts that the cuts take nothing away."""
    answer = solve(problem, work(20), 0)
    bound = SheetBound(problem)
    before = bound.cost()
    bound.generate([*answer.layouts, *answer.pool], work(steps), 0)
    after = bound.cost()
    assert before <= after <= answer.cost
    return before, after


@settings(max_examples=40, deadline=None)
@given(problems())
def test_generated_cuts_never_pass_what_a_plan_costs(problem: RectProblem) -> None:
    generated(problem)


@settings(max_examples=40, deadline=None)
@given(st.lists(st.tuples(st.integers(1, 4), st.integers(1, 4)), min_size=1, max_size=5), st.booleans())
def test_generated_cuts_never_pass_the_optimum(pieces: list[tuple[int, int]], turn: bool) -> None:
    """The optimum by trying every place of every piece."""
    problem = problem_of(
        [(w, h, 1) for w, h in pieces], [(5, 4, 10)], turn=Turn.QUARTER if turn else Turn.NONE
    )
    assert generated(problem)[1] <= 10 * fewest(pieces, (5, 4), turn)


def test_pieces_that_no_sums_part_are_parted_by_proof() -> None:
    """3 x 3, 2 x 4 and 4 x 2 have the area of 5 x 5 but do not lie in it together: 3 x 3 leaves a corner at most 2
    wide and high somewhere beside every other place (derived)."""
    three = [(3, 3, True, False), (2, 4, True, False), (4, 2, True, False)]
    assert cannot_lie(three, 5, 5)
    assert not cannot_lie(three, 7, 5)
    assert generated(problem_of([(3, 3, 1), (2, 4, 1), (4, 2, 1)], [(5, 5, 1)]))[1] == 2


@settings(max_examples=60, deadline=None)
@given(st.lists(st.tuples(st.integers(1, 4), st.integers(1, 4)), min_size=1, max_size=4), st.booleans())
def test_pieces_are_said_not_to_fit_exactly_when_they_do_not(
    pieces: list[tuple[int, int]], turn: bool
) -> None:
    fitting = [p for p in pieces if p[0] <= 5 and p[1] <= 4]
    crowd = [(w, h, w <= 5 and h <= 4, turn and h <= 5 and w <= 4) for w, h in fitting]
    assert cannot_lie(crowd, 5, 4) == (bool(fitting) and fewest(fitting, (5, 4), turn) > 1)


@settings(max_examples=100, deadline=None)
@given(st.data())
def test_no_pieces_that_keep_the_sums_are_worth_more(data: st.DataObject) -> None:
    """Compared with trying all numbers of pieces; with a search cut short the answer is still no less."""
    n, rows = data.draw(st.integers(1, 4)), data.draw(st.integers(1, 3))
    number = st.integers(0, 9)
    table = np.array([[data.draw(number) for _ in range(n)] for _ in range(rows)], np.int64)
    holds = np.array([data.draw(st.integers(1, 25)) for _ in range(rows)], np.int64)
    prices = np.array([data.draw(st.integers(1, 30)) for _ in range(n)], np.int64)
    most = np.array([data.draw(st.integers(1, 3)) for _ in range(n)], np.int64)
    weights = np.array([data.draw(st.integers(0, 4)) for _ in range(rows)], np.int64)
    sizes, room = weights @ table, int(weights @ holds)
    order = np.argsort(-prices / np.maximum(sizes, 1e-9), kind="stable")
    ranges = [range(m + 1) for m in most]
    best = max(int(prices @ c) for c in map(np.array, product(*ranges)) if (table @ c <= holds).all())
    arguments = prices[order], most[order], np.ascontiguousarray(table[:, order]), holds, sizes[order], room
    above, found, counts = most_worth(*arguments, 10**6)
    assert above == found == best == prices[order] @ counts
    assert (table[:, order] @ counts <= holds).all()
    assert most_worth(*arguments, 1)[0] >= best


def test_a_cut_of_large_numbers_does_not_lift_the_bound_above_a_plan() -> None:
    """All pieces lie across one 12 x 5 at 10: 3 + 3 + 2 + 2 + 2 (derived). The bound said 20."""
    unit = 81_280_000
    pieces = [(3, 3, 2), (2, 5, 2), (2, 1, 1)]
    items = tuple(RectItem(width=w * unit, height=h * unit, demand=d) for w, h, d in pieces)
    sheets = [(6, 5, 1, 2), (12, 10, 5, 0), (12, 5, 1, 1), (6, 5, 1, 2), (3, 2, 1, 3)]
    kinds = tuple(
        SheetKind(
            width=w * unit,
            height=h * unit,
            cost=10_000 * cost,
            source=source,
            cutting=cutting,
            near=(edge, edge),
            far=(edge, edge),
            items=(0, 1, 2) if n else (1,),
        )
        for n, (w, h, cost, source) in enumerate(sheets)
        for cutting, edge in ((Cutting.FREE, unit // 4), (Cutting.GUILLOTINE, 0))[0 if n else 1 :]
    )
    problem = RectProblem(items, kinds, (None, 2, 1, None))
    assert lower_bound(problem) == generated(problem)[1] == 10_000


def by_every_cut(width: int, height: int, ways: list[tuple[int, int, int]]) -> int:
    """The greatest value by cutting at every unit."""
    best = np.zeros((width + 1, height + 1), np.int64)
    for a, b in product(range(1, width + 1), range(1, height + 1)):
        values = [v for w, h, v in ways if w <= a and h <= b]
        values += [best[c, b] + best[a - c, b] for c in range(1, a)]
        values += [best[a, c] + best[a, b - c] for c in range(1, b)]
        best[a, b] = max(values, default=0)
    return int(best[width, height])


@settings(max_examples=100, deadline=None)
@given(
    st.lists(st.tuples(st.integers(1, 9), st.integers(1, 9), st.integers(1, 20)), min_size=1, max_size=4),
    st.integers(1, 16),
    st.integers(1, 16),
)
def test_straight_cuts_at_few_points_are_worth_as_much_as_at_all(
    ways: list[tuple[int, int, int]], width: int, height: int
) -> None:
    across, along = cut_points(width, [w for w, _, _ in ways]), cut_points(height, [h for _, h, _ in ways])
    best = best_values(across, along, np.array(ways, np.int64))
    assert best[-1, -1] == by_every_cut(width, height, ways)
    pieces = pieces_of(across, along, np.array(ways, np.int64), best)
    laid = [(x, y, ways[n][0], ways[n][1]) for n, x, y in pieces]
    assert sum(ways[n][2] for n, _, _ in pieces) == best[-1, -1]
    assert all(x + w <= width and y + h <= height for x, y, w, h in laid)
    assert is_straight(laid)


@pytest.mark.parametrize("cutting", Cutting)
def test_whole_numbers_of_pieces_lift_the_bound_of_several_kinds(cutting: Cutting) -> None:
    """Five 6 x 6 and 10 x 10, 12 x 12 (four of them) at 4 and 14: five small sheets at 20, or 14 + 4 = 18 (derived)."""
    problem = problem_of([(6, 6, 5)], [(10, 10, 4), (12, 12, 14)], cutting=cutting)
    assert lower_bound(problem) <= generated(problem)[1] == 18
