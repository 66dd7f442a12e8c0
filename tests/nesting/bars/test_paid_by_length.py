"""Material cut to length, where cutting costs little or nothing beside what is paid by length."""

from __future__ import annotations

from decimal import Decimal

import pytest

from nesting.check import check_plan
from nesting.market import make_plan
from stock.offer import Basis
from tests.nesting.market.asked import COUNTED, INCH, job, offer, part


@pytest.mark.parametrize(("charge", "per_foot", "total"), [("0", "1", "0.17"), ("0.01", "60", "10.01")])
def test_a_yard_that_cuts_for_next_to_nothing_can_be_bought_from(
    charge: str, per_foot: str, total: str
) -> None:
    """2 in at 1.00 a foot are 0.17, at 60.00 a foot 10.00; it was said once that no stock holds the part."""
    bar = offer(1, 100 * INCH, per_foot, Basis.FOOT, cut_to_length=Decimal(charge), clean_ends=2)
    plan = make_plan(job([part("A", 1, 2 * INCH)], [bar]), COUNTED)
    assert plan.total == Decimal(total)
    assert check_plan(plan) == ()
