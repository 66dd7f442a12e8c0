"""The yards and their terms."""

from __future__ import annotations

from decimal import Decimal

from nesting.read.line import Line
from nesting.read.shop import as_weight
from stock.errors import BadValue
from stock.offer import Offer, Yard


def read_yards(lines: list[Line]) -> tuple[Yard, ...]:
    """The yards whose rows can be taken."""
    yards: dict[str, Yard] = {}
    seen: dict[str, int] = {}
    for line in lines:
        name = line.text("YARD")
        line.check_once("YARD", name.casefold(), seen)
        minimum = line.money("minimum_order")
        delivery, cut_charge = line.money("delivery"), line.money("cut_charge")
        haul, payload = line.length("haul_limit", positive=True), _weight(line, "payload")
        tolerance, kerf = line.length("cut_tolerance", 0), line.length("cut_kerf", 0)
        lead = line.count("lead_days", least=0)
        if line.failed or not name:
            continue
        yards[name.casefold()] = Yard(
            name=name,
            delivery=delivery,
            minimum_order=minimum or Decimal(0),
            haul_limit=haul,
            payload_kg=None if payload is None else float(payload),
            cut_charge=cut_charge,
            cut_tolerance=tolerance or 0,
            cut_kerf=kerf or 0,
            lead_days=lead,
        )
    return tuple(yards.values())


def _weight(line: Line, column: str) -> Decimal | None:
    cell = line.cell(column)
    if not line.text(column):
        return None
    try:
        return as_weight(cell, line.style, line.sheet.units.get(column))
    except BadValue as error:
        line.report("bad-weight", f"{error} (pounds or kilograms: 1500 lb, 700 kg)", column)
        return None


def tell_yard_limits(lines: list[Line], yards: tuple[Yard, ...], offers: tuple[Offer, ...]) -> None:
    """Notices of what yards ask that does not yet steer the choice of what to buy.

    Parameters
    ----------
    lines
        Of the yards table.
    """

    def tell(code: str, sentence: str, column: str) -> None:
        line = next(line for line in lines if line.cell(column))
        line.report(code, sentence, column, "notice")

    if any(yard.delivery or yard.minimum_order for yard in yards):
        column = "delivery" if any(yard.delivery for yard in yards) else "minimum_order"
        tell(
            "fees-not-weighed",
            "delivery and minimum orders are added to the plan; only leaving out yards that charge them is tried",
            column,
        )
    if any(yard.cut_charge is not None for yard in yards):
        tell("no-yard-cuts", "yard cuts are not placed by this version", "cut_charge")
    limits = {yard.name: yard.haul_limit for yard in yards if yard.delivery is None}
    long = [offer for offer in offers if (limit := limits.get(offer.yard)) and _shortest(offer) > limit]
    if long:
        shown = ", ".join(f"{offer.id} ({offer.yard})" for offer in long[:6])
        more = f" and {len(long) - 6} more" if len(long) > 6 else ""
        tell(
            "too-long-to-haul",
            f"longer than you can carry home, and yard cuts are not placed by this version: {shown}{more}",
            "haul_limit",
        )


def _shortest(offer: Offer) -> int:
    """Ticks that must be carried whatever is ordered, a sheet by its longer side; material cut to length can be had
    short."""
    return max(offer.length, offer.width or 0) if offer.cut_to_length is None else 0
