"""The pieces of the two-dimensional room one by one."""

from __future__ import annotations

import numpy as np
import pytest

from nesting.plates.chance import below, chance_of
from nesting.plates.field import desk_for, field_of, layouts_of
from nesting.plates.fill import fill
from nesting.plates.improve import improve
from nesting.plates.order import nudged, ordered
from nesting.plates.pool import Pool, lay
from nesting.plates.problem import RectItem, Turn
from tests.nesting.plates.sound import problem_of, work


def test_the_room_is_the_sheet_less_its_margins_plus_one_cut() -> None:
    kind = problem_of([(1, 1, 1)], [(100, 50, 1)], between=3, edge=5).kinds[0]
    assert kind.room == (100 - 10 + 3, 50 - 10 + 3)


def test_a_piece_fits_a_room_turned_only_if_it_may_turn() -> None:
    kind = problem_of([(1, 1, 1)], [(10, 4, 1)]).kinds[0]
    fits = [kind.holds(RectItem(width=4, height=10, demand=1, turn=turn)) for turn in Turn]
    assert fits == [False, False, True]


def test_a_rectangle_without_area_is_refused() -> None:
    with pytest.raises(ValueError, match="cannot be cut"):
        RectItem(width=0, height=3, demand=1)


def test_a_filled_sheet_reports_the_worth_of_its_pieces() -> None:
    field = field_of(problem_of([(5, 5, 5)], [(10, 10, 1)]))
    desk = desk_for(field)
    placed = np.zeros(5, np.bool_)
    worth = np.array([1.0, 2.0, 4.0, 8.0, 16.0])
    got = fill(field, 0, np.arange(5), worth, 0, placed, desk.at, desk.spaces, desk.fresh, desk.work)
    assert (got, placed.tolist()) == (15.0, [True] * 4 + [False])


def test_orders_without_chance_go_by_size_and_nudges_lose_no_piece() -> None:
    field = field_of(problem_of([(2, 2, 1), (9, 1, 1), (4, 4, 1)], [(10, 10, 1)]))
    state = chance_of(4)
    assert ordered(field, np.arange(3), field.areas, 1, 0.0, state)[0] in (1, 2)
    order = np.arange(30)
    for _ in range(200):
        order = nudged(order, state)
        assert sorted(order.tolist()) == list(range(30))


def test_random_numbers_stay_below_their_count() -> None:
    state = chance_of(0)
    assert {below(state, 4) for _ in range(400)} == {0, 1, 2, 3}


def test_improving_empties_a_sheet_that_is_not_needed() -> None:
    """Four 5 x 5, one on each of four 10 x 10, go on one (derived)."""
    problem = problem_of([(5, 5, 4)], [(10, 10, 1)])
    field = field_of(problem)
    desk = desk_for(field)
    desk.sheet_of[:] = np.arange(4)
    desk.sheets[0] = 4
    changes, cheaper = improve(field, desk, field.areas, 100_000, 10, chance_of(1))
    assert changes >= cheaper > 0
    assert [len(layout.pieces) for layout in layouts_of(problem, field, desk)] == [4]


def test_the_pool_combines_sheets_of_different_plans() -> None:
    """Each plan has one full and two poor sheets; the two full ones make the demand (derived)."""
    problem = problem_of([(5, 10, 2), (10, 5, 2)], [(10, 10, 1)])
    field = field_of(problem)
    pool = Pool(problem, field)
    desk = desk_for(field)
    for sheet_of in ((0, 0, 1, 2), (1, 2, 0, 0)):
        desk.sheet_of[:] = sheet_of
        desk.at[:] = [(0, 0, 0), (5, 0, 0), (0, 0, 0), (0, 5, 0)]
        desk.sheets[0] = 3
        pool.add(desk)
    found = pool.combine(3, work(10), 1.0, 10)
    assert found is not None
    lay(field, desk, found)
    assert desk.sheets[0] == 2
    assert sorted(desk.sheet_of.tolist()) == [0, 0, 1, 1]
    assert pool.combine(2, work(10), 1.0, 10) is None
