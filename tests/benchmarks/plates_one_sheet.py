"""Two objectives that serve only the benchmark: the most value from one sheet, the least height of a strip.

Unlimited copies by straight cuts: exact, by the recursion of Gilmore and Gomory, "Multistage cutting stock problems of
two and more dimensions", 1965, over the points where cuts make sense. All else: local search on the order of filling.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numba import njit
from numpy.typing import NDArray

from nesting.plates.chance import below, chance_of, fraction
from nesting.plates.field import Desk, Field, desk_for, field_of
from nesting.plates.fill import RULES, fill
from nesting.plates.order import MEASURES, nudged, ordered
from nesting.plates.problem import Cutting, RectItem, RectProblem, SheetKind, Turn
from nesting.plates.types import Floats, Ints, Table
from nesting.progress import Budget
from tests.benchmarks.plates_verify import Lying

_EFFORT = 2_000_000


def most_value(
    size: tuple[int, int],
    items: Sequence[tuple[int, int, int | None, int]],
    turn: bool,
    cutting: Cutting,
    budget: Budget,
    seed: int,
) -> tuple[int, list[Lying]]:
    """The greatest value found and the pieces of the sheet; items are width, height, limit, value."""
    if cutting is Cutting.GUILLOTINE and all(limit is None for _, _, limit, _ in items):
        return unlimited_value(size, [(w, h, v) for w, h, _, v in items], turn)
    demands = [
        min(size[0] * size[1] // (w * h), 2**30 if limit is None else limit) for w, h, limit, _ in items
    ]
    field = _field(size, [(w, h, d) for (w, h, _, _), d in zip(items, demands, strict=True)], turn, cutting)
    worth = np.array([float(items[i][3]) for i in field.alike])
    desk = desk_for(field)
    state = chance_of(seed)
    best = 0.0
    while not budget.over():
        best = max(best, _search(field, desk, worth, np.inf, best, _EFFORT, state))
        budget.spend()
    return round(best), _lying(field, desk, items)


def least_height(
    width: int,
    items: Sequence[tuple[int, int, int]],
    turn: bool,
    cutting: Cutting,
    budget: Budget,
    seed: int,
) -> tuple[int, int, list[Lying]]:
    """A height at which everything fits, the least one thinkable, and the pieces; items are width, height, demand."""
    bound = -(-sum(w * h * d for w, h, d in items) // width)
    bound = max(bound, *((min(w, h) if turn and h <= width else h) for w, h, _ in items))
    height = sum(max(w, h) * d for w, h, d in items)
    best: list[Lying] = []
    state = chance_of(seed)
    while (not best or height > bound) and not (best and budget.over()):
        field = _field((width, height - (1 if best else 0)), items, turn, cutting)
        desk = desk_for(field)
        everything = float(field.areas.sum()) - 0.5
        reached = 0.0
        while reached < everything and not (best and budget.over()):
            reached = max(reached, _search(field, desk, field.areas, everything, reached, _EFFORT, state))
            budget.spend()
        if reached >= everything:
            best = _lying(field, desk, items)
            height = max(y + h for _, _, y, _, h in best)
    return height, bound, best


def _field(
    size: tuple[int, int], items: Sequence[tuple[int, int, int]], turn: bool, cutting: Cutting
) -> Field:
    turns = Turn.QUARTER if turn else Turn.NONE
    rectangles = tuple(RectItem(width=w, height=h, demand=d, turn=turns) for w, h, d in items)
    kind = SheetKind(
        width=size[0], height=size[1], cost=1, cutting=cutting, items=tuple(range(len(rectangles)))
    )
    return field_of(RectProblem(rectangles, (kind,)))


def _lying(field: Field, desk: Desk, items: Sequence[tuple[int, ...]]) -> list[Lying]:
    """The pieces on the desk's one sheet."""
    result = []
    for p in np.flatnonzero(desk.sheet_of == 0):
        item = int(field.alike[p])
        x, y, turned = (int(v) for v in desk.at[p])
        w, h = items[item][0], items[item][1]
        result.append((item, x, y, h, w) if turned else (item, x, y, w, h))
    return result


@njit(cache=True, nogil=True)
def _search(
    field: Field,
    desk: Desk,
    worth: Floats,
    enough: float,
    best: float,
    effort: int,
    state: NDArray[np.uint64],
) -> float:
    """One climb from a random order by nudges; writes to the desk whatever is worth more than `best`."""
    n = field.widths.size
    at = np.zeros((n, 3), np.int64)
    rule = below(state, RULES)
    pieces = np.arange(n)
    order = ordered(field, pieces, worth, below(state, MEASURES), fraction(state), state)
    held = -1.0
    end = desk.work[0] + effort
    while desk.work[0] < end:
        now = order if held < 0.0 else nudged(order, state)
        by = rule if fraction(state) < 0.9 else below(state, RULES)
        placed = np.zeros(n, np.bool_)
        got = fill(field, 0, now, worth, by, placed, at, desk.spaces, desk.fresh, desk.work)
        desk.work[0] += n
        if got < held:
            continue
        order, held, rule = now, got, by
        if got > best:
            best = got
            desk.at[:] = at
            for p in range(n):
                desk.sheet_of[p] = 0 if placed[p] else -1
            if best >= enough:
                break
    return best


def unlimited_value(
    size: tuple[int, int], items: Sequence[tuple[int, int, int]], turn: bool
) -> tuple[int, list[Lying]]:
    """The greatest value of one sheet by straight cuts, any number of each item (width, height, value): exact."""
    ways = [(i, w, h, v) for i, (w, h, v) in enumerate(items)]
    if turn:
        ways += [(i, h, w, v) for i, w, h, v in ways]
    across = _points(size[0], [w for _, w, _, _ in ways])
    along = _points(size[1], [h for _, _, h, _ in ways])
    table = np.array([(w, h, v) for _, w, h, v in ways], np.int64)
    best, choice = _recursion(across, along, table)
    pieces: list[Lying] = []
    stack = [(0, 0, across.size - 1, along.size - 1)]
    while stack:
        x, y, a, b = stack.pop()
        kind, which = (int(c) for c in choice[a, b])
        if kind == 0 and which >= 0:
            pieces.append((ways[which][0], x, y, ways[which][1], ways[which][2]))
        elif kind == 1:
            rest = int(np.searchsorted(across, across[a] - across[which], "right")) - 1
            stack += [(x, y, which, b), (x + int(across[which]), y, rest, b)]
        elif kind == 2:
            rest = int(np.searchsorted(along, along[b] - along[which], "right")) - 1
            stack += [(x, y, a, which), (x, y + int(along[which]), a, rest)]
    return int(best[-1, -1]), pieces


def _points(length: int, sides: Sequence[int]) -> Ints:
    """Lengths that rows of sides can have, and the whole length."""
    reached = np.zeros(length + 1, np.bool_)
    reached[0] = True
    for side in sorted(set(sides)):
        for c in range(side, length + 1):
            reached[c] |= reached[c - side]
    reached[length] = True
    return np.flatnonzero(reached)


@njit(cache=True, nogil=True)
def _recursion(across: Ints, along: Ints, items: Table) -> tuple[Table, NDArray[np.int64]]:
    """Best value of every rectangle of points, and how it comes about: 0 a piece, 1 or 2 a cut, at which point."""
    best = np.zeros((across.size, along.size), np.int64)
    choice = np.full((across.size, along.size, 2), -1, np.int64)
    for a in range(across.size):
        for b in range(along.size):
            choice[a, b, 0] = 0
            for i in range(items.shape[0]):
                if items[i, 0] <= across[a] and items[i, 1] <= along[b] and items[i, 2] > best[a, b]:
                    best[a, b] = items[i, 2]
                    choice[a, b, 1] = i
            rest = a
            for c in range(1, a):
                if 2 * across[c] > across[a]:
                    break
                while across[rest] > across[a] - across[c]:
                    rest -= 1
                if best[c, b] + best[rest, b] > best[a, b]:
                    best[a, b] = best[c, b] + best[rest, b]
                    choice[a, b, 0], choice[a, b, 1] = 1, c
            rest = b
            for c in range(1, b):
                if 2 * along[c] > along[b]:
                    break
                while along[rest] > along[b] - along[c]:
                    rest -= 1
                if best[a, c] + best[a, rest] > best[a, b]:
                    best[a, b] = best[a, c] + best[a, rest]
                    choice[a, b, 0], choice[a, b, 1] = 2, c
    return best, choice
