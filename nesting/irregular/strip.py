"""Least length of a strip: shrink it, separate what then overlaps, shake the layout where that fails."""

from __future__ import annotations

from collections.abc import Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass

import numpy as np

from nesting.irregular.convex import Point
from nesting.irregular.search import Bed, Effort, Lying, random_share, separate
from nesting.irregular.tables import Ints, area_of, tables_of, turned
from nesting.progress import Budget

_EXPLORE = Effort(wide=24, near=12, patience=80, strikes=3, rounds=1000, fine=1e-4)
_COMPRESS = Effort(wide=24, near=12, patience=40, strikes=2, rounds=400, fine=1e-6)
_SHARE, _FINEST = 0.01, 1e-5
"""By how much a strip is shortened while exploring, and at the least when compressing."""
_EXPLORING = 0.8
"""The share of the time for exploring."""
_POOL = 20


@dataclass(frozen=True, slots=True)
class Kind:
    """A polygon, how many of it there are, and the degrees by which it may be turned about its origin."""

    points: tuple[Point, ...]
    count: int
    rotations: tuple[float, ...]


@dataclass(frozen=True, slots=True)
class Placed:
    """An item on the strip: which kind, turned by how much, then moved by x and y."""

    kind: int
    degrees: float
    x: float
    y: float


@dataclass(frozen=True, slots=True)
class _Layout:
    """Where all items lie on a strip of a length."""

    lying: Lying
    length: float
    overlap: float = 0.0


class Strip:
    """A strip and the items to lay on it.

    Parameters
    ----------
    kinds
        Each fits the height in one of its rotations.
    height
        Of the strip.
    """

    def __init__(self, kinds: Sequence[Kind], height: float) -> None:
        self.height = height
        self.shapes = [(n, degrees) for n, kind in enumerate(kinds) for degrees in kind.rotations]
        self.tables = tables_of([turned(kinds[n].points, degrees) for n, degrees in self.shapes])
        tall = self.tables.box[:, 3] - self.tables.box[:, 1]
        mine = [
            [s for s, (n, _) in enumerate(self.shapes) if n == kind and tall[s] <= height]
            for kind in range(len(kinds))
        ]
        if not all(mine):
            raise ValueError("a kind fits the height of the strip in none of its rotations")
        items = [turns for turns, kind in zip(mine, kinds, strict=True) for _ in range(kind.count)]
        self.turns = np.array([s for turns in items for s in turns], dtype=np.int64)
        self.turn_at = np.cumsum([0, *(len(turns) for turns in items)])
        areas = [area_of(kind.points) for kind in kinds for _ in range(kind.count)]
        self.area = sum(areas)
        wide = self.tables.box[:, 2] - self.tables.box[:, 0]
        self.narrowest = np.array([min(turns, key=lambda s: wide[s]) for turns in items], dtype=np.int64)
        self.least = max(self.area / height, float(wide[self.narrowest].max()))
        self.largest = np.argsort(-np.array(areas), kind="stable")[: max(2, 2 * len(areas) // 3)]

    def solve(self, budget: Budget, seed: int, threads: int = 2) -> tuple[float, list[Placed]]:
        """The least length found, and where the items lie.

        With a budget of steps the result depends on the seed and `threads` alone.

        Parameters
        ----------
        threads
            Attempts made side by side.
        """
        states = [np.array([(seed + 1) * 2654435761 + 7919 * n + 88172645463325252]) for n in range(threads)]
        best = self._first(states[0], budget)
        with ThreadPoolExecutor(threads) as pool:
            best = self._explore(best, budget.share(_EXPLORING), states, pool)
            best = self._compress(best, budget, states, pool)
        lying = zip(best.lying.shape, best.lying.xs, best.lying.ys, strict=True)
        return best.length, [Placed(*self.shapes[int(s)], x=float(x), y=float(y)) for s, x, y in lying]

    def _first(self, state: Ints, budget: Budget) -> _Layout:
        """Anywhere on a strip that is long enough, then apart."""
        shape = self.turns[self.turn_at[:-1]].copy()
        box = self.tables.box[shape]
        length = 1.6 * self.area / self.height + (box[:, 2] - box[:, 0]).max()
        share = np.array([[random_share(state), random_share(state)] for _ in shape])
        while True:
            xs = -box[:, 0] + share[:, 0] * (length - box[:, 2] + box[:, 0])
            ys = -box[:, 1] + share[:, 1] * (self.height - box[:, 3] + box[:, 1])
            layout = self._apart(_Layout(Lying(shape.copy(), xs, ys), length), _EXPLORE, state)
            budget.spend()
            if not layout.overlap:
                return self._trimmed(layout)
            length *= 1.2

    def _explore(
        self, best: _Layout, budget: Budget, states: list[Ints], pool: ThreadPoolExecutor
    ) -> _Layout:
        """Shorter by steps of one length; where that fails, again from a shaken layout that nearly was one."""
        failed: list[_Layout] = []
        trials = [self._shrunk(best, _SHARE, state) for state in states]
        while self._can_be_shorter(best) and not budget.over():
            budget.spend(len(states))
            tried = list(pool.map(self._apart, trials, [_EXPLORE] * len(states), states))
            sound = [self._trimmed(layout) for layout in tried if not layout.overlap]
            if sound:
                best, failed = min(sound, key=lambda layout: layout.length), []
                trials = [self._shrunk(best, _SHARE, state) for state in states]
            else:
                failed = sorted([*failed, *tried], key=lambda layout: layout.overlap)[:_POOL]
                trials = [self._shaken(self._drawn(failed, state), state) for state in states]
        return best

    def _compress(
        self, best: _Layout, budget: Budget, states: list[Ints], pool: ThreadPoolExecutor
    ) -> _Layout:
        """Shorter by ever smaller steps from the best layout, as far as it goes."""
        share = _SHARE / 4
        while self._can_be_shorter(best) and not budget.over():
            budget.spend(len(states))
            trials = [self._shrunk(best, share, state) for state in states]
            tried = list(pool.map(self._apart, trials, [_COMPRESS] * len(states), states))
            sound = [self._trimmed(layout) for layout in tried if not layout.overlap]
            best = min([best, *sound], key=lambda layout: layout.length)
            share = share if sound else max(share * 0.7, _FINEST)
        return best

    def _can_be_shorter(self, layout: _Layout) -> bool:
        """Whether the area of all items, and the longest of them, leave room for a shorter strip."""
        return layout.length > self.least * (1 + _FINEST)

    def _apart(self, layout: _Layout, effort: Effort, state: Ints) -> _Layout:
        bed = Bed(layout.length, self.height, self.turns, self.turn_at)
        overlap, _ = separate(effort, bed, layout.lying, self.tables, state)
        return _Layout(layout.lying, layout.length, overlap)

    def _trimmed(self, layout: _Layout) -> _Layout:
        """The same on a strip that ends where the last item does."""
        ends = layout.lying.xs + self.tables.box[layout.lying.shape, 2]
        return _Layout(layout.lying, float(ends.max()))

    def _shrunk(self, layout: _Layout, share: float, state: Ints) -> _Layout:
        """On a strip shorter by a share: what lies behind a line drawn at random moves up."""
        length = max(layout.length * (1 - share), self.least)
        shape, xs, ys = layout.lying.shape.copy(), layout.lying.xs.copy(), layout.lying.ys.copy()
        box = self.tables.box[shape]
        shape = np.where(box[:, 2] - box[:, 0] > length, self.narrowest, shape)
        box = self.tables.box[shape]
        behind = xs + box[:, 0] > random_share(state) * length
        xs = np.where(behind, xs - (layout.length - length), xs)
        xs = np.clip(xs, -box[:, 0], length - box[:, 2])
        ys = np.clip(ys, -box[:, 1], self.height - box[:, 3])
        return _Layout(Lying(shape, xs, ys), length)

    def _drawn(self, failed: list[_Layout], state: Ints) -> _Layout:
        """One of the failed layouts, those with little overlap more likely."""
        return failed[int(random_share(state) ** 2 * len(failed))]

    def _shaken(self, layout: _Layout, state: Ints) -> _Layout:
        """Two large items of different kinds trade places."""
        shape, xs, ys = layout.lying.shape.copy(), layout.lying.xs.copy(), layout.lying.ys.copy()
        for _ in range(20):
            i, j = (int(self.largest[int(random_share(state) * len(self.largest))]) for _ in range(2))
            if self.turns[self.turn_at[i]] != self.turns[self.turn_at[j]]:
                break
        box = self.tables.box[shape]
        middle_x, middle_y = xs + (box[:, 0] + box[:, 2]) / 2, ys + (box[:, 1] + box[:, 3]) / 2
        for k, other in ((i, j), (j, i)):
            low, high = -box[k, :2], np.array([layout.length, self.height]) - box[k, 2:]
            wanted = np.array([middle_x[other], middle_y[other]]) - (box[k, :2] + box[k, 2:]) / 2
            xs[k], ys[k] = np.clip(wanted, low, np.maximum(low, high))
        return _Layout(Lying(shape, xs, ys), layout.length)
