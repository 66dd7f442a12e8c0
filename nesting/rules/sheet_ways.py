"""The ways to cut a source in two dimensions: process, margins, and blanks that fit the torch bed.

x runs along the length of the sheet or flat bar, y across it; all in ticks. What the checker knows of this it works
out by itself.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache

from nesting.job import Job, Part, Process, Saw, Shop
from nesting.plan import Rect, StraightCut
from nesting.rules.hauling import is_too_large
from nesting.rules.stick_ways import longest_extent, takes
from stock.length import PER_INCH, PER_MM
from stock.offer import Offer
from stock.rack import RackPiece

Source = Offer | RackPiece

MOST_BLANKS = 1_000
"""Into more blanks no sheet is parted."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetWay:
    """One way to cut a source.

    Parameters
    ----------
    saw
        Name of the saw, "" if it is none.
    between
        Least distance of two pieces, per axis: clearance of the torch, kerf of the saw, nothing for a shear.
    near, far
        (x, y): ticks kept free at the first end and edge, and at the far ones; of each blank, if there are blanks.
    blanks
        What the sheet is parted into so that it fits the bed; empty: it lies on the bed whole.
    cuts
        That part it.
    """

    process: Process
    saw: str
    between: int
    near: tuple[int, int]
    far: tuple[int, int]
    blanks: tuple[Rect, ...] = ()
    cuts: tuple[StraightCut, ...] = ()

    def holds(self, source: Source, length: int, width: int) -> bool:
        """Whether a rectangle of `length` along x and `width` along y has room."""
        rooms = self.blanks or (Rect(0, 0, source.length, width_of(source)),)
        margin_x, margin_y = self.near[0] + self.far[0], self.near[1] + self.far[1]
        return any(length <= r.length - margin_x and width <= r.width - margin_y for r in rooms)


def width_of(source: Source) -> int:
    """Width of a sheet, or of a flat bar."""
    return source.material.largest_side if source.width is None else source.width


def sheet_ways(job: Job, source: Source) -> tuple[SheetWay, ...]:
    """Every way the shop can cut a sheet or flat bar in two dimensions; of a bed the ways to part the sheet for it.

    None of a sheet that does not come home.
    """
    return () if is_too_large(job, source) else _all_ways(job.shop, job.saws, source)


def lies_ways(part: Part) -> tuple[tuple[int, int], ...]:
    """(along x, along y) of a plate part: as drawn, and turned by a quarter if it may be and it matters."""
    assert part.width is not None
    straight = (part.length, part.width)
    return (
        (straight, straight[::-1]) if part.turn == "quarter" and straight[0] != straight[1] else (straight,)
    )


def sawn_extents(part: Part, bar_width: int) -> tuple[int, ...]:
    """Extents along a flat bar at which a plate part, as wide as the bar, is sawn from it; none if it cannot be."""
    if part.process not in (None, "saw"):
        return ()
    return tuple(along for along, across in lies_ways(part) if across == bar_width)


def may_lie(job: Job, part: Part, source: Source) -> bool:
    """Whether a plate part can be cut from a source of its material in some way, size and process considered."""
    if source.width is None and any(
        extent <= longest_extent(job, source.length, source.clean_ends, saw)
        for extent in sawn_extents(part, width_of(source))
        for saw in job.saws
        if takes(saw, source.material)
    ):
        return True
    return any(
        way.holds(source, along, across)
        for way in sheet_ways(job, source)
        if part.process in (None, way.process)
        for along, across in lies_ways(part)
    )


@lru_cache(maxsize=4096)  # asked for each part anew
def _all_ways(shop: Shop, saws: tuple[Saw, ...], source: Source) -> tuple[SheetWay, ...]:
    return tuple(way for process in shop.processes for way in _ways(shop, saws, source, process))


def _ways(shop: Shop, saws: tuple[Saw, ...], source: Source, process: Process) -> Iterator[SheetWay]:
    if isinstance(source, Offer) and source.cut_to_length is not None:
        return  # a stick ordered to length is sawn, nothing else
    if process == "torch":
        yield from _torch_ways(shop, source)
    elif process == "shear":
        yield _guillotine(source, "shear", "", 0, shop.shear_trim, 0)
    else:
        for saw in saws:
            if saw.plates and (saw.max_size is None or saw.max_size >= min(source.length, width_of(source))):
                cut = saw.kerf + shop.kerf_safety
                yield _guillotine(source, "saw", saw.name, cut, saw.trim, _grip(source, saw, cut))


def _grip(source: Source, saw: Saw, cut: int) -> int:
    """Ticks behind the last cut that the machine holds, the width of that cut included; sheets lie on a table."""
    return saw.grip + cut if source.width is None and saw.grip else 0


def _guillotine(source: Source, process: Process, saw: str, kerf: int, trim: int, grip: int) -> SheetWay:
    """The long edges of a flat bar are clean; a sheet is clean on all sides or, by default, on none."""
    first, last = (trim * (source.clean_ends < n) for n in (1, 2))
    side = last if source.width is not None else 0
    first = last if source.width is not None else first
    return SheetWay(process=process, saw=saw, between=kerf, near=(first, side), far=(max(last, grip), side))


def _torch_ways(shop: Shop, source: Source) -> Iterator[SheetWay]:
    size = (source.length, width_of(source))
    edge = (shop.edge, shop.edge)
    grid = PER_INCH // 32 if shop.unit == "in" else PER_MM // 2
    if shop.bed is None or (sorted(size) <= sorted(shop.bed) and max(size) <= max(shop.bed)):
        splits: list[_Split] = [((), ())]
    else:
        splits = list(dict.fromkeys(_splits(size, shop.bed, shop.torch_kerf, grid)))
    for blanks, cuts in splits:
        yield SheetWay(
            process="torch", saw="", between=shop.gap_between, near=edge, far=edge, blanks=blanks, cuts=cuts
        )


_Split = tuple[tuple[Rect, ...], tuple[StraightCut, ...]]


def _splits(size: tuple[int, int], bed: tuple[int, int], kerf: int, grid: int) -> Iterator[_Split]:
    """Blanks as large as the bed with a rest, or all alike; with the bed either way round."""
    for along, across in dict.fromkeys((bed, bed[::-1])):
        for is_even in (False, True):
            columns = _steps(size[0], along, kerf, grid if is_even else 0)
            rows = _steps(size[1], across, kerf, grid if is_even else 0)
            if columns and rows and len(columns) * len(rows) <= MOST_BLANKS:
                yield _parted(size, columns, rows, kerf)


def _steps(total: int, most: int, kerf: int, grid: int) -> list[int]:
    """Sizes into which a length is cut so that none is above `most`; alike, to whole grid steps, if a grid is given."""
    number = -(-(total + kerf) // (most + kerf))
    if number == 1:
        return [total]
    if number > MOST_BLANKS:
        return []
    size = (total - (number - 1) * kerf) // number // grid * grid if grid else most
    last = total - (number - 1) * (size + kerf)
    if size <= 0 or last > most:
        return []
    return [size] * (number - 1) + ([last] if last > 0 else [])


def _parted(size: tuple[int, int], columns: list[int], rows: list[int], kerf: int) -> _Split:
    """Columns are cut off one after the other, then each is cut into its blanks."""
    cuts: list[StraightCut] = []
    blanks: list[Rect] = []
    x = 0
    for wide in columns:
        if wide < size[0] - x:
            cuts.append(StraightCut(region=Rect(x, 0, size[0] - x, size[1]), axis="across", stop=wide))
        x += wide + kerf
    x = 0
    for wide in columns:
        y = 0
        for high in rows:
            if high < size[1] - y:
                cuts.append(StraightCut(region=Rect(x, y, wide, size[1] - y), axis="along", stop=high))
            blanks.append(Rect(x, y, wide, high))
            y += high + kerf
        x += wide + kerf
    return tuple(blanks), tuple(cuts)
