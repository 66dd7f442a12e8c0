"""Lines for material: bought, brought, taken from the rack, and what offcuts stay worth."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal
from fractions import Fraction

from nesting.estimate.figures import cents, number_words
from nesting.estimate.line import Line
from nesting.order import Order
from nesting.plan import GroupPlan, Plan
from nesting.words import counted

BOUGHT = "Material bought"


def material_lines(plan: Plan, order: Order) -> list[Line]:
    """What the material costs, and the credit of offcuts if the shop set a share for it."""
    lines = [*_bought(order), *_fees(plan), *_rack(order)]
    if plan.job.shop.offcut_share:
        lines.append(_credit(plan))
    return lines


def _bought(order: Order) -> Iterator[Line]:
    priced = [line for line in order.lines if line.total is not None]
    unpriced = sum(line.count for line in order.lines if line.total is None)
    if priced:
        sticks = counted(sum(line.count for line in priced), "stick")
        total = sum((line.total or Decimal(0) for line in priced), Decimal(0))
        how = f"{sticks} as on the buy list"
        yield Line(operation=BOUGHT, kind="material", amount=total, how=how)
    if unpriced:
        how = f"{counted(unpriced, 'stick')} as on the buy list; ask with inquiry.csv"
        yield Line(operation="Material without a price", kind="material", amount=None, how=how)


def _fees(plan: Plan) -> Iterator[Line]:
    if plan.fees:
        how = ", ".join(f"{yard}: {what}" for yard, what, _ in plan.fees)
        total = sum((fee for *_, fee in plan.fees), Decimal(0))
        yield Line(operation="Delivery and minimum orders", kind="material", amount=total, how=how)


def _rack(order: Order) -> Iterator[Line]:
    if order.rack:
        pieces = [take.piece for take in order.rack]
        total = cents(sum((piece.value for piece in pieces), Decimal(0)))
        free = sum(not piece.value for piece in pieces)
        how = f"{counted(len(pieces), 'piece')} at the value of the rack table"
        if free:
            how += f"; {free} of them without a value, so at nothing"
        yield Line(operation="Material from the rack", kind="material", amount=total, how=how)


def _credit(plan: Plan) -> Line:
    """Offcuts of bought sticks at the share of their price; those of the rack keep their value."""
    shop = plan.job.shop
    worth = sum((_worth(plan, group) for group in plan.groups), Fraction(0))
    count = sum(layout.times for group in plan.groups for layout in group.layouts if layout.keep)
    how = (
        f"{counted(count, 'offcut')} kept: {number_words(100 * shop.offcut_share, shop)} % of the price for their "
        "length, of a rack piece its value for the length; not part of what the layouts make cheapest"
    )
    return Line(operation="Credit for kept offcuts", kind="material", amount=-cents(worth), how=how)


def _worth(plan: Plan, group: GroupPlan) -> Fraction:
    prices = {(line.offer, line.length): line.unit_price for line in group.purchases}
    values = {piece.id: piece.value for piece in plan.job.rack}
    share, worth = Fraction(plan.job.shop.offcut_share), Fraction(0)
    for layout in group.layouts:
        if not layout.keep:
            continue
        part = Fraction(layout.rest * layout.times, layout.length)
        if layout.source_kind == "rack":
            worth += part * Fraction(values[layout.source])
        else:
            worth += part * share * Fraction(prices[layout.source, layout.length] or 0)
    return worth
