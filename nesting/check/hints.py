"""Hints: shortenings within the leave that a part gives, and growth that its sticks have room for at no cost.

What a shortening saves was found by planning again, which the check does not do: it says so, and that no more is saved
than the group costs. That a part could be longer it reckons from the sticks: the pieces of each, the spare ones aside,
still end before its tail, a kept rest stays worth keeping, and no rest that earns money becomes shorter.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from nesting.check import say
from nesting.check.fill import settled_rest
from nesting.check.hauling import clean_ends_of
from nesting.check.supply import Supply, ends
from nesting.check.ways import Source
from nesting.plan import GroupPlan, Hint, Layout, Plan


def hint_breaches(plan: Plan, supply: Supply) -> Iterator[str]:
    """Say which hints cannot be followed as they stand."""
    for group in plan.groups:
        for number, hint in enumerate(group.hints, start=1):
            for breach in _hint(hint, group, supply):
                yield f"group {group.name}, hint {number}: {breach}"


def _hint(hint: Hint, group: GroupPlan, supply: Supply) -> Iterator[str]:
    marks = [mark for mark, _ in hint.changes]
    if not marks or len(set(marks)) < len(marks) or hint.saves < 0:
        yield "it names no part, or one twice, or saves less than nothing"
    if hint.saves > group.cost:
        yield f"it saves {hint.saves}, due is {group.cost} at most, what the group costs"
    for mark, ticks in hint.changes:
        part = supply.parts.get(mark)
        if part is None or mark not in group.marks:
            yield f"part {mark} is not of this group"
        elif ticks > part.may_shorten:
            shop = supply.job.shop
            yield f"part {mark} {say.ticks(shop, ticks)} shorter, due is {say.ticks(shop, part.may_shorten)} at most"
        elif ticks <= 0 and (len(marks) > 1 or hint.saves):
            yield f"part {mark} is not made shorter, and that saves {hint.saves}"
        elif ticks < 0:
            yield from _longer(mark, -ticks, group, supply)


def _longer(mark: str, ticks: int, group: GroupPlan, supply: Supply) -> Iterator[str]:
    """Whether every stick has room for its copies of a longer part, at no cost."""
    if any(placed.mark == mark for sheet in group.sheets for placed in sheet.pieces):
        yield f"part {mark} lies on a sheet, where none is said to be longer at no cost"
    for number, layout in enumerate(group.layouts, start=1):
        copies = sum(piece.mark == mark for piece in layout.pieces)
        most = _room(layout, group, supply) if copies else None
        if most is not None and copies * ticks > most:
            shop = supply.job.shop
            yield (
                f"part {mark} {say.ticks(shop, ticks)} longer takes {say.ticks(shop, copies * ticks)} more of layout"
                f" {number}, which has {say.ticks(shop, most)} at no cost"
            )


def _room(layout: Layout, group: GroupPlan, supply: Supply) -> int | None:
    """Ticks by which the pieces of a stick together could be longer at no cost; None if its source is unknown."""
    shelf: Mapping[str, Source] = supply.rack if layout.source_kind == "rack" else supply.offers
    source, saw = shelf.get(layout.source), supply.saws.get(layout.saw)
    due = [p for p in layout.pieces if p.mark in supply.parts and supply.parts[p.mark].fill is None]
    if source is None or saw is None or not due:
        return None
    if layout.credit:
        return 0
    cut = supply.cut(saw)
    tail = ends(clean_ends_of(layout, group, source.clean_ends), saw, cut).tail
    room = layout.length - tail - max(p.start + p.extent for p in due) - cut
    rest, is_kept = settled_rest(layout, supply)
    return min(room, rest - supply.job.shop.keep_length) if is_kept else room
