"""Fewer different layouts: two layouts cut as one, or three as two, from the same sticks.

What n1 and n2 sticks hold together is cut from n1 + n2 equal ones, if every number divides and they have room; three
layouts become two in the same manner, for some division of the sticks.

Source: Diegel, Montocchio, Walters, van Schalkwyk and Naidoo 1996; Foerster and Waescher 2000, *Pattern reduction in
one-dimensional cutting stock problems* (from memory).
"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from nesting.bars.problem import Pattern, Problem
from nesting.bars.solution import Solution
from nesting.bars.types import Ints, Table
from nesting.compiled import njit

_NODES = 3_000
"""Steps for one division of sticks."""
_ALL_NODES = 4_000_000
"""Steps in all, a fraction of a second."""
_NOT_CUT = 2**50
"""Weight of an item on a stick that it is not cut from."""


def merged(problem: Problem, solution: Solution) -> Iterator[Solution]:
    """Solutions with one layout less, as they are found; the sticks that are used stay the same."""
    rows = sorted(solution.items())
    if len(rows) < 2:
        return
    plain = [problem.plain(pattern.stock) for pattern, _ in rows]
    kinds = sorted(set(plain))
    counts = np.zeros((len(rows), len(problem.items)), np.int64)
    for row, (pattern, _) in enumerate(rows):
        for i, k in pattern.counts:
            counts[row, i] = k
    weights = np.full((len(kinds), len(problem.items)), _NOT_CUT, np.int64)
    for n, t in enumerate(kinds):
        for i, w in problem.weights[t].items():
            weights[n, i] = w
    times = np.array([n for _, n in rows], np.int64)
    kind = np.array([kinds.index(t) for t in plain], np.int64)
    room = np.array([problem.stocks[t].capacity for t in kinds], np.int64)
    for skip in range(len(rows)):
        which, sticks, held = _find(counts, times, kind, room, weights, skip)
        if which[0] < 0:
            return
        gone = set(which.tolist())
        made = {pattern: n for row, (pattern, n) in enumerate(rows) if row not in gone}
        for side in range(2):
            cut = tuple((int(i), int(held[side, i])) for i in np.flatnonzero(held[side]))
            if cut:
                pattern = problem.settled(Pattern(kinds[int(sticks[side, 0])], cut))
                made[pattern] = made.get(pattern, 0) + int(sticks[side, 1])
        if all(problem.can_be_cut(pattern) for pattern in made):
            yield made


@njit(cache=True)
def _find(
    counts: Table, times: Ints, kind: Ints, room: Ints, weights: Table, skip: int
) -> tuple[Ints, Table, Table]:
    """The two or three layouts (the last one twice if they are two) that can be cut as one or two; -1 if none can.

    Returns them, (kind, number) of the sticks of both new layouts, and what each holds. So many finds are passed over.
    """
    size, items = counts.shape
    held = np.zeros((2, items), np.int64)
    sticks = np.zeros((2, 2), np.int64)
    nodes = 0
    for one in range(size):
        for other in range(one + 1, size):
            for third in range(other, size):
                need = counts[one] * times[one] + counts[other] * times[other]
                total, like = times[one] + times[other], 0
                mine, theirs = kind[one], kind[other]
                if third == other:
                    if mine != theirs:
                        continue
                    like = total
                else:
                    need = need + counts[third] * times[third]
                    total += times[third]
                    if mine == theirs:
                        theirs = kind[third]
                        like = times[one] + times[other] if mine != theirs else 0
                    elif mine == kind[third]:
                        like = times[one] + times[third]
                    elif theirs == kind[third]:
                        like = times[one]
                    else:
                        continue
                for division in range(like if like else 1, (like if like else total // 2) + 1):
                    if nodes > _ALL_NODES:
                        return np.full(3, -1), sticks, held
                    done, steps = _divide(
                        need,
                        division,
                        total - division,
                        room[mine],
                        room[theirs],
                        weights[mine],
                        weights[theirs],
                        held,
                    )
                    nodes += steps
                    if done:
                        if skip:
                            skip -= 1
                            break
                        sticks[0, 0], sticks[0, 1] = mine, division
                        sticks[1, 0], sticks[1, 1] = theirs, total - division
                        return np.array([one, other, third]), sticks, held
    return np.full(3, -1), sticks, held


@njit(cache=True)
def _divide(
    need: Ints, a: int, b: int, room_a: int, room_b: int, weight_a: Ints, weight_b: Ints, held: Table
) -> tuple[bool, int]:
    """Whether all that is needed can be cut from `a` equal sticks and `b` equal others; `held` says how."""
    held[:] = 0
    which = np.flatnonzero(need)
    depth, size, steps = 0, which.size, 0
    copies = np.full(size + 1, -1, np.int64)
    left_a = np.full(size + 1, room_a, np.int64)
    left_b = np.full(size + 1, room_b, np.int64)
    while depth >= 0:
        if depth == size:
            return True, steps
        i = which[depth]
        copies[depth] += 1
        steps += 1
        x = copies[depth]
        over = need[i] - a * x
        if over < 0 or x * weight_a[i] > left_a[depth] or steps > _NODES:
            if steps > _NODES:
                return False, steps
            copies[depth] = -1
            depth -= 1
            continue
        if (over and not b) or (b and over % b):
            continue
        y = over // b if b else 0
        if y * weight_b[i] > left_b[depth]:
            continue
        held[0, i], held[1, i] = x, y
        left_a[depth + 1] = left_a[depth] - x * weight_a[i]
        left_b[depth + 1] = left_b[depth] - y * weight_b[i]
        depth += 1
    return False, steps
