"""Packs the pieces of the emptiest sheet closer, so that what is left of it is one useful rectangle."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from nesting.compiled import njit
from nesting.plates.chance import below, chance_of
from nesting.plates.field import Desk, Field, desk_of, field_of, layouts_of
from nesting.plates.fill import RULES, fill
from nesting.plates.order import MEASURES, ordered
from nesting.plates.problem import Layout, RectProblem
from nesting.plates.types import Ints, Table

_TRIES = 80
"""Fillings that fail before the extent counts as least."""


def finish(problem: RectProblem, layouts: Sequence[Layout], seed: int) -> tuple[Layout, ...]:
    """The same sheets, the emptiest packed so that what is left of it is one useful rectangle.

    Parameters
    ----------
    layouts
        Which items lie on which sheet; kept. Demands and limits of the problem do not matter.
    """
    made = [0] * len(problem.items)
    for layout in layouts:
        for piece in layout.pieces:
            made[piece.item] += 1
    items = tuple(replace(item, demand=n) for item, n in zip(problem.items, made, strict=True))
    held = RectProblem(items, problem.kinds, problem.limits)
    field = field_of(held)
    desk = desk_of(held, field, layouts)
    gather_offcut(field, desk, chance_of(seed))
    return tuple(layouts_of(held, field, desk))


def gather_offcut(field: Field, desk: Desk, state: NDArray[np.uint64]) -> None:
    """Lay the sheet with most free area anew, so that a rectangle over its whole width or height stays free.

    The larger of the two is chosen; the layout stays if it is no worse. Of a sheet parted into blanks as many blanks
    as possible are left empty.
    """
    used = np.zeros(int(desk.sheets[0]))
    np.add.at(used, desk.sheet_of[desk.sheet_of >= 0], field.areas[desk.sheet_of >= 0])
    if not used.size:
        return
    kinds = desk.kind_of[: used.size]
    sheet = int(np.argmax(field.spans[kinds] - used))
    kind = int(kinds[sheet])
    pieces = np.flatnonzero(desk.sheet_of == sheet)
    if not pieces.size:
        return
    if field.first[kind + 1] - field.first[kind] != 1:
        _empty_blanks(field, kind, pieces, desk, state)
        return
    room = field.rooms[int(field.first[kind])]
    best, best_at = 0.0, None
    for axis in (0, 1):
        at = desk.at.copy()
        extent = _squeeze(field, kind, pieces, axis, desk, at, state)
        free = float(room[2 + axis] - extent) * float(room[3 - axis])
        if free > best:
            best, best_at = free, at
    if best_at is not None:
        desk.at[pieces] = best_at[pieces]


def _squeeze(
    field: Field, kind: int, pieces: Ints, axis: int, desk: Desk, at: Table, state: NDArray[np.uint64]
) -> int:
    """Write to `at` a layout of least extent along the axis, as far as tries find it; returns the extent."""
    extent = _extent(field, kind, pieces, axis, at)
    rooms = field.rooms.copy()
    smaller = field._replace(rooms=rooms)
    trial = at.copy()
    failed = 0
    while failed < _TRIES:
        rooms[field.first[kind], 2 + axis] = extent - 1
        if _holds(smaller, kind, pieces, desk, trial, 0 if failed == 0 else 1, state):
            at[pieces] = trial[pieces]
            extent = _extent(field, kind, pieces, axis, at)
            failed = 0
        else:
            failed += 1
    return extent


def _empty_blanks(field: Field, kind: int, pieces: Ints, desk: Desk, state: NDArray[np.uint64]) -> None:
    """Free one blank after the other, large ones first, as long as the others hold the pieces."""
    first, end = int(field.first[kind]), int(field.first[kind + 1])
    rooms = field.rooms.copy()
    fewer = field._replace(rooms=rooms)
    trial = desk.at.copy()
    for r in sorted(range(first, end), key=lambda r: -int(rooms[r, 2]) * int(rooms[r, 3])):
        kept = rooms[r].copy()
        rooms[r, 2:] = 0
        for failed in range(_TRIES // 8):
            if _holds(fewer, kind, pieces, desk, trial, min(failed, 1), state):
                desk.at[pieces] = trial[pieces]
                break
        else:
            rooms[r] = kept


@njit(cache=True, nogil=True)
def _extent(field: Field, kind: int, pieces: Ints, axis: int, at: Table) -> int:
    """How far the pieces reach along an axis of the room."""
    far = 0
    for p in pieces:
        upright = axis == at[p, 2]
        side = field.widths[p] if upright else field.heights[p]
        far = max(far, at[p, axis] + side + field.sizes[kind, 2])
    return far


@njit(cache=True, nogil=True)
def _holds(
    field: Field, kind: int, pieces: Ints, desk: Desk, at: Table, noise: float, state: NDArray[np.uint64]
) -> bool:
    """Whether one filling by chance lays all the pieces; writes it to `at`."""
    placed = np.zeros(field.widths.size, np.bool_)
    order = ordered(field, pieces, field.areas, below(state, MEASURES), noise, state)
    fill(field, kind, order, field.areas, below(state, RULES), placed, at, desk.spaces, desk.fresh, desk.work)
    return bool(placed[pieces].all())
