"""What is left of sticks and sheets, and where their length and area go."""

from __future__ import annotations

from dataclasses import replace

import pytest

from nesting.plan import Plan
from nesting.report.offcuts import area_use_of, offcuts_of, sheet_offcuts_of, use_of
from nesting.report.saw_list import saw_list
from nesting.report.sheet_list import sheet_list
from tests.nesting.made import FOOT, INCH, inch_plan, metric_plan, mixed_plan
from tests.nesting.made_sheets import plate_plan
from tests.nesting.write.crowded import crowded_plan

PLANS = pytest.mark.parametrize(
    "plan", [inch_plan(), metric_plan(), mixed_plan(), plate_plan()], ids=lambda plan: plan.job.name
)


def test_offcuts_are_the_rests_worth_keeping() -> None:
    """The bench leaves 23 1/8 and 119 1/8; one end is sawn, the other as the mill left it."""
    offcuts = offcuts_of(saw_list(inch_plan()))
    assert [(each.length, each.count, each.clean_ends) for each in offcuts] == [
        (23 * INCH + INCH // 8, 1, 1),
        (119 * INCH + INCH // 8, 1, 1),
    ]


def test_a_stick_bought_and_not_cut_is_an_offcut_as_it_came() -> None:
    """The fourth stick of the quantity break is kept whole, its ends not clean."""
    whole = [each for each in offcuts_of(saw_list(mixed_plan())) if each.length == 20 * FOOT]
    assert [(each.count, each.clean_ends, each.runs) for each in whole] == [(1, 0, ((8, 1),))]


@PLANS
def test_parts_offcuts_and_loss_make_up_the_sticks(plan: Plan) -> None:
    """Nothing of the length is counted twice or forgotten."""
    for group in plan.groups:
        use = use_of(group)
        assert use.total == sum(layout.length * layout.times for layout in group.layouts)
        assert use.used == sum(p.extent * layout.times for layout in group.layouts for p in layout.pieces)
        assert min(use.used, use.kept, use.lost) >= 0
        area = area_use_of(group)
        assert area.total == sum(each.length * each.width * each.times for each in group.sheets)
        assert min(area.used, area.kept, area.lost) >= 0


def test_offcuts_of_sheets_are_named_by_their_side_along_the_sheet_first() -> None:
    """By hand from the plan: 23 15/16 x 30 of 14 gauge, then 24 x 11 1/4, 14 3/8 x 11 1/2 and 27 3/4 x 6."""
    offcuts = sheet_offcuts_of(sheet_list(plate_plan()))
    assert sorted((each.length / INCH, each.width / INCH, each.count) for each in offcuts) == [
        (14.375, 11.5, 1),
        (23.9375, 30, 1),
        (24, 11.25, 1),
        (27.75, 6, 1),
    ]
    gauge = next(each for each in offcuts if each.width == 30 * INCH)
    assert gauge.weight_kg == pytest.approx(3.125 * 30 * 23.9375 / 144 * 0.45359237)
    assert gauge.runs == ((1, 1),)


def test_equal_offcuts_of_sheets_that_lie_alike_are_counted_together() -> None:
    """Two that lie crosswise on each of three sheets cut alike are three and three, so that no grain is lost."""
    plan = plate_plan()
    (torch,) = plan.groups[0].sheets
    upright = replace(torch.offcuts[0], length=torch.offcuts[0].width, width=torch.offcuts[0].length)
    alike = replace(torch, times=3, offcuts=(torch.offcuts[0], upright))
    found = sheet_offcuts_of(sheet_list(replace(plan, groups=(replace(plan.groups[0], sheets=(alike,)),))))
    assert [(each.count, each.runs) for each in found] == [(3, ((1, 3),)), (3, ((1, 3),))]


def test_offcuts_of_sheets_alike_are_weighed_one_by_one() -> None:
    """Three sheets alike leave one each, of 1.5 x 1.05 m of 6 mm at 7850 kg/m3 (derived); whole sheets stay whole."""
    kept = {(each.length, each.width): each for each in sheet_offcuts_of(sheet_list(crowded_plan()))}
    mm = 3_200_000
    assert kept[1050 * mm, 1500 * mm].count == 3
    assert kept[1050 * mm, 1500 * mm].runs == ((2, 3),)
    assert kept[2000 * mm, 1000 * mm].count == 2
    assert kept[1050 * mm, 1500 * mm].weight_kg == pytest.approx(1.5 * 1.05 * 0.006 * 7850, rel=0.02)


def test_the_area_of_a_sheet_goes_to_parts_offcuts_and_loss() -> None:
    """Of 24 x 24 in, five parts of 8 x 6 take 240 and the offcut 24 x 11 1/4 = 270 square inches; 66 are lost."""
    use = area_use_of(plate_plan().groups[0])
    assert [each / INCH**2 for each in (use.used, use.kept, use.lost)] == [240, 270, 66]
