"""Sheets larger than the torch bed: parted as costs least, within the bed's margins, and refused where nothing fits."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

from nesting import Plan, Settings, check_plan, make_plan
from nesting.check import check_report
from nesting.job import Job, Saw
from nesting.report.grain import grain_words, has_grain
from nesting.report.indexing import indexing_words, parting_words, settings_of
from nesting.report.sheet_list import blanks_of, sheet_list
from nesting.report.words import blanks_words
from nesting.write.page import page_html
from nesting.write.paper import paper_bytes
from tests.nesting.market.asked import FOOT, INCH, offer
from tests.nesting.market.asked_plates import FLAT_4, exact_shop, plate, plate_job, sheet

BED = (24 * INCH, 24 * INCH)


def planned(job: Job) -> Plan:
    """The plan, sound by the check."""
    plan = make_plan(job, Settings(work=300))
    assert check_plan(plan) == ()
    return plan


def test_a_blank_that_is_handled_counts_in_the_cost_and_not_in_what_is_paid() -> None:
    """Three parts of 24 x 24 from one sheet of 96 x 48 at 90 take three blanks: 90 + 3 x 4; 90 are paid."""
    shop = exact_shop(bed=BED, blank_cost=Decimal(4))
    plan = planned(
        plate_job([plate("A", 3, 24 * INCH, 24 * INCH)], [sheet(1, 96 * INCH, 48 * INCH, "90")], shop=shop)
    )
    (group,) = plan.groups
    assert (group.cost, plan.total, group.sheets[0].handled) == (102, 90, 3)
    assert group.proved
    assert "3 blanks" in blanks_words(plan)
    assert "12.00" in blanks_words(plan)


def test_small_parts_lie_on_as_few_blanks_as_hold_them() -> None:
    """Sixteen of 6 x 6 fill one blank of 24 x 24."""
    shop = exact_shop(bed=BED, blank_cost=Decimal(4))
    plan = planned(
        plate_job([plate("A", 16, 6 * INCH, 6 * INCH)], [sheet(1, 96 * INCH, 48 * INCH, "90")], shop=shop)
    )
    assert plan.groups[0].sheets[0].handled == 1
    assert plan.groups[0].cost == 94
    assert len(plan.groups[0].sheets[0].cuts) == 2


def test_a_flat_bar_that_is_only_sawn_wins_where_blanks_are_dear() -> None:
    """Ten of 24 x 4: a flat bar of 20 ft at 40 holds them; a sheet of 48 x 24 at 30 does too, on two blanks."""
    offers = [sheet(1, 48 * INCH, 24 * INCH, "30"), offer(2, 20 * FOOT, "40", material=FLAT_4)]
    parts = [plate("A", 10, 24 * INCH, 4 * INCH)]
    cheap = planned(plate_job(parts, offers, shop=exact_shop(bed=BED, blank_cost=Decimal("4.50"))))
    dear = planned(plate_job(parts, offers, shop=exact_shop(bed=BED, blank_cost=Decimal("5.50"))))
    assert (cheap.total, cheap.groups[0].cost) == (30, 39)
    assert (dear.total, dear.groups[0].cost) == (40, 40)


def test_the_bound_by_prices_counts_blanks_and_the_check_verifies_it() -> None:
    """Four parts of 24 x 24 need all of 48 x 48 at 90 and four blanks at 10: 130 by prices alone."""
    shop = exact_shop(bed=BED, blank_cost=Decimal(10))
    plan = planned(
        plate_job([plate("A", 4, 24 * INCH, 24 * INCH)], [sheet(1, 48 * INCH, 48 * INCH, "90")], shop=shop)
    )
    bound = plan.groups[0].bound
    assert bound.value == bound.dual_value == 130
    assert check_report(plan).groups[0].verified


def test_a_bound_that_counts_blanks_nobody_needs_is_found_out() -> None:
    """Prices that hold only if every sheet had two blanks more are refused by the check."""
    shop = exact_shop(bed=BED, blank_cost=Decimal(10))
    plan = planned(
        plate_job([plate("A", 4, 24 * INCH, 24 * INCH)], [sheet(1, 48 * INCH, 48 * INCH, "90")], shop=shop)
    )
    (group,) = plan.groups
    raised = tuple((mark, price * 150 // 130) for mark, price in group.bound.part_prices)
    bound = replace(group.bound, part_prices=raised, value=Decimal(150), dual_value=Decimal(150))
    told = check_plan(replace(plan, groups=(replace(group, bound=bound),)))
    assert any("the bound is not confirmed" in breach for breach in told)


def test_cuts_between_blanks_take_their_kerf_and_what_they_stray_by() -> None:
    """Blanks of 24 from 48 1/4 along: kerf 1/8 and 1/8 to stray lie between them."""
    shop = exact_shop(bed=BED, blank_kerf=INCH // 8, blank_allowance=INCH // 8)
    part = plate("A", 2, 24 * INCH, 24 * INCH)
    plan = planned(plate_job([part], [sheet(1, 48 * INCH + INCH // 4, 24 * INCH, "9")], shop=shop))
    (layout,) = plan.groups[0].sheets
    assert sorted(b.x for b in layout.blanks) == [0, 24 * INCH + INCH // 4]
    assert plan.total == 9
    assert 'kerf 1/8" and 1/8" to stray' in parting_words(shop)
    narrow = replace(layout, blanks=(layout.blanks[0], replace(layout.blanks[1], x=24 * INCH + INCH // 8)))
    broken = replace(plan, groups=(replace(plan.groups[0], sheets=(narrow,)),))
    assert any("is not one of the regions that the cuts leave" in breach for breach in check_plan(broken))


def test_parts_keep_off_the_margin_that_the_clamps_need() -> None:
    """23 x 23 with 1/2 on each side just fills the bed; laid at 1/4 the check tells."""
    shop = exact_shop(bed=BED, bed_margin=INCH // 2, edge=INCH // 4)
    part = plate("A", 1, 23 * INCH, 23 * INCH)
    plan = planned(plate_job([part], [sheet(1, 48 * INCH, 48 * INCH, "9")], shop=shop))
    (layout,) = plan.groups[0].sheets
    (piece,) = layout.pieces
    assert (piece.place.x, piece.place.y) == (INCH // 2, INCH // 2)
    moved = replace(piece, place=replace(piece.place, x=INCH // 4))
    broken = replace(plan, groups=(replace(plan.groups[0], sheets=(replace(layout, pieces=(moved,)),)),))
    assert any("from the edge of what lies on the bed" in breach for breach in check_plan(broken))


def test_on_an_open_bed_a_long_strip_lies_whole_and_is_moved_along() -> None:
    """Four of 20 x 20 on a sheet of 96 x 24: one setting each, 20 apart, the last two together none."""
    shop = exact_shop(bed=BED, bed_open=True, blank_cost=Decimal(4))
    job = plate_job([plate("A", 4, 20 * INCH, 20 * INCH)], [sheet(1, 96 * INCH, 24 * INCH, "9")], shop=shop)
    plan = planned(job)
    (layout,) = plan.groups[0].sheets
    assert layout.blanks == ()
    assert plan.groups[0].cost == 9
    (listed,) = sheet_list(plan).sheets
    (lying,) = blanks_of(listed)
    along, stops = settings_of(lying, shop)
    assert along
    assert list(stops) == sorted(piece.place.x for piece in layout.pieces)
    assert indexing_words(lying, shop).startswith(
        "overhangs the bed: move it along, so that the bed begins at x "
    )
    closed = replace(plan, job=replace(job, shop=replace(shop, bed_open=False)))
    assert any("larger than the bed" in breach for breach in check_plan(closed))


def test_no_part_is_longer_than_an_open_bed_reaches() -> None:
    """20 x 30 lies across no bed of 24 x 32 along its open side, but along the closed one."""
    shop = exact_shop(bed=(24 * INCH, 32 * INCH), bed_open=True)
    job = plate_job([plate("A", 2, 30 * INCH, 20 * INCH)], [sheet(1, 96 * INCH, 32 * INCH, "9")], shop=shop)
    plan = planned(job)
    (layout,) = plan.groups[0].sheets
    assert {(p.place.length, p.turned) for p in layout.pieces} == {(20 * INCH, True)}
    laid = replace(
        layout.pieces[0],
        turned=False,
        place=replace(layout.pieces[0].place, x=0, length=30 * INCH, width=20 * INCH),
    )
    broken = replace(plan, groups=(replace(plan.groups[0], sheets=(replace(layout, pieces=(laid,)),)),))
    assert any("does not reach all round" in breach for breach in check_plan(broken))


def test_what_is_left_beside_a_part_is_cut_into_all_rectangles_worth_keeping() -> None:
    """20 x 20 in the corner of 48 x 24: 28 x 24 and 20 x 4 are kept."""
    shop = exact_shop(keep_length=12 * INCH, keep_width=4 * INCH)
    plan = planned(
        plate_job([plate("A", 1, 20 * INCH, 20 * INCH)], [sheet(1, 48 * INCH, 24 * INCH, "9")], shop=shop)
    )
    sizes = {tuple(sorted((o.length // INCH, o.width // INCH))) for o in plan.groups[0].sheets[0].offcuts}
    assert sizes == {(24, 28), (4, 20)}


def test_without_prices_blanks_count_nothing() -> None:
    shop = exact_shop(bed=BED, blank_cost=Decimal(4))
    job = plate_job([plate("A", 2, 20 * INCH, 20 * INCH)], [sheet(1, 48 * INCH, 48 * INCH, None)], shop=shop)
    plan = planned(replace(job, saws=(Saw(name="saw", kerf=0),)))
    assert not plan.groups[0].priced
    assert plan.groups[0].proved


def test_papers_say_which_way_the_grain_runs_where_a_part_minds() -> None:
    free, bound = plate("F", 1, 9 * INCH, 4 * INCH), plate("G", 1, 9 * INCH, 4 * INCH, turn="none")
    for parts, due in (([free], False), ([free, bound], True)):
        plan = planned(plate_job(parts, [sheet(1, 48 * INCH, 24 * INCH, "9")]))
        (listed,) = sheet_list(plan).sheets
        assert has_grain(listed.layout.pieces, plan.job) is due
        assert ("as the length of G:" in grain_words(listed.layout.pieces, plan.job)) is due
        assert ("Grain and finish run along x" in page_html(plan)) is due
        assert paper_bytes(plan)
