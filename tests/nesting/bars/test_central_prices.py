"""Prices from the middle of all optimal ones, found with few of the patterns at hand."""

from __future__ import annotations

from itertools import combinations_with_replacement

import numpy as np
import pytest

from nesting.bars.master import Master
from nesting.bars.problem import Pattern
from tests.nesting.bars.tiny import UNIT, one_stick


@pytest.mark.parametrize("room", [90, 100, 131])
def test_central_prices_keep_to_patterns_that_were_left_out(room: int) -> None:
    """No pattern of the master is worth more than its stick, and together the items are worth the relaxation."""
    problem = one_stick(room, [(11, 7), (17, 5), (23, 8), (29, 3)])
    master = Master(problem, float(UNIT))
    for pieces in combinations_with_replacement(range(4), 4):
        held = Pattern(0, tuple((i, pieces.count(i)) for i in range(4) if i in pieces))
        for less in (held, *(Pattern(0, held.counts[:n]) for n in range(1, len(held.counts)))):
            if problem.used(less) <= room:
                master.add([less])
    assert len(master.patterns) > 40, "more than the interior point method starts with"
    value = master.solve()
    central = master.central_duals()
    assert central is not None
    prices, _ = central
    worth = [sum(float(prices[i]) * n for i, n in p.counts) for p in master.patterns]
    assert max(worth) <= UNIT * (1 + 1e-6)
    assert float(prices @ np.array(problem.demands)) == pytest.approx(value, rel=1e-6)
