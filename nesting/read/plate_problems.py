"""Why plate parts cannot be cut from the sheets and flat bars there are, as far as simple sums tell."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from nesting.job import Job, Part
from nesting.sheet_ways import SheetWay, Source, lies_ways, may_lie, sawn_extents, sheet_ways, width_of
from nesting.sources import Group, serves
from nesting.stick_ways import longest_extent, takes
from nesting.words import area_words
from stock.length import show_length
from stock.offer import Offer

Found = tuple[Part, str, str, str]
"""Part, code, sentence, column."""


def plate_problems(job: Job, group: Group) -> Iterator[Found]:
    """Plate parts of a group that no source holds, or that the shop cannot cut."""
    test = serves(job)
    sources: list[Source] = [*group.offers, *group.rack]
    for part in group.parts:
        mine = [s for s in sources if part.is_plate and test(part.material, s.material)]
        if not mine or any(may_lie(job, part, source) for source in mine):
            continue
        if part.process is not None and part.process not in job.shop.processes:
            yield (
                part,
                "no-process",
                f"it asks for the {part.process}, and the shop table's processes are "
                f"{', '.join(job.shop.processes)}; add it there, or clear the cell",
                "process",
            )
        else:
            yield part, "too-large", too_large(job, part, mine), "LENGTH"


def area_shortage(job: Job, group: Group, limits: Sequence[tuple[Source, int | None]]) -> Found | None:
    """Plate parts whose area alone is more than all that is there, if everything they can come from is limited.

    Parameters
    ----------
    limits
        Every source of the group once, with how many there are.
    """
    test = serves(job)
    parts = [part for part in group.parts if part.is_plate]
    mine = [(s, n) for s, n in limits if any(test(p.material, s.material) for p in parts)]
    if not parts or any(n is None for _, n in mine):
        return None
    need = sum(job.copies(p) * p.length * (p.width or 0) for p in parts)
    have = sum((n or 0) * s.length * width_of(s) for s, n in mine)
    if need <= have:
        return None
    marks = ", ".join(p.mark for p in parts[:6]) + (" and more" if len(parts) > 6 else "")
    return (
        parts[0],
        "not-enough",
        f"what is on the rack or limited is not enough: {marks} are {area_words(need, job.shop)} of {group.name}, "
        f"all that is there is {area_words(have, job.shop)}; add an offer, or make fewer",
        "QTY",
    )


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


def too_large(job: Job, part: Part, sources: Sequence[Source]) -> str:
    """By how much a part exceeds the source that comes nearest to holding it."""
    size = _size(job, part.length, part.width or 0)
    rooms = [room for source in sources for room in _rooms(job, part, source)]
    if not rooms:
        return (
            f"it is {size}, and what there is can only be sawn to length; no flat bar is as wide as one of its sides: "
            "add a sheet, or a wider bar"
        )
    lies = lies_ways(part)
    room = min(rooms, key=lambda r: min(sum(r.lacking(lie)) for lie in lies))
    source = room.source
    where = f"{_yard(source)}{_size(job, source.length, width_of(source))}"
    if room.length <= 0 or room.width <= 0:
        return f"{_margins(job, room)} leave nothing of {source.id} ({where}); mend the setting, or add a larger source"
    turned = f", turned by a quarter {_excess(job, room.lacking(lies[1]))}" if len(lies) == 2 else ""
    return (
        f"it is {size}, and the largest that {source.id} ({where}) gives is {_size(job, room.length, room.width)} "
        f"after {_margins(job, room)}: it is {_excess(job, room.lacking(lies[0]))}{turned}; add a larger source, or "
        "make it in two"
    )


def _rooms(job: Job, part: Part, source: Source) -> Iterator[_Room]:
    if source.width is None and sawn_extents(part, width_of(source)):
        saws = [saw for saw in job.saws if takes(saw, source.material)]
        reach = [longest_extent(source.length, source.clean_ends, saw) for saw in saws]
        yield _Room(source, None, max(reach, default=0), width_of(source))
    for way in sheet_ways(job, source):
        if part.process not in (None, way.process):
            continue
        beds: Iterable[tuple[int, int]] = [(b.length, b.width) for b in way.blanks]
        for length, width in beds or [(source.length, width_of(source))]:
            yield _Room(source, way, length - way.near[0] - way.far[0], width - way.near[1] - way.far[1])


def _margins(job: Job, room: _Room) -> str:
    """What is taken off before a part has room, by its settings."""
    if room.way is None or room.way.process != "torch":
        return "the trim"
    edge = f"an edge of {show_length(job.shop.edge, job.shop.unit)} all round"
    if room.way.blanks and job.shop.bed is not None:
        return f"parting it for a bed of {_size(job, *job.shop.bed)} and {edge}"
    return edge


def _excess(job: Job, lacking: tuple[int, int]) -> str:
    words = [
        f"{show_length(by, job.shop.unit, job.shop.denominator)} too {what}"
        for by, what in zip(lacking, ("long", "wide"), strict=True)
        if by
    ]
    return " and ".join(words)


def _yard(source: Source) -> str:
    return f"{source.yard}, " if isinstance(source, Offer) else "on the rack, "


def _size(job: Job, length: int, width: int) -> str:
    shop = job.shop
    return f"{show_length(length, shop.unit, shop.denominator)} x {show_length(width, shop.unit, shop.denominator)}"
