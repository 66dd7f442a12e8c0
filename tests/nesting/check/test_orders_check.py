"""Orders and the bound of the job: the checker says every way in which they do not follow from the plan."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from decimal import Decimal

import pytest

from nesting.check import check_plan, check_report
from nesting.check.choice import chosen_job
from nesting.plan import Order, Plan
from stock.offer import Yard
from tests.nesting.check.laid_out import FOOT, bench_job, first_fit, offer, with_group

PICKED = Order(yard="North", delivered=False, trips=1)
BROUGHT = Order(yard="North", delivered=True, trips=0)


def fetched(**terms: object) -> Plan:
    """Two sticks, 124.94, picked up from North; its bound is what they cost."""
    yard = Yard(name="North", **terms)  # type: ignore[arg-type]
    plan = first_fit(bench_job(yards=(yard,)))
    return replace(plan, orders=(PICKED,), fees=(), total=Decimal("124.94"), bound=Decimal("120.00"))


def brought() -> Plan:
    """Delivered for 30.00, with 75.06 missing to the minimum order of 200."""
    yard = Yard(name="North", delivery=Decimal(30), minimum_order=Decimal(200), payload_kg=10.0)
    return replace(first_fit(bench_job(yards=(yard,))), orders=(BROUGHT,), bound=Decimal("230.00"))


def loaded() -> Plan:
    """Two sticks of 20 ft at 3.05 lb/ft (AISC, published) are 122 lb, 55 kg: two trips of 30 kg."""
    return replace(fetched(payload_kg=30.0), orders=(replace(PICKED, trips=2),))


@pytest.mark.parametrize("make", [fetched, brought, loaded])
def test_orders_by_the_rules_pass(make: Callable[[], Plan]) -> None:
    assert check_plan(make()) == ()


BREAKS: list[tuple[Callable[[], Plan], Callable[[Plan], Plan], str]] = [
    (fetched, lambda p: replace(p, orders=()), "yard North is bought from, and has no order"),
    (fetched, lambda p: replace(p, orders=(PICKED, PICKED)), "yard North has 2 orders, due is one"),
    (
        fetched,
        lambda p: replace(p, orders=(PICKED, replace(PICKED, yard="South"))),
        "yard South has an order, and nothing is bought from it",
    ),
    (
        fetched,
        lambda p: replace(p, orders=(BROUGHT,)),
        "the order is delivered, and the yard does not deliver",
    ),
    (fetched, lambda p: replace(p, orders=(replace(PICKED, trips=2),)), "trips is 2, due is 1"),
    (loaded, lambda p: replace(p, orders=(PICKED,)), "trips is 1, due is 2"),
    (brought, lambda p: replace(p, orders=(replace(BROUGHT, trips=1),)), "trips is 1, due is 0"),
    (
        brought,
        lambda p: replace(p, orders=(replace(PICKED, trips=6),)),
        "North: delivery is 30.0000, due is 0.0000",
    ),
    (
        lambda: fetched(delivery=Decimal(9)),
        lambda p: p,
        "the order is picked up, due is delivered: it has no haul limit and no payload",
    ),
    (fetched, lambda p: replace(p, bound=Decimal("124.95")), "124.95, above the cost 124.94 of this plan"),
    (brought, lambda p: replace(p, bound=Decimal("230.01")), "230.01, above the cost 230.00 of this plan"),
    (brought, lambda p: replace(p, bound=Decimal(-1)), "the bound of the job is -1, due is 0 or more"),
    (
        fetched,
        lambda p: with_group(
            p, bound=replace(p.groups[0].bound, value=Decimal(119), dual_value=Decimal(119))
        ),
        "the bound of the job is 120.00, those of its groups add up to 119",
    ),
]


@pytest.mark.parametrize(("make", "broken", "said"), BREAKS)
def test_what_is_wrong_with_orders_and_bound_is_said(
    make: Callable[[], Plan], broken: Callable[[Plan], Plan], said: str
) -> None:
    breaches = check_plan(broken(make()))
    assert any(said in breach for breach in breaches), breaches


def test_a_job_without_prices_has_no_bound() -> None:
    plan = first_fit(bench_job(offers=(offer(price=None, per=None),)))
    assert check_plan(plan) == ()
    (breach,) = check_plan(replace(plan, orders=(PICKED,), bound=Decimal(1)))
    assert breach == "the bound of the job is 1, due is none: nothing has a price"


def test_a_plan_of_before_orders_were_kept_is_sound_without_them() -> None:
    plan = first_fit(bench_job())
    assert (plan.orders, plan.bound) == ((), None)
    assert check_report(plan).job == ""
    assert check_plan(plan) == ()


def test_only_a_bound_over_a_choice_of_yards_is_said_to_come_from_a_search() -> None:
    assert check_report(fetched()).job == ""
    assert "over all choices of yards was found by search" in check_report(brought()).job


def test_a_certificate_is_held_against_the_yards_as_they_are_used() -> None:
    """A yard that charges and is not bought from sells nothing; one that is free is there, its haul limit kept."""
    limit = 12 * FOOT
    yards = (
        Yard(name="North", delivery=Decimal(30), haul_limit=limit),
        Yard(name="Charging", delivery=Decimal(30)),
        Yard(name="Free", delivery=Decimal(30), haul_limit=limit),
        Yard(name="Plain"),
    )
    rows = (
        offer(1),
        offer(2, yard="Charging"),
        offer(3, yard="Free"),
        offer(4, yard="Plain"),
        offer(5, yard="Bare"),
    )
    plan = replace(first_fit(bench_job(yards=yards, offers=rows)), orders=(BROUGHT,))
    chosen = chosen_job(plan)
    assert [o.id for o in chosen.offers] == ["offer 1", "offer 3", "offer 4", "offer 5"]
    assert [(y.delivery, y.haul_limit) for y in chosen.yards] == [
        (Decimal(30), None),
        (Decimal(30), None),
        (None, limit),
        (None, None),
    ]
