"""The free rectangles of a sheet that is being filled: where the next piece may go.

A row of the table is x, y, width, height, choice, side. Free cutting keeps every maximal free rectangle, and they
overlap (choice and side unused, -1). Guillotine cutting keeps rectangles that can still be cut free; the two ways to
cut the L round a piece both stay open, side 0 and side 1 of one choice, until a piece is laid into one of them.
"""

from __future__ import annotations

from nesting.compiled import njit
from nesting.plates.types import Table

COLUMNS = 6
"""Of a table of free rectangles."""


@njit(cache=True, nogil=True)
def keep(spaces: Table, count: int, x: int, y: int, w: int, h: int, choice: int, side: int) -> int:
    """Add a free rectangle if the table has a row left; returns the new count."""
    if count >= spaces.shape[0]:
        return count
    spaces[count, 0] = x
    spaces[count, 1] = y
    spaces[count, 2] = w
    spaces[count, 3] = h
    spaces[count, 4] = choice
    spaces[count, 5] = side
    return count + 1


@njit(cache=True, nogil=True)
def _is_inside(a: Table, i: int, b: Table, j: int) -> bool:
    return bool(
        a[i, 0] >= b[j, 0]
        and a[i, 1] >= b[j, 1]
        and a[i, 0] + a[i, 2] <= b[j, 0] + b[j, 2]
        and a[i, 1] + a[i, 3] <= b[j, 1] + b[j, 3]
    )


@njit(cache=True, nogil=True)
def take_free(
    spaces: Table, count: int, fresh: Table, x: int, y: int, w: int, h: int, least_w: int, least_h: int
) -> int:
    """Lay a piece, free cutting: every rectangle it touches is replaced by the maximal ones around the piece.

    `fresh` is room to work in; rectangles narrower than least_w or lower than least_h are dropped.
    """
    new = 0
    i = 0
    while i < count:
        sx, sy, sw, sh = spaces[i, 0], spaces[i, 1], spaces[i, 2], spaces[i, 3]
        if x >= sx + sw or x + w <= sx or y >= sy + sh or y + h <= sy:
            i += 1
            continue
        if sh >= least_h:
            if x - sx >= least_w:
                new = keep(fresh, new, sx, sy, x - sx, sh, -1, -1)
            if sx + sw - x - w >= least_w:
                new = keep(fresh, new, x + w, sy, sx + sw - x - w, sh, -1, -1)
        if sw >= least_w:
            if y - sy >= least_h:
                new = keep(fresh, new, sx, sy, sw, y - sy, -1, -1)
            if sy + sh - y - h >= least_h:
                new = keep(fresh, new, sx, y + h, sw, sy + sh - y - h, -1, -1)
        count -= 1
        spaces[i] = spaces[count]
    old = count
    for i in range(new):
        needed = True
        for j in range(new):
            # of two equal ones the first stays
            if j != i and _is_inside(fresh, i, fresh, j) and (j < i or not _is_inside(fresh, j, fresh, i)):
                needed = False
                break
        if needed:
            for j in range(old):
                if _is_inside(fresh, i, spaces, j):
                    needed = False
                    break
        if needed and count < spaces.shape[0]:
            spaces[count] = fresh[i]
            count += 1
    return count


@njit(cache=True, nogil=True)
def take_guillotine(
    spaces: Table, count: int, at: int, w: int, h: int, choice: int, least_w: int, least_h: int
) -> int:
    """Lay a piece into the corner of rectangle `at`, guillotine cutting; `choice` is a number not used yet.

    The other side of the choice that rectangle belonged to is given up.
    """
    x, y, sw, sh = spaces[at, 0], spaces[at, 1], spaces[at, 2], spaces[at, 3]
    decided, side = spaces[at, 4], spaces[at, 5]
    kept = 0
    for i in range(count):
        if i == at or (decided >= 0 and spaces[i, 4] == decided and spaces[i, 5] != side):
            continue
        spaces[kept] = spaces[i]
        if decided >= 0 and spaces[kept, 4] == decided:
            spaces[kept, 4] = -1
        kept += 1
    right, top = sw - w, sh - h
    if right >= least_w and top >= least_h:
        kept = keep(spaces, kept, x + w, y, right, sh, choice, 0)
        if w >= least_w:
            kept = keep(spaces, kept, x, y + h, w, top, choice, 0)
        kept = keep(spaces, kept, x, y + h, sw, top, choice, 1)
        if h >= least_h:
            kept = keep(spaces, kept, x + w, y, right, h, choice, 1)
    elif right >= least_w and sh >= least_h:
        kept = keep(spaces, kept, x + w, y, right, sh, -1, -1)
    elif top >= least_h and sw >= least_w:
        kept = keep(spaces, kept, x, y + h, sw, top, -1, -1)
    return kept
