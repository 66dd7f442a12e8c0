"""What the rest of a stick earns, reckoned again from its definition.

A tick of a rest that is kept earns `offcut_share` of what a tick of the bought stick cost, or what it fetches as scrap
if that is more; of a rack piece its value by length. A tick of a shorter rest earns its price as scrap, by weight.
None earns more than it cost. For each stick the sum is cut down to whole cents. Nothing is earned in groups that count
kilograms, and none by sheets, by what a yard cuts to length, and by a segment of a parted stick that holds no part.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from nesting.check.fill import settled_rest
from nesting.check.supply import Supply, line_cost, unit_cost
from nesting.check.ways import Source
from nesting.plan import GroupPlan, Layout
from stock.money import Cost, to_cost, unit_price
from stock.offer import Offer


@dataclass(frozen=True, slots=True)
class Earning:
    """Ten-thousandths that a tick of the rest earns, kept and not kept."""

    kept: Fraction
    scrap: Fraction

    @property
    def is_none(self) -> bool:
        """Whether nothing is earned in any case."""
        return not self.kept and not self.scrap

    def of(self, rest: int, keep: bool) -> Cost:
        """What the rest of one stick earns."""
        exact = (self.kept if keep else self.scrap) * rest
        return exact.numerator // exact.denominator // 100 * 100


def earning(supply: Supply, group: GroupPlan, source: Source, stick: Cost | None = None) -> Earning:
    """What a source's rests earn in a group.

    Parameters
    ----------
    stick
        Cost of the whole stick; None: as the offer or the rack piece says.
    """
    cost, to_length = stick, False
    if isinstance(source, Offer):
        cost = unit_cost(source, source.length, True) if stick is None else stick
        to_length = source.cut_to_length is not None
    elif stick is None:
        cost = to_cost(source.value)
    if not group.priced or to_length or cost is None or source.width is not None:
        return Earning(Fraction(0), Fraction(0))
    shop = supply.job.shop
    scrap = min(Fraction(cost), 10_000 * Fraction(shop.scrap_price or 0) * _kilograms(source))
    share = Fraction(shop.offcut_share) if isinstance(source, Offer) else Fraction(1)
    return Earning(max(share * cost, scrap) / source.length, scrap / source.length)


def _kilograms(source: Source) -> Fraction:
    """Of one stick, to 0.0001."""
    return Fraction(unit_price(Decimal(source.material.weight_kg(source.length))))


@dataclass(frozen=True, slots=True)
class Line:
    """A straight line below what a stick costs that is filled up to some capacity.

    Parameters
    ----------
    capacity
        Ticks for sum(extent + kerf) up to which it is asked about.
    slope
        Certificate units a tick used.
    least
        Certificate units at nothing used, rounded down.
    """

    capacity: int
    slope: Fraction
    least: int


def lines_below(
    cost: Cost, rates: Earning, capacity: int, rest: int, keep_length: int, scale: int
) -> list[Line]:
    """Lines below the cost of a stick less what its rest earns, that together speak of every filling.

    Up to where the rest is worth keeping the line of kept rests; and up to the whole capacity that of scrap, which is
    no less true where more is earned, but says too much there: the first line is the one that counts.

    Parameters
    ----------
    rest
        Ticks that are left if nothing is cut from the stick.
    scale
        Certificate units per ten-thousandth.
    """
    zero = max(rest, capacity)

    def line(upto: int, rate: Fraction) -> Line:
        return Line(upto, scale * rate, (scale * (cost - rate * zero)).__floor__())

    kept = min(capacity, rest - max(1, keep_length))
    found = [line(kept, rates.kept)] if kept > 0 else []
    return found if kept == capacity else [*found, line(capacity, rates.scrap)]


def stick_credit(supply: Supply, group: GroupPlan, layout: Layout) -> Cost:
    """What the rest of one stick of a layout earns; 0 if its source is unknown, or it is a segment without parts."""
    shelf: Mapping[str, Source] = supply.rack if layout.source_kind == "rack" else supply.offers
    source = shelf.get(layout.source)
    if source is None or (layout.segment is not None and not _holds_parts(layout, supply)):
        return 0
    return earning(supply, group, source).of(*settled_rest(layout, supply))


def _holds_parts(layout: Layout, supply: Supply) -> bool:
    """Whether a layout holds a piece that must be made: spare ones are cut from what would be left."""
    return any(p.mark in supply.parts and supply.parts[p.mark].fill is None for p in layout.pieces)


def total_credit(supply: Supply, group: GroupPlan) -> Cost:
    """What all rests of a group earn: one line for each layout, to the cent."""
    return sum(line_cost(x.times, stick_credit(supply, group, x)) for x in group.layouts)
