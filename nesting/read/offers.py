"""What the yards sell."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Hashable
from dataclasses import replace
from decimal import Decimal

from nesting.read.line import Line
from nesting.read.sheet import slip_of
from nesting.read.sheets import has_its_width, sheet_ends
from stock.errors import BadPrice, BadValue
from stock.length import show_length
from stock.offer import Basis, Offer, Yard, parse_basis


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
    ends = line.clean_ends()
    available, from_qty = line.count("available", least=0), line.count("from_qty", 1)
    cut_to_length = _cut_to_length(line)
    quoted = line.day("quoted")
    if price is not None and price == 0:
        line.report(
            "bad-money", "a price of 0 cannot be right; leave it blank, or put the bar on the rack", "price"
        )
    if price is not None and per is None and not line.failed:
        line.report(
            "no-basis",
            f"{line.cell('price').text!r} needs what it is per; write each, ft, m, sq ft, m2, lb, cwt or kg",
            "per",
        )
    if line.failed or material is None or lengths is None or from_qty is None:
        return None
    if not has_its_width(line, material, width):
        return None
    if lengths[0] != lengths[1]:
        least = show_length(lengths[0], line.style.unit, feet=True)
        line.report(
            "random-length", f"random lengths: every stick is taken as {least} long", "LENGTH", "notice"
        )
    if material.is_plate and not _is_sheet_offer(line, lengths, cut_to_length, per):
        return None
    if cut_to_length is not None and from_qty > 1:
        line.report(
            "cut-from-qty",
            f"{from_qty}: material cut to length is sold by length, so a price from a quantity is not supported; "
            "write 1, or offer full sticks",
            "from_qty",
        )
        return None
    if not material.is_plate and not _is_bar_offer(line, per):
        return None
    try:
        offer = Offer(
            id=f"offer {number}",
            yard=yard,
            material=material,
            length=lengths[0],
            longest=lengths[1],
            width=width if material.is_plate else None,
            price=price,
            per=per if price is not None else None,
            clean_ends=sheet_ends(line, material, ends),
            available=available,
            from_qty=from_qty,
            cut_to_length=cut_to_length,
            note=line.text("note"),
            quoted=quoted,
        )
        if price and not offer.unit_price():
            raise BadPrice(
                f"{line.cell('price').text!r} comes to nothing for one stick; write the price, or leave it blank"
            )
    except BadValue as error:
        line.report("bad-price", str(error), "per")
        return None
    return offer


def _is_sheet_offer(
    line: Line, lengths: tuple[int, int], cut_to_length: Decimal | None, per: Basis | None
) -> bool:
    """Whether an offer of a sheet says nothing that means something for bars alone; reported if it does."""
    if lengths[0] != lengths[1]:
        line.report("sheet-range", "a sheet has one length; write a row for each size", "LENGTH")
        return False
    if cut_to_length is not None:
        line.report("sheet-cut", "sheets are sold whole here; clear the cell", "cut_to_length")
        return False
    if per in (Basis.FOOT, Basis.METRE):
        line.report(
            "bad-basis",
            f"{line.cell('per').text!r}: a sheet has no price per length; write each, sq ft, m2, lb, cwt or kg",
            "per",
        )
        return False
    return True


def _is_bar_offer(line: Line, per: Basis | None) -> bool:
    """Whether an offer of bar material says nothing that means something for plate alone; reported if it does."""
    if per in (Basis.SQUARE_FOOT, Basis.SQUARE_METRE):
        line.report(
            "bad-basis",
            f"{line.cell('per').text!r}: bar material priced by area cannot be compared; "
            "write a price each, per ft, m, lb, cwt or kg",
            "per",
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
