"""Beside plate parts mitred bar parts nest as they do alone, in plan and check."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from nesting.check import check_plan
from nesting.job import Job, Part, Saw, Shop
from nesting.market import make_plan
from nesting.plan import Settings
from nesting.read.mitre import mitred_extent
from stock.length import PER_INCH
from stock.material import parse_material
from stock.offer import Basis, Offer, Yard

INCH = PER_INCH
FLAT = parse_material("flat 1/4 x 3", unit="in")
PLATE = parse_material("plate 1/4", unit="in")
COUNTED = Settings(time_s=None, work=300)


def _job() -> Job:
    """Straps like "/ /" and ties of plate that may come from the same flat bar."""
    ends = (Decimal(30), Decimal(30))
    strap = Part(
        mark="STRAP",
        qty=6,
        material=FLAT,
        length=18 * INCH,
        end_a=ends[0],
        end_b=ends[1],
        lean="same",
        extent=mitred_extent(18 * INCH, 3 * INCH, ends, "same", "long"),
    )
    tie = Part(mark="TIE", qty=4, material=PLATE, length=9 * INCH, width=3 * INCH)
    bar = Offer(
        id="offer 1",
        yard="Y",
        material=FLAT,
        length=120 * INCH,
        longest=120 * INCH,
        price=Decimal("21.90"),
        per=Basis.EACH,
    )
    sheet = Offer(
        id="offer 2",
        yard="Y",
        material=PLATE,
        length=48 * INCH,
        longest=48 * INCH,
        width=24 * INCH,
        price=Decimal("60.00"),
        per=Basis.EACH,
    )
    return Job(
        name="straps",
        parts=(strap, tie),
        offers=(bar, sheet),
        saws=(Saw(name="saw", kerf=INCH // 8, trim=INCH // 4),),
        yards=(Yard(name="Y"),),
        shop=Shop(processes=("torch", "saw")),
    )


NESTED = 129_049_332
"""Ticks from the point of one strap back to that of the next: 30 degrees, 3 in deep, kerf 1/8 in.

3 in x 0.577350269 less 1/8 in x 1.154700538 is 1.58771324 in, rounded down to a tick (derived)."""


def test_straps_nest_beside_plate_parts_and_the_check_knows_how_near() -> None:
    """Neither a tick nearer nor a square cut apart, where their waste would do."""
    plan = make_plan(_job(), COUNTED)
    assert check_plan(plan) == ()
    group = plan.groups[0]
    at, layout = next(
        (n, x) for n, x in enumerate(group.layouts) if [p.mark for p in x.pieces[:2]] == ["STRAP", "STRAP"]
    )
    first, second = next(pairwise(layout.pieces))
    assert second.start == first.start + first.extent - NESTED
    for start in (second.start - 1, first.start + first.extent + INCH // 8):
        laid = replace(layout, pieces=(first, replace(second, start=start), *layout.pieces[2:]))
        layouts = (*group.layouts[:at], laid, *group.layouts[at + 1 :])
        breaches = check_plan(replace(plan, groups=(replace(group, layouts=layouts),)))
        assert any("start of piece 2" in breach for breach in breaches)


@pytest.mark.parametrize(("length", "sticks"), [(0, 1), (-1, 2)])
def test_straps_and_a_tie_fill_a_bar_to_the_tick(length: int, sticks: int) -> None:
    """Three straps nested, one square cut, a tie across the bar: that many ticks between two trims of 1/4 in."""
    job = _job()
    strap, tie = (replace(part, qty=n) for part, n in zip(job.parts, (3, 1), strict=True))
    taken = 3 * strap.extent - 2 * NESTED + INCH // 8 + tie.length + 2 * (INCH // 4)
    bar = replace(job.offers[0], length=taken + length, longest=taken + length)
    plan = make_plan(replace(job, parts=(strap, tie), offers=(bar, job.offers[1])), COUNTED)
    assert check_plan(plan) == ()
    assert sum(layout.times for layout in plan.groups[0].layouts) == sticks
    assert plan.groups[0].stopped == "proved"


@settings(max_examples=12, deadline=None)
@given(st.integers(1, 6), st.integers(1, 5), st.integers(6, 30), st.sampled_from(["0", "0.5", "0.8"]))
def test_a_plate_part_as_wide_as_the_bar_costs_what_a_square_bar_part_does(
    straps: int, ties: int, length: int, share: str
) -> None:
    """Where sheets are too dear to buy, the way over sticks and sheets finds what that over sticks alone does."""
    job = _job()
    strap, tie = (replace(part, qty=n) for part, n in zip(job.parts, (straps, ties), strict=True))
    tie = replace(tie, length=length * INCH, turn="none")
    shop = replace(job.shop, offcut_share=Decimal(share), keep_length=24 * INCH)
    dear = replace(job.offers[1], price=Decimal(9999))
    both = replace(job, parts=(strap, tie), offers=(job.offers[0], dear), shop=shop)
    bar_tie = Part(mark="TIE", qty=ties, material=FLAT, length=length * INCH)
    alone = replace(job, parts=(strap, bar_tie), offers=job.offers[:1], shop=shop)
    plans = [make_plan(each, COUNTED) for each in (both, alone)]
    assert [check_plan(plan) for plan in plans] == [(), ()]
    beside, without = (plan.groups[0] for plan in plans)
    assert beside.cost >= without.bound.value
    assert without.cost >= beside.bound.value
    if beside.stopped == without.stopped == "proved":
        assert beside.cost == without.cost


def test_what_the_rest_of_a_bar_earns_decides_whether_a_plate_part_comes_from_it() -> None:
    """A bar of 120 in at 12.00, of which a strap takes 60, and a plate part 24 x 3 from it or from a sheet at 1.00.

    From the bar: 12.00 less half of 12.00 x 36 / 120, 10.20. From the sheet: 13.00 less half of
    12.00 x 60 / 120, which is 10.00. Where nothing is earned, 12.00 against 13.00.
    """
    strap = Part(mark="STRAP", qty=1, material=FLAT, length=60 * INCH)
    tie = Part(mark="TIE", qty=1, material=PLATE, length=24 * INCH, width=3 * INCH)
    job = _job()
    bar = replace(job.offers[0], price=Decimal(12))
    sheet = replace(
        job.offers[1], length=24 * INCH, longest=24 * INCH, width=3 * INCH, price=Decimal(1), clean_ends=2
    )
    exact = Shop(clearance=0, edge=0, torch_kerf=0, processes=("torch", "saw"), keep_length=24 * INCH)
    asked = replace(job, parts=(strap, tie), offers=(bar, sheet), saws=(Saw(name="saw", kerf=0),), shop=exact)
    for share, cost, sheets in (("0", 12, 0), ("0.5", 10, 1)):
        plan = make_plan(replace(asked, shop=replace(exact, offcut_share=Decimal(share))), COUNTED)
        assert check_plan(plan) == ()
        (group,) = plan.groups
        assert (group.cost, len(group.sheets), group.stopped) == (cost, sheets, "proved")
