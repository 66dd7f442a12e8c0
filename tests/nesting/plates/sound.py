"""Small problems for the tests of plates, and whether an answer is sound by plain arithmetic."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import replace

from hypothesis import strategies as st

from nesting.plates.cuts import StraightCut
from nesting.plates.problem import Cutting, Layout, Placed, RectItem, RectProblem, Region, SheetKind, Turn
from nesting.plates.solve import Answer
from nesting.progress import Budget, Silent
from tests.benchmarks.plates_verify import is_straight


def problem_of(
    pieces: list[tuple[int, int, int]],
    sheets: list[tuple[int, int, int]],
    *,
    turn: Turn = Turn.NONE,
    cutting: Cutting = Cutting.FREE,
    limit: int | None = None,
    between: int = 0,
    edge: int = 0,
) -> RectProblem:
    """A problem of (width, height, demand) and (width, height, cost)."""
    items = tuple(RectItem(width=w, height=h, demand=d, turn=turn) for w, h, d in pieces)
    kinds = tuple(
        SheetKind(
            width=w,
            height=h,
            cost=c,
            source=source,
            cutting=cutting,
            between=between,
            near=(edge, edge),
            far=(edge, edge),
            items=tuple(range(len(items))),
        )
        for source, (w, h, c) in enumerate(sheets)
    )
    return RectProblem(items, kinds, (limit,) * len(kinds))


@st.composite
def problems(draw: st.DrawFn) -> RectProblem:
    """A problem of few pieces, every one of which fits the first sheet.

    Torch and saw are mixed, torch sheets may be parted into blanks, and kinds may share a source of few sheets.
    """
    between, edge = draw(st.integers(0, 2)), draw(st.integers(0, 2))
    pieces = draw(
        st.lists(st.tuples(st.integers(1, 16), st.integers(1, 16), st.integers(1, 4)), min_size=1, max_size=6)
    )
    others = draw(
        st.lists(st.tuples(st.integers(6, 24), st.integers(6, 24), st.integers(1, 500)), max_size=2)
    )
    problem = problem_of(
        pieces, [(21, 20, 400), *others], turn=draw(st.sampled_from(Turn)), between=between, edge=edge
    )
    first, *more = (replace(kind, cutting=draw(st.sampled_from(Cutting))) for kind in problem.kinds)
    source = draw(st.integers(1, 2))
    limits = (None, draw(st.integers(0, 2)), draw(st.sampled_from((None, 1))))
    more = [replace(_parted(draw, kind), source=source) for kind in more]
    return RectProblem(problem.items, (first, *more), limits)


def _parted(draw: st.DrawFn, kind: SheetKind) -> SheetKind:
    """The kind itself, or a sheet parted by a cut across into two blanks, a third of it parted along."""
    if kind.cutting is Cutting.GUILLOTINE or not draw(st.booleans()):
        return kind
    at, lost = kind.width // 3, 1
    low = Region(0, 0, at, kind.height // 2)
    top = Region(0, low.height + lost, at, kind.height - low.height - lost)
    return replace(kind, blanks=(low, top, Region(at + lost, 0, kind.width - at - lost, kind.height)))


def regions_left(kind: SheetKind, cuts: Sequence[StraightCut]) -> set[Region]:
    """What lies on the table when all cuts are made, kerf arithmetic redone here.

    Asserts that each cut is made into a region that is there, with a stop, and leaves what it says.
    """
    left, low, right, top = *kind.near, *kind.far
    table = {Region(left, low, kind.width - left - right, kind.height - low - top)}
    for n, cut in enumerate(cuts, 1):
        assert cut.number == n
        table.remove(cut.region)
        r, lost = cut.region, cut.stop + kind.between
        if cut.axis == "across":
            near = Region(r.x, r.y, cut.stop, r.height)
            far = Region(r.x + lost, r.y, r.width - lost, r.height)
            assert 0 < cut.stop < r.width
        else:
            near = Region(r.x, r.y, r.width, cut.stop)
            far = Region(r.x, r.y + lost, r.width, r.height - lost)
            assert 0 < cut.stop < r.height
        assert cut.nearer == near
        assert cut.further == (far if far.width > 0 and far.height > 0 else None)
        table |= {part for part in (cut.nearer, cut.further) if part}
    assert len(table) == 1 + sum(cut.further is not None for cut in cuts)
    return table


def work(steps: int) -> Budget:
    """A budget of so many steps."""
    return Budget(None, steps, Silent())


def breaches(problem: RectProblem, answer: Answer) -> list[str]:
    """What is wrong with an answer; empty if nothing is."""
    found = [b for layout in answer.layouts for b in breaches_of(problem, layout)]
    made = Counter(p.item for layout in answer.layouts for p in layout.pieces)
    if made != Counter({i: item.demand for i, item in enumerate(problem.items) if item.demand}):
        found.append("the pieces made are not those asked for")
    used = Counter(layout.kind for layout in answer.layouts)
    for source, limit in problem.limited.items():
        number = sum(n for kind, n in used.items() if problem.kinds[kind].source == source)
        if number > limit:
            found.append(f"{number} sheets of source {source}, {limit} there are")
    if answer.cost != sum(n * problem.kinds[k].cost for k, n in used.items()):
        found.append("the cost is not that of the sheets")
    if answer.bound > answer.cost:
        found.append("the bound is above the cost")
    return found


def _is_within(piece: Placed, kind: SheetKind, bed: Region) -> bool:
    """Whether a piece keeps the margins of a blank, or of the sheet."""
    return (
        bed.x + kind.near[0] <= piece.x <= bed.x + bed.width - kind.far[0] - piece.width
        and bed.y + kind.near[1] <= piece.y <= bed.y + bed.height - kind.far[1] - piece.height
    )


def breaches_of(problem: RectProblem, layout: Layout) -> list[str]:
    """What is wrong with one sheet."""
    kind = problem.kinds[layout.kind]
    gap = kind.between
    found = []
    for n, p in enumerate(layout.pieces):
        item = problem.items[p.item]
        asked = (item.height, item.width) if p.turned else (item.width, item.height)
        if (p.width, p.height) != asked or (p.turned and item.turn != Turn.QUARTER):
            found.append(f"{p} does not lie as it may")
        if not any(
            _is_within(p, kind, bed) for bed in kind.blanks or [Region(0, 0, kind.width, kind.height)]
        ):
            found.append(f"{p} is too near an edge")
        for q in layout.pieces[:n]:
            apart_x = p.x >= q.x + q.width + gap or q.x >= p.x + p.width + gap
            apart_y = p.y >= q.y + q.height + gap or q.y >= p.y + p.height + gap
            if not (apart_x or apart_y):
                found.append(f"{p} and {q} are too close")
    enlarged = [(p.x, p.y, p.width + gap, p.height + gap) for p in layout.pieces]
    if kind.cutting is Cutting.GUILLOTINE and not is_straight(enlarged):
        found.append("no straight cuts free the pieces")
    return found
