"""What is there when work is broken off: whole sticks, real rests of started ones, rectangles of sheets.

A rest begins where the bar has its full section again: behind a mitred cut at the short point, so that it counts as an
end that is clean and square. Where the saw list frees pieces at their own mitres, cuts that take more of the bar than
the plan laid out are counted.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from decimal import ROUND_DOWN, Decimal
from fractions import Fraction
from itertools import pairwise

from nesting.job import Part
from nesting.plan import Layout, SheetLayout
from nesting.report.saw_list import Stick
from nesting.rules.stick_ways import cut_width
from nesting.rules.turns import Turn, ends_of, on_bar, secant, tangent, up
from nesting.work.items import Item
from nesting.work.record import Came, Name
from nesting.work.standing import Progress, Standing
from stock.errors import BadPrice
from stock.offer import Offer
from stock.rack import RackPiece

_GRID = Decimal("0.0001")


@dataclass(frozen=True, slots=True)
class Remains:
    """What is there.

    Parameters
    ----------
    pieces
        Everything on hand, as pieces of a rack.
    of_sticks
        The rest of each stick that some pieces were cut from; of several the largest.
    """

    pieces: tuple[RackPiece, ...]
    of_sticks: Mapping[Name, RackPiece]


def material_left(work: Standing, letter: str) -> Remains:
    """Everything on hand after the work done: what the plan did not touch, and what it left.

    Parameters
    ----------
    letter
        Bought material is named by it and the number of its stick: "A7"; sheets "A-s2".
    """
    names = {piece.id for piece in work.plan.job.rack}
    taken = {item.layout.source: item for item in work.items.values() if not item.yard}
    found = [piece for piece in work.plan.job.rack if piece.id not in taken]
    of_sticks: dict[Name, RackPiece] = {}
    for name, item in work.items.items():
        if item.yard and name not in work.on_hand:
            continue
        own = _new(short_name(item, letter), names) if item.yard else item.layout.source
        rests = list(_rests(work, item, own, names))
        if rests and work.progress[name].cut and item.kind == "stick":
            of_sticks[name] = rests[0]
        found += rests
    found += [_extra(work, came, f"{letter}-x{n}", names) for n, came in enumerate(work.extra, 1)]
    return Remains(tuple(found), of_sticks)


def short_name(item: Item, letter: str) -> str:
    """What is painted on bought material when it is not used up: "A7" for stick 7, "A-s2" for sheet 2."""
    return f"{letter}{item.number}" if item.kind == "stick" else f"{letter}-s{item.number}"


def planned_rest(work: Standing, item: Item, cut: int) -> int:
    """Ticks left of a stick when its first `cut` pieces are cut, if it was as long as the plan says."""
    layout, listed = item.layout, item.listed
    assert isinstance(layout, Layout)
    assert isinstance(listed, Stick)
    if not cut:
        return layout.length
    last, width, grown = layout.pieces[cut - 1], _width(work, layout), _grown(work, layout)
    freed = [one.freed for step in listed.steps for one in step.sawn][:cut]
    behind = last.start + last.extent + up(width * secant(tangent(freed[-1].angle)))
    behind += sum(up(grown * secant(tangent(one.angle))) for one in freed)
    return max(0, layout.length - behind - up(_moved(work, item, cut, width)))


def _moved(work: Standing, item: Item, cut: int, width: int) -> Fraction:
    """Ticks by which pieces lie further than laid out, because those before were freed at their own mitres."""
    layout, listed = item.layout, item.listed
    assert isinstance(layout, Layout)
    assert isinstance(listed, Stick)
    parts = {part.mark: on_bar(part, item.source.material) for part in work.plan.job.parts}
    freed = [one.freed for step in listed.steps for one in step.sawn]
    more = Fraction(0)
    for at, (before, after) in enumerate(pairwise(layout.pieces[:cut])):
        if after.start - before.start - before.extent >= width:
            share = Fraction(1)
        else:
            far = _slope(parts[before.mark], before.first, before.roll, 1)
            near = _slope(parts[after.mark], after.first, after.roll, 0)
            share = min(secant(far), secant(near))
        more += max(Fraction(0), width * (secant(tangent(freed[at].angle)) - share))
    return more


def _slope(part: Part, first: str, roll: int, side: int) -> Fraction:
    if part.is_plate:
        return Fraction(0)
    return ends_of(part, Turn("a" if first == "a" else "b", roll))[side].slope


def _width(work: Standing, layout: Layout) -> int:
    """Ticks planned for a square cut on the saw of a stick."""
    return next(cut_width(work.plan.job, saw) for saw in work.plan.job.saws if saw.name == layout.saw)


def _grown(work: Standing, layout: Layout) -> int:
    """Ticks by which the saw really takes more than was planned for a square cut."""
    return max(0, work.kerf.get(layout.saw, 0) - _width(work, layout))


def _rests(work: Standing, item: Item, name: str, names: set[str]) -> Iterator[RackPiece]:
    """The pieces that are left of one stick or sheet, the largest keeping its name."""
    done = work.progress[item.name]
    sizes = sorted(_sizes(work, item, done), key=lambda size: -size[0] * max(1, size[1]))
    for number, (length, width) in enumerate(sizes):
        yield _piece(work, item, done, _new(f"{name}.{number + 1}", names) if number else name, length, width)


def _sizes(work: Standing, item: Item, done: Progress) -> list[tuple[int, int]]:
    """(length, width) of what is left, width 0 for sticks."""
    if isinstance(item.layout, Layout):
        return [(length, 0) for length in _stick_lengths(work, item, done) if length > 0]
    if done.left is not None:
        return list(done.left)
    if not done.cut:
        came = done.came
        if came is not None:
            return [(came.length, came.width)]
        return [(item.layout.length, item.layout.width if item.source.width is not None else 0)]
    return list(_rectangles(item, item.layout)) if done.cut == len(item.marks) else []


def _stick_lengths(work: Standing, item: Item, done: Progress) -> list[int]:
    """Measured, as it came or as planned, less what was cut since."""
    assert isinstance(item.layout, Layout)
    since = planned_rest(work, item, done.at) - planned_rest(work, item, done.cut)
    if done.left is not None:
        first, *others = (length for length, _ in done.left) if done.left else (0,)
        return [first - since, *others]
    rest = planned_rest(work, item, done.cut)
    is_whole = item.layout.segment is None
    return [rest + done.came.length - item.layout.length if done.came and is_whole else rest]


def _rectangles(item: Item, layout: SheetLayout) -> Iterator[tuple[int, int]]:
    """What the plan keeps of a sheet; of a flat bar that was ripped, only what has its full width."""
    for place in layout.offcuts:
        if item.source.width is not None:
            yield place.length, place.width
        elif place.width == layout.width:
            yield place.length, 0


def _piece(work: Standing, item: Item, done: Progress, name: str, length: int, width: int) -> RackPiece:
    source = item.source
    is_started = bool(done.cut) and item.kind == "stick"
    clean = 1 + (item.clean_ends == 2) if is_started else item.clean_ends
    heat = done.came.heat if done.came else ""
    piece = RackPiece(
        id=name,
        material=source.material,
        length=length,
        width=width or None,
        clean_ends=clean,
        value=_value(work, source, length, width),
        heat=heat,
    )
    if isinstance(source, RackPiece):
        return replace(piece, place=source.place, heat=source.heat, certificate=source.certificate)
    return piece


def _value(work: Standing, source: Offer | RackPiece, length: int, width: int) -> Decimal:
    """What using it costs: a rack piece its value, bought material what it would be worth as an offcut, by size."""
    try:
        whole = source.value if isinstance(source, RackPiece) else source.unit_price()
    except BadPrice:
        whole = Decimal(0)  # material without a price is planned by weight, where what is there costs nothing
    share = Decimal(1) if isinstance(source, RackPiece) else work.plan.job.shop.offcut_share
    of_all = Fraction(length, source.length)
    if width and source.width:
        of_all *= Fraction(width, source.width)
    worth = Fraction(whole) * Fraction(share) * min(Fraction(1), of_all)
    return (Decimal(worth.numerator) / Decimal(worth.denominator)).quantize(_GRID, ROUND_DOWN)


def _extra(work: Standing, came: Came, name: str, names: set[str]) -> RackPiece:
    """Material beyond what was ordered."""
    offer = next(o for o in work.plan.job.offers if o.id == came.offer)
    return RackPiece(
        id=_new(name, names),
        material=offer.material,
        length=came.length,
        width=came.width or None,
        clean_ends=offer.clean_ends,
        value=_value(work, offer, came.length, came.width),
        heat=came.heat,
    )


def _new(name: str, names: set[str]) -> str:
    """A name that no piece has yet."""
    while name in names:
        name += "'"
    names.add(name)
    return name
