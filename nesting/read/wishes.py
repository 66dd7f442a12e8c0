"""Settings about what is left and what is liked best: the price of scrap, and the order of wishes."""

from __future__ import annotations

import re
from decimal import Decimal
from fractions import Fraction

from nesting.job import WISHES, Wish
from nesting.read.cells import Style, as_money
from nesting.read.grid import Cell, lookup, plain
from stock.errors import BadValue
from stock.offer import KG_PER_LB

_PRICE = re.compile(r"(?P<money>.*?\d\S*?)\s*(?:\bper\b|/|\ba\b)\s*(?P<unit>[a-z_ ]+?)\.?\s*", re.IGNORECASE)
_KG_IN = {
    "kg": Fraction(1),
    "lb": KG_PER_LB,
    "lbs": KG_PER_LB,
    "pound": KG_PER_LB,
    "cwt": 100 * KG_PER_LB,
    "t": Fraction(1000),
    "tonne": Fraction(1000),
    "metricton": Fraction(1000),
}
_DIGITS = Decimal("1e-12")
_NAMES = lookup(
    {
        "sticks": ("fewest sticks", "stick", "bars"),
        "layouts": ("fewest layouts", "layout", "patterns", "fewest different layouts"),
        "stops": ("fewest stops", "stop", "stop moves", "fewest stop moves"),
        "offcut": ("longest offcut", "offcuts", "longest single offcut"),
    }
)


def as_scrap_price(cell: Cell, style: Style) -> Decimal:
    """Money for a kilogram; a bare number counts per pound in an inch job, else per kilogram. Raises BadValue.

    >>> as_scrap_price(Cell("180 per tonne"), Style("in"))
    Decimal('0.18')
    >>> as_scrap_price(Cell("0.45359237"), Style("in")), as_scrap_price(Cell("0.25"), Style("mm"))
    (Decimal('1'), Decimal('0.25'))
    """
    found = None if cell.number is not None else _PRICE.fullmatch(cell.text)
    unit = plain(found["unit"]) if found else "lb" if style.unit == "in" else "kg"
    if unit not in _KG_IN:
        raise BadValue(
            f"{cell.text!r} is no price by weight; write it per lb, kg, cwt (100 lb) or tonne (1000 kg)"
        )
    money = as_money(Cell(found["money"].strip()) if found else cell, style.decimal)
    kg = _KG_IN[unit]
    exact = money * kg.denominator / kg.numerator
    return exact.quantize(_DIGITS).normalize() + Decimal(0)


def as_wishes(cell: Cell, style: Style) -> tuple[Wish, ...]:
    """The order of wishes, those that are not named behind in their usual order; raises BadValue for other words.

    >>> as_wishes(Cell("offcut, sticks"), Style())
    ('offcut', 'sticks', 'layouts', 'stops')
    """
    named = [plain(word) for word in re.split(r"[,;/+>]+", cell.text) if word.strip()]
    wishes = [wish for word in named for wish in WISHES if _NAMES.get(word) == wish]
    if len(wishes) < len(named) or not wishes:
        raise BadValue(
            f"{cell.text!r} is no order of wishes; write sticks, layouts, stops, offcut in the order you like, "
            "parted by commas"
        )
    if len(set(wishes)) < len(wishes):
        raise BadValue(f"{cell.text!r} names a wish twice; write each of them once")
    return (*wishes, *(wish for wish in WISHES if wish not in wishes))
