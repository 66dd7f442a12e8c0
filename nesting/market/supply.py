"""What the parts of a group can be cut from, as whole numbers: sizes, rack pieces, saws, what each stick costs.

A *size* is what a yard sells at prices that depend on the quantity: offers of one yard, material and length that
differ in price and `from_qty` only. A *choice* names, for each size, the row it is bought at.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from decimal import Decimal
from fractions import Fraction
from itertools import product

from nesting.bars.problem import Source
from nesting.job import Job, Part, Saw
from nesting.rules.credit import NOTHING, Earns
from nesting.rules.hauling import is_too_long
from nesting.rules.lots import Lot, comes_from, lots_of
from nesting.rules.sheet_ways import sawn_extents, width_of
from nesting.rules.sources import Group, serves
from nesting.rules.stick_ways import longest_extent, takes
from nesting.rules.turns import on_bar
from stock.money import Cost, to_cost
from stock.offer import Offer
from stock.rack import RackPiece


@dataclass(frozen=True, slots=True)
class Size:
    """One size at all its prices.

    Parameters
    ----------
    rows
        Offers, by rising `from_qty`.
    limit
        How many there are; None: any number.
    """

    rows: tuple[Offer, ...]
    limit: int | None


@dataclass(frozen=True, slots=True)
class Alike:
    """Rack pieces that are the same to the solver."""

    pieces: tuple[RackPiece, ...]


@dataclass(frozen=True, slots=True)
class Supplied:
    """A source of a problem, what it stands for and what one stick or sheet costs.

    Parameters
    ----------
    rate
        Cost per tick of material cut to length; (0, 1) if it is not.
    earns
        What the rest of a stick earns.
    """

    origin: Offer | Alike
    source: Source
    cost: Cost
    rate: tuple[int, int]
    earns: Earns = NOTHING

    @property
    def one(self) -> Offer | RackPiece:
        """The offer, or one of the rack pieces that are alike."""
        return self.origin if isinstance(self.origin, Offer) else self.origin.pieces[0]


@dataclass(frozen=True, slots=True)
class Kind:
    """Parts that are the same to the solver: one size, the same places to cut it from. Or one lot, cut as a whole.

    Parameters
    ----------
    extent
        Ticks; of a lot those of its pieces together, without the cuts between them.
    parts
        In job order.
    lot
        The parts as they come together; None: each piece may come from another stick.
    """

    extent: int
    parts: tuple[Part, ...]
    lot: Lot | None = None

    @property
    def part(self) -> Part:
        """One of them, for what they share."""
        return self.parts[0]

    @property
    def pieces(self) -> int:
        """How many pieces one item of it is."""
        return 1 if self.lot is None else len(self.lot.pieces)

    def demand(self, job: Job) -> int:
        """How many items of it the job needs."""
        return sum(job.copies(part) for part in self.parts) if self.lot is None else self.lot.count

    def in_a_row(self, source: Offer | RackPiece, extent: int) -> tuple[Part, ...]:
        """The part of each of its pieces as it lies on a bar; of a plate part one that takes as much of it."""
        if self.part.is_plate:
            return (replace(self.part, extent=extent),)
        pieces = (self.part,) if self.lot is None else self.lot.pieces
        return tuple(on_bar(part, source.material) for part in pieces)

    @property
    def reach(self) -> int:
        """Ticks of bar that one item takes at the least, the cuts between its pieces not counted.

        Mitred pieces of a lot may lie in each other's waste: then it is known of the longest alone.
        """
        is_mitred = any(part.is_mitred for part in self.parts)
        return max(part.extent for part in self.parts) if is_mitred and self.lot is not None else self.extent

    def sawn(self, source: Offer | RackPiece) -> tuple[int, ...]:
        """Ticks along a stick that a piece takes if it is sawn to length; none if it cannot be."""
        if not self.part.is_plate:
            return (self.extent,)
        return sawn_extents(self.part, width_of(source)) if source.width is None else ()


def is_priced(group: Group) -> bool:
    """Whether the group's plan counts money: its offers have prices, or there are none."""
    return not group.offers or any(o.price is not None for o in group.offers)


def sizes_of(group: Group) -> tuple[Size, ...]:
    """Sizes in the job's order; rows that cannot be reached are left out."""
    together: dict[object, list[Offer]] = {}
    for o in group.offers:
        key = (o.yard, o.material, o.length, o.longest, o.width, o.clean_ends, o.cut_to_length)
        together.setdefault(key, []).append(o)
    sizes = []
    for rows in together.values():
        limit = min((o.available for o in rows if o.available is not None), default=None)
        reachable = [o for o in rows if limit is None or o.from_qty <= limit]
        if reachable:
            sizes.append(Size(tuple(sorted(reachable, key=lambda o: o.from_qty)), limit))
    return tuple(sizes)


def choices_of(sizes: tuple[Size, ...]) -> Iterator[tuple[tuple[Offer, int], ...]]:
    """Every way to settle the quantity breaks: for each size the row bought at, and how many must be bought."""
    ways = []
    for size in sizes:
        own: list[tuple[Offer, int]] = []
        if size.rows[0].from_qty > 1:
            own.append((size.rows[0], -1))  # not bought at all
        own += [(o, o.from_qty if o.from_qty > 1 else 0) for o in size.rows]
        ways.append(own)
    return (tuple(way) for way in product(*ways))


def alike(group: Group) -> tuple[Alike, ...]:
    """Rack pieces of the same material, size, ends and value together, unless parts name one of them or its heat."""
    named = {part.source for part in group.parts}
    together: dict[object, list[RackPiece]] = {}
    for piece in group.rack:
        names = frozenset({piece.id, piece.heat} & named)
        key = (piece.material, piece.length, piece.width, piece.clean_ends, piece.value, names)
        together.setdefault(key, []).append(piece)
    return tuple(Alike(tuple(pieces)) for pieces in together.values())


def stick_cost(offer: Offer, priced: bool) -> tuple[Cost, tuple[int, int]]:
    """Cost of one stick, and cost per tick where it is cut to length; ten-thousandths of money or of a kilogram."""
    if offer.cut_to_length is None:
        return to_cost(offer.unit_price() if priced else offer.unit_weight()), (0, 1)
    charge = offer.cut_to_length if priced else Decimal(0)
    whole = Fraction(offer.unit_price() if priced else offer.unit_weight()) - Fraction(charge)
    rate = offer.price_per_tick() * 10_000 if priced else whole * 10_000 / offer.length
    return to_cost(charge), (rate.numerator, rate.denominator)


def kinds_of(job: Job, group: Group) -> tuple[Kind, ...]:
    """Parts of the group by size and by what they can be cut from and on, and its lots; longest first."""
    test = serves(job)
    materials = tuple(dict.fromkeys([o.material for o in group.offers] + [r.material for r in group.rack]))
    lots = lots_of(job, group.parts)
    bound = {part.mark for lot in lots for part, _ in lot.parts}
    together: dict[tuple[int, object], list[Part]] = defaultdict(list)
    for part in (part for part in group.parts if part.mark not in bound):
        from_these = tuple(m for m in materials if test(part.material, m))
        on_these = tuple(s.name for s in job.saws if saw_can(s, part))
        lies = (part.width, part.turn == "quarter", part.process) if part.is_plate else None
        together[part.extent, (from_these, part.source, on_these, lies, _ends(part))].append(part)
    kinds = [Kind(key[0], tuple(parts)) for key, parts in together.items()]
    kinds += [Kind(lot.extent, tuple(part for part, _ in lot.parts), lot) for lot in lots]
    return tuple(sorted(kinds, key=lambda kind: -kind.extent))


def may_give(job: Job) -> Callable[[Kind, Offer | RackPiece], bool]:
    """The test whether a source may give a kind of part: its material serves, and no part names another one."""
    test = serves(job)

    def may(kind: Kind, source: Offer | RackPiece) -> bool:
        return all(comes_from(p, source) and test(p.material, source.material) for p in kind.parts)

    return may


def _ends(part: Part) -> object:
    """What parts share that lie alike beside others: nothing to ask of square ends."""
    if not part.is_mitred:
        return None
    return part.end_a, part.end_b, part.lean, part.plane, part.flip, part.material.section


def saw_can(saw: Saw, part: Part) -> bool:
    """Whether a saw can be set to the angles of a part."""
    return saw.max_angle is None or max(part.end_a, part.end_b) <= saw.max_angle


def saws_for(job: Job, source: Offer | RackPiece) -> list[Saw]:
    """Saws worth cutting a stick on: those that take it, without those that another beats in kerf and ends.

    The segments of a stick that the yard parts differ in their ends: every saw that takes it is worth a look.
    """
    able = [s for s in job.saws if takes(s, source.material)]
    if is_too_long(job, source):
        return able
    room = {s.name: longest_extent(job, source.length, source.clean_ends, s) for s in able}

    def beaten(saw: Saw) -> bool:
        for other in able:
            if other is saw or (other.max_angle is not None and other.max_angle != saw.max_angle):
                continue
            mine, theirs = ((s.kerf, -room[s.name], s.trim) for s in (saw, other))
            if all(t <= m for t, m in zip(theirs, mine, strict=True)) and (
                theirs != mine or able.index(other) < able.index(saw)
            ):
                return True
        return False

    return [s for s in able if not beaten(s)]
