"""Fills one sheet with pieces in a given order: each goes where the rule likes it best, or is left.

Sources: the maximal free rectangles after Jylänki, "A thousand ways to pack the bin", 2010 (from memory); the rules
are common ones: lowest, leftmost, least gap at the shorter side, least free rectangle.
"""

from __future__ import annotations

import numpy as np

from nesting.compiled import njit
from nesting.plates.field import Field
from nesting.plates.spaces import keep, take_free, take_guillotine
from nesting.plates.types import Flags, Floats, Ints, Table

RULES = 5
"""Number of rules for the place of a piece."""


@njit(cache=True, nogil=True)
def _dislike(rule: int, x: int, y: int, sw: int, sh: int, w: int, h: int, room_w: int, room_h: int) -> float:
    """How little a rule likes a piece w x h in the corner of a free rectangle."""
    gap = min(sw - w, sh - h)
    if rule == 0:
        return float(y + h) + x / (room_w + 1.0)
    if rule == 1:
        return float(x + w) + y / (room_h + 1.0)
    if rule == 2:
        return float(gap) + max(sw - w, sh - h) / (room_w + room_h + 1.0)
    if rule == 3:
        return float(sw) * float(sh) - float(w) * float(h) + gap / (room_w + room_h + 1.0)
    return float(x + w) / room_w + float(y + h) / room_h


@njit(cache=True, nogil=True)
def fill(
    field: Field,
    kind: int,
    order: Ints,
    worth: Floats,
    rule: int,
    placed: Flags,
    at: Table,
    spaces: Table,
    fresh: Table,
    work: Ints,
) -> float:
    """Fill a sheet of a kind; returns the worth of what was laid.

    Parameters
    ----------
    order
        Pieces in the order they are tried; those already `placed` are passed over.
    worth
        Of each piece.
    placed, at
        Of each piece, written here: whether it lies on a sheet; x and y in the room, 1 if turned.
    spaces, fresh
        Tables to work in.
    work
        Counts steps in its first entry.
    """
    may = field.may[kind]
    room_w, room_h, between = field.sizes[kind, 0], field.sizes[kind, 1], field.sizes[kind, 2]
    guillotine = field.sizes[kind, 3] == 1
    least_w, least_h = _least_sides(field, may, order, placed, between)
    count = 0
    for r in range(field.first[kind], field.first[kind + 1]):
        x, y, w, h = field.rooms[r, 0], field.rooms[r, 1], field.rooms[r, 2], field.rooms[r, 3]
        if w >= least_w and h >= least_h:
            count = keep(spaces, count, x, y, w, h, -1, -1)
    refused = np.zeros(field.alike[-1] + 1, np.bool_)
    total = 0.0
    for step in range(order.size):
        p = order[step]
        if count == 0:
            break
        if placed[p] or not may[p] or refused[field.alike[p]]:
            continue
        best = np.inf
        where = -1
        turned = 0
        for way in range(2 if field.quarter[p] and field.widths[p] != field.heights[p] else 1):
            w, h = field.widths[p] + between, field.heights[p] + between
            if way == 1:
                w, h = h, w
            for i in range(count):
                if w > spaces[i, 2] or h > spaces[i, 3]:
                    continue
                dislike = _dislike(
                    rule, spaces[i, 0], spaces[i, 1], spaces[i, 2], spaces[i, 3], w, h, room_w, room_h
                )
                if dislike < best:
                    best, where, turned = dislike, i, way
        work[0] += count
        if where < 0:
            refused[field.alike[p]] = True
            continue
        w, h = field.widths[p] + between, field.heights[p] + between
        if turned == 1:
            w, h = h, w
        x, y = spaces[where, 0], spaces[where, 1]
        placed[p] = True
        at[p, 0], at[p, 1], at[p, 2] = x, y, turned
        total += worth[p]
        if guillotine:
            count = take_guillotine(spaces, count, where, w, h, step, least_w, least_h)
        else:
            count = take_free(spaces, count, fresh, x, y, w, h, least_w, least_h)
        work[0] += 3 * count + 4
    return total


@njit(cache=True, nogil=True)
def _least_sides(field: Field, may: Flags, order: Ints, placed: Flags, between: int) -> tuple[int, int]:
    """The least width and height that a free rectangle must have to be of use."""
    least_w = least_h = np.int64(2**62)
    for p in order:
        if not placed[p] and may[p]:
            w, h = field.widths[p] + between, field.heights[p] + between
            if field.quarter[p]:
                w = h = min(w, h)
            least_w = min(least_w, w)
            least_h = min(least_h, h)
    return int(least_w), int(least_h)
