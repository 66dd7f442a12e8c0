"""Every layout by itself: a source that will do, a saw that can, pieces where the saw leaves them."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from itertools import pairwise

from nesting.check import say
from nesting.check.hauling import clean_ends_of
from nesting.check.mitres import SQUARE, Face, extent_of, faces_of, least_gap, meets_itself, on_bar, turns
from nesting.check.supply import Supply, ends, names, saw_takes, saw_turns
from nesting.check.ways import Source, lies, sawn_extent, width_of
from nesting.job import Part, Saw
from nesting.plan import GroupPlan, Layout, Piece, Plan, SheetLayout
from stock.offer import Offer


def stick_breaches(plan: Plan, supply: Supply) -> Iterator[str]:
    """Say what is wrong with the layouts of a plan, each looked at alone."""
    yield from _extents(supply)
    for group in plan.groups:
        for number, layout in enumerate(group.layouts, start=1):
            where = layout_name(group, number, layout)
            for breach in _Stick(supply, layout, group).breaches():
                yield f"{where}: {breach}"


def _extents(supply: Supply) -> Iterator[str]:
    """Whether every bar part takes so much bar as its length and its ends say."""
    for part in supply.parts.values():
        if part.is_plate:
            continue
        if meets_itself(part):
            yield f"part {part.mark}: its cuts meet before it ends"
        elif part.extent != extent_of(part):
            found, due = (say.ticks(supply.job.shop, ticks) for ticks in (part.extent, extent_of(part)))
            yield f"part {part.mark}: extent is {found}, due is {due}"


def layout_name(group: GroupPlan, number: int, layout: Layout) -> str:
    """How the breaches name a layout."""
    return f"group {group.name}, layout {number} ({layout.source})"


def times_breaches(layout: Layout | SheetLayout) -> Iterator[str]:
    """Say how many are cut alike, if that cannot be."""
    if layout.times < 1:
        yield f"times is {layout.times}, due is 1 or more"
    elif layout.source_kind == "rack" and layout.times != 1:
        yield f"times is {layout.times}, due is 1 for a piece of the rack"


def part_breaches(supply: Supply, group: GroupPlan, mark: str, source: Source) -> Iterator[str]:
    """Say what keeps a part from being cut from a source at all."""
    part = supply.parts.get(mark)
    if part is None:
        yield f"no part of the job has the mark {mark}"
        return
    if mark not in group.marks and part.fill is None:
        yield f"part {mark} is not of this group"
    if not supply.serves(part.material, source.material):
        yield (
            f"part {mark} of {part.material.designation} may not be cut from"
            f" {source.material.designation} (section, family, grade or finish, and no allow row)"
        )
    if not names(part, source):
        yield f"part {mark} is cut from {source.id}, due is what it names: {part.source}"


class _Stick:
    def __init__(self, supply: Supply, layout: Layout, group: GroupPlan) -> None:
        self.supply, self.layout, self.group = supply, layout, group
        shelf: Mapping[str, Source] = supply.rack if layout.source_kind == "rack" else supply.offers
        self.source = shelf.get(layout.source)
        self.saw = supply.saws.get(layout.saw)

    def ticks(self, length: int) -> str:
        """A length for a breach."""
        return say.ticks(self.supply.job.shop, length)

    def differs(self, what: str, found: int, due: int) -> Iterator[str]:
        if found != due:
            yield f"{what} is {self.ticks(found)}, due is {self.ticks(due)}"

    def breaches(self) -> Iterator[str]:
        if self.source is None:
            yield f"no {self.layout.source_kind} of the job is called {self.layout.source}"
            return
        if self.source.width is not None:
            yield f"{self.source.material.designation} comes in sheets, which are not sawn to length only"
            return
        yield from times_breaches(self.layout)
        yield from self._length(self.source)
        yield from self._parts(self.source)
        if not self.layout.pieces:
            yield from self._uncut(self.source)
        elif self.saw is None:
            yield f"no saw of the job is called {self.layout.saw}"
        else:
            yield from self._cut(self.source, self.saw)

    def _length(self, source: Source) -> Iterator[str]:
        length = self.layout.length
        if self.layout.segment is not None:
            return  # that of a segment is looked at with the yard's cuts
        if isinstance(source, Offer) and source.cut_to_length is not None:
            if not 0 < length <= source.length:
                yield f"length is {self.ticks(length)}, the yard cuts to {self.ticks(source.length)} at most"
        else:
            yield from self.differs("length of the stick", length, source.length)

    def _parts(self, source: Source) -> Iterator[str]:
        for mark in dict.fromkeys(p.mark for p in self.layout.pieces):
            part = self.supply.parts.get(mark)
            yield from part_breaches(self.supply, self.group, mark, source)
            if part is None:
                continue
            if part.is_plate:
                yield from self._plate(part, source)
            if self.saw is not None and not saw_turns(self.saw, part):
                yield f"part {mark} has a mitre above the {self.saw.max_angle} degrees of saw {self.saw.name}"
        for place, piece in enumerate(self.layout.pieces, start=1):
            part = self.supply.parts.get(piece.mark)
            extent = None if part is None else sawn_extent(part, source)
            if extent is not None:
                yield from self.differs(f"extent of piece {place}, part {piece.mark},", piece.extent, extent)
            if part is not None and (piece.first, piece.roll) not in turns(on_bar(part, source.material)):
                yield (
                    f"piece {place}, part {piece.mark}, lies with end {piece.first} first and rolled by {piece.roll}"
                    f" quarter turns, due is {_turn_words(on_bar(part, source.material))}"
                )

    def _plate(self, part: Part, source: Source) -> Iterator[str]:
        """A plate part is sawn from a flat bar of its width, the way it may be turned, if a saw may cut it."""
        if part.process not in (None, "saw"):
            yield f"part {part.mark} is sawn, due is {part.process}"
        elif sawn_extent(part, source) is None:
            shop, sides = self.supply.job.shop, (say.size(self.supply.job.shop, *lie) for lie in lies(part))
            yield (
                f"part {part.mark} may lie as {' or '.join(sides)}, which is not sawn from"
                f" {source.material.designation}, {say.ticks(shop, width_of(source))} wide"
            )

    def _uncut(self, source: Source) -> Iterator[str]:
        """A stick bought for its quantity break: it stays whole. A segment carried home as it is."""
        if self.layout.segment is not None:
            yield from self.differs("head of an uncut segment", self.layout.head, 0)
            yield from self.differs("rest of an uncut segment", self.layout.rest, self.layout.length)
            yield from self._keep(self.layout.length >= self.supply.job.shop.keep_length)
            return
        if not isinstance(source, Offer) or source.from_qty <= 1:
            yield "nothing is cut from it, and no quantity break asks for it"
        yield from self.differs("head of an uncut stick", self.layout.head, 0)
        yield from self.differs("rest of an uncut stick", self.layout.rest, self.layout.length)
        yield from self._keep(True)

    def _cut(self, source: Source, saw: Saw) -> Iterator[str]:
        if not saw_takes(saw, source):
            yield (
                f"saw {saw.name} takes sections up to {self.ticks(saw.max_size or 0)},"
                f" {source.material.designation} is {self.ticks(source.material.largest_side)}"
            )
        cut = self.supply.cut(saw)
        due = ends(clean_ends_of(self.layout, self.group, source.clean_ends), saw, cut)
        yield from self.differs("head", self.layout.head, due.head)
        yield from self.differs("start of piece 1", self.layout.pieces[0].start, due.head)
        yield from self._gaps(source, cut)
        next_start = self.layout.pieces[-1].start + self.layout.pieces[-1].extent + cut
        most = self.layout.length - due.tail
        if next_start > most:
            yield (
                f"the pieces with their kerfs end at {self.ticks(next_start)}, due is {self.ticks(most)}"
                " at most (kerf, trim and grip counted)"
            )
        rest = max(0, self.layout.length - next_start)
        yield from self.differs("rest", self.layout.rest, rest)
        yield from self._keep(rest > 0 and rest >= self.supply.job.shop.keep_length)

    def _gaps(self, source: Source, cut: int) -> Iterator[str]:
        """Each piece begins as near to the one before as their ends allow: a square cut after it at the most.

        Spare pieces are cut from what is left, by square cuts.
        """
        for place, (before, piece) in enumerate(pairwise(self.layout.pieces), start=2):
            one, other = (self._faces(p, source) for p in (before, piece))
            gaps = {least_gap(one[1], other[0], cut)} | ({cut} if self._is_spare(piece) else set())
            end = before.start + before.extent
            if piece.start - end not in gaps:
                due = " or ".join(self.ticks(end + gap) for gap in sorted(gaps))
                yield f"start of piece {place}, part {piece.mark}, is {self.ticks(piece.start)}, due is {due}"

    def _is_spare(self, piece: Piece) -> bool:
        part = self.supply.parts.get(piece.mark)
        return part is not None and part.fill is not None

    def _faces(self, piece: Piece, source: Source) -> tuple[Face, Face]:
        """Of a mark that the job does not know, square ones; that is told elsewhere."""
        part = self.supply.parts.get(piece.mark)
        return (SQUARE, SQUARE) if part is None else faces_of(on_bar(part, source.material), piece)

    def _keep(self, due: bool) -> Iterator[str]:
        if self.layout.keep != due:
            words = {True: "an offcut to keep", False: "scrap"}
            yield f"the rest is called {words[self.layout.keep]}, due is {words[due]}"


def _turn_words(part: Part) -> str:
    """How a part may be turned, for a breach."""
    allowed = sorted(turns(part))
    words = " or ".join(f"end {first} first, rolled by {roll}" for first, roll in allowed)
    return words if part.flip else f"{words} (it must not be turned over)"
