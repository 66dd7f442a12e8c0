"""A sound-looking plan of a metric shop that asks much of paper: long names, tiny pieces, many pieces, sheets alike,
a long narrow bar under the torch, and many straight cuts."""

from __future__ import annotations

from decimal import Decimal

from nesting.job import Hole, Job, Part, Saw, Shop
from nesting.plan import GroupPlan, Placed, Plan, Purchase, Rect, SheetLayout, StraightCut
from stock.length import PER_MM
from stock.material import Material, parse_material
from stock.money import line_total
from stock.offer import Basis, Offer, Yard
from tests.nesting.made import finished, searched

MM = PER_MM
YARD = "Stahlhandel am langen Hafenbecken Nord"
LONG_MARKS = tuple(f"KNOTENBLECH-LINKS-{number:02d}-XYZAB" for number in range(16))
MARKS = (*LONG_MARKS, "K1", "K2", "K3", "K4")
RIB = "RIPPE-SEHR-LANGER-NAME-0001"


def place(x: int, y: int, length: int, width: int) -> Rect:
    """A rectangle in millimetres."""
    return Rect(x * MM, y * MM, length * MM, width * MM)


def _offer(number: int, material: Material, length: int, width: int | None, price: str) -> Offer:
    return Offer(
        id=f"o{number}",
        yard=YARD,
        material=material,
        length=length * MM,
        longest=length * MM,
        width=None if width is None else width * MM,
        price=Decimal(price),
        per=Basis.EACH,
    )


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


def _under_the_torch() -> SheetLayout:
    """Three sheets alike: 80 pieces of 20 marks, every second row of them turned."""
    pieces = []
    for index in range(80):
        turned = index % 20 >= 10
        long, wide = (120, 180) if turned else (180, 120)
        pieces.append(
            Placed(
                mark=MARKS[index % 20],
                place=place(8 + index % 10 * 190, 8 + index // 10 * 186, long, wide),
                turned=turned,
            )
        )
    return SheetLayout(
        source_kind="offer", source="o1", length=3000 * MM, width=1500 * MM, process="torch", saw="", times=3,
        pieces=tuple(pieces), offcuts=(place(1950, 0, 1050, 1500),),
    )  # fmt: skip


def _sheared() -> SheetLayout:
    """Ten strips of eight ribs each; what is left of the first strip is kept."""
    cuts, pieces = [], []
    for strip in range(10):
        x = 5 + 190 * strip
        cuts.append(StraightCut(region=place(x, 5, 1995 - x, 990), axis="across", stop=190 * MM))
        for row in range(8):
            y = 5 + 40 * row
            cuts.append(StraightCut(region=place(x, y, 190, 995 - y), axis="along", stop=40 * MM))
            pieces.append(Placed(mark=RIB, place=place(x, y, 190, 40), turned=False))
    return SheetLayout(
        source_kind="offer", source="o3", length=2000 * MM, width=1000 * MM, process="shear", saw="", times=1,
        trims=(5 * MM,) * 4, cuts=tuple(cuts), pieces=tuple(pieces), offcuts=(place(5, 325, 190, 670),),
    )  # fmt: skip


def _long_and_narrow() -> SheetLayout:
    """A flat bar of 6 m by 100 mm, two alike."""
    return SheetLayout(
        source_kind="offer", source="o2", length=6000 * MM, width=100 * MM, process="torch", saw="", times=2,
        pieces=tuple(
            Placed(mark="STEG", place=place(8 + index * 210, 8, 200, 45), turned=False) for index in range(28)
        ),
    )  # fmt: skip


def _tiny() -> SheetLayout:
    """144 pieces of 20 x 12 on one blank of a parted sheet; the other blank is kept."""
    return SheetLayout(
        source_kind="offer", source="o4", length=2500 * MM, width=1250 * MM, process="torch", saw="", times=1,
        cuts=(StraightCut(region=place(0, 0, 2500, 1250), axis="across", stop=1248 * MM),),
        blanks=(place(0, 0, 1248, 1250), place(1250, 0, 1250, 1250)),
        pieces=tuple(
            Placed(mark="WINZIG", place=place(8 + i % 12 * 28, 8 + i // 12 * 20, 20, 12), turned=False)
            for i in range(144)
        ),
        offcuts=(place(1250, 0, 1250, 1250), place(0, 300, 1248, 950)),
    )  # fmt: skip


def _whole() -> SheetLayout:
    return SheetLayout(
        source_kind="offer", source="o3", length=2000 * MM, width=1000 * MM, process="shear", saw="", times=2,
        pieces=(), offcuts=(place(0, 0, 2000, 1000),),
    )  # fmt: skip


def crowded_plan() -> Plan:
    """Everything above in one plan."""
    six = parse_material("plate 6 mm", unit="mm")
    ten = parse_material("plate 10 mm", unit="mm", grade="S235")
    flat = parse_material("flat 100 x 10", unit="mm")
    zinc = parse_material("sheet 2 mm", unit="mm", finish="galvanised")
    offers = (
        _offer(1, six, 3000, 1500, "412.50"),
        _offer(2, flat, 6000, None, "98.10"),
        _offer(3, ten, 2000, 1000, "301"),
        _offer(4, zinc, 2500, 1250, "120.00"),
    )
    parts = [
        Part(mark=mark, qty=12, material=six, length=180 * MM, width=120 * MM, row=row)
        for row, mark in enumerate(MARKS, 2)
    ]
    parts += [
        Part(mark=RIB, qty=80, material=ten, length=190 * MM, width=40 * MM, process="shear", row=22),
        Part(mark="WINZIG", qty=144, material=zinc, length=20 * MM, width=12 * MM, row=23),
        Part(mark="STEG", qty=56, material=ten, length=200 * MM, width=45 * MM, row=24),
    ]
    holes = [
        Hole(mark="K1", x=(10 + i % 8 * 20) * MM, y=(15 + i // 8 * 30) * MM, diameter=(6 + i % 3 * 4) * MM)
        for i in range(24)
    ]
    job = Job(
        name="Rahmen mit einem sehr langen Namen, der in keine Kopfzeile mehr passen will",
        parts=tuple(parts),
        offers=offers,
        saws=(Saw(name="Band 1", kerf=2 * MM, trim=5 * MM),),
        yards=(Yard(name=YARD),),
        holes=(*holes, Hole(mark="STEG", x=100 * MM, y=22 * MM, diameter=18 * MM)),
        shop=Shop(
            unit="mm", decimal=",", currency="EUR", processes=("torch", "shear", "saw"), torch_kerf=2 * MM,
            clearance=6 * MM, edge=8 * MM, keep_length=300 * MM, keep_width=100 * MM,
        ),
    )  # fmt: skip

    def group(
        name: str, marks: tuple[str, ...], lines: tuple[Purchase, ...], *sheets: SheetLayout
    ) -> GroupPlan:
        cost = sum((line.total or Decimal(0) for line in lines), Decimal(0))
        return GroupPlan(
            name=name, marks=marks, priced=True, layouts=(), purchases=lines, cost=cost,
            bound=searched(cost, marks), stopped="proved", sheets=sheets,
        )  # fmt: skip

    return finished(
        job,
        (
            group("plate 6", MARKS, (_bought(offers[0], 3),), _under_the_torch()),
            group(
                "plate 10",
                (RIB, "STEG"),
                (_bought(offers[1], 2), _bought(offers[2], 3)),
                _sheared(), _long_and_narrow(), _whole(),
            ),
            group("sheet 2", ("WINZIG",), (_bought(offers[3], 1),), _tiny()),
        ),
    )  # fmt: skip
