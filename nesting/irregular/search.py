"""The compiled search for places without overlap.

Guided local search: items that overlap are moved to where their weighted overlap is least, found by sampling and by
descent from the best samples; pairs that stay in overlap weigh more and more. Overlap of convex pieces is measured by
how far they must be moved apart. (Imamichi, Yagiura, Nagamochi 2009 and Umetani and others 2009: overlap minimisation
by penetration depth with guided weights; Gardeyn and Wauters 2025: samples with refinement, weights that multiply.)
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from nesting.compiled import njit
from nesting.irregular.tables import Floats, Ints, Tables

_GROW, _GROW_LEAST, _DECAY = 2.0, 1.2, 0.95
"""How weights change in a round: of the deepest pair, of a pair that hardly overlaps, of one that does not."""
_LESS = 0.98
"""An overlap below this share of the best one counts as a step forward."""


class Bed(NamedTuple):
    """What items lie on: length, height, and how each may be turned.

    Parameters
    ----------
    turns, turn_at
        The shapes of item i are turns[turn_at[i] : turn_at[i + 1]].
    """

    length: float
    height: float
    turns: Ints
    turn_at: Ints


class Lying(NamedTuple):
    """The shape and the place of each item."""

    shape: Ints
    xs: Floats
    ys: Floats


class Effort(NamedTuple):
    """How hard to look.

    Parameters
    ----------
    wide, near
        Samples of an item anywhere on the bed, and about where it lies.
    patience
        Rounds without a better layout before the best one is taken up again.
    strikes
        How often that may bring nothing.
    rounds
        At the most.
    fine
        Where a descent ends, in shares of an item's size.
    """

    wide: int
    near: int
    patience: int
    strikes: int
    rounds: int
    fine: float


@njit(cache=True, nogil=True)
def random_share(state: Ints) -> float:
    """The next number of a generator, 0 <= share < 1 (xorshift64: Marsaglia 2003)."""
    x = state[0]
    x ^= x << 13
    x ^= (x >> 7) & 0x1FFFFFFFFFFFFFF
    x ^= x << 17
    state[0] = x
    return float((x >> 11) & 0x1FFFFFFFFFFFFF) / 9007199254740992.0


@njit(cache=True, nogil=True)
def pair_depth(
    s: int, t: int, dx: float, dy: float,
    box: Floats, piece_at: Ints, piece_box: Floats, plane_at: Ints, planes: Floats,
) -> float:  # fmt: skip
    """How deep shape t, moved by dx and dy, lies in shape s: the sum over their pieces; 0 if they do not overlap.

    Bare arrays, and boxes compared in place: both are twice as fast as what would read better.
    """
    if (
        box[t, 0] + dx >= box[s, 2]
        or box[s, 0] >= box[t, 2] + dx
        or box[t, 1] + dy >= box[s, 3]
        or box[s, 1] >= box[t, 3] + dy
    ):
        return 0.0
    total: float = 0.0
    for a in range(piece_at[s], piece_at[s + 1]):
        if (
            box[t, 0] + dx >= piece_box[a, 2]
            or piece_box[a, 0] >= box[t, 2] + dx
            or box[t, 1] + dy >= piece_box[a, 3]
            or piece_box[a, 1] >= box[t, 3] + dy
        ):
            continue
        for b in range(piece_at[t], piece_at[t + 1]):
            if (
                piece_box[b, 0] + dx >= piece_box[a, 2]
                or piece_box[a, 0] >= piece_box[b, 2] + dx
                or piece_box[b, 1] + dy >= piece_box[a, 3]
                or piece_box[a, 1] >= piece_box[b, 3] + dy
            ):
                continue
            depth = np.inf
            for k in range(plane_at[a, b], plane_at[a, b + 1]):
                inside = planes[k, 2] - planes[k, 0] * dx - planes[k, 1] * dy
                if inside < depth:
                    depth = inside
                    if depth <= 0.0:
                        break
            if depth > 0.0:
                total += depth
    return total


@njit(cache=True, nogil=True)
def _overlap(
    i: int, s: int, x: float, y: float, limit: float, lying: Lying, weight: Floats, tables: Tables
) -> float:
    """The weighted overlap of item i as shape s at a place with all others; given up at the limit."""
    box, piece_at, piece_box, plane_at, planes = tables
    shape, xs, ys = lying
    total: float = 0.0
    for j in range(len(shape)):
        if j != i:
            depth = pair_depth(s, shape[j], xs[j] - x, ys[j] - y, box, piece_at, piece_box, plane_at, planes)
            if depth > 0.0:
                total += float(weight[i, j]) * depth
                if total >= limit:
                    return total
    return total


@njit(cache=True, nogil=True)
def _descend(
    i: int, s: int, x: float, y: float, value: float, step: float, least: float,
    bed: Bed, lying: Lying, weight: Floats, tables: Tables, state: Ints,
) -> tuple[float, float, float]:  # fmt: skip
    """A place near by with less overlap: steps along an axis or across, longer after success, else half as long."""
    x0, x1 = -tables.box[s, 0], bed.length - tables.box[s, 2]
    y0, y1 = -tables.box[s, 1], bed.height - tables.box[s, 3]
    while step > least and value > 0.0:
        way = int(random_share(state) * 4)
        ax = step if way != 1 else 0.0
        ay = 0.0 if way == 0 else (step if way != 3 else -step)
        best_x, best_y, best = x, y, value
        for sign in (1.0, -1.0):
            nx, ny = min(max(x + sign * ax, x0), x1), min(max(y + sign * ay, y0), y1)
            got = _overlap(i, s, nx, ny, best, lying, weight, tables)
            if got < best:
                best_x, best_y, best = nx, ny, got
        if best < value:
            x, y, value = best_x, best_y, best
            step *= 1.1
        else:
            step *= 0.5
    return x, y, value


@njit(cache=True, nogil=True)
def _sample(
    i: int, is_wide: bool, bed: Bed, lying: Lying, tables: Tables, state: Ints
) -> tuple[int, float, float]:
    """A shape and a place for an item, anywhere or about where it lies; a shape of -1 if it does not fit."""
    s = lying.shape[i]
    first, last = bed.turn_at[i], bed.turn_at[i + 1]
    if last - first > 1 and (is_wide or random_share(state) < 0.3):
        s = bed.turns[first + int(random_share(state) * (last - first))]
    box = tables.box[s]
    x0, x1, y0, y1 = -box[0], bed.length - box[2], -box[1], bed.height - box[3]
    if x1 < x0 or y1 < y0:
        return -1, 0.0, 0.0
    if is_wide:
        return s, x0 + random_share(state) * (x1 - x0), y0 + random_share(state) * (y1 - y0)
    x = lying.xs[i] + (random_share(state) - 0.5) * (box[2] - box[0]) * 0.3
    y = lying.ys[i] + (random_share(state) - 0.5) * (box[3] - box[1]) * 0.3
    return s, min(max(x, x0), x1), min(max(y, y0), y1)


@njit(cache=True, nogil=True)
def _move(
    i: int, effort: Effort, bed: Bed, lying: Lying, weight: Floats, tables: Tables, state: Ints
) -> None:
    """Lay an item where its weighted overlap is least, of its own place and the best three samples descended."""
    own = lying.shape[i]
    now = _overlap(i, own, lying.xs[i], lying.ys[i], np.inf, lying, weight, tables)
    shapes, xs, ys = np.full(3, own), np.full(3, lying.xs[i]), np.full(3, lying.ys[i])
    values = np.full(3, np.inf)
    values[0] = now
    for n in range(effort.wide + effort.near):
        s, x, y = _sample(i, n < effort.wide, bed, lying, tables, state)
        if s < 0:
            continue
        got = _overlap(i, s, x, y, values[2], lying, weight, tables)
        if got < values[2]:
            k = 2
            while k > 0 and got < values[k - 1]:
                shapes[k], xs[k], ys[k], values[k] = shapes[k - 1], xs[k - 1], ys[k - 1], values[k - 1]
                k -= 1
            shapes[k], xs[k], ys[k], values[k] = s, x, y, got
    size = min(tables.box[own, 2] - tables.box[own, 0], tables.box[own, 3] - tables.box[own, 1])
    for k in range(3):
        if values[k] < np.inf:
            is_own = xs[k] == lying.xs[i] and ys[k] == lying.ys[i]
            step = size * (0.02 if is_own else 0.25)
            xs[k], ys[k], values[k] = _descend(
                i, shapes[k], xs[k], ys[k], values[k], step, size * 0.01, bed, lying, weight, tables, state
            )
    k = int(np.argmin(values))
    xs[k], ys[k], values[k] = _descend(
        i,
        shapes[k],
        xs[k],
        ys[k],
        values[k],
        size * 0.01,
        size * effort.fine,
        bed,
        lying,
        weight,
        tables,
        state,
    )
    if values[k] < now:
        lying.shape[i], lying.xs[i], lying.ys[i] = shapes[k], xs[k], ys[k]


@njit(cache=True, nogil=True)
def _measure(i: int, lying: Lying, depth: Floats, tables: Tables) -> None:
    """Fill the depths of the pairs of an item."""
    box, piece_at, piece_box, plane_at, planes = tables
    shape, xs, ys = lying
    for j in range(len(shape)):
        if j != i:
            dx, dy = xs[j] - xs[i], ys[j] - ys[i]
            found = pair_depth(shape[i], shape[j], dx, dy, box, piece_at, piece_box, plane_at, planes)
            depth[i, j] = depth[j, i] = found


@njit(cache=True, nogil=True)
def _weigh(depth: Floats, weight: Floats) -> None:
    """Pairs in overlap weigh more, the deeper the more; others less again."""
    deepest = depth.max()
    count = len(depth)
    for i in range(count):
        for j in range(count):
            if depth[i, j] > 0.0:
                weight[i, j] *= _GROW_LEAST + (_GROW - _GROW_LEAST) * depth[i, j] / deepest
            else:
                weight[i, j] = max(1.0, weight[i, j] * _DECAY)


@njit(cache=True, nogil=True)
def _shuffle(order: Ints, state: Ints) -> None:
    for n in range(len(order) - 1, 0, -1):
        k = int(random_share(state) * (n + 1))
        order[n], order[k] = order[k], order[n]


@njit(cache=True, nogil=True)
def separate(effort: Effort, bed: Bed, lying: Lying, tables: Tables, state: Ints) -> tuple[float, int]:
    """Move items until none overlap, or no better layout is found; the best one is left in `lying`.

    Parameters
    ----------
    state
        Of the random numbers, one number.

    Returns
    -------
    overlap, rounds
        The sum of depths that is left, 0 if no items overlap, and the rounds made.
    """
    count = len(lying.shape)
    depth, weight = np.zeros((count, count)), np.ones((count, count))
    order = np.arange(count)
    for i in range(count):
        _measure(i, lying, depth, tables)
    best = depth.sum()
    kept_shape, kept_x, kept_y = lying.shape.copy(), lying.xs.copy(), lying.ys.copy()
    rounds = struck = 0
    while best > 0.0 and struck < effort.strikes and rounds < effort.rounds:
        begun, idle = best, 0
        while best > 0.0 and idle < effort.patience and rounds < effort.rounds:
            rounds += 1
            idle += 1
            _shuffle(order, state)
            for n in range(count):
                i = int(order[n])
                if depth[i].max() > 0.0:
                    _move(i, effort, bed, lying, weight, tables, state)
                    _measure(i, lying, depth, tables)
            total = depth.sum()
            if total < best:
                idle = 0 if total < _LESS * best else idle
                best = total
                kept_shape[:], kept_x[:], kept_y[:] = lying.shape, lying.xs, lying.ys
            _weigh(depth, weight)
        struck = 0 if best < _LESS * begun else struck + 1
        lying.shape[:], lying.xs[:], lying.ys[:] = kept_shape, kept_x, kept_y
        for i in range(count):
            _measure(i, lying, depth, tables)
    return best, rounds
