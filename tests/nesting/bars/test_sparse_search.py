"""The search for capacities too wide for a table against trying everything."""

from __future__ import annotations

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from nesting.bars import sparse
from nesting.bars.types import Ints
from tests.nesting.bars.test_knapsack_kernels import Case, assert_reaches, cases, every_filling, most_worth


def wide(case: Case, scale: int) -> sparse.Wide:
    """The case with all ticks so many times finer, and a little off the coarse steps."""
    weights, values, bounds, capacity = case
    return sparse.Wide(weights * scale + 1, values, bounds, capacity * scale + scale - 1)


@given(cases(), st.sampled_from([50, 997, 10**5]), st.integers(0, 60))
@settings(max_examples=200, deadline=None)
def test_the_best_filling_is_found_if_it_is_worth_more_than_the_threshold(
    case: Case, scale: int, threshold: int
) -> None:
    weights, values, bounds, capacity = case
    finer = (weights * scale + 1, values, bounds, capacity * scale + scale - 1)
    best = most_worth(finer)
    search = wide(case, scale)
    value, counts = search.best(finer[3], threshold)
    assert search.hope(finer[3]) >= best
    assert value == max(best, threshold)
    assert (counts is None) == (best <= threshold)
    if counts is not None:
        assert_reaches(finer, counts, best)


@given(cases(), st.integers(0, 60))
@settings(max_examples=200, deadline=None)
def test_several_fillings_are_worth_more_than_the_threshold_and_hold_what_those_before_do_not(
    case: Case, threshold: int
) -> None:
    weights, values, bounds, capacity = case
    finer = (weights * 50 + 1, values, bounds, capacity * 50 + 49)
    several = wide(case, 50).several(finer[3], threshold)
    held: Ints = np.zeros(weights.size, np.int64)
    for value, counts in several:
        assert value > threshold
        assert_reaches(finer, counts, value)
        assert (counts[held == 0] > 0).any()
        held += counts
    best = most_worth(finer)
    assert [v for v, _ in several[:1]] == ([best] if best > threshold else [])


@given(cases(), st.integers(1, 6))
@settings(max_examples=100, deadline=None)
def test_a_shorter_stick_of_the_same_items_is_priced_as_well(case: Case, part: int) -> None:
    """One coarse table serves all lengths."""
    weights, values, bounds, capacity = case
    shorter = capacity * 50 // part
    value, _ = wide(case, 50).best(shorter, 0)
    assert value == most_worth((weights * 50 + 1, values, bounds, shorter))


def test_a_search_that_gives_up_says_so_and_its_hope_is_not_below_the_best() -> None:
    """A limit of states that is too small is never taken for a complete search."""
    rng = np.random.default_rng(5)
    weights = np.sort(rng.integers(10**6, 10**7, 30))[::-1].astype(np.int64)
    bounds = np.full(30, 3, np.int64)
    capacity = int(weights.sum())
    step, behind = sparse.coarse(weights, weights, bounds, capacity)
    args = (weights, weights, bounds, capacity, 0, 0, True, behind, step)
    assert not sparse.fillings_above(*args, 4096, 10)[2]
    worth, _, is_complete, _ = sparse.fillings_above(*args, 10**7, 10)
    assert not is_complete or behind[-1, -1] >= worth[0]


def test_pieces_thinner_than_a_coarse_step_are_kept() -> None:
    """A million ticks hold two of 400,000 and ten of 20, whose coarse weight is nothing."""
    weights, values = (np.array(x, np.int64) for x in ([400_000, 20], [50, 1]))
    search = sparse.Wide(weights, values, np.array([5, 10], np.int64), 1_000_000)
    value, counts = search.best(1_000_000, 0)
    assert value == 110
    assert counts is not None
    assert counts.tolist() == [2, 10]
    assert len(every_filling((weights, values, np.array([5, 10], np.int64), 1_000_000))) == 33
