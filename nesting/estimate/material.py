"""Lines for material: bought, brought, taken from the rack, and what offcuts stay worth."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal
from fractions import Fraction

from nesting.estimate.figures import cents, number_words
from nesting.estimate.line import Line
from nesting.plan import GroupPlan, Layout, Plan, SheetLayout
from nesting.report.order import Order, OrderLine
from nesting.report.words import counted
from nesting.report.yard_cuts import cuts_words

BOUGHT = "Material bought"


def material_lines(plan: Plan, order: Order) -> list[Line]:
    """What the material costs, and the credit of offcuts if the shop set a share for it."""
    lines = [*_bought(order), *_fees(plan), *_rack(plan)]
    if plan.job.shop.offcut_share or any(group.credit for group in plan.groups):
        lines.append(_credit(plan))
    return lines


def _bought(order: Order) -> Iterator[Line]:
    priced = [line for line in order.lines if line.total is not None]
    unpriced = [line for line in order.lines if line.total is None]
    if priced:
        total = sum((line.total or Decimal(0) for line in priced), Decimal(0))
        total += sum((line.cut_total for line in priced), Decimal(0))
        cuts = sum(line.yard_cuts for line in priced)
        how = f"{_counted(priced)} as on the buy list" + (f", with {cuts_words(cuts)}" if cuts else "")
        yield Line(operation=BOUGHT, kind="material", amount=total, how=how)
    if unpriced:
        how = f"{_counted(unpriced)} as on the buy list; ask with inquiry.csv"
        yield Line(operation="Material without a price", kind="material", amount=None, how=how)


def _counted(lines: list[OrderLine]) -> str:
    """Sticks and sheets of these lines: 2 sticks and 3 sheets."""
    sheets = sum(line.count for line in lines if line.offer.width is not None)
    sticks = sum(line.count for line in lines) - sheets
    counts = ((sticks, "stick"), (sheets, "sheet"))
    return " and ".join(counted(count, what) for count, what in counts if count)


def _fees(plan: Plan) -> Iterator[Line]:
    if plan.fees:
        how = ", ".join(f"{yard}: {what}" for yard, what, _ in plan.fees)
        total = sum((fee for *_, fee in plan.fees), Decimal(0))
        yield Line(operation="Delivery and minimum orders", kind="material", amount=total, how=how)


def _rack(plan: Plan) -> Iterator[Line]:
    taken = {
        layout.source for group in plan.groups for layout in group.layouts if layout.source_kind == "rack"
    }
    taken |= {sheet.source for group in plan.groups for sheet in group.sheets if sheet.source_kind == "rack"}
    if taken:
        pieces = [piece for piece in plan.job.rack if piece.id in taken]
        total = cents(sum((piece.value for piece in pieces), Decimal(0)))
        free = sum(not piece.value for piece in pieces)
        how = f"{counted(len(pieces), 'piece')} at the value of the rack table"
        if free:
            how += f"; {free} of them without a value, so at nothing"
        yield Line(operation="Material from the rack", kind="material", amount=total, how=how)


def _credit(plan: Plan) -> Line:
    """What rests are worth: those that the plan counts as it counts them, those of sheets by their share."""
    shop = plan.job.shop
    worth = sum((_worth(plan, group) for group in plan.groups), Fraction(0))
    worth += sum((Fraction(group.credit) for group in plan.groups), Fraction(0))
    count = sum(layout.times for group in plan.groups for layout in group.layouts if layout.keep)
    sheets = [layout for group in plan.groups for layout in group.sheets]
    count += sum(layout.times * len(layout.offcuts) for layout in sheets)
    by = "length, those of sheets for their area" if sheets else "length"
    how = (
        f"{counted(count, 'offcut')} kept: {number_words(100 * shop.offcut_share, shop)} % of the price for their "
        f"{by}, of a rack piece its value in the same way"
    )
    if shop.scrap_price:
        how += "; shorter rests of bars as scrap"
    if sheets:
        how += "; those of sheets are not part of what the layouts make cheapest"
    return Line(operation="Credit for kept offcuts", kind="material", amount=-cents(worth), how=how)


def _worth(plan: Plan, group: GroupPlan) -> Fraction:
    """What kept rests of a group are worth that the plan does not count: of sheets, and where it counts weight."""
    prices = {(line.offer, line.length): line.unit_price for line in group.purchases}
    values = {piece.id: piece.value for piece in plan.job.rack}
    share, worth = Fraction(plan.job.shop.offcut_share), Fraction(0)
    for layout, part in _kept(group):
        if layout.source_kind == "rack":
            worth += part * Fraction(values[layout.source])
        else:
            worth += part * share * Fraction(prices[layout.source, layout.length] or 0)
    return worth


def _kept(group: GroupPlan) -> Iterator[tuple[Layout | SheetLayout, Fraction]]:
    """Layouts whose kept rests the plan does not count, and how many sticks or sheets these come to."""
    for layout in group.layouts:
        if layout.keep and not group.priced:
            yield layout, Fraction(layout.rest * layout.times, layout.length)
    for sheet in group.sheets:
        area = sum(offcut.length * offcut.width for offcut in sheet.offcuts)
        yield sheet, Fraction(area * sheet.times, sheet.length * sheet.width)
