"""What the yard is asked to cut, in words, and what the reports reckon of sticks that it parts."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import pytest

from nesting.check import check_plan
from nesting.job import Shop
from nesting.plan import Parting
from nesting.report.cautions import cautions_of
from nesting.report.offcuts import offcuts_of, use_of
from nesting.report.order import order_of
from nesting.report.saw_list import saw_list
from nesting.report.words import included_words, money_words
from nesting.report.yard_cuts import yard_cut_lines
from stock.length import PER_MM
from tests.nesting.made import FOOT, INCH
from tests.nesting.made_parted import EIGHTH, parted_plan


def parting(*segments: int, taken: tuple[bool, ...] = (), times: int = 1) -> Parting:
    """Segments of a stick of offer 1."""
    return Parting(
        offer="offer 1",
        length=sum(segments),
        segments=segments,
        taken=taken or (True,) * len(segments),
        charge=Decimal(0),
        times=times,
    )


REST = 80 * INCH - EIGHTH
SIX_EIGHT = 80 * INCH


@pytest.mark.parametrize(
    ("partings", "clean_ends", "due"),
    [
        ([parting(136 * INCH, 104 * INCH - EIGHTH)], 0, ["have it cut at 11' 4\""]),
        ([parting(104 * INCH - EIGHTH, 136 * INCH)], 0, ["have it cut at 11' 4\""]),
        ([parting(136 * INCH, 104 * INCH - EIGHTH)], 1, ["have it cut at 11' 4\" from its clean end"]),
        (
            [parting(104 * INCH - EIGHTH, 136 * INCH)],
            1,
            ["have it cut at 11' 4\" from its end that is not clean"],
        ),
        (
            [parting(100 * INCH, 140 * INCH - EIGHTH, taken=(True, False))],
            2,
            ["have it cut at 8' 4\", the rest stays there"],
        ),
        (
            [parting(SIX_EIGHT, SIX_EIGHT, REST, times=2)],
            0,
            ["have each cut into 6' 8\", 6' 8\" and the rest (6' 7 7/8\"), in this order"],
        ),
        (
            [parting(136 * INCH, 104 * INCH, times=2), parting(130 * INCH, 110 * INCH - EIGHTH)],
            0,
            ["2 of them: have each cut at 11' 4\"", "1 of them: have it cut at 10' 10\""],
        ),
        (
            [parting(136 * INCH, 104 * INCH - EIGHTH), parting(136 * INCH, 104 * INCH - EIGHTH, times=3)],
            0,
            ["have each cut at 11' 4\""],
        ),
        ([parting(240 * INCH, taken=(False,), times=2)], 0, ["leave each there, bought for the price alone"]),
    ],
)
def test_where_a_stick_is_cut_is_said_by_its_round_figures(
    partings: list[Parting], clean_ends: int, due: list[str]
) -> None:
    offer = replace(parted_plan().job.offers[0], clean_ends=clean_ends)
    assert list(yard_cut_lines(partings, offer, Shop())) == due


def test_a_metric_shop_is_told_millimetres() -> None:
    one = parting(3500 * PER_MM, 2497 * PER_MM)
    (said,) = yard_cut_lines([one], parted_plan().job.offers[0], Shop(unit="mm"))
    assert said == "have it cut at 3500 mm"


def test_the_plan_made_by_hand_is_sound() -> None:
    assert check_plan(parted_plan()) == ()


def test_the_order_counts_cuts_and_their_money() -> None:
    order = order_of(parted_plan())
    (yard,) = order.yards
    (line,) = yard.lines
    assert (line.count, line.total, line.yard_cuts, line.cut_total) == (3, Decimal(180), 3, Decimal("7.50"))
    assert yard.total == order.total == Decimal("187.50")
    assert yard.too_long == ()
    assert not any("longer than you can carry" in each.text for each in cautions_of(parted_plan()))
    assert included_words(parted_plan()) == "yard cuts included"


def test_the_sum_to_pay_says_what_rests_are_worth_beside_it() -> None:
    plan = parted_plan()
    earning = replace(plan.groups[0], credit=Decimal("4.5"))
    told = included_words(replace(plan, groups=(earning, *plan.groups[1:])))
    assert told == f"yard cuts included; rests are worth {money_words(Decimal('4.50'), plan.job.shop)}"


def test_cuts_of_sticks_without_a_price_are_counted_and_cost_nothing_yet() -> None:
    plan = parted_plan()
    group = plan.groups[0]
    lines = tuple(replace(line, unit_price=None, total=None) for line in group.purchases)
    unpriced = replace(plan, groups=(replace(group, priced=False, purchases=lines),))
    (line,) = order_of(unpriced).lines
    assert (line.yard_cuts, line.cut_total) == (3, Decimal(0))
    assert unpriced.groups[0].charges == 0


def test_segments_stand_in_the_saw_list_as_what_they_are_asked_for() -> None:
    saws = saw_list(parted_plan())
    assert {(s.asked, s.layout.length) for s in saws.cut} == {
        (104 * INCH, 103 * INCH + 6 * EIGHTH),
        (131 * INCH, 130 * INCH + 6 * EIGHTH),
        (108 * INCH + 7 * EIGHTH, 108 * INCH + 5 * EIGHTH),
    }
    assert [s.asked for s in saws.whole] == [135 * INCH + 7 * EIGHTH]


def test_an_end_that_the_yard_cut_is_not_clean() -> None:
    """A stick with two clean ends: each segment of two has one. Whole, both would be."""
    plan = parted_plan()
    offers = (replace(plan.job.offers[0], clean_ends=2),)
    saws = saw_list(replace(plan, job=replace(plan.job, offers=offers)))
    assert {s.clean_ends for s in saws.sticks} == {1}
    assert [offcut.clean_ends for offcut in offcuts_of(saws) if offcut.length > 11 * FOOT] == [1]


def test_what_is_left_of_parted_sticks_is_counted_of_the_whole_sticks() -> None:
    """720 in bought; 3 x 50 + 2 x 30 + 2 x 72 = 354 become parts; two of 135 5/8, two of 103 3/4 - 72 3/8 and one of
    108 5/8 - 80 1/2 in are kept."""
    use = use_of(parted_plan().groups[0])
    assert use.total == 720 * INCH
    assert use.used == 354 * INCH
    assert use.kept == 2 * (135 * 8 + 5) * EIGHTH + 2 * (31 * 8 + 3) * EIGHTH + (28 * 8 + 1) * EIGHTH
