"""Every offcut is where nothing else is: in the sheet or its blank, clear of pieces, or a region that cuts leave."""

from __future__ import annotations

from itertools import combinations, product

from hypothesis import given, settings
from hypothesis import strategies as st

from nesting.plates.cuts import straight_cuts
from nesting.plates.free import offcuts_of
from nesting.plates.last import finish
from nesting.plates.problem import Cutting, Layout, Placed, RectProblem, Region, SheetKind
from nesting.plates.propose import Proposer
from nesting.plates.solve import solve
from tests.nesting.plates.sound import problems, regions_left, work

LEAST = st.tuples(st.integers(1, 12), st.integers(1, 6)).map(lambda sides: (max(sides), min(sides)))


def is_large(region: Region, least: tuple[int, int]) -> bool:
    """Whether both sides are long enough."""
    return max(region.width, region.height) >= least[0] and min(region.width, region.height) >= least[1]


def lies_in(region: Region, bed: Region) -> bool:
    """Whether a region is part of another."""
    return (
        bed.x <= region.x
        and bed.y <= region.y
        and region.x + region.width <= bed.x + bed.width
        and region.y + region.height <= bed.y + bed.height
    )


def is_clear(region: Region, piece: Placed, gap: int) -> bool:
    """Whether a region keeps a distance from a piece, along one axis or the other."""
    return (
        region.x >= piece.x + piece.width + gap
        or piece.x >= region.x + region.width + gap
        or region.y >= piece.y + piece.height + gap
        or piece.y >= region.y + region.height + gap
    )


@settings(max_examples=50, deadline=None)
@given(problems(), LEAST, st.booleans())
def test_offcuts_beside_torch_cuts_are_clear_of_every_piece(
    problem: RectProblem, least: tuple[int, int], is_finished: bool
) -> None:
    """Within the sheet, or within a blank, and of each other; none is too small to keep."""
    layouts = solve(problem, work(15), 3).layouts
    for layout in finish(problem, layouts, 1) if is_finished else layouts:
        kind = problem.kinds[layout.kind]
        beds = kind.blanks or (Region(0, 0, kind.width, kind.height),)
        if kind.cutting is Cutting.FREE:
            offcuts = offcuts_of(kind, layout, least)
            for offcut in offcuts:
                assert is_large(offcut, least)
                assert all(is_clear(offcut, piece, kind.between) for piece in layout.pieces)
            for one, other in combinations(offcuts, 2):
                as_piece = Placed(0, other.x, other.y, other.width, other.height, False)
                assert is_clear(one, as_piece, 0)
            assert all(any(lies_in(offcut, bed) for bed in beds) for offcut in offcuts)


@settings(max_examples=50, deadline=None)
@given(problems(), LEAST)
def test_offcuts_beside_straight_cuts_are_all_large_regions_that_are_no_piece(
    problem: RectProblem, least: tuple[int, int]
) -> None:
    for layout in finish(problem, solve(problem, work(15), 3).layouts, 1):
        kind = problem.kinds[layout.kind]
        if kind.cutting is Cutting.GUILLOTINE:
            pieces = {Region(p.x, p.y, p.width, p.height) for p in layout.pieces}
            left = regions_left(kind, straight_cuts(kind, layout))
            assert pieces <= left
            assert set(offcuts_of(kind, layout, least)) == {r for r in left - pieces if is_large(r, least)}


def largest_on_grid(bed: Region, taken: set[tuple[int, int]]) -> int:
    """Area of the largest free rectangle of a tiny sheet or blank, every one of whole ticks tried cell by cell."""
    best = 0
    for x, y in product(range(bed.x, bed.x + bed.width), range(bed.y, bed.y + bed.height)):
        most = bed.y + bed.height - y
        for right in range(x, bed.x + bed.width):
            column = next((n for n in range(most) if (right, y + n) in taken), most)
            most = min(most, column)
            best = max(best, (right - x + 1) * most)
    return best


@st.composite
def strewn(draw: st.DrawFn) -> tuple[SheetKind, Layout]:
    """Pieces anywhere on a sheet of 12 x 8, or on its blanks of 5 and 6 along."""
    blanks = draw(st.sampled_from([(), (Region(0, 0, 5, 8), Region(6, 0, 6, 8))]))
    kind = SheetKind(width=12, height=8, cost=1, between=draw(st.integers(0, 2)), blanks=blanks)
    pieces: list[Placed] = []
    for bed in draw(st.lists(st.sampled_from(blanks or (Region(0, 0, 12, 8),)), max_size=3)):
        w, h = draw(st.integers(1, 4)), draw(st.integers(1, 4))
        x, y = draw(st.integers(0, bed.width - w)), draw(st.integers(0, bed.height - h))
        piece = Placed(0, bed.x + x, bed.y + y, w, h, False)
        if all(is_clear(Region(piece.x, piece.y, w, h), p, kind.between) for p in pieces):
            pieces.append(piece)
    return kind, Layout(0, tuple(pieces))


@settings(max_examples=150, deadline=None)
@given(strewn())
def test_no_larger_rectangle_is_free_beside_torch_cuts(asked: tuple[SheetKind, Layout]) -> None:
    """On the sheet or on each blank, wherever the pieces lie."""
    kind, layout = asked
    gap = kind.between
    taken = {
        (x, y)
        for p in layout.pieces
        for x in range(p.x - gap, p.x + p.width + gap)
        for y in range(p.y - gap, p.y + p.height + gap)
    }
    offcuts = offcuts_of(kind, layout, (1, 1))
    for bed in kind.blanks or (Region(0, 0, 12, 8),):
        found = [r for r in offcuts if lies_in(r, bed)]
        assert max((r.width * r.height for r in found), default=0) == largest_on_grid(bed, taken)
        assert all(is_clear(r, piece, gap) for r in found for piece in layout.pieces)


@settings(max_examples=50, deadline=None)
@given(problems(), st.data())
def test_proposals_of_a_kind_come_with_the_worthier_first(problem: RectProblem, data: st.DataObject) -> None:
    """And no worthier than all that is left."""
    worth = [float(data.draw(st.integers(0, 9))) for _ in problem.items]
    left = [item.demand for item in problem.items]
    gains: dict[int, list[float]] = {}
    for layout in Proposer(problem, 1).propose(worth, left, 6):
        gains.setdefault(layout.kind, []).append(sum(worth[p.item] for p in layout.pieces))
    for k, found in gains.items():
        assert found == sorted(found, reverse=True)
        held = problem.fitting[k]
        assert 0.0 < found[0] <= sum(worth[i] * n for i, n in enumerate(left) if i in held)
