"""Small jobs with sticks and sheets, their joint problems, and their cheapest plans by trying everything."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from decimal import Decimal
from itertools import combinations

from hypothesis import strategies as st

from nesting.bars.problem import Pattern
from nesting.job import Job, Part, Process, Saw, Shop
from nesting.joint.pricing import JointPricer
from nesting.joint.problem import JointProblem
from nesting.market.build import build
from nesting.market.supply import choices_of, sizes_of
from nesting.plates.problem import SheetKind
from nesting.progress import Budget, Silent
from nesting.rules.sources import groups_of
from stock.material import parse_material
from stock.offer import Basis, Offer, Yard
from stock.rack import RackPiece
from tests.nesting.market.asked import INCH, offer
from tests.nesting.market.asked_plates import FLAT_4, FLAT_6, plate, sheet

SCALE = 2**24
FLAT_5 = parse_material("flat 1/4 x 5", unit="in", grade="A36")


def work(steps: int) -> Budget:
    """A budget of so many steps."""
    return Budget(None, steps, Silent())


def problem_of(job: Job) -> JointProblem:
    """The joint problem of the group of a job that has its plate parts, at its first prices."""
    (group,) = (g for g in groups_of(job) if any(p.is_plate for p in g.parts))
    sizes = sizes_of(group)
    built = build(job, group, sizes, next(choices_of(sizes)), True)
    assert isinstance(built.problem, JointProblem)
    return built.problem


def pricer_of(job: Job) -> JointPricer:
    """A pricer of it."""
    return JointPricer(problem_of(job), SCALE, 0)


@st.composite
def tiny_jobs(draw: st.DrawFn) -> Job:
    """At most five pieces: plate parts, one bar part perhaps, from sheets and flat bars, some of them scarce.

    The first sheet is plentiful and holds every plate part; a bar of each width that a bar part asks for is plentiful.
    No size is offered twice, as reading refuses that.
    """
    parts: list[Part] = []
    left = 5
    for n in range(draw(st.integers(1, 3))):
        qty = draw(st.integers(1, min(2, left)))
        left -= qty
        length, width = draw(st.integers(1, 10)), draw(st.integers(1, 6))
        turn = draw(st.sampled_from(["none", "quarter"]))
        parts.append(plate(f"P{n}", qty, length * INCH, width * INCH, turn=turn))
    offers = [sheet(1, 12 * INCH, 10 * INCH, str(draw(st.integers(5, 30))))]
    if left and draw(st.booleans()):
        bar = draw(st.sampled_from([FLAT_4, FLAT_6]))
        parts.append(Part(mark="B", qty=1, material=bar, length=draw(st.integers(4, 16)) * INCH))
        offers.append(offer(2, 20 * INCH, str(draw(st.integers(2, 25))), material=bar))
    offers += [_other(draw, len(offers) + n) for n in range(1, 1 + draw(st.integers(0, 3)))]
    sizes = {(o.material, o.length, o.width, o.cut_to_length): o for o in reversed(offers)}
    offers = list(sizes.values())[::-1]
    rack = [RackPiece(id="R", material=FLAT_4, length=11 * INCH, value=Decimal(2))]
    processes: tuple[Process, ...] = draw(
        st.sampled_from([("torch",), ("saw",), ("shear",), ("torch", "saw"), ("shear", "torch")])
    )
    loss = draw(st.sampled_from([0, INCH // 8]))
    return Job(
        name="tiny",
        parts=tuple(parts),
        offers=tuple(offers),
        rack=tuple(draw(st.sampled_from([[], rack]))),
        saws=(Saw(name="saw", kerf=loss),),
        yards=(Yard(name="North"),),
        shop=Shop(
            processes=processes,
            torch_kerf=loss,
            clearance=loss,
            edge=draw(st.sampled_from([0, INCH // 4])),
            bed=draw(st.sampled_from([None, (11 * INCH, 9 * INCH)])),
        ),
    )


def _other(draw: st.DrawFn, number: int) -> Offer:
    price, limit = str(draw(st.integers(1, 30))), draw(st.sampled_from([None, 0, 1, 2]))
    if draw(st.booleans()):
        length, width = draw(st.integers(3, 12)) * INCH, draw(st.integers(2, 10)) * INCH
        return sheet(number, length, width, price, available=limit)
    material = draw(st.sampled_from([FLAT_4, FLAT_5, FLAT_6]))
    length = draw(st.integers(6, 24)) * INCH
    if draw(st.integers(0, 3)) == 0:
        charge = Decimal(draw(st.integers(0, 3)))
        return offer(number, length, price, Basis.FOOT, material=material, cut_to_length=charge)
    return offer(number, length, price, material=material, available=limit)


def subsets(pieces: tuple[int, ...]) -> Iterator[tuple[int, ...]]:
    """Every different choice of pieces, named by their items; none of them is empty."""
    for size in range(1, len(pieces) + 1):
        yield from sorted(set(combinations(pieces, size)))


def holding(problem: JointProblem, items: tuple[int, ...]) -> Iterator[Pattern]:
    """Every stock that holds just these pieces: sawn one after the other, or parted by straight cuts.

    Straight cuts do for the torch as well; a few layouts that only it can cut are not tried, nor two blanks at once.
    """
    counts = tuple(sorted(Counter(items).items()))
    for t, forms in enumerate(problem.forms_of):
        stock = problem.stocks[t]
        if all(i in forms for i in items):
            extents = sum(problem.sticks.items[forms[i]].length + stock.kerf for i in items)
            if extents <= stock.capacity:
                yield Pattern(t, counts)
    for k, (kind, rects) in enumerate(zip(problem.sheets.kinds, problem.rects_of, strict=True)):
        if all(i in rects for i in items) and _is_held(problem, kind, tuple(rects[i] for i in items)):
            yield Pattern(len(problem.sticks.stocks) + k, counts)


def _is_held(problem: JointProblem, kind: SheetKind, rects: tuple[int, ...]) -> bool:
    shapes = _shapes(problem, kind.between, rects, {})
    return any(w <= room.width and h <= room.height for room in kind.rooms for w, h in shapes)


_Shapes = frozenset[tuple[int, int]]


def _shapes(
    problem: JointProblem, between: int, rects: tuple[int, ...], known: dict[tuple[int, ...], _Shapes]
) -> _Shapes:
    """Widths and heights into which pieces go side by side or above each other, in groups and groups of groups."""
    if rects in known:
        return known[rects]
    found: set[tuple[int, int]] = set()
    if len(rects) == 1:
        item = problem.sheets.items[rects[0]]
        w, h = item.width + between, item.height + between
        found = {(w, h), (h, w)} if item.turn == 2 else {(w, h)}
    for size in range(1, len(rects) // 2 + 1):
        for some in combinations(range(len(rects)), size):
            one = tuple(rects[n] for n in some)
            two = tuple(r for n, r in enumerate(rects) if n not in some)
            for a, b in _shapes(problem, between, one, known):
                for c, d in _shapes(problem, between, two, known):
                    found |= {(a + c, max(b, d)), (max(a, c), b + d)}
    known[rects] = frozenset(found)
    return known[rects]


def pieces_of(problem: JointProblem) -> tuple[int, ...]:
    """Item of every piece asked for."""
    return tuple(i for i, d in enumerate(problem.demands) for _ in range(d))


def cheapest(problem: JointProblem) -> int:
    """Cost of the cheapest plan, every way to share the pieces out among stocks tried."""
    pieces = pieces_of(problem)
    ways = {some: _ways(problem, some) for some in subsets(pieces)}
    left = tuple(len(pieces) if s.limit is None else s.limit for s in problem.sources)
    return _cheapest(pieces, left, ways, {})


def _ways(problem: JointProblem, items: tuple[int, ...]) -> list[tuple[int, int]]:
    """(cost, source) of every stock that holds just these pieces."""
    return [(problem.cost(p), problem.stocks[p.stock].source) for p in holding(problem, items)]


def _cheapest(
    pieces: tuple[int, ...],
    left: tuple[int, ...],
    ways: dict[tuple[int, ...], list[tuple[int, int]]],
    known: dict[tuple[tuple[int, ...], tuple[int, ...]], int],
) -> int:
    if not pieces:
        return 0
    if (pieces, left) not in known:
        best = 2**62
        for some in subsets(pieces[1:]) if len(pieces) > 1 else ():
            best = min(best, _with(pieces, (pieces[0], *some), left, ways, known))
        best = min(best, _with(pieces, pieces[:1], left, ways, known))
        known[pieces, left] = best
    return known[pieces, left]


def _with(
    pieces: tuple[int, ...],
    some: tuple[int, ...],
    left: tuple[int, ...],
    ways: dict[tuple[int, ...], list[tuple[int, int]]],
    known: dict[tuple[tuple[int, ...], tuple[int, ...]], int],
) -> int:
    """The cheapest plan in which these of the pieces lie together."""
    rest = tuple((Counter(pieces) - Counter(some)).elements())
    best = 2**62
    for cost, source in ways[tuple(sorted(some))]:
        if left[source]:
            fewer = tuple(n - (s == source) for s, n in enumerate(left))
            best = min(best, cost + _cheapest(tuple(sorted(rest)), fewer, ways, known))
    return best
