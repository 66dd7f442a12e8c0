"""The most value that straight cuts, edge to edge, get from one rectangle, any number of each item: exact.

The recursion of Gilmore and Gomory, "Multistage cutting stock problems of two and more dimensions", 1965 (from
memory), over the lengths where cuts make sense. A length counts as the longest row of sides that it holds, <l>; what
a cut c leaves of a is <a - c>, and the other part grows to <a - <a - c>> for nothing. As
<<L - p> - q> = <L - p - q>, all lengths that come about are among <L - p>, p any row of sides.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from nesting.compiled import njit
from nesting.plates.types import Ints, Table


def cut_points(length: int, sides: Sequence[int]) -> Ints:
    """The lengths that may come about when a length is cut into sides, ascending, 0 the first of them."""
    reached = np.zeros(length + 1, np.bool_)
    reached[0] = True
    for side in sorted({s for s in sides if 0 < s <= length}):
        for c in range(side, length + 1):
            reached[c] |= reached[c - side]
    rows = np.flatnonzero(reached)
    return np.unique(rows[np.searchsorted(rows, length - rows, "right") - 1])


@njit(cache=True, nogil=True)
def best_values(across: Ints, along: Ints, ways: Table) -> Table:
    """The greatest value of every rectangle of cut points.

    Parameters
    ----------
    across, along
        Cut points of both axes.
    ways
        Width, height and value of each item, each way it may lie.
    """
    best = np.zeros((across.size, along.size), np.int64)
    for i in range(ways.shape[0]):
        a, b = np.searchsorted(across, ways[i, 0]), np.searchsorted(along, ways[i, 1])
        if a < across.size and b < along.size:
            best[a, b] = max(best[a, b], ways[i, 2])
    rests, ends = _rests(along)
    others, stops = _rests(across)
    for a in range(1, across.size):
        row = best[a]
        _lift(row, best[a - 1], best[0])
        for c in range(1, stops[a]):
            _lift(row, best[c], best[others[a, c]])
        for b in range(1, along.size):
            top = max(row[b], row[b - 1])
            rest = rests[b]
            for c in range(1, ends[b]):
                top = max(top, row[c] + row[rest[c]])
            row[b] = top
    return best


@njit(cache=True, nogil=True)
def _lift(row: Ints, near: Ints, far: Ints) -> None:
    """Let a row be worth no less than two others together."""
    for b in range(row.size):
        both = near[b] + far[b]
        row[b] = both if both > row[b] else row[b]


@njit(cache=True, nogil=True)
def _rests(points: Ints) -> tuple[Table, Ints]:
    """Of each point and cut up to its half what the rest counts as; of each point the end of those cuts."""
    rests = np.zeros((points.size, points.size), np.int64)
    ends = np.ones(points.size, np.int64)
    for a in range(1, points.size):
        rest = a
        c = 1
        while c < a and 2 * points[c] <= points[a]:
            while points[rest] > points[a] - points[c]:
                rest -= 1
            rests[a, c] = rest
            c += 1
        ends[a] = c
    return rests, ends


def pieces_of(across: Ints, along: Ints, ways: Table, best: Table) -> list[tuple[int, int, int]]:
    """Pieces of the greatest value: way, x and y of each."""
    homes = list(zip(np.searchsorted(across, ways[:, 0]), np.searchsorted(along, ways[:, 1]), strict=True))
    found = []
    stack = [(0, 0, across.size - 1, along.size - 1)]
    while stack:
        x, y, a, b = stack.pop()
        if best[a, b] == 0:
            continue
        if best[a - 1, b] == best[a, b]:
            stack.append((x, y, a - 1, b))
        elif best[a, b - 1] == best[a, b]:
            stack.append((x, y, a, b - 1))
        elif way := [i for i, home in enumerate(homes) if home == (a, b) and ways[i, 2] == best[a, b]]:
            found.append((way[0], x, y))
        else:
            stack += _parts(across, along, best, (x, y, a, b))
    return found


def _parts(
    across: Ints, along: Ints, best: Table, whole: tuple[int, int, int, int]
) -> list[tuple[int, int, int, int]]:
    """The two parts of a cut that makes the value of the whole."""
    x, y, a, b = whole
    rest = np.searchsorted(across, across[a] - across[1:a], "right") - 1
    cut = np.flatnonzero(best[1:a, b] + best[rest, b] == best[a, b])
    if cut.size:
        c = int(cut[0])
        return [(x, y, c + 1, b), (x + int(across[c + 1]), y, int(rest[c]), b)]
    rest = np.searchsorted(along, along[b] - along[1:b], "right") - 1
    c = int(np.flatnonzero(best[a, 1:b] + best[a, rest] == best[a, b])[0])
    return [(x, y, a, c + 1), (x, y + int(along[c + 1]), a, int(rest[c]))]
