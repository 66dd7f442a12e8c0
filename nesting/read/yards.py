"""The yards and their terms."""

from __future__ import annotations

from decimal import Decimal

from nesting.read.line import Line
from nesting.read.places import some
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
        try:
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
        except BadValue as error:
            column = next(c for c in ("cut_charge", "haul_limit", "cut_tolerance") if c in str(error))
            line.report("bad-yard", f"{error}; mend it", column)
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

    if any(yard.cut_charge is None and (yard.cut_tolerance or yard.cut_kerf) for yard in yards):
        column = "cut_tolerance" if any(yard.cut_tolerance for yard in yards) else "cut_kerf"
        tell(
            "no-cut-charge",
            "a yard whose cut_charge is blank makes no cuts; write 0 if they are free",
            column,
        )
    carried = {yard.name: yard for yard in yards if yard.delivery is None and yard.haul_limit is not None}
    for code, sentence, offers_told in (
        (
            "too-long-to-haul",
            "sheets longer than you can carry home (yard cuts are placed in bars alone), so not bought",
            [o for o in offers if o.width is not None and _exceeds(max(o.length, o.width), o, carried)],
        ),
        (
            "too-long-uncut",
            "longer than you can carry home from a yard that makes no cuts (cut_charge is blank), so not bought",
            [o for o in offers if _is_bar(o) and _exceeds(o.length, o, carried) and not _is_cut(o, carried)],
        ),
        (
            "random-too-long",
            "may come longer than you can carry home; pick the short ones, or have the rest cut off",
            [o for o in offers if _is_bar(o) and o.is_random and _exceeds(o.longest, o, carried)],
        ),
    ):
        if offers_told:
            tell(code, f"{sentence}: {some(f'{o.id} ({o.yard})' for o in offers_told)}", "haul_limit")


def _is_bar(offer: Offer) -> bool:
    """Whether it is a bar sold as it is; what is cut to length can be had short."""
    return offer.width is None and offer.cut_to_length is None


def _exceeds(length: int, offer: Offer, carried: dict[str, Yard]) -> bool:
    yard = carried.get(offer.yard)
    return yard is not None and length > (yard.haul_limit or 0)


def _is_cut(offer: Offer, carried: dict[str, Yard]) -> bool:
    return carried[offer.yard].cut_charge is not None
