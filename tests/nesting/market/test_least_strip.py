"""Parts that saw and shear cannot hold are left to the torch, or to a flat bar of their width."""

from __future__ import annotations

from dataclasses import replace

import pytest

from nesting import Plan, Settings, check_plan, make_plan
from nesting.job import Job, Process
from nesting.read.plate_problems import unplaceable
from nesting.rules.sheet_ways import may_lie
from tests.nesting.market.asked import FOOT, INCH, offer
from tests.nesting.market.asked_plates import FLAT_4, exact_shop, plate, plate_job, sheet

WIDE, NARROW = plate("W", 2, 20 * INCH, 6 * INCH), plate("N", 2, 20 * INCH, 4 * INCH)
SHEET, BAR = sheet(1, 48 * INCH, 24 * INCH, "9"), offer(2, 20 * FOOT, "90", material=FLAT_4)


def shop_with(*processes: Process, least: int = 5 * INCH) -> Job:
    """Both parts, a cheap sheet and a dear flat bar of 4 in."""
    return plate_job([WIDE, NARROW], [SHEET, BAR], shop=exact_shop(processes=processes, least_strip=least))


def planned(job: Job) -> Plan:
    """The plan, sound by the check."""
    plan = make_plan(job, Settings(work=100))
    assert check_plan(plan) == ()
    return plan


@pytest.mark.parametrize("process", ["saw", "shear"])
def test_a_part_too_narrow_to_hold_comes_from_a_flat_bar(process: Process) -> None:
    plan = planned(shop_with(process))
    assert {piece.mark for group in plan.groups for x in group.sheets for piece in x.pieces} == {"W"}
    assert plan.total == 99
    assert planned(shop_with(process, least=4 * INCH)).total == 9


def test_the_torch_cuts_what_the_shear_cannot_hold() -> None:
    plan = planned(shop_with("shear", "torch"))
    assert plan.total == 9
    assert {x.process for group in plan.groups for x in group.sheets} == {"torch"}


def test_the_check_tells_of_a_part_that_the_shear_cannot_hold() -> None:
    job = shop_with("shear", least=0)
    strict = replace(job, shop=replace(job.shop, least_strip=5 * INCH))
    told = check_plan(replace(planned(job), job=strict))
    assert any("which holds nothing narrower than" in breach for breach in told)


def test_a_part_that_nothing_can_cut_is_refused_with_what_could() -> None:
    job = replace(shop_with("shear"), offers=(SHEET,))
    assert not may_lie(job, NARROW, SHEET)
    _, code, sentence, _ = unplaceable(job, NARROW, [SHEET])
    assert code == "too-narrow"
    assert 'saw and shear hold nothing narrower than 5"' in sentence
