"""What a plan pays beyond its material, and how each yard's material comes home."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Sequence
from decimal import Decimal
from typing import TypeAlias

from nesting.job import Job
from nesting.market.yards.choices import Choice, How, ways_of
from nesting.plan import GroupPlan, Order
from stock.offer import Yard

Fee: TypeAlias = tuple[str, str, Decimal]
"""Yard, what for, money."""


def steel_by_yard(job: Job, plans: Sequence[GroupPlan]) -> dict[str, Decimal]:
    """Money of the steel lines of each yard; a yard without priced lines is missing."""
    yard_of = {offer.id: offer.yard for offer in job.offers}
    steel: dict[str, Decimal] = defaultdict(Decimal)
    for plan in plans:
        for line in plan.purchases:
            if line.total is not None:
                steel[yard_of[line.offer]] += line.total
    return dict(steel)


def fees_of(job: Job, plans: Sequence[GroupPlan], choice: Choice) -> Iterator[Fee]:
    """Delivery and shortfall to the minimum order of each yard that priced material is bought from.

    The minimum is held against the steel lines alone, whether they are delivered or not.
    """
    steel = steel_by_yard(job, plans)
    for yard in job.yards:
        if yard.name in steel:
            if choice[yard.name] == "delivered":
                yield yard.name, "delivery", yard.delivery or Decimal(0)
            short = yard.minimum_order - steel[yard.name]
            if short > 0:
                yield yard.name, "shortfall to the minimum order", short


def choice_made(job: Job, plans: Sequence[GroupPlan], choice: Choice) -> dict[str, How]:
    """The choice that plans make: a yard that is not bought from is used so that it charges nothing, or left out."""
    yard_of = {offer.id: offer.yard for offer in job.offers}
    bought = {yard_of[line.offer] for plan in plans for line in plan.purchases}
    return {y.name: choice[y.name] if y.name in bought else ways_of(y)[0] for y in job.yards}


def objective(job: Job, plans: Sequence[GroupPlan], choice: Choice) -> Decimal:
    """Cost of all priced groups and the fees."""
    return sum(
        [p.cost for p in plans if p.priced] + [fee for *_, fee in fees_of(job, plans, choice)], Decimal(0)
    )


def orders_of(job: Job, plans: Sequence[GroupPlan], choice: Choice) -> tuple[Order, ...]:
    """An order for each yard that is bought from, in the order of the yards table, then of the offers."""
    yard_of = {offer.id: offer.yard for offer in job.offers}
    weights: dict[str, float] = defaultdict(float)
    for plan in plans:
        for line in plan.purchases:
            weights[yard_of[line.offer]] += line.weight_kg
    yards = {yard.name: yard for yard in job.yards}
    yards.update({o.yard: Yard(name=o.yard) for o in job.offers if o.yard not in yards})
    return tuple(
        _order(yard, weights[yard.name], choice.get(yard.name))
        for yard in yards.values()
        if yard.name in weights
    )


def _order(yard: Yard, weight: float, how: How | None) -> Order:
    """The order of a yard; one that is left out where money counts sells what has no price, and brings it if it can."""
    delivered = how == "delivered" or (how == "left out" and yard.delivery is not None)
    return Order(yard=yard.name, delivered=delivered, trips=0 if delivered else yard.trips(weight))
