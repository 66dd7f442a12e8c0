"""From patterns back to layouts: which mark each piece is, where it lies, what is bought."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal

from nesting.bars.problem import Pattern
from nesting.bars.solution import Solution, sticks_used
from nesting.job import Job, Part, Saw
from nesting.market.build import Built
from nesting.market.supply import Alike
from nesting.plan import Layout, Piece, Purchase
from stock.money import line_total
from stock.offer import Offer
from stock.rack import RackPiece

Row = tuple[Part, ...]
"""The parts of one stick in cutting order."""


def layouts_of(job: Job, built: Built, solution: Solution) -> tuple[Layout, ...]:
    """Layouts of a solution: sticks cut alike together, longest sticks and pieces first."""
    waiting = [[_Wanted(p, job.copies(p)) for p in kind.parts] for kind in built.kinds]
    rack = {s: list(o.pieces) for s, o in enumerate(built.origins) if isinstance(o, Alike)}
    saws = {s.name: s for s in job.saws}
    sticks: dict[tuple[str, int, str, Row], tuple[Offer | RackPiece, int]] = {}
    for pattern, times in sorted(solution.items(), key=lambda pair: _order(built, pair[0])):
        stock = built.problem.stocks[pattern.stock]
        origin = built.origins[stock.source]
        saw = built.saws[pattern.stock]
        for row, n in _marked(waiting, pattern, times):
            if isinstance(origin, Alike):
                for _ in range(n):
                    piece = rack[stock.source].pop(0)
                    sticks[piece.id, piece.length, saw, row] = (piece, 1)
            else:
                length = stock.length
                if origin.cut_to_length is not None:
                    length = built.problem.used(pattern) + stock.ends
                key = (origin.id, length, saw, row)
                sticks[key] = (origin, sticks.get(key, (origin, 0))[1] + n)
    done = [
        _layout(job, source, length, saws[saw], row, n)
        for (_, length, saw, row), (source, n) in sticks.items()
    ]
    return tuple(done + _uncut(built, solution))


def purchases_of(job: Job, layouts: tuple[Layout, ...], priced: bool) -> tuple[Purchase, ...]:
    """What the layouts need bought, by offer and length, in the job's order."""
    counts: Counter[tuple[str, int]] = Counter()
    for layout in layouts:
        if layout.source_kind == "offer":
            counts[layout.source, layout.length] += layout.times
    lines = []
    for offer in job.offers:
        for (source, length), count in sorted(counts.items(), key=lambda pair: -pair[0][1]):
            if source != offer.id:
                continue
            asked = None if offer.cut_to_length is None else length
            price = offer.unit_price(asked) if priced else None
            lines.append(
                Purchase(
                    offer=offer.id,
                    length=length,
                    count=count,
                    unit_price=price,
                    total=None if price is None else line_total(count, price),
                    weight_kg=count * offer.material.weight_kg(length),
                )
            )
    return tuple(lines)


def group_cost(
    job: Job, layouts: tuple[Layout, ...], purchases: tuple[Purchase, ...], priced: bool
) -> Decimal:
    """The objective as it is printed: lines to the cent and rack values, or kilograms to 0.0001."""
    if priced:
        values = {r.id: r.value for r in job.rack}
        used = sum((values[x.source] for x in layouts if x.source_kind == "rack"), Decimal(0))
        return sum((p.total for p in purchases if p.total is not None), Decimal(0)) + used
    offers = {o.id: o for o in job.offers}
    return sum(
        (
            p.count * offers[p.offer].unit_weight(None if offers[p.offer].cut_to_length is None else p.length)
            for p in purchases
        ),
        Decimal(0),
    )


def _order(built: Built, pattern: Pattern) -> tuple[int, int, tuple[tuple[int, int], ...]]:
    stock = built.problem.stocks[pattern.stock]
    return stock.source, -built.problem.used(pattern), pattern.counts


@dataclass(slots=True)
class _Wanted:
    """Copies of a part that no stick holds yet."""

    part: Part
    left: int


def _marked(waiting: list[list[_Wanted]], pattern: Pattern, times: int) -> Iterator[tuple[Row, int]]:
    """Give marks to the pieces of sticks cut alike, as many sticks at a time as take the same marks."""
    while times:
        taken: list[tuple[_Wanted, int]] = []
        for item, k in pattern.counts:
            room = k
            for wanted in waiting[item]:
                take = min(room, wanted.left)
                if take:
                    taken.append((wanted, take))
                    room -= take
        alike = min([times, *(wanted.left // take for wanted, take in taken)])
        for wanted, take in taken:
            wanted.left -= alike * take
        yield tuple(wanted.part for wanted, take in taken for _ in range(take)), alike
        times -= alike


def _layout(job: Job, source: Offer | RackPiece, length: int, saw: Saw, row: Row, times: int) -> Layout:
    head = 0 if source.clean_ends >= 1 else saw.trim
    at = head
    pieces = []
    for part in row:
        pieces.append(Piece(mark=part.mark, start=at, extent=part.extent))
        at += part.extent + saw.kerf
    rest = max(0, length - at)
    return Layout(
        source_kind="offer" if isinstance(source, Offer) else "rack",
        source=source.id,
        length=length,
        saw=saw.name,
        times=times,
        head=head,
        pieces=tuple(pieces),
        rest=rest,
        keep=rest > 0 and rest >= job.shop.keep_length,
    )


def _uncut(built: Built, solution: Solution) -> list[Layout]:
    """Sticks that a quantity break makes cheaper to buy than to leave, and that nothing is cut from."""
    used = sticks_used(built.problem, solution)
    spare = []
    for s, offer in built.prepaid.items():
        left = (built.problem.sources[s].limit or 0) - used[s]
        if left > 0:
            spare.append(
                Layout(
                    source_kind="offer",
                    source=offer.id,
                    length=offer.length,
                    saw=built.saws[0],
                    times=left,
                    head=0,
                    pieces=(),
                    rest=offer.length,
                    keep=True,
                )
            )
    return spare
