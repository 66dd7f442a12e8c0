"""Delivery and minimum orders: what they add, and whether leaving out a yard that charges them is cheaper."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterator
from dataclasses import replace
from decimal import Decimal
from itertools import combinations

from nesting.job import Job
from nesting.plan import GroupPlan

_MOST_CHARGING = 4

Fee = tuple[str, str, Decimal]
"""Yard, what for, money."""


def fees_of(job: Job, plans: list[GroupPlan]) -> Iterator[Fee]:
    """Delivery and shortfall to the minimum order of each yard that priced material is bought from."""
    offers = {o.id: o for o in job.offers}
    steel: dict[str, Decimal] = defaultdict(Decimal)
    for plan in plans:
        for line in plan.purchases:
            if line.total is not None:
                steel[offers[line.offer].yard] += line.total
    for yard in job.yards:
        if yard.name in steel:
            if yard.delivery is not None:
                yield yard.name, "delivery", yard.delivery
            short = yard.minimum_order - steel[yard.name]
            if short > 0:
                yield yard.name, "shortfall to the minimum order", short


def leave_out_yards(
    job: Job, plans: list[GroupPlan], plan_groups: Callable[[Job, Decimal], list[GroupPlan] | None]
) -> list[GroupPlan]:
    """The cheapest of the plans that leave out some of the yards that charge something, or the plans as they are.

    Parameters
    ----------
    plans
        With all yards.
    plan_groups
        Plans a job with fewer offers; None if its parts then have no source, or cost no less than an amount.

    The bounds stay those of all yards: no plan of the whole job beats them, and a plan with fewer yards is one.
    """
    charging = list(dict.fromkeys(yard for yard, _, _ in fees_of(job, plans)))[:_MOST_CHARGING]
    best, best_cost = plans, _cost(job, plans)
    for number in range(1, len(charging) + 1):
        for out in combinations(charging, number):
            offers = tuple(o for o in job.offers if o.yard not in out)
            fewer = plan_groups(replace(job, offers=offers), best_cost)
            if fewer is None or [p.marks for p in fewer] != [p.marks for p in plans]:
                continue
            cost = _cost(job, fewer)
            if cost < best_cost:
                best, best_cost = [_within(p, whole) for p, whole in zip(fewer, plans, strict=True)], cost
    return best


def _within(plan: GroupPlan, whole: GroupPlan) -> GroupPlan:
    """A plan with fewer yards, with the bound of all of them."""
    stopped = plan.stopped
    if stopped in ("proved", "finished"):
        stopped = "proved" if plan.cost <= whole.bound.value else "finished"
    return replace(plan, bound=whole.bound, stopped=stopped)


def _cost(job: Job, plans: list[GroupPlan]) -> Decimal:
    """Objective of all priced groups and the fees."""
    return sum([p.cost for p in plans if p.priced] + [fee for _, _, fee in fees_of(job, plans)], Decimal(0))
