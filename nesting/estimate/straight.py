"""Straight cuts through sheets: how many, how long, and how often the stop moves for them."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import groupby

from nesting.plan import SheetLayout, StraightCut
from stock.length import to_mm


@dataclass(frozen=True, slots=True, kw_only=True)
class StraightWork:
    """The straight cuts of one sheet.

    Parameters
    ----------
    count
        Trims included.
    length_mm
        Of all of them together.
    stop_moves
        How often the stop has to be set, one after the other as the cuts stand; a trim needs none.
    """

    count: int
    length_mm: float
    stop_moves: int


def straight_work(layout: SheetLayout) -> StraightWork:
    """The straight cuts of one sheet, its trims first: the ends over its whole width, then the edges between them."""
    ends, edges = layout.trims[0::2], layout.trims[1::2]
    trims = [layout.width for trim in ends if trim]
    trims += [layout.length - sum(ends) for trim in edges if trim]
    lengths = trims + [cut_length(cut) for cut in layout.cuts]
    return StraightWork(
        count=len(lengths),
        length_mm=to_mm(sum(lengths)),
        stop_moves=sum(1 for _ in groupby(layout.cuts, key=lambda cut: cut.stop)),
    )


def cut_length(cut: StraightCut) -> int:
    """Ticks that a cut goes through its region."""
    return cut.region.width if cut.axis == "across" else cut.region.length
