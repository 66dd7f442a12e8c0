"""Small problems for the tests of plates, and whether an answer is sound by plain arithmetic."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace

from hypothesis import strategies as st

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
    """A problem of few pieces, every one of which fits the first sheet; torch and saw mixed."""
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
    kinds = tuple(replace(kind, cutting=draw(st.sampled_from(Cutting))) for kind in problem.kinds)
    return RectProblem(problem.items, kinds, problem.limits)


def work(steps: int) -> Budget:
    """A budget of so many steps."""
    return Budget(None, steps, Silent())


def breaches(problem: RectProblem, answer: Answer) -> list[str]:
    """What is wrong with an answer; empty if nothing is."""
    found = [b for layout in answer.layouts for b in _breaches_of(problem, layout)]
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


def _breaches_of(problem: RectProblem, layout: Layout) -> list[str]:
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
