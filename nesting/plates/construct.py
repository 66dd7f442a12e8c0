"""Builds a plan sheet by sheet: of several tries with every kind the sheet that gives most worth for its cost stays."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from nesting.compiled import njit
from nesting.plates.chance import below
from nesting.plates.field import Desk, Field
from nesting.plates.fill import RULES, fill
from nesting.plates.order import MEASURES, ordered
from nesting.plates.types import Floats


@njit(cache=True, nogil=True)
def construct(
    field: Field,
    desk: Desk,
    worth: Floats,
    tries: int,
    measure: int,
    rule: int,
    noise: float,
    state: NDArray[np.uint64],
) -> None:
    """Write a whole plan to the desk; pieces for which the limited sheets leave no room stay without a sheet.

    Parameters
    ----------
    worth
        Of each piece: what a sheet gains by holding it.
    tries
        Fillings tried for each sheet and kind.
    measure, rule
        Measure of the order and rule of the place; -1: at random, anew for each try.
    noise
        See `ordered`.
    """
    n = field.widths.size
    kinds = field.costs.size
    placed = np.zeros(n, np.bool_)
    left = field.limits.copy()
    cheap = 1e-6 * max(field.costs.max(), 1.0)
    desk.sheet_of[:] = -1
    desk.sheets[0] = 0
    best_at = np.zeros((n, 3), np.int64)
    at = np.zeros((n, 3), np.int64)
    while not placed.all():
        pieces = np.flatnonzero(~placed)
        best = 0.0
        best_kind = -1
        best_placed = placed
        for kind in range(kinds):
            if left[field.sources[kind]] <= 0:
                continue
            for _ in range(tries):
                m = below(state, MEASURES) if measure < 0 else measure
                r = below(state, RULES) if rule < 0 else rule
                order = ordered(field, pieces, worth, m, noise, state)
                now = placed.copy()
                gain = fill(field, kind, order, worth, r, now, at, desk.spaces, desk.fresh, desk.work)
                gain /= field.costs[kind] + cheap
                if gain > best:
                    best, best_kind, best_placed = gain, kind, now
                    best_at[:] = at
        if best_kind < 0:
            return
        sheet = desk.sheets[0]
        for p in pieces:
            if best_placed[p]:
                desk.sheet_of[p] = sheet
                desk.at[p] = best_at[p]
        desk.kind_of[sheet] = best_kind
        desk.sheets[0] = sheet + 1
        left[field.sources[best_kind]] -= 1
        placed = best_placed
