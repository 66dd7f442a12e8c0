"""Plates and flat bars weighed through the whole chain, against weights and areas that stand elsewhere."""

from __future__ import annotations

from decimal import Decimal

import pytest

from nesting.check import check_plan
from nesting.job import Job, Part, Shop
from nesting.market import make_plan
from nesting.plan import Plan, Settings
from stock.length import PER_INCH, parse_length
from stock.material import parse_material
from stock.offer import Basis, Offer, Yard

INCH, FOOT = PER_INCH, 12 * PER_INCH
LB = 0.45359237
LB_FT2 = LB / 0.3048**2
LB_FT = LB / 0.3048

SHEETS = [
    # designation, feet along, feet across, pounds printed, percent, source
    ("plate 1/4", 8, 4, 326.7, 0.1, "a 4 x 8 ft plate of 1/4 in: derived, 10.21 lb/ft2 x 32"),
    ("plate 3/8", 8, 4, 15.31 * 32, 0.1, "15.31 lb/ft2: plate tables, from memory"),
    ("plate 1/2", 10, 5, 20.42 * 50, 0.1, "20.42 lb/ft2: plate tables, from memory"),
    ("sheet 10 ga", 8, 4, 5.625 * 32, 0.01, "5.625 lb/ft2: 15 U.S.C. 206, published"),
    ("sheet 14 ga", 8, 4, 3.125 * 32, 0.01, "3.125 lb/ft2: 15 U.S.C. 206, published"),
    ("sheet 16 ga", 10, 4, 2.5 * 40, 0.01, "2.5 lb/ft2: 15 U.S.C. 206, published"),
]


def one_sheet(designation: str, along: int, across: int, price: str, per: Basis) -> Plan:
    """The plan, checked, that buys one sheet of so many feet for one part that nearly fills it."""
    material = parse_material(designation, unit="in")
    offer = Offer(
        id="offer 1",
        yard="North",
        material=material,
        length=along * FOOT,
        longest=along * FOOT,
        width=across * FOOT,
        price=Decimal(price),
        per=per,
    )
    part = Part(
        mark="P",
        qty=1,
        material=material,
        length=along * FOOT - INCH,
        width=across * FOOT - INCH,
        turn="none",
    )
    job = Job(name="asked", parts=(part,), offers=(offer,), yards=(Yard(name="North"),), shop=Shop())
    plan = make_plan(job, Settings(time_s=None, work=50))
    assert check_plan(plan) == ()
    return plan


@pytest.mark.parametrize(("designation", "along", "across", "pounds", "percent", "source"), SHEETS)
def test_a_sheet_is_bought_at_the_weight_of_the_tables(
    designation: str, along: int, across: int, pounds: float, percent: float, source: str
) -> None:
    """Sheet by sheet."""
    plan = one_sheet(designation, along, across, "100", Basis.EACH)
    assert plan.weight_kg / LB == pytest.approx(pounds, rel=percent / 100), source
    assert plan.groups[0].purchases[0].weight_kg == plan.weight_kg


def test_gauge_sheet_is_not_weighed_by_thickness_and_density() -> None:
    """16 ga, 0.0598 in: 40.83 lb/ft2 per inch would give 2.441 (derived), 2.4 % less than 2.5 (15 U.S.C. 206)."""
    plan = one_sheet("sheet 16 ga", 8, 4, "100", Basis.EACH)
    assert plan.weight_kg / LB > 1.02 * 32 * 2.441


def test_a_price_by_area_is_for_the_area_of_the_whole_sheet() -> None:
    """4 x 8 ft are 32 sq ft, 2.9729 m2 (0.3048^2 m2 each, exact by definition of the foot)."""
    assert one_sheet("plate 1/4", 8, 4, "3.25", Basis.SQUARE_FOOT).total == Decimal("104.00")
    assert one_sheet("plate 1/4", 8, 4, "100", Basis.SQUARE_METRE).total == Decimal("297.29")


def test_a_price_by_weight_is_for_the_weight_of_the_gauge() -> None:
    """Ten gauge, 5.625 lb/ft2 (15 U.S.C. 206, published): 4 x 8 ft are 180 lb exactly."""
    assert one_sheet("sheet 10 ga", 8, 4, "0.85", Basis.POUND).total == Decimal("153.00")


@pytest.mark.parametrize("thickness", ["1/8", "3/16", "1/4", "3/8", "1/2", "1"])
@pytest.mark.parametrize("width", ["1", "2", "4", "8"])
def test_a_flat_bar_weighs_what_its_rectangle_of_plate_weighs(thickness: str, width: str) -> None:
    """The metal is the same (derived); one has a density in tables, the other 490 lb/ft3, equal to 0.05 %."""
    flat = parse_material(f"flat {thickness} x {width}", unit="in")
    plate = parse_material(f"plate {thickness}", unit="in")
    ours = flat.weight_kg(20 * FOOT)
    assert ours == pytest.approx(plate.weight_kg(20 * FOOT, parse_length(width)), rel=0.0005)


@pytest.mark.parametrize(
    ("thickness", "width", "flat_lb_ft", "plate_lb_ft2"),
    [("1/4", 1, 0.851, 10.21), ("1/4", 2, 1.70, 10.21), ("3/8", 3, 3.83, 15.31)],
)
def test_printed_weights_of_flat_bar_and_plate_agree_with_ours(
    thickness: str, width: int, flat_lb_ft: float, plate_lb_ft2: float
) -> None:
    """Flat bars by the factor 3.403 w t (pipingdesigner.us, 490 lb/ft3: published), plates from memory."""
    flat = parse_material(f"flat {thickness} x {width}", unit="in")
    plate = parse_material(f"plate {thickness}", unit="in")
    assert flat.kg_per_m / LB_FT == pytest.approx(flat_lb_ft, rel=0.001)
    assert plate.kg_per_m2 / LB_FT2 == pytest.approx(plate_lb_ft2, rel=0.001)
    assert flat_lb_ft == pytest.approx(plate_lb_ft2 * width / 12, rel=0.001)
