"""The compiled kernels against each other and against trying everything."""

from __future__ import annotations

from itertools import product

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from nesting.bars import knapsack
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
def test_tables_hold_the_best_value_of_every_capacity_and_trace_reaches_it(case: Case) -> None:
    weights, values, bounds, capacity = case
    best = knapsack.tables(weights, values, bounds, capacity)
    for room in {0, capacity // 2, capacity}:
        narrower = (weights, values, bounds, room)
        counts = np.zeros(weights.size, np.int64)
        knapsack.trace(best, weights, values, bounds, room, weights.size, counts)
        assert best[-1, room] == most_worth(narrower)
        assert_reaches(narrower, counts, int(best[-1, room]))


@given(cases())
@settings(max_examples=150, deadline=None)
def test_best_with_each_holds_the_item_and_is_the_best_that_does(case: Case) -> None:
    weights, values, bounds, capacity = case
    ahead = knapsack.tables(weights, values, bounds, capacity)
    worth, counts = knapsack.best_with_each(ahead, behind_of(case), weights, values, bounds, capacity)
    for i in range(weights.size):
        assert worth[i] == most_worth(case, i)
        if worth[i] >= 0:
            assert counts[i, i] > 0
            assert_reaches(case, counts[i], int(worth[i]))


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
