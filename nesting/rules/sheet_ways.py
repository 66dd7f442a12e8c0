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
from nesting.rules.hauling import is_too_large, is_unwieldy
from nesting.rules.stick_ways import longest_extent, takes
from stock.length import PER_INCH, PER_MM
from stock.offer import Offer
from stock.rack import RackPiece

Source = Offer | RackPiece

MOST_BLANKS = 1_000
"""Into more blanks no sheet is parted in a row of blanks alike."""


@dataclass(frozen=True, slots=True)
class Bed:
    """One way round for what lies on the torch table.

    Parameters
    ----------
    most
        (along x, along y) of the largest blank of a sheet, ticks.
    window
        (along x, along y) of the largest part with its edge on all sides: less than `most` where the table is open.
    """

    most: tuple[int, int]
    window: tuple[int, int]

    def takes(self, blank: tuple[int, int]) -> bool:
        """Whether a blank lies on the bed this way round."""
        return blank[0] <= self.most[0] and blank[1] <= self.most[1]


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
        What lies on the bed one after the other if the sheet is parted for it; empty: it lies on the bed whole.
    cuts
        That part it; regions they leave beside the blanks stay as they are.
    window
        (along x, along y) of the largest part with its edge on all sides; None: what its blank takes.
    least
        Shortest side of a part.
    """

    process: Process
    saw: str
    between: int
    near: tuple[int, int]
    far: tuple[int, int]
    blanks: tuple[Rect, ...] = ()
    cuts: tuple[StraightCut, ...] = ()
    window: tuple[int, int] | None = None
    least: int = 0

    def reaches(self, length: int, width: int) -> bool:
        """Whether the torch reaches all round a part without moving what lies there, or saw or shear can hold it."""
        if min(length, width) < self.least:
            return False
        sides = (length + self.near[0] + self.far[0], width + self.near[1] + self.far[1])
        return self.window is None or all(s <= w for s, w in zip(sides, self.window, strict=True))

    def holds(self, source: Source, length: int, width: int) -> bool:
        """Whether a rectangle of `length` along x and `width` along y has room."""
        rooms = self.blanks or (Rect(0, 0, source.length, width_of(source)),)
        margin_x, margin_y = self.near[0] + self.far[0], self.near[1] + self.far[1]
        return self.reaches(length, width) and any(
            length <= r.length - margin_x and width <= r.width - margin_y for r in rooms
        )


def width_of(source: Source) -> int:
    """Width of a sheet, or of a flat bar."""
    return source.material.largest_side if source.width is None else source.width


def sheet_ways(job: Job, source: Source) -> tuple[SheetWay, ...]:
    """Every way the shop can cut a sheet or flat bar in two dimensions; of a bed the ways to part the sheet for it.

    None of a sheet that does not come home.
    """
    if is_too_large(job, source) or is_unwieldy(job.shop, source):
        return ()
    return _all_ways(job.shop, job.saws, source)


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
        yield _guillotine(shop, source, "shear", "", 0, shop.shear_trim, 0)
    else:
        for saw in saws:
            if saw.plates and (saw.max_size is None or saw.max_size >= min(source.length, width_of(source))):
                cut = saw.kerf + shop.kerf_safety
                yield _guillotine(shop, source, "saw", saw.name, cut, saw.trim, _grip(source, saw, cut))


def _grip(source: Source, saw: Saw, cut: int) -> int:
    """Ticks behind the last cut that the machine holds, the width of that cut included; sheets lie on a table."""
    return saw.grip + cut if source.width is None and saw.grip else 0


def _guillotine(
    shop: Shop, source: Source, process: Process, saw: str, kerf: int, trim: int, grip: int
) -> SheetWay:
    """The long edges of a flat bar are clean; a sheet is clean on all sides or, by default, on none."""
    first, last = (trim * (source.clean_ends < n) for n in (1, 2))
    side = last if source.width is not None else 0
    first = last if source.width is not None else first
    return SheetWay(
        process=process,
        saw=saw,
        between=kerf,
        near=(first, side),
        far=(max(last, grip), side),
        least=shop.least_strip,
    )


def beds_for(shop: Shop, size: tuple[int, int]) -> tuple[Bed, ...]:
    """Every way round for blanks of a sheet, as far as it reaches; the sheet itself if there is no bed."""
    if shop.bed is None:
        return (Bed(size, size),)
    first, second = shop.bed
    beds = []
    for is_turned in (False, True):
        window = (second, first) if is_turned else (first, second)
        most = list(window)
        if shop.bed_open:
            most[is_turned] = max(size)
        taken = (min(most[0], size[0]), min(most[1], size[1]))
        beds.append(Bed(taken, (min(window[0], taken[0]), min(window[1], taken[1]))))
    return tuple(dict.fromkeys(beds))


def torch_way(shop: Shop, bed: Bed, blanks: tuple[Rect, ...], cuts: tuple[StraightCut, ...]) -> SheetWay:
    """How the torch cuts a sheet that is parted so, each blank lying on the bed this way round."""
    edge = (shop.edge_on_bed, shop.edge_on_bed)
    window = None if bed.window == bed.most else bed.window
    return SheetWay(
        process="torch",
        saw="",
        between=shop.gap_between,
        near=edge,
        far=edge,
        blanks=blanks,
        cuts=cuts,
        window=window,
    )


def _torch_ways(shop: Shop, source: Source) -> Iterator[SheetWay]:
    """Whole if the bed takes it; else one blank as large as can be, and simple rows and columns of blanks."""
    size = (source.length, width_of(source))
    beds = beds_for(shop, size)
    whole = [bed for bed in beds if bed.most == size]
    if whole:
        free = [bed for bed in whole if bed.window == size]
        yield from (torch_way(shop, bed, (), ()) for bed in free[:1] or whole)
        return
    grid = PER_INCH // 32 if shop.unit == "in" else PER_MM // 2
    found: dict[tuple[Bed, _Split], None] = {}
    for bed in beds:
        found[bed, _one_blank(size, bed)] = None
        for split in _splits(size, bed.most, shop.parting_kerf, grid):
            found[bed, split] = None
    for bed, (blanks, cuts) in found:
        yield torch_way(shop, bed, blanks, cuts)


_Split = tuple[tuple[Rect, ...], tuple[StraightCut, ...]]


def _one_blank(size: tuple[int, int], bed: Bed) -> _Split:
    """The largest blank, cut from the corner of a sheet."""
    wide, high = bed.most
    cuts = []
    if wide < size[0]:
        cuts.append(StraightCut(region=Rect(0, 0, *size), axis="across", stop=wide))
    if high < size[1]:
        cuts.append(StraightCut(region=Rect(0, 0, wide, size[1]), axis="along", stop=high))
    return (Rect(0, 0, wide, high),), tuple(cuts)


def _splits(size: tuple[int, int], most: tuple[int, int], kerf: int, grid: int) -> Iterator[_Split]:
    """Blanks as large as the bed with a rest, or all alike."""
    for is_even in (False, True):
        columns = _steps(size[0], most[0], kerf, grid if is_even else 0)
        rows = _steps(size[1], most[1], kerf, grid if is_even else 0)
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
