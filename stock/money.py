"""Money: unit prices to 0.0001, lines to the cent, totals as sums of lines.

The solver counts in whole ten-thousandths (`Cost`), so that its sums are exact integers.
"""

from __future__ import annotations

from decimal import ROUND_HALF_UP, Decimal
from typing import TypeAlias

Cost: TypeAlias = int
"""Money (or, in an unpriced group, kilograms) in whole ten-thousandths."""

_UNIT = Decimal("0.0001")
_CENT = Decimal("0.01")


def unit_price(amount: Decimal) -> Decimal:
    """Round the price of one stick or sheet to 0.0001, half up.

    >>> unit_price(Decimal("62.46845"))
    Decimal('62.4685')
    """
    return amount.quantize(_UNIT, ROUND_HALF_UP)


def line_total(count: int, price: Decimal) -> Decimal:
    """Money for `count` at a unit price, to the cent, half up.

    >>> line_total(7, Decimal("62.4680"))
    Decimal('437.28')
    """
    return (count * price).quantize(_CENT, ROUND_HALF_UP)


def to_cost(price: Decimal) -> Cost:
    """A unit price as whole ten-thousandths.

    Raises ValueError if the price is not on that grid.

    >>> to_cost(Decimal("62.468"))
    624680
    """
    scaled = price.scaleb(4)
    if scaled != scaled.to_integral_value():
        raise ValueError(f"{price} is not a multiple of 0.0001")
    return int(scaled)


def from_cost(cost: Cost) -> Decimal:
    """Whole ten-thousandths as a Decimal with four places.

    >>> from_cost(624680)
    Decimal('62.4680')
    """
    return Decimal(cost).scaleb(-4)
