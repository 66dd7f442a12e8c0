"""What is bought, and what the rack gives."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import pytest

from nesting.plan import Order as PlanOrder
from nesting.plan import Plan
from nesting.report.order import order_of
from tests.nesting.made import INCH, inch_plan, metric_plan, mixed_plan
from tests.nesting.made_sheets import plate_plan

PLANS = pytest.mark.parametrize(
    "plan", [inch_plan(), metric_plan(), mixed_plan(), plate_plan()], ids=lambda plan: plan.job.name
)


@PLANS
def test_the_order_adds_up_to_the_plan(plan: Plan) -> None:
    """Money, weight and counts of all yards are those of the plan."""
    order = order_of(plan)
    assert order.total == plan.total
    assert order.weight_kg == pytest.approx(plan.weight_kg)
    bought = [line for group in plan.groups for line in group.purchases]
    assert order.sticks == sum(line.count for line in bought if line.width is None)
    assert order.sheets == sum(line.count for line in bought if line.width is not None)


def test_yards_come_in_the_order_of_the_job_with_their_fees() -> None:
    """North Yard's delivery and shortfall stand under North Yard."""
    first, second = order_of(mixed_plan()).yards
    assert (first.yard.name, second.yard.name) == ("North Yard", "=Bay & Sons <steel>")
    assert [what for what, _ in first.fees] == ["delivery", "shortfall to the minimum order"]
    assert first.total == Decimal("345.00")
    assert second.fees == ()
    assert not first.is_priced


def test_a_yard_that_only_the_offers_name_is_found() -> None:
    """The yards table may be left out."""
    plan = metric_plan()
    assert plan.job.yards == ()
    assert [yard.yard.name for yard in order_of(plan).yards] == ["Stahl Nord"]


def test_what_the_rack_gives_is_listed_with_its_weight() -> None:
    """One piece of 2150 mm; SHS 40 x 40 x 3 weighs 3.30 kg/m (EN 10219 table, published), so 7.1 kg."""
    (take,) = order_of(metric_plan()).rack
    assert take.piece.id == "R-7"
    assert take.weight_kg == pytest.approx(7.1, rel=0.005)


def test_sheets_are_counted_apart_from_sticks_and_weighed_by_their_area() -> None:
    """Three sheets; two flat bars are sticks, though one is ripped. 2 ft square of 1/4 in plate: 40.8 lb."""
    order = order_of(plate_plan())
    assert (order.sticks, order.sheets) == (2, 3)
    (first,) = (line for line in order.lines if line.offer.id == "offer 1")
    assert (first.width, first.longest_side) == (24 * INCH, 24 * INCH)
    assert first.weight_each_kg == pytest.approx(40.83 * 0.45359237, rel=1e-3)


def test_a_sheet_from_the_rack_is_taken() -> None:
    """30 x 24 in of 14 gauge at 3.125 lb/ft2 (15 U.S.C. 206, published): 15.6 lb."""
    (take,) = order_of(plate_plan()).rack
    assert (take.group, take.piece.id) == (2, "R 3")
    assert take.weight_kg == pytest.approx(3.125 * 5 * 0.45359237)


def test_a_sheet_is_carried_home_by_its_longer_side() -> None:
    """48 x 30: neither way round shorter than 48; turned in the table it is the same sheet. The bars are longer."""
    plan = plate_plan()

    def too_long(limit: int) -> list[str]:
        job = replace(plan.job, yards=(replace(plan.job.yards[0], haul_limit=limit * INCH),))
        (yard,) = order_of(replace(plan, job=job)).yards
        return [line.offer.id for line in yard.too_long]

    assert too_long(47) == ["offer 2", "offer 3", "offer 5"]
    assert too_long(48) == ["offer 2"]
    (line,) = (line for line in order_of(plan).lines if line.offer.id == "offer 3")
    upright = replace(line, length=30 * INCH, offer=replace(line.offer, width=48 * INCH))
    assert upright.longest_side == line.longest_side == 48 * INCH


def test_how_material_comes_home_is_said_where_a_yard_has_terms_for_it() -> None:
    """The North Yard brings its steel for a fee; the bay's 94 kg are fetched with 400 kg a trip, or with 40 kg."""
    plan = mixed_plan()
    north, bay = order_of(plan).yards
    assert (north.coming, north.trips) == ("delivered", 0)
    assert (bay.coming, bay.trips) == ("picked up", 1)
    small = replace(plan.job.yards[1], payload_kg=40.0)
    _, bay = order_of(replace(plan, job=replace(plan.job, yards=(plan.job.yards[0], small)))).yards
    assert (bay.coming, bay.trips) == ("picked up in 3 trips", 3)
    assert [line.count for line in bay.too_heavy] == [1]
    assert [yard.coming for yard in order_of(metric_plan()).yards] == [""]


def test_the_order_of_a_plan_goes_before_the_terms_of_the_yard() -> None:
    plan = mixed_plan()
    picked = PlanOrder(yard="North Yard", delivered=False, trips=1)
    north, _ = order_of(replace(plan, orders=(picked,))).yards
    assert (north.is_delivered, north.trips) == (False, 1)
