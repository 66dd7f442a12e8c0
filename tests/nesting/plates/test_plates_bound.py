"""The bound is never above the true optimum, and above the plain area where big pieces block each other."""

from __future__ import annotations

from itertools import count, product

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from nesting.plates.bound import lower_bound
from nesting.plates.problem import RectProblem, Turn
from nesting.plates.scales import scales_of
from nesting.plates.solve import solve
from tests.nesting.plates.sound import problem_of, problems, work


def fewest(pieces: list[tuple[int, int]], size: tuple[int, int], turn: bool) -> int:
    """Sheets that the pieces need, by trying every place of every piece."""
    for sheets in count(1):
        if _fit(sorted(pieces, reverse=True), [np.zeros(size, bool) for _ in range(sheets)], turn):
            return sheets
    raise AssertionError


def _fit(pieces: list[tuple[int, int]], sheets: list[np.ndarray], turn: bool) -> bool:
    if not pieces:
        return True
    w, h = pieces[0]
    for sheet in sheets:
        for a, b in {(w, h), (h, w)} if turn else {(w, h)}:
            for x, y in product(range(sheet.shape[0] - a + 1), range(sheet.shape[1] - b + 1)):
                here = sheet[x : x + a, y : y + b]
                if here.any():
                    continue
                here[:] = True
                if _fit(pieces[1:], sheets, turn):
                    return True
                here[:] = False
        if not sheet.any():
            return False  # further empty sheets are alike
    return False


@settings(max_examples=60, deadline=None)
@given(st.lists(st.tuples(st.integers(1, 4), st.integers(1, 4)), min_size=1, max_size=5), st.booleans())
def test_bound_is_at_most_the_optimum_and_the_plan_at_least(
    pieces: list[tuple[int, int]], turn: bool
) -> None:
    problem = problem_of(
        [(w, h, 1) for w, h in pieces], [(5, 4, 10)], turn=Turn.QUARTER if turn else Turn.NONE
    )
    best = 10 * fewest(pieces, (5, 4), turn)
    assert lower_bound(problem) <= best <= solve(problem, work(20), 0).cost


@settings(max_examples=100, deadline=None)
@given(
    st.lists(st.integers(1, 40), min_size=1, max_size=8),
    st.lists(st.integers(10, 60), min_size=1, max_size=3),
    st.data(),
)
def test_no_row_of_sides_is_worth_more_than_a_scale_says(
    sides: list[int], rooms: list[int], data: st.DataObject
) -> None:
    scales = scales_of(np.array(sides), np.array(rooms))
    row = data.draw(st.lists(st.sampled_from(range(len(sides))), max_size=12))
    length = sum(sides[i] for i in row)
    worth = scales.values[:, row].sum(axis=1)
    for k, room in enumerate(rooms):
        if length <= room:
            assert (worth <= scales.most[:, k]).all()


@settings(max_examples=60, deadline=None)
@given(problems())
def test_bound_of_several_kinds_is_at_most_what_a_plan_costs(problem: RectProblem) -> None:
    quick, thorough = lower_bound(problem, thorough=False), lower_bound(problem)
    assert quick <= thorough <= solve(problem, work(20), 5).cost


def test_prices_blended_over_kinds_lift_the_bound() -> None:
    """Six 6 x 6: no kind holds two; 10 x 10 is the cheaper one at 90 (derived); areas alone say less."""
    problem = problem_of([(6, 6, 6), (3, 3, 5)], [(10, 10, 90), (11, 11, 100)])
    areas = 6 * 36 + 5 * 9
    assert areas * 90 // 100 < lower_bound(problem) <= 6 * 90
    assert lower_bound(problem) == 540


def test_pieces_over_half_the_sheet_need_one_each() -> None:
    """Three 6 x 6 on 10 x 10: their area is one sheet and a bit, but no two lie together (derived)."""
    assert lower_bound(problem_of([(6, 6, 3)], [(10, 10, 5)])) == 15


def test_pieces_too_large_for_the_cheap_sheet_are_charged_to_the_dear_one() -> None:
    """Two 9 x 9 need a 10 x 10 each, however cheap the 5 x 5 is (derived)."""
    problem = problem_of([(9, 9, 2), (5, 5, 1)], [(10, 10, 100), (5, 5, 1)])
    assert lower_bound(problem) == 201


def test_long_numbers_do_not_weaken_the_bound_of_pieces_on_a_grid() -> None:
    """Half-inch pieces in ticks: the greatest common divisor is taken out first."""
    half = 40_640_000
    problem: RectProblem = problem_of([(6 * half, 6 * half, 3)], [(10 * half, 10 * half, 5)])
    assert lower_bound(problem) == 15
