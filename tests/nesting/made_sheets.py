"""A small sound plan with plates, made by hand, for the tests of whatever reads a plan.

`plate_plan` has a sheet under the torch, one parted into blanks for a small bed, one that is sawn, a flat bar sawn to
length together with bar parts, a flat bar that is sawn lengthwise, rack material, and holes.
"""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

from nesting.job import Hole, Job, Part, Saw, Shop
from nesting.plan import GroupPlan, Layout, Piece, Placed, Plan, Purchase, Rect, SheetLayout, StraightCut
from stock.length import PER_INCH
from stock.material import parse_material
from stock.money import line_total
from stock.offer import Basis, Offer, Yard
from stock.rack import RackPiece
from tests.nesting.made import finished, searched

INCH = PER_INCH
EIGHTH = INCH // 8


def rect(x: float, y: float, length: float, width: float) -> Rect:
    """A rectangle in inches (multiples of 1/1024)."""
    return Rect(*(round(v * 1024) * (INCH // 1024) for v in (x, y, length, width)))


def put(mark: str, x: float, y: float, length: float, width: float, turned: bool = False) -> Placed:
    """A piece at a place, inches."""
    return Placed(mark=mark, place=rect(x, y, length, width), turned=turned)


def _bought(offer: Offer, count: int) -> Purchase:
    price = offer.unit_price()
    return Purchase(
        offer=offer.id,
        length=offer.length,
        width=offer.width,
        count=count,
        unit_price=price,
        total=line_total(count, price),
        weight_kg=count * offer.material.weight_kg(offer.length, offer.width),
    )


def plate_job() -> Job:
    """Base plates 8 x 6, gussets, and flat bars; bed 24 x 24 in, torch and saw."""
    quarter = parse_material("plate 1/4", unit="in")
    half = parse_material("plate 1/2", unit="in", grade="A36")
    gauge = parse_material("sheet 14 ga", unit="in")
    flat = parse_material("flat 1/4 x 4", unit="in")
    wide = parse_material("flat 1/2 x 6", unit="in", grade="A36")

    def sheet(n: int, material: object, length: int, width: int | None, price: str, clean: int = 0) -> Offer:
        return Offer(
            id=f"offer {n}",
            yard="Dock Street",
            material=material,  # type: ignore[arg-type]
            length=length * INCH,
            longest=length * INCH,
            width=None if width is None else width * INCH,
            price=Decimal(price),
            per=Basis.EACH,
            clean_ends=clean,
        )

    return Job(
        name="press stand",
        parts=(
            Part(mark="BP", qty=5, material=quarter, length=8 * INCH, width=6 * INCH, row=2),
            Part(mark="TAB", qty=3, material=quarter, length=5 * INCH, width=4 * INCH, row=3),
            Part(mark="STRAP", qty=2, material=flat, length=20 * INCH, row=4),
            Part(mark="LID", qty=2, material=gauge, length=22 * INCH, width=20 * INCH, turn="none", row=5),
            Part(mark="RIB", qty=3, material=half, length=10 * INCH, width=2 * INCH, process="saw", row=6),
            Part(mark="PAD", qty=2, material=half, length=9 * INCH, width=5 * INCH, process="saw", row=7),
        ),
        offers=(
            sheet(1, quarter, 24, 24, "58.00"),
            sheet(2, flat, 240, None, "41.20"),
            sheet(3, gauge, 48, 30, "39.90"),
            sheet(4, half, 24, 12, "44.00"),
            sheet(5, wide, 48, None, "36.00", clean=2),
        ),
        rack=(
            RackPiece(
                id="R 3",
                material=gauge,
                length=30 * INCH,
                width=24 * INCH,
                value=Decimal("6.50"),
                place="wall",
            ),
        ),
        saws=(Saw(name="band saw", kerf=EIGHTH, trim=INCH // 4),),
        yards=(Yard(name="Dock Street"),),
        holes=(
            Hole(mark="BP", x=INCH, y=INCH, diameter=INCH * 9 // 16),
            Hole(mark="BP", x=7 * INCH, y=INCH, diameter=INCH * 9 // 16),
            Hole(mark="BP", x=4 * INCH, y=3 * INCH, diameter=INCH // 4),
            Hole(mark="STRAP", x=2 * INCH, y=2 * INCH, diameter=INCH // 2),
        ),
        shop=Shop(currency="$", processes=("torch", "saw"), bed=(30 * INCH, 24 * INCH), denominator=32),
    )


def plate_plan() -> Plan:
    """All parts of `plate_job`, laid by hand.

    Torch, 24 x 24, margins 1/4: five BP in two rows, BP above. Flat bar of 4 in: TAB three times and STRAP twice,
    sawn. 48 x 30 sheet of 14 ga: longer than the bed, cut across at 24 in and 1/16 of kerf into blanks of 24 x 30
    and 23 15/16 x 30; one LID on the first; the other LID on the rack sheet. 24 x 12 of 1/2 in, sawn, trimmed by
    1/4 all round: PAD, PAD, and RIB three times from the flat bar, ripped into three strips of 2 in less kerfs: two.
    """
    job = plate_job()
    offers = {o.id: o for o in job.offers}
    torch = SheetLayout(
        source_kind="offer",
        source="offer 1",
        length=24 * INCH,
        width=24 * INCH,
        process="torch",
        saw="",
        times=1,
        pieces=(
            put("BP", 0.25, 0.25, 8, 6),
            put("BP", 8.5, 0.25, 8, 6),
            put("BP", 0.25, 6.5, 8, 6),
            put("BP", 8.5, 6.5, 8, 6),
            put("BP", 16.75, 0.25, 6, 8, True),
        ),
        offcuts=(rect(0, 12.75, 24, 11.25),),
    )
    kerf, at, pieces = EIGHTH, INCH // 4, []
    for mark, extent in (("STRAP", 20), ("STRAP", 20), ("TAB", 5), ("TAB", 5), ("TAB", 5)):
        pieces.append(Piece(mark=mark, start=at, extent=extent * INCH))
        at += extent * INCH + kerf
    bar = Layout(
        source_kind="offer",
        source="offer 2",
        length=240 * INCH,
        saw="band saw",
        times=1,
        head=INCH // 4,
        pieces=tuple(pieces),
        rest=240 * INCH - at,
        keep=True,
    )
    parted = SheetLayout(
        source_kind="offer",
        source="offer 3",
        length=48 * INCH,
        width=30 * INCH,
        process="torch",
        saw="",
        times=1,
        cuts=(StraightCut(region=rect(0, 0, 48, 30), axis="across", stop=24 * INCH),),
        blanks=(rect(0, 0, 24, 30), rect(24.0625, 0, 23.9375, 30)),
        pieces=(put("LID", 0.25, 0.25, 22, 20),),
        offcuts=(rect(24.0625, 0, 23.9375, 30),),
    )
    racked = SheetLayout(
        source_kind="rack",
        source="R 3",
        length=30 * INCH,
        width=24 * INCH,
        process="torch",
        saw="",
        times=1,
        pieces=(put("LID", 0.25, 0.25, 22, 20),),
    )
    sawn = SheetLayout(
        source_kind="offer",
        source="offer 4",
        length=24 * INCH,
        width=12 * INCH,
        process="saw",
        saw="band saw",
        times=1,
        trims=(INCH // 4,) * 4,
        cuts=(
            StraightCut(region=rect(0.25, 0.25, 23.5, 11.5), axis="across", stop=9 * INCH),
            StraightCut(region=rect(0.25, 0.25, 9, 11.5), axis="along", stop=5 * INCH),
            StraightCut(region=rect(0.25, 5.375, 9, 6.375), axis="along", stop=5 * INCH),
        ),
        pieces=(put("PAD", 0.25, 0.25, 9, 5), put("PAD", 0.25, 5.375, 9, 5)),
        offcuts=(rect(9.375, 0.25, 14.375, 11.5),),
    )
    ripped = SheetLayout(
        source_kind="offer",
        source="offer 5",
        length=48 * INCH,
        width=6 * INCH,
        process="saw",
        saw="band saw",
        times=1,
        cuts=(
            StraightCut(region=rect(0, 0, 48, 6), axis="across", stop=10 * INCH),
            StraightCut(region=rect(0, 0, 10, 6), axis="along", stop=2 * INCH),
            StraightCut(region=rect(0, 2.125, 10, 3.875), axis="along", stop=2 * INCH),
            StraightCut(region=rect(10.125, 0, 37.875, 6), axis="across", stop=10 * INCH),
            StraightCut(region=rect(10.125, 0, 10, 6), axis="along", stop=2 * INCH),
        ),
        pieces=(
            put("RIB", 0, 0, 10, 2),
            put("RIB", 0, 2.125, 10, 2),
            put("RIB", 10.125, 0, 10, 2),
        ),
        offcuts=(rect(20.25, 0, 27.75, 6),),
    )

    def group(name: str, marks: str, lines: tuple[Purchase, ...], **laid: object) -> GroupPlan:
        rack = Decimal("6.50") if name == "sheet 14 ga" else Decimal(0)
        cost = sum((line.total or Decimal(0) for line in lines), rack)
        base = GroupPlan(
            name=name,
            marks=tuple(marks.split()),
            priced=True,
            layouts=(),
            purchases=lines,
            cost=cost,
            bound=searched(cost, tuple(marks.split())),
            stopped="proved",
        )
        return replace(base, **laid)  # type: ignore[arg-type]

    def line(n: int) -> Purchase:
        return _bought(offers[f"offer {n}"], 1)

    return finished(
        job,
        (
            group("plate 1/4", "BP TAB STRAP", (line(1), line(2)), layouts=(bar,), sheets=(torch,)),
            group("sheet 14 ga", "LID", (line(3),), sheets=(parted, racked)),
            group("plate 1/2, A36", "RIB PAD", (line(4), line(5)), sheets=(sawn, ripped)),
        ),
    )
