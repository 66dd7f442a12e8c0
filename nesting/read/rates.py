"""The rates of the estimate as the shop table gives them: money, percentages, seconds, speeds, areas, a film."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from decimal import Decimal

from nesting.estimate.feed import AMPS
from nesting.read.cells import Style, as_count, as_money, as_number, as_positive
from nesting.read.grid import Cell
from stock.errors import BadValue

Convert = Callable[[Cell, Style], Decimal]


def as_percent(cell: Cell, style: Style) -> Decimal:
    """A percentage from 0 to 100, with or without its sign; raises BadValue for anything else.

    A number between 0 and 1 without a sign may be a share as well, so it is refused.

    >>> as_percent(Cell("6.5 %"), Style())
    Decimal('6.5')
    """
    has_sign = cell.text.endswith("%")
    percent = as_number(replace(cell, text=cell.text.removesuffix("%").strip()), style.decimal)
    if percent > 100:
        raise BadValue(f"{cell.text!r} is too much; write a percentage from 0 to 100")
    if 0 < percent < 1 and not has_sign:
        raise BadValue(f"{cell.text!r} may be a share or a percentage; write 6.5 or 6.5 % for 6.5 %")
    return percent


def as_share(cell: Cell, style: Style) -> Decimal:
    """A share from 0 to below 1, also written as a percentage; raises BadValue for anything else.

    >>> as_share(Cell("50 %"), Style()), as_share(Cell("0.5"), Style())
    (Decimal('0.5'), Decimal('0.5'))
    """
    bare = replace(cell, text=cell.text.removesuffix("%").strip())
    share = as_number(bare, style.decimal) / (100 if cell.text.endswith("%") else 1)
    if share >= 1:
        raise BadValue(
            f"{cell.text!r} is no share; write a number from 0 to below 1, such as 0.5, or a percentage from 0 to "
            "below 100, such as 50 %"
        )
    return share


def _money(cell: Cell, style: Style) -> Decimal:
    return as_money(cell, style.decimal)


def _above_zero(cell: Cell, style: Style) -> Decimal:
    return as_positive(cell, style.decimal)


def _seconds(cell: Cell, style: Style) -> Decimal:
    text = cell.text.lower().removesuffix("s").strip()
    return as_number(replace(cell, text=text), style.decimal)


def _coats(cell: Cell, style: Style) -> Decimal:
    return Decimal(as_count(cell, style.decimal, least=0))


def _solids(cell: Cell, style: Style) -> Decimal:
    percent = as_percent(cell, style)
    if not percent:
        raise BadValue(f"{cell.text!r} leaves no paint; write the percent of volume solids of its data sheet")
    return percent


def _loss(cell: Cell, style: Style) -> Decimal:
    percent = as_percent(cell, style)
    if percent == 100:
        raise BadValue(f"{cell.text!r} loses all the paint; write a percentage below 100")
    return percent


def _amps(cell: Cell, style: Style) -> Decimal:
    text = cell.text.upper().removesuffix("AMPS").removesuffix("A").strip()
    amps = as_number(replace(cell, text=text), style.decimal)
    if amps < AMPS[0]:
        raise BadValue(
            f"{cell.text!r} is less than any feed is known for; write {AMPS[0]} or more, or set torch_feed"
        )
    return amps


def _feed(cell: Cell, style: Style) -> Decimal:
    """mm a minute; a bare number counts in/min in an inch job, else mm/min."""
    return _speed(cell, style, _FEEDS, "in/min" if style.unit == "in" else "mm/min")


def _edge_speed(cell: Cell, style: Style) -> Decimal:
    """m a minute; a bare number counts ft/min in an inch job, else m/min."""
    return _speed(cell, style, _EDGE_SPEEDS, "ft/min" if style.unit == "in" else "m/min")


def _speed(cell: Cell, style: Style, units: dict[str, Decimal], bare: str) -> Decimal:
    text = "".join(cell.text.lower().split())
    unit = next((unit for unit in units if text.endswith(unit)), None)
    if unit is None:
        return as_positive(cell, style.decimal) * units[bare]
    return as_positive(Cell(text.removesuffix(unit)), style.decimal) * units[unit]


def _film(cell: Cell, style: Style) -> Decimal:
    """Mil in an inch job, else micrometres; a unit that is written counts."""
    text = cell.text.lower().rstrip(".")
    for suffix, unit in (("mils", "in"), ("mil", "in"), ("µm", "mm"), ("μm", "mm"), ("um", "mm")):
        if text.endswith(suffix):
            film = as_positive(Cell(text.removesuffix(suffix).strip()), style.decimal)
            if unit == style.unit:
                return film
            return film * Decimal("25.4") if unit == "in" else film / Decimal("25.4")
    return as_positive(cell, style.decimal)


_FEEDS = {
    "in/min": Decimal("25.4"),
    "ipm": Decimal("25.4"),
    "mm/min": Decimal(1),
    "cm/min": Decimal(10),
    "m/min": Decimal(1000),
}
"""Units of the feed of a torch, in mm a minute; what ends like another stands before it."""

_EDGE_SPEEDS = {"ft/min": Decimal("0.3048"), "sfm": Decimal("0.3048"), "m/min": Decimal(1)}
"""Units of the speed of a drill's edge, in m a minute."""

RATES: dict[str, Convert] = {
    "labour_rate": _money,
    "machine_rate": _money,
    "torch_rate": _money,
    "contingency": as_percent,
    "tax": as_percent,
    "saw_rate": _above_zero,
    "seconds_per_piece": _seconds,
    "seconds_per_stick": _seconds,
    "seconds_per_stop": _seconds,
    "seconds_per_sheet": _seconds,
    "seconds_per_shear_cut": _seconds,
    "torch_amps": _amps,
    "torch_feed": _feed,
    "pierce_seconds": _seconds,
    "tip_price": _money,
    "tip_pierces": _above_zero,
    "drill_speed": _edge_speed,
    "seconds_per_hole": _seconds,
    "seconds_per_drilled_part": _seconds,
    "clean_rate": _above_zero,
    "disc_area": _above_zero,
    "disc_price": _money,
    "blade_area": _above_zero,
    "blade_price": _money,
    "coats": _coats,
    "paint_rate": _above_zero,
    "paint_solids": _solids,
    "paint_film": _film,
    "paint_loss": _loss,
    "paint_price": _money,
}
"""How each is read, in the order of the schema."""
