"""How far a price may rise: limits worked by hand, and held against plans made at other prices."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

from hypothesis import HealthCheck, given, settings

from nesting.job import Job
from nesting.market import make_plan
from nesting.work.price_limits import _cost, _dearer, _rounding, price_limits
from stock.offer import Basis, Yard
from tests.nesting.market.asked import COUNTED, FOOT, MM, job, jobs, offer, part


def test_a_yard_is_the_cheapest_until_it_asks_what_the_other_one_asks() -> None:
    """Three sticks at 10.00 from North, the same at 13.00 from South: up to 13.00."""
    asked = job(
        [part("A", 3, 90 * MM)],
        [offer(1, 100 * MM, "10.00", clean_ends=2), offer(2, 100 * MM, "13.00", clean_ends=2, yard="South")],
        yards=(Yard(name="North"), Yard(name="South")),
    )
    (limit,) = price_limits(make_plan(asked, COUNTED), COUNTED)
    assert (limit.offer.id, limit.holds) == ("offer 1", Decimal("13.0000"))
    assert limit.beats is not None
    assert limit.beats > 13


def test_a_delivery_fee_of_the_other_yard_is_counted() -> None:
    """Two sticks at 10.00; South asks 9.00 and brings them for 6.00, so 24.00: North up to 12.00."""
    asked = job(
        [part("A", 2, 90 * MM)],
        [offer(1, 100 * MM, "10.00", clean_ends=2), offer(2, 100 * MM, "9.00", clean_ends=2, yard="South")],
        yards=(Yard(name="North"), Yard(name="South", delivery=Decimal(6))),
    )
    (limit,) = price_limits(make_plan(asked, COUNTED), COUNTED)
    assert limit.holds == Decimal("12.0000")


def test_where_nothing_else_serves_no_price_is_beaten() -> None:
    asked = job([part("A", 3, 5 * FOOT)], [offer(1, 20 * FOOT, "2.50", Basis.FOOT)])
    (limit,) = price_limits(make_plan(asked, COUNTED), COUNTED)
    assert (limit.holds, limit.beats) == (Decimal("5.0000"), None)


@given(jobs())
@settings(max_examples=2, deadline=None, suppress_health_check=list(HealthCheck))
def test_below_its_limit_no_plan_is_found_that_is_cheaper(asked: Job) -> None:
    """Planned anew at the price that holds, nothing costs less by more than the cents of rounding lines."""
    plan = make_plan(asked, COUNTED)
    for limit in price_limits(plan, COUNTED):
        assert limit.offer.price is not None
        assert limit.holds >= limit.offer.price
        factor = limit.holds / limit.offer.price
        at = _dearer(plan.job, limit.offer, Fraction(factor))
        mine = _cost(plan, at)  # prices are cut to 0.0001 anew, which a pound price multiplies
        assert _cost(make_plan(at, COUNTED), at) >= mine - _rounding(plan) - mine / 200
