"""Sound plans with sheets, by hand and of random jobs, are broken in one thing at a time: each is caught."""

from __future__ import annotations

import random
from collections.abc import Callable, Iterator
from dataclasses import replace
from decimal import Decimal
from functools import cache, partial
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from nesting import Settings, make_plan
from nesting.check import check_plan
from nesting.job import Job, Part, Saw, Shop
from nesting.plan import Plan, Rect, SheetLayout
from stock.rack import RackPiece
from tests.nesting.check.on_sheets import (
    FLAT,
    INCH,
    QUARTER,
    cut_with,
    group_with,
    line_changed,
    placed_with,
    sheet_job,
    sheet_offer,
    sheet_with,
    shifted,
)
from tests.nesting.made_sheets import plate_plan

SEEDS = range(14)
_FAST = Settings(time_s=None, work=20)


def random_job(seed: int) -> Job:
    """A few plate parts, perhaps a bar part; sheets with a quantity break, flat bars, rack; any process, any bed."""
    pick = random.Random(seed)
    parts = [
        Part(
            mark=f"P{n}",
            qty=pick.randint(1, 8),
            material=QUARTER,
            length=pick.randint(8, 80) * INCH // 4,
            width=pick.choice((2, 3, 4, 4, 6, 9)) * INCH,
            turn=pick.choice(("none", "half", "quarter", "quarter")),
            process=pick.choice((None, None, None, "torch", "saw")),
        )
        for n in range(pick.randint(1, 5))
    ]
    if pick.random() < 0.5:
        parts.append(Part(mark="BAR", qty=3, material=FLAT, length=20 * INCH))
    offers = [
        sheet_offer(
            48, pick.choice((24, 48)), price=Decimal(pick.randint(50, 150)), clean_ends=pick.choice((0, 2))
        ),
        sheet_offer(120, None, FLAT, 2, price=Decimal(pick.randint(20, 60)), clean_ends=pick.randint(0, 2)),
        sheet_offer(
            36, 24, QUARTER, 3, price=Decimal(pick.randint(30, 60)), available=pick.choice((None, 1, 2))
        ),
    ]
    if pick.random() < 0.5:
        offers.append(replace(offers[0], id="offer 4", from_qty=2, price=offers[0].price * Decimal("0.45")))  # type: ignore[operator]
    rack = (
        RackPiece(id="R1", material=QUARTER, length=30 * INCH, width=20 * INCH, value=Decimal(3)),
        RackPiece(id="R2", material=FLAT, length=40 * INCH, clean_ends=1),
    )
    shop = Shop(
        processes=pick.choice((("torch", "saw"), ("torch", "saw", "shear"), ("saw", "torch"))),
        bed=pick.choice((None, (24 * INCH, 24 * INCH))),
        edge=pick.choice((0, INCH // 4, INCH // 2)),
        clearance=pick.choice((0, INCH // 4, INCH)),
        shear_trim=pick.choice((0, INCH // 2)),
    )
    saw = Saw(name="band", kerf=INCH // 8, trim=INCH // 4, grip=pick.choice((0, 3 * INCH)))
    return sheet_job(tuple(parts), tuple(offers), rack=rack, saws=(saw,), shop=shop)


@cache
def planned(seed: int) -> Plan:
    """The plan of a random job; the one made by hand for -1."""
    return plate_plan() if seed < 0 else make_plan(random_job(seed), _FAST)


@pytest.mark.parametrize("seed", SEEDS)
def test_plans_of_random_jobs_are_sound(seed: int) -> None:
    """Bounds and all."""
    assert check_plan(planned(seed)) == ()


def test_the_random_plans_have_everything_to_break() -> None:
    """Torch, saw and shear, blanks, turned pieces, offcuts, rack sheets and ripped bars occur among them."""
    sheets = [s for seed in SEEDS for g in planned(seed).groups for s in g.sheets]
    assert {s.process for s in sheets} >= {"torch", "saw"}
    assert {s.source_kind for s in sheets} == {"offer", "rack"}
    assert any(s.blanks for s in sheets)
    assert any(p.turned for s in sheets for p in s.pieces)
    assert any(s.offcuts for s in sheets)
    assert any(s.cuts and not s.blanks for s in sheets)
    assert any(g.layouts and g.sheets for seed in SEEDS for g in planned(seed).groups)


Change = Callable[[], Plan]


def on_the_sheet(plan: Plan, group: int, at: int, by: int) -> Iterator[Change]:
    """One number or word of a sheet layout changed, as never is right."""
    sheet = plan.groups[group].sheets[at]

    def change(**changes: Any) -> Change:
        return partial(sheet_with, plan, group, at, **changes)

    yield change(length=sheet.length + by)
    yield change(width=sheet.width + by)
    yield change(times=sheet.times + abs(by))
    yield change(times=0)
    yield change(source="offer 99")
    yield change(source_kind="rack" if sheet.source_kind == "offer" else "offer")
    yield change(saw=sheet.saw + "?")
    yield change(process="shear" if sheet.process != "shear" else "torch", saw="")
    yield change(blanks=(*sheet.blanks, Rect(0, 0, sheet.length, sheet.width)))
    for side in range(4):
        yield change(trims=tuple(t + by * (n == side) for n, t in enumerate(sheet.trims)))
    for n, blank in enumerate(sheet.blanks):
        for name in ("x", "y", "length", "width"):
            yield change(blanks=(*sheet.blanks[:n], shifted(blank, **{name: by}), *sheet.blanks[n + 1 :]))
    yield change(pieces=sheet.pieces + sheet.pieces[:1])
    yield change(pieces=sheet.pieces[1:])
    yield change(offcuts=(*sheet.offcuts, Rect(0, 0, sheet.length, sheet.width)))
    yield partial(group_with, plan, group, sheets=(*plan.groups[group].sheets, sheet))
    yield partial(
        group_with, plan, group, sheets=plan.groups[group].sheets[:at] + plan.groups[group].sheets[at + 1 :]
    )


def on_a_piece(plan: Plan, group: int, at: int, piece: int, by: int) -> Iterator[Change]:
    """One thing of a piece on a sheet changed, as never is right."""
    sheet = plan.groups[group].sheets[at]
    placed = sheet.pieces[piece]

    def change(**changes: Any) -> Change:
        return partial(placed_with, plan, group, at, piece, **changes)

    yield change(length=placed.place.length + by)
    yield change(width=placed.place.width + by)
    yield change(x=placed.place.x + sheet.length)
    yield change(y=placed.place.y - sheet.width)
    yield change(mark="unheard of")
    if placed.place.length != placed.place.width:
        yield change(turned=not placed.turned)
        yield change(length=placed.place.width, width=placed.place.length)
    others = [m for m in plan.groups[group].marks if m != placed.mark]
    if others:
        yield change(mark=others[0])
    if sheet.process != "torch":
        yield change(x=placed.place.x + by)
        yield change(y=placed.place.y + by)
    elsewhere = next((p for n, p in enumerate(sheet.pieces) if n != piece), None)
    if elsewhere:
        yield change(x=elsewhere.place.x, y=elsewhere.place.y)


def on_cuts(plan: Plan, group: int, at: int, by: int) -> Iterator[Change]:
    """Cuts and offcuts changed where something is free by them."""
    sheet = plan.groups[group].sheets[at]
    asked = {p.place for p in sheet.pieces} | {*sheet.offcuts, *sheet.blanks}
    for n, cut in enumerate(sheet.cuts):
        yield partial(cut_with, plan, group, at, n, region=shifted(sheet.cuts[n].region, x=by))
        if any(_begins_at(cut.region, r) for r in asked):
            yield partial(cut_with, plan, group, at, n, stop=sheet.cuts[n].stop + by)
        yield partial(sheet_with, plan, group, at, cuts=(*sheet.cuts[: n + 1], *sheet.cuts[n:]))
    for n, offcut in enumerate(sheet.offcuts):
        wrong = [Rect(offcut.x + sheet.length, offcut.y, offcut.length, offcut.width)]
        if sheet.process != "torch":
            wrong += [shifted(offcut, **{name: by}) for name in ("x", "y", "length", "width")]
        for rect in wrong:
            kept = (*sheet.offcuts[:n], rect, *sheet.offcuts[n + 1 :])
            yield partial(sheet_with, plan, group, at, offcuts=kept)
        yield partial(sheet_with, plan, group, at, offcuts=sheet.offcuts + sheet.offcuts[n : n + 1])
        if sheet.pieces:
            across = sheet.pieces[0].place
            yield partial(sheet_with, plan, group, at, offcuts=(*sheet.offcuts, across))


def _begins_at(region: Rect, rect: Rect) -> bool:
    """Whether the nearer part of a region that is cut is of use: something lies in its corner."""
    return (rect.x, rect.y) == (region.x, region.y)


def on_money(plan: Plan, group: int, by: int) -> Iterator[Change]:
    """Lines and sums changed."""
    one = plan.groups[group]
    cents = Decimal(by) / 10_000
    yield partial(group_with, plan, group, cost=one.cost + cents)
    yield partial(replace, plan, total=plan.total + cents)
    yield partial(replace, plan, weight_kg=plan.weight_kg + 1)
    yield partial(group_with, plan, group, marks=one.marks[1:])
    if one.purchases:
        yield partial(group_with, plan, group, purchases=one.purchases + one.purchases[:1])
    yield partial(
        group_with, plan, group, bound=replace(one.bound, value=one.cost + 1, dual_value=one.cost + 1)
    )
    yield partial(replace, plan, groups=plan.groups + plan.groups[:1])
    for n, line in enumerate(one.purchases):
        for changes in (
            {"count": line.count + by},
            {"length": line.length + by},
            {"width": None if line.width else INCH},
            {"weight_kg": line.weight_kg + line.count},
            {"total": (line.total or 0) + cents},
            {"unit_price": (line.unit_price or 0) + cents},
            {"offer": "offer 99"},
        ):
            yield partial(line_changed, plan, group, n, **changes)


def on_the_job(plan: Plan, sheet: SheetLayout) -> Iterator[Change]:
    """The question changed so that the answer is wrong."""
    job = plan.job
    marks = {p.mark for p in sheet.pieces}
    own = [p for p in job.parts if p.mark in marks]

    def asked(**changes: Any) -> Change:
        return partial(replace, plan, job=replace(job, **changes))

    def of_part(one: Part, **changes: Any) -> Change:
        return asked(parts=tuple(replace(p, **changes) if p is one else p for p in job.parts))

    yield asked(shop=replace(job.shop, processes=tuple(p for p in job.shop.processes if p != sheet.process)))
    for one in own:
        yield of_part(one, qty=one.qty + 1)
        if one.is_plate:
            yield of_part(one, length=one.length + 1, extent=one.length + 1)
            yield of_part(one, process=next(p for p in ("torch", "shear") if p != sheet.process))
    if sheet.source_kind == "offer":
        yield asked(offers=tuple(replace(o, available=0) if o.id == sheet.source else o for o in job.offers))
        yield asked(
            offers=tuple(replace(o, price=Decimal(1)) if o.id == sheet.source else o for o in job.offers)
        )
        yield asked(offers=tuple(o for o in job.offers if o.id != sheet.source))
    else:
        yield asked(rack=tuple(r for r in job.rack if r.id != sheet.source))
    if sheet.process == "torch":
        most = max(job.shop.gap_between, sheet.length)
        yield asked(shop=replace(job.shop, edge=sheet.width))
        yield asked(shop=replace(job.shop, bed=(INCH, INCH)))
        if len(sheet.pieces) > 1 and not sheet.blanks:
            yield asked(shop=replace(job.shop, clearance=most))
    if sheet.process == "saw":
        saw = job.saws[0]
        yield asked(saws=(replace(saw, max_size=INCH // 8),))
        if sheet.cuts and len(sheet.pieces) > 1:
            yield asked(saws=(replace(saw, kerf=saw.kerf + 1, trim=saw.trim + 1),))


@given(st.data())
@settings(max_examples=400, deadline=None)
def test_one_thing_changed_anywhere_is_caught(data: st.DataObject) -> None:
    """A piece, a cut, a blank, a trim, an offcut, a count, an amount or a rule changed makes a breach."""
    plan = planned(data.draw(st.sampled_from((-1, *SEEDS))))
    group = data.draw(st.sampled_from([n for n, g in enumerate(plan.groups) if g.sheets] or [0]))
    by = data.draw(st.sampled_from((-INCH, -1, 1, INCH)))
    changes = list(on_money(plan, group, by))
    if plan.groups[group].sheets:
        at = data.draw(st.integers(0, len(plan.groups[group].sheets) - 1))
        sheet = plan.groups[group].sheets[at]
        if sheet.pieces:
            piece = data.draw(st.integers(0, len(sheet.pieces) - 1))
            kinds = (
                changes,
                list(on_the_sheet(plan, group, at, by)),
                list(on_a_piece(plan, group, at, piece, by)),
                list(on_cuts(plan, group, at, by)),
                list(on_the_job(plan, sheet)),
            )
            changes = data.draw(st.sampled_from([k for k in kinds if k]))
    number = data.draw(st.integers(0, len(changes) - 1))
    assert check_plan(changes[number]()) != ()
