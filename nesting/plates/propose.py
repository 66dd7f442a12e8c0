"""Sheets worth much at given prices of the items: what a master over many sheets asks for."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from nesting.compiled import njit
from nesting.plates.chance import below, chance_of, fraction
from nesting.plates.field import Desk, Field, desk_for, field_of, placed_piece
from nesting.plates.fill import RULES, fill
from nesting.plates.order import MEASURES, nudged, ordered
from nesting.plates.problem import Layout, RectProblem
from nesting.plates.types import Flags, Floats, Ints, Table

_KEPT = 2
"""Different fillings of each kind that are handed over."""


class Proposer:
    """Fills sheets of every kind of a problem.

    Parameters
    ----------
    problem
        Its demands are the most that is ever asked for.
    seed
        Of the fillings tried.
    """

    def __init__(self, problem: RectProblem, seed: int) -> None:
        self.problem = problem
        self._field = field_of(problem)
        self._desk = desk_for(self._field)
        self._chance = chance_of(seed)
        # the number of each piece among those alike
        alike = self._field.alike
        self._number = np.arange(alike.size) - np.searchsorted(alike, alike)

    def propose(self, worth: Sequence[float], left: Sequence[int], tries: int) -> tuple[Layout, ...]:
        """Of each kind the fillings worth most, the best first.

        Parameters
        ----------
        worth, left
            Of each item: what a piece is worth, and how many may be laid.
        tries
            Fillings tried for each kind.
        """
        field = self._field
        prices: Floats = np.array(worth, np.float64)[field.alike]
        pieces = np.flatnonzero((prices > 0.0) & (self._number < np.array(left, np.int64)[field.alike]))
        found: list[Layout] = []
        for kind in range(len(self.problem.kinds)):
            own = pieces[field.may[kind, pieces]]
            if own.size:
                number, laid, at = _best(field, self._desk, kind, own, prices, tries, self._chance)
                found += [self._layout(kind, laid[n], at[n]) for n in range(number)]
        return tuple(found)

    def _layout(self, kind: int, laid: Flags, at: Table) -> Layout:
        pieces = (
            placed_piece(
                self.problem, kind, int(self._field.alike[p]), int(at[p, 0]), int(at[p, 1]), bool(at[p, 2])
            )
            for p in np.flatnonzero(laid)
        )
        return Layout(kind, tuple(sorted(pieces)))


@njit(cache=True, nogil=True)
def _best(
    field: Field, desk: Desk, kind: int, pieces: Ints, prices: Floats, tries: int, state: NDArray[np.uint64]
) -> tuple[int, Flags, NDArray[np.int64]]:
    """The fillings worth most: how many, and of each which pieces are laid and where.

    Half of the tries lay the pieces by a measure of size, more or less at random; the others nudge the best order.
    """
    n = field.alike.size
    gains = np.zeros(_KEPT)
    laid = np.zeros((_KEPT, n), np.bool_)
    at = np.zeros((_KEPT, n, 3), np.int64)
    trial = np.zeros((n, 3), np.int64)
    order, rule = pieces, 0
    for attempt in range(tries):
        placed = np.zeros(n, np.bool_)
        if attempt % 2 == 0:
            now = ordered(field, pieces, prices, below(state, MEASURES), 0.0 if attempt == 0 else 0.5, state)
            by = below(state, RULES)
        else:
            now = nudged(order, state)
            by = rule if fraction(state) < 0.7 else below(state, RULES)
        gain = fill(field, kind, now, prices, by, placed, trial, desk.spaces, desk.fresh, desk.work)
        for k in range(_KEPT):
            if gain == gains[k]:
                break  # most likely the same pieces
            if gain > gains[k]:
                for later in range(_KEPT - 1, k, -1):
                    gains[later] = gains[later - 1]
                    laid[later] = laid[later - 1]
                    at[later] = at[later - 1]
                gains[k] = gain
                laid[k] = placed
                at[k] = trial
                if k == 0:
                    order, rule = now, by
                break
    return int(np.count_nonzero(gains)), laid, at
