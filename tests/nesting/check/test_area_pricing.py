"""The check's pricing of sheets: never below what a sheet can hold, and no certificate above it passes."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

from hypothesis import assume, given, settings
from hypothesis import strategies as st

from nesting.check import check_plan, check_report
from nesting.check.area import Slab, most_worth
from nesting.check.regions import parts_of as parts_of_cut
from nesting.check.ways import flat_lies, way_of
from nesting.job import Part, Process, Saw, Shop
from nesting.plan import Bound, Plan, Rect, StraightCut
from stock.rack import RackPiece
from tests.nesting.check.on_sheets import (
    FLAT,
    INCH,
    QUARTER,
    group_with,
    on,
    parts_of,
    plan_of,
    sheet_job,
    sheet_offer,
    with_bound_of,
)
from tests.nesting.made_sheets import put


def bound(price: int, value: str, source: tuple[tuple[str, int], ...] = (), mark: str = "S") -> Bound:
    """A bound with one part price, in ten-thousandths."""
    return Bound(
        value=Decimal(value),
        proof="duals",
        dual_value=Decimal(value),
        scale=1,
        part_prices=((mark, price),),
        source_prices=source,
    )


def one_sheet(processes: tuple[Process, ...] = ("torch",)) -> Plan:
    """Twelve of 8 x 6 from sheets of 24 x 24 at 50, six on each; clearance and edge 1/4, trim 1/4, kerf 1/8."""
    spots = [(0.25 + 8.25 * column, 0.25 + 6.25 * row) for row in range(3) for column in range(2)]
    pieces = tuple(put("S", x, y, 8, 6) for x, y in spots)
    sheet = sheet_offer(24, 24, clean_ends=0)
    layout = on(sheet, pieces, "torch", times=2)
    job = sheet_job(parts_of(pieces * 2), (sheet,), shop=Shop(processes=processes))
    return plan_of(job, (layout,))


def test_a_sheet_is_priced_by_area_as_reckoned_by_hand() -> None:
    """Room 23 3/4 squared is 564.0625, a piece 8 1/4 x 6 1/4 is 51.5625: ten whole pieces, by the count of one kind.

    So a piece may be worth a tenth of 500000; twelve prove 600000, in whole sheets 1000000: 100.00.
    """
    assert check_plan(with_bound_of(one_sheet(), bound(50_000, "100"))) == ()
    above = check_plan(with_bound_of(one_sheet(), bound(50_001, "100")))
    assert any(
        "the bound is not confirmed: by area offer 1, cut by torch, could hold parts worth 500010, due is 500000"
        in b
        for b in above
    ), above
    report = check_report(with_bound_of(one_sheet(), bound(50_000, "100")))
    assert (report.groups[0].proved, report.groups[0].verified) == (Decimal(100), True)
    broken = check_report(with_bound_of(one_sheet(), bound(50_001, "100"))).groups[0]
    assert (broken.proved, broken.verified) == (None, False)


def test_every_process_of_the_shop_must_agree() -> None:
    """Sawn, the room is 23 1/2 + 1/8 squared, 558.14, a piece 8 1/8 x 6 1/8, 49.77: eleven; a shear leaves 11 too."""
    assert check_plan(with_bound_of(one_sheet(("torch", "saw")), bound(45_454, "100"))) == ()
    sawn = check_plan(with_bound_of(one_sheet(("torch", "saw")), bound(45_455, "100")))
    assert any("cut by saw band, could hold parts worth 500005" in b for b in sawn), sawn
    sheared = check_plan(with_bound_of(one_sheet(("torch", "shear")), bound(45_455, "100")))
    assert any("cut by shear, could hold" in b for b in sheared), sheared


def test_parts_alike_are_counted_together() -> None:
    """Two marks of six each and the same size and price are ten on a sheet at the most, as one mark of twelve is."""
    plan = one_sheet()
    one = plan.job.parts[0]
    job = replace(plan.job, parts=(replace(one, qty=6), replace(one, mark="T", qty=6)))
    sheet = plan.groups[0].sheets[0]
    other = replace(sheet, pieces=tuple(replace(p, mark="T") for p in sheet.pieces), times=1)
    both = group_with(replace(plan, job=job), 0, sheets=(replace(sheet, times=1), other), marks=("S", "T"))
    for price, holds in ((50_000, True), (50_001, False)):
        prices = replace(bound(price, "100"), part_prices=(("S", price), ("T", price)))
        assert (check_plan(with_bound_of(both, prices)) == ()) == holds


def test_no_more_than_is_asked_for_is_priced() -> None:
    """Two pieces at 250000 each are all there are, so a sheet never holds more; at 250001 it is too much."""
    pieces = (put("S", 0.25, 0.25, 8, 6), put("S", 8.5, 0.25, 8, 6))
    sheet = sheet_offer(24, 24)
    plan = plan_of(sheet_job(parts_of(pieces), (sheet,), shop=Shop()), (on(sheet, pieces, "torch"),))
    assert check_plan(with_bound_of(plan, bound(250_000, "50"))) == ()
    assert any("not confirmed" in b for b in check_plan(with_bound_of(plan, bound(250_001, "50"))))


def test_a_sheet_of_the_rack_has_a_price_of_its_own() -> None:
    """A rack sheet worth 5 that holds ten at 50000 needs 450000 of its own, which is taken off the bound."""
    plan = one_sheet()
    rack = RackPiece(id="R1", material=QUARTER, length=24 * INCH, width=24 * INCH, value=Decimal(5))
    racked = replace(plan, job=replace(plan.job, rack=(rack,)))
    due = bound(50_000, "15", (("R1", 450_000),))  # 12 x 50000 - 450000 = 150000
    assert check_plan(with_bound_of(racked, due)) == ()
    short = replace(due, source_prices=(("R1", 449_999),))
    assert any("by area R1, cut by torch" in b for b in check_plan(with_bound_of(racked, short)))
    high = check_plan(with_bound_of(racked, replace(due, value=Decimal(51), dual_value=Decimal(51))))
    assert any("its prices prove 15.0000 at most" in b for b in high), high


def test_plate_parts_as_wide_as_a_bar_are_priced_exactly() -> None:
    """From 24 in of flat, kerf 1/8 and clean ends, 5 in fits four times (24 1/8 / 5 1/8 = 4.7): a quarter each."""
    bar = sheet_offer(24, None, FLAT)
    part = Part(mark="S", qty=8, material=QUARTER, length=5 * INCH, width=4 * INCH)
    job = sheet_job((part,), (bar,), shop=Shop(processes=("saw",)))
    plan = plan_of(job, ())
    exact = bound(125_000, "0")
    assert not any("bound" in b and "hold" in b for b in check_plan(with_bound_of(plan, exact)))
    above = check_plan(with_bound_of(plan, bound(125_001, "0")))
    assert any(
        "the bound does not hold: offer 1 on saw band can be cut to parts worth 500004" in b for b in above
    )
    turned = replace(job, parts=(replace(part, length=4 * INCH, width=5 * INCH, turn="half"),))
    assert not any("does not hold" in b for b in check_plan(replace(with_bound_of(plan, exact), job=turned)))


def test_a_bar_that_can_be_ripped_is_priced_by_area_too() -> None:
    """Two strips of 10 x 1 15/16 lie side by side on a flat bar of 24 x 4: four on it, where none is sawn to length.

    Area: (24 1/8 x 4 1/8) / (10 1/8 x 2 1/16) = 4.77, so four. Without a saw among the processes, no way is left.
    """
    bar = sheet_offer(24, None, FLAT)
    part = Part(mark="S", qty=8, material=QUARTER, length=10 * INCH, width=31 * INCH // 16)
    plan = plan_of(sheet_job((part,), (bar,), shop=Shop(processes=("saw",))), ())
    assert not any("not confirmed" in b for b in check_plan(with_bound_of(plan, bound(125_000, "0"))))
    above = check_plan(with_bound_of(plan, bound(125_001, "0")))
    assert any("by area offer 1, cut by saw band, could hold parts worth 500004" in b for b in above)


@st.composite
def filled(draw: st.DrawFn) -> tuple[Shop, tuple[int, int], list[Rect]]:
    """A shop, a sheet, and pieces that lie on it by the rules of the torch, on blanks if it must be parted."""
    unit = INCH // 8
    shop = Shop(
        clearance=draw(st.integers(0, 4)) * unit,
        torch_kerf=draw(st.integers(0, 2)) * unit,
        edge=draw(st.integers(0, 3)) * unit,
        bed=draw(
            st.none()
            | st.tuples(st.integers(8, 40), st.integers(8, 40)).map(lambda b: (b[0] * unit, b[1] * unit))
        ),
    )
    sheet = (draw(st.integers(10, 60)) * unit, draw(st.integers(10, 60)) * unit)
    blanks = [Rect(0, 0, *sheet)]
    while any(not _is_on(shop, b) for b in blanks):
        large = next(b for b in blanks if not _is_on(shop, b))
        axis = draw(st.sampled_from(("across", "along")))
        extent = large.length if axis == "across" else large.width
        if extent < 2 * unit:
            continue
        stop = draw(st.integers(1, extent // unit - 1)) * unit
        blanks.remove(large)
        blanks += parts_of_cut(StraightCut(region=large, axis=axis, stop=stop), shop.torch_kerf)
    pieces = []
    for blank in blanks:
        columns = draw(st.integers(1, 3))
        pieces += _grid(blank, shop, columns, draw(st.integers(1, 3)))
    return shop, sheet, pieces


def _is_on(shop: Shop, blank: Rect) -> bool:
    sides = sorted((blank.length, blank.width))
    return shop.bed is None or all(s <= b for s, b in zip(sides, sorted(shop.bed), strict=True))


def _grid(blank: Rect, shop: Shop, columns: int, rows: int) -> list[Rect]:
    """A blank filled to the last tick with equal columns and rows."""
    gap, edge = shop.gap_between, shop.edge
    wide = (blank.length - 2 * edge - (columns - 1) * gap) // columns
    high = (blank.width - 2 * edge - (rows - 1) * gap) // rows
    if min(wide, high) <= 0:
        return []
    return [
        Rect(blank.x + edge + c * (wide + gap), blank.y + edge + r * (high + gap), wide, high)
        for c in range(columns)
        for r in range(rows)
    ]


@given(filled(), st.data())
@settings(max_examples=200, deadline=None)
def test_no_sheet_that_is_filled_by_the_rules_is_worth_more_than_its_price(
    case: tuple[Shop, tuple[int, int], list[Rect]], data: st.DataObject
) -> None:
    """However a sheet is parted for its bed and filled, the pieces on it are worth no more than the area says."""
    shop, sheet, places = case
    assume(places)
    rack = RackPiece(id="R", material=QUARTER, length=sheet[0], width=sheet[1])
    way = way_of(shop, rack, "torch")
    slabs, worth, is_by_area = [], 0, data.draw(st.booleans())
    for n, r in enumerate(places):
        turn = data.draw(st.sampled_from(("none", "quarter")))
        part = Part(mark=f"P{n}", qty=1, material=QUARTER, length=r.length, width=r.width, turn=turn)
        lies = flat_lies(part, rack, way)
        assert (r.length, r.width) in lies
        area = (r.length + way.between) * (r.width + way.between)
        value = area if is_by_area else data.draw(st.integers(0, 50))
        slabs.append(Slab(lies[0], value, 1))
        worth += value
    assert worth <= most_worth(slabs, rack, way)


@given(
    st.integers(1, 4), st.integers(1, 4), st.sampled_from((0, INCH // 8)), st.integers(0, 2), st.booleans()
)
def test_a_sawn_sheet_filled_to_the_last_tick_is_worth_its_price(
    columns: int, rows: int, kerf: int, clean: int, bar: bool
) -> None:
    """Columns and rows of equal pieces with kerfs between them and trims around leave nothing: the bound is met."""
    saw = Saw(name="band", kerf=kerf, trim=2 * kerf, grip=INCH if bar else 0)
    stock = sheet_offer(24, None if bar else 12, FLAT if bar else QUARTER, clean_ends=clean)
    way = way_of(Shop(), stock, "saw", saw)
    length, width = way.beds[0]
    piece = ((length + kerf) // columns - kerf, (width + kerf) // rows - kerf)
    assert most_worth([Slab(piece, 7, 1000)], stock, way) == 7 * columns * rows
