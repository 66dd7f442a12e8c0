"""What a job allows: which part may be cut from which source, on which saw, and what one stick costs.

A *size* is what a yard sells at prices that depend on the quantity: the offers of one yard, material and
length that differ in price and `from_qty` only. It is bought at the price of one of its rows, and its limit
holds for all of them.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import TypeAlias

from nesting.job import Job, Part, Saw
from stock.errors import BadPrice
from stock.material import Material, fits
from stock.money import Cost, to_cost
from stock.offer import Offer
from stock.rack import RackPiece

Source: TypeAlias = Offer | RackPiece


@dataclass(frozen=True, slots=True)
class Size:
    """Offers that are one size, by the quantity from which their price holds.

    Parameters
    ----------
    rows
        The offers.
    limit
        How many there are of this size; None: any number.
    """

    rows: tuple[Offer, ...]
    limit: int | None

    @property
    def reachable(self) -> tuple[Offer, ...]:
        """Rows whose quantity can be had."""
        return tuple(o for o in self.rows if self.limit is None or o.from_qty <= self.limit)


@dataclass(frozen=True, slots=True)
class Ends:
    """What the ends of a stick take on a saw.

    Parameters
    ----------
    head
        Ticks trimmed off the end that is cut first.
    tail
        Ticks at the far end that sum(extent + kerf) must leave; below zero if the last kerf may be missing.
    """

    head: int
    tail: int


def ends(clean: int, saw: Saw) -> Ends:
    """What the ends of a stick with so many clean ends take: a single clean end is put first."""
    far = 0 if clean == 2 else saw.trim
    tail = far - saw.kerf
    return Ends(head=0 if clean else saw.trim, tail=max(tail, saw.grip) if saw.grip > 0 else tail)


class Supply:
    """A job, looked up by name."""

    def __init__(self, job: Job) -> None:
        self.job = job
        self.parts = {p.mark: p for p in job.parts}
        self.offers = {o.id: o for o in job.offers}
        self.rack = {r.id: r for r in job.rack}
        self.saws = {s.name: s for s in job.saws}
        self._may: dict[tuple[Material, Material], bool] = {}

    @cached_property
    def copies(self) -> dict[str, int]:
        """Pieces needed of each mark: per assembly, times the assemblies."""
        made = {a.name: a.qty for a in self.job.assemblies}
        return {p.mark: p.qty * made.get(p.assembly, 1) for p in self.job.parts}

    @cached_property
    def size_of(self) -> dict[str, Size]:
        """The size that each offer belongs to, by the offer's id."""
        rows: dict[object, list[Offer]] = {}
        for o in self.job.offers:
            key = (o.yard, o.material, o.length, o.longest, o.width, o.clean_ends, o.cut_to_length)
            rows.setdefault(key, []).append(o)
        sizes = {}
        for together in rows.values():
            stated = [o.available for o in together if o.available is not None]
            size = Size(tuple(together), min(stated, default=None))
            sizes.update({o.id: size for o in together})
        return sizes

    def may_cut(self, part: Part, source: Source) -> bool:
        """Whether the material of a source will do for a part, by itself or by a row of the allow table."""
        key = (part.material, source.material)
        if key not in self._may:
            self._may[key] = fits(*key) or any(
                fits(part.material, a.part) and a.offer == source.material for a in self.job.allow
            )
        return self._may[key]


def saw_takes(saw: Saw, source: Source) -> bool:
    """Whether a section goes through a saw."""
    return saw.max_size is None or source.material.largest_side <= saw.max_size


def saw_turns(saw: Saw, part: Part) -> bool:
    """Whether a saw can be set to the angles of a part."""
    return saw.max_angle is None or max(part.end_a, part.end_b) <= saw.max_angle


def unit_cost(offer: Offer, length: int, priced: bool) -> Cost | None:
    """What one stick adds to the objective: ten-thousandths of money, or of a kilogram in an unpriced group.

    Returns None where the offer has no price that holds for it.
    """
    asked = None if offer.cut_to_length is None else length
    try:
        return to_cost(offer.unit_price(asked) if priced else offer.unit_weight(asked))
    except BadPrice:
        return None


def line_cost(count: int, cost: Cost) -> Cost:
    """Money of a line in ten-thousandths: the whole count, then to the cent, half up."""
    return (count * cost + 50) // 100 * 100
