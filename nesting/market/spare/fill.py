"""Fill parts: cut where they cost nothing, once everything else is settled.

A fill part goes behind the last piece of a stick that is cut anyway. What it takes there would be scrap; where it
would be a kept offcut, the fill parts must be worth more than the offcut loses by them. Fill parts of plate go on
sheets (`fill_sheets`). Purchases, cost and all other pieces stay as they are, so that the plan is proved as before.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import islice

from ortools.sat.python import cp_model

from nesting.job import Job, Part, Saw
from nesting.market.rests import end_of, room_behind
from nesting.market.spare.fill_sheets import SheetFiller
from nesting.market.supply import saw_can
from nesting.plan import GroupPlan, Layout, Piece, Plan, SheetLayout
from nesting.rules.lots import comes_from
from nesting.rules.sources import serves
from nesting.rules.stick_ways import cut_width
from stock.offer import Offer
from stock.rack import RackPiece

_MOST_WAYS = 20_000
"""Ways to fill a rest that are looked at over all kinds of rests, the fullest first; shops have far fewer."""
_WORK = 2.0
"""Deterministic time units of CP-SAT (about seconds)."""

Way = tuple[int, ...]
"""How many of each fill part go behind the last piece of a stick."""


def fill_plan(plan: Plan) -> Plan:
    """A plan with fill parts in its rests: on sticks, together worth as much as they can be.

    Parameters
    ----------
    plan
        Without fill parts.

    Returns
    -------
    Plan
        The same purchases, cost and pieces; fill parts behind them, and in `unfilled` the copies without a place.
    """
    fills = plan.job.fills
    if not fills:
        return plan
    rests = _Rests(plan.job, fills)
    found = _chosen(rests, plan)
    filler = SheetFiller(plan.job, fills, rests.may_come)
    groups = tuple(
        replace(
            _filled(group, rests, found),
            sheets=tuple(filler.filled(sheet, rests.source_of(sheet)) for sheet in group.sheets),
        )
        for group in plan.groups
    )
    made = _made(groups)
    missing = ((part.mark, plan.job.copies(part) - made[part.mark]) for part in fills)
    return replace(plan, groups=groups, unfilled=tuple(pair for pair in missing if pair[1]))


def _made(groups: tuple[GroupPlan, ...]) -> Counter[str]:
    """How often each part is cut."""
    made: Counter[str] = Counter()
    for group in groups:
        for layout in group.layouts:
            made.update(
                {mark: layout.times * n for mark, n in Counter(p.mark for p in layout.pieces).items()}
            )
        for sheet in group.sheets:
            made.update({mark: sheet.times * n for mark, n in Counter(p.mark for p in sheet.pieces).items()})
    return made


@dataclass(frozen=True, slots=True)
class _Rest:
    """What lies behind the last piece of a stick.

    Parameters
    ----------
    room
        Ticks that fill parts, each with one cut, may take.
    cut
        Ticks of a cut.
    takes
        Ticks with its cut of each fill part, 0 if it cannot come from here.
    worth
        Of one of each fill part, ten-thousandths.
    source, keep, length
        Whose rest it is, whether it is kept, and its ticks.
    alike
        How many sticks must be filled alike: all those of which a yard cuts the same segment.
    """

    room: int
    cut: int
    takes: tuple[int, ...]
    worth: tuple[int, ...]
    source: Offer | RackPiece
    keep: bool
    length: int
    alike: int


class _Rests:
    """Knows of every stick what fill parts its rest can take, and what they are worth there."""

    def __init__(self, job: Job, fills: tuple[Part, ...]) -> None:
        self.job, self.fills = job, fills
        self.wanted = tuple(job.copies(part) for part in fills)
        self._serves = serves(job)
        self._saws = {saw.name: saw for saw in job.saws}
        self._sources: dict[tuple[str, str], Offer | RackPiece] = {
            **{("offer", o.id): o for o in job.offers},
            **{("rack", r.id): r for r in job.rack},
        }

    def of(self, group: GroupPlan, layout: Layout) -> _Rest | None:
        """The rest of a stick; None if no fill part can come from it."""
        if not layout.pieces:
            return None
        source, saw = self.source_of(layout), self._saws[layout.saw]
        if layout.keep and self._rate(source) is None:
            return None
        cut = cut_width(self.job, saw)
        room = room_behind(self.job, group, layout, source, saw)
        takes = tuple(part.extent + cut if self._may(part, source, saw) else 0 for part in self.fills)
        if not any(0 < ticks <= room for ticks in takes):
            return None
        worth = tuple(self._worth(part, source) for part in self.fills)
        alike = 1 if layout.segment is None else layout.times
        return _Rest(room, cut, takes, worth, source, layout.keep, layout.rest, alike)

    def source_of(self, layout: Layout | SheetLayout) -> Offer | RackPiece:
        """What a stick or a sheet is cut from."""
        return self._sources[layout.source_kind, layout.source]

    def may_come(self, part: Part, source: Offer | RackPiece) -> bool:
        """Whether the material of a source serves a fill part, and it is one that the part may come from."""
        return self._serves(part.material, source.material) and comes_from(part, source)

    def gain(self, rest: _Rest, way: Way) -> int:
        """Worth of the fill parts less what the rest loses by them, ten-thousandths."""
        used = sum(n * ticks for n, ticks in zip(way, rest.takes, strict=True))
        worth = sum(n * each for n, each in zip(way, rest.worth, strict=True))
        left = max(0, rest.length - used)
        keep = rest.keep and left >= self.job.shop.keep_length
        return worth - self._value(rest.source, rest.length, rest.keep) + self._value(rest.source, left, keep)

    def _may(self, part: Part, source: Offer | RackPiece, saw: Saw) -> bool:
        """Whether a fill part may come from a source, and the saw can be set to its angles."""
        return not part.is_plate and self.may_come(part, source) and saw_can(saw, part)

    def _rate(self, source: Offer | RackPiece) -> Fraction | None:
        """Money for a tick of a source; of a rack piece without value, of the cheapest offer of that kind."""
        if isinstance(source, Offer):
            return None if source.price is None else source.price_per_tick()
        if source.value:
            return Fraction(source.value) / source.length
        offers = (o for o in self.job.offers if o.price is not None)
        return min(
            (o.price_per_tick() for o in offers if self._serves(source.material, o.material)), default=None
        )

    def _worth(self, part: Part, source: Offer | RackPiece) -> int:
        """Of one piece: as said, or its length of material; its weight where that has no price."""
        if part.fill:
            return int(part.fill * 10_000)
        rate = self._rate(source)
        if rate is None:
            return int(10_000 * source.material.weight_kg(part.extent))
        return int(10_000 * rate * part.extent)

    def _value(self, source: Offer | RackPiece, length: int, keep: bool) -> int:
        """What a rest is worth: kept at the price of the material, else as scrap."""
        if keep:
            return int(10_000 * (self._rate(source) or 0) * length)
        scrap = Fraction(self.job.shop.scrap_price or 0)
        return int(10_000 * scrap * Fraction(source.material.weight_kg(length)))


def _ways(rest: _Rest, wanted: tuple[int, ...]) -> Iterator[Way]:
    """Every way to fill a rest, from the longest part down, as many of it as go first; the last is to leave it."""

    def extend(at: int, room: int) -> Iterator[Way]:
        if at == len(order):
            yield ()
            return
        ticks, most = rest.takes[order[at]], 0
        if ticks:
            most = max(0, min(wanted[order[at]], room // ticks))
        for n in range(most, -1, -1):
            for others in extend(at + 1, room - n * ticks):
                yield (n, *others)

    order = sorted(range(len(wanted)), key=lambda i: -rest.takes[i])
    for counts in extend(0, rest.room):
        by_part = dict(zip(order, counts, strict=True))
        yield tuple(by_part[i] for i in range(len(wanted)))


def _chosen(rests: _Rests, plan: Plan) -> dict[_Rest, Counter[Way]]:
    """For each kind of rest how many sticks are filled which way: the greatest worth that can be had."""
    sticks: Counter[_Rest] = Counter()
    for group in plan.groups:
        for layout in group.layouts:
            rest = rests.of(group, layout)
            if rest is not None:
                sticks[rest] += layout.times
    model = cp_model.CpModel()
    columns: list[tuple[_Rest, Way, cp_model.IntVar]] = []
    for rest, times in sticks.items():
        ways = _best_ways(rests, rest, max(50, _MOST_WAYS // len(sticks)))
        own = [(rest, way, model.new_int_var(0, times // rest.alike, "")) for way in ways]
        model.add(sum(x for *_, x in own) <= times // rest.alike)
        columns += own
    for i, most in enumerate(rests.wanted):
        model.add(sum(rest.alike * way[i] * x for rest, way, x in columns) <= most)
    model.maximize(sum(rest.alike * rests.gain(rest, way) * x for rest, way, x in columns))
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    solver.parameters.max_deterministic_time = _WORK
    found: dict[_Rest, Counter[Way]] = {}
    if solver.solve(model) in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        for rest, way, x in columns:
            if solver.value(x):
                found.setdefault(rest, Counter())[way] = rest.alike * solver.value(x)
    return found


def _best_ways(rests: _Rests, rest: _Rest, most: int) -> list[Way]:
    """The ways to fill a rest that gain something, of the first so many that there are."""
    return [way for way in islice(_ways(rest, rests.wanted), most) if rests.gain(rest, way) > 0]


def _filled(group: GroupPlan, rests: _Rests, found: dict[_Rest, Counter[Way]]) -> GroupPlan:
    """A group with its share of the fill parts; takes what it uses from `found`."""
    layouts: list[Layout] = []
    for layout in group.layouts:
        rest, left = rests.of(group, layout), layout.times
        ways = found.get(rest, Counter()) if rest is not None else Counter()
        for way in list(ways):
            assert rest is not None
            times = min(left, ways[way])
            if times:
                ways[way] -= times
                left -= times
                layouts.append(_with_fills(replace(layout, times=times), rests, rest, way))
        if left:
            layouts.append(replace(layout, times=left))
    return replace(group, layouts=tuple(layouts))


def _with_fills(layout: Layout, rests: _Rests, rest: _Rest, way: Way) -> Layout:
    """A stick with fill parts behind its pieces, the longest first."""
    at, pieces = end_of(layout) + rest.cut, list(layout.pieces)
    parts = [part for part, n in zip(rests.fills, way, strict=True) for _ in range(n)]
    for part in sorted(parts, key=lambda part: -part.extent):
        pieces.append(Piece(mark=part.mark, start=at, extent=part.extent))
        at += part.extent + rest.cut
    left = max(0, layout.length - at)
    keep = left > 0 and left >= rests.job.shop.keep_length
    return replace(layout, pieces=tuple(pieces), rest=left, keep=keep)
