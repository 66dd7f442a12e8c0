"""What can be done with a sheet or a flat bar in two dimensions, worked out from the rules' text.

x runs along the length, y across it; a *way* is a process with what it takes at the edges and between pieces.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import TypeAlias

from nesting.job import Job, Part, Process, Saw, Shop
from stock.material import Shape
from stock.offer import Offer
from stock.rack import RackPiece

Source: TypeAlias = Offer | RackPiece
Size: TypeAlias = tuple[int, int]
"""(along x, along y), ticks."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Way:
    """One way to cut a source.

    Parameters
    ----------
    saw
        None if the process needs none.
    between
        Least distance of two pieces of one blank, along x or along y.
    kerf
        Of a straight cut.
    edge
        Least distance of a piece from the edges of what lies on the bed.
    trims
        Taken off first at (first end, first edge, far end, far edge).
    beds
        The largest rectangles of the source that can lie on the bed; the source less its trims, if there is no bed.
    windows
        Of each bed the largest rectangle that a part and its edges all round take up.
    is_parted
        Whether it is too large for the bed, and so parted into blanks.
    least
        Shortest side of a plate part that saw or shear can hold.
    """

    process: Process
    saw: Saw | None
    between: int
    kerf: int
    edge: int
    trims: tuple[int, int, int, int]
    beds: tuple[Size, ...]
    windows: tuple[Size, ...]
    is_parted: bool
    least: int = 0

    @property
    def name(self) -> str:
        """How the breaches name it."""
        return f"saw {self.saw.name}" if self.saw else self.process

    @property
    def apart(self) -> int:
        """Least distance of any two pieces: those of different blanks have a kerf and two edges between them."""
        return min(self.between, self.kerf + 2 * self.edge) if self.is_parted else self.between

    def holds(self, piece: Size) -> bool:
        """Whether a rectangle, as it lies, has room somewhere."""
        return any(
            all(p + 2 * self.edge <= w for p, w in zip(piece, window, strict=True)) for window in self.windows
        )


def width_of(source: Source) -> int:
    """Width of a sheet or of a flat bar."""
    return source.material.largest_side if source.width is None else source.width


def is_flat_bar(source: Source) -> bool:
    """Whether it is a bar from which plate parts can be cut."""
    return source.width is None and source.material.shape is Shape.FLAT


def lies(part: Part) -> tuple[Size, ...]:
    """How a plate part may lie: as drawn, and by a quarter turned; half a turn changes nothing of a rectangle."""
    if part.width is None:
        return ()
    drawn = (part.length, part.width)
    return (drawn, (part.width, part.length)) if part.turn == "quarter" else (drawn,)


def sawn_extent(part: Part, source: Source) -> int | None:
    """Ticks along a bar that a part takes when it is sawn from it; None if it cannot be."""
    if not part.is_plate:
        return None if source.width is not None else part.extent
    if not is_flat_bar(source) or part.process not in (None, "saw"):
        return None
    return next((along for along, across in lies(part) if across == width_of(source)), None)


def flat_lies(part: Part, source: Source, way: Way) -> tuple[Size, ...]:
    """How a part may lie on a sheet or flat bar that is cut in this way, size and process considered."""
    if part.is_plate:
        allowed = lies(part) if part.process in (None, way.process) else ()
        allowed = tuple(lie for lie in allowed if min(lie) >= way.least)
    else:
        is_sawn = is_flat_bar(source) and way.process == "saw"
        allowed = ((part.extent, width_of(source)),) if is_sawn else ()
    return tuple(lie for lie in allowed if way.holds(lie))


def ways(job: Job, source: Source) -> tuple[Way, ...]:
    """Every way the shop has to cut a source in two dimensions."""
    if source.width is None and not is_flat_bar(source):
        return ()
    if isinstance(source, Offer) and source.cut_to_length is not None:
        return ()
    return tuple(way for process in job.shop.processes for way in _ways(job, source, process))


def _ways(job: Job, source: Source, process: Process) -> Iterator[Way]:
    if process != "saw":
        yield way_of(job.shop, source, process)
    else:
        yield from (way_of(job.shop, source, "saw", saw) for saw in job.saws if saw_takes_sheet(saw, source))


def saw_takes_sheet(saw: Saw, source: Source) -> bool:
    """Whether a saw takes a sheet, or a flat bar lengthwise: it cuts plates, and the shorter side goes through."""
    return saw.plates and (saw.max_size is None or saw.max_size >= min(source.length, width_of(source)))


def way_of(shop: Shop, source: Source, process: Process, saw: Saw | None = None) -> Way:
    """The way to cut a source by a process, and by a saw if that is the process."""
    if process == "torch":
        sheet = (source.length, width_of(source))
        is_parted = not may_lie_on(shop, sheet, ())
        turns = [bed for bed in _beds(shop) if is_parted or _fits(sheet, bed[0])]
        return Way(
            process=process,
            saw=None,
            between=shop.gap_between,
            kerf=shop.torch_kerf + shop.blank_allowance
            if shop.blank_kerf is None
            else shop.blank_kerf + shop.blank_allowance,
            edge=max(shop.edge, shop.bed_margin),
            trims=(0, 0, 0, 0),
            beds=tuple(dict.fromkeys(_reach(sheet, most) for most, _ in turns)) or (sheet,),
            windows=tuple(dict.fromkeys(_reach(sheet, window) for _, window in turns)) or (sheet,),
            is_parted=is_parted,
        )
    kerf, trim, grip = (saw.kerf + shop.kerf_safety, saw.trim, saw.grip) if saw else (0, shop.shear_trim, 0)
    trims = _trims(source, trim, grip + kerf if grip > 0 else 0)
    room = (source.length - trims[0] - trims[2], width_of(source) - trims[1] - trims[3])
    return Way(
        process=process,
        saw=saw,
        between=kerf,
        kerf=kerf,
        edge=0,
        trims=trims,
        beds=(room,),
        windows=(room,),
        is_parted=False,
        least=shop.least_strip,
    )


def _trims(source: Source, trim: int, held: int) -> tuple[int, int, int, int]:
    """A sheet is trimmed all round unless it is clean; a flat bar at its unclean ends, and it has a tail to hold."""
    if source.width is not None:
        side = 0 if source.clean_ends == 2 else trim
        return side, side, side, side
    first = 0 if source.clean_ends >= 1 else trim
    far = 0 if source.clean_ends == 2 else trim
    return first, 0, max(far, held), 0


def may_lie_on(shop: Shop, blank: Size, pieces: Sequence[Size]) -> bool:
    """Whether a blank lies on the bed one way round so that the torch reaches all round each of its pieces.

    Parameters
    ----------
    pieces
        As they lie on the blank, with the edge on all sides.
    """
    if shop.bed is None:
        return True
    return any(
        _fits(blank, most) and all(_fits(piece, window) for piece in pieces) for most, window in _beds(shop)
    )


def _beds(shop: Shop) -> Iterator[tuple[tuple[int | None, int | None], Size]]:
    """Each way round of the bed: the most of a blank, None where it is open, and what the torch reaches."""
    if shop.bed is not None:
        first, second = shop.bed
        endless = None if shop.bed_open else first
        yield (endless, second), (first, second)
        yield (second, endless), (second, first)


def _fits(size: Size, most: tuple[int | None, int | None]) -> bool:
    return all(m is None or s <= m for s, m in zip(size, most, strict=True))


def _reach(sheet: Size, most: tuple[int | None, int | None]) -> Size:
    """As much of a sheet."""
    along, across = (s if m is None else min(s, m) for s, m in zip(sheet, most, strict=True))
    return along, across
