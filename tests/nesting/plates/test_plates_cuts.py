"""The sequence of straight cuts frees every piece, and nothing else passes as one."""

from __future__ import annotations

import pytest
from hypothesis import given, settings

from nesting.plates.cuts import NotGuillotine, Region, straight_cuts
from nesting.plates.problem import Cutting, Layout, Placed, RectProblem, SheetKind
from nesting.plates.solve import solve
from tests.nesting.plates.sound import problem_of, problems, work


def pieces_freed(kind: SheetKind, layout: Layout) -> set[Region]:
    """What lies on the table when all cuts are made, kerf arithmetic redone here."""
    whole = Region(
        kind.near[0],
        kind.near[1],
        kind.width - kind.near[0] - kind.far[0],
        kind.height - kind.near[1] - kind.far[1],
    )
    table = {whole}
    for n, cut in enumerate(straight_cuts(kind, layout), 1):
        assert cut.number == n
        table.remove(cut.region)
        r, lost = cut.region, cut.stop + kind.between
        if cut.axis == "across":
            near = Region(r.x, r.y, cut.stop, r.height)
            far = Region(r.x + lost, r.y, r.width - lost, r.height)
        else:
            near = Region(r.x, r.y, r.width, cut.stop)
            far = Region(r.x, r.y + lost, r.width, r.height - lost)
        assert cut.nearer == near
        assert cut.further == (far if far.width > 0 and far.height > 0 else None)
        table |= {part for part in (cut.nearer, cut.further) if part}
    return table


@settings(max_examples=40, deadline=None)
@given(problems())
def test_the_cuts_of_a_plan_free_every_piece(problem: RectProblem) -> None:
    for layout in solve(problem, work(20), 3).layouts:
        kind = problem.kinds[layout.kind]
        if kind.cutting is Cutting.GUILLOTINE:
            wanted = {Region(p.x, p.y, p.width, p.height) for p in layout.pieces}
            assert wanted <= pieces_freed(kind, layout)


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
