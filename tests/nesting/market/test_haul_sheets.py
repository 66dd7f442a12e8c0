"""Sheets that cannot be carried home: bought where they are delivered, and nowhere else."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import pytest

from nesting.check import check_plan
from nesting.job import Job
from nesting.market import make_plan
from nesting.plan import Plan, Settings
from nesting.read.problems import find_source_problems
from stock.offer import Yard
from tests.nesting.market.asked import FOOT
from tests.nesting.market.asked_plates import plate, plate_job, sheet

COUNTED = Settings(time_s=None, work=60)
PARTS = [plate("A", 8, 2 * FOOT, 2 * FOOT)]
SHEETS = [sheet(1, 8 * FOOT, 4 * FOOT, "100.00"), sheet(2, 4 * FOOT, 4 * FOOT, "70.00")]
"""Eight parts of 2 x 2 ft fill one sheet of 8 x 4 ft, or two of 4 x 4."""


def planned(job: Job) -> Plan:
    plan = make_plan(job, COUNTED)
    assert check_plan(plan) == ()
    return plan


@pytest.mark.parametrize(
    ("limit", "sizes"), [(None, {8 * FOOT}), (8 * FOOT, {8 * FOOT}), (8 * FOOT - 1, {4 * FOOT})]
)
def test_a_sheet_longer_than_the_haul_limit_is_not_picked_up(limit: int | None, sizes: set[int]) -> None:
    """One tick too long: two short sheets at 140.00 are bought where one long one at 100.00 would do."""
    plan = planned(plate_job(PARTS, SHEETS, yards=(Yard(name="North", haul_limit=limit),)))
    assert {layout.length for group in plan.groups for layout in group.sheets} == sizes
    assert plan.total == {8 * FOOT: Decimal(100), 4 * FOOT: Decimal(140)}[max(sizes)]
    assert plan.groups[0].bound.value == plan.total


def test_the_wider_side_counts_as_well() -> None:
    wide = [sheet(1, 4 * FOOT, 8 * FOOT, "100.00"), SHEETS[1]]
    plan = planned(plate_job(PARTS, wide, yards=(Yard(name="North", haul_limit=7 * FOOT),)))
    assert plan.total == 140


@pytest.mark.parametrize(("fee", "cost", "how"), [("30.00", 130, True), ("45.00", 140, False)])
def test_delivery_is_paid_where_the_long_sheet_makes_up_for_it(fee: str, cost: int, how: bool) -> None:
    """100.00 and the fee against 140.00 picked up."""
    north = Yard(name="North", haul_limit=7 * FOOT, delivery=Decimal(fee))
    plan = planned(plate_job(PARTS, SHEETS, yards=(north,)))
    assert (plan.total, plan.orders[0].delivered) == (cost, how)
    assert plan.bound == cost


def test_the_check_knows_a_sheet_that_cannot_be_carried() -> None:
    """The plan of a yard without a limit, held against the yard with one."""
    plan = planned(plate_job(PARTS, SHEETS))
    limited = replace(plan.job, yards=(Yard(name="North", haul_limit=7 * FOOT),))
    assert any(
        'offer 1 is 96" long, 84" at most can be carried home from North' in breach
        for breach in check_plan(replace(plan, job=limited))
    )


def test_a_part_that_only_such_a_sheet_could_give_is_refused() -> None:
    job = plate_job(PARTS, SHEETS[:1], yards=(Yard(name="North", haul_limit=7 * FOOT),))
    (finding,) = find_source_problems(job)
    assert finding.code == "too-large"
    assert 'is longer than the 84" that can be carried home from there: have it delivered' in finding.sentence
