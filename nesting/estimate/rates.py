"""The rates an estimate counts with: starting values for time and quantities, and what the shop table sets.

Money has no starting value: an hour, a gallon or a disc costs nothing known until the shop says so.
"""

from __future__ import annotations

from dataclasses import dataclass, fields
from decimal import Decimal
from typing import Any

from nesting.job import Shop


@dataclass(frozen=True, slots=True, kw_only=True)
class Rates:
    """Rates in the units of the shop; the starting values are those of an inch shop.

    Parameters
    ----------
    labour_rate, machine_rate, torch_rate
        Money for an hour of work, and for an hour that a saw or the torch runs; None: not said.
    contingency, tax
        Percent.
    saw_rate
        Metal area cut in a minute, in2 or mm2, by a saw without a `rate` of its own. 2 in2/min: a light
        machine in a small shop takes 1 to 4 (from memory).
    seconds_per_piece, seconds_per_stick, seconds_per_stop
        Handling at the saw, of plates at the shear and the torch too (common practice, no source).
    seconds_per_sheet
        Setting up a sheet, or a blank that lies on the torch bed by itself (common practice, no source).
    seconds_per_shear_cut
        One cut of the shear (common practice, no source).
    torch_amps
        Amperes of the plasma torch, by which its feed and pierces are taken (see `nesting.estimate.feed`).
    torch_feed
        mm a minute in every thickness, whatever unit the shop reads; None: by thickness.
    pierce_seconds
        To pierce any thickness; None: by thickness.
    tip_price, tip_pierces
        Money for one set of tips of the torch, and the pierces it lasts; None: not said.
    drill_speed
        Speed of a drill's edge in every metal, m a minute, whatever unit the shop reads; None: by the metal (see
        `nesting.estimate.drill`).
    seconds_per_hole, seconds_per_drilled_part
        Setting the drill to a hole, and setting up a part to be drilled (common practice, no source).
    clean_rate, disc_area
        Surface freed from scale in an hour, and with one disc, ft2 or m2. A flap disc takes off the scale of
        0.5 to 2 m2 (from memory); the rest common practice, no source.
    disc_price
        Money for one disc; None: not said.
    blade_price, blade_area
        Money for one blade or wheel, and the metal area it cuts, in2 or mm2; None: not said.
    coats, paint_rate
        Coats of paint, and surface given one coat in an hour, ft2 or m2 (common practice, no source).
    paint_solids, paint_film, paint_loss
        Percent of the volume that stays, thickness of a dry coat in mil or um, and percent lost on the way:
        sprayed 30 to 50 (from memory).
    paint_price
        Money for a US gallon or a litre; None: not said.
    given
        Names of those that the shop set itself.
    """

    labour_rate: Decimal | None = None
    machine_rate: Decimal | None = None
    torch_rate: Decimal | None = None
    contingency: Decimal = Decimal(0)
    tax: Decimal = Decimal(0)
    saw_rate: Decimal = Decimal(2)
    seconds_per_piece: Decimal = Decimal(20)
    seconds_per_stick: Decimal = Decimal(120)
    seconds_per_stop: Decimal = Decimal(30)
    seconds_per_sheet: Decimal = Decimal(300)
    seconds_per_shear_cut: Decimal = Decimal(20)
    torch_amps: Decimal = Decimal(45)
    torch_feed: Decimal | None = None
    pierce_seconds: Decimal | None = None
    tip_price: Decimal | None = None
    tip_pierces: Decimal | None = None
    drill_speed: Decimal | None = None
    seconds_per_hole: Decimal = Decimal(30)
    seconds_per_drilled_part: Decimal = Decimal(60)
    clean_rate: Decimal = Decimal(20)
    disc_area: Decimal = Decimal(10)
    disc_price: Decimal | None = None
    blade_price: Decimal | None = None
    blade_area: Decimal | None = None
    coats: Decimal = Decimal(1)
    paint_rate: Decimal = Decimal(100)
    paint_solids: Decimal = Decimal(50)
    paint_film: Decimal = Decimal(2)
    paint_loss: Decimal = Decimal(30)
    paint_price: Decimal | None = None
    given: frozenset[str] = frozenset()

    def are_start_values(self, *names: str) -> bool:
        """Whether any of these was not set by the shop."""
        return any(name not in self.given for name in names)

    def mark(self, name: str) -> str:
        """What stands behind a figure that the shop did not set."""
        return " (starting value)" if self.are_start_values(name) else ""


METRIC = {
    "saw_rate": Decimal(1300),
    "clean_rate": Decimal(2),
    "disc_area": Decimal(1),
    "paint_rate": Decimal(10),
    "paint_film": Decimal(50),
}
"""Starting values of a shop that reads millimetres, where they differ: the same figures, rounded."""

NAMES = tuple(field.name for field in fields(Rates) if field.name != "given")
"""The settings of the shop table that are rates."""


def rates_of(shop: Shop) -> Rates:
    """The rates of a shop: starting values of its unit under what it set."""
    start = METRIC if shop.unit == "mm" else {}
    values: dict[str, Any] = start | dict(shop.rates)
    return Rates(**values, given=frozenset(name for name, _ in shop.rates))
