"""Sound plans for the checker to pass and for the tests to break: a first-fit planner of the tests' own.

It knows the rules from their text, not from the checker or a solver, and claims only a simple bound: a part
costs at least its share of the stick by length.
"""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from decimal import ROUND_HALF_UP, Decimal
from fractions import Fraction
from math import ceil, floor
from typing import Any

from nesting.check import rounded_bound
from nesting.job import Job, Part, Saw
from nesting.plan import Bound, GroupPlan, Layout, Piece, Plan, Purchase, Settings
from stock.length import PER_INCH
from stock.material import Material, parse_material
from stock.money import from_cost, line_total, to_cost
from stock.offer import Basis, Offer, Yard
from stock.rack import RackPiece

INCH = PER_INCH
FOOT = 12 * PER_INCH
TUBE = parse_material("tube 2 x 2 x 1/8", unit="in")
OTHER_TUBE = parse_material("tube 3 x 3 x 1/4", unit="in")
SCALE = 10**6


def offer(number: int = 1, **given: Any) -> Offer:
    """An offer of 20 ft tube at 62.47 each, or as given."""
    values: dict[str, Any] = {
        "yard": "North",
        "material": TUBE,
        "length": 20 * FOOT,
        "price": Decimal("62.47"),
        "per": Basis.EACH,
    }
    values |= given
    return Offer(id=f"offer {number}", longest=values["length"], **values)


def part(mark: str, qty: int, length: int, material: Material = TUBE) -> Part:
    """A square-cut part."""
    return Part(mark=mark, qty=qty, material=material, length=length)


def bench_job(**given: Any) -> Job:
    """Legs and rails from 20 ft tube; kerf 1/8, trim 1/4."""
    values: dict[str, Any] = {
        "parts": (part("A", 4, 48 * INCH), part("B", 6, 24 * INCH)),
        "offers": (offer(),),
        "saws": (Saw(name="chop", kerf=INCH // 8, trim=INCH // 4),),
        "yards": (Yard(name="North"),),
    }
    return Job(name="bench", **(values | given))


def first_fit(job: Job) -> Plan:
    """A sound plan of a job with one group: rack pieces first, then the first offer, filled in job order."""
    saw = next(s for s in job.saws if s.max_size is None or s.max_size >= TUBE.largest_side)
    copies = {p.mark: job.copies(p) for p in job.parts}
    unplaced = [p for p in job.parts for _ in range(copies[p.mark])]
    layouts = []
    for piece in job.rack:
        lot = _fill(unplaced, piece, saw, piece.length)
        if lot:
            layouts.append(_lay(job, lot, piece, saw, piece.length))
    row = job.offers[0]
    while unplaced:
        lot = _fill(unplaced, row, saw, row.length)
        assert lot, f"{unplaced[0].mark} fits no stick"
        length = row.length if row.cut_to_length is None else _needed(lot, row, saw)
        layouts.append(_lay(job, lot, row, saw, length))
    bought = [x for x in layouts if x.source_kind == "offer"]
    spare = row.from_qty - len(bought)
    if bought and spare > 0:
        whole = _lay(job, [], row, saw, row.length)
        layouts.append(replace(whole, times=spare))
    return _bill(job, row, tuple(layouts))


def _ends(source: Offer | RackPiece, saw: Saw) -> tuple[int, int]:
    """Ticks off the first end, and ticks that sum(extent + kerf) must leave at the far end."""
    first, far = {0: (saw.trim, saw.trim), 1: (0, saw.trim), 2: (0, 0)}[source.clean_ends]
    return first, max(far - saw.kerf, saw.grip or far - saw.kerf)


def _fill(unplaced: list[Part], source: Offer | RackPiece, saw: Saw, length: int) -> list[Part]:
    """Take from the list what fits a stick."""
    head, tail = _ends(source, saw)
    lot: list[Part] = []
    left = length - head - tail
    for one in list(unplaced):
        if one.extent + saw.kerf <= left:
            left -= one.extent + saw.kerf
            lot.append(one)
            unplaced.remove(one)
    return lot


def _needed(lot: list[Part], source: Offer, saw: Saw) -> int:
    return sum(_ends(source, saw)) + sum(p.extent + saw.kerf for p in lot)


def _lay(job: Job, lot: list[Part], source: Offer | RackPiece, saw: Saw, length: int) -> Layout:
    head = at = _ends(source, saw)[0] if lot else 0
    pieces = []
    for one in lot:
        pieces.append(Piece(mark=one.mark, start=at, extent=one.extent))
        at += one.extent + saw.kerf
    rest = max(0, length - at)
    keep = not lot or (rest > 0 and rest >= job.shop.keep_length)
    return Layout(
        source_kind="offer" if isinstance(source, Offer) else "rack",
        source=source.id,
        length=length,
        saw=saw.name,
        times=1,
        head=head,
        pieces=tuple(pieces),
        rest=rest,
        keep=keep,
        credit=earned(job, source, rest, keep),
    )


def earned(job: Job, source: Offer | RackPiece, rest: int, keep: bool) -> Decimal:
    """What the rest of one stick earns: its share of the price or of the value, or its price as scrap."""
    if isinstance(source, Offer) and (source.price is None or source.cut_to_length is not None):
        return Decimal(0)
    if job.offers[0].price is None:
        return Decimal(0)
    whole = Fraction(source.unit_price() if isinstance(source, Offer) else source.value)
    weight = Fraction(
        Decimal(source.material.weight_kg(source.length)).quantize(Decimal("0.0001"), ROUND_HALF_UP)
    )
    scrap = min(whole, Fraction(job.shop.scrap_price or 0) * weight)
    share = Fraction(job.shop.offcut_share) if isinstance(source, Offer) else 1
    rate = max(scrap, share * whole) if keep else scrap
    return Decimal(floor(100 * rate * rest / source.length)) / 100


def _bill(job: Job, row: Offer, layouts: tuple[Layout, ...]) -> Plan:
    priced = row.price is not None
    counts: Counter[int] = Counter()
    for layout in layouts:
        if layout.source_kind == "offer":
            counts[layout.length] += layout.times
    purchases = tuple(_line(row, length, count) for length, count in counts.items())
    used = {x.source for x in layouts if x.source_kind == "rack"}
    credit = sum((line_total(x.times, x.credit) for x in layouts), Decimal(0))
    if priced:
        cost = sum((p.total or Decimal(0) for p in purchases), Decimal(0)) - credit
        cost += sum((r.value for r in job.rack if r.id in used), Decimal(0))
    else:
        cost = sum((p.count * row.unit_weight(_asked(row, p.length)) for p in purchases), Decimal(0))
    total = sum((p.total or Decimal(0) for p in purchases), Decimal(0))
    fees = _fees(job, row, total) if purchases and priced else ()
    group = GroupPlan(
        name="tube",
        marks=tuple(p.mark for p in job.parts),
        priced=priced,
        layouts=layouts,
        purchases=purchases,
        cost=cost,
        credit=credit,
        bound=share_bound(job, priced),
        stopped="time limit",
    )
    return Plan(
        job=job,
        settings=Settings(),
        groups=(group,),
        fees=fees,
        total=total + sum((money for *_, money in fees), Decimal(0)),
        weight_kg=sum(p.weight_kg for p in purchases),
        version="0",
    )


def _asked(row: Offer, length: int) -> int | None:
    return None if row.cut_to_length is None else length


def _line(row: Offer, length: int, count: int) -> Purchase:
    price = None if row.price is None else row.unit_price(_asked(row, length))
    return Purchase(
        offer=row.id,
        length=length,
        count=count,
        unit_price=price,
        total=None if price is None else line_total(count, price),
        weight_kg=count * row.material.weight_kg(length),
    )


def _fees(job: Job, row: Offer, steel: Decimal) -> tuple[tuple[str, str, Decimal], ...]:
    yard = next(y for y in job.yards if y.name == row.yard)
    fees = []
    if yard.delivery is not None:
        fees.append((yard.name, "delivery", yard.delivery))
    if yard.minimum_order > steel:
        fees.append((yard.name, "shortfall to the minimum order", yard.minimum_order - steel))
    return tuple(fees)


def share_bound(job: Job, priced: bool) -> Bound:
    """A bound from each part's share of the stick by length, at what it costs less what all of it would earn.

    None for material cut to length.
    """
    none = Bound(
        value=Decimal(0), proof="none", dual_value=Decimal(0), scale=SCALE, part_prices=(), source_prices=()
    )
    if any(o.cut_to_length is not None for o in job.offers):
        return none
    costs = {o.id: to_cost(o.unit_price() if priced else o.unit_weight()) for o in job.offers}
    low = {o.id: costs[o.id] - to_cost(earned(job, o, o.length, keep=True)) for o in job.offers}
    whole = [(low[o.id], o, s) for o in job.offers for s in job.saws]
    prices = {
        p.mark: min(SCALE * cost * (p.extent + s.kerf) // _room(o, s) for cost, o, s in whole)
        for p in job.parts
    }
    sources = {}
    rack = [r for r in job.rack if any(p.extent + s.kerf <= _room(r, s) for p in job.parts for s in job.saws)]
    for one in (*rack, *(o for o in job.offers if o.available is not None)):
        cost = low[one.id] if isinstance(one, Offer) else 0
        worth = max(
            ceil(max(Fraction(prices[p.mark], p.extent + s.kerf) for p in job.parts) * _room(one, s))
            for s in job.saws
        )
        sources[one.id] = max(0, worth - SCALE * cost)
    limits = {o.id: o.available or 0 for o in job.offers} | {r.id: 1 for r in job.rack}
    dual = sum(job.copies(p) * prices[p.mark] for p in job.parts) - sum(
        limits[n] * p for n, p in sources.items()
    )
    values = [to_cost(r.value) if priced else 0 for r in rack]
    earns = priced and any(earned(job, x, x.length, keep=True) for x in (*job.offers, *rack))
    cost = rounded_bound(dual, SCALE, [[c] for c in costs.values()], values, None, priced, earns=earns)
    return Bound(
        value=from_cost(cost),
        proof="duals",
        dual_value=from_cost(cost),
        scale=SCALE,
        part_prices=tuple(prices.items()),
        source_prices=tuple((n, p) for n, p in sources.items() if p),
    )


def _room(source: Offer | RackPiece, saw: Saw) -> int:
    return source.length - sum(_ends(source, saw))


def with_group(plan: Plan, **changes: Any) -> Plan:
    """The plan with its first group changed."""
    return replace(plan, groups=(replace(plan.groups[0], **changes), *plan.groups[1:]))


def with_layout(plan: Plan, at: int, **changes: Any) -> Plan:
    """The plan with one layout of its first group changed."""
    layouts = list(plan.groups[0].layouts)
    layouts[at] = replace(layouts[at], **changes)
    return with_group(plan, layouts=tuple(layouts))


def with_piece(plan: Plan, at: int, piece: int, **changes: Any) -> Plan:
    """The plan with one piece of one layout changed."""
    pieces = list(plan.groups[0].layouts[at].pieces)
    pieces[piece] = replace(pieces[piece], **changes)
    return with_layout(plan, at, pieces=tuple(pieces))


def with_purchase(plan: Plan, **changes: Any) -> Plan:
    """The plan with its first purchase changed."""
    first, *others = plan.groups[0].purchases
    return with_group(plan, purchases=(replace(first, **changes), *others))


def with_bound(plan: Plan, **changes: Any) -> Plan:
    """The plan with the bound of its first group changed."""
    return with_group(plan, bound=replace(plan.groups[0].bound, **changes))


def with_job(plan: Plan, **changes: Any) -> Plan:
    """The plan with its job changed, as if edited afterwards."""
    return replace(plan, job=replace(plan.job, **changes))
