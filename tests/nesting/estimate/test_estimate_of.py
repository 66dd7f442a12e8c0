"""A whole estimate: line by line by hand, and what it must never do."""

from __future__ import annotations

from dataclasses import replace
from decimal import ROUND_FLOOR, Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from nesting.estimate import Estimate, Line, estimate_of, rates_of
from nesting.estimate.rates import NAMES
from nesting.job import Hole, Job, Saw, Shop
from nesting.plan import GroupPlan, Plan
from nesting.read.rates import RATES
from nesting.read.schema import RATE_SETTINGS
from nesting.rules.credit import credit_of, credited
from stock.length import PER_INCH
from tests.nesting.made import inch_plan, metric_plan, mixed_plan
from tests.nesting.made_sheets import plate_plan

PLANS = (inch_plan(), metric_plan(), mixed_plan(), plate_plan())
EACH = pytest.mark.parametrize("plan", PLANS, ids=lambda plan: plan.job.name)
SET = {
    "labour_rate": "60",
    "machine_rate": "5",
    "contingency": "10",
    "tax": "8.25",
    "saw_rate": "9",
    "seconds_per_piece": "30",
    "seconds_per_stick": "180",
    "seconds_per_stop": "60",
    "seconds_per_sheet": "240",
    "seconds_per_shear_cut": "15",
    "torch_rate": "12",
    "torch_amps": "45",
    "torch_feed": "2540",  # mm a minute, 100 in
    "pierce_seconds": "1",
    "tip_price": "24",
    "tip_pierces": "100",
    "drill_speed": "27.432",  # m a minute, 90 ft
    "seconds_per_hole": "45",
    "seconds_per_drilled_part": "90",
    "clean_rate": "25",
    "disc_area": "5",
    "disc_price": "6.50",
    "blade_area": "40",
    "blade_price": "12",
    "coats": "2",
    "paint_rate": "120",
    "paint_solids": "65",
    "paint_film": "5",
    "paint_loss": "20",
    "paint_price": "48",
}


def _with(plan: Plan, rates: dict[str, str] | None = None, **shop: object) -> Plan:
    given_rates = tuple((name, Decimal(value)) for name, value in (rates or {}).items())
    job = replace(plan.job, shop=replace(plan.job.shop, rates=given_rates, **shop))
    return replace(plan, job=job, groups=tuple(_earning(job, group) for group in plan.groups))


def _earning(job: Job, group: GroupPlan) -> GroupPlan:
    """The group with what its rests earn by the job's settings."""
    layouts = credited(job, group.layouts, group.priced)
    return replace(group, layouts=layouts, credit=credit_of(layouts))


def _lines(estimate: Estimate) -> dict[str, Line]:
    lines = {line.operation: line for line in estimate.lines}
    assert len(lines) == len(estimate.lines)
    return lines


def test_a_whole_estimate_is_what_it_comes_to_by_hand() -> None:
    """The bench: 4 of 48 in and 6 of 24 in from two 20 ft tubes 2 x 2 x 1/8, every rate set.

    Area of the section by the HSS rule, outer radius 1/4, inner 1/8: 2/8 x (2 + 2 - 1/4) - (4 - pi)(1/16 -
    1/64) = 0.9375 - 0.0402379 = 0.8972621 in2. Cuts: both sticks squared off and five pieces freed, 12;
    12 x 0.8972621 = 10.767145 in2; at 9 in2/min 1.196349 min = 0.019939 h, up to 0.02 h, x 60 = 1.20. The
    saw: 0.02 h x 5 = 0.10. Blades: 10.767145 / 40 = 0.27, x 12 = 3.24.
    Handling: 2 x 180 + 10 x 30 + 2 x 60 = 780 s = 0.21667 h, up to 0.22 h, x 60 = 13.20.
    Girth: 8 - (8 - 2 pi)/4 = 7.570796 in; 336 in of parts: 2543.7876 in2 = 17.66519 ft2. Cleaning at 25
    ft2/h: 0.706608 h, up to 0.71 h, x 60 = 42.60. Discs: 17.66519 / 5 = 3.53, up to 4, x 6.50 = 26.00.
    Painting: 2 x 17.66519 / 120 = 0.29442 h, up to 0.30 h, x 60 = 18.00. Paint: 35.33038 ft2 at 1604.1667 x
    0.65 / 5 = 208.5417 ft2/gal, 0.169417 gal, over 0.8 = 0.211771, up to 0.22 gal, x 48 = 10.56.
    Credit: rests 23 1/8 and 119 1/8 in, both 12 in and longer, of 240 in at 62.47, half of it, each down to the cent:
    3.0096 and 15.5036, 3.00 + 15.50 = 18.50.
    Sum: 124.94 - 18.50 + 1.20 + 13.20 + 0.10 + 3.24 + 42.60 + 26.00 + 18.00 + 10.56 = 221.34. Contingency
    22.134 = 22.13. Tax on 243.47: 20.086275 = 20.09. Together 263.56.
    """
    estimate = estimate_of(_with(inch_plan(), SET, offcut_share=Decimal("0.5")))
    assert [
        (line.operation, str(line.amount), line.hours and str(line.hours)) for line in estimate.lines
    ] == [
        ("Material bought", "124.94", None),
        ("Credit for kept offcuts", "-18.50", None),
        ("Cutting, chop saw", "1.20", "0.02"),
        ("Handling at the saw", "13.20", "0.22"),
        ("Saws running", "0.10", None),
        ("Blades", "3.24", None),
        ("Taking off mill scale", "42.60", "0.71"),
        ("Cleaning discs", "26.00", None),
        ("Painting", "18.00", "0.30"),
        ("Paint", "10.56", None),
        ("Contingency", "22.13", None),
        ("Tax", "20.09", None),
    ]
    assert str(estimate.total) == "263.56"
    assert str(estimate.hours) == "1.25"
    assert estimate.unknown == ()
    assert not any(line.is_start_value for line in estimate.lines)
    assert not any("starting value" in line.how for line in estimate.lines)
    said = _lines(estimate)
    assert said["Cutting, chop saw"].how == "12 cuts through 10.8 in² of metal at 9 in² a minute"
    assert said["Handling at the saw"].how == "2 sticks × 180 s, 10 pieces × 30 s, 2 stop moves × 60 s"
    assert said["Paint"].how == (
        "35.3 ft² in all coats; 65 % solids dry to 5 mil cover 209 ft²/gal, 20 % is lost: 0.22 gal, each at $48.00"
    )
    assert said["Tax"].how == "8.25 % of all lines above"


def test_a_whole_estimate_of_plates_is_what_it_comes_to_by_hand() -> None:
    """The press stand of `plate_plan`, every rate set.

    Bought: 58.00 + 41.20 + 39.90 + 44.00 + 36.00 = 219.10; from the rack 6.50.
    Credit, half of: 11.25/24 of 58.00 = 27.1875; the bar's rest 240 - 1/4 - 55 - 5/8 = 184.125 of 240 at 41.20,
    31.608125; 23.9375/48 of 39.90 = 19.898047; 14.375 x 11.5 of 24 x 12 at 44.00, 25.256076; 27.75/48 of 36.00
    = 20.8125. Together 124.762248, half 62.38.
    Saw: the bar squared off and five pieces freed, 6 cuts of 4 x 1/4: 6 in2. The 1/2 in sheet: trims 2 x 12 and
    2 x 23.5, cuts 11.5 + 9 + 9, together 7 cuts and 100.5 in x 1/2 = 50.25 in2. The ripped bar: 6 + 10 + 10 + 6 +
    10 = 42 in x 1/2 = 21 in2, 5 cuts. 18 cuts, 77.25 in2; at 9 in2/min 8.5833 min = 0.1431 h, up to 0.15 h, x 60 =
    9.00; the saw 0.15 x 5 = 0.75; blades 77.25 / 40 = 1.93125, up to 1.94, x 12 = 23.28.
    Handling at the saw: 180 + 5 x 30 + 2 x 60 = 450 s = 0.125 h, up to 0.13 h, x 60 = 7.80.
    Torch: 5 BP of 28 in, in each two holes of 9/16 (10 pi x 9/16 = 17.6715 in; 1/4 is less than 1.5 x 1/4, so
    drilled), 2 LID of 84 in, parted over 30 in: 355.6715 in at 100 in/min 213.403 s; pierces 5 + 10 + 2 + 1 = 18 x
    1 s. 231.403 s = 0.0643 h, up to 0.07 h, x 60 = 4.20; the torch 0.07 x 12 = 0.84; tips 0.18 x 24 = 4.32.
    Handling of sheets: 5 sheets and a blank x 240, 5 + 1 + 1 + 2 + 3 pieces x 30, stops 9, 5 and 10, 2, 10, 2: 6 x
    60; 2160 s = 0.60 h, x 60 = 36.00.
    Drill: 90 ft/min. 1/4 in: 1375.099 turns x 0.004 = 5.50039 in/min; 1/4 + 0.3 x 1/4 = 0.325 in: 3.54519 s, 5
    times. 1/2 in: 687.549 x 0.007 = 4.81285 in/min; 0.4 in: 4.98666 s, twice. 27.699 s + 7 x 45 + 7 x 90 = 972.699
    s = 0.2702 h, up to 0.28 h, x 60 = 16.80.
    Surface, in2: BP 2 (48 + 14/4) x 5 = 515; TAB 2 (20 + 9/4) x 3 = 133.5; STRAP, a bar without ends, 8.5 x 20 x 2
    = 340; LID 2 (440 + 42 x 0.0747) x 2 = 1772.5496; RIB 2 (20 + 12/2) x 3 = 156; PAD 2 (45 + 14/2) x 2 = 208:
    3125.0496 in2 = 21.701733 ft2. Cleaning / 25 = 0.868 h, up to 0.87 h, x 60 = 52.20. Discs / 5, up to 5, x 6.50 =
    32.50. Painting 2 x / 120 = 0.3617 h, up to 0.37 h, x 60 = 22.20. Paint 43.403467 / 208.541667 / 0.8 = 0.26016,
    up to 0.27 gal, x 48 = 12.96.
    Sum: 219.10 + 6.50 - 62.38 + 9.00 + 7.80 + 0.75 + 23.28 + 4.20 + 0.84 + 4.32 + 36.00 + 16.80 + 52.20 + 32.50 +
    22.20 + 12.96 = 386.07. Contingency 38.607 = 38.61. Tax on 424.68: 35.0361 = 35.04. Together 459.72.
    """
    estimate = estimate_of(_with(plate_plan(), SET, offcut_share=Decimal("0.5")))
    assert [
        (line.operation, str(line.amount), line.hours and str(line.hours)) for line in estimate.lines
    ] == [
        ("Material bought", "219.10", None),
        ("Material from the rack", "6.50", None),
        ("Credit for kept offcuts", "-62.38", None),
        ("Cutting, band saw", "9.00", "0.15"),
        ("Handling at the saw", "7.80", "0.13"),
        ("Saws running", "0.75", None),
        ("Blades", "23.28", None),
        ("Cutting, torch", "4.20", "0.07"),
        ("Torch running", "0.84", None),
        ("Torch tips", "4.32", None),
        ("Handling of sheets", "36.00", "0.60"),
        ("Drilling", "16.80", "0.28"),
        ("Taking off mill scale", "52.20", "0.87"),
        ("Cleaning discs", "32.50", None),
        ("Painting", "22.20", "0.37"),
        ("Paint", "12.96", None),
        ("Contingency", "38.61", None),
        ("Tax", "35.04", None),
    ]
    assert (str(estimate.total), str(estimate.hours), estimate.unknown) == ("459.72", "2.47", ())
    said = _lines(estimate)
    assert said["Material bought"].how == "2 sticks and 3 sheets as on the buy list"
    assert said["Credit for kept offcuts"].how.startswith(
        "5 offcuts kept: 50 % of the price for their length, those"
    )
    assert said["Cutting, band saw"].how == "18 cuts through 77.2 in² of metal at 9 in² a minute"
    assert said["Cutting, torch"].how == (
        "sheet 14 ga: 16.5 ft of cut at 100 in/min and 3 pierces of 1.00 s; "
        "plate 1/4: 13.1 ft of cut at 100 in/min and 15 pierces of 1.00 s"
    )
    assert said["Torch tips"].how == "18 pierces at 100 a set: 0.18 × $24.00"
    assert (
        said["Handling of sheets"].how == "6 sheets and blanks × 240 s, 12 pieces × 30 s, 6 stop moves × 60 s"
    )
    assert said["Drilling"].how == "0.462 min of drilling at 90.0 ft/min, 7 holes × 45 s, 7 parts × 90 s"


@EACH
def test_no_money_is_invented(plan: Plan) -> None:
    """Without rates hours have no money, and the total is what the yards and the rack ask for."""
    estimate = estimate_of(plan)
    assert all(line.amount is None for line in estimate.lines if line.kind in ("work", "supply"))
    assert all(line.hours for line in estimate.lines if line.kind == "work")
    rack = {layout.source for each in plan.groups for layout in each.layouts if layout.source_kind == "rack"}
    rack |= {sheet.source for each in plan.groups for sheet in each.sheets if sheet.source_kind == "rack"}
    values = sum((piece.value for piece in plan.job.rack if piece.id in rack), Decimal(0))
    assert estimate.total == plan.total + values
    assert "No labour_rate is set" in " ".join(estimate.notes)


@EACH
def test_starting_values_are_marked_and_named_until_they_are_set(plan: Plan) -> None:
    """In the line and in its words; every field of the rates has a setting that reads it."""
    for line in estimate_of(plan).lines:
        assert line.is_start_value == ("(starting value)" in line.how)
    assert set(NAMES) == set(RATES) == {setting.name for setting in RATE_SETTINGS}
    every = estimate_of(_with(plan, SET))
    assert not any(line.is_start_value for line in every.lines)


def test_the_explanations_name_the_starting_values_that_are_taken() -> None:
    """Of both units, so that the manual and the template do not part from the code."""
    inch, metric = rates_of(Shop(unit="in")), rates_of(Shop(unit="mm"))
    for setting in RATE_SETTINGS:
        blank = setting.explanation.partition("; blank: ")[2]
        for rates in (inch, metric):
            value = getattr(rates, setting.name)
            assert (
                (str(value) in blank) if value else ("not" in blank or "none" in blank or "without" in blank)
            ), setting.name


@EACH
def test_the_report_says_what_the_layout_does_not_minimise_and_what_is_left_out(plan: Plan) -> None:
    notes = " ".join(estimate_of(plan).notes)
    assert "labour, supplies, paint" in notes
    assert "no part of that" in notes
    assert "Not in it: design, fitting, welding" in notes
    assert "rated for the machine's speed" in notes
    assert ("Torch: combustibles 35 ft" in notes) == any(
        sheet.process == "torch" for each in plan.groups for sheet in each.sheets
    )
    assert ("no gloves or loose sleeves at the spindle" in notes) == bool(plan.job.holes)


@EACH
def test_holes_in_bars_are_drilled(plan: Plan) -> None:
    """One more hole in every copy of the first bar part: a line for it, and the caution."""
    part = next(part for part in plan.job.parts if not part.is_plate)
    hole = Hole(mark=part.mark, x=PER_INCH, y=PER_INCH, diameter=PER_INCH // 2)
    estimate = estimate_of(replace(plan, job=replace(plan.job, holes=(*plan.job.holes, hole))))
    line, before = _lines(estimate)["Drilling"], _lines(estimate_of(plan)).get("Drilling")
    assert line.hours is not None
    assert line.hours > (Decimal(0) if before is None or before.hours is None else before.hours)
    assert "no gloves or loose sleeves at the spindle" in " ".join(estimate.notes)


def test_a_saw_that_says_its_rate_is_counted_at_it() -> None:
    """And is no starting value then; twice as fast takes half the hours, before they are rounded up."""
    plan = inch_plan()
    (saw,) = plan.job.saws
    fast = replace(plan, job=replace(plan.job, saws=(replace(saw, rate=Decimal("645.16") * 9),)))
    line = _lines(estimate_of(fast))["Cutting, chop saw"]
    assert (line.hours, line.is_start_value) == (Decimal("0.02"), False)
    assert line.how.endswith("at 9 in² a minute")


def test_two_saws_have_a_line_each() -> None:
    """The press frame: the sections above 2 in and the round bars go through the band saw."""
    lines = _lines(estimate_of(mixed_plan()))
    assert "25 cuts" in lines["Cutting, chop saw"].how
    assert "29 cuts" in lines["Cutting, band saw"].how
    unused = Saw(name="spare", kerf=1, trim=1)
    plan = mixed_plan()
    more = replace(plan, job=replace(plan.job, saws=(*plan.job.saws, unused)))
    assert [line.operation for line in estimate_of(more).lines] == list(lines)


def test_only_hot_rolled_steel_is_cleaned_and_only_bare_carbon_steel_painted() -> None:
    """The trolley: two 1900 and three 1000 mm tubes have no finish; nine 600 mm angles are galvanised.

    SHS 40 x 40 x 3, outer radius 6: girth 160 - (8 - 2 pi) x 6 = 149.699 mm, 6800 mm of it: 1.01795 m2.
    """
    lines = _lines(estimate_of(metric_plan()))
    cleaning = lines["Taking off mill scale"].how
    assert cleaning.startswith("1.02 m² at 2 m² an hour")
    assert cleaning.endswith("; 1.02 m² of steel without a finish counted as hot-rolled")
    assert lines["Painting"].how.startswith("1.02 m² × 1 coat")


@pytest.mark.parametrize(
    ("finish", "family", "cleaned", "painted"),
    [
        ("hot-rolled", "", True, True),
        ("pickled", "", False, True),
        ("cold-rolled", "", False, True),
        ("galvanised", "", False, False),
        ("", "stainless", False, False),
        ("", "aluminium", False, False),
    ],
)
def test_what_needs_cleaning_and_paint_goes_by_finish_and_family(
    finish: str, family: str, cleaned: bool, painted: bool
) -> None:
    from tests.nesting.made import tube

    plan = inch_plan()
    material = tube(f"{family} tube 2 x 2 x 1/8".strip(), finish=finish)
    job = replace(
        plan.job,
        parts=tuple(replace(part, material=material) for part in plan.job.parts),
        offers=tuple(replace(offer, material=material) for offer in plan.job.offers),
    )
    lines = _lines(estimate_of(replace(plan, job=job)))
    assert ("Taking off mill scale" in lines, "Paint" in lines) == (cleaned, painted)
    if cleaned:
        assert "counted as hot-rolled" not in lines["Taking off mill scale"].how


def test_no_coats_no_paint() -> None:
    estimate = estimate_of(_with(inch_plan(), {"coats": "0"}))
    assert not {"Paint", "Painting"} & set(_lines(estimate))
    assert "paint (no coats are set)" in " ".join(estimate.notes)


def test_offcuts_of_the_rack_keep_their_value_for_the_length() -> None:
    """The press frame at a share of 1/4, counted by hand from its layouts that keep a rest."""
    plan = mixed_plan()
    lines = _lines(estimate_of(_with(plan, offcut_share=Decimal("0.25"))))
    prices = {line.offer: line.unit_price or Decimal(0) for each in plan.groups for line in each.purchases}
    worth = Decimal(0)
    for each in plan.groups:
        for layout in each.layouts:
            if layout.keep and layout.source_kind == "offer":
                one = prices[layout.source] * layout.rest / layout.length / 4
                worth += one.quantize(Decimal("0.01"), ROUND_FLOOR) * layout.times
            elif layout.keep:
                worth += (Decimal("9.50") * layout.rest / layout.length).quantize(
                    Decimal("0.01"), ROUND_FLOOR
                )
    assert worth > 0
    assert lines["Credit for kept offcuts"].amount == -worth
    assert "Credit for kept offcuts" not in _lines(estimate_of(plan))


def test_short_rests_are_worth_their_price_as_scrap() -> None:
    """At 1.00 a kilogram, nothing for offcuts: 20 ft of 3.05 lb/ft (published: AISC table) is 27.7 kg.

    Both rests are kept and fetch that too: 23 1/8 / 240 and 119 1/8 / 240 of the weight of the stick.
    """
    plan = _with(inch_plan(), scrap_price=Decimal(1))
    kg = plan.groups[0].purchases[0].weight_kg / 2
    assert kg == pytest.approx(27.7, abs=0.05)
    due = sum(Decimal(int(kg * rest / 240 * 100)) / 100 for rest in (23.125, 119.125))
    credit = _lines(estimate_of(plan))["Credit for kept offcuts"]
    assert credit.amount == -due
    assert credit.how.endswith("shorter rests of bars as scrap")


@given(times=st.integers(1, 40))
def test_hours_and_material_grow_with_the_job_in_proportion(times: int) -> None:
    """A stick cut `times` as often: as many cuts; hours add up but for the rounding of each line."""
    plan = inch_plan()
    (only,) = plan.groups
    many = replace(only, layouts=tuple(replace(layout, times=times) for layout in only.layouts))
    once, all_of_them = _lines(estimate_of(plan)), _lines(estimate_of(replace(plan, groups=(many,))))
    assert all_of_them["Cutting, chop saw"].how.startswith(f"{12 * times} cuts")
    for name in ("Cutting, chop saw", "Taking off mill scale", "Painting"):
        one, whole = once[name].hours, all_of_them[name].hours
        assert one is not None
        assert whole is not None
        assert times * (one - Decimal("0.01")) <= whole <= times * one


@given(rates=st.dictionaries(st.sampled_from(NAMES), st.decimals(1, 99, places=2), max_size=8))
def test_the_total_is_the_sum_of_the_lines_whatever_is_set(rates: dict[str, Decimal]) -> None:
    """Contingency and tax count on what stands above them; every amount is whole cents."""
    rates = {name: Decimal(int(value)) if name == "coats" else value for name, value in rates.items()}
    for plan in PLANS:
        estimate = estimate_of(_with(plan, {name: str(value) for name, value in rates.items()}))
        *above, contingency, tax = estimate.lines
        cost = sum((line.amount for line in above if line.amount is not None), Decimal(0))
        assert contingency.amount is not None
        assert tax.amount is not None
        set_ = rates_of(_with(plan, {n: str(v) for n, v in rates.items()}).job.shop)
        assert abs(contingency.amount - cost * set_.contingency / 100) <= Decimal("0.005")
        assert abs(tax.amount - (cost + contingency.amount) * set_.tax / 100) <= Decimal("0.005")
        assert estimate.total == cost + contingency.amount + tax.amount
        assert all(line.amount == round(line.amount, 2) for line in estimate.lines if line.amount is not None)
