"""Where the yard cuts a stick, once it is known which parts each segment holds.

Every segment is as long as its parts need, in round figures where there is room for that; what is left over stays in
one piece, so that the longest offcut comes home. What cannot be carried, or is no offcut worth keeping, stays at the
yard. Where rests earn, what is left over lies where it earns most, in round figures if they earn as much.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from nesting.bars.form import Segments
from nesting.bars.mitres import Mitres
from nesting.bars.problem import Pattern, Problem
from nesting.bars.solution import Solution
from nesting.job import Job, Shop
from nesting.joint.problem import JointProblem
from nesting.market.build import Built
from nesting.market.rests import rests_of
from nesting.rules.credit import NOTHING, Earns
from nesting.rules.hauling import Parted
from stock.length import PER_INCH, PER_MM
from stock.money import Cost


@dataclass(frozen=True, slots=True)
class Cuts:
    """Nominal ticks of the segments of a stick in order, and which of them are carried home."""

    segments: tuple[int, ...]
    taken: tuple[bool, ...]


@dataclass(frozen=True, slots=True)
class _Segment:
    """What a segment needs at the least, and may be at the most; ticks."""

    least: int
    most: int
    is_empty: bool


def place_cuts(
    job: Job, length: int, way: Parted, needs: Sequence[int | None], earning: Earns = NOTHING
) -> Cuts:
    """Where a stick is cut.

    Parameters
    ----------
    length
        Ticks of the stick.
    needs
        Of each segment the nominal ticks that its parts need; None: it has no parts.
    earning
        What the rests of its segments earn.
    """
    limit = way.yard.haul_limit
    assert limit is not None
    total = length - way.cuts * way.yard.cut_kerf
    one_stays = total > len(needs) * limit
    keep = max(1, job.shop.keep_length) + way.yard.cut_tolerance
    segments = []
    for n, need in enumerate(needs):
        most = total if one_stays and n == way.left else limit
        segments.append(_Segment(1 if need is None else need, most, need is None))
    holder = way.left if one_stays and way.left is not None else _holder(segments, total)
    exact = _settled(segments, total, holder, 1, keep)
    assert exact is not None
    rests = _Rests(job, length, way, needs, earning)
    exact = max([exact, rests.longest()], key=rests.earned)
    chosen = exact
    for grid in _grids(job.shop):
        rounded = _settled(segments, total, holder, grid, keep)
        if rounded is None or rests.earned(rounded) < rests.earned(exact):
            continue
        if rests.earned(exact) or _worth(segments, rounded, keep) >= _worth(segments, exact, keep):
            chosen = rounded
            break
    taken = (
        not segment.is_empty or keep <= ticks <= limit
        for segment, ticks in zip(segments, chosen, strict=True)
    )
    return Cuts(tuple(chosen), tuple(taken))


class _Rests:
    """What the rests of a stick earn if it is cut in some place or other."""

    def __init__(
        self, job: Job, length: int, way: Parted, needs: Sequence[int | None], earning: Earns
    ) -> None:
        self._rests, self._needs, self._way = rests_of(job, length, way, earning), needs, way
        self._total = self._rests.total
        held = [needs[n] for n in way.carried]
        self._rooms = [None if need is None else self._rests.limit - need for need in held]

    def earned(self, segments: Sequence[int]) -> Cost:
        """What they earn at some lengths of all segments."""
        more = [segments[n] - (self._needs[n] or 0) for n in self._way.carried]
        return self._rests.earned(self._rooms, more)

    def longest(self) -> list[int]:
        """The lengths of all segments at which they earn most."""
        segments = [0] * len(self._needs)
        for n, more in zip(self._way.carried, self._rests.best(self._rooms)[1], strict=True):
            segments[n] = (self._needs[n] or 0) + more
        empty = [n for n, need in enumerate(self._needs) if need is None]
        left = self._total - sum(segments)
        for n, at in enumerate(empty):
            segments[at] = left // (len(empty) - n)
            left -= segments[at]
        return segments


def _holder(segments: Sequence[_Segment], total: int) -> int:
    """The segment that takes what is left over: where it makes the longest single piece."""
    spare = total - sum(s.least for s in segments)

    def offcut(n: int) -> int:
        segment = segments[n]
        return min(segment.least + spare, segment.most) - (0 if segment.is_empty else segment.least)

    return max(range(len(segments)), key=lambda n: (offcut(n), n))


def _settled(segments: Sequence[_Segment], total: int, holder: int, grid: int, keep: int) -> list[int] | None:
    """Every segment but the holder a multiple of a grid; the holder takes the rest. None if that does not fit."""
    ticks = [-(-s.least // grid) * grid for s in segments]
    tops = [s.most // grid * grid for s in segments]
    ticks[holder] = 0
    if any(low > top for n, (low, top) in enumerate(zip(ticks, tops, strict=True)) if n != holder):
        return None
    left = total - sum(ticks)
    stays = segments[holder].most == total
    for n in sorted((n for n in range(len(ticks)) if n != holder), key=lambda n: ticks[n] - tops[n]):
        more = tops[n] - ticks[n]
        if not stays:
            more = min(more, -(-max(0, left - segments[holder].most) // grid) * grid)
        elif segments[n].is_empty or more < keep:
            more = 0
        ticks[n] += more
        left -= more
    ticks[holder] = left
    return ticks if segments[holder].least <= left <= segments[holder].most else None


def _worth(segments: Sequence[_Segment], ticks: Sequence[int], keep: int) -> int:
    """How many offcuts worth keeping come home."""
    rests = (t - (0 if s.is_empty else s.least) for s, t in zip(segments, ticks, strict=True))
    return sum(rest >= keep for rest in rests)


def _grids(shop: Shop) -> Iterator[int]:
    """Round figures, the roundest first: down to the finest fraction that is printed."""
    if shop.unit == "mm":
        yield from (10 * PER_MM, 5 * PER_MM, PER_MM)
        return
    parts = 1
    while parts <= shop.denominator:
        if PER_INCH % parts == 0:
            yield PER_INCH // parts
        parts *= 2


def arranged(problem: Problem, pattern: Pattern) -> tuple[tuple[tuple[int, int, int | None], ...], ...]:
    """(item, piece, way) of each piece in cutting order, for the stick or for each segment that is carried home.

    A way is an index into `mitred.ways_of` of the part; None: all pieces of the item are laid square, one by one.
    """
    if isinstance(problem, JointProblem):
        rows = _rows(problem.sticks, problem.as_forms(pattern))
        return tuple(
            tuple((problem.form_items[form], piece, way) for form, piece, way in row) for row in rows
        )
    return _rows(problem, pattern)


def with_fewest_cuts(built: Built, solution: Solution) -> Solution:
    """The same sticks, none parted more often than its parts ask: cuts cost nothing in a group that counts weight."""
    found: Solution = {}
    for pattern, n in solution.items():
        fewest = _with_fewest_cuts(built, pattern)
        found[fewest] = found.get(fewest, 0) + n
    return found


def _with_fewest_cuts(built: Built, pattern: Pattern) -> Pattern:
    way, stocks = built.parted[pattern.stock], built.problem.stocks
    if way is None:
        return pattern
    others = [
        (other.cuts, t)
        for t, other in enumerate(built.parted)
        if other is not None
        and other.cuts < way.cuts
        and stocks[t].source == stocks[pattern.stock].source
        and built.saws[t] == built.saws[pattern.stock]
    ]
    fewer = (replace(pattern, stock=t) for _, t in sorted(others))
    cost = built.problem.cost(pattern)
    return next((p for p in fewer if _holds(built.problem, p) and built.problem.cost(p) <= cost), pattern)


def _holds(problem: Problem, pattern: Pattern) -> bool:
    """Whether a stock can be cut to a pattern."""
    if any(item not in problem.stocks[pattern.stock].items for item, _ in pattern.counts):
        return False
    sticks = problem
    if isinstance(problem, JointProblem):
        sticks, pattern = problem.sticks, problem.as_forms(pattern)
    stock = sticks.stocks[pattern.stock]
    excess = 0 if stock.form is None else stock.form.excess(pattern.counts)
    return excess is not None and sticks.used(pattern) + excess <= stock.capacity


def _rows(problem: Problem, pattern: Pattern) -> tuple[tuple[tuple[int, int, int | None], ...], ...]:
    form = problem.stocks[pattern.stock].form
    if form is None:
        return (tuple((item, 0, None) for item, n in pattern.counts for _ in range(n)),)
    assert isinstance(form, Mitres | Segments)
    has_ways = isinstance(form, Mitres) or form.ends is not None
    return tuple(
        tuple((item, piece, way if has_ways else None) for item, piece, way in row)
        for row in form.arrange(pattern.counts)
    )
