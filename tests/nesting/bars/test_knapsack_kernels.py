"""The compiled kernels against each other and against trying everything."""

from __future__ import annotations

from itertools import product

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from nesting.bars import knapsack
from nesting.bars.rolled import Rolled
from nesting.bars.types import Ints, Table

Case = tuple[Ints, Ints, Ints, int]


@st.composite
def cases(draw: st.DrawFn) -> Case:
    """Up to four items in falling order of value per weight: weights, values, bounds, capacity."""
    rows = draw(
        st.lists(st.tuples(st.integers(1, 12), st.integers(1, 40), st.integers(1, 4)), min_size=1, max_size=4)
    )
    rows.sort(key=lambda r: -r[1] / r[0])
    weights, values, bounds = (np.array(column, np.int64) for column in zip(*rows, strict=True))
    return weights, values, bounds, draw(st.integers(0, 40))


def every_filling(case: Case) -> list[tuple[int, ...]]:
    """All counts that fit."""
    weights, _, bounds, capacity = case
    return [
        counts
        for counts in product(*(range(int(b) + 1) for b in bounds))
        if np.dot(counts, weights) <= capacity
    ]


def most_worth(case: Case, item: int | None = None) -> int:
    """The most that a filling is worth (that holds an item); -1 if there is none."""
    return max((int(np.dot(c, case[1])) for c in every_filling(case) if item is None or c[item]), default=-1)


def assert_reaches(case: Case, counts: Ints, value: int) -> None:
    """The counts fit and are worth what is said."""
    weights, values, bounds, capacity = case
    assert (counts >= 0).all()
    assert (counts <= bounds).all()
    assert counts @ weights <= capacity
    assert counts @ values == value


def behind_of(case: Case) -> Table:
    weights, values, bounds, capacity = case
    return knapsack.tables(weights[::-1].copy(), values[::-1].copy(), bounds[::-1].copy(), capacity)


@given(cases())
@settings(max_examples=150, deadline=None)
def test_tables_hold_the_best_value_of_every_capacity(case: Case) -> None:
    weights, values, bounds, capacity = case
    best = knapsack.tables(weights, values, bounds, capacity)
    for room in {0, capacity // 2, capacity}:
        assert best[-1, room] == most_worth((weights, values, bounds, room))


@given(cases(), st.integers(0, 100), st.integers(0, 40))
@settings(max_examples=150, deadline=None)
def test_a_rolled_row_gives_the_best_filling_of_every_capacity(
    case: Case, threshold: int, worthless: int
) -> None:
    """Items worth nothing or less are left out of it."""
    weights, values, bounds, widest = case
    values = values - worthless
    rolled = Rolled(weights, values, bounds, widest)
    for room in {0, widest // 2, widest}:
        narrower = (weights, values, bounds, room)
        value, counts = rolled.best(room, threshold)
        assert value == most_worth(narrower)
        assert (counts is None) == (value <= threshold)
        if counts is not None:
            assert_reaches(narrower, counts, value)


@given(cases(), st.integers(-1, 100))
@settings(max_examples=150, deadline=None)
def test_a_rolled_row_gives_for_each_item_a_good_filling_that_holds_it(case: Case, threshold: int) -> None:
    """The best one, but where that holds all copies of the item."""
    weights, _, bounds, capacity = case
    worth, counts = Rolled(*case).with_each(capacity, threshold)
    for i in range(weights.size):
        best = most_worth(case, i)
        assert worth[i] <= max(best, threshold)
        if worth[i] > threshold:
            assert counts[i, i] > 0
            assert_reaches(case, counts[i], int(worth[i]))
            assert worth[i] == best or counts[i, i] == bounds[i]
        elif threshold < most_worth(case) and bounds[i] > capacity // weights[i] > 0:
            assert best <= threshold


@given(cases(), st.integers(0, 60), st.integers(0, 5), st.booleans())
@settings(max_examples=150, deadline=None)
def test_listed_fillings_are_all_of_them_or_all_maximal_ones(
    case: Case, least: int, step: int, all_of_them: bool
) -> None:
    """Maximal: no further copy of any item fits within its bound. A coarse table leaves nothing out."""
    weights, values, bounds, capacity = case
    rounded = max(1, step)
    none = np.zeros(0, np.int64)
    found, is_complete = knapsack.list_fillings(
        *case,
        least,
        behind_of((weights // rounded, values, bounds, capacity // rounded)),
        step,
        all_of_them,
        np.zeros((0, 0), np.int64),
        none,
        none,
        none,
        10**5,
        10**6,
    )

    def is_wanted(counts: tuple[int, ...]) -> bool:
        left = capacity - int(np.dot(counts, weights))
        is_maximal = all(counts[j] == bounds[j] or weights[j] > left for j in range(weights.size))
        return int(np.dot(counts, values)) >= least and (all_of_them or is_maximal)

    assert is_complete
    rows = [tuple(int(n) for n in row) for row in found]
    assert len(rows) == len(set(rows))
    assert set(rows) == {c for c in every_filling(case) if is_wanted(c)}
