"""One sheet, most value: the examples of the literature with proved optima."""

from __future__ import annotations

import pytest

from nesting.plates.problem import Cutting
from nesting.progress import Budget, Silent
from tests.benchmarks.plates_one_sheet import most_value, unlimited_value

Item = tuple[int, int, int, int]
"""Width, height, limit, value."""

CGCUT1: list[Item] = [
    (8, 4, 2, 66),
    (3, 7, 1, 35),
    (8, 2, 3, 24),
    (3, 4, 5, 17),
    (3, 3, 2, 11),
    (3, 2, 2, 8),
    (2, 1, 1, 2),
]
"""15 x 10. Christofides and Whitlock 1977 (published)."""

CGCUT2: list[Item] = [
    (21, 22, 1, 582),
    (31, 13, 1, 403),
    (9, 35, 3, 315),
    (9, 24, 3, 216),
    (30, 7, 2, 210),
    (11, 13, 3, 143),
    (10, 14, 1, 140),
    (14, 8, 3, 110),
    (12, 8, 3, 94),
    (13, 7, 3, 90),
]
"""40 x 70. Christofides and Whitlock 1977 (published)."""

OF1: list[Item] = [
    (29, 5, 1, 145),
    (9, 39, 4, 351),
    (55, 9, 1, 495),
    (31, 15, 1, 465),
    (11, 16, 2, 176),
    (23, 21, 3, 483),
    (29, 14, 4, 406),
    (16, 19, 3, 304),
    (9, 36, 2, 324),
    (22, 4, 2, 88),
]
"""70 x 40. Oliveira and Ferreira, as given by Hifi and Zissimopoulos 1996 (published)."""

GCUT1: list[tuple[int, int]] = [
    (167, 184),
    (114, 118),
    (167, 152),
    (83, 140),
    (70, 86),
    (143, 166),
    (120, 160),
    (66, 148),
    (87, 141),
    (69, 165),
]
"""250 x 250, a piece is worth its area. Beasley 1985, in an open collection of test problems (published)."""


@pytest.mark.parametrize(
    ("size", "items", "value"),
    [((15, 10), CGCUT1, 249), ((40, 70), CGCUT2, 3076), ((70, 40), OF1, 2758)],
    ids=["cgcut1", "cgcut2", "OF1"],
)
def test_unlimited_copies_by_straight_cuts(size: tuple[int, int], items: list[Item], value: int) -> None:
    """Published by Hifi and Zissimopoulos 1996; 249 derived (an exact build)."""
    assert unlimited_value(size, [(w, h, v) for w, h, _, v in items], False)[0] == value


@pytest.mark.parametrize(("turn", "value"), [(False, 56460), (True, 58136)], ids=["as drawn", "turned"])
def test_unlimited_copies_of_gcut1_by_straight_cuts(turn: bool, value: int) -> None:
    """Both values stand on a university's page about this problem (published)."""
    found, pieces = unlimited_value((250, 250), [(w, h, w * h) for w, h in GCUT1], turn)
    assert found == value == sum(w * h for *_, w, h in pieces)


@pytest.mark.parametrize(
    ("size", "items", "cutting", "value"),
    [
        ((15, 10), CGCUT1, Cutting.GUILLOTINE, 244),  # published, proved by an exact build (derived)
        ((70, 40), OF1, Cutting.FREE, 2747),  # proved (derived)
        ((70, 40), OF1, Cutting.GUILLOTINE, 2737),  # from memory: straight cuts cost 10
    ],
    ids=["cgcut1", "OF1 free", "OF1 straight"],
)
def test_limited_copies(size: tuple[int, int], items: list[Item], cutting: Cutting, value: int) -> None:
    """The filling reaches the optimum, and never shows more than it."""
    found, pieces = most_value(size, items, False, cutting, Budget(None, 40, Silent()), 0)
    assert found == value == sum(items[i][3] for i, *_ in pieces)


def test_limited_copies_of_cgcut2_reach_the_best_value_known() -> None:
    """2892 by straight cuts (own value, reached; own bound 2919, not closed)."""
    found, pieces = most_value((40, 70), CGCUT2, False, Cutting.GUILLOTINE, Budget(None, 40, Silent()), 0)
    assert found == sum(CGCUT2[i][3] for i, *_ in pieces)
    assert 2892 <= found <= 2919
