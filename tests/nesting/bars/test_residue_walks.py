"""Lattices and residues: exact arithmetic against its own definition."""

from __future__ import annotations

from itertools import product
from math import prod

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from nesting.bars import residues
from nesting.bars.smith import Matrix, smith


def times(a: Matrix, b: Matrix) -> Matrix:
    """Product of two matrices of whole numbers of any size."""
    return [
        [sum(x * y for x, y in zip(row, column, strict=True)) for column in zip(*b, strict=True)] for row in a
    ]


def determinant(matrix: Matrix) -> int:
    """By the first row."""
    if not matrix:
        return 1
    return sum(
        (-1) ** j * x * determinant([row[:j] + row[j + 1 :] for row in matrix[1:]])
        for j, x in enumerate(matrix[0])
        if x
    )


@st.composite
def squares(draw: st.DrawFn) -> Matrix:
    n = draw(st.integers(1, 4))
    return draw(st.lists(st.lists(st.integers(-6, 6), min_size=n, max_size=n), min_size=n, max_size=n))


@given(squares())
@settings(max_examples=150, deadline=None)
def test_left_times_matrix_times_right_is_the_diagonal(matrix: Matrix) -> None:
    """And left and right have determinant 1 or -1; a singular matrix has no form."""
    columns = [list(c) for c in zip(*matrix, strict=True)]
    form = smith(columns)
    if determinant(matrix) == 0:
        assert form is None
        return
    assert form is not None
    n = len(matrix)
    diagonal = [[form.diagonal[i] if i == j else 0 for j in range(n)] for i in range(n)]
    assert times(times(form.left, matrix), form.right) == diagonal
    assert abs(determinant(form.left)) == abs(determinant(form.right)) == 1
    assert prod(form.diagonal) == abs(determinant(matrix))
    assert min(form.diagonal) > 0


@given(squares(), st.lists(st.integers(-9, 9), min_size=4, max_size=4))
@settings(max_examples=150, deadline=None)
def test_solve_undoes_the_matrix_exactly_where_the_residue_is_zero(
    matrix: Matrix, numbers: list[int]
) -> None:
    form = smith([list(c) for c in zip(*matrix, strict=True)])
    if form is None:
        assert determinant(matrix) == 0
        return
    x = numbers[: len(matrix)]
    image = [row[0] for row in times(matrix, [[v] for v in x])]
    assert form.solve(image) == x
    for vector in (image, x):
        found = form.solve(vector)
        is_zero = not form.residues(np.array([vector], np.int64)).any()
        assert (found is not None) == is_zero
        if found is not None:
            assert [row[0] for row in times(matrix, [[v] for v in found])] == list(vector)


@given(
    st.lists(st.integers(2, 4), min_size=1, max_size=2),
    st.lists(st.tuples(st.integers(0, 3), st.integers(0, 3), st.integers(1, 9)), min_size=1, max_size=4),
    st.integers(0, 25),
)
@settings(max_examples=100, deadline=None)
def test_the_shortest_way_to_every_residue_is_the_cheapest_multiset_of_steps(
    sizes: list[int], raw: list[tuple[int, int, int]], limit: int
) -> None:
    """Multisets are tried up to as many copies as the order of the group, which always suffices."""
    width, order = len(sizes), prod(sizes)
    rows = sorted(raw, key=lambda r: r[2])
    steps = np.array([[r[k] % sizes[k] for k in range(width)] for r in rows], np.int64)
    prices = np.array([r[2] for r in rows], np.int64)
    expected = {0: 0}
    for _ in range(order):
        for at, cost in list(expected.items()):
            for step, price in zip(steps, prices, strict=True):
                to = _moved(sizes, at, step)
                if cost + price <= limit:
                    expected[to] = min(expected.get(to, cost + int(price)), cost + int(price))
    radix = np.array(sizes, np.int64)
    best, came = residues.shortest(radix, steps, prices, limit)
    assert {r: int(p) for r, p in enumerate(best) if p < 2**62} == expected
    for residue in product(*map(range, sizes)):
        index = residues.index_of(radix, np.array(residue, np.int64))
        if index in expected:
            way = residues.way_to(radix, steps, came, np.array(residue, np.int64))
            assert sum(int(prices[j]) for j in way) == expected[index]
            total = np.sum([steps[j] for j in way], axis=0) if len(way) else np.zeros(width, np.int64)
            assert tuple(int(x) for x in total % radix) == residue


def _moved(sizes: list[int], index: int, step: np.ndarray) -> int:
    digits = []
    for size in reversed(sizes):
        digits.append(index % size)
        index //= size
    digits.reverse()
    result = 0
    for digit, size, s in zip(digits, sizes, step, strict=True):
        result = result * size + (digit + int(s)) % size
    return result
