"""What is left of a sheet: found as plain counting finds it, and gathered without moving a piece to another sheet."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from itertools import product

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from nesting.plates.cuts import straight_cuts
from nesting.plates.free import offcuts_of
from nesting.plates.last import finish
from nesting.plates.problem import Cutting, Layout, Placed, RectProblem, Region, SheetKind
from nesting.plates.solve import solve
from tests.nesting.plates.sound import breaches_of, problem_of, problems, regions_left, work


def best_offcut(kind: SheetKind, layout: Layout, least: tuple[int, int]) -> Region | None:
    """The largest of what is left."""
    return max(offcuts_of(kind, layout, least), key=lambda r: r.width * r.height, default=None)


def largest_by_counting(kind: SheetKind, layout: Layout) -> int:
    """Area of the largest rectangle of a sheet or blank that keeps `between` from every piece, every one tried."""
    gap, best = kind.between, 0
    for bed in kind.blanks or (Region(0, 0, kind.width, kind.height),):
        xs, ys = ({lo, lo + size} for lo, size in ((bed.x, bed.width), (bed.y, bed.height)))
        for p in layout.pieces:
            xs |= {x for x in (p.x - gap, p.x + p.width + gap) if bed.x <= x <= bed.x + bed.width}
            ys |= {y for y in (p.y - gap, p.y + p.height + gap) if bed.y <= y <= bed.y + bed.height}
        for x, right in product(xs, xs):
            for y, top in product(ys, ys):
                is_free = right > x and top > y
                for p in layout.pieces if is_free else ():
                    if (
                        p.x - gap < right
                        and x < p.x + p.width + gap
                        and p.y - gap < top
                        and y < p.y + p.height + gap
                    ):
                        is_free = False
                        break
                if is_free:
                    best = max(best, (right - x) * (top - y))
    return best


@settings(max_examples=50, deadline=None)
@given(problems())
def test_the_offcut_beside_torch_cuts_is_the_largest_there_is(problem: RectProblem) -> None:
    for layout in solve(problem, work(20), 2).layouts[:3]:
        kind = replace(problem.kinds[layout.kind], cutting=Cutting.FREE)
        offcut = best_offcut(kind, layout, (1, 1))
        assert (0 if offcut is None else offcut.width * offcut.height) == largest_by_counting(kind, layout)


@settings(max_examples=50, deadline=None)
@given(problems(), st.integers(0, 5))
def test_finishing_keeps_items_on_their_sheets_and_leaves_no_less(problem: RectProblem, seed: int) -> None:
    before = solve(problem, work(20), 4).layouts
    after = finish(problem, before, seed)
    assert after == finish(problem, before, seed)
    assert len(after) == len(before)
    left = [0, 0]
    for old, new in zip(before, after, strict=True):
        assert new.kind == old.kind
        assert Counter(p.item for p in new.pieces) == Counter(p.item for p in old.pieces)
        assert breaches_of(problem, new) == []
        for n, layout in enumerate((old, new)):
            offcut = best_offcut(problem.kinds[new.kind], layout, (1, 1))
            left[n] += 0 if offcut is None else offcut.width * offcut.height
    assert left[1] >= left[0]


@settings(max_examples=50, deadline=None)
@given(problems())
def test_the_offcut_beside_straight_cuts_is_a_region_that_they_leave(problem: RectProblem) -> None:
    for layout in finish(problem, solve(problem, work(20), 4).layouts, 0):
        kind = problem.kinds[layout.kind]
        offcut = best_offcut(kind, layout, (4, 3))
        if kind.cutting is Cutting.GUILLOTINE and offcut is not None:
            assert offcut in regions_left(kind, straight_cuts(kind, layout))
            assert max(offcut.width, offcut.height) >= 4
            assert min(offcut.width, offcut.height) >= 3
            assert not any(offcut == Region(p.x, p.y, p.width, p.height) for p in layout.pieces)


@pytest.mark.parametrize("cutting", Cutting)
def test_the_offcut_of_the_last_sheet_is_one_rectangle(cutting: Cutting) -> None:
    """Two 4 x 3 on 10 x 10 side by side leave 10 x 7 (derived); three more full sheets are left alone."""
    problem = problem_of([(10, 10, 3), (4, 3, 2)], [(10, 10, 1)], cutting=cutting)
    layouts = finish(problem, solve(problem, work(30), 0).layouts, 0)
    (last,) = (layout for layout in layouts if len(layout.pieces) == 2)
    assert best_offcut(problem.kinds[0], last, (10, 4)) in (Region(0, 3, 10, 7), Region(3, 0, 7, 10))


def test_pieces_strewn_over_a_sheet_are_gathered() -> None:
    problem = problem_of([(4, 3, 2)], [(10, 10, 1)])
    strewn = Layout(0, (Placed(0, 0, 0, 4, 3, False), Placed(0, 6, 7, 4, 3, False)))
    assert best_offcut(problem.kinds[0], strewn, (1, 1)) != Region(0, 3, 10, 7)
    (layout,) = finish(problem, [strewn], 2)
    assert best_offcut(problem.kinds[0], layout, (1, 1)) == Region(0, 3, 10, 7)


def test_a_blank_that_is_not_needed_stays_whole() -> None:
    """Two 4 x 4, one on each of two 10 x 10 blanks, go on one (derived)."""
    problem = problem_of([(4, 4, 2)], [(21, 10, 1)])
    kind = replace(problem.kinds[0], blanks=(Region(0, 0, 10, 10), Region(11, 0, 10, 10)))
    strewn = Layout(0, (Placed(0, 0, 0, 4, 4, False), Placed(0, 11, 0, 4, 4, False)))
    (layout,) = finish(RectProblem(problem.items, (kind,)), [strewn], 0)
    assert best_offcut(kind, layout, (1, 1)) in kind.blanks


def test_an_offcut_keeps_clear_of_pieces_and_reaches_the_edges() -> None:
    """6 x 10 on 20 x 10, edge 1 impossible here: laid at 2, 0; clearance 3 leaves x from 11 on (derived)."""
    kind = problem_of([(6, 10, 1)], [(20, 10, 1)], between=3).kinds[0]
    layout = Layout(0, (Placed(0, 2, 0, 6, 10, False),))
    assert best_offcut(kind, layout, (9, 9)) == Region(11, 0, 9, 10)
    assert best_offcut(kind, layout, (11, 9)) is None
    assert best_offcut(kind, layout, (9, 10)) is None


def test_nothing_is_finished_where_nothing_is_laid() -> None:
    assert finish(problem_of([(4, 3, 1)], [(10, 10, 1)]), [], 0) == ()
