"""What can be done with a sheet or a flat bar in two dimensions, worked out from the rules' text.

x runs along the length, y across it; a *way* is a process with what it takes at the edges and between pieces.
"""

from __future__ import annotations

from collections.abc import Iterator
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
    is_parted
        Whether it is too large for the bed, and so parted into blanks.
    """

    process: Process
    saw: Saw | None
    between: int
    kerf: int
    edge: int
    trims: tuple[int, int, int, int]
    beds: tuple[Size, ...]
    is_parted: bool

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
        return any(all(p + 2 * self.edge <= b for p, b in zip(piece, bed, strict=True)) for bed in self.beds)


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
        beds = tuple(_beds((source.length, width_of(source)), shop.bed))
        return Way(
            process=process,
            saw=None,
            between=shop.gap_between,
            kerf=shop.torch_kerf,
            edge=shop.edge,
            trims=(0, 0, 0, 0),
            beds=beds,
            is_parted=beds != ((source.length, width_of(source)),),
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
        is_parted=False,
    )


def _trims(source: Source, trim: int, held: int) -> tuple[int, int, int, int]:
    """A sheet is trimmed all round unless it is clean; a flat bar at its unclean ends, and it has a tail to hold."""
    if source.width is not None:
        side = 0 if source.clean_ends == 2 else trim
        return side, side, side, side
    first = 0 if source.clean_ends >= 1 else trim
    far = 0 if source.clean_ends == 2 else trim
    return first, 0, max(far, held), 0


def lies_on(bed: Size | None, piece: Size) -> bool:
    """Whether a piece of material fits the bed, either way round; any does if there is no limit."""
    return bed is None or any(piece[0] <= b[0] and piece[1] <= b[1] for b in (bed, bed[::-1]))


def _beds(sheet: Size, bed: Size | None) -> Iterator[Size]:
    if bed is None or lies_on(bed, sheet):
        yield sheet
    else:
        yield from dict.fromkeys((min(sheet[0], b[0]), min(sheet[1], b[1])) for b in (bed, bed[::-1]))
