"""What straight cuts free, by saw or shear: every piece and every offcut is a region that they leave."""

from __future__ import annotations

from collections.abc import Iterator

from nesting.check import say
from nesting.check.regions import CutUp
from nesting.check.ways import Way
from nesting.job import Shop
from nesting.plan import Rect, SheetLayout


def straight_breaches(layout: SheetLayout, sheet: Rect, way: Way, shop: Shop) -> Iterator[str]:
    """Say what is wrong with the cuts of a sheet that is sawn or sheared, and with what they free."""
    first_end, first_edge, far_end, far_edge = way.trims
    room = Rect(
        first_end, first_edge, sheet.length - first_end - far_end, sheet.width - first_edge - far_edge
    )
    cut_up = CutUp(room, layout.cuts, way.kerf, shop)
    yield from cut_up.breaches
    if layout.blanks:
        yield f"it has {len(layout.blanks)} blanks, due are none where straight cuts free the pieces"
    taken: dict[Rect, str] = {}
    pieces = [(f"piece {n}, part {p.mark},", p.place) for n, p in enumerate(layout.pieces, start=1)]
    offcuts = [(f"offcut {n},", rect) for n, rect in enumerate(layout.offcuts, start=1)]
    for named, rect in (*pieces, *offcuts):
        if rect not in cut_up.left:
            yield f"{named} {say.place(shop, rect)}, is not one of the regions that the cuts leave"
        elif rect in taken:
            yield f"{named} {say.place(shop, rect)}, is the same region as {taken[rect].rstrip(',')}"
        else:
            taken[rect] = named
