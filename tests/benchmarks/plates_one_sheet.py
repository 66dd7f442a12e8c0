"""Two objectives that serve only the benchmark: the most value from one sheet, the least height of a strip.

Unlimited copies by straight cuts: exact, by the recursion of the bound. All else: local search on the order of filling.
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
from nesting.plates.straight import best_values, cut_points, pieces_of
from nesting.plates.types import Floats
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
    across = cut_points(size[0], [w for _, w, _, _ in ways])
    along = cut_points(size[1], [h for _, _, h, _ in ways])
    table = np.array([(w, h, v) for _, w, h, v in ways], np.int64)
    best = best_values(across, along, table)
    pieces = [(ways[n][0], x, y, ways[n][1], ways[n][2]) for n, x, y in pieces_of(across, along, table, best)]
    return int(best[-1, -1]), pieces
