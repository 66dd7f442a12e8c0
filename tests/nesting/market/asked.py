"""Jobs to ask the market for: short ways to write one, and random ones."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal
from typing import Any

from hypothesis import strategies as st

from nesting.job import Allow, Job, Part, Saw, Shop
from nesting.plan import Settings
from stock.length import PER_INCH, PER_MM
from stock.material import Material, parse_material
from stock.offer import Basis, Offer, Yard
from stock.rack import RackPiece

INCH, MM, FOOT = PER_INCH, PER_MM, 12 * PER_INCH
TUBE = parse_material("tube 2 x 2 x 1/8", unit="in")
GRADED = parse_material("tube 2 x 2 x 1/8", unit="in", grade="A500")
NEAR = parse_material("tube 2 x 2 x 0.120", unit="in")
COUNTED = Settings(time_s=None, work=400)


def part(mark: str, qty: int, length: int, material: Material = TUBE) -> Part:
    """A square-cut part."""
    return Part(mark=mark, qty=qty, material=material, length=length)


def offer(number: int, length: int, price: str | None, per: Basis = Basis.EACH, **given: Any) -> Offer:
    """An offer of the yard North."""
    values: dict[str, Any] = {"yard": "North", "material": TUBE} | given
    money = None if price is None else Decimal(price)
    return Offer(
        id=f"offer {number}",
        length=length,
        longest=length,
        price=money,
        per=None if money is None else per,
        **values,
    )


def job(parts: Sequence[Part], offers: Sequence[Offer], kerf: int = 0, **given: Any) -> Job:
    """A job with one saw that trims nothing, unless saws are given."""
    values: dict[str, Any] = {"saws": (Saw(name="saw", kerf=kerf),), "yards": (Yard(name="North"),)} | given
    return Job(name="asked", parts=tuple(parts), offers=tuple(offers), **values)


def metric(stick: int, demands: Sequence[tuple[int, int]], kerf: int = 0, clean_ends: int = 2) -> Job:
    """(length, demand) pairs in millimetres from sticks of one length at 10.00 each."""
    parts = [part(f"P{n}", qty, length * MM) for n, (length, qty) in enumerate(demands, 1)]
    return job(
        parts,
        [offer(1, stick * MM, "10.00", clean_ends=clean_ends)],
        kerf * MM,
        shop=Shop(unit="mm"),
    )


@st.composite
def jobs(draw: st.DrawFn) -> Job:
    """Few parts, everything else: grades, allowed stock, breaks, scarce sticks, cut to length, saws, rack, both units.

    The first offer is plentiful, at most 24 ft, and serves every part; so every job has a plan.
    """
    unit = draw(st.sampled_from([INCH // 16, MM, MM // 2]))
    is_priced = draw(st.sampled_from([True, True, True, False]))
    materials = draw(st.sampled_from([(TUBE,), (TUBE,), (TUBE, GRADED), (TUBE, NEAR), (TUBE, GRADED, NEAR)]))
    parts = [
        part(f"P{n}", draw(st.integers(1, 5)), draw(_length(unit, 4, 90)), draw(st.sampled_from(materials)))
        for n in range(draw(st.integers(1, 4)))
    ]
    main = GRADED
    offers = [_first(draw, main, is_priced)]
    if draw(st.booleans()):
        offers.append(_break(draw, offers[0], is_priced))
    for _ in range(draw(st.integers(0, 2))):
        offers.append(_other(draw, len(offers) + 1, unit, is_priced))
    rack = [
        RackPiece(
            id=f"R{n}",
            material=draw(st.sampled_from([TUBE, GRADED, NEAR])),
            length=draw(_length(unit, 6, 150)),
            clean_ends=draw(st.integers(0, 2)),
            value=Decimal(draw(st.integers(0, 3000))) / 100,
        )
        for n in range(draw(st.integers(0, 3)))
    ]
    shop = Shop(
        unit="in" if unit == INCH // 16 else "mm",
        tie=Decimal(draw(st.sampled_from(["0", "0.50"]))),
        kerf_safety=draw(st.sampled_from([0, 0, MM // 2])),
        offcut_share=Decimal(draw(st.sampled_from(["0", "0.5", "0.875"]))),
        scrap_price=draw(st.sampled_from([None, None, Decimal("0.30")])),
    )
    allow = (Allow(part=NEAR, offer=GRADED), *draw(st.sampled_from([(), (Allow(part=TUBE, offer=NEAR),)])))
    return job(
        parts,
        offers,
        rack=tuple(rack),
        saws=_saws(draw),
        allow=allow,
        yards=(north(draw, 100), Yard(name="South", delivery=Decimal(35), minimum_order=Decimal(200))),
        shop=shop,
    )


def north(draw: st.DrawFn, least: int) -> Yard:
    """The yard North: takes any length home, or parts sticks of which no more than some inches can be carried."""
    if draw(st.booleans()):
        return Yard(name="North")
    return Yard(
        name="North",
        haul_limit=INCH * draw(st.integers(least, 270)),
        cut_charge=Decimal(draw(st.sampled_from(["0", "1.50", "4.25"]))),
        cut_tolerance=draw(st.sampled_from([0, INCH // 4, 3 * MM])),
        cut_kerf=draw(st.sampled_from([0, INCH // 8])),
    )


@st.composite
def _length(draw: st.DrawFn, unit: int, low: int, high: int) -> int:
    """A length from low to high inches, on the grid of a unit."""
    return unit * draw(st.integers(low * INCH // unit, high * INCH // unit))


def _first(draw: st.DrawFn, material: Material, is_priced: bool) -> Offer:
    basis = draw(st.sampled_from([Basis.EACH, Basis.FOOT, Basis.POUND, Basis.METRE]))
    money = draw(st.integers(3000, 9000)) if basis is Basis.EACH else draw(st.integers(80, 600))
    return offer(
        1,
        draw(st.sampled_from([20, 24])) * FOOT,
        f"{money / 100:.2f}" if is_priced else None,
        basis,
        material=material,
        clean_ends=draw(st.integers(0, 2)),
    )


def _break(draw: st.DrawFn, first: Offer, is_priced: bool) -> Offer:
    assert first.per is not None or not is_priced
    money = None if first.price is None else f"{first.price * draw(st.integers(60, 99)) / 100:.2f}"
    return offer(
        2,
        first.length,
        money,
        first.per or Basis.EACH,
        material=first.material,
        clean_ends=first.clean_ends,
        from_qty=draw(st.integers(2, 6)),
    )


def _other(draw: st.DrawFn, number: int, unit: int, is_priced: bool) -> Offer:
    to_length = draw(st.sampled_from([None, None, Decimal("1.50"), Decimal("4.25")]))
    basis = Basis.FOOT if to_length is not None or draw(st.booleans()) else Basis.EACH
    money = draw(st.integers(500, 6000)) if basis is Basis.EACH else draw(st.integers(100, 500))
    return offer(
        number,
        draw(_length(unit, 40, 480)),
        f"{money / 100:.2f}" if is_priced else None,
        basis,
        yard=draw(st.sampled_from(["North", "South"])),
        material=draw(st.sampled_from([TUBE, GRADED, NEAR])),
        clean_ends=draw(st.integers(0, 2)),
        available=draw(st.sampled_from([None, None, 1, 3])),
        cut_to_length=to_length,
    )


def _saws(draw: st.DrawFn) -> tuple[Saw, ...]:
    chop = Saw(name="chop", kerf=INCH // 8, trim=INCH // 4)
    more = (
        Saw(name="band", kerf=INCH // 16, trim=INCH // 16, grip=4 * INCH),
        Saw(name="cold", kerf=2 * MM, trim=draw(st.sampled_from([0, 12 * MM])), max_size=3 * INCH),
        Saw(name="small", kerf=MM, max_size=1 * INCH),
    )
    return (chop, *draw(st.lists(st.sampled_from(more), max_size=2, unique=True)))
