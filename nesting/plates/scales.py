"""Scales for a bound: whole-number functions of a side, with the most that sides laid in a row can add up to.

Any pair of such functions, one along each axis, bounds a sheet: the sum of f(width) x g(height) over its pieces is
at most most_f x most_g. Sources: Fekete and Schepers, "New classes of fast lower bounds for bin packing problems",
2001 (pairs of dual feasible functions); Boschetti and Mingozzi, "The two-dimensional finite bin packing problem",
2003 (the third family); both from memory. The most is counted here by a knapsack, so that a function needs no proof
of its own, and serves rooms of other lengths than the one it was made for.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import isqrt

import numpy as np

from nesting.compiled import njit
from nesting.plates.types import Flags, Ints, Numbers, Table

_THRESHOLDS = 40
_FRACTIONS = 7
_TABLE = 6_000_000
"""Entries, about, of the table of what each room holds by each pair of functions."""


@dataclass(frozen=True, slots=True)
class Scales:
    """Functions along one axis.

    Parameters
    ----------
    values
        Of each function and side.
    most
        Of each function and room.
    own
        Of each function and room: whether it was made for that room.
    """

    values: Table
    most: Table
    own: Flags

    def of_rooms(self, rooms: Ints) -> Scales:
        """The functions made for some of the rooms, and what those hold."""
        rows = self.own[:, rooms].any(axis=1)
        return Scales(self.values[rows], self.most[rows][:, rooms], self.own[rows][:, rooms])


def scales_of(sides: Ints, rooms: Ints) -> Scales:
    """Functions worth trying for these sides, on a grid coarse enough that rooms count few cells.

    Parameters
    ----------
    sides
        Of pieces, in cells; 0 where a piece is thinner than one.
    rooms
        Lengths of the rooms.
    """
    distinct, back = np.unique(sides, return_inverse=True)
    lengths = [room for room in sorted(set(rooms.tolist())) if room > 0]
    share = isqrt(_TABLE // rooms.size) // len(lengths)
    made = {room: _some(_functions(distinct.tolist(), room), share) for room in lengths}
    rows = sorted(row for row in {tuple(distinct.tolist())}.union(*made.values()) if any(row))
    values = np.array(rows, np.int64)
    own = np.array([[row in made.get(room, ()) for room in rooms.tolist()] for row in rows], np.bool_)
    most = _most(distinct, values, np.maximum(rooms, 0))
    return Scales(np.ascontiguousarray(values[:, back]), most, own)


def _some(rows: set[tuple[int, ...]], most: int) -> set[tuple[int, ...]]:
    """At most so many of the functions, but one."""
    ranked, most = sorted(rows), max(1, most)
    return rows if len(ranked) <= most else {ranked[i * len(ranked) // most] for i in range(most)}


def _functions(sides: Sequence[int], room: int) -> set[tuple[int, ...]]:
    """Rows of values of the sides, made for one room."""
    rows = {tuple(sides)}
    marks = sorted(
        {x for x in sides if 0 < 2 * x <= room} | {room - x + 1 for x in sides if x <= room < 2 * x}
    )
    if len(marks) > _THRESHOLDS:
        marks = [marks[i * len(marks) // _THRESHOLDS] for i in range(_THRESHOLDS)]
    for mark in marks:
        rows.add(tuple(0 if x < mark else room if x > room - mark else x for x in sides))
        rows.add(tuple(_rounded(x, mark, room) for x in sides))
    for k in range(1, _FRACTIONS + 1):
        rows.add(tuple(k * x if (k + 1) * x % room == 0 else (k + 1) * x // room * room for x in sides))
    return rows


def _rounded(side: int, mark: int, room: int) -> int:
    """The third family: small sides by whole marks, large ones by the marks that they leave."""
    if 2 * side > room:
        return 2 * (room // mark - max(0, room - side) // mark)
    if 2 * side == room:
        return room // mark
    return 2 * (side // mark)


@njit(cache=True, nogil=True)
def _most(sides: Ints, values: Table, rooms: Ints) -> Table:
    """The greatest sum of each function over sides that a room holds in a row, any number of each."""
    longest = rooms.max()
    result = np.zeros((values.shape[0], rooms.size), np.int64)
    best = np.zeros(longest + 1, np.int64)
    for f in range(values.shape[0]):
        best[:] = 0
        for c in range(1, longest + 1):
            top = best[c - 1]
            for i in range(sides.size):
                if sides[i] > c:
                    break
                top = max(top, best[c - sides[i]] + values[f, i])
            best[c] = top
        for k in range(rooms.size):
            result[f, k] = best[rooms[k]]
    return result


@njit(cache=True, nogil=True)
def worth_of(wide: Ints, high: Ints, quarter: Flags, fits: Flags) -> Ints:
    """Of each item what a pair of scales makes of it at least, whichever way it lies.

    Parameters
    ----------
    wide, high
        Values of the sides. Where items turn they are the same sides in both: all widths, then all heights.
    quarter, fits
        Of each item: whether it turns; whether it fits as drawn, and turned.
    """
    n = quarter.size
    down = wide.size - n
    result = np.zeros(n, np.int64)
    for i in range(n):
        result[i] = wide[i] * high[down + i]
        if quarter[i] and fits[i, 1]:
            turned = wide[down + i] * high[i]
            result[i] = min(result[i], turned) if fits[i, 0] else turned
    return result


@njit(cache=True, nogil=True)
def needs_of(wide: Table, high: Table, demands: Numbers, quarter: Flags, fits: Flags) -> Numbers:
    """Of each pair of scales what all pieces add up to at least; of the type of the demands."""
    result = np.zeros((wide.shape[0], high.shape[0]), demands.dtype)
    for i in range(demands.size):
        if demands[i] == 0:
            continue
        down = wide.shape[1] - demands.size
        turns = quarter[i] and fits[i, 1]
        for a in range(wide.shape[0]):
            for b in range(high.shape[0]):
                value = wide[a, i] * high[b, down + i]
                if turns:
                    turned = wide[a, down + i] * high[b, i]
                    value = min(value, turned) if fits[i, 0] else turned
                result[a, b] += demands[i] * value
    return result
