"""How much longer each part could be at no cost: what lies behind the pieces of its sticks, and is not kept."""

from __future__ import annotations

from decimal import Decimal

from nesting.job import Job, Shop
from nesting.market.rests import Source, room_behind
from nesting.plan import GroupPlan, Hint, Layout
from stock.length import PER_INCH, PER_MM

WORDS = "could be longer at no cost"


def growth_hints(job: Job, group: GroupPlan) -> tuple[Hint, ...]:
    """For each part of a group, taken alone, how much longer it could be with the same sticks; the most first.

    Nothing else would change: no purchase, and no rest that is kept or earns something. Parts on sheets, and what a
    yard cuts to the length asked for, have no such room.

    Returns
    -------
    tuple of Hint
        One change each, in ticks shorter, hence below zero, down to what the shop's rule shows.
    """
    sources: dict[tuple[str, str], Source] = {
        **{("offer", o.id): o for o in job.offers},
        **{("rack", r.id): r for r in job.rack},
    }
    on_sheets = {placed.mark for sheet in group.sheets for placed in sheet.pieces}
    least: dict[str, int] = {}
    for layout in group.layouts:
        if layout.pieces:
            spare = _spare(job, group, layout, sources[layout.source_kind, layout.source])
            marks = [piece.mark for piece in layout.pieces]
            for mark in set(marks):
                each = spare // marks.count(mark)
                least[mark] = min(each, least.get(mark, each))
    step = finest(job.shop)
    plates = {part.mark for part in job.parts if part.is_plate}
    found = [(mark, least[mark] // step * step) for mark in group.marks if mark in least]
    hints = [
        Hint(changes=((mark, -longer),), saves=Decimal(0), words=WORDS)
        for mark, longer in found
        if longer > 0 and mark not in on_sheets and mark not in plates
    ]
    return tuple(sorted(hints, key=lambda hint: hint.changes[0][1]))


def finest(shop: Shop) -> int:
    """Ticks of the finest step that a drawing takes: the fraction of an inch that is printed, or a millimetre."""
    return PER_INCH // shop.denominator if shop.unit == "in" else PER_MM


def _spare(job: Job, group: GroupPlan, layout: Layout, source: Source) -> int:
    """Ticks by which the pieces of a stick together could be longer at no cost."""
    if layout.credit:
        return 0
    saw = next(saw for saw in job.saws if saw.name == layout.saw)
    room = room_behind(job, group, layout, source, saw)
    return min(room, layout.rest - job.shop.keep_length) if layout.keep else room
