"""A bound that knows of minimum orders, from prices with a relief.

What a yard with a minimum order is paid, the larger of minimum M and steel lines L, is at least s M + (1 - s) L for any
share s from 0 to 1. So a plan that buys there costs at least s M and what the groups cost at the least with the yard's
prices lowered to 1 - s of what they are. At s = 1 its steel is free, once the minimum is paid. What rests earn stays
what it is at full prices, so where they earn, prices fall no lower than that.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from decimal import ROUND_CEILING, Decimal
from typing import TypeAlias

from nesting.job import Job
from nesting.rules.sources import Group

Relief: TypeAlias = Mapping[str, Decimal]
"""By yard, the share by which its prices are lowered."""

_SHARES = tuple(map(Decimal, ("0.01", "0.02", "0.04", "0.08", "0.16", "0.32", "0.64", "1")))
"""Shares that are tried first; where a yard is a little dearer than another, a small one tells most."""

_ROUNDED_UP = Decimal("1e-20")
"""More than a quotient loses by rounding."""


def best_share(
    bound_at: Callable[[Relief], Decimal], relief: Relief, name: str, is_enough: Callable[[Decimal], bool]
) -> tuple[Relief, Decimal]:
    """A relief with the best share of one more yard, and its bound: uphill over the shares, then between them.

    Parameters
    ----------
    bound_at
        The bound at a relief; it rises up to the best share and falls from there.
    relief
        Of the yards before.
    name
        The yard.
    is_enough
        Whether a bound is so good that no more need be tried.
    """
    known: dict[Decimal, Decimal] = {}

    def at(share: Decimal) -> Decimal:
        if share not in known:
            known[share] = bound_at({**relief, name: share})
        return known[share]

    def beside(place: int) -> list[int]:
        return [n for n in (place + 1, place - 1) if 0 <= n < len(_SHARES)]

    place = 3
    while not is_enough(at(_SHARES[place])):
        better = [n for n in beside(place) if at(_SHARES[n]) > at(_SHARES[place])]
        if not better:
            break
        place = better[0]
    for other in beside(place):
        if not is_enough(max(known.values())):
            at((_SHARES[place] + _SHARES[other]) / 2)
    share = max(known, key=lambda share: known[share])
    return {**relief, name: share}, known[share]


def relieved(job: Job, group: Group, relief: Relief) -> Job | None:
    """The job at lowered prices, where the rests of a group's sticks earn no less than at full ones.

    None if they would earn more than the sticks cost.
    """
    offers = {
        o.id: o
        if o.price is None or o.yard not in relief
        else replace(o, price=o.price * (1 - relief[o.yard]))
        for o in job.offers
    }
    shop, most = job.shop, Decimal(1)
    if shop.offcut_share or shop.scrap_price:
        for full in group.offers:
            lowered = offers[full.id]
            if full.price is None or full.price == lowered.price or full.cut_to_length is not None:
                continue
            scrap = (shop.scrap_price or 0) * lowered.unit_weight()
            if scrap > lowered.unit_price() or not lowered.unit_price():
                return None
            most = max(most, full.unit_price() / lowered.unit_price() + _ROUNDED_UP)
    share = shop.offcut_share * most
    return (
        None
        if share > 1
        else replace(job, offers=tuple(offers.values()), shop=replace(shop, offcut_share=share))
    )


def rounding(job: Job, group: Group) -> Decimal:
    """What rounding may be worth in a group at lowered prices: taken off its bound, which is then safe.

    A line, one for each offer and for each length that a yard cuts, loses half a cent at the most, and nothing if one
    stick costs whole cents; lowering the price of a stick, of which there is at most one for each piece, loses half a
    ten-thousandth.
    """
    pieces = sum(job.copies(part) for part in group.parts)
    lines = 0
    for offer in group.offers:
        if offer.cut_to_length is not None:
            lines += pieces
        elif not is_whole_cents(offer.unit_price()):
            lines += 1
    return lines * Decimal("0.005") + pieces * Decimal("0.00005")


def is_whole_cents(money: Decimal) -> bool:
    """Whether an amount is printed as it is."""
    return money == money.quantize(Decimal("0.01"))


def rounded_up(job: Job, bound: Decimal) -> Decimal:
    """The bound of a job at the next cent, if all that is paid and earned is whole cents: lines always are."""
    fees = [
        money for y in job.yards for money in (y.delivery, y.minimum_order, y.cut_charge) if money is not None
    ]
    if all(map(is_whole_cents, [*fees, *(piece.value for piece in job.rack)])):
        return bound.quantize(Decimal("0.01"), ROUND_CEILING)
    return bound
