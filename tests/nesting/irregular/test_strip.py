"""Strips: sound layouts, jigsaws whose best length is known, and the same answer from the same work."""

from __future__ import annotations

from typing import Any

import pytest

from nesting.irregular.strip import Kind, Strip
from nesting.progress import Budget, Silent
from tests.benchmarks.shapes import wrongs

SQUARE = ((0.0, 0.0), (10.0, 0.0), (10.0, 10.0), (0.0, 10.0))
TRIANGLE = ((0.0, 0.0), (10.0, 0.0), (0.0, 10.0))
ELL = ((0.0, 0.0), (20.0, 0.0), (20.0, 10.0), (10.0, 10.0), (10.0, 20.0), (0.0, 20.0))


def instance(kinds: list[Kind], height: float) -> dict[str, Any]:
    return {
        "name": "made",
        "strip_height": height,
        "items": [
            {"demand": k.count, "allowed_rotations": list(k.rotations), "polygon": list(k.points)}
            for k in kinds
        ],
    }


@pytest.mark.parametrize(
    ("kinds", "height", "best"),
    [
        ([Kind(SQUARE, 4, (0.0,))], 20.0, 20.0),
        ([Kind(TRIANGLE, 2, (0.0, 180.0))], 10.0, 10.0),
        ([Kind(ELL, 2, (0.0, 180.0)), Kind(SQUARE, 2, (0.0,))], 30.0, 30.0),
    ],
)
def test_small_jigsaws_come_close_to_the_length_that_they_take(
    kinds: list[Kind], height: float, best: float
) -> None:
    """Squares, and pairs of triangles, fill it; two Ls make a block of 20 by 30, and two squares take 10 more."""
    length, placed = Strip(kinds, height).solve(Budget(None, 100, Silent()), seed=1)
    assert wrongs(instance(kinds, height), length, placed) == []
    assert best - 1e-6 <= length <= 1.15 * best


def test_the_same_seed_and_work_give_the_same_layout() -> None:
    kinds = [Kind(ELL, 3, (0.0, 90.0, 180.0, 270.0)), Kind(TRIANGLE, 5, (0.0, 90.0, 180.0, 270.0))]
    first, again = (Strip(kinds, 35.0).solve(Budget(None, 20, Silent()), seed=3) for _ in range(2))
    assert first == again


def test_an_item_higher_than_the_strip_is_no_job_for_it() -> None:
    with pytest.raises(ValueError, match="fits the height"):
        Strip([Kind(SQUARE, 1, (0.0,))], 9.0)


def test_what_overlaps_or_leaves_the_strip_or_is_miscounted_is_found() -> None:
    kinds = [Kind(SQUARE, 2, (0.0,))]
    length, placed = Strip(kinds, 20.0).solve(Budget(None, 10, Silent()), seed=0)
    assert any("share" in w for w in wrongs(instance(kinds, 20.0), length, [placed[0], placed[0]]))
    assert any("leaves" in w for w in wrongs(instance(kinds, 20.0), length - 1, placed))
    assert any("times" in w for w in wrongs(instance(kinds, 20.0), length, placed[:1]))
