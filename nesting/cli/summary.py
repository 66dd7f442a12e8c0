"""The short summary of a plan on the terminal; fits 80 columns."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import islice
from pathlib import Path
from textwrap import wrap

from nesting.job import Shop
from nesting.plan import Plan
from nesting.report.designer_words import longer_lines, shorter_lines, spare_lines
from nesting.report.mitre_words import total_words
from nesting.report.order import Order, YardOrder, order_of
from nesting.report.saw_list import saw_list
from nesting.report.saw_words import doubt_words
from nesting.report.sheet_list import sheet_list
from nesting.report.words import (
    blanks_words,
    counted,
    goods_words,
    is_of_yards,
    left_words,
    money_words,
    other_words,
    plan_proof_words,
    proof_words,
    size_words,
    stick_words,
    stopped_words,
    weight_words,
)
from nesting.report.yard_cuts import cuts_words, yard_cut_lines
from nesting.rules.sources import material_words
from nesting.write.drawings import FOLDER, drawing_names

_HINTS = 3
"""Hints of a kind that the terminal shows."""


def summary_lines(plan: Plan, folder: Path) -> Iterator[str]:
    """What to buy, cost and weight, sticks and sheets, what is proved, and where the results are."""
    shop = plan.job.shop
    order = order_of(plan)
    for yard in order.yards:
        head = f"buy from {', '.join(filter(None, (yard.yard.name, yard.coming, _lead(yard))))}"
        yield from wrap(head, 80, subsequent_indent="  ")
        yield from _lines(yard, plan)
    if order.rack:
        yield "take from the rack"
        for take in order.rack:
            size = _size(take.piece.length, take.piece.width, shop)
            yield f"  {take.piece.id:<8}{material_words(take.piece.material)}, {size}"
    yield ""
    yield from _totals(plan, order)
    of_yards = is_of_yards(plan.job)
    for group in plan.groups:
        words = proof_words(group, of_yards)
        if group.stopped in ("interrupted", "time limit", "work limit", "finished", "settled"):
            words += f". {stopped_words(group)}"
        yield from wrap(f"{group.name}: {words}", 80, subsequent_indent="  ")
        yield from (f"  improved: {gain}" for gain in group.improved)
    if len(plan.groups) > 1 or of_yards:
        yield from wrap(f"all: {plan_proof_words(plan)}", 80, subsequent_indent="  ")
    yield from _others(plan)
    yield from wrap(doubt_words(saw_list(plan), shop), 80, subsequent_indent="  ")
    yield from _for_the_drawings(plan)
    yield f"written to {folder}"
    if drawings := [name for sheet in sheet_list(plan).cut for name in drawing_names(sheet)]:
        yield f"with {counted(len(drawings), 'drawing')} of sheets in {FOLDER}"


def _for_the_drawings(plan: Plan) -> Iterator[str]:
    """How many spares are cut, and the best hints where parts may be shortened; the rest stands on the page."""
    lines = list(spare_lines(plan))
    if any(part.may_shorten for part in plan.job.parts):
        lines += [*islice(shorter_lines(plan), _HINTS), *islice(longer_lines(plan, most=5), _HINTS)]
    for line in lines:
        yield from wrap(line, 80, subsequent_indent="  ")


def _others(plan: Plan) -> Iterator[str]:
    """Other choices of yards, and what each costs more."""
    for what, more in other_words(plan):
        *above, last = wrap(what, 50)
        yield from (f"  {line}" for line in above)
        yield f"  {last:<51}{more:>14}"


def _lead(yard: YardOrder) -> str:
    days = yard.yard.lead_days
    return "" if days is None else f"{counted(days, 'day')} from order"


def _lines(yard: YardOrder, plan: Plan) -> Iterator[str]:
    shop = plan.job.shop
    for line in yard.lines:
        what = f"{material_words(line.offer.material)}, {_size(line.length, line.width, shop)}"
        if line.offer.is_random:
            what += f" to {stick_words(line.offer.longest, shop)}"
        price = "no price" if line.total is None else money_words(line.total, shop)
        yield f"  {line.count:>4} x {what:<44}{price:>14}"
        if line.cut_by_yard:
            yield "         have it cut to that length"
        for asked in yard_cut_lines(line.partings, line.offer, shop):
            yield from wrap(asked, 80, initial_indent=" " * 9, subsequent_indent=" " * 11)
        if line.cut_total:
            what = f"{cuts_words(line.yard_cuts)} at {money_words(line.cut_total / line.yard_cuts, shop)}"
            yield f"         {what:<44}{money_words(line.cut_total, shop):>14}"
    for what, fee in yard.fees:
        yield f"         {what:<44}{money_words(fee, shop):>14}"


def _totals(plan: Plan, order: Order) -> Iterator[str]:
    shop = plan.job.shop
    sticks = sum(layout.times for group in plan.groups for layout in group.layouts if layout.pieces)
    to_cut = goods_words(sticks, sum(sheet.layout.times for sheet in sheet_list(plan).cut))
    weight = weight_words(plan.weight_kg, shop)
    bought = goods_words(order.sticks, order.sheets)
    cost = "unpriced" if not any(group.priced for group in plan.groups) else money_words(plan.total, shop)
    yield f"{cost} for {bought} bought, {weight}; {to_cut} to cut"
    if mitres := total_words(saw_list(plan)):
        yield from wrap(mitres, 80, subsequent_indent="  ")
    if any(not group.priced for group in plan.groups) and any(group.priced for group in plan.groups):
        yield "some material has no price and is not in that sum: see inquiry.csv"
    if blanks := blanks_words(plan):
        yield from wrap(blanks, 80, subsequent_indent="  ")
    if left := left_words(plan):
        yield from wrap(left, 80, subsequent_indent="  ")


def _size(length: int, width: int | None, shop: Shop) -> str:
    """How long a stick is, or length by width of a sheet."""
    return stick_words(length, shop) if width is None else size_words(length, width, shop)
