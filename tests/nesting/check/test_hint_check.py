"""Hints that cannot be followed: a sound plan with its hints changed."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import pytest

from nesting.check import check_plan, check_report
from nesting.job import Shop
from nesting.market import make_plan
from nesting.plan import Hint, Plan
from tests.nesting.market.asked import COUNTED, FOOT, INCH, job, offer, part
from tests.nesting.market.test_fill_parts import fill
from tests.nesting.market.test_hints import soft


@pytest.fixture(scope="module")
def plan() -> Plan:
    """Five A of 46 in leave 9 3/8 in of a clean stick, where a spare lies; B of 200 in leaves 39 7/8 in to keep."""
    parts = [soft("A", 5, 46 * INCH, INCH), part("B", 1, 200 * INCH), fill("C", 1, 9 * INCH)]
    asked = job(parts, [offer(1, 20 * FOOT, "60", clean_ends=2)], INCH // 8, shop=Shop(keep_length=24 * INCH))
    made = make_plan(asked, COUNTED)
    assert check_plan(made) == ()
    assert made.unfilled == ()
    return made


def told(plan: Plan, *changes: tuple[str, int], saves: str = "0") -> tuple[str, ...]:
    """The breaches of the plan with one hint."""
    hint = Hint(changes=changes, saves=Decimal(saves), words="")
    return check_plan(replace(plan, groups=(replace(plan.groups[0], hints=(hint,)),)))


def test_a_part_could_be_longer_as_far_as_its_sticks_have_room_spares_aside(plan: Plan) -> None:
    """9 1/2 in for five A with the last cut: 1 9/10 in each. B: 39 7/8 - 24 = 15 7/8 in, or the rest is not kept."""
    tenth = INCH // 10
    assert told(plan, ("A", -19 * tenth)) == ()
    (breach,) = told(plan, ("A", -19 * tenth - 1))
    assert "more of layout" in breach
    assert told(plan, ("B", -INCH * 127 // 8)) == ()
    (breach,) = told(plan, ("B", -INCH * 127 // 8 - 1))
    assert breach.endswith('which has 15 7/8" at no cost')


def test_a_part_is_made_shorter_by_no_more_than_it_may(plan: Plan) -> None:
    assert told(plan, ("A", INCH), saves="1") == ()
    assert 'due is 1" at most' in told(plan, ("A", INCH + 1), saves="1")[0]
    assert 'due is 0" at most' in told(plan, ("B", 1), saves="1")[0]


def test_a_hint_names_parts_of_its_group_once_and_saves_by_shortening_alone(plan: Plan) -> None:
    assert "part C is not of this group" in told(plan, ("C", 1), saves="1")[0]
    assert told(plan)[0].endswith("it names no part, or one twice, or saves less than nothing")
    assert told(plan, ("A", 1), ("A", 1), saves="1")
    assert told(plan, ("A", 1), saves="-1")
    assert "is not made shorter, and that saves 1" in told(plan, ("A", -1), saves="1")[0]


def test_no_more_is_saved_than_the_group_costs_and_the_check_says_what_it_does_not_verify(plan: Plan) -> None:
    (group,) = plan.groups
    (breach,) = told(plan, ("A", 1), saves=str(group.cost + 1))
    assert f"due is {group.cost} at most" in breach
    hint = Hint(changes=(("A", 1),), saves=Decimal(1), words="")
    (said,) = check_report(replace(plan, groups=(replace(group, hints=(hint,)),))).groups
    assert "What the shortening saves was found by planning again and is not verified" in said.words
    (without,) = check_report(replace(plan, groups=(replace(group, hints=()),))).groups
    assert "shorten" not in without.words


def test_where_a_rest_earns_money_no_part_grows_at_no_cost(plan: Plan) -> None:
    """With a share of 0.5 the rest of B earns, that of A does not."""
    asked = replace(plan.job, shop=replace(plan.job.shop, offcut_share=Decimal("0.5")))
    made = make_plan(asked, COUNTED)
    assert told(made, ("A", -INCH)) == ()
    assert told(made, ("B", -1))[0].endswith('which has 0" at no cost')
