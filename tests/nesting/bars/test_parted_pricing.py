"""Pricing of sticks that a yard parts."""

from __future__ import annotations

from dataclasses import replace
from itertools import product

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from nesting.bars.counts import StickCounts
from nesting.bars.form import Segments
from nesting.bars.parted import PartedSticks
from nesting.bars.pricing import Pricer
from nesting.bars.problem import Item, Problem, Source, Stock


def test_a_segment_that_could_be_longer_than_the_stick_is_worth_what_the_stick_holds() -> None:
    """A clean end makes the room of one segment more than that of the whole stick, which two trims make less."""
    weights, values, bounds = np.array([40]), np.array([7]), np.array([5])
    form = Segments((10_000_000_000, 10_000_000_000), ((0, 40),))
    sticks = PartedSticks(form, np.array([0]), weights, values, bounds, widest=100)
    filled = sticks.best_cut(100, 0)
    assert filled.value == 14
    assert filled.counts is not None
    assert filled.counts.tolist() == [2]


def test_numbers_of_sticks_do_not_tell_the_cost_where_one_way_to_part_them_is_dearer() -> None:
    """So a search at the cost of two segments says nothing of three, which one more cut pays for."""
    once = Stock(source=0, length=20, kerf=0, capacity=20, cost=100, items=(0,))
    twice = replace(once, capacity=19, cost=105)
    dear = replace(once, source=1, cost=300)
    items, sources = (Item(length=6, demand=3),), (Source(), Source())
    assert not StickCounts(Pricer(Problem(items, sources, (once, twice, dear)), 2**20)).say_all
    assert StickCounts(Pricer(Problem(items, sources, (once, dear)), 2**20)).say_all


def _most(caps: tuple[int, ...], capacity: int, items: list[tuple[int, int, int]]) -> int:
    """What segments can be worth, by trying every filling of one after the other; (weight, value, copies) of items."""
    best = 0
    if not caps:
        return 0
    for counts in product(*(range(copies + 1) for *_, copies in items)):
        weight = sum(n * w for n, (w, *_) in zip(counts, items, strict=True))
        if weight <= min(caps[0], capacity):
            left = [(w, v, copies - n) for n, (w, v, copies) in zip(counts, items, strict=True)]
            worth = sum(n * v for n, (_, v, _) in zip(counts, items, strict=True))
            best = max(best, worth + _most(caps[1:], capacity - weight, left))
    return best


_ITEM = st.tuples(st.integers(3, 60), st.integers(1, 30), st.integers(1, 2))


@pytest.mark.parametrize("unit", [1, 1_000_003])
@settings(deadline=None)
@given(
    st.lists(_ITEM, min_size=1, max_size=3),
    st.lists(st.integers(20, 90), min_size=1, max_size=3),
    st.integers(20, 200),
)
def test_segments_are_never_worth_more_than_is_said_and_what_is_found_can_be_cut(
    unit: int, items: list[tuple[int, int, int]], caps: list[int], capacity: int
) -> None:
    """By single ticks and by coarse steps; (weight, value, copies) of each item."""
    best = _most(tuple(caps), capacity, items)
    weights, values, bounds = (np.array(column, np.int64) for column in zip(*items, strict=True))
    form = Segments(tuple(cap * unit for cap in caps), tuple(enumerate((weights * unit).tolist())))
    sticks = PartedSticks(
        form, np.arange(len(items)), weights * unit, values, bounds, widest=max(capacity, *caps) * unit
    )
    filled = sticks.best_cut(capacity * unit, 0)
    assert filled.value >= best
    for counts in [*sticks.several(capacity * unit, 0), *([] if filled.counts is None else [filled.counts])]:
        assert (counts <= bounds).all()
        assert 0 < int(values @ counts) <= best
        held = tuple((i, int(n)) for i, n in enumerate(counts) if n)
        assert form.excess(held) is not None
        assert int(weights @ counts) <= capacity


def test_a_stick_is_split_where_most_can_be_hoped_for() -> None:
    """170 + 160 leave 20; 180 alone leaves no room for more than another 160: so the longest segment is not filled."""
    weights, values, bounds = np.array([180, 170, 160]), np.array([182, 175, 163]), np.array([1, 1, 9])
    form = Segments((180, 180), tuple(enumerate(weights.tolist())))
    sticks = PartedSticks(form, np.arange(3), weights, values, bounds, widest=330)
    filled = sticks.best_cut(330, 0)
    assert filled.value == 338
    assert filled.counts is not None
    assert filled.counts.tolist() == [0, 1, 1]
