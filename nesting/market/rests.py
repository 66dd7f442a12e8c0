"""What lies behind the last piece of a stick: what it earns in segments, and how much the saw could still cut of it."""

from __future__ import annotations

from nesting.bars.rests import Rests
from nesting.job import Job, Saw
from nesting.plan import GroupPlan, Layout
from nesting.rules.credit import Earns
from nesting.rules.hauling import Parted
from nesting.rules.stick_ways import cut_width, usable_length
from stock.offer import Offer
from stock.rack import RackPiece

Source = Offer | RackPiece


def end_of(layout: Layout) -> int:
    """Ticks from the first end to behind the last point of any piece."""
    return max(piece.start + piece.extent for piece in layout.pieces)


def rests_of(job: Job, length: int, way: Parted, earning: Earns) -> Rests:
    """What the rests of a stick's segments earn.

    Parameters
    ----------
    length
        Ticks of the stick.
    """
    return Rests(
        kept=earning.kept,
        scrap=earning.scrap,
        keep=max(1, job.shop.keep_length),
        limit=way.yard.haul_limit or 0,
        total=length - way.cuts * way.yard.cut_kerf,
        one_stays=way.left is not None,
        tails=way.tails,
    )


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
        clean = group.partings[layout.segment[0]].clean_ends(layout.segment[1], clean)
    head = 0 if clean else saw.trim
    reach = head + usable_length(job, layout.length, clean, saw)
    return reach - end_of(layout) - cut_width(job, saw)
