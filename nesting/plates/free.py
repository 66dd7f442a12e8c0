"""What is left of a sheet: the largest free rectangle that is worth keeping."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

import numpy as np

from nesting.plates.cuts import straight_cuts
from nesting.plates.problem import Cutting, Layout, Region, SheetKind
from nesting.plates.spaces import COLUMNS, keep, take_free


def best_offcut(kind: SheetKind, layout: Layout, least: tuple[int, int]) -> Region | None:
    """The free rectangle of most area; None if none is large enough.

    Parameters
    ----------
    least
        Least long side and least short side, ticks.

    Where pieces are cut freely it keeps the distance `between` from every one of them, and may reach the edges of
    the sheet, or of its blank. Where cuts are straight it is a region that no cut touches any more.
    """
    free = _uncut(kind, layout) if kind.cutting is Cutting.GUILLOTINE else _between(kind, layout)
    worth = [r for r in free if max(r.width, r.height) >= least[0] and min(r.width, r.height) >= least[1]]
    return max(worth, key=lambda r: (r.width * r.height, -r.x, -r.y), default=None)


def _uncut(kind: SheetKind, layout: Layout) -> list[Region]:
    """Regions that the cuts leave and that are no piece."""
    left: set[Region] = set()
    for cut in straight_cuts(kind, layout):
        left.discard(cut.region)
        left.update(r for r in (cut.nearer, cut.further) if r is not None)
    return sorted(left - {Region(p.x, p.y, p.width, p.height) for p in layout.pieces})


def _between(kind: SheetKind, layout: Layout) -> Iterator[Region]:
    """Every largest rectangle beside the pieces, of each blank."""
    gap = kind.between
    taken = [(p.x - gap, p.y - gap, p.width + 2 * gap, p.height + 2 * gap) for p in layout.pieces]
    for bed in kind.blanks or (Region(0, 0, kind.width, kind.height),):
        yield from _maximal(bed, taken)


def _maximal(bed: Region, taken: Iterable[tuple[int, int, int, int]]) -> list[Region]:
    """The maximal rectangles of a bed outside of those that are taken."""
    held = list(taken)
    rows = 16 * len(held) + 64
    spaces, fresh = np.zeros((rows, COLUMNS), np.int64), np.zeros((rows, COLUMNS), np.int64)
    count = keep(spaces, 0, bed.x, bed.y, bed.width, bed.height, -1, -1)
    for x, y, w, h in held:
        count = take_free(spaces, count, fresh, x, y, w, h, 1, 1)
    return [Region(*(int(v) for v in spaces[r, :4])) for r in range(count)]
