"""What the torch can cut of the holes, and what is to be drilled."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

from nesting.job import Hole
from nesting.plan import Plan
from nesting.report.hole_list import hole_list
from tests.nesting.made import INCH, inch_plan
from tests.nesting.made_sheets import plate_plan


def made_by(plan: Plan, mark: str) -> list[str]:
    """What makes the holes of a part, in order."""
    (part,) = (part for part in hole_list(plan) if part.part.mark == mark)
    return [hole.made_by for hole in part.holes]


def test_a_hole_smaller_than_one_and_a_half_thicknesses_is_drilled() -> None:
    """In 1/4 in: 9/16 by torch, 1/4 not. 1.5 x t: design table of a plasma cutting service; common practice."""
    assert made_by(plate_plan(), "BP") == ["torch", "torch", "drill"]


def test_the_reason_says_which_hole_would_be_large_enough() -> None:
    """1.5 x 1/4 = 3/8; in a metric shop 1.5 x 6.35 = 9.525."""
    plan = plate_plan()
    metric = replace(plan, job=replace(plan.job, shop=replace(plan.job.shop, unit="mm", decimal=",")))
    said = [part.holes[2].why for each in (plan, metric) for part in hole_list(each)[:1]]
    assert said[0] == 'smaller than 1.5 × 1/4" = 3/8"'
    assert said[1].startswith("smaller than 1,5 × 6")


def test_a_hole_of_just_that_size_is_torch_work() -> None:
    """3/8 in 1/4: at least, not more than."""
    plan = plate_plan()
    holes = (Hole(mark="BP", x=INCH, y=INCH, diameter=INCH * 3 // 8),)
    assert made_by(replace(plan, job=replace(plan.job, holes=holes)), "BP") == ["torch"]


def test_the_shop_sets_the_least_hole() -> None:
    """With 2.5 thicknesses 9/16 is too small for 1/4: 5/8 would do."""
    plan = plate_plan()
    shop = replace(plan.job.shop, torch_hole=Decimal("2.5"))
    assert made_by(replace(plan, job=replace(plan.job, shop=shop)), "BP") == ["drill"] * 3


def test_a_hole_that_does_not_go_through_is_drilled() -> None:
    """However wide."""
    plan = plate_plan()
    holes = (Hole(mark="BP", x=INCH, y=INCH, diameter=INCH, depth=INCH // 8),)
    assert made_by(replace(plan, job=replace(plan.job, holes=holes)), "BP") == ["drill"]


def test_holes_of_bars_and_of_sawn_plates_are_drilled() -> None:
    """The strap is a bar; the pad is sawn."""
    plan = plate_plan()
    holes = (*plan.job.holes, Hole(mark="PAD", x=INCH, y=INCH, diameter=2 * INCH))
    plan = replace(plan, job=replace(plan.job, holes=holes))
    assert made_by(plan, "STRAP") == ["drill"]
    assert made_by(plan, "PAD") == ["drill"]


def test_holes_of_a_part_of_which_a_copy_is_sawn_are_drilled() -> None:
    """So that all copies are alike."""
    plan = plate_plan()
    (bar,) = plan.groups[0].layouts
    pieces = (*bar.pieces[:-1], replace(bar.pieces[-1], mark="BP"))
    groups = (replace(plan.groups[0], layouts=(replace(bar, pieces=pieces),)), *plan.groups[1:])
    assert made_by(replace(plan, groups=groups), "BP") == ["drill"] * 3


def test_the_list_counts_copies_and_holds_only_parts_with_holes() -> None:
    """Five base plates and two straps; a job without holes has an empty list."""
    assert [(part.part.mark, part.copies) for part in hole_list(plate_plan())] == [("BP", 5), ("STRAP", 2)]
    assert hole_list(inch_plan()) == ()
