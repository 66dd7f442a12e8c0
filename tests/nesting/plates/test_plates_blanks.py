"""Divisions of a sheet for a small bed: what they yield fits the bed, lies apart, and holds what they were made for."""

from __future__ import annotations

from hypothesis import given, settings
from hypothesis import strategies as st

from nesting.plates.blanks import Division, divisions
from nesting.plates.problem import RectItem, Region, SheetKind, Turn


def sheet(width: int, height: int, number: int, margin: int = 0, between: int = 0) -> SheetKind:
    """A sheet from which the first so many items may be cut."""
    near = (margin, margin)
    return SheetKind(
        width=width,
        height=height,
        cost=100,
        near=near,
        far=near,
        between=between,
        items=tuple(range(number)),
    )


def test_strips_along_the_width_hold_blanks_one_above_the_other_a_cut_apart() -> None:
    division = Division(0, ((10, (4, 5)), (7, (12,))))
    assert division.blanks(1) == (Region(0, 0, 10, 4), Region(0, 5, 10, 5), Region(11, 0, 7, 12))
    assert division.number == 3


def test_strips_along_the_height_hold_blanks_side_by_side() -> None:
    division = Division(1, ((10, (4, 5)), (7, (12,))))
    assert division.blanks(1) == (Region(0, 0, 4, 10), Region(5, 0, 5, 10), Region(0, 11, 12, 7))


def test_four_pieces_as_large_as_the_bed_take_a_blank_each() -> None:
    """22 x 22 with a margin of 1: four blanks of 24 from 48 x 48 without kerf; with one of 1 one row."""
    items = (RectItem(width=22, height=22, demand=4),)
    best = divisions(sheet(48, 48, 1, margin=1), items, (24, 24), 0, 7, 0)[0]
    assert sorted(best.blanks(0)) == [Region(x, y, 24, 24) for x, y in ((0, 0), (0, 24), (24, 0), (24, 24))]
    assert all(d.number == 1 for d in divisions(sheet(48, 48, 1, margin=1), items, (24, 24), 1, 7, 0))


def test_nothing_asked_for_and_a_bed_of_nothing_but_margins_have_no_divisions() -> None:
    items = (RectItem(width=5, height=5, demand=0),)
    assert divisions(sheet(48, 48, 1), items, (24, 24), 0, 0, 0) == ()
    items = (RectItem(width=5, height=5, demand=1),)
    assert divisions(sheet(48, 48, 1, margin=12), items, (24, 24), 0, 0, 0) == ()


@settings(max_examples=40, deadline=None)
@given(st.data())
def test_blanks_fit_the_bed_lie_in_the_sheet_and_a_cut_apart(data: st.DataObject) -> None:
    width, height = data.draw(st.integers(10, 60)), data.draw(st.integers(10, 60))
    bed = data.draw(st.integers(8, 30)), data.draw(st.integers(8, 30))
    bed = min(bed[0], width), min(bed[1], height)
    kerf, margin = data.draw(st.integers(0, 3)), data.draw(st.integers(0, 2))
    items = tuple(
        RectItem(
            width=data.draw(st.integers(1, 14)),
            height=data.draw(st.integers(1, 14)),
            demand=data.draw(st.integers(1, 5)),
            turn=data.draw(st.sampled_from([Turn.NONE, Turn.QUARTER])),
        )
        for _ in range(data.draw(st.integers(1, 4)))
    )
    kind = sheet(width, height, len(items), margin, between=1)
    for division in divisions(kind, items, bed, kerf, data.draw(st.sampled_from([0, 9])), 1):
        blanks = division.blanks(kerf)
        assert len(blanks) == division.number > 0
        for n, b in enumerate(blanks):
            assert 0 < b.width <= bed[0]
            assert 0 < b.height <= bed[1]
            assert b.x + b.width <= width
            assert b.y + b.height <= height
            for other in blanks[:n]:
                assert (
                    b.x >= other.x + other.width + kerf
                    or other.x >= b.x + b.width + kerf
                    or b.y >= other.y + other.height + kerf
                    or other.y >= b.y + b.height + kerf
                )
