"""The Smith normal form of a small square matrix of integers, in exact arithmetic.

Source: Cohen 1993, *A Course in Computational Algebraic Number Theory*, section 2.4.4.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from nesting.bars.types import Table

Matrix = list[list[int]]


@dataclass(frozen=True, slots=True)
class Smith:
    """left x B x right = diagonal, with left and right of determinant 1 or -1.

    Parameters
    ----------
    left, right
        Rows.
    diagonal
        Positive.
    """

    left: Matrix
    right: Matrix
    diagonal: tuple[int, ...]

    @property
    def sizes(self) -> tuple[int, ...]:
        """Sizes of the cyclic factors of the group of residues, the trivial ones left out."""
        return tuple(d for d in self.diagonal if d > 1) or (1,)

    @property
    def width(self) -> int:
        """How many numbers a residue has."""
        return len(self.sizes)

    def residues(self, vectors: Table) -> Table:
        """The residues of vectors (rows) modulo the lattice of B's columns; (vectors, width)."""
        kept = [(row, d) for row, d in zip(self.left, self.diagonal, strict=True) if d > 1]
        if not kept:
            return np.zeros((len(vectors), 1), np.int64)
        # remainders of products of remainders stay far below 2^63
        return np.stack(
            [(vectors % d) @ np.array([x % d for x in row], np.int64) % d for row, d in kept], axis=1
        )

    def solve(self, vector: Sequence[int]) -> list[int] | None:
        """x with B x = vector, or None if x is not whole."""
        scaled = [sum(a * b for a, b in zip(row, vector, strict=True)) for row in self.left]
        if any(y % d for y, d in zip(scaled, self.diagonal, strict=True)):
            return None
        parts = [y // d for y, d in zip(scaled, self.diagonal, strict=True)]
        return [sum(a * b for a, b in zip(row, parts, strict=True)) for row in self.right]


def smith(columns: Sequence[Sequence[int]]) -> Smith | None:
    """The Smith form of the matrix with these columns; None if it is singular."""
    n = len(columns)
    work = [[columns[j][i] for j in range(n)] for i in range(n)]
    left = [[int(i == j) for j in range(n)] for i in range(n)]
    right = [[int(i == j) for j in range(n)] for i in range(n)]
    for t in range(n):
        while True:
            pivot = min(
                ((abs(work[i][j]), i, j) for i in range(t, n) for j in range(t, n) if work[i][j]),
                default=None,
            )
            if pivot is None:
                return None
            _, i, j = pivot
            work[t], work[i] = work[i], work[t]
            left[t], left[i] = left[i], left[t]
            for row in (*work, *right):
                row[t], row[j] = row[j], row[t]
            if _clear(work, left, right, t):
                break
        if work[t][t] < 0:
            work[t] = [-x for x in work[t]]
            left[t] = [-x for x in left[t]]
    return Smith(left, right, tuple(work[t][t] for t in range(n)))


def _clear(work: Matrix, left: Matrix, right: Matrix, t: int) -> bool:
    """Subtract the pivot's row and column from the others; False if remainders are left to go on with.

    The divisor chain of the full normal form is not needed here: any diagonal form gives the group.
    """
    clean = True
    pivot = work[t][t]
    for i in range(t + 1, len(work)):
        times = work[i][t] // pivot
        if times:
            work[i] = [a - times * b for a, b in zip(work[i], work[t], strict=True)]
            left[i] = [a - times * b for a, b in zip(left[i], left[t], strict=True)]
        clean &= not work[i][t]
    for j in range(t + 1, len(work)):
        times = work[t][j] // pivot
        if times:
            for row in (*work, *right):
                row[j] -= times * row[t]
        clean &= not work[t][j]
    return clean
