"""Fill parts of plate: on sheets that are cut anyway, clear of their pieces and of every offcut that is kept.

The largest that has room goes first, where it leaves least; other choices might hold more. Where the torch cuts, that
is any free place; where cuts are straight, the regions that they leave, by further cuts. Sheets cut alike stay alike.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, replace
from decimal import Decimal

from nesting.job import Job, Part
from nesting.plan import Placed, Rect, SheetLayout, StraightCut
from nesting.plates.free import maximal
from nesting.plates.problem import Region
from nesting.rules.sheet_ways import Source, lies_ways
from nesting.rules.stick_ways import cut_width


@dataclass(frozen=True, slots=True)
class _Fit:
    """A fill part in a free rectangle, at its near corner."""

    part: Part
    room: Rect
    place: Rect

    @property
    def placed(self) -> Placed:
        """The piece."""
        lies = (self.place.length, self.place.width)
        return Placed(
            mark=self.part.mark, place=self.place, turned=lies != (self.part.length, self.part.width)
        )


class SheetFiller:
    """Fills sheets one after the other, as long as copies of the fill parts are left."""

    def __init__(self, job: Job, fills: Iterable[Part], may: Callable[[Part, Source], bool]) -> None:
        self.job, self._may = job, may
        self._left = {part.mark: job.copies(part) for part in fills if part.is_plate}
        plates = [part for part in fills if part.is_plate]
        self._parts = sorted(plates, key=lambda p: (p.fill or Decimal(0), _area(p)), reverse=True)

    def filled(self, layout: SheetLayout, source: Source) -> SheetLayout:
        """A sheet with fill parts, if it is cut and has room for some."""
        parts = [p for p in self._parts if self._may(p, source) and p.process in (None, layout.process)]
        if layout.process != "torch":
            parts = [p for p in parts if min(p.length, p.width or 0) >= self.job.shop.least_strip]
        if not layout.pieces or not parts:
            return layout
        return self._by_torch(layout, parts) if layout.process == "torch" else self._straight(layout, parts)

    def _by_torch(self, layout: SheetLayout, parts: list[Part]) -> SheetLayout:
        edge, gap = self.job.shop.edge_on_bed, self.job.shop.gap_between
        pieces = list(layout.pieces)
        for bed in layout.blanks or (Rect(0, 0, layout.length, layout.width),):
            room = Region(bed.x + edge, bed.y + edge, bed.length - 2 * edge, bed.width - 2 * edge)
            if min(room.width, room.height) <= 0:
                continue
            lying = [p.place for p in pieces if _holds(bed, p.place)]
            taken = [_around(rect, gap) for rect in (*lying, *layout.offcuts)]
            while fit := self._best(_free(room, taken), parts, layout.times):
                pieces.append(fit.placed)
                taken.append(_around(fit.place, gap))
        return replace(layout, pieces=tuple(pieces))

    def _straight(self, layout: SheetLayout, parts: list[Part]) -> SheetLayout:
        saw = next((saw for saw in self.job.saws if saw.name == layout.saw), None)
        kerf = cut_width(self.job, saw) if saw else 0
        held = {*(p.place for p in layout.pieces), *layout.offcuts}
        free = [rect for rect in _leaves(layout, kerf) if rect not in held]
        pieces, cuts = list(layout.pieces), list(layout.cuts)
        while fit := self._best(free, parts, layout.times):
            pieces.append(fit.placed)
            free.remove(fit.room)
            for cut in _freeing(fit):
                cuts.append(cut)
                _, further = _parts_of(cut, kerf)
                free += [] if further is None else [further]
        return replace(layout, pieces=tuple(pieces), cuts=tuple(cuts))

    def _best(self, free: list[Rect], parts: list[Part], times: int) -> _Fit | None:
        """The first of the parts that has room, where it leaves least beside it; takes its copies."""
        for part in parts:
            if self._left[part.mark] < times:
                continue
            fits = [
                _Fit(part, room, Rect(room.x, room.y, length, width))
                for room in free
                for length, width in lies_ways(part)
                if length <= room.length and width <= room.width
            ]
            if fits:
                self._left[part.mark] -= times
                return min(fits, key=lambda f: (min(_beside(f)), f.room, f.place))
        return None


def _area(part: Part) -> int:
    return part.length * (part.width or 0)


def _beside(fit: _Fit) -> tuple[int, int]:
    return fit.room.length - fit.place.length, fit.room.width - fit.place.width


def _holds(outer: Rect, inner: Rect) -> bool:
    return (
        outer.x <= inner.x
        and outer.y <= inner.y
        and inner.x + inner.length <= outer.x + outer.length
        and inner.y + inner.width <= outer.y + outer.width
    )


def _around(rect: Rect, gap: int) -> tuple[int, int, int, int]:
    return rect.x - gap, rect.y - gap, rect.length + 2 * gap, rect.width + 2 * gap


def _free(room: Region, taken: list[tuple[int, int, int, int]]) -> list[Rect]:
    return [Rect(r.x, r.y, r.width, r.height) for r in maximal(room, taken)]


def _leaves(layout: SheetLayout, kerf: int) -> list[Rect]:
    """The regions that the cuts of a sheet leave."""
    first_end, first_edge, far_end, far_edge = layout.trims
    whole = Rect(
        first_end, first_edge, layout.length - first_end - far_end, layout.width - first_edge - far_edge
    )
    left = [whole]
    for cut in layout.cuts:
        left.remove(cut.region)
        left += [rect for rect in _parts_of(cut, kerf) if rect is not None]
    return left


def _freeing(fit: _Fit) -> Iterator[StraightCut]:
    """The cuts that free a piece from its region: across, then along."""
    room, piece = fit.room, fit.place
    if piece.length < room.length:
        yield StraightCut(region=room, axis="across", stop=piece.length)
    if piece.width < room.width:
        near = Rect(room.x, room.y, piece.length, room.width)
        yield StraightCut(region=near, axis="along", stop=piece.width)


def _parts_of(cut: StraightCut, kerf: int) -> tuple[Rect, Rect | None]:
    """What a cut makes of its region: the nearer part, and the further one if anything is left."""
    at, behind = cut.region, cut.stop + kerf
    if cut.axis == "across":
        near = Rect(at.x, at.y, cut.stop, at.width)
        return near, Rect(at.x + behind, at.y, at.length - behind, at.width) if behind < at.length else None
    near = Rect(at.x, at.y, at.length, cut.stop)
    return near, Rect(at.x, at.y + behind, at.length, at.width - behind) if behind < at.width else None
