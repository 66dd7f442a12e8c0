"""Packs the pieces of the emptiest sheet closer, so that what is left of it is one useful rectangle."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from nesting.compiled import njit
from nesting.plates.chance import below, chance_of
from nesting.plates.field import Desk, Field, desk_of, field_of, layouts_of
from nesting.plates.fill import RULES, fill
from nesting.plates.free import offcuts_of
from nesting.plates.order import MEASURES, ordered
from nesting.plates.problem import Layout, RectProblem
from nesting.plates.types import Ints, Table

_TRIES = 80
"""Fillings that fail before the extent counts as least."""
_TRIES_EMPTY = 10
"""Fillings that fail before a blank counts as needed."""


def finish(problem: RectProblem, layouts: Sequence[Layout], seed: int) -> tuple[Layout, ...]:
    """The same sheets, the emptiest packed so that what is left of it is one useful rectangle.

    Parameters
    ----------
    layouts
        Which items lie on which sheet; kept. Demands and limits of the problem do not matter.
    """
    if not layouts:
        return ()
    last = max(range(len(layouts)), key=lambda n: _free_area(problem, layouts[n]))
    result = list(layouts)
    result[last] = _Last(problem, layouts[last], seed).gathered()
    return tuple(result)


def _free_area(problem: RectProblem, layout: Layout) -> int:
    rooms = sum(r.width * r.height for r in problem.kinds[layout.kind].rooms)
    return rooms - sum(p.width * p.height for p in layout.pieces)


class _Last:
    """One sheet whose pieces are laid anew."""

    def __init__(self, problem: RectProblem, layout: Layout, seed: int) -> None:
        self.layout = layout
        made = Counter(p.item for p in layout.pieces)
        items = tuple(replace(item, demand=made[i]) for i, item in enumerate(problem.items))
        self.problem = RectProblem(items, (problem.kinds[layout.kind],))
        self.field = field_of(self.problem)
        self.desk = desk_of(self.problem, self.field, [replace(layout, kind=0)])
        self.chance = chance_of(seed)

    def gathered(self) -> Layout:
        """The layout, of those tried, that leaves the largest rectangle; the one there was if none leaves a larger."""
        if not self.layout.pieces:
            return self.layout
        best, most = self.layout, self._left(self.layout)
        field, at = self._with_empty_blanks()
        for room in range(len(field.rooms)):
            for axis in (0, 1):
                self.desk.at[:] = self._squeezed(field, at, room, axis)
                (laid,) = layouts_of(self.problem, self.field, self.desk)
                laid = replace(laid, kind=self.layout.kind)
                left = self._left(laid)
                if left > most:
                    best, most = laid, left
        return best

    def _left(self, layout: Layout) -> int:
        free = offcuts_of(self.problem.kinds[0], layout, (1, 1))
        return max((r.width * r.height for r in free), default=0)

    def _with_empty_blanks(self) -> tuple[Field, Table]:
        """One blank after the other left empty, large ones first, as long as the others hold the pieces."""
        rooms = self.field.rooms.copy()
        fewer = self.field._replace(rooms=rooms)
        at, trial = self.desk.at.copy(), self.desk.at.copy()
        for r in np.argsort(-rooms[:, 2] * 1.0 * rooms[:, 3], kind="stable") if len(rooms) > 1 else ():
            kept = rooms[r].copy()
            rooms[r, 2:] = 0
            if any(self._holds(fewer, trial, n > 0) for n in range(_TRIES_EMPTY)):
                at[:] = trial
            else:
                rooms[r] = kept
        return fewer, at

    def _squeezed(self, field: Field, at: Table, room: int, axis: int) -> Table:
        """Places of least extent along an axis of a room, as far as tries find them."""
        at, trial = at.copy(), at.copy()
        rooms = field.rooms.copy()
        smaller = field._replace(rooms=rooms)
        failed = 0
        while failed < _TRIES:
            extent = self._extent(field.rooms[room], at, axis)
            if extent == 0:
                break
            rooms[room, 2 + axis] = extent - 1
            if self._holds(smaller, trial, failed > 0):
                at[:] = trial
                failed = 0
            else:
                failed += 1
        return at

    def _extent(self, room: Ints, at: Table, axis: int) -> int:
        """How far the pieces in a room reach along an axis, counted from its corner."""
        widths, heights = self.field.widths, self.field.heights
        turned = at[:, 2] == 1
        gap = self.field.sizes[0, 2]
        sides = np.stack([np.where(turned, heights, widths), np.where(turned, widths, heights)], axis=1) + gap
        near, far = at[:, :2] - room[:2], at[:, :2] + sides - room[:2] - room[2:]
        inside = (near >= 0).all(axis=1) & (far <= 0).all(axis=1)
        return int((near + sides)[inside, axis].max(initial=0))

    def _holds(self, field: Field, at: Table, is_random: bool) -> bool:
        return _fills(field, self.desk, at, 1.0 if is_random else 0.0, self.chance)


@njit(cache=True, nogil=True)
def _fills(field: Field, desk: Desk, at: Table, noise: float, state: NDArray[np.uint64]) -> bool:
    """Whether one filling by chance lays all pieces on a sheet of the only kind; writes it to `at`."""
    placed = np.zeros(field.widths.size, np.bool_)
    pieces = np.arange(field.widths.size)
    order = ordered(field, pieces, field.areas, below(state, MEASURES), noise, state)
    fill(field, 0, order, field.areas, below(state, RULES), placed, at, desk.spaces, desk.fresh, desk.work)
    return bool(placed.all())
