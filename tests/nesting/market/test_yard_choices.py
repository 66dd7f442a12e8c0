"""Yards are chosen over all choices: fees, minimum orders and ways home weighed together, with a bound for the job."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import pytest
from hypothesis import HealthCheck, given, settings

from nesting.check import check_plan
from nesting.job import Job, Shop
from nesting.market import make_plan
from nesting.market.make import plan_of
from nesting.market.planning import Planning
from nesting.market.yards.choices import ways_of
from nesting.market.yards.relief import relieved
from nesting.market.yards.settle import YardSearch
from nesting.plan import Plan, Settings
from nesting.progress import Silent
from nesting.rules.sources import groups_of
from stock.offer import Basis, Yard
from stock.rack import RackPiece
from tests.nesting.market.asked import COUNTED, FOOT, INCH, TUBE, job, offer, part
from tests.nesting.market.brute_yards import ANGLE, cheapest, fee_jobs

TINY = settings(max_examples=40, deadline=None, suppress_health_check=list(HealthCheck), derandomize=True)


def planned(asked: Job, budget: Settings = COUNTED) -> Plan:
    """The plan of a job, found sound by the check."""
    plan = make_plan(asked, budget)
    assert check_plan(plan) == ()
    return plan


def bought(plan: Plan) -> dict[str, int]:
    """How many are bought of each offer."""
    return {line.offer: line.count for group in plan.groups for line in group.purchases}


# against an enumeration


@TINY
@given(fee_jobs(minimum=False))
def test_no_way_to_buy_is_cheaper_where_yards_deliver_or_are_driven_to(asked: Job) -> None:
    plan = planned(asked)
    assert plan.bound == plan.total == cheapest(asked)
    assert all(other.more >= 0 for other in plan.others)


@TINY
@given(fee_jobs(minimum=True))
def test_no_way_to_buy_is_cheaper_where_minimum_orders_couple_all_material(asked: Job) -> None:
    plan, least = planned(asked), cheapest(asked)
    assert plan.total == least
    assert plan.bound is not None
    assert least - Decimal("0.05") <= plan.bound <= least


@TINY
@given(fee_jobs(minimum=True))
def test_every_choice_that_is_told_of_is_a_sound_plan(asked: Job) -> None:
    """The checker finds no breach in any of them, and the money is theirs."""
    search = YardSearch(asked, Planning(asked, COUNTED, Silent()))
    search.run(1.0)
    for settled in search.found:
        plan = plan_of(asked, COUNTED, settled)
        assert check_plan(plan) == ()
        assert plan.total == settled.cost


# by hand


def _dear_and_near(delivery: str, **north: object) -> Job:
    """Two sticks of 20 ft: South asks 40.00 a stick and delivers, North 55.00."""
    return job(
        [part("A", 2, 15 * FOOT)],
        [offer(1, 20 * FOOT, "55.00"), offer(2, 20 * FOOT, "40.00", yard="South")],
        yards=(Yard(name="North", **north), Yard(name="South", delivery=Decimal(delivery))),  # type: ignore[arg-type]
    )


def test_a_delivery_is_paid_where_it_is_less_than_the_dearer_yard_costs_more() -> None:
    """2 x 40 + 29.99 = 109.99 against 2 x 55 = 110; with 30.01 the other way round."""
    cheap, dear = planned(_dear_and_near("29.99")), planned(_dear_and_near("30.01"))
    assert (cheap.total, bought(cheap)) == (Decimal("109.99"), {"offer 2": 2})
    assert (dear.total, bought(dear)) == (Decimal("110.00"), {"offer 1": 2})
    assert cheap.bound == cheap.total
    assert dear.bound == dear.total
    assert [(o.words, o.more) for o in cheap.others] == [("all from North", Decimal("0.01"))]
    assert [(o.words, o.more) for o in dear.others] == [("all from South", Decimal("0.01"))]


def test_a_stick_is_bought_dearer_where_that_makes_up_for_a_minimum_order() -> None:
    """North alone has the angle for 70.00 and sells from 100.00 up; its tube costs 33.00, South's 30.00.

    Tube from South: 100 + 30 = 130. Tube from North: 70 + 33 = 103, above the minimum.
    """
    asked = job(
        [part("T", 1, 15 * FOOT), part("A", 1, 15 * FOOT, ANGLE)],
        [
            offer(1, 20 * FOOT, "70.00", material=ANGLE),
            offer(2, 20 * FOOT, "33.00"),
            offer(3, 20 * FOOT, "30.00", yard="South"),
        ],
        yards=(Yard(name="North", minimum_order=Decimal(100)), Yard(name="South")),
    )
    plan = planned(asked)
    assert plan.total == Decimal("103.00")
    assert plan.bound is not None
    assert Decimal(102) <= plan.bound <= plan.total
    tube = next(group for group in plan.groups if "T" in group.marks)
    assert (tube.cost, tube.bound.value, tube.stopped) == (Decimal(33), Decimal(30), "settled")


def test_part_of_the_sticks_moves_to_the_yard_with_the_minimum_order() -> None:
    """The angle is 60.00 of a minimum of 100. Four tubes at 30.00, or 32.00 at North: two moved make 124 + 60 = 184.

    One moved: 60 + 32 is 8 short, so 100 + 90 = 190; all moved: 60 + 128 = 188.
    """
    asked = job(
        [part("T", 4, 15 * FOOT), part("A", 1, 15 * FOOT, ANGLE)],
        [
            offer(1, 20 * FOOT, "60.00", material=ANGLE),
            offer(2, 20 * FOOT, "32.00"),
            offer(3, 20 * FOOT, "30.00", yard="South"),
        ],
        yards=(Yard(name="North", minimum_order=Decimal(100)), Yard(name="South")),
    )
    plan = planned(asked)
    assert plan.total == Decimal("184.00")
    assert bought(plan) == {"offer 1": 1, "offer 2": 2, "offer 3": 2}
    assert plan.bound is not None
    assert Decimal(180) <= plan.bound <= plan.total


def test_a_minimum_order_that_cannot_be_filled_is_topped_up_and_proved() -> None:
    """40.00 of steel from the only yard, which sells from 100.00 up and delivers for 35.00."""
    yard = Yard(name="North", delivery=Decimal(35), minimum_order=Decimal(100))
    plan = planned(job([part("A", 1, 5 * FOOT)], [offer(1, 20 * FOOT, "40.00")], yards=(yard,)))
    assert plan.fees == (
        ("North", "delivery", Decimal(35)),
        ("North", "shortfall to the minimum order", Decimal("60.00")),
    )
    assert (plan.total, plan.bound, plan.others) == (Decimal("135.00"), Decimal("135.00"), ())


def test_a_minimum_order_counts_in_the_proof_where_rests_earn() -> None:
    """5 of 20 ft are left and earn a quarter of their price: 60 - 3.75 from South, 100 - 2.50 from North."""
    asked = job(
        [part("A", 1, 15 * FOOT)],
        [offer(1, 20 * FOOT, "40.00"), offer(2, 20 * FOOT, "60.00", yard="South")],
        yards=(Yard(name="North", minimum_order=Decimal(100)), Yard(name="South")),
        shop=Shop(offcut_share=Decimal("0.25")),
    )
    plan = planned(asked)
    assert (plan.total, plan.bound) == (Decimal("60.00"), Decimal("56.25"))
    assert [(o.words, o.more) for o in plan.others] == [("all from North", Decimal("41.25"))]


def test_prices_are_not_lowered_below_what_rests_earn() -> None:
    asked = job(
        [part("A", 1, 15 * FOOT)],
        [offer(1, 20 * FOOT, "40.00"), offer(2, 20 * FOOT, "60.00", yard="South")],
        shop=Shop(offcut_share=Decimal("0.3")),
    )
    (group,) = groups_of(asked)
    lowered = relieved(asked, group, {"North": Decimal("0.4")})
    assert lowered is not None
    assert [o.unit_price() for o in lowered.offers] == [Decimal(24), Decimal(60)]
    assert 12 <= lowered.shop.offcut_share * 24 < Decimal("12.0001")
    assert relieved(asked, group, {"North": Decimal("0.8")}) is None
    scrap = replace(asked, shop=Shop(scrap_price=Decimal(1)))
    assert relieved(scrap, group, {"North": Decimal("0.4")}) is None


def test_a_delivery_is_ordered_where_only_that_brings_the_long_stick_home() -> None:
    """15 ft pieces from 20 ft sticks; 12 ft can be hauled. North delivers for 10.00, or sells nothing that serves."""
    yard = Yard(name="North", delivery=Decimal(10), haul_limit=12 * FOOT)
    plan = planned(job([part("A", 1, 15 * FOOT)], [offer(1, 20 * FOOT, "40.00")], yards=(yard,)))
    assert plan.total == Decimal("50.00")
    assert [(o.delivered, o.trips) for o in plan.orders] == [(True, 0)]


def test_what_can_be_hauled_is_picked_up_if_that_is_cheaper_and_delivery_is_told_of() -> None:
    """Two pieces of 5 ft: one stick of 10 ft at 30.00 picked up. From 20 ft at 45.00 it would take the truck for 10."""
    yard = Yard(name="North", delivery=Decimal(10), haul_limit=12 * FOOT)
    rows = [offer(1, 20 * FOOT, "25.00"), offer(2, 10 * FOOT, "30.00")]
    plan = planned(job([part("A", 2, 5 * FOOT)], rows, yards=(yard,)))
    assert (plan.total, bought(plan)) == (Decimal("30.00"), {"offer 2": 1})
    assert [(o.words, o.more) for o in plan.others] == [
        ("North delivered instead of picked up", Decimal("5.00"))
    ]


def test_the_minimum_order_is_held_against_the_steel_alone_not_against_its_delivery() -> None:
    yard = Yard(name="North", delivery=Decimal(70), minimum_order=Decimal(100))
    plan = planned(job([part("A", 1, 5 * FOOT)], [offer(1, 20 * FOOT, "40.00")], yards=(yard,)))
    assert plan.total == Decimal("170.00")


def test_the_rack_may_stand_in_for_a_yard_that_charges_too_much() -> None:
    """The rack piece is worth 20.00 more than the stick, the delivery costs 30.00."""
    piece = RackPiece(id="R1", material=TUBE, length=20 * FOOT, clean_ends=2, value=Decimal(60))
    yard = Yard(name="North", delivery=Decimal(30))
    asked = job([part("A", 4, 60 * INCH)], [offer(1, 20 * FOOT, "40.00")], rack=(piece,), yards=(yard,))
    plan = planned(asked)
    assert (plan.total, plan.fees, plan.orders) == (Decimal(0), (), ())
    assert plan.bound == Decimal(60)
    assert [(o.words, o.more) for o in plan.others] == [("all from North", Decimal("10.00"))]


def test_a_quantity_break_is_kept_when_material_moves_to_a_minimum_order() -> None:
    """South's tube is 30.00, from four up 15.00; North's angle is 60.00 of a minimum of 84, and its tube 24.00.

    All four from South: 60 + 84. One less there, and the three left cost 90.
    """
    asked = job(
        [part("T", 4, 15 * FOOT), part("A", 1, 15 * FOOT, ANGLE)],
        [
            offer(1, 20 * FOOT, "60.00", material=ANGLE),
            offer(2, 20 * FOOT, "24.00"),
            offer(3, 20 * FOOT, "30.00", yard="South"),
            offer(4, 20 * FOOT, "15.00", yard="South", from_qty=4),
        ],
        yards=(Yard(name="North", minimum_order=Decimal(84)), Yard(name="South")),
    )
    plan = planned(asked)
    assert plan.total == Decimal("144.00")
    assert bought(plan) == {"offer 1": 1, "offer 4": 4}


def test_a_lower_price_from_a_quantity_is_given_up_where_a_minimum_order_saves_more() -> None:
    """As before at 20.00 from four up: 84 + 80 = 164 with it, 60 + 4 x 24 = 156 all from North."""
    asked = job(
        [part("T", 4, 15 * FOOT), part("A", 1, 15 * FOOT, ANGLE)],
        [
            offer(1, 20 * FOOT, "60.00", material=ANGLE),
            offer(2, 20 * FOOT, "24.00"),
            offer(3, 20 * FOOT, "30.00", yard="South"),
            offer(4, 20 * FOOT, "20.00", yard="South", from_qty=4),
        ],
        yards=(Yard(name="North", minimum_order=Decimal(84)), Yard(name="South")),
    )
    plan = planned(asked)
    assert plan.total == Decimal("156.00")
    assert bought(plan) == {"offer 1": 1, "offer 2": 4}


# ways to use a yard, orders


def test_a_yard_that_delivers_and_says_nothing_of_hauling_just_delivers() -> None:
    fee, limit = Decimal(40), 12 * FOOT
    assert ways_of(Yard(name="Y")) == ("picked up",)
    assert ways_of(Yard(name="Y", haul_limit=limit)) == ("picked up",)
    assert ways_of(Yard(name="Y", delivery=fee)) == ("left out", "delivered")
    assert ways_of(Yard(name="Y", delivery=fee, haul_limit=limit)) == ("picked up", "delivered")
    assert ways_of(Yard(name="Y", delivery=fee, payload_kg=500.0)) == ("picked up",)
    assert ways_of(Yard(name="Y", delivery=Decimal(0), haul_limit=limit)) == ("delivered",)
    assert ways_of(Yard(name="Y", minimum_order=fee)) == ("left out", "picked up")
    both = Yard(name="Y", delivery=fee, haul_limit=limit, minimum_order=fee)
    assert ways_of(both) == ("left out", "picked up", "delivered")


@pytest.mark.parametrize(("payload", "trips"), [(None, 1), (100.0, 1), (50.0, 2), (27.0, 3)])
def test_trips_follow_from_weight_and_payload(payload: float | None, trips: int) -> None:
    """Three sticks of 20 ft of 2 x 2 x 1/8 at 3.05 lb/ft (AISC, published): 183 lb, 83 kg."""
    asked = job([part("A", 3, 15 * FOOT)], [offer(1, 20 * FOOT, "40.00")])
    plan = planned(replace(asked, yards=(Yard(name="North", payload_kg=payload),)))
    (order,) = plan.orders
    assert (order.yard, order.delivered, order.trips) == ("North", False, trips if trips < 3 else 4)


def test_material_without_a_price_is_ordered_too_and_has_no_bound() -> None:
    asked = job([part("A", 1, 5 * FOOT)], [offer(1, 20 * FOOT, None)])
    plan = planned(replace(asked, yards=(Yard(name="North", delivery=Decimal(50), haul_limit=6 * FOOT),)))
    assert [order.delivered for order in plan.orders] == [True]
    assert (plan.fees, plan.bound, plan.others) == ((), None, ())


def test_a_job_without_fees_has_the_bound_of_its_groups_and_no_other_choices() -> None:
    asked = job(
        [part("T", 3, 9 * FOOT), part("A", 1, 5 * FOOT, ANGLE)],
        [
            offer(1, 20 * FOOT, "50.00"),
            offer(2, 24 * FOOT, "2.60", Basis.FOOT, yard="South"),
            offer(3, 20 * FOOT, "23.00", material=ANGLE),
        ],
        yards=(Yard(name="North"), Yard(name="South")),
    )
    plan = planned(asked)
    assert plan.bound == sum(group.bound.value for group in plan.groups)
    assert plan.others == ()


def test_the_same_work_gives_the_same_plan() -> None:
    asked = _dear_and_near("29.99", minimum_order=Decimal(120))
    assert make_plan(asked, COUNTED) == make_plan(asked, COUNTED)


def test_eight_yards_that_all_deliver_are_chosen_among_with_a_proof() -> None:
    """Each has one of two materials a little cheaper than the next; a delivery costs more than that saves.

    The last yard has both, for 50.00 and 24.00, and delivers for 20.00: 94.00. Any two yards pay 40.00 to deliver.
    """
    rows = [offer(1, 20 * FOOT, "50.00", yard="Y7"), offer(2, 20 * FOOT, "24.00", yard="Y7", material=ANGLE)]
    for n in range(7):
        material = (TUBE, ANGLE)[n % 2]
        rows.append(offer(3 + n, 20 * FOOT, f"{(45, 20)[n % 2] + n}.00", yard=f"Y{n}", material=material))
    asked = job(
        [part("T", 1, 15 * FOOT), part("A", 1, 15 * FOOT, ANGLE)],
        rows,
        yards=tuple(Yard(name=f"Y{n}", delivery=Decimal(20)) for n in range(8)),
    )
    plan = planned(asked)
    assert plan.total == plan.bound == Decimal("94.00")
