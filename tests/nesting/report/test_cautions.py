"""What to be careful about, where there is cause."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import pytest

from nesting.plan import Plan
from nesting.report.cautions import cautions_of
from tests.nesting.made import FOOT, INCH, inch_plan, metric_plan, mixed_plan
from tests.nesting.made_sheets import plate_plan

PLANS = pytest.mark.parametrize(
    "plan", [inch_plan(), metric_plan(), mixed_plan(), plate_plan()], ids=lambda plan: plan.job.name
)


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


@PLANS
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


def topics(plan: Plan) -> list[str]:
    """What a plan cautions about."""
    return [each.topic for each in cautions_of(plan)]


def test_hot_work_is_cautioned_about_only_where_the_torch_cuts() -> None:
    """Distances and minutes: 29 CFR 1910.252(a)(2)(iii) (published); shade: 1910.133(a)(5) (published)."""
    said = {each.topic: each for each in cautions_of(plate_plan())}
    assert "35 ft" in said["hot work"].text
    assert "30 minutes" in said["hot work"].text
    assert "1910.252(a)(2)(iii)" in said["hot work"].source
    assert "shade 8" in said["light and sparks"].text
    assert {"cutting fume", "compressed gas", "water table"} <= set(said)
    sawn = replace(plate_plan(), groups=plate_plan().groups[2:])
    assert not {"hot work", "light and sparks", "compressed gas"} & set(topics(sawn))
    assert {"sheets", "saw cuts"} <= set(topics(sawn))
    assert not {"hot work", "sheets", "at the shear"} & set(topics(inch_plan()))


def test_saws_are_cautioned_about_only_where_something_is_sawn() -> None:
    """A plan of torch sheets alone, and the same sheets sheared."""
    plan = plate_plan()
    torch = replace(plan, groups=plan.groups[1:2], job=replace(plan.job, holes=()))
    assert not {"saw cuts", "at the saw", "abrasive wheels", "at the shear", "drilling"} & set(topics(torch))
    (sheared,) = (replace(sheet, process="shear", saw="") for sheet in plan.groups[2].sheets[:1])
    by_shear = replace(torch, groups=(replace(plan.groups[2], sheets=(sheared,)),))
    assert "at the shear" in topics(by_shear)
    assert not {"saw cuts", "hot work"} & set(topics(by_shear))


def test_drilling_is_cautioned_about_where_there_are_holes_to_drill() -> None:
    """The torch cuts large holes itself: without the small ones and those of bars nobody drills."""
    plan = plate_plan()
    assert "drilling" in topics(plan)
    large = tuple(hole for hole in plan.job.holes if hole.mark == "BP" and hole.diameter > INCH // 2)
    assert "drilling" not in topics(replace(plan, job=replace(plan.job, holes=large)))


def test_heavy_sheets_are_named_beside_heavy_sticks() -> None:
    """A shop that lifts 15 kg: sheets 3, 4 and 5 of 18.5 kg, and the flat bar of 240 x 4 x 1/4 in, 68 lb."""
    plan = plate_plan()
    weak = replace(plan, job=replace(plan.job, shop=replace(plan.job.shop, lift_kg=Decimal(15))))
    (lifting,) = (each for each in cautions_of(weak) if each.topic == "lifting")
    assert "1 stick, 3 sheets" in lifting.text
    assert "stick 1; sheets 3–5" in lifting.text


def test_a_galvanised_sheet_is_cautioned_about() -> None:
    """As a galvanised bar is."""
    plan = plate_plan()
    zinc = replace(plan.job.offers[2].material, finish="galvanised")
    offers = tuple(replace(each, material=zinc) if each.id == "offer 3" else each for each in plan.job.offers)
    assert "galvanised" in topics(replace(plan, job=replace(plan.job, offers=offers)))
    assert "galvanised" not in topics(plan)
