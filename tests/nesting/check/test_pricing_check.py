"""The checker's knapsack against counting every way to fill a stick."""

from __future__ import annotations

import random
import time
from itertools import product

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from nesting.check.pricing import Item, TooLargeError, _times_over, find_above

items = st.builds(
    lambda weight, value, copies: Item(weight, value, copies, value),
    st.integers(1, 30),
    st.integers(0, 40),
    st.integers(0, 4),
)


def ways(choice: list[Item], capacity: int) -> list[tuple[int, int]]:
    """(weight, value) of every set of copies that fits."""
    sets = product(*(range(i.copies + 1) for i in choice))
    sums = (
        (
            sum(n * i.weight for n, i in zip(each, choice, strict=True)),
            sum(n * i.value for n, i in zip(each, choice, strict=True)),
        )
        for each in sets
    )
    return [s for s in sums if s[0] <= capacity]


@given(st.lists(items, max_size=4), st.integers(0, 80), st.integers(0, 150))
def test_answers_as_counting_every_way_does(choice: list[Item], capacity: int, threshold: int) -> None:
    """A set above the threshold is found if and only if there is one, and what is found fits."""
    best = max(value for _, value in ways(choice, capacity))
    found = find_above(choice, capacity, threshold)
    assert (found is not None) == (best > threshold)
    if found is not None:
        assert found.weight <= capacity
        assert (found.weight, found.value) in ways(choice, capacity)
        assert found.value > threshold


@given(st.lists(items, max_size=4), st.integers(0, 80))
def test_the_threshold_itself_is_allowed(choice: list[Item], capacity: int) -> None:
    """The best value is not above itself, and is above one less."""
    best = max(value for _, value in ways(choice, capacity))
    assert find_above(choice, capacity, best) is None
    if best:
        assert find_above(choice, capacity, best - 1) is not None


@given(st.lists(items, max_size=4), st.integers(0, 80), st.integers(1, 10**9))
def test_the_unit_of_length_does_not_matter(choice: list[Item], capacity: int, times: int) -> None:
    """Ticks multiplied by anything leave the answer, and cost no more memory."""
    best = max(value for _, value in ways(choice, capacity))
    large = [Item(i.weight * times, i.value, i.copies, i.worth) for i in choice]
    assert find_above(large, capacity * times, best) is None
    assert best == 0 or find_above(large, capacity * times, best - 1) is not None


@given(st.lists(items, max_size=4), st.integers(1, 80), st.integers(0, 60), st.integers(0, 3))
def test_a_cost_that_grows_with_length_is_asked_of_the_exact_set(
    choice: list[Item], capacity: int, charge: int, rate: int
) -> None:
    """With a cost of charge + ceil(rate x ticks / 2) a set is found if and only if one is worth more."""

    def cost(weight: int) -> int:
        return charge + -(-rate * weight // 2)

    sloped = [Item(i.weight, i.value, i.copies, i.value - rate * i.weight // 2) for i in choice]
    due = any(value > cost(weight) for weight, value in ways(choice, capacity) if value)
    found = find_above(sloped, capacity, charge - 1, lambda weight, value: value > cost(weight))
    assert (found is not None) == due


@given(
    st.lists(
        st.tuples(st.integers(1, 2**46), st.integers(0, 2**61), st.fractions(0, 1)), min_size=1, max_size=20
    )
)
def test_division_is_exact_beyond_64_bits(rows: list[tuple[int, int, float]]) -> None:
    """a x b / c is rounded down exactly though a x b does not fit into 64 bits."""
    c = [w for w, _, _ in rows]
    b = [v for _, v, _ in rows]
    a = [int(share * w) for w, _, share in rows]
    arrays = (np.array(x, np.int64) for x in (a, b, c))
    assert _times_over(*arrays).tolist() == [x * y // z for x, y, z in zip(a, b, c, strict=True)]


def test_a_hundred_odd_lengths_take_little_time() -> None:
    """100 lengths without a common measure, priced near their share of the stick: five sticks in 2 s."""
    chance = random.Random(1)
    capacity, allowed = 20_000_000_019, 624_700 * 10**6
    lengths = [chance.randrange(capacity // 20, capacity // 2) for _ in range(100)]
    wanted = [
        Item(w, v, 20, v)
        for w in lengths
        for v in [w * allowed // capacity * chance.randrange(960, 1000) // 1000]
    ]
    began = time.perf_counter()
    for longer in range(5):
        assert find_above(wanted, capacity - longer, allowed) is None
    assert time.perf_counter() - began < 2


def test_numbers_that_could_overflow_are_refused() -> None:
    """Prices near 2**61 or a stick of more than twenty kilometres are refused, never reckoned wrongly."""
    with pytest.raises(TooLargeError, match="prices are too large"):
        find_above([Item(1, 2**60, 4, 2**60)], 10, 1)
    with pytest.raises(TooLargeError, match="stick is too long"):
        find_above([Item(1, 1, 4, 1)], 2**46, 100)
