"""Where the work on a plan stands, in lines for the terminal."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import groupby

from nesting.plan import Layout
from nesting.report.words import counted, length_words, number_words
from nesting.work.items import Item
from nesting.work.remains import planned_rest
from nesting.work.standing import Standing


def state_lines(work: Standing) -> Iterator[str]:
    """What is made and open, stick by stick, and what is on hand."""
    job = work.plan.job
    left = work.remaining()
    due = {part.mark: left[part.mark] for part in job.needed}
    open_ones = {mark: count for mark, count in due.items() if count}
    total = sum(work.made.values()) + sum(open_ones.values())
    yield f"{sum(work.made.values())} of {counted(total, 'piece')} made"
    for words, items in groupby(work.items.values(), key=lambda item: _words(work, item)):
        several = list(items)
        runs = [(item.number, 1) for item in several]
        plural = "s" if len(runs) > 1 else ""
        yield f"  {several[0].kind}{plural} {number_words(runs)}: {words.partition(':')[2]}"
    if open_ones:
        yield f"still to make: {', '.join(f'{count} {mark}' for mark, count in open_ones.items())}"
    else:
        yield "everything is made"
    for mark, change in work.need.items():
        yield f"{mark}: {abs(change)} {'more' if change > 0 else 'fewer'} wanted than planned"
    for saw, ticks in work.kerf.items():
        yield f"kerf of {saw} as measured: {length_words(ticks, job.shop)}"
    for yard in work.taken_as_bought:
        yield f"the whole order of {yard} is taken as on hand, as something from it was cut or measured"
    yield from heat_lines(work)


def heat_lines(work: Standing) -> Iterator[str]:
    """Heat numbers of the pieces that are made, heat by heat."""
    made: dict[str, dict[str, int]] = {}
    for name, item in work.items.items():
        done = work.progress[name]
        heat = done.came.heat if done.came else getattr(item.source, "heat", "")
        for at, mark in enumerate(item.marks[: done.cut], 1):
            if heat and at not in done.spoiled:
                counts = made.setdefault(heat, {})
                counts[mark] = counts.get(mark, 0) + 1
    for heat, counts in made.items():
        yield f"heat {heat}: {', '.join(f'{count} {mark}' for mark, count in counts.items())}"


def _words(work: Standing, item: Item) -> str:
    """The kind, a colon, and how far it is: equal neighbours are told together."""
    done, shop = work.progress[item.name], work.plan.job.shop
    parts = ["all cut" if done.cut == len(item.marks) else f"{done.cut} of {len(item.marks)} pieces cut"]
    if not item.marks:
        parts = ["stays whole"]
    elif not done.cut:
        here = not item.yard or item.name in work.on_hand
        parts = ["not begun" if here else "not begun, to be bought"]
    if 0 < done.cut < len(item.marks):
        parts.append(f"next is {item.marks[done.cut]}")
        if isinstance(item.layout, Layout) and done.left is None:
            came = done.came if item.layout.segment is None else None
            longer = 0 if came is None else came.length - item.layout.length
            rest = max(0, planned_rest(work, item, done.cut) + longer)
            parts.append(f"{length_words(rest, shop)} left by the plan")
    if done.spoiled:
        parts.append(f"no good: piece {', '.join(str(piece) for piece in sorted(done.spoiled))}")
    if done.left is not None and done.at == done.cut:
        sizes = [length_words(a, shop) + (f" x {length_words(b, shop)}" if b else "") for a, b in done.left]
        parts.append(f"measured: {' + '.join(sizes) or 'nothing'} left")
    return f"{item.kind}: {', '.join(parts)}"
