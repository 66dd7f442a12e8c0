"""Beside plate parts mitred bar parts are laid square at their points, in plan and check."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from itertools import pairwise

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


def test_straps_beside_plate_parts_are_planned_square_and_a_plan_that_nests_them_is_caught() -> None:
    plan = make_plan(_job(), Settings(time_s=None, work=300))
    assert check_plan(plan) == ()
    group = plan.groups[0]
    at, layout = next(
        (n, x) for n, x in enumerate(group.layouts) if [p.mark for p in x.pieces[:2]] == ["STRAP", "STRAP"]
    )
    first, second = next(pairwise(layout.pieces))
    assert second.start == first.start + first.extent + INCH // 8
    # 1/8 x 1.1547 less 3 x 0.57735 is -1.58771 in: 30 degrees, 3 in deep
    nested = replace(second, start=first.start + first.extent - 129_049_180)
    laid = replace(layout, pieces=(first, nested, *layout.pieces[2:]))
    layouts = (*group.layouts[:at], laid, *group.layouts[at + 1 :])
    breaches = check_plan(replace(plan, groups=(replace(group, layouts=layouts),)))
    assert any("start of piece 2" in breach for breach in breaches)
