"""A plan as the rack ledger books it: which piece each of its sticks and sheets is, and what is cut from that."""

from __future__ import annotations

import hashlib
from collections import Counter
from collections.abc import Iterator
from dataclasses import replace
from decimal import ROUND_DOWN, Decimal

from nesting.plan import GroupPlan, Plan
from nesting.report.saw_list import Stick, saw_list
from nesting.report.sheet_list import Sheet, sheet_list
from nesting.write.archive import plan_text
from stock.offer import Offer
from stock.rack.booking import Use
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
