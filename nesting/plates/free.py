"""What is left of a sheet: the free rectangles that are worth keeping."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

import numpy as np

from nesting.plates.cuts import straight_cuts
from nesting.plates.problem import Cutting, Layout, Region, SheetKind
from nesting.plates.spaces import COLUMNS, keep, take_free


def offcuts_of(
    kind: SheetKind, layout: Layout, least: tuple[int, int], beside: Sequence[Region] = ()
) -> tuple[Region, ...]:
    """What is left of a sheet and large enough, by place.

    Parameters
    ----------
    least
        Least long side and least short side, ticks.
    beside
        What is left beside its blanks.

    Where pieces are cut freely: of the sheet, or of each blank, the free rectangle of most area, then that of what it
    leaves, and so on; they keep the distance `between` from every piece and from each other, and may reach the edges.
    Where cuts are straight: every region that they leave.
    """
    if kind.cutting is Cutting.GUILLOTINE:
        return tuple(r for r in _uncut(kind, layout) if _is_large(r, least))
    gap = kind.between
    taken = [(p.x - gap, p.y - gap, p.width + 2 * gap, p.height + 2 * gap) for p in layout.pieces]
    found = [region for region in beside if _is_large(region, least)]
    for bed in kind.blanks or (Region(0, 0, kind.width, kind.height),):
        held = list(taken)
        while free := [r for r in maximal(bed, held) if _is_large(r, least)]:
            best = max(free, key=lambda r: (r.width * r.height, -r.x, -r.y))
            found.append(best)
            held.append((best.x - gap, best.y - gap, best.width + 2 * gap, best.height + 2 * gap))
    return tuple(sorted(found))


def _is_large(region: Region, least: tuple[int, int]) -> bool:
    sides = sorted((region.width, region.height))
    return sides[1] >= least[0] and sides[0] >= least[1]


def _uncut(kind: SheetKind, layout: Layout) -> list[Region]:
    """Regions that the cuts leave and that are no piece."""
    left: set[Region] = set()
    for cut in straight_cuts(kind, layout):
        left.discard(cut.region)
        left.update(r for r in (cut.nearer, cut.further) if r is not None)
    return sorted(left - {Region(p.x, p.y, p.width, p.height) for p in layout.pieces})


def maximal(bed: Region, taken: Iterable[tuple[int, int, int, int]]) -> list[Region]:
    """The maximal rectangles of a bed outside of those that are taken."""
    held = list(taken)
    rows = 16 * len(held) + 64
    spaces, fresh = np.zeros((rows, COLUMNS), np.int64), np.zeros((rows, COLUMNS), np.int64)
    count = keep(spaces, 0, bed.x, bed.y, bed.width, bed.height, -1, -1)
    for x, y, w, h in held:
        count = take_free(spaces, count, fresh, x, y, w, h, 1, 1)
    return [Region(*(int(v) for v in spaces[r, :4])) for r in range(count)]
