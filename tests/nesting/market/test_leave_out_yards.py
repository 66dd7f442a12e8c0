"""Yards that charge for delivery, or pay only from an order up, are left out where that is cheaper in all."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

from nesting.check import check_plan
from nesting.job import Job
from nesting.market import make_plan
from nesting.plan import Plan
from stock.material import parse_material
from stock.offer import Yard
from tests.nesting.market.asked import COUNTED, FOOT, INCH, job, offer, part

ANGLE = parse_material("angle 2 x 2 x 1/8", unit="in")


def _two_yards(**south: Decimal) -> Job:
    """Four tubes of 60 in and one angle; North sells both, South the angle 3.00 cheaper and may charge."""
    return job(
        [part("T", 4, 60 * INCH), part("A", 1, 60 * INCH, ANGLE)],
        [
            offer(1, 20 * FOOT, "50.00"),
            offer(2, 20 * FOOT, "23.00", material=ANGLE),
            offer(3, 20 * FOOT, "20.00", material=ANGLE, yard="South"),
        ],
        yards=(Yard(name="North"), Yard(name="South", **south)),
    )


def _bought(plan: Plan) -> set[str]:
    return {line.offer for group in plan.groups for line in group.purchases}


def test_the_cheaper_yard_is_bought_from_while_it_charges_less_than_it_saves() -> None:
    """50 + 20 + 2.99 = 72.99 is under 50 + 23 = 73; 50 + 20 + 3.01 is over it."""
    cheap, dear = (make_plan(_two_yards(delivery=Decimal(fee)), COUNTED) for fee in ("2.99", "3.01"))
    assert _bought(cheap) == {"offer 1", "offer 3"}
    assert cheap.total == Decimal("72.99")
    assert _bought(dear) == {"offer 1", "offer 2"}
    assert dear.total == Decimal("73.00")
    assert dear.fees == ()


def test_a_minimum_order_is_weighed_alike_and_the_check_agrees() -> None:
    """South sells from 200 up: 50 + 200 against 73. The bound of the angle is that of the yard chosen: 23.00."""
    plan = make_plan(_two_yards(minimum_order=Decimal(200)), COUNTED)
    assert plan.total == Decimal("73.00")
    angle = next(group for group in plan.groups if "A" in group.marks)
    assert angle.cost == angle.bound.value == Decimal(23)
    assert plan.bound == Decimal(73)
    assert check_plan(plan) == ()


def test_a_yard_that_alone_has_the_material_is_not_left_out() -> None:
    asked = _two_yards(delivery=Decimal(500))
    only = replace(asked, offers=(asked.offers[0], asked.offers[2]))
    plan = make_plan(only, COUNTED)
    assert plan.total == Decimal("570.00")
    assert check_plan(plan) == ()


def test_where_all_yards_charge_the_fewest_charges_win() -> None:
    """Both yards deliver for 30: all from North is 73 + 30, from both 70 + 60."""
    asked = _two_yards(delivery=Decimal(30))
    plan = make_plan(
        replace(asked, yards=(Yard(name="North", delivery=Decimal(30)), asked.yards[1])), COUNTED
    )
    assert plan.total == Decimal("103.00")
    assert [yard for yard, _, _ in plan.fees] == ["North"]


def test_a_yard_is_not_left_out_where_the_others_sell_too_short_sticks_only() -> None:
    """South alone has a stick that holds the 60 in angle; North's of 4 ft hold none of its parts."""
    asked = _two_yards(delivery=Decimal(500))
    short = offer(2, 4 * FOOT, "3.00", material=ANGLE)
    plan = make_plan(replace(asked, offers=(asked.offers[0], short, asked.offers[2])), COUNTED)
    assert plan.total == Decimal("570.00")
    assert check_plan(plan) == ()
