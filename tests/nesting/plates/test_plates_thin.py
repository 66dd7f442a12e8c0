"""Strips thinner than a cell of the bound's grid."""

from __future__ import annotations

from nesting.plates.bound import lower_bound
from nesting.plates.problem import RectItem, RectProblem, SheetKind, Turn


def test_a_strip_thinner_than_a_cell_of_the_grid_takes_part_in_no_scale() -> None:
    """One sheet holds a strip of 1 and a piece of half the sheet; rooms count at most 2,048 cells (derived)."""
    items = (
        RectItem(width=1, height=5_000, demand=3, turn=Turn.QUARTER),
        RectItem(width=3_000, height=2_000, demand=1, turn=Turn.QUARTER),
    )
    kinds = tuple(SheetKind(width=w, height=4_001, cost=7, items=(0, 1)) for w in (6_001, 12_007))
    assert lower_bound(RectProblem(items, kinds)) == 7
