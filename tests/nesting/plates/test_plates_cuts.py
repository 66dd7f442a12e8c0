"""The sequence of straight cuts frees every piece, and nothing else passes as one."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from nesting.plates.cuts import NotGuillotine, straight_cuts
from nesting.plates.problem import Cutting, Layout, Placed, RectProblem, Region
from nesting.plates.propose import Proposer
from nesting.plates.solve import solve
from tests.nesting.plates.sound import problem_of, problems, regions_left, work


@settings(max_examples=40, deadline=None)
@given(problems())
def test_the_cuts_of_a_plan_free_every_piece(problem: RectProblem) -> None:
    for layout in solve(problem, work(20), 3).layouts:
        kind = problem.kinds[layout.kind]
        if kind.cutting is Cutting.GUILLOTINE:
            wanted = {Region(p.x, p.y, p.width, p.height) for p in layout.pieces}
            assert wanted <= regions_left(kind, straight_cuts(kind, layout))


@settings(max_examples=100, deadline=None)
@given(problems(), st.integers(0, 99))
def test_cuts_free_pieces_that_differ_by_less_than_a_kerf(problem: RectProblem, seed: int) -> None:
    """Whatever the filling lays for straight cuts can be cut."""
    kinds = tuple(replace(k, cutting=Cutting.GUILLOTINE, between=4, blanks=()) for k in problem.kinds)
    sawn = RectProblem(problem.items, kinds)
    worth, left = [1.0] * len(problem.items), [i.demand for i in problem.items]
    for layout in Proposer(sawn, seed).propose(worth, left, 4):
        wanted = {Region(p.x, p.y, p.width, p.height) for p in layout.pieces}
        assert wanted <= regions_left(kinds[layout.kind], straight_cuts(kinds[layout.kind], layout))


def test_a_strip_ends_where_the_next_piece_begins() -> None:
    """Kerf 1: the 9 wide lies above a 10 wide; cut close behind the 9, half a kerf would be left before the next.

    This layout was once refused as if no straight cuts freed it.
    """
    kind = problem_of([(1, 1, 1)], [(20, 20, 1)], cutting=Cutting.GUILLOTINE, between=1, edge=1).kinds[0]
    lying = ((1, 1, 10, 10), (1, 12, 9, 7), (12, 12, 6, 7), (12, 1, 5, 10))
    pieces = tuple(Placed(0, *place, False) for place in lying)
    assert {Region(*place) for place in lying} <= regions_left(kind, straight_cuts(kind, Layout(0, pieces)))


def test_strips_are_cut_one_after_the_other_and_then_each_is_finished() -> None:
    """Shear, 10 x 9, six 5 x 3: two cuts along at 3, then each of the three strips at 5 (derived)."""
    kind = problem_of([(5, 3, 6)], [(10, 9, 1)], cutting=Cutting.GUILLOTINE).kinds[0]
    pieces = tuple(Placed(0, x, y, 5, 3, False) for x in (0, 5) for y in (0, 3, 6))
    cuts = straight_cuts(kind, Layout(0, pieces))
    assert [(c.axis, c.stop, c.region.y) for c in cuts] == [
        ("along", 3, 0),
        ("along", 3, 3),
        ("across", 5, 0),
        ("across", 5, 3),
        ("across", 5, 6),
    ]


def test_waste_goes_first_and_a_cut_that_takes_it_all_leaves_nothing_further() -> None:
    """Kerf 2, 10 x 6: a 9 x 4 leaves 1 and 2, less than and just a kerf; the piece is free of it (derived)."""
    kind = problem_of([(9, 4, 1)], [(10, 6, 1)], cutting=Cutting.GUILLOTINE, between=2).kinds[0]
    cuts = straight_cuts(kind, Layout(0, (Placed(0, 0, 0, 9, 4, False),)))
    assert [(c.axis, c.stop, c.further) for c in cuts] == [("along", 4, None), ("across", 9, None)]


def test_a_pinwheel_has_no_straight_cuts() -> None:
    kind = problem_of([(3, 2, 1)], [(5, 5, 1)]).kinds[0]
    wheel = tuple(
        Placed(0, x, y, w, h, False)
        for x, y, w, h in ((0, 0, 3, 2), (3, 0, 2, 3), (2, 3, 3, 2), (0, 2, 2, 3))
    )
    with pytest.raises(NotGuillotine):
        straight_cuts(kind, Layout(0, wheel))


def test_a_piece_that_is_the_whole_sheet_needs_no_cut() -> None:
    kind = problem_of([(5, 5, 1)], [(5, 5, 1)], between=1).kinds[0]
    assert straight_cuts(kind, Layout(0, (Placed(0, 0, 0, 5, 5, False),))) == ()
