"""The checker passes sound plans and says every way in which a broken one is broken."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from decimal import Decimal
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from nesting.check import check_plan, check_report
from nesting.job import Allow, Assembly, Job, Part, Saw, Shop
from nesting.plan import Plan
from stock.length import PER_INCH, PER_MM
from stock.material import parse_material
from stock.offer import Basis, Yard
from stock.rack import RackPiece
from tests.nesting.check.laid_out import (
    FOOT,
    INCH,
    OTHER_TUBE,
    TUBE,
    bench_job,
    first_fit,
    offer,
    part,
    with_group,
    with_job,
    with_layout,
    with_piece,
    with_purchase,
)

GRIPPING = Saw(name="band", kerf=PER_INCH // 16, trim=PER_INCH // 4, grip=4 * INCH)


def bench() -> Plan:
    """Two sticks of offer 1: A A A A B, and B B B B B."""
    return first_fit(bench_job())


def racked() -> Plan:
    """One rack piece that takes A, the rest from offer 1."""
    piece = RackPiece(id="R1", material=TUBE, length=50 * INCH, clean_ends=1, value=Decimal("5.25"))
    return first_fit(bench_job(rack=(piece,)))


def broken_price() -> Plan:
    """A quantity break at three: one of the three sticks stays whole."""
    row = offer(2, price=Decimal("40.1234"), from_qty=3, available=4)
    return first_fit(bench_job(offers=(row, offer(1))))


def cut_to_length() -> Plan:
    """Two sticks that the yard cuts to what they need."""
    return first_fit(
        bench_job(offers=(offer(per=Basis.FOOT, price=Decimal("3.1"), cut_to_length=Decimal("2.50")),))
    )


def unpriced() -> Plan:
    """Kilograms instead of money, a saw with a grip, and one piece of the rack."""
    piece = RackPiece(id="R1", material=TUBE, length=60 * INCH, clean_ends=2, value=Decimal(7))
    return first_fit(bench_job(offers=(offer(price=None, per=None),), saws=(GRIPPING,), rack=(piece,)))


def delivered() -> Plan:
    """A delivery fee, and 75.06 missing to the minimum order of 200."""
    return first_fit(bench_job(yards=(Yard(name="North", delivery=Decimal(30), minimum_order=Decimal(200)),)))


SOUND = (bench, racked, broken_price, cut_to_length, unpriced, delivered)


@pytest.mark.parametrize("make", SOUND)
def test_a_sound_plan_has_no_breach(make: Callable[[], Plan]) -> None:
    """Plans made by the rules pass."""
    assert check_plan(make()) == ()


def test_the_bench_is_as_reckoned_by_hand() -> None:
    """Most tests break this: 2 x 62.47 = 124.94; rests 240 - 1/4 - 216 5/8 and 240 - 1/4 - 120 5/8."""
    group = bench().groups[0]
    assert [len(x.pieces) for x in group.layouts] == [5, 5]
    assert group.cost == Decimal("124.94")
    assert [x.rest for x in group.layouts] == [23 * INCH + INCH // 8, 119 * INCH + INCH // 8]


def pieces_moved(plan: Plan, at: int, by: int) -> Plan:
    """All pieces of a layout shifted, and the rest with them."""
    layout = plan.groups[0].layouts[at]
    moved = tuple(replace(p, start=p.start + by) for p in layout.pieces)
    return with_layout(plan, at, pieces=moved, head=layout.head + by, rest=layout.rest - by)


def closed_up(plan: Plan) -> Plan:
    """The second piece laid against the first, its kerf forgotten."""
    first, second, *others = plan.groups[0].layouts[0].pieces
    return with_layout(plan, 0, pieces=(first, replace(second, start=first.start + first.extent), *others))


def without_a_piece(plan: Plan) -> Plan:
    """The last piece of the first stick left out, its rest set right."""
    layout = plan.groups[0].layouts[0]
    last = layout.pieces[-1]
    rest = layout.rest + last.extent + INCH // 8
    return with_layout(plan, 0, pieces=layout.pieces[:-1], rest=rest, keep=rest >= 12 * INCH)


def with_one_more(plan: Plan) -> Plan:
    """A piece more on the second stick, everything about it right."""
    layout = plan.groups[0].layouts[1]
    last = layout.pieces[-1]
    more = replace(last, start=last.start + last.extent + INCH // 8)
    return with_layout(plan, 1, pieces=(*layout.pieces, more), rest=layout.rest - last.extent - INCH // 8)


def overfull(plan: Plan) -> Plan:
    """A fifth A on the first stick, for which there is no room."""
    layout = plan.groups[0].layouts[0]
    last = layout.pieces[-1]
    more = replace(layout.pieces[0], start=last.start + last.extent + INCH // 8)
    return with_layout(plan, 0, pieces=(*layout.pieces, more), rest=0, keep=False)


def rack_twice(plan: Plan) -> Plan:
    """The layout of the rack piece stands twice."""
    return with_group(plan, layouts=(*plan.groups[0].layouts, plan.groups[0].layouts[0]))


BENCH = "group tube, layout 1 (offer 1): "
BREAKS: tuple[tuple[Callable[[], Plan], Callable[[Plan], Plan], str], ...] = (
    (bench, without_a_piece, "part B is made 5 times, due is 6"),
    (bench, with_one_more, "part B is made 7 times, due is 6"),
    (bench, overfull, "the pieces with their kerfs end at 265, due is 239 7/8 at most"),
    (bench, closed_up, BENCH + "start of piece 2, part A, is 48 1/4"),
    (bench, lambda p: with_piece(p, 0, 2, start=100 * INCH), BENCH + "start of piece 3, part A, is 100"),
    (bench, lambda p: with_piece(p, 0, 2, start=p.groups[0].layouts[0].pieces[2].start + 1), "ticks)"),
    (bench, lambda p: with_piece(p, 0, 0, extent=47 * INCH), "extent of piece 1, part A, is 47"),
    (bench, lambda p: pieces_moved(p, 0, -INCH // 4), BENCH + "head is 0"),
    (bench, lambda p: with_layout(p, 0, head=0), BENCH + "head is 0"),
    (bench, lambda p: with_layout(p, 0, rest=0), BENCH + "rest is 0"),
    (bench, lambda p: with_layout(p, 0, keep=False), "the rest is called scrap, due is an offcut to keep"),
    (
        bench,
        lambda p: with_job(p, shop=Shop(keep_length=30 * INCH)),
        "called an offcut to keep, due is scrap",
    ),
    (bench, lambda p: with_layout(p, 0, times=0), "times is 0, due is 1 or more"),
    (bench, lambda p: with_layout(p, 0, times=-3), "times is -3, due is 1 or more"),
    (bench, lambda p: with_layout(p, 0, times=2), "part A is made 8 times, due is 4"),
    (bench, lambda p: with_layout(p, 0, length=21 * FOOT), BENCH + "length of the stick is 252"),
    (bench, lambda p: with_layout(p, 0, source="offer 9"), "no offer of the job is called offer 9"),
    (bench, lambda p: with_layout(p, 0, source_kind="rack"), "no rack of the job is called offer 1"),
    (bench, lambda p: with_layout(p, 0, saw="torch"), "no saw of the job is called torch"),
    (bench, lambda p: with_piece(p, 0, 1, mark="Z"), "no part of the job has the mark Z"),
    (bench, lambda p: with_group(p, marks=("A",)), "part B stands in the groups 0 times, due is once"),
    (bench, lambda p: with_group(p, marks=("A",)), "part B is not of this group"),
    (bench, lambda p: with_group(p, marks=("A", "B", "A")), "part A stands in the groups 2 times"),
    (bench, lambda p: with_group(p, marks=("A", "B", "Z")), "no part of the job has the mark Z"),
    (bench, lambda p: replace(p, groups=()), "part A is made 0 times, due is 4"),
    (bench, lambda p: replace(p, groups=p.groups * 2), "part A stands in the groups 2 times"),
    (
        bench,
        lambda p: with_job(p, saws=(Saw(name="chop", kerf=INCH // 4, trim=INCH // 4),)),
        "start of piece 2",
    ),
    (bench, lambda p: with_job(p, saws=(Saw(name="chop", kerf=INCH // 8, trim=INCH),)), "head is 1/4"),
    (
        bench,
        lambda p: with_job(p, saws=(replace(p.job.saws[0], grip=24 * INCH),)),
        "end at 216 7/8, due is 216 at",
    ),
    (
        bench,
        lambda p: with_job(p, saws=(replace(p.job.saws[0], max_size=INCH),)),
        "saw chop takes sections up to 1",
    ),
    (bench, lambda p: with_job(p, saws=()), "no saw of the job is called chop"),
    (
        bench,
        lambda p: with_job(p, offers=(offer(material=OTHER_TUBE),)),
        "part A of tube 2 x 2 x 1/8 may not be cut",
    ),
    (bench, lambda p: with_job(p, offers=(offer(available=1),)), "offer 1: 2 are bought, 1 are available"),
    (
        bench,
        lambda p: with_job(p, offers=(offer(price=Decimal(60)),)),
        "unit price is 62.4700, due is 60.0000",
    ),
    (
        bench,
        lambda p: with_job(p, offers=(offer(from_qty=3),)),
        "offer 1: 2 are bought, its price holds from 3",
    ),
    (
        bench,
        lambda p: with_job(p, parts=(*p.job.parts, part("C", 1, FOOT))),
        "part C is made 0 times, due is 1",
    ),
    (bench, lambda p: with_job(p, parts=p.job.parts[:1]), "no part of the job has the mark B"),
    (bench, lambda p: with_purchase(p, count=3), "3 are bought, due is 2 by the layouts"),
    (bench, lambda p: with_purchase(p, count=-2), "count is -2, due is 1 or more"),
    (bench, lambda p: with_purchase(p, length=FOOT), "0 are bought, due is 2 by the layouts"),
    (bench, lambda p: with_purchase(p, offer="offer 7"), "no offer of the job is called offer 7"),
    (bench, lambda p: with_purchase(p, unit_price=Decimal("62.46")), "unit price is 62.46, due is 62.4700"),
    (bench, lambda p: with_purchase(p, unit_price=None), "unit price is None, due is 62.4700"),
    (
        bench,
        lambda p: with_purchase(p, total=Decimal("124.93")),
        "total of the line is 124.93, due is 124.9400",
    ),
    (bench, lambda p: with_purchase(p, weight_kg=50.0), "offer 1: weight is 50.0 kg, due is"),
    (bench, lambda p: with_group(p, purchases=()), "0 are bought, due is 2 by the layouts"),
    (bench, lambda p: with_group(p, purchases=p.groups[0].purchases * 2), "two purchases of the same length"),
    (bench, lambda p: with_group(p, cost=Decimal("124.95")), "cost is 124.95, due is 124.9400"),
    (bench, lambda p: with_group(p, priced=False), "priced is False, due is True"),
    (bench, lambda p: replace(p, total=Decimal("124.93")), "total is 124.93, due is 124.9400"),
    (bench, lambda p: replace(p, weight_kg=p.weight_kg + 1), "kg, due is"),
    (
        bench,
        lambda p: replace(p, fees=(("North", "delivery", Decimal(9)),)),
        "North: delivery is 9.0000, due is 0.0000",
    ),
    (
        bench,
        lambda p: replace(p, fees=(("North", "gift", Decimal(9)),)),
        "North: gift is 9.0000, due is 0.0000",
    ),
    (delivered, lambda p: replace(p, fees=p.fees[1:]), "North: delivery is 0.0000, due is 30.0000"),
    (delivered, lambda p: replace(p, fees=p.fees[:1]), "North: shortfall is 0.0000, due is 75.0600"),
    (delivered, lambda p: with_job(p, yards=(Yard(name="North"),)), "delivery is 30.0000, due is 0.0000"),
    (racked, rack_twice, "rack R1 is used in 2 layouts, there is one"),
    (racked, lambda p: with_layout(p, 0, times=2), "times is 2, due is 1 for a piece of the rack"),
    (racked, lambda p: with_layout(p, 0, head=INCH // 4), "head is 1/4, due is 0"),
    (
        racked,
        lambda p: with_layout(p, 0, pieces=()),
        "nothing is cut from it, and no quantity break asks for it",
    ),
    (racked, lambda p: with_job(p, rack=()), "no rack of the job is called R1"),
    (
        racked,
        lambda p: with_job(p, rack=(replace(p.job.rack[0], value=Decimal(6)),)),
        "cost is 130.19, due is 130.9400",
    ),
    (racked, lambda p: with_job(p, rack=(replace(p.job.rack[0], length=49 * INCH),)), "stick is 50"),
    (racked, lambda p: with_job(p, rack=(replace(p.job.rack[0], clean_ends=0),)), "head is 0, due is 1/4"),
    (
        racked,
        lambda p: with_job(p, rack=(replace(p.job.rack[0], material=OTHER_TUBE),)),
        "may not be cut from",
    ),
    (broken_price, lambda p: with_layout(p, 2, keep=False), "called scrap, due is an offcut to keep"),
    (broken_price, lambda p: with_layout(p, 2, rest=0), "rest of an uncut stick is 0, due is 240"),
    (broken_price, lambda p: with_layout(p, 2, head=INCH), "head of an uncut stick is 1, due is 0"),
    (broken_price, lambda p: with_layout(p, 2, times=2), "3 are bought, due is 4 by the layouts"),
    (broken_price, lambda p: with_layout(p, 2, times=3), "offer 2: 5 are bought, 4 are available"),
    (broken_price, lambda p: with_layout(p, 2, source="offer 1"), "one size and are bought at 2 prices"),
    (cut_to_length, lambda p: with_layout(p, 0, length=21 * FOOT), "the yard cuts to 240 at most"),
    (cut_to_length, lambda p: with_layout(p, 0, length=-FOOT), "length is -12, the yard cuts to 240 at most"),
    (cut_to_length, lambda p: with_layout(p, 0, length=10 * FOOT), "end at 216 7/8, due is 119 7/8 at most"),
    (cut_to_length, lambda p: with_purchase(p, length=20 * FOOT), "0 are bought, due is 1 by the layouts"),
    (unpriced, lambda p: with_group(p, cost=p.groups[0].cost + Decimal("0.0001")), "cost is"),
    (unpriced, lambda p: with_purchase(p, total=Decimal(3)), "total of the line is 3, due is none"),
    (unpriced, lambda p: with_group(p, priced=True), "offer 1 has no price, and the group counts money"),
    (
        unpriced,
        lambda p: with_job(p, saws=(replace(GRIPPING, grip=200 * INCH),)),
        "(kerf, trim and grip counted)",
    ),
)


@pytest.mark.parametrize(
    ("make", "damage", "sentence"), BREAKS, ids=[f"{i} {b[2]}" for i, b in enumerate(BREAKS)]
)
def test_every_breach_is_said(
    make: Callable[[], Plan], damage: Callable[[Plan], Plan], sentence: str
) -> None:
    """A sound plan broken in one way has a breach that names the place, what was found and what is due."""
    breaches = check_plan(damage(make()))
    assert any(sentence in b.replace('"', "") for b in breaches), breaches


NAN = Decimal("NaN")
NONSENSE: tuple[tuple[Callable[[Plan], Plan], str], ...] = (
    (lambda p: with_group(p, cost=NAN), "plan.groups[1].cost is NaN, but must be a finite number"),
    (lambda p: with_purchase(p, unit_price=Decimal("Infinity")), "unit_price is Infinity"),
    (lambda p: with_purchase(p, weight_kg=float("nan")), "weight_kg is nan"),
    (lambda p: with_purchase(p, count=1.5), "count is 1.5, but must be of kind int"),
    (lambda p: with_purchase(p, count=True), "count is True, but must be of kind int"),
    (lambda p: with_purchase(p, total=Decimal("1e999999")), "total is 1E+999999, but must be below"),
    (lambda p: with_layout(p, 0, source_kind="air"), "source_kind is 'air', but must be one of offer, rack"),
    (lambda p: with_layout(p, 0, pieces=None), "pieces is None, but must be of kind tuple"),
    (lambda p: with_layout(p, 0, rest="12"), "rest is '12', but must be of kind int"),
    (lambda p: with_layout(p, 0, times=10**30), "times is 1000000000000000000000000000000, but must be"),
    (lambda p: replace(p, fees=(("North", "delivery"),)), "fees[1] holds 2 values, but must hold 3"),
    (lambda p: replace(p, groups=(None,)), "groups[1] is None, but must be of kind GroupPlan"),
    (lambda p: with_job(p, offers=(offer(price=NAN),)), "price is NaN"),
    (
        lambda p: with_job(p, offers=(offer(price=Decimal(-1)),)),
        "offer 1: price is -1, but must be 0 or more",
    ),
    (
        lambda p: with_job(
            p, rack=(RackPiece(id="R", material=TUBE, length=FOOT, value=Decimal("0.00001")),)
        ),
        "rack R: value is 0.00001, but must be a multiple of 0.0001",
    ),
)


@pytest.mark.parametrize(("damage", "sentence"), NONSENSE, ids=[n[1] for n in NONSENSE])
def test_values_that_are_no_values_are_breaches(damage: Callable[[Plan], Plan], sentence: str) -> None:
    """NaN, wrong kinds and impossible numbers are said, and the rest of the check is left."""
    report = check_report(damage(bench()))
    assert any(sentence in b for b in report.breaches), report.breaches
    assert not report.sound
    assert report.groups == ()


def test_a_job_changed_behind_its_back_is_a_breach() -> None:
    """Two parts of one mark, which no job can be made with, are said."""
    plan = bench()
    object.__setattr__(plan.job, "parts", plan.job.parts[:1] * 2)
    assert check_plan(plan) == ("job, mark A stands twice in the job",)
    plan = bench()
    object.__setattr__(plan.job.offers[0], "length", -5)
    assert check_plan(plan) == ("job, offer 1: length must be above zero and at most the longest length",)


def test_an_allow_row_lets_near_stock_serve() -> None:
    """Parts of one section may be cut from another that the user has allowed, and only then."""
    near = parse_material("tube 2 x 2 x 0.120", unit="in")
    plan = bench()
    swapped = with_job(plan, offers=(offer(material=near),))
    allowed = with_job(swapped, allow=(Allow(part=TUBE, offer=near),))
    weight = 2 * near.weight_kg(20 * FOOT)
    swapped, allowed = (
        replace(with_purchase(p, weight_kg=weight), weight_kg=weight) for p in (swapped, allowed)
    )
    assert any("may not be cut from" in b for b in check_plan(swapped))
    assert check_plan(allowed) == ()


def test_a_grade_asked_for_is_kept_to() -> None:
    """A part that asks for a grade is not cut from an offer that names none; the other way round it is."""
    graded = parse_material("tube 2 x 2 x 1/8", unit="in", grade="A500")
    asked = with_job(bench(), parts=(part("A", 4, 48 * INCH, graded), part("B", 6, 24 * INCH)))
    assert any("part A of" in b and "may not be cut from" in b for b in check_plan(asked))
    assert check_plan(with_job(bench(), offers=(offer(material=graded),))) == ()


def test_a_mitre_beyond_the_saw_is_a_breach() -> None:
    """A saw that turns to 45 degrees cannot cut a mitre of 60."""
    steep = Part(mark="A", qty=4, material=TUBE, length=48 * INCH, extent=48 * INCH, end_a=Decimal(60))
    plan = with_job(bench(), parts=(steep, bench().job.parts[1]))
    assert not any("degrees of saw" in b for b in check_plan(plan))
    small = with_job(plan, saws=(replace(plan.job.saws[0], max_angle=Decimal(45)),))
    assert any("part A has a mitre above the 45 degrees of saw chop" in b for b in check_plan(small))


def test_copies_follow_the_assemblies() -> None:
    """Two assemblies of three are six copies; one assembly more, and copies are missing."""
    parts = (part("A", 4, 48 * INCH), replace(part("B", 3, 24 * INCH), assembly="frame"))
    plan = first_fit(bench_job(parts=parts, assemblies=(Assembly(name="frame", qty=2),)))
    assert check_plan(plan) == ()
    more = with_job(plan, assemblies=(Assembly(name="frame", qty=3),))
    assert any("part B is made 6 times, due is 9" in b for b in check_plan(more))


def test_a_line_is_rounded_half_up_to_the_cent() -> None:
    """3 x 20.0350 = 60.105 is 60.11, not 60.10."""
    row = offer(price=Decimal("20.035"), from_qty=3)
    plan = first_fit(bench_job(offers=(row,)))
    assert plan.groups[0].purchases[0].total == Decimal("60.11")
    assert check_plan(plan) == ()
    assert any(
        "total of the line is 60.10" in b for b in check_plan(with_purchase(plan, total=Decimal("60.10")))
    )


@st.composite
def jobs(draw: st.DrawFn) -> Job:
    """Jobs of one section that a first fit can plan."""
    unit = draw(st.sampled_from((INCH // 16, PER_MM, 8128)))
    longest = 40 * INCH // unit
    lengths = draw(st.lists(st.integers(1, longest), min_size=1, max_size=4))
    parts = tuple(part(f"P{i}", draw(st.integers(1, 6)), n * unit) for i, n in enumerate(lengths))
    kerf = draw(st.sampled_from((0, INCH // 16, 3 * PER_MM)))
    saws = tuple(
        Saw(name=f"saw {i}", kerf=kerf, trim=draw(st.sampled_from((0, kerf, 2 * kerf))), grip=grip * INCH)
        for i, grip in enumerate(draw(st.lists(st.sampled_from((0, 0, 5)), min_size=1, max_size=2)))
    )
    price = draw(st.none() | st.decimals(Decimal("0.01"), 90, places=draw(st.sampled_from((2, 4)))))
    cut = None if price is None else draw(st.none() | st.just(Decimal("1.5")))
    per = (
        None
        if price is None
        else Basis.FOOT
        if cut is not None
        else draw(st.sampled_from((Basis.EACH, Basis.POUND)))
    )
    row = offer(
        length=draw(st.integers(50, 240)) * INCH,
        price=price,
        per=per,
        cut_to_length=cut,
        clean_ends=draw(st.integers(0, 2)),
        from_qty=draw(st.sampled_from((1, 1, 4))),
        available=draw(st.sampled_from((None, 1000))),
    )
    rack = tuple(
        RackPiece(
            id=f"R{i}",
            material=TUBE,
            length=inches * INCH,
            clean_ends=draw(st.integers(0, 2)),
            value=draw(st.sampled_from((Decimal(0), Decimal("3.50"), Decimal("0.1234")))),
        )
        for i, inches in enumerate(draw(st.lists(st.integers(1, 90), max_size=2)))
    )
    fee = draw(st.sampled_from((None, Decimal("12.5"))))
    yard = Yard(name="North", delivery=fee, minimum_order=draw(st.sampled_from((Decimal(0), Decimal(500)))))
    shop = Shop(
        keep_length=draw(st.sampled_from((0, 12, 60))) * INCH,
        offcut_share=draw(st.sampled_from((Decimal(0), Decimal("0.5"), Decimal("0.333")))),
        scrap_price=draw(st.sampled_from((None, None, Decimal("0.22"), Decimal(3)))),
    )
    return bench_job(parts=parts, offers=(row,), rack=rack, saws=saws, yards=(yard,), shop=shop)


@given(jobs())
@settings(max_examples=150, deadline=None)
def test_every_plan_by_the_rules_passes(job: Job) -> None:
    """Whatever a first fit lays out by the rules is sound, bound and all."""
    assert check_plan(first_fit(job)) == ()


def _nudges(plan: Plan, draw: st.DrawFn) -> Plan:
    """The plan with one number of one layout, piece, purchase or sum changed."""
    group = plan.groups[0]
    by = draw(st.sampled_from((-PER_MM, -1, 1, PER_MM)))
    at = draw(st.integers(0, len(group.layouts) - 1))
    layout = group.layouts[at]
    changes: list[Callable[[], Plan]] = [
        lambda: with_layout(plan, at, head=layout.head + by),
        lambda: with_layout(plan, at, rest=layout.rest + by),
        lambda: with_layout(plan, at, keep=not layout.keep),
        lambda: with_layout(plan, at, credit=layout.credit + Decimal(by) / 10_000),
        lambda: with_group(plan, credit=group.credit + Decimal(by) / 10_000),
        lambda: with_layout(plan, at, times=layout.times + by),
        lambda: with_layout(plan, at, length=layout.length - abs(by)),
        lambda: with_group(plan, cost=group.cost + Decimal(by) / 10_000),
        lambda: replace(plan, total=plan.total + Decimal(by) / 10_000),
        lambda: with_group(plan, layouts=group.layouts[:at] + group.layouts[at + 1 :]),
        lambda: with_group(plan, layouts=(*group.layouts, layout)),
    ]
    if layout.pieces:
        place = draw(st.integers(0, len(layout.pieces) - 1))
        piece = layout.pieces[place]
        changes += [
            lambda: with_piece(plan, at, place, start=piece.start + by),
            lambda: with_piece(plan, at, place, extent=piece.extent + by),
            lambda: with_piece(plan, at, place, mark="unheard of"),
        ]
    if group.purchases:
        first = group.purchases[0]
        changes += [
            lambda: with_purchase(plan, count=first.count + by),
            lambda: with_purchase(plan, length=first.length + by),
            lambda: with_purchase(plan, weight_kg=first.weight_kg + first.count * 0.01),
            lambda: with_purchase(plan, total=(first.total or Decimal(0)) + Decimal(by) / 10_000),
            lambda: with_purchase(plan, unit_price=(first.unit_price or Decimal(0)) + Decimal(by) / 10_000),
        ]
    return draw(st.sampled_from(changes))()


@given(st.data())
@settings(max_examples=200, deadline=None)
def test_one_number_changed_anywhere_is_caught(data: Any) -> None:
    """A single number of a sound plan changed by as little as one tick makes a breach."""
    plan = first_fit(data.draw(jobs()))
    assert check_plan(data.draw(st.composite(lambda draw: _nudges(plan, draw))())) != ()
