"""A small sound plan of sticks that the yard parts, made by hand."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

from nesting.job import Job, Part, Saw, Shop
from nesting.plan import Layout, Order, Parting, Plan
from stock.offer import Basis, Offer, Yard
from tests.nesting.made import FOOT, INCH, bought, finished, group, lay, tube

EIGHTH = INCH // 8


def parted_plan() -> Plan:
    """Three 20 ft tubes at 60.00, 11' 4" of which can be carried; a cut costs 2.50, takes 1/8, may be 1/4 off.

    One stick: 50 + 50 + 30 with three saw cuts of 1/8 and a trim of 1/4 at each end, the last cut in it, need 130 3/4,
    with the tolerance 131. The other segment, 240 - 131 - 1/8 = 108 7/8, holds 50 + 30. Two sticks: 72 in need 72 3/4;
    as only 136 in may be in the other segment, 104 in are asked for, and 135 7/8 come home uncut, counted as 135 5/8.
    Together 180.00 and three cuts, 7.50.
    """
    material = tube()
    offer = Offer(
        id="offer 1",
        yard="North",
        material=material,
        length=20 * FOOT,
        longest=20 * FOOT,
        price=Decimal(60),
        per=Basis.EACH,
    )
    job = Job(
        name="long sticks",
        parts=(
            Part(mark="A", qty=3, material=material, length=50 * INCH, row=2),
            Part(mark="B", qty=2, material=material, length=30 * INCH, row=3),
            Part(mark="C", qty=2, material=material, length=72 * INCH, row=4),
        ),
        offers=(offer,),
        saws=(Saw(name="chop", kerf=EIGHTH, trim=2 * EIGHTH),),
        yards=(
            Yard(
                name="North",
                haul_limit=11 * FOOT + 4 * INCH,
                cut_charge=Decimal("2.50"),
                cut_tolerance=2 * EIGHTH,
                cut_kerf=EIGHTH,
            ),
        ),
        shop=Shop(currency="$"),
    )
    first, second = 131 * INCH, 108 * INCH + 7 * EIGHTH
    short, long = 104 * INCH, 135 * INCH + 7 * EIGHTH

    def segment(marks: str, nominal: int, at: tuple[int, int], times: int = 1) -> Layout:
        laid = lay(job, offer, marks, times=times, length=nominal - 2 * EIGHTH)
        return replace(laid, segment=at)

    def parting(segments: tuple[int, int], times: int) -> Parting:
        return Parting(
            offer=offer.id,
            length=offer.length,
            segments=segments,
            taken=(True, True),
            charge=Decimal("2.50"),
            times=times,
        )

    layouts = (
        segment("A A B", first, (0, 0)),
        segment("A B", second, (0, 1)),
        segment("C", short, (1, 0), 2),
        segment("", long, (1, 1), 2),
    )
    one = replace(
        group("tube 2 x 2 x 1/8", layouts, (bought(offer, 3),), Decimal("187.50")),
        partings=(parting((first, second), 1), parting((short, long), 2)),
    )
    plan = finished(job, (one,))
    return replace(
        plan,
        total=Decimal("187.50"),
        orders=(Order(yard="North", delivered=False, trips=1),),
        bound=one.bound.value,
    )
