"""Pricing of sticks that a yard parts."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

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
