"""No sheet is bought that is larger or heavier than the shop takes in; what is on the rack is there."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

from nesting import Settings, check_plan, make_plan
from nesting.job import Job
from nesting.read.idle import find_idle_sources
from nesting.read.plate_problems import unplaceable
from stock.rack import RackPiece
from tests.nesting.market.asked import INCH
from tests.nesting.market.asked_plates import PLATE, exact_shop, plate, plate_job, sheet

PART = plate("A", 2, 24 * INCH, 24 * INCH)
LARGE, SMALL = sheet(1, 96 * INCH, 48 * INCH, "9"), sheet(2, 36 * INCH, 48 * INCH, "30")


def bought(job: Job) -> set[str]:
    """Offers of the plan, sound by the check."""
    plan = make_plan(job, Settings(work=50))
    assert check_plan(plan) == ()
    return {purchase.offer for group in plan.groups for purchase in group.purchases}


def test_a_sheet_larger_than_the_shop_takes_in_is_not_bought() -> None:
    """Turned by a quarter 36 x 48 is no larger than 48 x 40; 96 x 48 is, however cheap."""
    shop = exact_shop(largest_sheet=(48 * INCH, 40 * INCH))
    assert bought(plate_job([PART], [LARGE, SMALL], shop=shop)) == {SMALL.id}
    assert bought(plate_job([PART], [LARGE, SMALL])) == {LARGE.id}


def test_a_sheet_heavier_than_the_shop_takes_in_is_not_bought() -> None:
    """1/4 in plate of 96 x 48 weighs 326.7 lb = 148.2 kg (40.83 lb/ft2 an inch of thickness, derived)."""
    both = [LARGE, SMALL]
    assert bought(plate_job([PART], both, shop=exact_shop(heaviest_sheet=Decimal(148)))) == {SMALL.id}
    assert bought(plate_job([PART], both, shop=exact_shop(heaviest_sheet=Decimal("148.3")))) == {LARGE.id}


def test_the_check_tells_of_a_sheet_that_the_shop_does_not_take_in() -> None:
    job = plate_job([PART], [LARGE, SMALL])
    plan = make_plan(job, Settings(work=50))
    strict = replace(job, shop=replace(job.shop, largest_sheet=(48 * INCH, 48 * INCH)))
    told = check_plan(replace(plan, job=strict))
    assert any("larger or heavier than the shop takes in" in breach for breach in told)


def test_a_large_sheet_on_the_rack_is_used_all_the_same() -> None:
    piece = RackPiece(id="R1", material=PLATE, length=96 * INCH, width=48 * INCH)
    shop = exact_shop(largest_sheet=(48 * INCH, 48 * INCH))
    assert bought(plate_job([PART], [LARGE, SMALL], rack=(piece,), shop=shop)) == set()


def test_sheets_that_are_not_taken_in_are_told_and_a_part_that_needs_one_is_refused() -> None:
    shop = exact_shop(largest_sheet=(48 * INCH, 48 * INCH))
    job = plate_job([PART], [LARGE, SMALL], shop=shop)
    (told,) = find_idle_sources(job, {})
    assert "not bought, as the shop takes in no sheet so large or heavy" in told.sentence
    assert LARGE.id in told.sentence
    long = plate("L", 1, 60 * INCH, 10 * INCH)
    _, code, sentence, _ = unplaceable(job, long, [LARGE])
    assert code == "too-large"
    assert "larger or heavier than the shop takes in" in sentence
