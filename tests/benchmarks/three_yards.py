"""Shop jobs with three yards that charge: a delivery, a minimum order and a haul limit beside the prices."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import numpy as np

from nesting.job import Job
from stock.length import PER_INCH
from stock.offer import Offer, Yard

_FOOT = 12 * PER_INCH


def with_fees(job: Job, seed: int) -> Job:
    """Every offer at three yards: the first delivers and is dear, the next have minimum orders, the last a haul limit.

    Fees are a few hundredths of what the job costs, so that no choice is plain.
    """
    rng = np.random.default_rng(seed)
    least = _least(job)
    yards = (
        Yard(name="Yard", delivery=_share(least, 0.01), payload_kg=None),
        Yard(name="Bridge yard", minimum_order=_share(least, float(rng.uniform(0.2, 1.0)))),
        Yard(
            name="Gate yard",
            delivery=_share(least, 0.03),
            minimum_order=_share(least, 0.1),
            haul_limit=20 * _FOOT,
        ),
    )
    factors = (1.0, 1.02, 0.98)
    offers = [
        _at(offer, yard.name, number + 1, factor * float(rng.uniform(0.98, 1.02)))
        for number, (offer, yard, factor) in enumerate(
            (offer, yard, factor) for yard, factor in zip(yards, factors, strict=True) for offer in job.offers
        )
    ]
    return replace(job, yards=yards, offers=tuple(offers))


def _least(job: Job) -> float:
    """What the parts cost at the least if nothing were lost."""
    per_tick = min(float(o.unit_price()) / o.length for o in job.offers)
    return per_tick * sum(p.extent * job.copies(p) for p in job.parts)


def _share(money: float, share: float) -> Decimal:
    return Decimal(f"{money * share:.2f}")


def _at(offer: Offer, yard: str, number: int, factor: float) -> Offer:
    assert offer.price is not None
    return replace(
        offer, id=f"offer {number}", yard=yard, price=Decimal(f"{float(offer.price) * factor:.2f}")
    )
