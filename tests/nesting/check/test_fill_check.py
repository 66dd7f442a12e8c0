"""Fill parts that lie where they may not: a sound plan broken on purpose, one rule at a time."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from functools import cache

from nesting.check import check_plan
from nesting.job import Part, Shop
from nesting.market import make_plan
from nesting.plan import Layout, Piece, Plan
from tests.nesting.market.asked import COUNTED, FOOT, INCH, TUBE, job, offer, part

CUT = INCH // 8


@cache
def sound(worth: str = "2.00") -> Plan:
    """Five of 46 in, and two spares of 4 1/2 in behind them; one piece of 200 in leaves 39 7/8 in to keep."""
    spare = Part(mark="C", qty=2, material=TUBE, length=9 * INCH // 2, fill=Decimal(worth))
    parts = (part("P", 5, 46 * INCH), part("Q", 1, 200 * INCH), spare)
    asked = job(parts, [offer(1, 20 * FOOT, "60", clean_ends=2)], CUT, shop=Shop(keep_length=24 * INCH))
    plan = make_plan(asked, COUNTED)
    assert check_plan(plan) == ()
    assert sorted(marks(x) for x in plan.groups[0].layouts) == ["PPPPPCC", "Q"]
    return plan


def marks(layout: Layout) -> str:
    return "".join(piece.mark for piece in layout.pieces)


def told(plan: Plan) -> str:
    return "\n".join(check_plan(plan))


def laid(plan: Plan, old: str, new: str) -> Plan:
    """The plan with the stick that holds some marks cut to others, in that order."""
    extents = {p.mark: p.extent for p in plan.job.parts}

    def cut(layout: Layout) -> Layout:
        if marks(layout) != old:
            return layout
        at, pieces = 0, []
        for mark in new:
            pieces.append(Piece(mark=mark, start=at, extent=extents[mark]))
            at += extents[mark] + CUT
        rest = max(0, layout.length - at)
        return replace(layout, pieces=tuple(pieces), rest=rest, keep=rest >= 24 * INCH)

    group = plan.groups[0]
    return replace(plan, groups=(replace(group, layouts=tuple(cut(x) for x in group.layouts)),))


def test_spares_that_are_missing_must_be_told() -> None:
    fewer = laid(sound(), "PPPPPCC", "PPPPPC")
    assert "unfilled is (), due is (('C', 1),)" in told(fewer)
    assert check_plan(replace(fewer, unfilled=(("C", 1),))) == ()


def test_no_more_spares_are_made_than_wanted() -> None:
    more = laid(laid(sound("3.00"), "Q", "QC"), "PPPPPCC", "PPPPPCC")
    assert "fill part C is made 3 times, due is 2 at most" in told(more)


def test_spares_lie_behind_all_that_must_be_made() -> None:
    assert "piece 5 is a fill part, due are the pieces that must be made before it" in told(
        laid(sound(), "PPPPPCC", "PPPPCPC")
    )


def test_no_stick_is_cut_for_spares_alone() -> None:
    group = sound().groups[0]
    alone = replace(group.layouts[-1], pieces=(Piece(mark="C", start=0, extent=9 * INCH // 2),))
    broken = replace(sound(), groups=(replace(group, layouts=(*group.layouts, alone)),))
    assert "it is cut for fill parts alone, due is a piece that must be made" in told(broken)


def test_a_kept_offcut_gives_spares_only_for_more_than_it_loses() -> None:
    """4 1/2 in and a cut of 1/8 at 0.25 an inch are 1.1562: the rest of 39 7/8 in loses 9.9687 - 8.8125."""
    fewer = replace(sound(), unfilled=())
    moved = laid(laid(fewer, "PPPPPCC", "PPPPPC"), "Q", "QC")
    assert check_plan(moved) == ()  # worth 2.00
    cheap = replace(
        moved.job, parts=tuple(replace(p, fill=Decimal("1.10")) if p.is_fill else p for p in moved.job.parts)
    )
    assert "its fill parts are worth 1.1000, and take 1.1562 of the rest; due is a worth above that" in told(
        replace(moved, job=cheap)
    )
    free = replace(
        moved.job, parts=tuple(replace(p, fill=Decimal(0)) if p.is_fill else p for p in moved.job.parts)
    )
    assert "its fill parts are worth 1.1250, and take 1.1562 of the rest" in told(replace(moved, job=free))


def test_a_spare_stands_in_no_group_and_gets_no_price() -> None:
    group = sound().groups[0]
    named = replace(group, marks=(*group.marks, "C"))
    assert "part C stands in the groups 1 times, due is not at all" in told(replace(sound(), groups=(named,)))
    priced = replace(group, bound=replace(group.bound, part_prices=(*group.bound.part_prices, ("C", 1))))
    assert "the bound prices part C, which is not of the group" in told(replace(sound(), groups=(priced,)))


def test_a_spare_comes_from_material_that_serves_it_and_keeps_its_extent() -> None:
    other = replace(TUBE, grade="A36")
    parts = tuple(replace(p, material=other) if p.is_fill else p for p in sound().job.parts)
    assert "part C of" in told(replace(sound(), job=replace(sound().job, parts=parts)))
    longer = tuple(
        replace(p, length=5 * INCH, extent=5 * INCH) if p.is_fill else p for p in sound().job.parts
    )
    assert "extent of piece 6, part C" in told(replace(sound(), job=replace(sound().job, parts=longer)))
