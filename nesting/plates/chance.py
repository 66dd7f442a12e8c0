"""Random numbers inside compiled kernels: a state of its own, so that a seed gives the same search everywhere.

Source: Marsaglia, "Xorshift RNGs", Journal of Statistical Software 8 (2003); the shifts 13, 7, 17.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from nesting.compiled import njit


def chance_of(seed: int) -> NDArray[np.uint64]:
    """A state that starts from a seed; the kernels move it on."""
    word = np.random.SeedSequence(seed).generate_state(1, np.uint64)[0]
    return np.array([word | np.uint64(1)], np.uint64)


@njit(cache=True, nogil=True)
def fraction(state: NDArray[np.uint64]) -> float:
    """The next random number, from 0 to below 1."""
    x = state[0]
    x ^= x << np.uint64(13)
    x ^= x >> np.uint64(7)
    x ^= x << np.uint64(17)
    state[0] = x
    return float(x >> np.uint64(11)) / 9007199254740992.0


@njit(cache=True, nogil=True)
def below(state: NDArray[np.uint64], count: int) -> int:
    """A random whole number from 0 to below count."""
    return int(fraction(state) * count)
