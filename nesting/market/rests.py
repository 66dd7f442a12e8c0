"""What lies behind the last piece of a stick: how much of it the saw could still cut into pieces."""

from __future__ import annotations

from nesting.job import Job, Saw
from nesting.plan import GroupPlan, Layout, Parting
from nesting.stick_ways import cut_width, usable_length
from stock.offer import Offer
from stock.rack import RackPiece

Source = Offer | RackPiece


def end_of(layout: Layout) -> int:
    """Ticks from the first end to behind the last point of any piece."""
    return max(piece.start + piece.extent for piece in layout.pieces)


def room_behind(job: Job, group: GroupPlan, layout: Layout, source: Source, saw: Saw) -> int:
    """Ticks that the pieces of a stick could be longer together, or that more pieces with their cuts could take.

    Parameters
    ----------
    group
        Of the layout; its partings say which ends of a segment are the yard's cuts.
    source, saw
        Of the layout, which has pieces.
    """
    clean = source.clean_ends
    if layout.segment is not None:
        clean = _clean_ends(group.partings[layout.segment[0]], layout.segment[1], clean)
    head = 0 if clean else saw.trim
    reach = head + usable_length(job, layout.length, clean, saw)
    return reach - end_of(layout) - cut_width(job, saw)


def _clean_ends(parting: Parting, segment: int, clean_ends: int) -> int:
    """How many ends of a segment are clean: those of the stick itself, the first one first; a yard's cut is not."""
    is_last = segment == len(parting.segments) - 1
    return (segment == 0 and clean_ends >= 1) + (is_last and clean_ends == 2)
