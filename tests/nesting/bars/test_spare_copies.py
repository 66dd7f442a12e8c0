"""Masters over a list of patterns that make no more spare copies than the prices allow."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings

from nesting.bars.enumerate import list_patterns, spare_copies
from nesting.bars.mip import combine
from nesting.bars.problem import Problem
from nesting.bars.solution import cost_of, trimmed
from nesting.bars.solve import Search, solve
from tests.nesting.bars.tiny import UNIT, cheapest, counted, one_stick, problems


@given(problems())
@settings(max_examples=60, deadline=None)
def test_few_spare_copies_leave_a_cheapest_solution(problem: Problem) -> None:
    """What is listed up to the optimum, and may be made beyond the demand at its prices, holds the optimum."""
    best = cheapest(problem)
    assert best is not None
    search = Search(problem, counted(), seed=0)
    certificate = search.bound.certificate
    listed = list_patterns(search.pricer, certificate, best, 10_000, counted())
    assert listed is not None
    patterns = [p for part in listed for p in part.patterns()]
    spare = spare_copies(problem, certificate, best)
    demands = np.array(problem.demands, np.int64)
    found = combine(problem, patterns, demands, {}, best + problem.cost_step, counted(), 5.0, 500, spare)
    assert found.complete
    assert found.solution is not None
    assert cost_of(problem, trimmed(problem, found.solution.items())) == best


def test_without_waste_there_are_no_spare_copies() -> None:
    """Two sticks of 10 hold 6, 6, 4 and 4 and nothing more: a spare copy would cost more than there is."""
    problem = one_stick(10, [(6, 2), (4, 2)])
    search = Search(problem, counted(), seed=0)
    assert search.bound.value == 2 * UNIT
    assert spare_copies(problem, search.bound.certificate, 2 * UNIT).tolist() == [0, 0]
    assert spare_copies(problem, search.bound.certificate, 3 * UNIT).max() > 0


@pytest.mark.parametrize("seed", range(4))
def test_sticks_cut_without_waste_are_put_together_again(seed: int) -> None:
    """Forty sticks of 1000, each cut in three: only a solution without any waste takes as few, and it is found."""
    rng = np.random.default_rng(seed)
    first = rng.integers(380, 491, 40)
    second = rng.integers(250, 1000 - first - 249)
    pieces = np.concatenate([first, second, 1000 - first - second])
    lengths, demands = np.unique(pieces, return_counts=True)
    problem = one_stick(1000, [(int(w), int(d)) for w, d in zip(lengths, demands, strict=True)])
    answer = solve(problem, counted(), seed)
    assert answer.cost == answer.searched == 40 * UNIT
