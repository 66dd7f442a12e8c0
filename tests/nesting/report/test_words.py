"""How the plan speaks: a gap is never shown smaller than it is."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from nesting.job import Shop
from nesting.plan import GroupPlan, OtherChoice
from nesting.report.words import (
    best_possible_words,
    is_of_yards,
    number_words,
    other_words,
    others_heading,
    plan_proof_words,
    proof_words,
    slack_words,
    stick_words,
    weight_words,
)
from tests.nesting.made import FOOT, INCH, MM, inch_plan, metric_plan, mixed_plan


def _group(cost: str, bound: str) -> GroupPlan:
    group = inch_plan().groups[0]
    return replace(group, cost=Decimal(cost), bound=replace(group.bound, value=Decimal(bound)))


@pytest.mark.parametrize(
    ("cost", "bound", "says"),
    [
        ("124.94", "124.94", "proved: no plan of these rules is cheaper"),
        ("100.80", "100.00", "within 0.8 % of the best possible"),
        ("100.81", "100.00", "within 0.9 % of the best possible"),
        ("100000.01", "100000.00", "within 0.1 % of the best possible"),
        ("12.00", "0.00", "not known how near to the best possible"),
    ],
)
def test_the_proof_is_worded_as_agreed(cost: str, bound: str, says: str) -> None:
    """Proved, within a share that is rounded up, or not known."""
    assert proof_words(_group(cost, bound)) == says


def test_without_prices_plans_are_lighter_not_cheaper() -> None:
    """The trolley is judged by weight."""
    assert proof_words(metric_plan().groups[0]) == "proved: no plan of these rules is lighter"
    assert plan_proof_words(metric_plan()) == "proved: no plan of these rules is lighter"


@given(st.integers(1, 10**9), st.integers(1, 10**9))
def test_a_gap_is_never_shown_smaller_than_it_is(bound: int, above: int) -> None:
    """Whatever the cents."""
    group = _group(str(Decimal(bound + above) / 100), str(Decimal(bound) / 100))
    shown = Decimal(proof_words(group).split()[1])
    assert shown > 0
    assert shown * bound >= above * 100
    assert (shown - Decimal("0.1")) * bound < above * 100


def test_the_whole_plan_counts_all_groups_with_prices_and_says_that_fees_are_left_out() -> None:
    """Costs 214.70 + 177.54 + 38.70 = 430.94, bounds 187.41 + 177.54 + 38.70 = 403.65: 6.76 % above."""
    words = plan_proof_words(mixed_plan())
    assert words.startswith("within 6.8 % of the best possible, of the material that has a price; ")
    assert "delivery and minimum orders aside" in words
    assert plan_proof_words(inch_plan()) == "proved: no plan of these rules is cheaper"


def test_the_whole_plan_is_judged_with_its_fees_by_the_bound_over_all_choices_of_yards() -> None:
    """A bound as high as material and fees together is a proof; one a cent below leaves 0.1 %, rounded up."""
    plan = mixed_plan()
    due = sum((g.cost for g in plan.groups if g.priced), Decimal(0)) + sum(f for *_, f in plan.fees)
    proved = replace(plan, bound=due)
    words = "proved: no plan of these rules is cheaper, of the material that has a price"
    assert plan_proof_words(proved) == f"{words}, over all choices of yards, fees included"
    assert best_possible_words(proved) == "of what has a price, yes"
    near = replace(plan, bound=due - Decimal("0.01"))
    assert plan_proof_words(near).startswith("within 0.1 % of the best possible")
    assert best_possible_words(near) == "not proved"


def test_other_choices_of_yards_are_said_with_what_they_cost_more() -> None:
    other = OtherChoice(words="all from North Yard", more=Decimal("14.20"))
    assert other_words(replace(mixed_plan(), others=(other,))) == (("all from North Yard", "+ $14.20"),)
    assert other_words(mixed_plan()) == ()


def test_other_choices_say_when_they_count_what_rests_are_worth() -> None:
    plan = mixed_plan()
    assert others_heading(plan) == "Bought otherwise"
    earning = replace(plan, job=replace(plan.job, shop=replace(plan.job.shop, offcut_share=Decimal("0.5"))))
    assert others_heading(earning) == "Bought otherwise, counting what is left at its worth"


def test_a_group_is_proved_from_the_yards_chosen_where_fees_weigh_in_their_choice() -> None:
    """North Yard charges and is one of two; one yard alone, or yards that charge nothing, are no choice."""
    plan = mixed_plan()
    assert is_of_yards(plan.job)
    assert not is_of_yards(inch_plan().job)
    alone = tuple(replace(o, yard="North Yard") for o in plan.job.offers)
    assert not is_of_yards(replace(plan.job, offers=alone))
    hauled = replace(plan.job.yards[0], haul_limit=10 * FOOT)
    assert is_of_yards(replace(plan.job, offers=alone, yards=(hauled,)))
    assert proof_words(plan.groups[1], from_yards=True).endswith(", from the yards chosen")


def test_lengths_and_weights_are_said_in_the_unit_of_the_shop() -> None:
    """Sticks in feet, slack rounded down, pounds by 0.45359237 kg."""
    inch, metric = Shop(), Shop(unit="mm", decimal=",")
    assert [stick_words(length, inch) for length in (20 * FOOT, 63 * INCH)] == ["20'", "5' 3\""]
    assert stick_words(6000 * MM, metric) == "6000 mm"
    assert slack_words(INCH * 3 // 32 - 1, inch) == '1/16"'
    assert slack_words(MM * 199 // 100, Shop(unit="mm")) == "1.9 mm"
    assert slack_words(None, inch) == "any"
    assert (weight_words(10, inch), weight_words(1234.4, metric)) == ("22.0 lb", "1.234 kg")


@given(st.lists(st.integers(1, 5), max_size=8))
def test_stick_numbers_in_a_row_become_one_range(counts: list[int]) -> None:
    """Runs that touch are joined, whatever their lengths."""
    runs, at = [], 1
    for count in counts:
        runs.append((at, count))
        at += count
    total = sum(counts)
    assert number_words(runs) == ("" if not total else "1" if total == 1 else f"1–{total}")


def test_best_possible_is_a_plain_yes_only_where_nothing_is_left_out_of_the_proof() -> None:
    """Fees are left out of it, except where there is one yard to buy from; so is material without a price."""
    proved = inch_plan()
    assert best_possible_words(proved) == "yes"
    fee = (("Mill Lane", "delivery", Decimal(40)),)
    offers = proved.job.offers
    one_yard = replace(proved.job, offers=tuple(replace(o, yard="Mill Lane") for o in offers))
    assert best_possible_words(replace(proved, job=one_yard, fees=fee)) == "yes"
    other = replace(offers[0], id="offer 99", yard="Other yard")
    two_yards = replace(one_yard, offers=(*one_yard.offers, other))
    assert best_possible_words(replace(proved, job=two_yards, fees=fee)) == "but for fees, yes"
    unpriced = replace(proved.groups[0], priced=False)
    assert (
        best_possible_words(replace(proved, groups=(*proved.groups, unpriced))) == "of what has a price, yes"
    )
    dearer = replace(proved.groups[0], cost=proved.groups[0].bound.value + 1)
    assert best_possible_words(replace(proved, groups=(dearer, *proved.groups[1:]))) == "not proved"
