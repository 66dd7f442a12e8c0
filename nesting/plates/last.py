"""Packs the pieces of the emptiest sheet closer, so that what is left of it is one useful rectangle."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from nesting.compiled import njit
from nesting.plates.chance import below
from nesting.plates.field import Desk, Field
from nesting.plates.fill import RULES, fill
from nesting.plates.order import MEASURES, ordered
from nesting.plates.types import Ints, Table

_TRIES = 80
"""Fillings that fail before the extent counts as least."""


def gather_offcut(field: Field, desk: Desk, state: NDArray[np.uint64]) -> None:
    """Lay the sheet with most free area anew, so that a rectangle over its whole width or height stays free.

    The larger of the two is chosen; the layout stays if it is no worse.
    """
    used = np.zeros(int(desk.sheets[0]))
    np.add.at(used, desk.sheet_of[desk.sheet_of >= 0], field.areas[desk.sheet_of >= 0])
    if not used.size:
        return
    kinds = desk.kind_of[: used.size]
    sheet = int(np.argmax(field.spans[kinds] - used))
    kind = int(kinds[sheet])
    pieces = np.flatnonzero(desk.sheet_of == sheet)
    best, best_at = 0.0, None
    for axis in (0, 1):
        at = desk.at.copy()
        extent = _squeeze(field, kind, pieces, axis, desk, at, state)
        free = float(field.rooms[kind, axis] - extent) * float(field.rooms[kind, 1 - axis])
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
        rooms[kind, axis] = extent - 1
        if _holds(smaller, kind, pieces, desk, trial, 0 if failed == 0 else 1, state):
            at[pieces] = trial[pieces]
            extent = _extent(field, kind, pieces, axis, at)
            failed = 0
        else:
            failed += 1
    return extent


@njit(cache=True, nogil=True)
def _extent(field: Field, kind: int, pieces: Ints, axis: int, at: Table) -> int:
    """How far the pieces reach along an axis of the room."""
    far = 0
    for p in pieces:
        upright = axis == at[p, 2]
        side = field.widths[p] if upright else field.heights[p]
        far = max(far, at[p, axis] + side + field.rooms[kind, 2])
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
