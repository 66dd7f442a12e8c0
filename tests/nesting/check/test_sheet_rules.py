"""Sheets by the rules, each worked by hand, and how near to them a breach begins."""

from __future__ import annotations

import time
from collections.abc import Callable
from dataclasses import replace
from decimal import Decimal

import pytest

from nesting.check import check_plan, check_report
from nesting.job import Allow, Part, Shop
from nesting.plan import Layout, Piece, Plan, Rect, StraightCut
from stock.material import parse_material
from stock.offer import Basis
from stock.rack import RackPiece
from tests.nesting.check.on_sheets import (
    BAND,
    FLAT,
    INCH,
    group_with,
    line_changed,
    offer_changed,
    on,
    part_changed,
    parts_of,
    placed_with,
    plain,
    plan_of,
    saw_changed,
    sheet_job,
    sheet_offer,
    sheet_with,
    shifted,
    shop_changed,
    whole_job,
)
from tests.nesting.made_sheets import plate_plan, put, rect


def sheared(trim: float = 0.5, clean_ends: int = 0) -> Plan:
    """A 24 x 12 sheet, trimmed 1/2 all round, sheared: two strips of 5 x 11, 13 x 11 left over."""
    pieces = (put("S", 0.5, 0.5, 5, 11), put("S", 5.5, 0.5, 5, 11))
    sheet = sheet_offer(24, 12, clean_ends=clean_ends)
    layout = on(
        sheet,
        pieces,
        "shear",
        trims=(INCH // 2,) * 4,
        cuts=(
            StraightCut(region=rect(0.5, 0.5, 23, 11), axis="across", stop=5 * INCH),
            StraightCut(region=rect(5.5, 0.5, 18, 11), axis="across", stop=5 * INCH),
        ),
        offcuts=(rect(10.5, 0.5, 13, 11),),
    )
    shop = Shop(processes=("shear",), shear_trim=round(trim * INCH))
    return plan_of(sheet_job(parts_of(pieces), (sheet,), shop=shop), (layout,))


def test_a_shear_has_a_trim_and_no_kerf() -> None:
    """The next piece begins where the one before it ends; only sheets that are clean all round are not trimmed."""
    assert check_plan(sheared()) == ()
    assert any("trim of the first end is 1/2, due is 0" in b for b in plain(sheared(0)))
    assert any("trim of the first end is 1/2, due is 0" in b for b in plain(sheared(0.5, 2)))
    assert not any("trim" in b for b in plain(sheared(0.5, 1)))  # one clean end of a sheet is none
    burnt = shop_changed(sheared(), processes=("torch",))
    assert any("process is shear, the shop has torch" in b for b in plain(burnt))


def test_a_cut_whose_kerf_reaches_the_edge_leaves_one_region() -> None:
    """On 10 1/16 in with a kerf of 1/8 a stop at 10 leaves nothing behind the cut; at 9 7/8 it leaves 1/16."""
    pieces = (put("S", 0, 0, 10, 4),)
    bar = replace(sheet_offer(10, 4), length=10 * INCH + INCH // 16, longest=10 * INCH + INCH // 16)
    cut = StraightCut(region=Rect(0, 0, bar.length, 4 * INCH), axis="across", stop=10 * INCH)
    layout = on(bar, pieces, "saw", cuts=(cut,))
    assert check_plan(plan_of(sheet_job(parts_of(pieces), (bar,)), (layout,))) == ()


def whole_break() -> Plan:
    """Three sheets bought at a price that holds from three: one is cut, two stay whole."""
    pieces = (put("S", 1, 1, 5, 11),)
    sheet = sheet_offer(24, 13, from_qty=3, available=3)
    cut = on(sheet, pieces, "torch", offcuts=(rect(10, 0, 14, 13),))
    spare = on(sheet, (), "torch", times=2, offcuts=(rect(0, 0, 24, 13),))
    return plan_of(sheet_job(parts_of(pieces), (sheet,)), (cut, spare))


WHOLE_BREAKS: tuple[tuple[Callable[[Plan], Plan], str], ...] = (
    (lambda p: sheet_with(p, 0, 1, trims=(1, 0, 0, 0)), "it is trimmed or cut, but no part lies on it"),
    (
        lambda p: sheet_with(
            p, 0, 1, cuts=(StraightCut(region=rect(0, 0, 24, 13), axis="across", stop=INCH),)
        ),
        "it is trimmed or cut",
    ),
    (lambda p: sheet_with(p, 0, 1, blanks=(rect(0, 0, 24, 13),)), "it is trimmed or cut"),
    (
        lambda p: sheet_with(p, 0, 1, offcuts=()),
        "offcuts of an uncut sheet are 0, due is one, 24 x 13 at (0, 0)",
    ),
    (lambda p: sheet_with(p, 0, 1, offcuts=(rect(0, 0, 24, 12),)), "due is one, 24 x 13 at (0, 0)"),
    (lambda p: sheet_with(p, 0, 1, times=1), "3 are bought, due is 2 by the layouts"),
    (lambda p: sheet_with(p, 0, 1, times=3), "offer 1: 4 are bought, 3 are available"),
    (lambda p: offer_changed(p, 1, from_qty=1), "nothing is cut from it, and no quantity break asks for it"),
)


@pytest.mark.parametrize(("damage", "sentence"), WHOLE_BREAKS, ids=[b[1] for b in WHOLE_BREAKS])
def test_a_sheet_bought_for_its_price_stays_whole(damage: Callable[[Plan], Plan], sentence: str) -> None:
    """It is one offcut, not trimmed, and there for a quantity break only."""
    assert check_plan(whole_break()) == ()
    assert any(sentence in b for b in plain(damage(whole_break()))), plain(damage(whole_break()))


def bar_of_both(grip: int = 0) -> Plan:
    """A flat bar of 48 x 4, ripped by a saw: two tabs of 10 x 1 1/2 side by side, then a bar part of 20."""
    pieces = (put("TAB", 0, 0, 10, 1.5), put("TAB", 0, 1.625, 10, 1.5), put("STRAP", 10.125, 0, 20, 4))
    far = grip + BAND.kerf if grip else 0
    bar = sheet_offer(48, None, FLAT)
    room = 48 * INCH - far
    layout = on(
        bar,
        pieces,
        "saw",
        trims=(0, 0, far, 0),
        cuts=(
            StraightCut(region=Rect(0, 0, room, 4 * INCH), axis="across", stop=10 * INCH),
            StraightCut(region=rect(0, 0, 10, 4), axis="along", stop=3 * INCH // 2),
            StraightCut(region=rect(0, 1.625, 10, 2.375), axis="along", stop=3 * INCH // 2),
            StraightCut(
                region=shifted(rect(10.125, 0, 37.875, 4), length=-far), axis="across", stop=20 * INCH
            ),
        ),
        offcuts=(shifted(rect(30.25, 0, 17.75, 4), length=-far),),
    )
    strap = Part(mark="STRAP", qty=1, material=FLAT, length=20 * INCH)
    saws = (replace(BAND, grip=grip),)
    return plan_of(sheet_job((*parts_of(pieces[:2]), strap), (bar,), saws=saws), (layout,))


def test_bar_parts_lie_beside_plate_parts_on_a_sawn_flat_bar() -> None:
    """A bar part takes the full width; its long edges are never trimmed; a grip leaves grip and kerf behind."""
    assert check_plan(bar_of_both()) == ()
    assert check_plan(bar_of_both(3 * INCH)) == ()
    gripped = saw_changed(bar_of_both(), grip=3 * INCH)
    assert any("trim of the far end is 0, due is 3 1/8" in b for b in plain(gripped))
    narrow = placed_with(bar_of_both(), 0, 0, 2, width=3 * INCH)
    assert any("piece 3, part STRAP, is 20 x 3, due is 20 x 4" in b for b in plain(narrow))
    steep = part_changed(bar_of_both(), "STRAP", end_a=Decimal(60), extent=20 * INCH)
    assert check_plan(steep) == ()
    assert any(
        "part STRAP has a mitre above the 45" in b for b in plain(saw_changed(steep, max_angle=Decimal(45)))
    )


def test_bars_cut_to_length_and_sheets_keep_to_their_own_lists() -> None:
    """Cut to length is sawn in one dimension only; a tube is no sheet; a sheet is not sawn to length only."""
    cut = offer_changed(bar_of_both(), 1, cut_to_length=Decimal(2), per=Basis.FOOT)
    assert any("the yard cuts it to length, so it is sawn to length only" in b for b in plain(cut))
    tube = offer_changed(bar_of_both(), 1, material=parse_material("tube 4 x 4 x 1/4", unit="in"))
    assert any("tube 4 x 4 x 1/4 is neither a sheet nor a flat bar" in b for b in plain(tube))
    stick = Layout(
        source_kind="offer",
        source="offer 1",
        length=24 * INCH,
        saw=BAND.name,
        times=1,
        head=0,
        pieces=(Piece(mark="S", start=0, extent=5 * INCH),),
        rest=24 * INCH - 5 * INCH - BAND.kerf,
        keep=True,
    )
    plan = group_with(sheared(), 0, layouts=(stick,))
    assert any("plate 1/4 comes in sheets, which are not sawn to length only" in b for b in plain(plan))


def test_pieces_of_different_blanks_are_apart_already() -> None:
    """Two blanks of 10 x 10 with a kerf of 1/16 and no edge: pieces across the cut need no clearance of 1/4."""
    pieces = (put("S", 5, 0, 5, 5), put("S", 10.0625, 0, 5, 5))
    length = 20 * INCH + INCH // 16
    sheet = replace(sheet_offer(20, 10), length=length, longest=length)
    cut = StraightCut(region=Rect(0, 0, length, 10 * INCH), axis="across", stop=10 * INCH)
    blanks = (rect(0, 0, 10, 10), rect(10.0625, 0, 10, 10))
    layout = on(sheet, pieces, "torch", cuts=(cut,), blanks=blanks)
    job = sheet_job(parts_of(pieces), (sheet,), shop=Shop(edge=0, bed=(10 * INCH, 10 * INCH)))
    assert check_plan(plan_of(job, (layout,))) == ()


def test_a_region_that_nothing_lies_on_need_not_lie_on_the_bed() -> None:
    """A blank without pieces may be left out; what is left over may be larger than the bed."""
    plan = sheet_with(plate_plan(), 1, 0, blanks=plate_plan().groups[1].sheets[0].blanks[:1])
    assert check_plan(plan) == ()


def test_a_narrow_bar_may_keep_its_full_width() -> None:
    """Worth keeping is 12 x 4 by default; of a flat bar of 2 in a piece of 2 in is as wide as can be."""
    narrow = parse_material("flat 1/4 x 2", unit="in")
    pieces = (put("TAB", 0, 0, 10, 1.5),)
    bar = sheet_offer(48, None, narrow)
    cuts = (
        StraightCut(region=rect(0, 0, 48, 2), axis="across", stop=10 * INCH),
        StraightCut(region=rect(0, 0, 10, 2), axis="along", stop=3 * INCH // 2),
    )
    layout = on(bar, pieces, "saw", cuts=cuts, offcuts=(rect(10.125, 0, 37.875, 2),))
    assert check_plan(plan_of(sheet_job(parts_of(pieces), (bar,)), (layout,))) == ()


def test_an_allow_row_lets_a_near_thickness_serve() -> None:
    """A part of 10 mm plate is cut from 3/8 only where the user allows it."""
    ten = parse_material("plate 10 mm", unit="mm")
    three_eighths = parse_material("plate 3/8", unit="in")
    pieces = (put("S", 1, 1, 5, 5),)
    sheet = sheet_offer(12, 12, three_eighths)
    job = sheet_job(parts_of(pieces, ten), (sheet,))
    plan = plan_of(job, (on(sheet, pieces, "torch"),))
    assert any("part S of plate 10 may not be cut from plate 3/8" in b for b in plain(plan))
    assert check_plan(whole_job(plan, allow=(Allow(part=ten, offer=three_eighths),))) == ()


def test_sticks_and_sheets_of_a_flat_bar_share_its_limit_and_price() -> None:
    """One bar sawn to length and one ripped are two of three available; a third and a fourth are too many."""
    plan = bar_of_both()
    strap = Piece(mark="STRAP", start=0, extent=20 * INCH)
    stick = Layout(
        source_kind="offer",
        source="offer 1",
        length=48 * INCH,
        saw=BAND.name,
        times=1,
        head=0,
        pieces=(strap,),
        rest=48 * INCH - 20 * INCH - BAND.kerf,
        keep=True,
    )
    line = replace(
        plan.groups[0].purchases[0],
        count=2,
        total=Decimal(100),
        weight_kg=2 * FLAT.weight_kg(48 * INCH),
    )
    both = group_with(plan, 0, layouts=(stick,), purchases=(line,), cost=Decimal(100))
    both = part_changed(replace(both, total=Decimal(100), weight_kg=line.weight_kg), "STRAP", qty=2)
    assert check_plan(both) == ()
    assert any(
        "offer 1: 2 are bought, 1 are available" in b for b in check_plan(offer_changed(both, 1, available=1))
    )
    assert any(
        "1 are bought, due is 2 by the layouts" in b for b in check_plan(line_changed(both, 0, 0, count=1))
    )


def test_a_rack_piece_is_a_stick_or_a_sheet_not_both() -> None:
    """The same bar of the rack sawn to length and ripped is used twice."""
    plan = bar_of_both()
    rack = RackPiece(id="R1", material=FLAT, length=48 * INCH, clean_ends=2)
    ripped = replace(plan.groups[0].sheets[0], source_kind="rack", source="R1")
    stick = Layout(
        source_kind="rack",
        source="R1",
        length=48 * INCH,
        saw=BAND.name,
        times=1,
        head=0,
        pieces=(Piece(mark="STRAP", start=0, extent=20 * INCH),),
        rest=48 * INCH - 20 * INCH - BAND.kerf,
        keep=True,
    )
    racked = group_with(plan, 0, sheets=(ripped,), purchases=(), cost=Decimal(0))
    racked = replace(whole_job(racked, rack=(rack,)), total=Decimal(0), weight_kg=0.0)
    assert check_plan(racked) == ()
    both = part_changed(group_with(racked, 0, layouts=(stick,)), "STRAP", qty=2)
    assert any("rack R1 is used in 2 layouts, there is one" in b for b in check_plan(both))


def test_many_pieces_are_checked_in_little_time() -> None:
    """5,000 pieces on one sheet in 3 s, and 400 on 40 sheets in 0.3 s (1 s on a busy machine)."""
    pieces = tuple(put("S", 1 + 2 * (n % 100), 1 + 2 * (n // 100), 1, 1) for n in range(5000))
    sheet = sheet_offer(202, 102)
    one = plan_of(sheet_job(parts_of(pieces), (sheet,)), (on(sheet, pieces, "torch"),))
    small = sheet_offer(24, 24)
    each = on(small, pieces[:10], "torch")
    many = plan_of(sheet_job(parts_of(pieces[:10] * 40), (small,)), (each,) * 40)
    for plan, limit in ((one, 3.0), (many, 1.0)):
        began = time.perf_counter()
        assert check_report(plan).breaches == ()
        assert time.perf_counter() - began < limit
