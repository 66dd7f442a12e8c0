"""Offers, yards, rack, saws and allow rows."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Hashable
from dataclasses import replace
from decimal import Decimal

from nesting.job import Allow, Part, Saw
from nesting.read.line import Line
from nesting.read.sheet import slip_of
from nesting.read.shop import as_weight
from stock.errors import BadPrice, BadValue
from stock.length import show_length
from stock.material import fits
from stock.offer import Basis, Offer, Yard, parse_basis
from stock.rack import RackPiece

_ENDS = {"both": 2, "one": 1, "none": 0}


def size_of(offer: Offer) -> Hashable:
    """What the rows of one size share: its quantity breaks and its limit count all of them together."""
    return (
        offer.yard,
        offer.material,
        offer.length,
        offer.longest,
        offer.width,
        offer.clean_ends,
        offer.cut_to_length,
    )


def _check_once(line: Line, column: str, name: str, seen: dict[str, int]) -> None:
    """Report a name that an earlier row has; `seen` holds the row of each name so far."""
    if name and name in seen:
        line.report(
            "name-twice",
            f"{line.text(column)!r} stands in row {seen[name]} too; give each its own, or keep one row",
            column,
        )
    seen.setdefault(name, line.row.number)


def read_yards(lines: list[Line]) -> tuple[Yard, ...]:
    """The yards whose rows can be taken."""
    yards: dict[str, Yard] = {}
    seen: dict[str, int] = {}
    for line in lines:
        name = line.text("YARD")
        _check_once(line, "YARD", name.casefold(), seen)
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


def read_offers(lines: list[Line], yards: tuple[Yard, ...]) -> tuple[Offer, ...]:
    """The offers whose rows can be taken; rows of one size agree on their limit."""
    spelled = {yard.name.casefold(): yard.name for yard in yards}
    offers: list[tuple[Line, Offer]] = []
    for number, line in enumerate(lines, 1):
        offer = _offer(line, number, _yard(line, spelled, bool(yards)))
        if offer is not None:
            offers.append((line, offer))
    return _agreed(offers)


def _yard(line: Line, spelled: dict[str, str], has_table: bool) -> str:
    """The yard's name as first written, whatever the case of the letters."""
    name = line.text("YARD")
    if name and name.casefold() not in spelled:
        slip = slip_of(name.casefold(), spelled) if has_table else None
        if slip is not None:
            line.report(
                "unknown-yard",
                f"{name!r} is not in the table yards; {spelled[slip]!r} is: mend one of them",
                "YARD",
            )
        elif has_table:
            line.report(
                "unknown-yard", f"{name!r} is not in the table yards: no terms known", "YARD", "notice"
            )
        if not has_table:
            spelled[name.casefold()] = name
    return spelled.get(name.casefold(), name)


def _offer(line: Line, number: int, yard: str) -> Offer | None:
    material, lengths = line.material("MATERIAL"), line.length_range("LENGTH")
    width = line.length("width", positive=True)
    price, per = line.money("price"), _basis(line)
    ends = _ENDS[line.choice("clean_ends", "none")]
    available, from_qty = line.count("available", least=0), line.count("from_qty", 1)
    cut_to_length = _cut_to_length(line)
    if price is not None and price == 0:
        line.report(
            "bad-money", "a price of 0 cannot be right; leave it blank, or put the bar on the rack", "price"
        )
    if price is not None and per is None and not line.failed:
        line.report(
            "no-basis",
            f"{line.cell('price').text!r} needs what it is per; write each, ft, m, lb, cwt or kg",
            "per",
        )
    if line.failed or material is None or lengths is None or from_qty is None:
        return None
    if lengths[0] != lengths[1]:
        least = show_length(lengths[0], line.style.unit, feet=True)
        line.report(
            "random-length", f"random lengths: every stick is taken as {least} long", "LENGTH", "notice"
        )
    if material.is_plate:
        line.report("plate-offer", "plate and sheet are not planned by this version", "MATERIAL", "notice")
        if width is None:
            return None
    if cut_to_length is not None and from_qty > 1:
        line.report(
            "cut-from-qty",
            f"{from_qty}: material cut to length is sold by length, so a price from a quantity is not supported; "
            "write 1, or offer full sticks",
            "from_qty",
        )
        return None
    if not material.is_plate and not _is_bar_offer(line, width, per):
        return None
    try:
        offer = Offer(
            id=f"offer {number}",
            yard=yard,
            material=material,
            length=lengths[0],
            longest=lengths[1],
            width=width,
            price=price,
            per=per if price is not None else None,
            clean_ends=ends,
            available=available,
            from_qty=from_qty,
            cut_to_length=cut_to_length,
            note=line.text("note"),
        )
        if price and not offer.unit_price():
            raise BadPrice(
                f"{line.cell('price').text!r} comes to nothing for one stick; write the price, or leave it blank"
            )
    except BadValue as error:
        line.report("bad-price", str(error), "per")
        return None
    return offer


def _is_bar_offer(line: Line, width: int | None, per: Basis | None) -> bool:
    """Whether an offer of bar material says nothing that means something for plate alone; reported if it does."""
    if per in (Basis.SQUARE_FOOT, Basis.SQUARE_METRE):
        line.report(
            "bad-basis",
            f"{line.cell('per').text!r}: bar material priced by area cannot be compared; "
            "write a price each, per ft, m, lb, cwt or kg",
            "per",
        )
        return False
    if width is not None:
        line.report(
            "bar-width",
            f"{line.cell('width').text!r}: bar material has its width in MATERIAL; clear the cell",
            "width",
        )
        return False
    return True


def _basis(line: Line) -> Basis | None:
    text = line.text("per")
    if not text:
        return None
    try:
        return parse_basis(text)
    except BadPrice as error:
        line.report("bad-basis", str(error), "per")
        return None


def _cut_to_length(line: Line) -> Decimal | None:
    match line.text("cut_to_length").casefold():
        case "" | "no":
            return None
        case "yes" | "free":
            return Decimal(0)
        case _:
            return line.money("cut_to_length")


def _agreed(offers: list[tuple[Line, Offer]]) -> tuple[Offer, ...]:
    """The offers with the limit of a size on all its rows, clashes reported."""
    sizes: dict[Hashable, list[tuple[Line, Offer]]] = defaultdict(list)
    for line, offer in offers:
        sizes[size_of(offer)].append((line, offer))
    limits: dict[str, int | None] = {}
    for rows in sizes.values():
        stated = sorted({offer.available for _, offer in rows if offer.available is not None})
        first: dict[int, Line] = {}
        for line, offer in rows:
            limits[offer.id] = stated[0] if stated else None
            twin = first.setdefault(offer.from_qty, line)
            if twin is not line:
                line.report(
                    "offer-twice",
                    f"row {twin.row.number} offers the same size from the same quantity; keep the one that holds",
                    "from_qty",
                )
            if len(stated) > 1:
                line.report(
                    "limits-differ",
                    f"rows of this one size say {' and '.join(map(str, stated))} are available; write one number",
                    "available",
                )
    return tuple(replace(offer, available=limits[offer.id]) for _, offer in offers)


def read_rack(lines: list[Line]) -> tuple[RackPiece, ...]:
    """The rack pieces whose rows can be taken."""
    pieces: dict[str, RackPiece] = {}
    seen: dict[str, int] = {}
    for line in lines:
        name, material = line.text("ID"), line.material("MATERIAL")
        length, width = line.length("LENGTH", positive=True), line.length("width", positive=True)
        ends, value = _ENDS[line.choice("clean_ends", "none")], line.money("value")
        _check_once(line, "ID", name, seen)
        if line.failed or material is None or length is None:
            continue
        if material.is_plate:
            line.report("plate-rack", "plate and sheet are not planned by this version", "MATERIAL", "notice")
        pieces[name] = RackPiece(
            id=name,
            material=material,
            length=length,
            width=width,
            clean_ends=ends,
            value=value or Decimal(0),
            place=line.text("place"),
            heat=line.text("heat"),
        )
    return tuple(pieces.values())


def read_saws(lines: list[Line]) -> tuple[Saw, ...]:
    """The saws whose rows can be taken."""
    saws: dict[str, Saw] = {}
    seen: dict[str, int] = {}
    for line in lines:
        name, kerf = line.text("SAW"), line.length("KERF")
        trim, grip = line.length("trim", 0), line.length("grip", 0)
        max_size, max_angle = line.length("max_size", positive=True), line.angle("max_angle")
        _check_once(line, "SAW", name, seen)
        if line.cell("rate"):
            line.report("unused-column", "column rate has no effect in this version", "rate", "notice")
        if line.failed or kerf is None or trim is None or grip is None:
            continue
        try:
            saws[name] = Saw(
                name=name, kerf=kerf, trim=trim, grip=grip, max_size=max_size, max_angle=max_angle
            )
        except BadValue as error:
            line.report("bad-saw", f"{error}; mend trim or KERF", "trim")
    return tuple(saws.values())


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
            "delivery and minimum orders are added to the plan, but not weighed when yards are chosen",
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
    """Ticks that must be carried whatever is ordered: material cut to length can be had short."""
    return offer.length if offer.cut_to_length is None else 0


def read_allow(
    lines: list[Line], parts: tuple[Part, ...], sources: tuple[Offer | RackPiece, ...]
) -> tuple[Allow, ...]:
    """The pairs allowed, one for every source material that fits what a row accepts."""
    materials = dict.fromkeys(source.material for source in sources)
    found: dict[Allow, None] = {}
    for line in lines:
        part, offer = line.material("PART_MATERIAL"), line.material("OFFER_MATERIAL")
        if line.failed or part is None or offer is None:
            continue
        served = [material for material in materials if fits(offer, material)]
        if not served:
            line.report(
                "allow-nothing",
                f"nothing is offered or on the rack in {line.cell('OFFER_MATERIAL').text!r}; the row has no effect",
                "OFFER_MATERIAL",
                "notice",
            )
        if not any(fits(other.material, part) for other in parts):
            line.report(
                "allow-no-part",
                f"no part is {line.cell('PART_MATERIAL').text!r}, so the row has no effect; "
                "a part that asks for a grade or finish needs it named here too",
                "PART_MATERIAL",
                "notice",
            )
        found.update(dict.fromkeys(Allow(part=part, offer=material) for material in served))
    return tuple(found)
