"""What to order from whom, and what to take from the rack."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from typing import TypeAlias

from nesting.job import Job
from nesting.plan import GroupPlan, Layout, Parting, Plan, SheetLayout, SourceKind
from stock.offer import Offer, Yard
from stock.rack import RackPiece

Source: TypeAlias = Offer | RackPiece


@dataclass(frozen=True, slots=True, kw_only=True)
class OrderLine:
    """One size bought.

    Parameters
    ----------
    group
        Number of the group it serves, from 1, in the order of the plan.
    length
        Ticks of each stick or sheet.
    cut_by_yard
        Whether the yard is asked to cut it to that length.
    unit_price, total
        Money for one (to 0.0001) and for all (to the cent); None if unpriced.
    weight_each_kg
        Of one stick or sheet.
    partings
        How the yard parts these sticks, because they are too long to be carried home.
    """

    group: int
    offer: Offer
    length: int
    cut_by_yard: bool
    count: int
    unit_price: Decimal | None
    total: Decimal | None
    weight_each_kg: float
    partings: tuple[Parting, ...] = ()

    @property
    def yard_cuts(self) -> int:
        """How many cuts the yard makes in all these sticks."""
        return sum(parting.times * parting.cuts for parting in self.partings)

    @property
    def cut_total(self) -> Decimal:
        """Money for these cuts; nothing if the sticks have no price yet."""
        if self.total is None:
            return Decimal(0)
        return sum((parting.times * parting.charge for parting in self.partings), Decimal("0.00"))

    @property
    def weight_kg(self) -> float:
        """Of all of them."""
        return self.count * self.weight_each_kg

    @property
    def width(self) -> int | None:
        """Ticks across each sheet; None: they are sticks."""
        return self.offer.width

    @property
    def longest_side(self) -> int:
        """Ticks: what a vehicle must take."""
        return max(self.length, self.width or 0)


@dataclass(frozen=True, slots=True, kw_only=True)
class YardOrder:
    """Everything bought from one yard.

    Parameters
    ----------
    fees
        (what, money): delivery and shortfall to the minimum order.
    is_delivered
        Whether the yard brings it; else it is picked up. By its terms where the plan does not say it.
    """

    yard: Yard
    lines: tuple[OrderLine, ...]
    fees: tuple[tuple[str, Decimal], ...]
    is_delivered: bool

    @property
    def total(self) -> Decimal:
        """Money of the priced lines, of the yard cuts and the fees."""
        steel = sum((line.total for line in self.lines if line.total is not None), Decimal("0.00"))
        cuts = sum((line.cut_total for line in self.lines), Decimal(0))
        return steel + cuts + sum((fee for _, fee in self.fees), Decimal(0))

    @property
    def weight_kg(self) -> float:
        """Of all lines."""
        return sum(line.weight_kg for line in self.lines)

    @property
    def is_priced(self) -> bool:
        """Whether every line has a price."""
        return all(line.total is not None for line in self.lines)

    @property
    def trips(self) -> int:
        """How often one drives to fetch it, by weight alone; 0 if it is delivered."""
        return 0 if self.is_delivered else self.yard.trips(self.weight_kg)

    @property
    def coming(self) -> str:
        """How it comes home, if the yard has terms for that; else ""."""
        yard = self.yard
        if (yard.delivery, yard.haul_limit, yard.payload_kg) == (None, None, None):
            return ""
        if self.is_delivered:
            return "delivered"
        return "picked up" if self.trips == 1 else f"picked up in {self.trips} trips"

    @property
    def too_long(self) -> tuple[OrderLine, ...]:
        """Lines with sticks or sheets longer than the buyer can carry home, if nobody delivers them."""
        limit = self.yard.haul_limit
        if self.is_delivered or limit is None:
            return ()
        return tuple(line for line in self.lines if line.longest_side > limit and not line.partings)

    @property
    def too_heavy(self) -> tuple[OrderLine, ...]:
        """Lines with sticks or sheets of which a trip cannot carry even one, if nobody delivers them."""
        limit = self.yard.payload_kg
        if self.is_delivered or limit is None:
            return ()
        return tuple(line for line in self.lines if line.weight_each_kg > limit)


@dataclass(frozen=True, slots=True, kw_only=True)
class RackTake:
    """One piece taken from the rack for the group of that number."""

    group: int
    piece: RackPiece
    weight_kg: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Order:
    """What to get before the first cut.

    Parameters
    ----------
    yards
        In the job's order, those that are bought from.
    rack
        In the job's order.
    """

    yards: tuple[YardOrder, ...]
    rack: tuple[RackTake, ...]

    @property
    def lines(self) -> tuple[OrderLine, ...]:
        """All lines, yard by yard."""
        return tuple(line for yard in self.yards for line in yard.lines)

    @property
    def total(self) -> Decimal:
        """Money of all priced lines, yard cuts and fees."""
        return sum((yard.total for yard in self.yards), Decimal("0.00"))

    @property
    def sticks(self) -> int:
        """How many are bought; a flat bar is a stick, however it is cut."""
        return sum(line.count for line in self.lines if line.width is None)

    @property
    def sheets(self) -> int:
        """How many are bought."""
        return sum(line.count for line in self.lines if line.width is not None)

    @property
    def weight_kg(self) -> float:
        """Of all that is bought."""
        return sum(yard.weight_kg for yard in self.yards)


def order_of(plan: Plan) -> Order:
    """The order that a plan asks for.

    Parameters
    ----------
    plan
        A sound plan: every purchase names an offer of its job.

    Returns
    -------
    Order
        Lines by yard, in the order of the offers table; what the rack gives.
    """
    sources = sources_by_id(plan.job)
    lines: dict[str, list[OrderLine]] = {}
    for number, group in enumerate(plan.groups, 1):
        for bought in group.purchases:
            offer = sources["offer", bought.offer]
            assert isinstance(offer, Offer)
            line = OrderLine(
                group=number,
                offer=offer,
                length=bought.length,
                cut_by_yard=offer.cut_to_length is not None,
                count=bought.count,
                unit_price=bought.unit_price,
                total=bought.total,
                weight_each_kg=offer.material.weight_kg(bought.length, offer.width),
                partings=tuple(p for p in group.partings if p.offer == offer.id),
            )
            lines.setdefault(offer.yard, []).append(line)
    rows = {offer.id: row for row, offer in enumerate(plan.job.offers)}
    yards, orders = [], {order.yard: order for order in plan.orders}
    for yard in _yards(plan.job):
        if yard.name in lines:
            ordered = sorted(lines[yard.name], key=lambda line: (rows[line.offer.id], -line.length))
            fees = tuple((what, fee) for name, what, fee in plan.fees if name == yard.name)
            how = orders.get(yard.name)
            delivered = how.delivered if how else yard.delivery is not None
            yards.append(YardOrder(yard=yard, lines=tuple(ordered), fees=fees, is_delivered=delivered))
    return Order(yards=tuple(yards), rack=_takes(plan))


def sources_by_id(job: Job) -> dict[tuple[SourceKind, str], Source]:
    """Every offer and rack piece of a job by its kind and id, as layouts name them."""
    found: dict[tuple[SourceKind, str], Source] = {("offer", offer.id): offer for offer in job.offers}
    found.update({("rack", piece.id): piece for piece in job.rack})
    return found


def _yards(job: Job) -> list[Yard]:
    """The yards of the job's table, then those that only the offers name."""
    known = {yard.name: yard for yard in job.yards}
    for offer in job.offers:
        known.setdefault(offer.yard, Yard(name=offer.yard))
    return list(known.values())


def _takes(plan: Plan) -> tuple[RackTake, ...]:
    groups = {
        layout.source: number
        for number, group in enumerate(plan.groups, 1)
        for layout in _laid(group)
        if layout.source_kind == "rack"
    }
    return tuple(
        RackTake(
            group=groups[piece.id],
            piece=piece,
            weight_kg=piece.material.weight_kg(piece.length, piece.width),
        )
        for piece in plan.job.rack
        if piece.id in groups
    )


def _laid(group: GroupPlan) -> tuple[Layout | SheetLayout, ...]:
    return (*group.layouts, *group.sheets)
