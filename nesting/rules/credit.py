"""What the rest of a stick earns: an offcut worth keeping a share of its price, a shorter rest its price as scrap.

Reckoned for one stick at a time, in whole cents, rounded down. Nothing earns more than it cost, so that nothing is cut
to earn. Of a stick that a yard parts each segment is reckoned by itself, and one without pieces earns nothing: it may
stay at the yard. Material cut to length leaves no rest to speak of; sheets earn nothing yet.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from decimal import Decimal
from fractions import Fraction

from nesting.job import Job, Shop
from nesting.plan import Layout
from stock.money import Cost, from_cost, line_total, unit_price
from stock.offer import Offer
from stock.rack import RackPiece

_CENT: Cost = 100


@dataclass(frozen=True, slots=True)
class Earns:
    """What a tick of a stick's rest earns, ten-thousandths of money.

    Parameters
    ----------
    kept
        Where the rest is worth keeping.
    scrap
        Where it is not; never more than `kept`.
    """

    kept: Fraction = Fraction(0)
    scrap: Fraction = Fraction(0)

    def of(self, rest: int, keep: bool) -> Decimal:
        """Money for the rest of one stick, to the cent, rounded down."""
        return from_cost(int((self.kept if keep else self.scrap) * rest / _CENT) * _CENT)


NOTHING = Earns()


def earns(shop: Shop, source: Offer | RackPiece, price: Decimal) -> Earns:
    """What the rest of a whole stick earns.

    Parameters
    ----------
    price
        Money for the whole stick: unit price of a bought one, value of a rack piece.

    Returns
    -------
    Earns
        A bought stick: `offcut_share` of its price by length, or what it fetches as scrap if that is more; a rack
        piece: its value by length. Scrap: by weight, at most what the stick cost.
    """
    if source.width is not None or (isinstance(source, Offer) and source.cut_to_length is not None):
        return NOTHING
    whole = Fraction(price)
    weight = Fraction(unit_price(Decimal(source.material.weight_kg(source.length, source.width))))
    scrap = min(whole, Fraction(shop.scrap_price or 0) * weight)
    kept = max(scrap, whole * Fraction(shop.offcut_share)) if isinstance(source, Offer) else whole
    return Earns(kept * 10_000 / source.length, scrap * 10_000 / source.length)


def credited(job: Job, layouts: Iterable[Layout], priced: bool) -> tuple[Layout, ...]:
    """The layouts of a group with what their rests earn, if it counts money."""
    if not priced:
        return tuple(layouts)
    offers, rack = {o.id: o for o in job.offers}, {r.id: r for r in job.rack}
    done = []
    for layout in layouts:
        if layout.segment is not None and not layout.pieces:
            rates = NOTHING
        elif layout.source_kind == "offer":
            offer = offers[layout.source]
            rates = earns(job.shop, offer, offer.unit_price())
        else:
            rates = earns(job.shop, rack[layout.source], rack[layout.source].value)
        done.append(replace(layout, credit=rates.of(layout.rest, layout.keep)))
    return tuple(done)


def credit_of(layouts: Iterable[Layout]) -> Decimal:
    """What the rests of these layouts earn together: a line for each."""
    return sum((line_total(layout.times, layout.credit) for layout in layouts), Decimal(0))
