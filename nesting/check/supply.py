"""What a job allows: which part may be cut from which source, on which saw, and what one stick costs.

A *size* is what a yard sells at prices that depend on the quantity: the offers of one yard, material and
length that differ in price and `from_qty` only. It is bought at the price of one of its rows, and its limit
holds for all of them.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator
from dataclasses import dataclass
from functools import cached_property

from nesting.check.ways import Source, Way, flat_lies, is_flat_bar, sawn_extent, ways
from nesting.job import Job, Part, Saw
from nesting.plan import GroupPlan, Layout, SheetLayout
from stock.errors import BadPrice
from stock.material import Material, fits, fits_flat
from stock.money import Cost, to_cost
from stock.offer import Offer, Yard


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


def ends(clean: int, saw: Saw, cut: int) -> Ends:
    """What the ends of a stick with so many clean ends take: a single clean end is put first.

    A cut is `cut` ticks wide, safety included; the trims do not grow with it.
    """
    far = 0 if clean == 2 else saw.trim
    tail = far - cut
    return Ends(head=0 if clean else saw.trim, tail=max(tail, saw.grip) if saw.grip > 0 else tail)


class Supply:
    """A job, looked up by name."""

    def __init__(self, job: Job, delivered: Collection[str] = ()) -> None:
        self.job = job
        self.parts = {p.mark: p for p in job.parts}
        self.offers = {o.id: o for o in job.offers}
        self.rack = {r.id: r for r in job.rack}
        self.saws = {s.name: s for s in job.saws}
        self.hauled = {y.name: y for y in job.yards if y.haul_limit is not None and y.name not in delivered}
        self._serves: dict[tuple[Material, Material], bool] = {}
        self._ways: dict[tuple[type, str], tuple[Way, ...]] = {}

    def cut(self, saw: Saw) -> int:
        """Ticks planned for one square cut: kerf and safety."""
        return saw.kerf + self.job.shop.kerf_safety

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

    def serves(self, part: Material, source: Material) -> bool:
        """Whether a source's material will do for a part's: as it is, as flat bar for plate, or by an allow row."""
        key = (part, source)
        if key not in self._serves:
            self._serves[key] = (
                fits(part, source)
                or fits_flat(part, source)
                or any(fits(part, a.part) and a.offer == source for a in self.job.allow)
            )
        return self._serves[key]

    def may_come(self, part: Part, source: Source) -> bool:
        """Whether a part may come from a source: the material serves, and a flat bar can be cut to a plate part.

        A part that names a rack piece or a heat comes from there alone. Whether any other source is large enough is not
        asked here.
        """
        if not names(part, source) or not self.serves(part.material, source.material):
            return False
        if not part.is_plate or not is_flat_bar(source):
            return True
        return sawn_extent(part, source) is not None or any(
            flat_lies(part, source, way) for way in self.ways(source)
        )

    def is_too_long(self, source: Source) -> bool:
        """Whether a bar cannot be carried home as it is sold; what is cut to length can be had shorter."""
        if not isinstance(source, Offer) or source.width is not None or source.cut_to_length is not None:
            return False
        yard = self.hauled.get(source.yard)
        return yard is not None and source.length > (yard.haul_limit or 0)

    def stays(self, source: Source) -> bool:
        """Whether a sheet stays at its yard.

        Picked up there, one of its sides is longer than can be carried; or the shop takes in none so large or heavy.
        """
        if not isinstance(source, Offer) or source.width is None:
            return False
        yard = self.hauled.get(source.yard)
        longest = max(source.length, source.width)
        return (yard is not None and longest > (yard.haul_limit or 0)) or self.is_refused(source)

    def is_refused(self, source: Source) -> bool:
        """Whether the shop takes in no sheet so large or heavy from a yard."""
        if not isinstance(source, Offer) or source.width is None:
            return False
        shop, sides = self.job.shop, sorted((source.length, source.width))
        weight = source.material.weight_kg(source.length, source.width)
        if shop.heaviest_sheet is not None and weight > shop.heaviest_sheet:
            return True
        most = sides if shop.largest_sheet is None else sorted(shop.largest_sheet)
        return any(side > limit for side, limit in zip(sides, most, strict=True))

    def parting_yard(self, source: Source) -> Yard | None:
        """The yard that parts a stick, because it is too long to be carried home; None: it comes as it is."""
        return self.hauled[source.yard] if isinstance(source, Offer) and self.is_too_long(source) else None

    def longest_had(self, source: Source) -> int:
        """Ticks of the longest stick that comes home in one piece from an offer, or of a rack piece."""
        yard = self.hauled.get(source.yard) if isinstance(source, Offer) else None
        return source.length if yard is None else min(source.length, yard.haul_limit or 0)

    def ways(self, source: Source) -> tuple[Way, ...]:
        """Every way to cut a source in two dimensions; see `nesting.check.ways`. None of a sheet that must stay."""
        if self.stays(source):
            return ()
        key = (type(source), source.id)
        if key not in self._ways:
            self._ways[key] = ways(self.job, source)
        return self._ways[key]


def cut_alike(group: GroupPlan) -> tuple[Layout | SheetLayout, ...]:
    """All sticks and sheets of a group."""
    return (*group.layouts, *group.sheets)


def bought_of(group: GroupPlan) -> Iterator[tuple[str, int, int]]:
    """(offer, length, number) of all that a group buys: sticks and sheets that come home whole, and parted sticks."""
    for layout in cut_alike(group):
        if layout.source_kind == "offer" and (isinstance(layout, SheetLayout) or layout.segment is None):
            yield layout.source, layout.length, layout.times
    for parting in group.partings:
        yield parting.offer, parting.length, parting.times


def names(part: Part, source: Source) -> bool:
    """Whether a part leaves it open where it comes from, or names this piece of the rack or its heat."""
    if part.source == "":
        return True
    return not isinstance(source, Offer) and (source.id == part.source or source.heat == part.source)


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
