"""What lies under the torch: blanks that fit the bed, pieces clear of edges and each other, offcuts clear of pieces."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Sequence

from nesting.check import say
from nesting.check.regions import CutUp, is_inside, near_to, too_near
from nesting.check.ways import Way, may_lie_on
from nesting.job import Shop
from nesting.plan import Rect, SheetLayout


def torch_breaches(layout: SheetLayout, sheet: Rect, way: Way, shop: Shop) -> Iterator[str]:
    """Say what is wrong with where things lie on a sheet that a torch cuts."""
    parted = CutUp(sheet, layout.cuts, way.kerf, shop)
    yield from parted.breaches
    yield from _Torch(layout, sheet, way, shop, list(parted.left)).breaches()


class _Torch:
    def __init__(
        self, layout: SheetLayout, sheet: Rect, way: Way, shop: Shop, regions: Sequence[Rect]
    ) -> None:
        self.layout, self.sheet, self.way, self.shop, self.regions = layout, sheet, way, shop, regions
        self.on: dict[Rect, list[int]] = defaultdict(list)
        """Numbers (from 0) of the pieces that lie in each region."""

    def breaches(self) -> Iterator[str]:
        for number, piece in enumerate(self.layout.pieces):
            yield from self._piece(number, piece.place)
        yield from self._beds()
        for held in self.on.values():
            yield from self._clearance(held)
        yield from self._offcuts()

    def _beds(self) -> Iterator[str]:
        """Either all of the sheet lies on the bed, or regions that straight cuts leave of it do."""
        layout, bed = self.layout, self.shop.bed
        if not self.way.is_parted and (layout.cuts or layout.blanks):
            yield "it lies on the bed whole, due are no cuts and no blanks"
        if self.way.is_parted and not layout.blanks and bed is not None:
            yield f"it is larger than the bed of {say.size(self.shop, *bed)} and is not parted into blanks"
        for number, blank in enumerate(layout.blanks, start=1):
            if blank not in self.regions or blank in layout.blanks[: number - 1]:
                yield f"blank {number}, {say.place(self.shop, blank)}, is not one of the regions that the cuts leave"
            if bed is not None and not may_lie_on(self.shop, (blank.length, blank.width), ()):
                yield (
                    f"blank {number} is {say.size(self.shop, blank.length, blank.width)},"
                    f" the bed takes {say.size(self.shop, *bed)}"
                )
            else:
                yield from self._reached(f"blank {number}", blank)
        if not layout.blanks and not self.way.is_parted:
            yield from self._reached("it", self.sheet)

    def _reached(self, named: str, lying: Rect) -> Iterator[str]:
        """On an open bed the torch reaches all round a part without moving what lies there."""
        places = [self.layout.pieces[n].place for n in self.on[lying]]
        around = [(p.length + 2 * self.way.edge, p.width + 2 * self.way.edge) for p in places]
        if self.shop.bed is not None and not may_lie_on(self.shop, (lying.length, lying.width), around):
            yield (
                f"{named} has a part that the torch does not reach all round on a bed of"
                f" {say.size(self.shop, *self.shop.bed)}, whichever way {named} lies"
            )

    def _piece(self, number: int, rect: Rect) -> Iterator[str]:
        named = f"piece {number + 1}, part {self.layout.pieces[number].mark}, {say.place(self.shop, rect)},"
        home = self._home(rect)
        if home is None:
            crossed = "across a cut" if is_inside(rect, self.sheet) else "beyond the edge of the sheet"
            yield f"{named} lies {crossed}"
            return
        self.on[home].append(number)
        if self.layout.blanks and home not in self.layout.blanks:
            yield f"{named} lies on none of the blanks"
        if not is_inside(rect, home, self.way.edge):
            yield (
                f"{named} is less than {say.ticks(self.shop, self.way.edge)} from the edge of what lies on the bed,"
                f" {say.place(self.shop, home)}"
            )

    def _home(self, rect: Rect) -> Rect | None:
        """The region that a rectangle lies in."""
        return next((region for region in self.regions if is_inside(rect, region)), None)

    def _clearance(self, held: list[int]) -> Iterator[str]:
        pieces = self.layout.pieces
        for one, other in too_near([pieces[n].place for n in held], self.way.between):
            first, second = held[one], held[other]
            yield (
                f"pieces {first + 1} and {second + 1}, parts {pieces[first].mark} and {pieces[second].mark},"
                f" {say.place(self.shop, pieces[first].place)} and {say.place(self.shop, pieces[second].place)},"
                f" are less than {say.ticks(self.shop, self.way.between)} apart along x and along y"
            )

    def _offcuts(self) -> Iterator[str]:
        offcuts = self.layout.offcuts
        for number, rect in enumerate(offcuts, start=1):
            named = f"offcut {number}, {say.place(self.shop, rect)},"
            home = self._home(rect)
            if home is None:
                crossed = "across a cut" if is_inside(rect, self.sheet) else "beyond the edge of the sheet"
                yield f"{named} lies {crossed}"
                continue
            pieces = [self.layout.pieces[n] for n in self.on[home]]
            near = near_to(rect, [p.place for p in pieces], self.way.between)
            other = near_to(rect, [o for o in offcuts[: number - 1] if is_inside(o, home)], self.way.between)
            if other is not None:
                yield f"{named} is less than {say.ticks(self.shop, self.way.between)} from another offcut"
            if near is not None:
                yield (
                    f"{named} is less than {say.ticks(self.shop, self.way.between)} from part {pieces[near].mark},"
                    f" {say.place(self.shop, pieces[near].place)}"
                )
        for one, other in too_near(offcuts, 0):
            first, second = (say.place(self.shop, offcuts[n]) for n in (one, other))
            yield f"offcuts {one + 1} and {other + 1}, {first} and {second}, overlap"
