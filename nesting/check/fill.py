"""Fill parts: in sticks, behind all that must be made, and on sheets, that are cut anyway.

The cost of a plan counts rests as they are before fill parts are cut from them. A fill part takes scrap; where it
takes from what would be a kept offcut, fill parts must be worth more than the rest loses, at the price of the stick
(of a rack piece without value: of the cheapest offer that could stand in for it).
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from fractions import Fraction

from nesting.check.supply import Supply
from nesting.check.ways import Source
from nesting.plan import GroupPlan, Layout, Piece, Placed, Plan
from stock.offer import Offer


def fill_breaches(plan: Plan, supply: Supply) -> Iterator[str]:
    """Say which fill parts lie where they may not."""
    for group in plan.groups:
        for number, layout in enumerate(group.layouts, start=1):
            for breach in _stick(layout, supply):
                yield f"group {group.name}, layout {number} ({layout.source}): {breach}"
        yield from _sheets(group, supply)


def settled_rest(layout: Layout, supply: Supply) -> tuple[int, bool]:
    """What was left of a stick before fill parts were cut from it, ticks, and whether that was worth keeping.

    Cost and credit are of that.
    """
    first = next((p for p in layout.pieces if _is_fill(p, supply)), None)
    if first is None:
        return layout.rest, layout.keep
    rest = max(0, layout.length - first.start)
    return rest, _is_kept(rest, supply)


def _is_fill(piece: Piece | Placed, supply: Supply) -> bool:
    part = supply.parts.get(piece.mark)
    return part is not None and part.fill is not None


def _is_kept(rest: int, supply: Supply) -> bool:
    return rest > 0 and rest >= supply.job.shop.keep_length


def _stick(layout: Layout, supply: Supply) -> Iterator[str]:
    fills = [_is_fill(piece, supply) for piece in layout.pieces]
    if not any(fills):
        return
    first = fills.index(True)
    if first == 0:
        yield "it is cut for fill parts alone, due is a piece that must be made"
    if not all(fills[first:]):
        yield f"piece {first + 1} is a fill part, due are the pieces that must be made before it"
    shelf: Mapping[str, Source] = supply.rack if layout.source_kind == "rack" else supply.offers
    source = shelf.get(layout.source)
    if source is not None:
        yield from _worth(layout, layout.pieces[first:], source, supply)


def _worth(layout: Layout, pieces: tuple[Piece, ...], source: Source, supply: Supply) -> Iterator[str]:
    """Whether the fill parts of a stick are worth more than its rest loses."""
    rate, (before, was_kept) = _rate(source, supply), settled_rest(layout, supply)
    if rate is None and was_kept:
        yield "fill parts are cut from a kept offcut that has no price"
        return

    def value(length: int) -> int:
        if _is_kept(length, supply):
            return int(10_000 * (rate or 0) * length)
        scrap = Fraction(supply.job.shop.scrap_price or 0)
        return int(10_000 * scrap * Fraction(source.material.weight_kg(length)))

    worth = 0
    for piece in pieces:
        told = supply.parts[piece.mark].fill if piece.mark in supply.parts else None
        if told:
            worth += int(10_000 * told)
        elif rate is None:
            worth += int(10_000 * source.material.weight_kg(piece.extent))
        else:
            worth += int(10_000 * rate * piece.extent)
    lost = value(before) - value(layout.rest)
    if worth <= lost:
        yield (
            f"its fill parts are worth {worth / 10_000:.4f}, and take {lost / 10_000:.4f} of the rest;"
            " due is a worth above that"
        )


def _rate(source: Source, supply: Supply) -> Fraction | None:
    """Money for a tick of a source's length; None if nothing tells."""
    if isinstance(source, Offer):
        return None if source.price is None else source.price_per_tick()
    if source.value > 0:
        return Fraction(source.value) / source.length
    priced = (o for o in supply.job.offers if o.price is not None)
    return min(
        (o.price_per_tick() for o in priced if supply.serves(source.material, o.material)), default=None
    )


def _sheets(group: GroupPlan, supply: Supply) -> Iterator[str]:
    """No sheet is cut for fill parts alone; that they lie clear of offcuts is looked at as of all pieces."""
    for number, sheet in enumerate(group.sheets, start=1):
        if sheet.pieces and all(_is_fill(placed, supply) for placed in sheet.pieces):
            yield (
                f"group {group.name}, sheet layout {number} ({sheet.source}): it is cut for fill parts alone, due is a"
                " piece that must be made"
            )
