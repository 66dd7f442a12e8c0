"""What a plan of what is left changes against the plan before."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from decimal import Decimal

from nesting.plan import Plan
from nesting.report.order import sources_by_id
from nesting.report.words import counted, length_words, money_words, number_words, size_words, stick_words
from nesting.rules.sources import material_words
from nesting.work.items import Item, items_of
from nesting.work.remains import short_name
from nesting.work.replan import Replan
from nesting.work.standing import Standing, line_of
from stock.offer import Offer


def change_lines(work: Standing, new: Replan, letter: str, before: int = 0) -> Iterator[str]:
    """What is made, what stays as it was, what is bought beyond or no longer, what cannot be made; a line each.

    Parameters
    ----------
    letter
        Of the old plan, by which its bought material is named.
    before
        Pieces that plans before the old one made.
    """
    plan, shop = new.plan, new.plan.job.shop
    made, left = before + sum(work.made.values()), sum(plan.job.copies(part) for part in plan.job.needed)
    yield f"{counted(made, 'piece')} made so far, {left} to make by this plan"
    for mark, change in work.need.items():
        yield f"{mark}: {abs(change)} {'more' if change > 0 else 'fewer'} wanted than planned"
    for saw, ticks in work.kerf.items():
        yield f"kerf of {saw}: {length_words(ticks, shop)}, as measured"
    for yard in work.taken_as_bought:
        yield f"the whole order of {yard} is taken as on hand, as something from it was cut or measured"
    yield from _sticks(work, plan, letter)
    yield from _purchases(work, plan)
    for mark, count in new.missing:
        yield f"cannot be made without buying: {count} of {mark}"
    yield from new.told
    for name, mark in new.same:
        yield f"{name} is made as {mark} is drawn"
    if slanted := _slanted(work):
        sticks = number_words([(number, 1) for number in slanted])
        yield (
            f"stick {sticks}: begun with a mitre, so its rest counts from the short point; where the old layout can be "
            "finished, that may save bar"
        )


def _sticks(work: Standing, plan: Plan, letter: str) -> Iterator[str]:
    """Bought sticks and sheets that are not begun: which are cut as before, which otherwise, which stay whole."""
    now = {item.layout.source: item for item in items_of(plan).values() if not item.yard}
    known = {piece.id for piece in plan.job.rack}
    alike: list[str] = []
    other: list[str] = []
    whole: list[str] = []
    for item in work.items.values():
        name = _name(item, letter)
        name = name if name in known else ""
        if work.progress[item.name].is_touched or not name:
            continue
        then = now.get(name)
        if then is None:
            whole.append(name)
        else:
            (alike if Counter(then.marks) == Counter(item.marks) else other).append(name)
    for words, names in (("cut as before", alike), ("cut otherwise", other), ("not needed any more", whole)):
        if names:
            yield f"{words}: {', '.join(names)}"


def _name(item: Item, letter: str) -> str:
    """Under which name a stick or sheet of the old plan is on hand."""
    return item.layout.source if not item.yard else short_name(item, letter)


def _purchases(work: Standing, plan: Plan) -> Iterator[str]:
    """What is bought against what of the old plan is not on hand."""
    waiting: Counter[tuple[str, int]] = Counter()
    for group in work.plan.groups:
        parted = {parting.offer for parting in group.partings}
        for line in group.purchases:
            key = (line.offer, line.length)
            there = sum(line_of(work.items[name]) == key for name in work.on_hand)
            waiting[key] = 0 if there and line.offer in parted else max(0, line.count - there)
    now: Counter[tuple[str, int]] = Counter()
    for group in plan.groups:
        now.update({(line.offer, line.length): line.count for line in group.purchases})
    sources = sources_by_id(work.plan.job)
    for size_of in sorted(waiting.keys() | now.keys()):
        offer, length = sources["offer", size_of[0]], size_of[1]
        assert isinstance(offer, Offer)
        size = stick_words(length, plan.job.shop)
        if offer.width is not None:
            size = size_words(length, offer.width, plan.job.shop)
        what = f"{material_words(offer.material)}, {size}, from {offer.yard}"
        if now[size_of] > waiting[size_of]:
            yield f"buy {now[size_of] - waiting[size_of]} more: {what}"
        elif now[size_of] < waiting[size_of]:
            yield f"buy {waiting[size_of] - now[size_of]} fewer: {what}"
    if plan.total or any(group.priced for group in plan.groups):
        yield f"still to pay: {money_words(plan.total or Decimal('0.00'), plan.job.shop)}"


def _slanted(work: Standing) -> list[int]:
    """Sticks begun and not finished whose last cut is a mitre."""
    found = []
    for (kind, number), item in work.items.items():
        done = work.progress[kind, number]
        steps = getattr(item.listed, "steps", ())
        freed = [one.freed for step in steps for one in step.sawn][: done.cut]
        if 0 < done.cut < len(item.marks) and freed and not freed[-1].is_square:
            found.append(number)
    return found
