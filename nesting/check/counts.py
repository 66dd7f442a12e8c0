"""Copies and stock over the whole plan: each piece made once, nothing used that is not there."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator

from nesting.check.supply import Size, Supply, bought_of, cut_alike
from nesting.plan import Plan


def count_breaches(plan: Plan, supply: Supply) -> Iterator[str]:
    """Say which parts are made too often or too seldom, and which stock is overdrawn."""
    yield from _marks(plan, supply)
    yield from _copies(plan, supply)
    yield from _rack(plan, supply)
    yield from _sizes(plan, supply)


def _marks(plan: Plan, supply: Supply) -> Iterator[str]:
    """Every part that must be made stands in one group; a fill part in none."""
    stands = Counter(mark for group in plan.groups for mark in group.marks)
    for mark, part in supply.parts.items():
        due = 1 if part.fill is None else 0
        if stands[mark] != due:
            yield f"part {mark} stands in the groups {stands[mark]} times, due is {'once' if due else 'not at all'}"
    for group in plan.groups:
        for mark in group.marks:
            if mark not in supply.parts:
                yield f"group {group.name}: no part of the job has the mark {mark}"


def _copies(plan: Plan, supply: Supply) -> Iterator[str]:
    made: Counter[str] = Counter()
    for group in plan.groups:
        for layout in cut_alike(group):
            for piece in layout.pieces:
                made[piece.mark] += layout.times
    missing = []
    for mark, due in supply.copies.items():
        if supply.parts[mark].fill is None:
            if made[mark] != due:
                yield f"part {mark} is made {made[mark]} times, due is {due}"
        elif made[mark] > due:
            yield f"fill part {mark} is made {made[mark]} times, due is {due} at most"
        elif made[mark] < due:
            missing.append((mark, due - made[mark]))
    if plan.unfilled != tuple(missing):
        yield f"unfilled is {plan.unfilled}, due is {tuple(missing)}"


def _rack(plan: Plan, supply: Supply) -> Iterator[str]:
    used: Counter[str] = Counter()
    for group in plan.groups:
        used.update(layout.source for layout in cut_alike(group) if layout.source_kind == "rack")
    for name, times in used.items():
        if times > 1 and name in supply.rack:
            yield f"rack {name} is used in {times} layouts, there is one"


def _sizes(plan: Plan, supply: Supply) -> Iterator[str]:
    bought: dict[Size, Counter[str]] = {}
    for group in plan.groups:
        for offer, _, times in bought_of(group):
            if offer in supply.offers:
                bought.setdefault(supply.size_of[offer], Counter())[offer] += times
    for size, rows in bought.items():
        yield from _size(size, rows, supply)


def _size(size: Size, rows: Counter[str], supply: Supply) -> Iterator[str]:
    names, count = " and ".join(rows), rows.total()
    if size.limit is not None and count > size.limit:
        yield f"{names}: {count} are bought, {size.limit} are available"
    if len(rows) > 1:
        yield f"{names} are one size and are bought at {len(rows)} prices, due is one of these rows"
    for name in rows:
        least = supply.offers[name].from_qty
        if count < least:
            yield f"{name}: {count} are bought, its price holds from {least}"
