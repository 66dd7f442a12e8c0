"""Yards, what they offer, and what one stick of an offer costs, whatever the price is quoted by."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum
from fractions import Fraction
from math import ceil

from stock.errors import BadPrice, BadValue
from stock.length import PER_INCH, PER_MM
from stock.material import Material
from stock.money import unit_price

KG_PER_LB = Fraction("0.45359237")
"""Exact: the international avoirdupois pound of 1959."""


class Basis(StrEnum):
    """What a quoted price is for."""

    EACH = "each"
    FOOT = "ft"
    METRE = "m"
    POUND = "lb"
    HUNDREDWEIGHT = "cwt"
    KILOGRAM = "kg"
    SQUARE_FOOT = "sq ft"
    SQUARE_METRE = "m2"


_KG_IN = {Basis.KILOGRAM: Fraction(1), Basis.POUND: KG_PER_LB, Basis.HUNDREDWEIGHT: 100 * KG_PER_LB}
_SPELLINGS = {
    Basis.EACH: "each ea pc pcs piece stick bar length sheet",
    Basis.FOOT: "ft foot feet lf lin_ft linear_foot linear_ft '",
    Basis.METRE: "m metre meter lin_m",
    Basis.POUND: "lb lbs pound pounds #",
    Basis.HUNDREDWEIGHT: "cwt 100_lb 100_lbs 100lb hundredweight",
    Basis.KILOGRAM: "kg kilogram kilo",
    Basis.SQUARE_FOOT: "sq_ft sqft sf ft2 square_foot square_feet",
    Basis.SQUARE_METRE: "m2 sq_m sqm square_metre square_meter",
}
_BASIS_OF = {word.replace("_", " "): basis for basis, words in _SPELLINGS.items() for word in words.split()}


def parse_basis(text: str) -> Basis:
    """What a price is per: "/ft", "per foot", "ea", "100 lb", "m²" and the like.

    Raises BadPrice for anything else.

    >>> parse_basis("per foot"), parse_basis("/ 100 lb"), parse_basis("$/m²")
    (<Basis.FOOT: 'ft'>, <Basis.HUNDREDWEIGHT: 'cwt'>, <Basis.SQUARE_METRE: 'm2'>)
    """
    word = " ".join(text.lower().replace("²", "2").replace("^2", "2").rpartition("/")[2].split())
    word = word.removeprefix("per ").rstrip(".").replace(". ", " ")
    if word not in _BASIS_OF:
        raise BadPrice(f"{text!r} is not what a price can be per; write one of {', '.join(Basis)}")
    return _BASIS_OF[word]


@dataclass(frozen=True, slots=True, kw_only=True)
class Yard:
    """A place that sells.

    Parameters
    ----------
    name
        As written in the offers.
    delivery
        Fee for delivering an order; None: pick-up only.
    minimum_order
        Least sum of the steel lines of an order, 0 if none.
    haul_limit
        Longest piece the buyer can carry home, ticks; None: any length.
    payload_kg
        What one trip can carry; None: not limited.
    cut_charge
        Fee per yard cut; None: the yard makes no cuts.
    cut_tolerance, cut_kerf
        Ticks.
    lead_days
        Days from order to material; None: not said.
    """

    name: str
    delivery: Decimal | None = None
    minimum_order: Decimal = Decimal(0)
    haul_limit: int | None = None
    payload_kg: float | None = None
    cut_charge: Decimal | None = None
    cut_tolerance: int = 0
    cut_kerf: int = 0
    lead_days: int | None = None

    def __post_init__(self) -> None:
        charge = self.cut_charge or Decimal(0)
        if not charge.is_finite() or charge < 0 or 100 * charge != (100 * charge).to_integral_value():
            raise BadValue(f"yard {self.name}: cut_charge {charge} must be 0 or more, in whole cents")
        if min(self.delivery or Decimal(0), self.minimum_order) < 0:
            raise BadValue(f"yard {self.name}: delivery and minimum_order must not be negative")
        if min(self.cut_tolerance, self.cut_kerf) < 0:
            raise BadValue(f"yard {self.name}: cut_tolerance and cut_kerf must not be negative")
        if self.haul_limit is not None and self.haul_limit <= max(0, self.cut_tolerance):
            raise BadValue(f"yard {self.name}: haul_limit must be above zero, and above cut_tolerance")

    def trips(self, weight_kg: float) -> int:
        """How often one drives to fetch so much, by weight alone; one trip where the payload is not limited."""
        if not self.payload_kg:
            return 1
        return max(1, ceil(round(weight_kg / self.payload_kg, 9)))


@dataclass(frozen=True, slots=True, kw_only=True)
class Offer:
    """One size that a yard sells, at one price from one quantity up.

    Parameters
    ----------
    id
        Stable name of the row within the job ("offer 3": third row of the table).
    length
        Ticks; of a random-length offer the least length, of a cut-to-length offer the greatest.
    longest
        Ticks; of a random-length offer the greatest length, else equal to `length`.
    width
        Ticks, plate and sheet only.
    price, per
        As quoted; None: not priced.
    clean_ends
        How many ends need no trim: 0, 1 or 2.
    available
        How many there are; None: any number.
    from_qty
        Least number of this size (all rows of one yard, material and size together) at which the price holds.
    cut_to_length
        Charge per stick for cutting to any length up to `length`; None: sold at full length only.
    quoted
        Day on which the price was quoted, ISO 8601; "": not known.
    """

    id: str
    yard: str
    material: Material
    length: int
    longest: int
    width: int | None = None
    price: Decimal | None = None
    per: Basis | None = None
    clean_ends: int = 0
    available: int | None = None
    from_qty: int = 1
    cut_to_length: Decimal | None = None
    note: str = ""
    quoted: str = ""

    def __post_init__(self) -> None:
        if not 0 < self.length <= self.longest:
            raise BadValue(f"{self.id}: length must be above zero and at most the longest length")
        if self.material.is_plate and self.width is None:
            raise BadValue(f"{self.id}: {self.material.designation} needs a width")
        if self.clean_ends not in (0, 1, 2) or self.from_qty < 1 or (self.available or 0) < 0:
            raise BadValue(f"{self.id}: clean_ends is 0, 1 or 2, from_qty 1 or more, available 0 or more")
        if (self.price is None) != (self.per is None):
            raise BadPrice("a price needs what it is per, and the other way round")
        if self.cut_to_length is not None and self.per is Basis.EACH:
            raise BadPrice(
                "material cut to length cannot be priced each; give the price per length or weight"
            )

    @property
    def is_random(self) -> bool:
        """Whether sticks come in lengths from `length` to `longest`."""
        return self.longest != self.length

    def unit_price(self, length: int | None = None) -> Decimal:
        """Money for one stick or sheet of this offer, to 0.0001.

        Parameters
        ----------
        length
            Ticks to be cut to by the yard, cut-to-length offers only; otherwise left out.

        Raises
        ------
        BadPrice
            If the offer has no price.
        """
        if self.price is None or self.per is None:
            raise BadPrice(f"{self.id} has no price")
        ticks = self.length if length is None else length
        price = unit_price(_times(self.price, self._quantity(self.per, ticks)))
        return price + (self.cut_to_length or Decimal(0))

    def price_per_tick(self) -> Fraction:
        """Money per tick of length, cutting charge not counted; for material priced by length or weight."""
        if self.price is None or self.per is None:
            raise BadPrice(f"{self.id} has no price")
        return Fraction(self.price) * self._quantity(self.per, self.length) / self.length

    def unit_weight(self, length: int | None = None) -> Decimal:
        """Kilograms of one stick or sheet of this offer, to 0.0001, half up.

        Parameters
        ----------
        length
            Ticks to be cut to by the yard, cut-to-length offers only; otherwise left out.
        """
        kg = self.material.weight_kg(self.length if length is None else length, self.width)
        return unit_price(Decimal(kg))

    def _quantity(self, per: Basis, ticks: int) -> Fraction:
        """How many of the basis one stick or sheet of `ticks` length is."""
        feet = Fraction(ticks, 12 * PER_INCH)
        metres = Fraction(ticks, 1000 * PER_MM)
        across = self.width
        match per:
            case Basis.EACH:
                return Fraction(1)
            case Basis.FOOT:
                return feet
            case Basis.METRE:
                return metres
            case Basis.SQUARE_FOOT | Basis.SQUARE_METRE:
                if across is None:
                    raise BadPrice(f"a price per {per} needs a width")
                if per is Basis.SQUARE_FOOT:
                    return feet * Fraction(across, 12 * PER_INCH)
                return metres * Fraction(across, 1000 * PER_MM)
            case Basis.POUND | Basis.HUNDREDWEIGHT | Basis.KILOGRAM:
                kg = Fraction(self.material.weight_kg(ticks, across)).limit_denominator(10**9)
                return kg / _KG_IN[per]


def _times(price: Decimal, quantity: Fraction) -> Decimal:
    return price * Decimal(quantity.numerator) / Decimal(quantity.denominator)
