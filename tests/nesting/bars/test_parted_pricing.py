"""Pricing of sticks that a yard parts."""

from __future__ import annotations

import numpy as np

from nesting.bars.form import Segments
from nesting.bars.parted import PartedSticks


def test_a_segment_that_could_be_longer_than_the_stick_is_worth_what_the_stick_holds() -> None:
    """A clean end makes the room of one segment more than that of the whole stick, which two trims make less."""
    weights, values, bounds = np.array([40]), np.array([7]), np.array([5])
    form = Segments((10_000_000_000, 10_000_000_000), ((0, 40),))
    sticks = PartedSticks(form, np.array([0]), weights, values, bounds, widest=100)
    filled = sticks.best_cut(100, 0)
    assert filled.value == 14
    assert filled.counts is not None
    assert filled.counts.tolist() == [2]
