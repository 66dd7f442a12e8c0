"""A plan as the rack ledger books it: which piece each of its sticks and sheets is, and what is cut from that."""

from __future__ import annotations

import hashlib
from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import replace
from decimal import ROUND_DOWN, Decimal

from nesting.job import Unit
from nesting.plan import GroupPlan, Plan, Rect
from nesting.report.offcuts import clean_ends_left
from nesting.report.saw_list import Stick, saw_list
from nesting.report.sheet_list import Sheet, sheet_list
from nesting.write.archive import plan_text
from stock.length import exact_decimal
from stock.material import Material, parse_material
from stock.offer import Offer
from stock.rack.acts import Arrival, Offcut
from stock.rack.acts import arrive as arrive_pieces
from stock.rack.acts import finish as finish_pieces
from stock.rack.booking import CutAs, Use, booking_of
from stock.rack.ledger import Ledger
from stock.rack.record import NewPiece

_CENT = Decimal("0.01")


def fingerprint(plan: Plan) -> str:
    """What tells a plan from every other: a digest of its plan.json, however that is spaced."""
    return hashlib.sha256(plan_text(plan).encode("utf-8")).hexdigest()[:32]


def uses_of(plan: Plan) -> tuple[Use, ...]:
    """Every stick and sheet of a plan, numbered as its papers number them.

    Of a stick that the yard parts each segment that is carried home is a piece; a flat bar that is cut in two
    dimensions is a sheet.
    """
    return (*_sticks(plan), *_sheets(plan))


def rests_of(plan: Plan) -> dict[tuple[CutAs, int], tuple[Offcut, ...]]:
    """What the plan keeps of each stick and sheet, without the id of the piece it is; none of those without a rest."""
    found: dict[tuple[CutAs, int], tuple[Offcut, ...]] = {}
    for stick in saw_list(plan).cut:
        rest = Offcut(parent="", length=stick.layout.rest, clean_ends=clean_ends_left(stick))
        _of_each(found, "stick", stick, (rest,) if stick.layout.keep else ())
    for sheet in sheet_list(plan).cut:
        places = tuple(_rectangle(sheet, place, plan.job.shop.unit) for place in sheet.layout.offcuts)
        _of_each(found, "sheet", sheet, places)
    return found


def finish(ledger: Ledger, plan: Plan, names: Iterable[tuple[CutAs, int]]) -> tuple[str, ...]:
    """Enter in the ledger that sticks and sheets of a booked plan are cut; what it keeps of them comes back.

    Parameters
    ----------
    names
        Kind and number of each, as the papers number them; those that came back before are passed over.

    Returns
    -------
    tuple[str, ...]
        Ids of the offcuts, to write on them; none if the plan is not booked.
    """
    booking = booking_of(ledger, fingerprint(plan))
    if booking is None:
        return ()
    rests = rests_of(plan)
    cut = {
        booking.pieces[name]: [
            replace(rest, parent=booking.pieces[name], origin=f"{name[0]} {name[1]} of {plan.job.name}"[:80])
            for rest in rests[name]
        ]
        for name in names
        if name in booking.pieces and name in rests
    }
    return finish_pieces(ledger, cut, plan.job.name).ids


def arrive(ledger: Ledger, plan: Plan, came: Mapping[tuple[CutAs, int], Arrival]) -> tuple[str, ...]:
    """Enter in the ledger what has come of what a booked plan ordered.

    Parameters
    ----------
    came
        How each stick or sheet came, by its kind and number; the id in it is not used. Those that came before are
        passed over.

    Returns
    -------
    tuple[str, ...]
        Ids of the pieces, to write on them; none if the plan is not booked.
    """
    booking = booking_of(ledger, fingerprint(plan))
    if booking is None:
        return ()
    waiting = {piece.id for piece in ledger.held(("ordered",))}
    pieces = {name: booking.pieces[name] for name in came if booking.pieces.get(name) in waiting}
    arrivals = [replace(came[name], id=piece) for name, piece in pieces.items()]
    return arrive_pieces(ledger, arrivals, plan.job.name).ids


def _of_each(
    found: dict[tuple[CutAs, int], tuple[Offcut, ...]],
    kind: CutAs,
    cut: Stick | Sheet,
    rests: tuple[Offcut, ...],
) -> None:
    for number in range(cut.first, cut.first + cut.layout.times):
        found[kind, number] = rests


def _rectangle(sheet: Sheet, place: Rect, unit: Unit) -> Offcut:
    """A rest of a sheet; of a flat bar a shorter bar, or a strip, which is plate of its thickness."""
    if sheet.material.is_plate:
        return Offcut(parent="", length=place.length, width=place.width)
    if place.width == sheet.width:
        return Offcut(parent="", length=place.length)
    return Offcut(parent="", length=place.length, width=place.width, material=_plate_of(sheet.material, unit))


def _plate_of(flat: Material, unit: Unit) -> Material:
    """The plate of the thickness of a flat bar."""
    family = flat.designation.partition("flat")[0]
    exact = exact_decimal(flat.thickness, unit)
    size = f"{exact_decimal(flat.thickness, 'mm'):f} mm" if exact is None else f"{exact:f} {unit}"
    return parse_material(f"{family}plate {size}", unit=unit, grade=flat.grade, finish=flat.finish)


def _sticks(plan: Plan) -> Iterator[Use]:
    for stick in saw_list(plan).sticks:
        marks = Counter(piece.mark for piece in stick.layout.pieces)
        length = stick.layout.length if stick.asked is None else stick.asked
        new = _ordered(plan, stick, length, None, stick.clean_ends)
        yield from _numbered(Use(kind="stick", number=stick.first, marks=tuple(marks.items())), stick, new)


def _sheets(plan: Plan) -> Iterator[Use]:
    for sheet in sheet_list(plan).sheets:
        marks = Counter(piece.mark for piece in sheet.layout.pieces)
        width = sheet.layout.width if sheet.material.is_plate else None
        new = _ordered(plan, sheet, sheet.layout.length, width, sheet.source.clean_ends)
        yield from _numbered(Use(kind="sheet", number=sheet.first, marks=tuple(marks.items())), sheet, new)


def _numbered(use: Use, cut: Stick | Sheet, new: NewPiece | None) -> Iterator[Use]:
    """One use for each of the sticks or sheets that are cut alike."""
    takes = None if isinstance(cut.source, Offer) else cut.source
    for number in range(use.number, use.number + cut.layout.times):
        orders = new and replace(new, origin=f"{new.origin}, {use.kind} {number}")
        yield replace(use, number=number, takes=takes, orders=orders)


def _ordered(
    plan: Plan, cut: Stick | Sheet, length: int, width: int | None, clean_ends: int
) -> NewPiece | None:
    """What is ordered of an offer; None if it comes from the rack."""
    offer = cut.source
    if not isinstance(offer, Offer):
        return None
    return NewPiece(
        material=offer.material,
        unit=plan.job.shop.unit,
        length=length,
        width=width,
        clean_ends=clean_ends,
        value=_value(plan.groups[cut.group - 1], cut, offer, length),
        origin=f"{offer.yard}, {plan.job.name}"[:60],
    )


def _value(group: GroupPlan, cut: Stick | Sheet, offer: Offer, length: int) -> Decimal:
    """What one of them costs, as the plan buys it; of a segment its share by length, to the cent below."""
    whole = cut.layout.length
    if isinstance(cut, Stick) and cut.layout.segment is not None:
        whole = group.partings[cut.layout.segment[0]].length
    prices = {(p.offer, p.length): p.unit_price for p in group.purchases}
    price = prices.get((offer.id, whole)) or Decimal(0)
    return price if whole == length else (price * length / whole).quantize(_CENT, ROUND_DOWN)
