"""How the breaches name lengths and rectangles."""

from __future__ import annotations

from nesting.job import Shop
from nesting.plan import Rect
from stock.length import show_length


def ticks(shop: Shop, length: int) -> str:
    """A length as the shop writes it, with its ticks where that is rounded."""
    shown = show_length(abs(length), shop.unit, shop.denominator)
    sign = "-" if length < 0 else ""
    return f"{sign}{shown} ({length} ticks)" if shown.startswith("~") else sign + shown


def size(shop: Shop, length: int, width: int) -> str:
    """A rectangle by its sides: "8 x 6"."""
    return f"{ticks(shop, length)} x {ticks(shop, width)}"


def place(shop: Shop, rect: Rect) -> str:
    """A rectangle and where its near corner lies: "8 x 6 at (1/4, 1/4)"."""
    return f"{size(shop, rect.length, rect.width)} at ({ticks(shop, rect.x)}, {ticks(shop, rect.y)})"
