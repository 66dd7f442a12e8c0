"""The yards as a plan uses them: what its orders leave of the job, and whether the orders are in order."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from decimal import Decimal
from math import ceil

from nesting.check.supply import Supply
from nesting.job import Job
from nesting.plan import Order, Plan
from stock.offer import Yard

_WEIGHT_TOLERANCE = 0.0001
"""Kilograms an item by which weights may differ."""


def chosen_job(plan: Plan) -> Job:
    """The job as the orders of a plan leave it; one that buys without orders says nothing of yards: the job as it is.

    A yard that delivers has no haul limit, one that is picked up from no delivery. Of a yard that is not bought from
    and that cannot be used without paying a fee, the priced offers are gone.
    """
    if not plan.orders and any(group.purchases for group in plan.groups):
        return plan.job
    delivered = {order.yard: order.delivered for order in plan.orders}
    offers = {offer.id: offer for offer in plan.job.offers}
    paid = {
        offers[p.offer].yard
        for group in plan.groups
        for p in group.purchases
        if p.total is not None and p.offer in offers
    }
    out = {y.name for y in plan.job.yards if y.name not in paid and not _is_free(y)}
    return replace(
        plan.job,
        yards=tuple(_used(yard, delivered.get(yard.name)) for yard in plan.job.yards),
        offers=tuple(o for o in plan.job.offers if o.yard not in out or o.price is None),
    )


def order_breaches(plan: Plan, supply: Supply) -> Iterator[str]:
    """Say which orders of a plan do not follow from its purchases and the terms of the yards."""
    weights, counts = _weights(plan, supply)
    if not plan.orders and plan.bound is None:
        return  # a plan of before orders were kept
    named = [order.yard for order in plan.orders]
    for name in sorted({n for n in named if named.count(n) > 1}):
        yield f"yard {name} has {named.count(name)} orders, due is one"
    for name in sorted(weights.keys() - set(named)):
        yield f"yard {name} is bought from, and has no order"
    for name in sorted(set(named) - weights.keys()):
        yield f"yard {name} has an order, and nothing is bought from it"
    yards = {yard.name: yard for yard in supply.job.yards}
    for order in plan.orders:
        yard = yards.get(order.yard, Yard(name=order.yard))
        yield from _terms(order, yard)
        if order.yard in weights:
            yield from _trips(order, yard, weights[order.yard], counts[order.yard])


def bound_breaches(plan: Plan, supply: Supply) -> Iterator[str]:
    """Say what is wrong with the bound over all choices of yards.

    Where no yard charges anything and none can be used in two ways, there is nothing to choose: the bounds of the
    groups then add up to it. Everything else about it comes from a search.
    """
    if plan.bound is None:
        return
    priced = [group for group in plan.groups if group.priced]
    if not priced:
        yield f"the bound of the job is {plan.bound}, due is none: nothing has a price"
        return
    cost = sum((g.cost for g in priced), Decimal(0)) + sum((fee for *_, fee in plan.fees), Decimal(0))
    if plan.bound > cost:
        yield f"the bound of the job is {plan.bound}, above the cost {cost} of this plan"
    if plan.bound < 0:
        yield f"the bound of the job is {plan.bound}, due is 0 or more"
    known = sum((group.bound.value for group in priced), Decimal(0))
    if is_settled(supply.job) and plan.bound > known:
        yield f"the bound of the job is {plan.bound}, those of its groups add up to {known}"


def is_settled(job: Job) -> bool:
    """Whether there is nothing to choose about yards: none charges anything, none can be used in two ways."""
    selling = {offer.yard for offer in job.offers if offer.price is not None}
    return all(not y.delivery and not y.minimum_order for y in job.yards if y.name in selling)


def bound_words(plan: Plan) -> str:
    """What stands behind the bound of the job, as one sentence; "" if it is no more than those of its groups."""
    if plan.bound is None or is_settled(plan.job):
        return ""
    return (
        f"The bound {plan.bound} over all choices of yards was found by search: repeatable, not verified by the "
        "check."
    )


def _terms(order: Order, yard: Yard) -> Iterator[str]:
    if order.delivered and yard.delivery is None:
        yield f"yard {yard.name}: the order is delivered, and the yard does not deliver"
    if not order.delivered and not _can_fetch(yard):
        yield f"yard {yard.name}: the order is picked up, due is delivered: it has no haul limit and no payload"


def _trips(order: Order, yard: Yard, weight: float, count: int) -> Iterator[str]:
    slack = _WEIGHT_TOLERANCE * count
    if order.delivered:
        least, most = 0, 0
    elif yard.payload_kg is None:
        least, most = 1, 1
    else:
        least, most = (max(1, ceil((weight + off) / yard.payload_kg)) for off in (-slack, slack))
    if not least <= order.trips <= most:
        yield f"yard {yard.name}: trips is {order.trips}, due is {least}"


def _weights(plan: Plan, supply: Supply) -> tuple[dict[str, float], dict[str, int]]:
    """Kilograms and items that each yard sells."""
    weights: dict[str, float] = {}
    counts: dict[str, int] = {}
    for group in plan.groups:
        for p in group.purchases:
            offer = supply.offers.get(p.offer)
            if offer is not None:
                weight = p.count * offer.material.weight_kg(p.length, offer.width)
                weights[offer.yard] = weights.get(offer.yard, 0.0) + weight
                counts[offer.yard] = counts.get(offer.yard, 0) + max(1, p.count)
    return weights, counts


def _can_fetch(yard: Yard) -> bool:
    """Whether material can be picked up: always, but where a yard delivers and nothing is said of hauling."""
    return yard.delivery is None or yard.haul_limit is not None or yard.payload_kg is not None


def _is_free(yard: Yard) -> bool:
    """Whether a yard can be used without a fee, so that not using it is never a choice."""
    return not yard.minimum_order and (_can_fetch(yard) or not yard.delivery)


def _used(yard: Yard, delivered: bool | None) -> Yard:
    """The terms of a yard as it is used; of one that is not, as it could be for nothing."""
    if delivered is None:
        delivered = yard.delivery is not None and not (yard.delivery and _can_fetch(yard))
    return replace(yard, haul_limit=None) if delivered else replace(yard, delivery=None)
