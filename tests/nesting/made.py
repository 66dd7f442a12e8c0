"""Small sound plans made by hand, for the tests of whatever reads a plan.

`inch_plan` has its arithmetic written out; `mixed_plan` shows everything a plan can hold; `metric_plan` has
no prices and a saw with a grip.
"""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

from nesting.findings import Finding
from nesting.job import Assembly, Job, Part, Saw, Shop
from nesting.plan import Bound, GroupPlan, Layout, Piece, Plan, Purchase, Settings
from stock.length import PER_INCH, PER_MM
from stock.material import Material, parse_material
from stock.money import line_total
from stock.offer import Basis, Offer, Yard
from stock.rack import RackPiece

INCH = PER_INCH
FOOT = 12 * PER_INCH
MM = PER_MM


def lay(
    job: Job, source: Offer | RackPiece, marks: str, *, times: int = 1, saw: int = 0, length: int = 0
) -> Layout:
    """The layout of a stick whose pieces, named by `marks` and parted by blanks, are cut in that order."""
    cutter, parts = job.saws[saw], {p.mark: p for p in job.parts}
    stick = length or source.length
    head = 0 if source.clean_ends or not marks else cutter.trim
    pieces, at = [], head
    for mark in marks.split():
        pieces.append(Piece(mark=mark, start=at, extent=parts[mark].extent))
        at += parts[mark].extent + cutter.kerf
    rest = max(0, stick - at)
    return Layout(
        source_kind="offer" if isinstance(source, Offer) else "rack",
        source=source.id,
        length=stick,
        saw=cutter.name,
        times=times,
        head=head,
        pieces=tuple(pieces),
        rest=rest,
        keep=rest > 0 and rest >= job.shop.keep_length,
    )


def bought(offer: Offer, count: int, length: int = 0) -> Purchase:
    """The line of the buy list for `count` sticks of an offer."""
    stick = length or offer.length
    price = None if offer.price is None else offer.unit_price(length or None)
    return Purchase(
        offer=offer.id,
        length=stick,
        count=count,
        unit_price=price,
        total=None if price is None else line_total(count, price),
        weight_kg=count * offer.material.weight_kg(stick),
    )


def group(
    name: str,
    layouts: tuple[Layout, ...],
    purchases: tuple[Purchase, ...],
    cost: Decimal,
    bound: Bound | None = None,
    priced: bool = True,
) -> GroupPlan:
    """A group plan; without a bound it counts as proved by a search."""
    marks = tuple(dict.fromkeys(p.mark for each in layouts for p in each.pieces))
    return GroupPlan(
        name=name,
        marks=marks,
        priced=priced,
        layouts=layouts,
        purchases=purchases,
        cost=cost,
        bound=bound or searched(cost, marks),
        stopped="proved" if bound is None or cost <= bound.value else "time limit",
    )


def searched(value: Decimal, marks: tuple[str, ...]) -> Bound:
    """A bound found by a search, whose certificate verifies nothing."""
    return Bound(
        value=value,
        proof="search",
        dual_value=Decimal(0),
        scale=1,
        part_prices=tuple((mark, 0) for mark in marks),
        source_prices=(),
    )


def finished(
    job: Job, groups: tuple[GroupPlan, ...], fees: tuple[tuple[str, str, Decimal], ...] = ()
) -> Plan:
    """The plan of all groups, added up."""
    lines = [line for each in groups for line in each.purchases]
    return Plan(
        job=job,
        settings=Settings(),
        groups=groups,
        fees=fees,
        total=sum((line.total or Decimal(0) for line in lines), Decimal("0.00"))
        + sum(fee for *_, fee in fees),
        weight_kg=sum(line.weight_kg for line in lines),
        version="0.1.0",
    )


def tube(text: str = "tube 2 x 2 x 1/8", **kind: str) -> Material:
    """A section named in inches."""
    return parse_material(text, unit="in", **kind)


def inch_plan() -> Plan:
    """Four of 48 in and six of 24 in from 20 ft tubes at 62.47; kerf 1/8, both ends trimmed 1/4.

    Usable: 240 - 1/4 - 1/8 = 239 5/8. Stick 1: 4 x 48 1/8 + 24 1/8 = 216 5/8, rest 240 - 1/4 - 216 5/8 = 23
    1/8. Stick 2: 5 x 24 1/8 = 120 5/8, rest 119 1/8. All parts together need 337 1/4 > 239 5/8, hence two
    sticks at least. Prices: 624700 x 48.125 / 239.625 rounded down is 125460, x 24.125 / 239.625 is 62894;
    their sum 4 x 125460 + 6 x 62894 = 879204 is more than one stick (624700), and so, in whole sticks,
    1249400.
    """
    material = tube()
    offer = Offer(
        id="offer 1",
        yard="North Yard",
        material=material,
        length=20 * FOOT,
        longest=20 * FOOT,
        price=Decimal("62.47"),
        per=Basis.EACH,
    )
    job = Job(
        name="bench",
        parts=(
            Part(mark="A1", qty=4, material=material, length=48 * INCH, row=2),
            Part(mark="A2", qty=6, material=material, length=24 * INCH, row=3),
        ),
        offers=(offer,),
        saws=(Saw(name="chop saw", kerf=INCH // 8, trim=INCH // 4),),
        yards=(Yard(name="North Yard"),),
        shop=Shop(currency="$"),
    )
    bound = Bound(
        value=Decimal("124.94"),
        proof="duals",
        dual_value=Decimal("124.94"),
        scale=1,
        part_prices=(("A1", 125460), ("A2", 62894)),
        source_prices=(),
    )
    layouts = (lay(job, offer, "A1 A1 A1 A1 A2"), lay(job, offer, "A2 A2 A2 A2 A2"))
    return finished(
        job, (group(material.designation, layouts, (bought(offer, 2),), Decimal("124.94"), bound),)
    )


def metric_plan() -> Plan:
    """No prices: pieces of 40 mm tube and of galvanised angle, a saw that must hold 80 mm, one rack piece."""
    square = parse_material("SHS 40 x 40 x 3", unit="mm")
    angle = parse_material("L 50 x 50 x 5", unit="mm", finish="galvanised")
    offers = (
        Offer(id="offer 1", yard="Stahl Nord", material=square, length=6000 * MM, longest=6000 * MM),
        Offer(id="offer 2", yard="Stahl Nord", material=angle, length=6000 * MM, longest=6000 * MM),
    )
    rack = RackPiece(id="R-7", material=square, length=2150 * MM, clean_ends=2, place="bay 2")
    job = Job(
        name="trolley",
        parts=(
            Part(mark="01", qty=2, material=square, length=1900 * MM),
            Part(mark="02", qty=3, material=square, length=1000 * MM),
            Part(mark="03", qty=9, material=angle, length=600 * MM),
        ),
        offers=offers,
        rack=(rack,),
        saws=(Saw(name="band saw", kerf=MM * 3 // 2, trim=10 * MM, grip=80 * MM),),
        shop=Shop(unit="mm", keep_length=300 * MM),
    )
    squares = (lay(job, rack, "01"), lay(job, offers[0], "01 02 02 02"))
    angles = (lay(job, offers[1], " ".join(["03"] * 9)),)
    return finished(
        job,
        tuple(
            group(name, layouts, (line,), offers[at].unit_weight(), priced=False)
            for at, (name, layouts, line) in enumerate(
                (
                    (square.designation, squares, bought(offers[0], 1)),
                    (angle.designation, angles, bought(offers[1], 1)),
                )
            )
        ),
    )


def mixed_plan() -> Plan:
    """Two yards, fees, a rack piece of value, a size with a quantity break (one stick stays whole), sticks
    that a yard cuts to length, two saws, an assembly, carried columns, texts that a spreadsheet would take
    for formulas, a group with a gap and one without prices."""
    thin, thick = tube(), tube("tube 4 x 4 x 1/4")
    bar = parse_material("round 3/4", unit="in")
    flat = parse_material("flat 1/4 x 2", unit="in", finish="galvanised")
    stick = {
        "material": thin,
        "length": 20 * FOOT,
        "longest": 20 * FOOT,
        "per": Basis.EACH,
        "yard": "North Yard",
    }
    offers = (
        Offer(id="offer 1", price=Decimal("62.47"), **stick),
        Offer(id="offer 2", price=Decimal("51.30"), from_qty=4, available=9, **stick),
        Offer(
            id="offer 3",
            yard="=Bay & Sons <steel>",
            material=thick,
            length=24 * FOOT,
            longest=24 * FOOT,
            price=Decimal("0.8350"),
            per=Basis.POUND,
            cut_to_length=Decimal("4.50"),
        ),
        Offer(id="offer 4", yard="North Yard", material=bar, length=12 * FOOT, longest=12 * FOOT),
        Offer(
            id="offer 5",
            yard="North Yard",
            material=flat,
            length=20 * FOOT,
            longest=20 * FOOT,
            price=Decimal("1.935"),
            per=Basis.FOOT,
            note="=ask for straight ones",
        ),
    )
    rack = RackPiece(
        id="R 12", material=thin, length=61 * INCH, clean_ends=1, value=Decimal("9.50"), place="wall"
    )
    job = Job(
        name="press frame",
        parts=(
            Part(
                mark="LEG",
                qty=4,
                material=thin,
                length=60 * INCH,
                carried=(("Colour", "=red"), ("Op", "weld 1")),
            ),
            Part(
                mark="RAIL-UPPER-LONG",
                qty=2,
                material=thin,
                length=70 * INCH + INCH * 5 // 16,
                assembly="frame",
            ),
            Part(mark="+5", qty=11, material=thin, length=4 * INCH, note="@pads"),
            Part(mark="P-1", qty=2, material=thick, length=100 * INCH, extra_a=INCH // 8),
            Part(mark="007", qty=25, material=bar, length=5 * INCH + INCH // 2),
            Part(mark="F1", qty=1, material=flat, length=118 * INCH),
            Part(mark="<b>F2&", qty=1, material=flat, length=117 * INCH),
        ),
        offers=offers,
        rack=(rack,),
        saws=(
            Saw(name="chop saw", kerf=INCH // 8, trim=INCH // 4, max_size=2 * INCH),
            Saw(name="band saw", kerf=INCH // 16, trim=INCH // 4, grip=3 * INCH),
        ),
        yards=(
            Yard(name="North Yard", delivery=Decimal("45.00"), minimum_order=Decimal("300.00"), lead_days=3),
            Yard(name="=Bay & Sons <steel>", lead_days=1, haul_limit=20 * FOOT, payload_kg=400.0),
        ),
        assemblies=(Assembly(name="frame", qty=2),),
        shop=Shop(currency="$"),
        notices=(
            Finding(code="extra-column", sentence="column Colour is carried through", severity="notice"),
        ),
    )
    thins = (
        lay(job, rack, "LEG"),
        lay(job, offers[1], "RAIL-UPPER-LONG RAIL-UPPER-LONG LEG +5 +5 +5 +5 +5 +5", times=1),
        lay(job, offers[1], "RAIL-UPPER-LONG RAIL-UPPER-LONG LEG +5 +5 +5 +5 +5"),
        lay(job, offers[1], "LEG"),
        lay(job, offers[1], ""),
    )
    asked = 203 * INCH + INCH * 5 // 8
    priced = bought(offers[1], 4)
    heavy = bought(offers[2], 1, asked)
    bars = (lay(job, offers[3], " ".join(["007"] * 25), saw=1),)
    flats = (lay(job, offers[4], "F1 <b>F2&"),)
    assert priced.total is not None
    assert heavy.total is not None
    open_bound = replace(searched(Decimal("187.41"), ("LEG", "RAIL-UPPER-LONG", "+5")), proof="search")
    flat_line = bought(offers[4], 1)
    assert flat_line.total is not None
    steel = priced.total + flat_line.total
    return finished(
        job,
        (
            group(thin.designation, thins, (priced,), priced.total + rack.value, open_bound),
            group(
                thick.designation,
                (lay(job, offers[2], "P-1 P-1", saw=1, length=asked),),
                (heavy,),
                heavy.total,
            ),
            group(bar.designation, bars, (bought(offers[3], 1),), offers[3].unit_weight(), priced=False),
            group(flat.designation, flats, (flat_line,), flat_line.total),
        ),
        (
            ("North Yard", "delivery", Decimal("45.00")),
            ("North Yard", "shortfall to the minimum order", Decimal("300.00") - steel),
        ),
    )
