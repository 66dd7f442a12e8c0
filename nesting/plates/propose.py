"""Sheets worth much at given prices of the items: what a master over many sheets asks for."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from nesting.plates.chance import below, chance_of
from nesting.plates.field import desk_for, field_of, placed_piece
from nesting.plates.fill import RULES, fill
from nesting.plates.order import MEASURES, ordered
from nesting.plates.problem import Layout, RectProblem
from nesting.plates.types import Floats, Ints

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
        if not field.alike.size:
            return ()
        prices: Floats = np.array(worth, np.float64)[field.alike]
        pieces = np.flatnonzero((prices > 0.0) & (self._number < np.array(left, np.int64)[field.alike]))
        found: list[Layout] = []
        for kind in range(len(self.problem.kinds)):
            own = pieces[field.may[kind, pieces]]
            best: dict[Layout, float] = {}
            for n in range(tries if own.size else 0):
                layout, gain = self._fill(kind, own, prices, 0.0 if n == 0 else 0.5)
                best[layout] = gain
            found += sorted(best, key=lambda layout: (-best[layout], layout))[:_KEPT]
        return tuple(layout for layout in found if layout.pieces)

    def _fill(self, kind: int, pieces: Ints, prices: Floats, noise: float) -> tuple[Layout, float]:
        field, desk, chance = self._field, self._desk, self._chance
        placed = np.zeros(field.alike.size, np.bool_)
        at = np.zeros((field.alike.size, 3), np.int64)
        order = ordered(field, pieces, prices, below(chance, MEASURES), noise, chance)
        rule = below(chance, RULES)
        gain = fill(field, kind, order, prices, rule, placed, at, desk.spaces, desk.fresh, desk.work)
        laid = sorted(
            placed_piece(
                self.problem, kind, int(field.alike[p]), int(at[p, 0]), int(at[p, 1]), bool(at[p, 2])
            )
            for p in np.flatnonzero(placed)
        )
        return Layout(kind, tuple(laid)), float(gain)
