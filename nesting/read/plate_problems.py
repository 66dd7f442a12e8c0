"""Why plate parts cannot be cut from the sheets and flat bars there are, as far as simple sums tell."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from nesting.job import Job, Part, Process
from nesting.read.places import Found, some
from nesting.report.words import area_words, length_words, size_words
from nesting.rules.hauling import haul_limit, is_too_large, is_too_long, is_unwieldy, longest_from
from nesting.rules.sheet_ways import (
    SheetWay,
    Source,
    lies_ways,
    may_lie,
    sawn_extents,
    sheet_ways,
    width_of,
)
from nesting.rules.sources import Group, serves
from nesting.rules.stick_ways import takes
from stock.offer import Offer


def plate_problems(job: Job, group: Group) -> Iterator[Found]:
    """Plate parts of a group that no source holds, or that the shop cannot cut."""
    test = serves(job)
    sources: list[Source] = [*group.offers, *group.rack]
    for part in group.parts:
        mine = [s for s in sources if part.is_plate and test(part.material, s.material)]
        if mine and not any(may_lie(job, part, source) for source in mine):
            yield unplaceable(job, part, mine)


def unplaceable(job: Job, part: Part, sources: Sequence[Source]) -> Found:
    """Why a plate part can be cut from none of the sources of its material."""
    if part.process is not None and part.process not in job.shop.processes:
        return (
            part,
            "no-process",
            f"{part.process!r} is not among the processes of the shop ({', '.join(job.shop.processes)}); add it to the "
            "setting processes of the table shop, or clear the cell",
            "process",
        )
    if _is_too_narrow(job, part):
        sentence = (
            f"it is {size_words(part.length, part.width or 0, job.shop)}, and saw and shear hold nothing narrower than "
            f"{length_words(job.shop.least_strip, job.shop)}; let the torch cut it (process, and the setting "
            "processes), add a flat bar as wide as the part, or mend least_strip"
        )
        return part, "too-narrow", sentence, "width"
    rooms = [room for source in sources for room in _rooms(job, part, source)]
    sentence = _too_large(job, part, sources, rooms) if rooms else _no_way(job, part, sources)
    return part, "too-large", sentence, "LENGTH"


def _is_too_narrow(job: Job, part: Part) -> bool:
    """Whether a part could be cut by saw or shear alone, and these cannot hold it."""
    able = job.shop.processes if part.process is None else (part.process,)
    return "torch" not in able and min(part.length, part.width or 0) < job.shop.least_strip


def area_shortage(job: Job, group: Group, limits: Sequence[tuple[Source, int | None]]) -> Found | None:
    """Plate parts whose area alone is more than all they can come from, if all of that is limited.

    Each such part is tried by itself, and then all of them together.

    Parameters
    ----------
    limits
        Every source of the group once, with how many there are.
    """
    test = serves(job)
    endless = [source for source, count in limits if count is None]
    limited = [(source, count) for source, count in limits if count is not None]

    def may(part: Part, source: Source) -> bool:
        return test(part.material, source.material) and may_lie(job, part, source)

    parts = [p for p in group.parts if p.is_plate and not any(may(p, source) for source in endless)]
    held = [{at for at, (source, _) in enumerate(limited) if may(part, source)} for part in parts]
    rooms = [count * _most_area(job, source) for source, count in limited]
    for tried, places in [
        *(([part], at) for part, at in zip(parts, held, strict=True)),
        (parts, set().union(*held)),
    ]:
        need = sum(job.copies(part) * part.length * (part.width or 0) for part in tried)
        have = sum(rooms[at] for at in places)
        if need > have:
            return (
                tried[0],
                "not-enough",
                f"what is on the rack or limited is not enough: {some(part.mark for part in tried)} are "
                f"{area_words(need, job.shop)} of {group.name}, what can hold them has {area_words(have, job.shop)}; "
                "add an offer, or make fewer",
                "QTY",
            )
    return None


def _most_area(job: Job, source: Source) -> int:
    """Square ticks that parts may cover at most, by the way of cutting that leaves most; of a flat bar all of it."""
    if source.width is None:
        return source.length * width_of(source)
    # however it is parted, its outer edges are lost
    whole = [replace(way, blanks=(), cuts=(), window=None) for way in sheet_ways(job, source)]
    return max((r.length * r.width for way in whole for r in _rooms_of(source, way)), default=0)


@dataclass(frozen=True, slots=True)
class _Room:
    """Room for one part on a source cut in one way, ticks; way None: sawn to length."""

    source: Source
    way: SheetWay | None
    length: int
    width: int

    def lacking(self, lie: tuple[int, int]) -> tuple[int, int]:
        """By how much a part that lies so is too long and too wide."""
        return max(0, lie[0] - self.length), max(0, lie[1] - self.width)


def _rooms_of(source: Source, way: SheetWay) -> list[_Room]:
    """The sheet, or each of its blanks, less what is kept free around it; nothing is no less than zero."""
    sizes = [(b.length, b.width) for b in way.blanks] or [(source.length, width_of(source))]
    edge_x, edge_y = way.near[0] + way.far[0], way.near[1] + way.far[1]
    if way.window is not None:
        sizes = [(min(length, way.window[0]), min(width, way.window[1])) for length, width in sizes]
    return [_Room(source, way, max(0, length - edge_x), max(0, width - edge_y)) for length, width in sizes]


def _rooms(job: Job, part: Part, source: Source) -> Iterator[_Room]:
    if source.width is None and sawn_extents(part, width_of(source)):
        saws = [saw for saw in job.saws if takes(saw, source.material)]
        reach = [longest_from(job, source, saw) for saw in saws]
        yield _Room(source, None, max([0, *reach]), width_of(source))
    for way in () if is_too_long(job, source) else sheet_ways(job, source):
        if part.process in (None, way.process):
            yield from _rooms_of(source, way)


def _too_large(job: Job, part: Part, sources: Sequence[Source], rooms: Sequence[_Room]) -> str:
    """By how much a part exceeds the source that comes nearest to holding it, and whether turning would help."""
    lies = lies_ways(part)
    room = min(rooms, key=lambda r: min(sum(r.lacking(lie)) for lie in lies))
    source, shop = room.source, job.shop
    size = f"it is {size_words(part.length, part.width or 0, shop)}"
    if not room.length or not room.width:
        return (
            f"{size}, and {_margins(job, room)} leaves nothing of {_named(job, source)}; "
            "mend that setting, or add a larger source"
        )
    excess = [_excess(job, room.lacking(lie)) for lie in lies]
    turned = f", turned by a quarter {excess[1]}" if len(lies) == 2 else ""
    free = replace(part, turn="quarter")
    would = next((s for s in sources if part.turn != "quarter" and may_lie(job, free, s)), None)
    if would is not None:
        remedy = f"turned by a quarter it would have room on {would.id}: write turn quarter, or add a larger source"
    elif room.way is not None and any(
        replace(room.way, blanks=(), cuts=(), window=None).holds(source, *lie) for lie in lies
    ):
        others = _other_processes(job, part, sources)
        cut = f", or let it be cut by {' or '.join(others)} (processes)" if others else ""
        remedy = f"make the part smaller or in two{cut}"
    else:
        remedy = "add a larger source, or make the part in two"
    return (
        f"{size}; the largest that {_named(job, source)} gives is {size_words(room.length, room.width, shop)} "
        f"after {_margins(job, room)}: it is {excess[0]}{turned}; {remedy}"
    )


def _other_processes(job: Job, part: Part, sources: Sequence[Source]) -> list[str]:
    """Processes that the shop does not name, by which a part could be cut from one of its sources."""

    def could(process: Process) -> bool:
        shop = replace(job.shop, processes=(process,))
        return any(may_lie(replace(job, shop=shop), part, source) for source in sources)

    every: tuple[Process, ...] = ("saw", "shear")
    return [p for p in every if part.process is None and p not in job.shop.processes and could(p)]


def _no_way(job: Job, part: Part, sources: Sequence[Source]) -> str:
    """Why there is no way at all to cut a part from its sources: saws that do not take them, bars ordered to length."""
    size = size_words(part.length, part.width or 0, job.shop)
    sheets = [source for source in sources if source.width is not None]
    if not sheets:
        return (
            f"it is {size}, and what there is can only be sawn to length; no flat bar is as wide as a side of it that "
            "may lie across: add a sheet, or a flat bar of that width"
        )
    refused = [s for s in sheets if is_unwieldy(job.shop, s)]
    if refused and len(refused) == len(sheets):
        least = min(refused, key=lambda s: s.length * width_of(s))
        return (
            f"it is {size}, and {_named(job, least)} is larger or heavier than the shop takes in; add a smaller sheet, "
            "sheared by the yard if need be, or mend largest_sheet or heaviest_sheet"
        )
    left = [s for s in sheets if is_too_large(job, s)]
    if left and len(left) == len(sheets):
        least = min(left, key=lambda s: max(s.length, width_of(s)))
        limit = haul_limit(job, least) if isinstance(least, Offer) else None
        return (
            f"it is {size}, and {_named(job, least)} is longer than the {length_words(limit or 0, job.shop)} that can "
            "be carried home from there: have it delivered, mend haul_limit, or add another source"
        )
    least = min(sheets, key=lambda s: min(s.length, width_of(s)))
    able = [saw for saw in job.saws if saw.plates]
    if not able:
        return (
            "it is to be sawn, and no saw cuts sheets: say yes in the column plates of the table saws for one that "
            "does, or let it be cut otherwise (process, and the setting processes)"
        )
    takes_most = max(able, key=lambda saw: saw.max_size or 0)
    return (
        f"it is to be sawn, and no saw takes {_named(job, least)}: {takes_most.name} takes "
        f"{length_words(takes_most.max_size or 0, job.shop)}; mend max_size, add a saw, or let it be cut otherwise "
        "(process, and the setting processes)"
    )


def _margins(job: Job, room: _Room) -> str:
    """What is taken off before a part has room, by its settings."""
    shop, way = job.shop, room.way
    if way is None:
        return "the trim and grip of the saw"
    if way.process == "saw":
        return f"the trim of saw {way.saw}"
    if way.process == "shear":
        return f"a shear_trim of {length_words(shop.shear_trim, shop)}"
    name = "a bed_margin" if shop.bed_margin > shop.edge else "an edge"
    edge = f"{name} of {length_words(shop.edge_on_bed, shop)} all round"
    if (way.blanks or way.window) and shop.bed is not None:
        return f"parting it for a bed of {size_words(*shop.bed, shop)} and {edge}"
    return edge


def _excess(job: Job, lacking: tuple[int, int]) -> str:
    words = [
        f"{length_words(by, job.shop)} too {what}"
        for by, what in zip(lacking, ("long", "wide"), strict=True)
        if by
    ]
    return " and ".join(words)


def _named(job: Job, source: Source) -> str:
    """A source by its id, where it is from and its size: offer 3 (North Yard, 48" x 24")."""
    place = source.yard if isinstance(source, Offer) else "on the rack"
    return f"{source.id} ({place}, {size_words(source.length, width_of(source), job.shop)})"
