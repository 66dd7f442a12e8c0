"""The ways to part the sheets of a group for the torch bed that suit its parts, and what bounds know of all ways."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from nesting.job import Job
from nesting.joint.area import apart, room_area
from nesting.plan import Axis, Rect, StraightCut
from nesting.plates.blanks import Division, divisions
from nesting.plates.problem import RectItem, Region, SheetKind
from nesting.rules.sheet_ways import Bed, SheetWay, Source, beds_for, width_of
from stock.money import Cost

_MOST_COUNTED = 12
"""Blanks of one sheet that bounds tell apart by their number."""

Way = tuple[SheetKind, SheetWay]


def parted_kinds(
    job: Job, source: Source, simple: Sequence[Way], items: tuple[RectItem, ...], fee: Cost
) -> Iterator[Way]:
    """Kinds of a sheet that is larger than the bed: parted as suits the parts, and the outlines of all ways.

    Parameters
    ----------
    simple
        The simple ways to part it, which hold whatever any way holds.
    fee
        Cost of each blank, ten-thousandths.
    """
    size, kerf = (source.length, width_of(source)), job.shop.parting_kerf
    known = {(way.blanks, way.window) for _, way in simple}
    beds = beds_for(job.shop, size)
    for bed in beds:
        like, way = next(pair for pair in simple if _is_one_blank(pair[1], bed))
        bare = replace(like, cost=like.cost - fee, blanks=())
        for division in divisions(bare, items, bed.most, kerf, fee, 0):
            blanks = tuple(rect_of(b) for b in division.blanks(kerf))
            if (blanks, way.window) not in known:
                regions = tuple(region_of(b) for b in blanks)
                kind = replace(bare, cost=bare.cost + fee * division.number, blanks=regions)
                yield kind, replace(way, blanks=blanks, cuts=_cuts(division, size, kerf))
    kinds = [kind for kind, _ in simple]
    held = tuple(sorted({r for kind in kinds for r in kind.items if kind.holds(items[r])}))
    box = tuple(max(bed.most[axis] for bed in beds) for axis in (0, 1))
    for outline in _outlines(replace(bare, items=held, is_outline=True), size, (box[0], box[1]), kerf, fee):
        yield outline, way


def has_all_blanks(one: SheetKind, other: SheetKind) -> bool:
    """Whether a kind parts the same sheet into all the blanks of another and more, at no higher cost."""
    return (
        one.source == other.source
        and one.items == other.items
        and one.cost <= other.cost
        and not one.is_outline
        and not other.is_outline
        and bool(other.blanks)
        and set(one.blanks) > set(other.blanks)
    )


def region_of(rect: Rect) -> Region:
    """A rectangle of a plan as the room of sheets has it."""
    return Region(rect.x, rect.y, rect.length, rect.width)


def rect_of(region: Region) -> Rect:
    """A region of a sheet as a plan has it."""
    return Rect(region.x, region.y, region.width, region.height)


def _is_one_blank(way: SheetWay, bed: Bed) -> bool:
    window = None if bed.window == bed.most else bed.window
    return way.blanks == (Rect(0, 0, *bed.most),) and way.window == window


def _cuts(division: Division, size: tuple[int, int], kerf: int) -> tuple[StraightCut, ...]:
    """The cuts of a division: strip after strip, then each strip into its blanks."""
    found, within = list[StraightCut](), list[StraightCut]()
    first: Axis = "along" if division.axis else "across"
    second: Axis = "across" if division.axis else "along"
    at, total, side = 0, size[division.axis], size[1 - division.axis]

    def region(start: int, extent: int, beside: int, left: int) -> Rect:
        return Rect(beside, start, left, extent) if division.axis else Rect(start, beside, extent, left)

    for extent, parts in division.strips:
        if extent < total - at:
            found.append(StraightCut(region=region(at, total - at, 0, side), axis=first, stop=extent))
        beside = 0
        for part in parts:
            if part < side - beside:
                left = region(at, extent, beside, side - beside)
                within.append(StraightCut(region=left, axis=second, stop=part))
            beside += part + kerf
        at += extent + kerf
    return (*found, *within)


def _along(total: int, most: int, kerf: int, gain: int) -> int:
    """The most that sum(blank + gain) can be of blanks a kerf apart in a length, none longer than `most`.

    Of the fewest blanks that use all of it, or of one less, each as long as can be; `gain` is below the kerf.
    """
    fewest = -(-(total + kerf) // (most + kerf))
    return max(total + kerf - fewest * (kerf - gain), (fewest - 1) * (most + gain))


def _outlines(
    bare: SheetKind, size: tuple[int, int], box: tuple[int, int], kerf: int, fee: Cost
) -> Iterator[SheetKind]:
    """What bounds know of a sheet by the number of its blanks, none larger than a box; the last: of any more blanks."""
    margin, gap = bare.near[0] + bare.far[0], bare.between
    if gap - margin < kerf:
        # whichever way it is parted, along either axis every blank loses a cut and its margins
        wide, high = (
            _along(*pair, kerf, gap - margin) - gap + margin for pair in zip(size, box, strict=True)
        )
        whole = replace(bare, width=max(1, wide), height=max(1, high))
    else:
        whole = replace(bare, between=min(gap, kerf + margin))
    for number in range(1, _MOST_COUNTED + 1):
        blanks = tuple(Region(n * (box[0] + kerf), 0, *box) for n in range(number))
        some = replace(bare, cost=bare.cost + number * fee, blanks=blanks)
        is_all = room_area(some, apart(some)) >= room_area(whole, whole.between)
        if not fee or is_all or number == _MOST_COUNTED:
            yield replace(whole, cost=some.cost)
            return
        yield some
