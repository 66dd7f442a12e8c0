"""What is bought, what the rack gives, what is left, and what to be careful about."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import pytest

from nesting.cautions import cautions_of
from nesting.offcuts import offcuts_of, use_of
from nesting.order import order_of
from nesting.plan import Plan
from nesting.saw_list import saw_list
from tests.nesting.made import FOOT, INCH, inch_plan, metric_plan, mixed_plan


@pytest.mark.parametrize("plan", [inch_plan(), metric_plan(), mixed_plan()], ids=lambda plan: plan.job.name)
def test_the_order_adds_up_to_the_plan(plan: Plan) -> None:
    """Money, weight and counts of all yards are those of the plan."""
    order = order_of(plan)
    assert order.total == plan.total
    assert order.weight_kg == pytest.approx(plan.weight_kg)
    assert order.sticks == sum(line.count for group in plan.groups for line in group.purchases)


def test_yards_come_in_the_order_of_the_job_with_their_fees() -> None:
    """North Yard's delivery and shortfall stand under North Yard."""
    first, second = order_of(mixed_plan()).yards
    assert (first.yard.name, second.yard.name) == ("North Yard", "=Bay & Sons <steel>")
    assert [what for what, _ in first.fees] == ["delivery", "shortfall to the minimum order"]
    assert first.total == Decimal("345.00")
    assert second.fees == ()
    assert not first.is_priced


def test_a_yard_that_only_the_offers_name_is_found() -> None:
    """The yards table may be left out."""
    plan = metric_plan()
    assert plan.job.yards == ()
    assert [yard.yard.name for yard in order_of(plan).yards] == ["Stahl Nord"]


def test_what_the_rack_gives_is_listed_with_its_weight() -> None:
    """One piece of 2150 mm; SHS 40 x 40 x 3 weighs 3.30 kg/m (EN 10219 table, published), so 7.1 kg."""
    (take,) = order_of(metric_plan()).rack
    assert take.piece.id == "R-7"
    assert take.weight_kg == pytest.approx(7.1, rel=0.005)


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


@pytest.mark.parametrize("plan", [inch_plan(), metric_plan(), mixed_plan()], ids=lambda plan: plan.job.name)
def test_parts_offcuts_and_loss_make_up_the_sticks(plan: Plan) -> None:
    """Nothing of the length is counted twice or forgotten."""
    for group in plan.groups:
        use = use_of(group)
        assert use.total == sum(layout.length * layout.times for layout in group.layouts)
        assert use.used == sum(p.extent * layout.times for layout in group.layouts for p in layout.pieces)
        assert min(use.used, use.kept, use.lost) >= 0


def test_heavy_sticks_call_for_two_people() -> None:
    """Tube 4 x 4 x 1/4 weighs 12.21 lb/ft (AISC table, published), 203 5/8 in 207 lb; NIOSH: 51 lb."""
    lifting = [each for each in cautions_of(mixed_plan()) if each.topic == "lifting"]
    assert len(lifting) == 1
    assert "207 lb" in lifting[0].text
    assert "NIOSH" in lifting[0].source


def test_light_sticks_do_not() -> None:
    """20 ft of 2 x 2 x 1/8 weigh 61 lb; a shop that lifts 30 kg (66 lb) alone is not warned."""
    plan = inch_plan()
    strong = replace(plan, job=replace(plan.job, shop=replace(plan.job.shop, lift_kg=Decimal(30))))
    assert not [each for each in cautions_of(strong) if each.topic == "lifting"]


def test_zinc_is_cautioned_about_only_where_there_is_zinc() -> None:
    """Zinc oxide fume: OSHA 29 CFR 1910.1000 table Z-1 and AWS Fact Sheet 25 (published)."""
    assert [each.source for each in cautions_of(metric_plan()) if each.topic == "galvanised"] == [
        "29 CFR 1910.1000 table Z-1; AWS Fact Sheet 25"
    ]
    assert not [each for each in cautions_of(inch_plan()) if "zinc" in each.text]


@pytest.mark.parametrize("plan", [inch_plan(), metric_plan(), mixed_plan()], ids=lambda plan: plan.job.name)
def test_every_plan_says_that_no_strength_is_computed(plan: Plan) -> None:
    """And each caution names where it comes from."""
    cautions = cautions_of(plan)
    assert "no strength" in cautions[0].text
    assert all(each.source and each.text for each in cautions)


def test_a_load_that_cannot_be_carried_home_is_said() -> None:
    """The bay's 203 5/8 in stick fits its 20 ft limit; with 10 ft it does not, nor 94 kg into 50 kg."""
    plan = mixed_plan()
    assert not [each for each in cautions_of(plan) if each.topic == "hauling"]
    north, bay = plan.job.yards
    small = replace(bay, haul_limit=10 * FOOT, payload_kg=50.0)
    said = [
        each.text
        for each in cautions_of(replace(plan, job=replace(plan.job, yards=(north, small))))
        if each.topic == "hauling"
    ]
    assert len(said) == 2
