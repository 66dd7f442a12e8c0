"""Every sheet layout by itself: a source and a process that will do, parts as they may lie, trims; then its geometry.

What lies where is looked at in `torch` and in `straight`.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from nesting.check import say
from nesting.check.sticks import part_breaches, times_breaches
from nesting.check.straight import straight_breaches
from nesting.check.supply import Supply, saw_turns
from nesting.check.torch import torch_breaches
from nesting.check.ways import Source, is_flat_bar, saw_takes_sheet, way_of, width_of
from nesting.job import Part, Saw
from nesting.plan import GroupPlan, Placed, Plan, Rect, SheetLayout
from stock.offer import Offer

_SIDES = ("first end", "first edge", "far end", "far edge")


def sheet_breaches(plan: Plan, supply: Supply) -> Iterator[str]:
    """Say what is wrong with the sheet layouts of a plan, each looked at alone."""
    for group in plan.groups:
        for number, layout in enumerate(group.sheets, start=1):
            where = f"group {group.name}, sheet layout {number} ({layout.source})"
            for breach in _Sheet(supply, layout, group).breaches():
                yield f"{where}: {breach}"


class _Sheet:
    def __init__(self, supply: Supply, layout: SheetLayout, group: GroupPlan) -> None:
        self.supply, self.layout, self.group = supply, layout, group
        self.shop = supply.job.shop
        shelf: Mapping[str, Source] = supply.rack if layout.source_kind == "rack" else supply.offers
        self.source = shelf.get(layout.source)
        self.saw = supply.saws.get(layout.saw)

    def breaches(self) -> Iterator[str]:
        source = self.source
        if source is None:
            yield f"no {self.layout.source_kind} of the job is called {self.layout.source}"
            return
        yield from times_breaches(self.layout)
        yield from self._size(source)
        if not self.layout.pieces:
            yield from self._uncut(source)
            return
        yield from self._process(source)
        yield from self._parts(source)
        for number, piece in enumerate(self.layout.pieces, start=1):
            yield from self._lies(number, piece, source)
        if self.layout.process != "saw" or self.saw is not None:
            yield from self._cut(source, self.saw)

    def _size(self, source: Source) -> Iterator[str]:
        found, due = (self.layout.length, self.layout.width), (source.length, width_of(source))
        if found != due:
            yield f"size is {say.size(self.shop, *found)}, due is {say.size(self.shop, *due)}"
        if source.width is None and not is_flat_bar(source):
            yield f"{source.material.designation} is neither a sheet nor a flat bar"
        if self.supply.is_refused(source):
            yield "it is larger or heavier than the shop takes in"
        if isinstance(source, Offer) and source.cut_to_length is not None:
            yield "the yard cuts it to length, so it is sawn to length only"

    def _uncut(self, source: Source) -> Iterator[str]:
        """A sheet bought for its quantity break: it stays whole."""
        if not isinstance(source, Offer) or source.from_qty <= 1:
            yield "nothing is cut from it, and no quantity break asks for it"
        if self.layout.cuts or self.layout.blanks or any(self.layout.trims):
            yield "it is trimmed or cut, but no part lies on it"
        whole = Rect(0, 0, source.length, width_of(source))
        if self.layout.offcuts != (whole,):
            yield f"offcuts of an uncut sheet are {len(self.layout.offcuts)}, due is one, {say.place(self.shop, whole)}"

    def _process(self, source: Source) -> Iterator[str]:
        process, saw = self.layout.process, self.layout.saw
        if process not in self.shop.processes:
            yield f"process is {process}, the shop has {', '.join(self.shop.processes)}"
        if process != "saw":
            if saw:
                yield f"saw is {saw}, but its process is {process}"
        elif self.saw is None:
            yield f"no saw of the job is called {saw}"
        elif not saw_takes_sheet(self.saw, source):
            side = min(source.length, width_of(source))
            yield (
                f"saw {saw} takes up to {say.ticks(self.shop, self.saw.max_size or 0)},"
                f" the shorter side is {say.ticks(self.shop, side)}"
            )

    def _parts(self, source: Source) -> Iterator[str]:
        process = self.layout.process
        for mark in dict.fromkeys(p.mark for p in self.layout.pieces):
            yield from part_breaches(self.supply, self.group, mark, source)
            part = self.supply.parts.get(mark)
            if part is None:
                continue
            if part.is_plate and part.process not in (None, process):
                yield f"part {mark} is cut by {process}, due is {part.process}"
            least = self.shop.least_strip if process != "torch" else 0
            if part.width is not None and min(part.length, part.width) < least:
                yield (
                    f"part {mark} is cut by {process}, which holds nothing narrower than"
                    f" {say.ticks(self.shop, least)}"
                )
            if not part.is_plate and not (is_flat_bar(source) and process == "saw"):
                yield f"part {mark} is a bar part: it lies on a flat bar that is sawn, or on none"
            if not part.is_plate and self.saw is not None and not saw_turns(self.saw, part):
                yield f"part {mark} has a mitre above the {self.saw.max_angle} degrees of saw {self.saw.name}"

    def _lies(self, number: int, piece: Placed, source: Source) -> Iterator[str]:
        part = self.supply.parts.get(piece.mark)
        if part is None:
            return
        if piece.turned and (not part.is_plate or part.turn != "quarter"):
            yield f"piece {number}, part {piece.mark}, is turned by a quarter, which it may not be"
        due = _sides(part, source, piece.turned)
        if (piece.place.length, piece.place.width) != due:
            found = say.size(self.shop, piece.place.length, piece.place.width)
            turned = " turned" if piece.turned else ""
            yield f"piece {number}, part {piece.mark}, is {found}, due is {say.size(self.shop, *due)}{turned}"

    def _cut(self, source: Source, saw: Saw | None) -> Iterator[str]:
        layout = self.layout
        way = way_of(self.shop, source, layout.process, saw if layout.process == "saw" else None)
        whole = Rect(0, 0, source.length, width_of(source))
        for side, found, due in zip(_SIDES, layout.trims, way.trims, strict=True):
            if found != due:
                yield f"trim of the {side} is {say.ticks(self.shop, found)}, due is {say.ticks(self.shop, due)}"
        if way.process == "torch":
            yield from torch_breaches(layout, whole, way, self.shop)
        else:
            yield from straight_breaches(layout, whole, way, self.shop)
        yield from self._kept(source)

    def _kept(self, source: Source) -> Iterator[str]:
        """An offcut is long enough to keep, and as wide as is asked for or as the source."""
        least = (self.shop.keep_length, min(self.shop.keep_width, width_of(source)))
        for number, rect in enumerate(self.layout.offcuts, start=1):
            short, long = sorted((rect.length, rect.width))
            if short <= 0 or long < least[0] or short < least[1]:
                yield (
                    f"offcut {number} is {say.size(self.shop, rect.length, rect.width)},"
                    f" worth keeping is {say.size(self.shop, *least)}"
                )


def _sides(part: Part, source: Source, turned: bool) -> tuple[int, int]:
    """What a part takes along x and along y."""
    if part.width is None:
        return part.extent, width_of(source)
    return (part.width, part.length) if turned else (part.length, part.width)
