"""Orders in which pieces are tried: the large ones first, by one measure or another, more or less at random."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from nesting.compiled import njit
from nesting.plates.chance import below, fraction
from nesting.plates.field import Field
from nesting.plates.types import Floats, Ints

MEASURES = 6
"""Number of measures of size."""


@njit(cache=True, nogil=True)
def _size(field: Field, p: int, measure: int) -> float:
    w, h = float(field.widths[p]), float(field.heights[p])
    if measure == 0:
        return w * h
    if measure == 1:
        return max(w, h)
    if measure == 2:
        return h
    if measure == 3:
        return w
    if measure == 4:
        return w + h
    return min(w, h)


@njit(cache=True, nogil=True)
def ordered(
    field: Field, pieces: Ints, worth: Floats, measure: int, noise: float, state: NDArray[np.uint64]
) -> Ints:
    """Pieces by falling measure; each measure is multiplied by its worth per area and a factor of chance.

    Parameters
    ----------
    noise
        0: by the measure alone; the greater, the more at random.
    """
    keys = np.empty(pieces.size, np.float64)
    for i in range(pieces.size):
        p = pieces[i]
        key = _size(field, p, measure) * worth[p] / field.areas[p]
        if noise > 0.0:
            key *= 1.0 + noise * (fraction(state) - 0.5)
        keys[i] = -key
    return pieces[np.argsort(keys, kind="mergesort")]


@njit(cache=True, nogil=True)
def nudged(order: Ints, state: NDArray[np.uint64]) -> Ints:
    """The same order with one to three pieces moved or swapped."""
    result = order.copy()
    n = order.size
    if n < 2:
        return result
    for _ in range(1 + below(state, 3)):
        i, j = below(state, n), below(state, n)
        if fraction(state) < 0.5:
            result[i], result[j] = result[j], result[i]
            continue
        p = result[i]
        if i < j:
            result[i:j] = result[i + 1 : j + 1].copy()
        else:
            result[j + 1 : i + 1] = result[j:i].copy()
        result[j] = p
    return result
