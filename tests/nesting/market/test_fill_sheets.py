"""Fill parts of plate: on sheets that are cut anyway, clear of what is kept."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from decimal import Decimal

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from nesting.check import check_plan
from nesting.job import Job, Part, Saw
from nesting.market import make_plan
from nesting.plan import Plan, Settings, SheetLayout
from tests.nesting.market.asked import INCH
from tests.nesting.market.asked_plates import PLATE, exact_shop, plate, plate_job, plate_jobs, sheet

COUNTED = Settings(time_s=None, work=60)


def spare(mark: str, qty: int, length: int, width: int, worth: str = "0", **given: object) -> Part:
    """A fill part of plate."""
    values = {"material": PLATE, "fill": Decimal(worth)} | given
    return Part(mark=mark, qty=qty, length=length, width=width, **values)  # type: ignore[arg-type]


def planned(asked: Job) -> Plan:
    """The plan, checked."""
    plan = make_plan(asked, COUNTED)
    assert check_plan(plan) == ()
    return plan


def made(plan: Plan) -> Counter[str]:
    """How often each part is cut from sheets."""
    return Counter(
        p.mark for group in plan.groups for x in group.sheets for p in x.pieces for _ in range(x.times)
    )


def test_spares_fill_what_is_left_of_a_sheet_worked_by_hand() -> None:
    """A part of 20 x 20 on a sheet of 24 x 24 leaves two strips 4 wide, too small to keep: five of 4 x 4 go in each
    of them and one in the corner between."""
    parts = [plate("P", 1, 20 * INCH, 20 * INCH), spare("C", 20, 4 * INCH, 4 * INCH)]
    shop = exact_shop(keep_length=30 * INCH)
    plan = planned(plate_job(parts, [sheet(1, 24 * INCH, 24 * INCH, "50")], shop=shop))
    assert made(plan) == {"P": 1, "C": 11}
    assert plan.unfilled == (("C", 9),)


def test_the_torch_keeps_spares_apart_and_from_the_edge() -> None:
    """Edge 1/4, gap 1/4: beside 20 x 20 at the corner a strip of 24 - 1/2 - 20 - 1/4 = 3 1/4 is left, none of 3 1/2."""
    shop = exact_shop(keep_length=30 * INCH, clearance=INCH // 4, edge=INCH // 4)
    for side, copies in ((INCH * 7 // 2, 0), (INCH * 13 // 4, 1)):
        parts = [plate("P", 1, 20 * INCH, 20 * INCH), spare("C", 1, side, side)]
        plan = planned(plate_job(parts, [sheet(1, 24 * INCH, 24 * INCH, "50")], shop=shop))
        assert made(plan)["C"] == copies


@pytest.mark.parametrize("process", ["saw", "shear"])
def test_straight_cuts_free_spares_from_the_regions_that_are_left(process: str) -> None:
    """Beside 20 x 24 a region of 4 x 24 is left, 3 7/8 behind the saw cut of 1/8: six of 3 x 3 with five cuts, or seven
    of them and eight without."""
    shop = exact_shop(keep_length=30 * INCH, processes=(process,))
    kerf = INCH // 8
    parts = [plate("P", 1, 20 * INCH, 24 * INCH), spare("C", 20, 3 * INCH, 3 * INCH)]
    saws = (Saw(name="saw", kerf=kerf),)
    plan = planned(
        plate_job(parts, [sheet(1, 24 * INCH, 24 * INCH, "50", clean_ends=2)], shop=shop, saws=saws)
    )
    assert made(plan)["C"] == (7 if process == "saw" else 8)


def test_an_offcut_that_is_kept_gives_no_spares() -> None:
    """20 x 20 in the corner of 24 x 48: 28 x 24 is kept; a strip of 20 x 4 beside the part is not."""
    shop = exact_shop(keep_length=12 * INCH, keep_width=5 * INCH)
    parts = [plate("P", 1, 20 * INCH, 20 * INCH), spare("C", 99, 4 * INCH, 4 * INCH, "100")]
    plan = planned(plate_job(parts, [sheet(1, 48 * INCH, 24 * INCH, "50")], shop=shop))
    bare = planned(plate_job(parts[:1], [sheet(1, 48 * INCH, 24 * INCH, "50")], shop=shop))
    assert made(plan)["C"] == 5
    assert [x.offcuts for x in plan.groups[0].sheets] == [x.offcuts for x in bare.groups[0].sheets]


def test_a_spare_keeps_to_its_turn_and_its_process() -> None:
    """A strip of 4 x 24 beside the part takes a spare of 20 x 4 only turned, and only by the process it asks for."""
    for asks, copies in (({}, 1), ({"turn": "half"}, 0), ({"process": "saw"}, 0), ({"process": "torch"}, 1)):
        parts = [plate("P", 1, 20 * INCH, 24 * INCH), spare("C", 1, 20 * INCH, 4 * INCH, **asks)]
        shop = exact_shop(keep_length=30 * INCH)
        plan = planned(plate_job(parts, [sheet(1, 24 * INCH, 24 * INCH, "50")], shop=shop))
        assert made(plan)["C"] == copies


def test_a_spare_of_plate_buys_no_sheet_of_its_own() -> None:
    parts = [plate("P", 1, 24 * INCH, 24 * INCH), spare("C", 1, INCH, INCH)]
    plan = planned(
        plate_job(parts, [sheet(1, 24 * INCH, 24 * INCH, "50")], shop=exact_shop(keep_length=30 * INCH))
    )
    assert plan.unfilled == (("C", 1),)
    assert sum(line.count for line in plan.groups[0].purchases) == 1


def test_the_check_knows_a_sheet_that_is_cut_for_spares_alone() -> None:
    parts = [plate("P", 1, 20 * INCH, 20 * INCH), spare("C", 1, 4 * INCH, 4 * INCH)]
    plan = planned(
        plate_job(parts, [sheet(1, 24 * INCH, 24 * INCH, "50")], shop=exact_shop(keep_length=30 * INCH))
    )
    group = plan.groups[0]
    (layout,) = group.sheets
    alone = replace(layout, pieces=tuple(p for p in layout.pieces if p.mark == "C"))
    broken = replace(plan, groups=(replace(group, sheets=(alone,)),))
    assert any("it is cut for fill parts alone" in breach for breach in check_plan(broken))


@given(plate_jobs(), st.integers(2, 60), st.integers(2, 60), st.integers(1, 9))
@settings(max_examples=10, deadline=None, suppress_health_check=[HealthCheck.too_slow])
def test_spares_on_sheets_change_neither_purchases_nor_cost_nor_any_other_piece(
    asked: Job, eighths: int, across: int, qty: int
) -> None:
    extra = (spare("C", qty, eighths * INCH // 8, across * INCH // 8), spare("D", qty, INCH, INCH, "1"))
    plan, bare = planned(replace(asked, parts=(*asked.parts, *extra))), planned(asked)
    assert [(g.cost, g.purchases, g.bound, g.marks) for g in plan.groups] == [
        (g.cost, g.purchases, g.bound, g.marks) for g in bare.groups
    ]
    for group, other in zip(plan.groups, bare.groups, strict=True):
        assert [_without(x) for x in group.sheets] == [_without(x) for x in other.sheets]


def _without(layout: SheetLayout) -> tuple[object, ...]:
    """What spares must leave as it is."""
    pieces = tuple(p for p in layout.pieces if p.mark not in ("C", "D"))
    return layout.source, layout.times, pieces, layout.offcuts, layout.blanks
