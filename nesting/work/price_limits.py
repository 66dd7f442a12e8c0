"""How far a price may rise before another plan is cheaper.

The cost of a plan is a line over the factor by which one material's price rises at one yard. Where another plan, found
at the doubled price, is cheaper, its line crosses that of this plan; planned again at the crossing, either nothing is
cheaper there by the bound, and the crossing is the limit, or a cheaper plan gives the next, lower crossing.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from decimal import ROUND_DOWN, Decimal
from fractions import Fraction

from nesting.job import Job
from nesting.market import make_plan
from nesting.market.assemble import group_cost, purchases_of
from nesting.market.yards.choices import How
from nesting.market.yards.fees import choice_made, fees_of
from nesting.plan import GroupPlan, Layout, Plan, Settings, SheetLayout
from nesting.progress import Progress
from nesting.rules.credit import credited
from stock.material import Material
from stock.offer import Offer

_MOST = Fraction(2)
_ROUNDS = 6
_GRID = Decimal("0.0001")
_STEP = Fraction(1, 1000)
"""How much nearer to a crossing prices are not looked at."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PriceLimit:
    """How far the price of a material at a yard may rise.

    Parameters
    ----------
    offer
        One that the plan buys, as quoted.
    holds
        Up to this price, in the offer's basis, nothing is cheaper by more than the cents of rounding: proved by the
        bound of a plan at that price.
    beats
        At this price another plan is cheaper; None: none is, up to twice the price.
    """

    offer: Offer
    holds: Decimal
    beats: Decimal | None


def price_limits(plan: Plan, settings: Settings, progress: Progress | None = None) -> Iterator[PriceLimit]:
    """The limit of each material and yard that a plan buys with a price.

    Parameters
    ----------
    settings
        Budget of each plan that is made; up to six for a material.
    """
    ids = {offer.id: offer for offer in plan.job.offers}
    seen: set[tuple[str, Material]] = set()
    for group in plan.groups:
        for line in group.purchases:
            offer = ids[line.offer]
            if offer.price is not None and (offer.yard, offer.material) not in seen:
                seen.add((offer.yard, offer.material))
                yield _limit(plan, offer, settings, progress)


def _limit(plan: Plan, offer: Offer, settings: Settings, progress: Progress | None) -> PriceLimit:
    holds, at, beats = Fraction(1), _MOST, None
    for _ in range(_ROUNDS):
        job = _dearer(plan.job, offer, at)
        other = make_plan(job, settings, progress)
        mine = _cost(plan, job)
        if other.bound is not None and mine - other.bound <= _rounding(plan):
            holds = at
            break
        if _cost(other, job) >= mine:
            break  # neither proved nor beaten: the last price that was proved stands
        beats = at
        crossing = _crossing(plan, other, offer, at)
        if crossing is None or crossing <= 1 or at - crossing < _STEP:
            break
        at = crossing
    return PriceLimit(
        offer=offer, holds=_price(offer, holds), beats=None if beats is None else _price(offer, beats)
    )


def _crossing(plan: Plan, other: Plan, offer: Offer, at: Fraction) -> Fraction | None:
    """Where the costs of both plans are equal, between the price of today and `at`."""
    today = Fraction(_cost(other, plan.job) - _cost(plan, plan.job))
    job = _dearer(plan.job, offer, at)
    then = Fraction(_cost(plan, job) - _cost(other, job))
    if today < 0 or then <= 0:
        return None
    return 1 + (at - 1) * today / (today + then)


def _dearer(job: Job, offer: Offer, factor: Fraction) -> Job:
    """The job with every price of a material at a yard risen alike."""
    offers = tuple(
        replace(each, price=_price(each, factor))
        if each.price is not None and (each.yard, each.material) == (offer.yard, offer.material)
        else each
        for each in job.offers
    )
    return replace(job, offers=offers)


def _price(offer: Offer, factor: Fraction) -> Decimal:
    risen = Fraction(offer.price or 0) * factor
    return (Decimal(risen.numerator) / Decimal(risen.denominator)).quantize(_GRID, ROUND_DOWN)


def _cost(plan: Plan, job: Job) -> Decimal:
    """What the layouts of a plan cost at the prices of a job: material, yard cuts, rack values, fees, less rests."""
    groups = tuple(_repriced(group, job) for group in plan.groups)
    used: dict[str, How] = {o.yard: "delivered" if o.delivered else "picked up" for o in plan.orders}
    choice = choice_made(job, groups, used)
    fees = sum((fee for *_, fee in fees_of(job, groups, choice)), Decimal(0))
    return sum((group.cost for group in groups if group.priced), Decimal(0)) + fees


def _repriced(group: GroupPlan, job: Job) -> GroupPlan:
    layouts = credited(job, group.layouts, group.priced)
    every: list[Layout | SheetLayout] = [*layouts, *group.sheets]
    purchases = purchases_of(job, every, group.priced, group.partings)
    cost = group_cost(job, every, purchases, group.priced, group.partings)
    return replace(group, layouts=layouts, purchases=purchases, cost=cost)


def _rounding(plan: Plan) -> Decimal:
    """A cent for each line that is bought: what rounding lines may differ by."""
    return Decimal("0.01") * sum(len(group.purchases) for group in plan.groups)
