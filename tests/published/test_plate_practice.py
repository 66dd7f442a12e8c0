"""What the trade says of plates, flat bars and the torch, tried end to end on small jobs.

Common practice, no source: flat bar costs less than the same width cut out of a plate. It is true only as long as
the prices say so, and the plan must follow the prices. Least hole of the torch 1.5 thicknesses: design table of a
plasma cutting service (published).
"""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal

import pytest

from nesting.check import check_plan
from nesting.job import Hole, Job, Part, Saw, Shop
from nesting.market import make_plan
from nesting.plan import GroupPlan, Plan, Settings
from nesting.report.hole_list import hole_list
from stock.length import PER_INCH as INCH
from stock.length import parse_length
from stock.material import Material, parse_material
from stock.offer import Basis, Offer, Yard
from stock.rack import RackPiece

PLATE = parse_material("plate 3/8", unit="in")
FLAT = parse_material("flat 3/8 x 4", unit="in")
SAW = Saw(name="band saw", kerf=INCH // 16, trim=INCH // 8)


def offer(
    number: int,
    material: Material,
    length: int,
    width: int | None,
    price: str,
    available: int | None = None,
) -> Offer:
    """A sheet, or a flat bar without a width, inches, at a price each."""
    return Offer(
        id=f"offer {number}",
        yard="North",
        material=material,
        length=length * INCH,
        longest=length * INCH,
        width=None if width is None else width * INCH,
        price=Decimal(price),
        per=Basis.EACH,
        available=available,
    )


def tab(qty: int) -> Part:
    """A plate part of 3/8, 9 x 4 in: as wide as the flat bar."""
    return Part(mark="TAB", qty=qty, material=PLATE, length=9 * INCH, width=4 * INCH)


def planned(
    parts: Sequence[Part], offers: Sequence[Offer], rack: Sequence[RackPiece] = (), holes: Sequence[Hole] = ()
) -> Plan:
    """The plan of a shop with a torch and a saw, proved and checked."""
    job = Job(
        name="asked",
        parts=tuple(parts),
        offers=tuple(offers),
        rack=tuple(rack),
        holes=tuple(holes),
        saws=(SAW,),
        yards=(Yard(name="North"),),
        shop=Shop(processes=("torch",)),
    )
    plan = make_plan(job, Settings(time_s=None, work=200))
    assert check_plan(plan) == ()
    assert all(group.proved for group in plan.groups)
    return plan


def bought(plan: Plan) -> dict[str, int]:
    """How many of each offer."""
    return {line.offer: line.count for group in plan.groups for line in group.purchases}


def only(plan: Plan) -> GroupPlan:
    """Plates and flat bars hang together: one group."""
    (group,) = plan.groups
    return group


def test_the_flat_bar_is_taken_when_it_costs_less_than_its_width_of_plate() -> None:
    """Twelve 9 x 4: half of a 240 in bar at 60, or a 48 x 24 sheet at 95. Sawn, one cut each: all in one stick."""
    plan = planned([tab(12)], [offer(1, PLATE, 48, 24, "95.00"), offer(2, FLAT, 240, None, "60.00")])
    assert bought(plan) == {"offer 2": 1}
    assert only(plan).sheets == ()
    (stick,) = only(plan).layouts
    assert [piece.extent for piece in stick.pieces] == [9 * INCH] * 12


def test_the_plate_is_taken_when_the_flat_bar_costs_more() -> None:
    """The same with the bar at 110: the sheet holds them as well, by the torch."""
    plan = planned([tab(12)], [offer(1, PLATE, 48, 24, "95.00"), offer(2, FLAT, 240, None, "110.00")])
    assert bought(plan) == {"offer 1": 1}
    assert only(plan).layouts == ()
    assert [(sheet.process, len(sheet.pieces)) for sheet in only(plan).sheets] == [("torch", 12)]


@pytest.mark.parametrize(("cents", "expected"), [(-1, "offer 2"), (1, "offer 1")])
def test_a_cent_decides(cents: int, expected: str) -> None:
    """The bar a cent below, then above the sheet."""
    price = f"{Decimal('95.00') + Decimal(cents) / 100:.2f}"
    plan = planned([tab(12)], [offer(1, PLATE, 48, 24, "95.00"), offer(2, FLAT, 240, None, price)])
    assert bought(plan) == {expected: 1}


def test_a_mix_is_bought_where_it_costs_least() -> None:
    """Two 20 x 20 need a sheet of 48 x 24 anyway, and 7 in along are left of it: room for some of eight 9 x 4. For the
    others a second sheet at 95 loses to a bar at 30, which holds six."""
    large = Part(mark="BASE", qty=2, material=PLATE, length=20 * INCH, width=20 * INCH)
    plan = planned(
        [large, tab(8)], [offer(1, PLATE, 48, 24, "95.00"), offer(2, FLAT, 60, None, "30.00", available=1)]
    )
    assert bought(plan) == {"offer 1": 1, "offer 2": 1}
    sawn = sum(len(stick.pieces) * stick.times for stick in only(plan).layouts)
    burnt = sum(piece.mark == "TAB" for sheet in only(plan).sheets for piece in sheet.pieces)
    assert (sawn > 0, burnt > 0, sawn + burnt) == (True, True, 8)


def test_bar_parts_and_plate_parts_share_the_one_stick_there_is() -> None:
    """A 60 in bar, one in stock: 40 in of strap and two tabs of 9 are 58 and kerfs; the third tab needs the sheet."""
    strap = Part(mark="STRAP", qty=1, material=FLAT, length=40 * INCH)
    offers = [offer(1, PLATE, 12, 12, "40.00"), offer(2, FLAT, 60, None, "25.00", available=1)]
    assert bought(planned([strap, tab(2)], offers)) == {"offer 2": 1}
    plan = planned([strap, tab(3)], offers)
    assert bought(plan) == {"offer 1": 1, "offer 2": 1}


def test_a_flat_bar_on_the_rack_serves_plate_parts() -> None:
    """Free as it is: 60 in hold six tabs of 9 in and the kerfs between them."""
    piece = RackPiece(id="R1", material=FLAT, length=60 * INCH)
    plan = planned([tab(6)], [offer(1, PLATE, 48, 24, "95.00")], rack=[piece])
    assert (bought(plan), plan.total) == ({}, Decimal(0))


HOLES = [
    # thickness, diameters that the torch cuts, diameters that are drilled: 1.5 t, by hand
    ("3/8", ["9/16", "5/8", "1"], ["17/32", "1/2", "1/4"]),
    ("1/4", ["3/8", "7/16"], ["11/32", "1/4"]),
    ("1/8", ["3/16", "1/4"], ["5/32"]),
    ("1/2", ["3/4"], ["23/32", "9/16"]),
]


@pytest.mark.parametrize(("thickness", "torched", "drilled"), HOLES)
def test_a_hole_below_one_and_a_half_thicknesses_is_drilled(
    thickness: str, torched: list[str], drilled: list[str]
) -> None:
    """Design table of a plasma cutting service: least hole 1.5 x t (published)."""
    plate = parse_material(f"plate {thickness}", unit="in")
    part = Part(mark="TAB", qty=2, material=plate, length=9 * INCH, width=6 * INCH)
    holes = [
        Hole(mark="TAB", x=(1 + at) * INCH, y=3 * INCH, diameter=parse_length(size))
        for at, size in enumerate([*torched, *drilled])
    ]
    plan = planned([part], [offer(1, plate, 24, 24, "50.00")], holes=holes)
    (listed,) = hole_list(plan)
    assert [hole.made_by for hole in listed.holes] == ["torch"] * len(torched) + ["drill"] * len(drilled)


def test_holes_of_plate_parts_that_are_sawn_from_a_flat_bar_are_drilled() -> None:
    """No torch comes near them, however wide the hole."""
    hole = Hole(mark="TAB", x=2 * INCH, y=2 * INCH, diameter=INCH)
    plan = planned([tab(2)], [offer(1, FLAT, 24, None, "9.00")], holes=[hole])
    assert [listed.made_by for listed in hole_list(plan)[0].holes] == ["drill"]
