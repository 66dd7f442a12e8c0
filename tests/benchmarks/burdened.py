"""Shop jobs with what makes sticks more than lengths: a haul limit with paid yard cuts, and offcuts that earn."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

from nesting.job import Job
from stock.length import PER_INCH
from stock.offer import Yard

_LIMIT = 15 * 12 * PER_INCH
"""Between the sticks of the benchmark: most have to be parted, the shortest has not."""
_CHARGE = Decimal("3.50")


def with_haul_limit(job: Job) -> Job:
    """Every yard that can be picked up from has a haul limit, 15 ft where none is given, and cuts for a charge."""
    return replace(job, yards=tuple(_hauled(yard) for yard in job.yards))


def with_offcut_value(job: Job) -> Job:
    """What is left of a stick, from 2 ft on, earns half its price by length; rack pieces are worth something too."""
    per_tick = min(o.unit_price() / o.length for o in job.offers) / 2
    rack = tuple(replace(piece, value=round(per_tick * piece.length, 2)) for piece in job.rack)
    shop = replace(job.shop, offcut_share=Decimal("0.5"), keep_length=24 * PER_INCH)
    return replace(job, rack=rack, shop=shop)


def _hauled(yard: Yard) -> Yard:
    if yard.delivery is not None and yard.haul_limit is None:
        return yard
    return replace(
        yard,
        haul_limit=yard.haul_limit or _LIMIT,
        cut_charge=_CHARGE,
        cut_tolerance=PER_INCH // 4,
        cut_kerf=PER_INCH // 8,
    )
