"""Plans with one sheet, made by hand, and ways to change one thing of a plan with sheets."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from decimal import Decimal
from typing import Any

from nesting.check import check_plan
from nesting.job import Job, Part, Saw, Shop
from nesting.plan import Bound, GroupPlan, Placed, Plan, Purchase, Rect, Settings, SheetLayout
from stock.length import PER_INCH
from stock.material import Material, parse_material
from stock.money import line_total
from stock.offer import Basis, Offer, Yard
from stock.rack import RackPiece

INCH = PER_INCH
QUARTER = parse_material("plate 1/4", unit="in")
FLAT = parse_material("flat 1/4 x 4", unit="in")
BAND = Saw(name="band", kerf=INCH // 8, trim=INCH // 4)
NO_BOUND = Bound(
    value=Decimal(0), proof="none", dual_value=Decimal(0), scale=1, part_prices=(), source_prices=()
)


def sheet_offer(
    length: int, width: int | None, material: Material = QUARTER, number: int = 1, **given: Any
) -> Offer:
    """A sheet, or a bar without a width, in inches, at 50 each or as given."""
    values: dict[str, Any] = {"price": Decimal(50), "per": Basis.EACH, "clean_ends": 2} | given
    return Offer(
        id=f"offer {number}",
        yard="North",
        material=material,
        length=length * INCH,
        longest=length * INCH,
        width=None if width is None else width * INCH,
        **values,
    )


def sheet_job(parts: tuple[Part, ...], offers: tuple[Offer, ...], **given: Any) -> Job:
    """A job of one yard."""
    values: dict[str, Any] = {"saws": (BAND,), "shop": Shop(processes=("torch", "saw", "shear"))} | given
    return Job(name="plates", parts=parts, offers=offers, yards=(Yard(name="North"),), **values)


def parts_of(pieces: tuple[Placed, ...], material: Material = QUARTER, **given: Any) -> tuple[Part, ...]:
    """A plate part for each mark, as large as its first piece lies."""
    sizes: dict[str, tuple[int, int]] = {}
    for p in pieces:
        side = (p.place.length, p.place.width)
        sizes.setdefault(p.mark, side[::-1] if p.turned else side)
    made = Counter(p.mark for p in pieces)
    return tuple(
        Part(mark=m, qty=made[m], material=material, length=size[0], width=size[1], **given)
        for m, size in sizes.items()
    )


def on(source: Offer | RackPiece, pieces: tuple[Placed, ...], process: str, **given: Any) -> SheetLayout:
    """A layout of a source."""
    values: dict[str, Any] = {"saw": BAND.name if process == "saw" else "", "times": 1} | given
    return SheetLayout(
        source_kind="offer" if isinstance(source, Offer) else "rack",
        source=source.id,
        length=source.length,
        width=source.width or source.material.largest_side,
        process=process,  # type: ignore[arg-type]
        pieces=pieces,
        **values,
    )


def plan_of(job: Job, sheets: tuple[SheetLayout, ...], bound: Bound = NO_BOUND) -> Plan:
    """The plan with these sheets, everything bought for them, and no bound."""
    bought: Counter[str] = Counter()
    for s in sheets:
        if s.source_kind == "offer":
            bought[s.source] += s.times
    lines = tuple(_line(o, bought[o.id]) for o in job.offers if bought[o.id])
    total = sum((line.total or Decimal(0) for line in lines), Decimal(0))
    racked = {s.source for s in sheets if s.source_kind == "rack"}
    group = GroupPlan(
        name="plate",
        marks=tuple(p.mark for p in job.parts),
        priced=True,
        layouts=(),
        purchases=lines,
        cost=total + sum((r.value for r in job.rack if r.id in racked), Decimal(0)),
        bound=bound,
        stopped="time limit",
        sheets=sheets,
    )
    weight = sum(line.weight_kg for line in lines)
    return Plan(
        job=job, settings=Settings(), groups=(group,), fees=(), total=total, weight_kg=weight, version="0"
    )


def _line(offer: Offer, count: int) -> Purchase:
    return Purchase(
        offer=offer.id,
        length=offer.length,
        width=offer.width,
        count=count,
        unit_price=offer.unit_price(),
        total=line_total(count, offer.unit_price()),
        weight_kg=count * offer.material.weight_kg(offer.length, offer.width),
    )


def group_with(plan: Plan, at: int, **changes: Any) -> Plan:
    """The plan with one group changed."""
    groups = list(plan.groups)
    groups[at] = replace(groups[at], **changes)
    return replace(plan, groups=tuple(groups))


def sheet_with(plan: Plan, group: int, at: int, **changes: Any) -> Plan:
    """The plan with one sheet layout changed."""
    sheets = list(plan.groups[group].sheets)
    sheets[at] = replace(sheets[at], **changes)
    return group_with(plan, group, sheets=tuple(sheets))


def placed_with(plan: Plan, group: int, at: int, piece: int, **changes: Any) -> Plan:
    """The plan with one piece on a sheet changed; x, y, length and width are of its place."""
    pieces = list(plan.groups[group].sheets[at].pieces)
    sides = {k: changes.pop(k) for k in ("x", "y", "length", "width") if k in changes}
    one = pieces[piece]
    pieces[piece] = replace(one, place=replace(one.place, **sides), **changes)
    return sheet_with(plan, group, at, pieces=tuple(pieces))


def cut_with(plan: Plan, group: int, at: int, cut: int, **changes: Any) -> Plan:
    """The plan with one cut of a sheet changed."""
    cuts = list(plan.groups[group].sheets[at].cuts)
    cuts[cut] = replace(cuts[cut], **changes)
    return sheet_with(plan, group, at, cuts=tuple(cuts))


def shifted(rect: Rect, **by: int) -> Rect:
    """A rectangle with some of its numbers raised."""
    return replace(rect, **{name: getattr(rect, name) + more for name, more in by.items()})


def whole_job(plan: Plan, **changes: Any) -> Plan:
    """The plan with its job changed."""
    return replace(plan, job=replace(plan.job, **changes))


def part_changed(plan: Plan, mark: str, **changes: Any) -> Plan:
    """The plan with one part of its job changed."""
    parts = (replace(p, **changes) if p.mark == mark else p for p in plan.job.parts)
    return whole_job(plan, parts=tuple(parts))


def offer_changed(plan: Plan, number: int, **changes: Any) -> Plan:
    """The plan with one offer of its job changed."""
    offers = (replace(o, **changes) if o.id == f"offer {number}" else o for o in plan.job.offers)
    return whole_job(plan, offers=tuple(offers))


def shop_changed(plan: Plan, **changes: Any) -> Plan:
    """The plan with the shop of its job changed."""
    return whole_job(plan, shop=replace(plan.job.shop, **changes))


def saw_changed(plan: Plan, **changes: Any) -> Plan:
    """The plan with the saw of its job changed."""
    return whole_job(plan, saws=(replace(plan.job.saws[0], **changes),))


def bar_piece(plan: Plan, at: int, **changes: Any) -> Plan:
    """The plan with one piece of the bar of its first group changed."""
    bar = plan.groups[0].layouts[0]
    pieces = list(bar.pieces)
    pieces[at] = replace(pieces[at], **changes)
    return group_with(plan, 0, layouts=(replace(bar, pieces=tuple(pieces)),))


def line_changed(plan: Plan, group: int, line: int, **changes: Any) -> Plan:
    """The plan with one purchase changed."""
    lines = list(plan.groups[group].purchases)
    lines[line] = replace(lines[line], **changes)
    return group_with(plan, group, purchases=tuple(lines))


def plain(plan: Plan) -> tuple[str, ...]:
    """Breaches without inch marks."""
    return tuple(b.replace('"', "") for b in check_plan(plan))


def with_bound_of(plan: Plan, bound: Bound) -> Plan:
    """The plan with the bound of its first group replaced."""
    return group_with(plan, 0, bound=bound)
