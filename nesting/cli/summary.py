"""The short summary of a plan on the terminal; fits 80 columns."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from textwrap import wrap

from nesting.order import Order, YardOrder, order_of
from nesting.plan import Plan
from nesting.sources import material_words
from nesting.words import (
    counted,
    money_words,
    plan_proof_words,
    proof_words,
    stick_words,
    stopped_words,
    weight_words,
)


def summary_lines(plan: Plan, folder: Path) -> Iterator[str]:
    """What to buy, cost and weight, sticks, what is proved, and where the results are."""
    shop = plan.job.shop
    order = order_of(plan)
    for yard in order.yards:
        yield f"buy from {yard.yard.name}"
        yield from _lines(yard, plan)
    if order.rack:
        yield "take from the rack"
        for take in order.rack:
            size = f"{material_words(take.piece.material)}, {stick_words(take.piece.length, shop)}"
            yield f"  {take.piece.id:<8}{size}"
    yield ""
    yield from _totals(plan, order)
    for group in plan.groups:
        words = proof_words(group)
        if group.stopped in ("interrupted", "time limit", "work limit", "finished"):
            words += f". {stopped_words(group)}"
        yield from wrap(f"{group.name}: {words}", 80, subsequent_indent="  ")
        yield from (f"  improved: {gain}" for gain in group.improved)
    if len(plan.groups) > 1:
        yield from wrap(f"all: {plan_proof_words(plan)}", 80, subsequent_indent="  ")
    yield f"written to {folder}"


def _lines(yard: YardOrder, plan: Plan) -> Iterator[str]:
    shop = plan.job.shop
    for line in yard.lines:
        what = f"{material_words(line.offer.material)}, {stick_words(line.length, shop)}"
        if line.offer.is_random:
            what += f" to {stick_words(line.offer.longest, shop)}"
        price = "no price" if line.total is None else money_words(line.total, shop)
        yield f"  {line.count:>4} x {what:<44}{price:>14}"
        if line.cut_by_yard:
            yield "         have it cut to that length"
    for what, fee in yard.fees:
        yield f"         {what:<44}{money_words(fee, shop):>14}"


def _totals(plan: Plan, order: Order) -> Iterator[str]:
    shop = plan.job.shop
    sticks = sum(layout.times for group in plan.groups for layout in group.layouts if layout.pieces)
    weight = weight_words(plan.weight_kg, shop)
    bought = counted(order.sticks, "stick")
    cost = "unpriced" if not any(group.priced for group in plan.groups) else money_words(plan.total, shop)
    yield f"{cost} for {bought} bought, {weight}; {counted(sticks, 'stick')} to cut"
    if any(not group.priced for group in plan.groups) and any(group.priced for group in plan.groups):
        yield "some material has no price and is not in that sum: see inquiry.csv"
