"""The most that can be made without buying: the least weight of parts is left out.

What would have to be bought is offered by the kilogram and cut to length, sheets to the size of a part, while all that
is on hand costs nothing; so the cheapest plan leaves out the least. What it "buys" is then what cannot be made.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator
from dataclasses import replace
from decimal import Decimal

from nesting.job import Job, Part
from nesting.market import make_plan
from nesting.market.assemble import group_cost
from nesting.market.supply import is_priced
from nesting.plan import Bound, GroupPlan, Layout, Plan, Settings, SheetLayout
from nesting.progress import Progress
from nesting.rules.credit import credit_of, credited
from nesting.rules.lots import lots_of
from nesting.rules.sources import Group, groups_of
from nesting.work.lots_left import parts_left
from nesting.work.record import Entry
from nesting.work.standing import standing
from stock.material import Material
from stock.offer import Basis, Offer
from stock.rack import RackPiece

_NOWHERE = "not on hand"
_GRID = Decimal("0.0001")


def plan_on_hand(
    job: Job, settings: Settings, progress: Progress | None = None
) -> tuple[Plan, tuple[tuple[str, int], ...]]:
    """A plan that buys nothing, and the (mark, copies) that it cannot make.

    What is left out is the least by weight, kerfs counted, as far as the plan that finds it is proved. Spares (`fill`)
    are not planned.
    """
    asked = replace(job, parts=job.needed, offers=(), yards=(), holes=())
    made = make_plan(_with_wants(asked), settings, progress)
    wants = {piece.id for piece in made.job.rack} - {piece.id for piece in job.rack}
    missing: Counter[str] = Counter()
    laid = [x for group in made.groups for x in (*_all_of(group.layouts), *_all_of(group.sheets))]
    for kind, source, times, marks in laid:
        if kind == "offer" or source in wants:
            missing.update({mark: times * count for mark, count in marks.items()})
    left = _without(made, job, missing)
    groups = tuple(_group(left, group, made, wants) for group in groups_of(left))
    plan = replace(
        made,
        job=left,
        groups=groups,
        fees=(),
        orders=(),
        others=(),
        total=Decimal(0),
        weight_kg=0.0,
        bound=None,
        unfilled=(),
    )
    counts = tuple((part.mark, missing[part.mark]) for part in job.parts if missing[part.mark])
    return plan, counts


def _all_of(layouts: Iterable[Layout | SheetLayout]) -> Iterator[tuple[str, str, int, Counter[str]]]:
    """(kind, source, times, pieces by mark) of each layout."""
    for layout in layouts:
        yield layout.source_kind, layout.source, layout.times, Counter(piece.mark for piece in layout.pieces)


def _with_wants(job: Job) -> Job:
    """The job with everything on hand for nothing, and all that is wanting for its weight."""
    rack = tuple(replace(piece, value=Decimal(0)) for piece in job.rack)
    bound = [part for part in job.parts if part.source]
    free = [part for part in job.parts if not part.source]
    offers = [*_bars([part for part in free if not part.is_plate], job), *_plates(free, job)]
    wanting = (
        RackPiece(
            id=f"{_NOWHERE} {part.mark} {copy}",
            material=part.material,
            length=part.length + 2 * job.shop.edge if part.is_plate else _room(job, part.extent, 1),
            width=None if part.width is None else part.width + 2 * job.shop.edge,
            clean_ends=2,
            value=_grid(Decimal(part.material.weight_kg(part.length, part.width))),
            heat=part.source,
        )
        for part in bound
        for copy in range(job.copies(part))
    )
    return replace(job, rack=(*rack, *wanting), offers=tuple(offers))


def _bars(parts: list[Part], job: Job) -> Iterator[Offer]:
    longest: dict[Material, int] = {}
    widths = [saw.kerf + job.shop.kerf_safety for saw in job.saws]
    together = {part.mark: lot for lot in lots_of(job, parts) for part, _ in lot.parts}
    for part in parts:
        lot = together.get(part.mark)
        length = part.extent if lot is None else lot.length(max(widths))
        room = _room(job, length, 1)
        longest[part.material] = max(room, longest.get(part.material, 0))
    for material, length in longest.items():
        yield _offer(f"{_NOWHERE} {material.designation} {len(material.grade)}", material, length, None)


def _plates(parts: list[Part], job: Job) -> Iterator[Offer]:
    for part in parts:
        if part.width is not None:
            more = 2 * job.shop.edge if "torch" in job.shop.processes else 0
            yield _offer(f"{_NOWHERE} {part.mark}", part.material, part.length + more, part.width + more)


def _offer(name: str, material: Material, length: int, width: int | None) -> Offer:
    return Offer(
        id=name,
        yard=_NOWHERE,
        material=material,
        length=length,
        longest=length,
        width=width,
        price=Decimal(1),
        per=Basis.KILOGRAM,
        clean_ends=2,
        cut_to_length=Decimal(0) if width is None else None,
    )


def _room(job: Job, extent: int, pieces: int) -> int:
    """A length that holds so much on every saw."""
    return extent + max(saw.grip + pieces * (saw.kerf + job.shop.kerf_safety) for saw in job.saws)


def _grid(value: Decimal) -> Decimal:
    return max(_GRID, value.quantize(_GRID))


def _without(made: Plan, job: Job, missing: Counter[str]) -> Job:
    """The job without the copies that cannot be made and without anything to buy."""
    fewer = tuple((mark, -count) for mark, count in missing.items() if count)
    work = standing(replace(made, job=replace(job, parts=job.needed), groups=()), (), Entry(need=fewer))
    left = parts_left(work, {}, job.rack)
    marks = {part.mark for part in left.parts}
    holes = tuple(hole for hole in job.holes if hole.mark in marks)
    return replace(job, parts=left.parts, assemblies=left.assemblies, offers=(), holes=holes)


def _group(job: Job, group: Group, made: Plan, wants: set[str]) -> GroupPlan:
    """One group of the parts that can be made, with their layouts; that it costs no less than nothing is its bound."""
    marks = {part.mark for part in group.parts}
    of_rack = [x for g in made.groups for x in g.layouts if x.source_kind == "rack" and x.source not in wants]
    sheets = [x for g in made.groups for x in g.sheets if x.source_kind == "rack" and x.source not in wants]
    priced = is_priced(group)
    layouts = credited(job, [x for x in of_rack if x.pieces[0].mark in marks], priced)
    laid = tuple(x for x in sheets if x.pieces[0].mark in marks)
    zero = Decimal(0)
    cost = group_cost(job, [*layouts, *laid], (), priced)
    return GroupPlan(
        name=group.name,
        marks=tuple(part.mark for part in group.parts),
        priced=priced,
        layouts=layouts,
        purchases=(),
        cost=cost,
        bound=Bound(
            value=zero,
            proof="duals",
            dual_value=zero,
            scale=1,
            part_prices=tuple((part.mark, 0) for part in group.parts),
            source_prices=(),
        ),
        stopped="proved" if cost <= 0 else "finished",
        sheets=laid,
        credit=credit_of(layouts),
    )
