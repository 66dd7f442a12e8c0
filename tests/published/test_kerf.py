"""Kerf arithmetic: identities that follow from what a saw does, and small examples solved by ourselves.

Sources: n pieces need n - 1 kerfs if the last one ends at the end of a clean stick, else n; so lengths w at kerf k in
a stick L are lengths w + k without kerf in a stick L + k (derived). The examples are own values, solved twice.
"""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from nesting.bars.solve import solve
from nesting.check import check_plan
from nesting.job import Job, Saw
from nesting.market import make_plan
from stock.length import parse_length
from tests.nesting.bars.tiny import counted, one_stick
from tests.nesting.market.asked import COUNTED, INCH, MM, job, metric, offer, part


def sticks(asked: Job) -> int:
    """How many sticks the proved and checked plan of a job takes."""
    plan = make_plan(asked, COUNTED)
    assert check_plan(plan) == ()
    assert plan.groups[0].proved
    return sum(p.count for p in plan.groups[0].purchases)


@pytest.mark.parametrize(
    ("length", "kerf", "expected"),
    [
        (2000, 0, 3),  # 3 x 2000 = 6000
        (2000, 3, 5),  # two to a stick
        (1998, 3, 3),  # 3 x 1998 + 2 x 3 = 6000 exactly
    ],
)
def test_nine_pieces_from_sticks_of_6000(length: int, kerf: int, expected: int) -> None:
    assert sticks(metric(6000, [(length, 9)], kerf)) == expected


def test_one_tick_of_kerf_more_loses_the_third_piece() -> None:
    """3 x 1998 + 2 kerfs fill 6000 exactly at kerf 3: a kerf of 3 mm and one tick needs five sticks."""
    exact = metric(6000, [(1998, 9)], kerf=3)
    assert sticks(replace(exact, saws=(Saw(name="saw", kerf=3 * MM + 1),))) == 5


@pytest.mark.parametrize(
    ("length", "kerf", "expected"), [("48", "0", 2), ("48", "1/8", 3), ("47.9", "1/8", 2)]
)
def test_ten_pieces_from_sticks_of_240_inches(length: str, kerf: str, expected: int) -> None:
    """5 x 47.9 + 4 x 1/8 = 240 exactly."""
    saw = 0 if kerf == "0" else parse_length(kerf)
    parts = [part("A", 10, parse_length(length))]
    assert sticks(job(parts, [offer(1, 240 * INCH, "10.00", clean_ends=2)], saw)) == expected


def test_ends_that_are_not_clean_cost_a_trim_each_and_save_one_kerf() -> None:
    """Trim 10 at both ends, kerf 3: three of 1995 and two kerfs between are 5991, and 10 + 10 leave only 5980."""
    dirty = replace(
        metric(6000, [(1995, 9)], 3, clean_ends=0), saws=(Saw(name="saw", kerf=3 * MM, trim=10 * MM),)
    )
    assert sticks(dirty) == 5
    fitting = (part("P1", 9, 1991 * MM),)  # 10 + 3 x 1991 + 2 x 3 + 10 = 5999
    assert sticks(replace(dirty, parts=fitting)) == 3


def test_a_grip_is_kept_at_the_far_end_after_the_last_kerf() -> None:
    """3 x 1998 + 3 x 3 = 6003: with a grip of 1 the third piece is lost; 3 x 1996 + 3 x 3 + 1 = 5998 fits."""
    gripped = replace(metric(6000, [(1998, 9)], 3), saws=(Saw(name="saw", kerf=3 * MM, grip=1 * MM),))
    assert sticks(gripped) == 5
    assert sticks(replace(gripped, parts=(part("P1", 9, 1996 * MM),))) == 3


@given(
    st.integers(40, 90),
    st.lists(
        st.tuples(st.integers(5, 40), st.integers(1, 6)), min_size=1, max_size=4, unique_by=lambda p: p[0]
    ),
    st.integers(0, 5),
)
@settings(max_examples=20, deadline=None)
def test_a_kerf_is_the_same_as_longer_pieces_in_a_longer_stick(
    stick: int, demands: list[tuple[int, int]], kerf: int
) -> None:
    """Lengths w at kerf k in a clean stick L cost what lengths w + k cost without kerf in L + k."""
    with_kerf = make_plan(metric(stick, demands, kerf), COUNTED)
    longer = solve(one_stick(stick + kerf, [(w + kerf, d) for w, d in demands]), counted(), seed=0)
    assert check_plan(with_kerf) == ()
    assert with_kerf.groups[0].cost == Decimal(longer.cost) / 1000
