"""Jobs with plate parts to ask the market for: short ways to write one, and random ones."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from decimal import Decimal
from typing import Any

from hypothesis import strategies as st

from nesting.job import Allow, Job, Lean, Part, Process, Saw, Shop
from nesting.read.mitre import mitred_extent
from stock.material import Material, parse_material
from stock.offer import Basis, Offer, Yard
from stock.rack import RackPiece
from tests.nesting.market.asked import FOOT, INCH, MM, north, offer

PLATE = parse_material("plate 1/4", unit="in")
GRADED_PLATE = parse_material("plate 1/4", unit="in", grade="A36")
NEAR_PLATE = parse_material("plate 6 mm", unit="in")
FLAT_4 = parse_material("flat 1/4 x 4", unit="in", grade="A36")
FLAT_6 = parse_material("flat 1/4 x 6", unit="in", grade="A36")
PLAIN_FLAT_4 = parse_material("flat 1/4 x 4", unit="in")

_LEANS: tuple[Lean, ...] = ("opposite", "same")
_PROCESSES: tuple[tuple[Process, ...], ...] = (
    ("torch",),
    ("saw",),
    ("shear",),
    ("torch", "saw"),
    ("torch", "saw", "shear"),
)


def plate(mark: str, qty: int, length: int, width: int, material: Material = PLATE, **given: Any) -> Part:
    """A plate part."""
    return Part(mark=mark, qty=qty, material=material, length=length, width=width, **given)


def sheet(number: int, length: int, width: int, price: str | None, **given: Any) -> Offer:
    """An offer of a sheet."""
    values: dict[str, Any] = {"material": PLATE, "width": width} | given
    return offer(number, length, price, **values)


def exact_shop(**given: Any) -> Shop:
    """A shop whose torch loses nothing and keeps no distance, so that areas are counted in the head."""
    values: dict[str, Any] = {"clearance": 0, "edge": 0, "torch_kerf": 0} | given
    return Shop(**values)


def plate_job(parts: Sequence[Part], offers: Sequence[Offer], **given: Any) -> Job:
    """A job with a saw that loses nothing and an exact torch, unless other ones are given."""
    values: dict[str, Any] = {
        "saws": (Saw(name="saw", kerf=0),),
        "yards": (Yard(name="North"),),
        "shop": exact_shop(),
    } | given
    return Job(name="asked", parts=tuple(parts), offers=tuple(offers), **values)


def _extent(part: Part, length: int) -> int:
    """From point to point of a bar part that is made as long as that at its longer edge."""
    return mitred_extent(length, part.material.depth("wide"), (part.end_a, part.end_b), part.lean, "long")


@st.composite
def plate_jobs(draw: st.DrawFn) -> Job:
    """Plate parts and bar parts from sheets and flat bars that they share, in every way the rules know.

    The first offers are plentiful: a sheet that holds every plate part by every process, also where it is parted for
    the bed, and a flat bar of each width that a bar part asks for; so every job has a plan.
    """
    unit = draw(st.sampled_from([INCH // 8, INCH // 16, MM]))
    is_priced = draw(st.sampled_from([True, True, True, False]))
    shop = _shop(draw, unit)
    parts = [_plate(draw, f"P{n}", unit, shop.processes) for n in range(draw(st.integers(1, 4)))]
    flats = draw(st.lists(st.sampled_from([PLAIN_FLAT_4, FLAT_4, FLAT_6]), max_size=2))
    parts += [_bar(draw, f"B{n}", unit, m) for n, m in enumerate(flats)]
    if len(flats) == 2 and (flats[0] is FLAT_6) == (flats[1] is FLAT_6) and draw(st.booleans()):
        short = [min(part.length, 30 * INCH) for part in parts[-2:]]  # so that what can be carried holds both
        parts[-2:] = [
            replace(part, qty=1, together="pair", length=length, extent=_extent(part, length))
            for part, length in zip(parts[-2:], short, strict=True)
        ]
    offers = [_plenty(draw, 1, GRADED_PLATE, is_priced)]
    bars = [FLAT_6] if FLAT_6 in flats else []
    bars += [FLAT_4] if {FLAT_4, PLAIN_FLAT_4} & set(flats) else []
    offers += [_plenty(draw, n, bar, is_priced) for n, bar in enumerate(bars, 2)]
    if draw(st.booleans()):
        offers.append(_break(draw, len(offers) + 1, draw(st.sampled_from(offers)), is_priced))
    for _ in range(draw(st.integers(0, 3))):
        offers.append(_other(draw, len(offers) + 1, unit, is_priced))
    return Job(
        name="asked",
        parts=tuple(draw(st.permutations(parts))),
        offers=tuple(offers),
        rack=tuple(_racked(draw, f"R{n}", unit) for n in range(draw(st.integers(0, 3)))),
        saws=_saws(draw),
        yards=(north(draw, 75), Yard(name="South", delivery=Decimal(35), minimum_order=Decimal(200))),
        allow=(
            Allow(part=NEAR_PLATE, offer=GRADED_PLATE),
            *draw(st.sampled_from([(), (Allow(part=PLATE, offer=NEAR_PLATE),)])),
        ),
        shop=shop,
    )


def _shop(draw: st.DrawFn, unit: int) -> Shop:
    sizes: list[tuple[int, int] | None] = [None, (30 * INCH, 24 * INCH), (600 * MM, 1000 * MM)]
    return Shop(
        unit="mm" if unit == MM else "in",
        keep_length=draw(st.sampled_from([4, 12])) * INCH,
        keep_width=draw(st.sampled_from([1, 4])) * INCH,
        tie=Decimal(draw(st.sampled_from(["0", "0.50"]))),
        processes=draw(st.sampled_from(_PROCESSES)),
        torch_kerf=draw(st.sampled_from([0, INCH // 16, 2 * MM])),
        clearance=draw(st.sampled_from([0, INCH // 4])),
        edge=draw(st.sampled_from([0, INCH // 4, 10 * MM])),
        bed=draw(st.sampled_from(sizes)),
        bed_margin=draw(st.sampled_from([0, 0, INCH // 2])),
        bed_open=draw(st.sampled_from([False, False, True])),
        blank_kerf=draw(st.sampled_from([None, 0, INCH // 8])),
        blank_allowance=draw(st.sampled_from([0, INCH // 16])),
        blank_cost=Decimal(draw(st.sampled_from(["0", "0.25", "7.50"]))),
        shear_trim=draw(st.sampled_from([0, INCH // 8])),
        kerf_safety=draw(st.sampled_from([0, 0, INCH // 64])),
        offcut_share=Decimal(draw(st.sampled_from(["0", "0", "0.5", "0.9"]))),
        scrap_price=draw(st.sampled_from([None, None, Decimal("0.2")])),
    )


def _side(draw: st.DrawFn, unit: int, low: int, high: int) -> int:
    """A length from low to high inches, on the grid of a unit."""
    return unit * draw(st.integers(-(-low * INCH // unit), high * INCH // unit))


def _plate(draw: st.DrawFn, mark: str, unit: int, processes: tuple[Process, ...]) -> Part:
    """Often as wide, or as long, as one of the flat bars."""
    sides = [_side(draw, unit, 1, 15), draw(st.sampled_from([4 * INCH, 6 * INCH, _side(draw, unit, 1, 12)]))]
    length, width = draw(st.permutations(sides))
    return plate(
        mark,
        draw(st.integers(1, 6)),
        length,
        width,
        draw(st.sampled_from([PLATE, PLATE, GRADED_PLATE, NEAR_PLATE])),
        turn=draw(st.sampled_from(["none", "half", "quarter"])),
        process=draw(st.sampled_from([None, None, *processes])),
    )


def _bar(draw: st.DrawFn, mark: str, unit: int, material: Material) -> Part:
    """A bar part, now and then mitred on its wide side: as long as its longer edge says."""
    length = _side(draw, unit, 14, 60)
    ends = draw(st.sampled_from([(0, 0), (0, 0), (45, 45), (30, 0), (20, 45)]))
    lean = draw(st.sampled_from(_LEANS))
    angles = (Decimal(ends[0]), Decimal(ends[1]))
    return Part(
        mark=mark,
        qty=draw(st.integers(1, 5)),
        material=material,
        length=length,
        end_a=angles[0],
        end_b=angles[1],
        lean=lean,
        extent=mitred_extent(length, material.depth("wide"), angles, lean, "long"),
        flip=draw(st.booleans()),
    )


def _price(draw: st.DrawFn, material: Material, length: int, width: int | None) -> tuple[str, Basis]:
    """Something like a price, by one of the bases."""
    wide = [Basis.SQUARE_FOOT, Basis.SQUARE_METRE] if width is not None else [Basis.FOOT, Basis.METRE]
    basis = draw(st.sampled_from([Basis.EACH, Basis.POUND, *wide]))
    if basis is Basis.EACH:
        kg = material.weight_kg(length, width)
        return f"{max(0.01, kg * draw(st.integers(100, 500)) / 100):.2f}", basis
    return f"{draw(st.integers(80, 900)) / 100:.2f}", basis


def _plenty(draw: st.DrawFn, number: int, material: Material, is_priced: bool) -> Offer:
    length = draw(st.sampled_from([4, 5, 6])) * FOOT if material.is_plate else 20 * FOOT
    width = draw(st.sampled_from([2, 4])) * FOOT if material.is_plate else None
    price, per = _price(draw, material, length, width)
    return offer(
        number,
        length,
        price if is_priced else None,
        per,
        material=material,
        width=width,
        clean_ends=draw(st.integers(0, 2)),
    )


def _break(draw: st.DrawFn, number: int, first: Offer, is_priced: bool) -> Offer:
    money = None if first.price is None else f"{first.price * draw(st.integers(60, 99)) / 100:.2f}"
    return offer(
        number,
        first.length,
        money,
        first.per or Basis.EACH,
        material=first.material,
        width=first.width,
        clean_ends=first.clean_ends,
        from_qty=draw(st.integers(2, 5)),
    )


def _other(draw: st.DrawFn, number: int, unit: int, is_priced: bool) -> Offer:
    material = draw(st.sampled_from([PLATE, GRADED_PLATE, NEAR_PLATE, FLAT_4, FLAT_6, FLAT_6, PLAIN_FLAT_4]))
    length = _side(draw, unit, 10, 100) if material.is_plate else _side(draw, unit, 20, 240)
    width = _side(draw, unit, 6, 40) if material.is_plate else None
    price, per = _price(draw, material, length, width)
    to_length = None
    if not material.is_plate and per is not Basis.EACH:
        to_length = draw(st.sampled_from([None, None, Decimal("1.50")]))
    return offer(
        number,
        length,
        price if is_priced else None,
        per,
        yard=draw(st.sampled_from(["North", "North", "South"])),
        material=material,
        width=width,
        clean_ends=draw(st.integers(0, 2)),
        available=draw(st.sampled_from([None, None, 1, 3])),
        cut_to_length=to_length,
    )


def _racked(draw: st.DrawFn, name: str, unit: int) -> RackPiece:
    material = draw(st.sampled_from([PLATE, GRADED_PLATE, NEAR_PLATE, FLAT_4, FLAT_6]))
    return RackPiece(
        id=name,
        material=material,
        length=_side(draw, unit, 6, 60),
        width=_side(draw, unit, 4, 30) if material.is_plate else None,
        clean_ends=draw(st.integers(0, 2)),
        value=Decimal(draw(st.integers(0, 3000))) / 100,
    )


def _saws(draw: st.DrawFn) -> tuple[Saw, ...]:
    chop = Saw(name="chop", kerf=INCH // 8, trim=INCH // 4)
    more = (
        Saw(name="band", kerf=INCH // 16, trim=INCH // 16, grip=4 * INCH),
        Saw(name="cold", kerf=2 * MM, trim=draw(st.sampled_from([0, 12 * MM])), max_size=5 * INCH),
        Saw(name="small", kerf=MM, max_size=1 * INCH),
    )
    return (chop, *draw(st.lists(st.sampled_from(more), max_size=2, unique=True)))
