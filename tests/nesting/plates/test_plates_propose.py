"""Sheets proposed at prices: sound, within what is left, and worth as much as they can be where that is known."""

from __future__ import annotations

from collections import Counter

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from nesting.plates.problem import Cutting, RectProblem
from nesting.plates.propose import Proposer
from tests.nesting.plates.sound import breaches_of, problem_of, problems


@settings(max_examples=80, deadline=None)
@given(problems(), st.data())
def test_proposals_are_sound_and_lay_no_more_than_is_left(problem: RectProblem, data: st.DataObject) -> None:
    left = [data.draw(st.integers(0, item.demand)) for item in problem.items]
    worth = [data.draw(st.integers(0, 9)) for _ in problem.items]
    proposer = Proposer(problem, 3)
    for layout in proposer.propose(worth, left, 7):
        made = Counter(p.item for p in layout.pieces)
        assert breaches_of(problem, layout) == []
        assert all(0 < n <= left[i] and worth[i] > 0 for i, n in made.items())


@pytest.mark.parametrize("cutting", Cutting)
def test_what_is_worth_most_is_laid(cutting: Cutting) -> None:
    """10 x 10 holds one 6 x 6 at 9, or four 5 x 5 at 2, or at 3: 9 beats 8, 12 beats 9 (derived)."""
    proposer = Proposer(problem_of([(6, 6, 2), (5, 5, 9)], [(10, 10, 1)], cutting=cutting), 0)
    for price, items in ((2.0, [0]), (3.0, [1] * 4)):
        best = proposer.propose([9.0, price], [2, 9], 20)[0]
        assert [p.item for p in best.pieces] == items


def test_the_better_of_two_fillings_comes_first_and_both_differ() -> None:
    worth = [7.0, 5.0, 3.0]
    proposer = Proposer(problem_of([(7, 5, 3), (4, 6, 5), (3, 3, 9)], [(16, 11, 1)]), 1)
    first, second = proposer.propose(worth, [3, 5, 9], 30)
    assert sum(worth[p.item] for p in first.pieces) > sum(worth[p.item] for p in second.pieces)


def test_nothing_is_proposed_where_nothing_is_worth_anything() -> None:
    proposer = Proposer(problem_of([(6, 6, 2)], [(10, 10, 1), (5, 5, 1)]), 0)
    assert proposer.propose([0.0], [2], 5) == ()
    assert proposer.propose([1.0], [0], 5) == ()
    assert [layout.kind for layout in proposer.propose([1.0], [1], 5)] == [0]
    assert Proposer(problem_of([(6, 6, 0)], [(10, 10, 1)]), 0).propose([1.0], [0], 5) == ()
