"""What torch, straight cuts and drill must do, whatever the numbers: a published figure, and laws that always hold."""

from __future__ import annotations

import math
from dataclasses import replace
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from nesting.estimate import Line, TorchWork, estimate_of, torch_holes, torch_work
from nesting.estimate.drill import drill_seconds, feed_inches, hole_seconds, speed_ft_min
from nesting.estimate.feed import AMPS, counted_amps, feed_mm_min, pierce_seconds
from nesting.estimate.rates import Rates
from nesting.estimate.straight import straight_work
from nesting.job import Hole, Part
from nesting.plan import Placed, Plan, Rect, SheetLayout
from stock.grade import Family
from stock.length import PER_INCH, PER_MM
from stock.material import Material, parse_material
from tests.nesting.made_sheets import plate_plan, put, rect

THICKNESSES = st.integers(PER_MM // 2, 16 * PER_MM)
TORCHES = st.builds(
    Rates,
    torch_amps=st.sampled_from([Decimal(45), Decimal(65), Decimal(85), Decimal(125)]),
    torch_feed=st.none() | st.decimals(100, 9000, places=0),
    pierce_seconds=st.none() | st.decimals(0, 5, places=1),
)
SIZES = st.integers(PER_MM, 3000 * PER_MM)
PIECES = st.lists(
    st.builds(
        lambda mark, length, width: Placed(mark=mark, place=Rect(0, 0, length, width), turned=False),
        st.sampled_from("ABC"),
        SIZES,
        SIZES,
    ),
    max_size=6,
).map(tuple)
HOLES = {"A": (10 * PER_MM, 20 * PER_MM), "B": (8 * PER_MM,)}


def _torch(pieces: tuple[Placed, ...]) -> SheetLayout:
    return SheetLayout(
        source_kind="offer",
        source="offer 1",
        length=6000 * PER_MM,
        width=3000 * PER_MM,
        process="torch",
        saw="",
        times=1,
        pieces=pieces,
    )


def _lines(plan: Plan) -> dict[str, Line]:
    return {line.operation: line for line in estimate_of(plan).lines}


def _changed(plan: Plan, cut_by: str, **change: object) -> Plan:
    """The plan with every sheet that is cut by one process changed in the same way."""
    groups = tuple(
        replace(
            each,
            sheets=tuple(
                replace(sheet, **change) if sheet.process == cut_by else sheet  # type: ignore[arg-type]
                for sheet in each.sheets
            ),
        )
        for each in plan.groups
    )
    return replace(plan, groups=groups)


@given(thin=THICKNESSES, more=st.integers(1, 10 * PER_MM), rates=TORCHES)
def test_a_thicker_plate_is_never_cut_faster_nor_pierced_sooner(thin: int, more: int, rates: Rates) -> None:
    """Feed falls with thickness, a check that needs no chart; what is too thick for a feed stays so."""
    fast, slow = feed_mm_min(thin, rates), feed_mm_min(thin + more, rates)
    assert fast is not None
    assert slow is None or 0 < slow <= fast
    assert feed_mm_min(thin + more + 100 * PER_MM, rates) is None or rates.torch_feed is not None
    assert pierce_seconds(thin + more, rates) >= pierce_seconds(thin, rates) >= 0


@given(thickness=THICKNESSES)
def test_a_stronger_torch_is_faster_in_the_same_plate(thickness: int) -> None:
    """85 A above 45 A at the same thickness, a check that needs no chart."""
    feeds = [feed_mm_min(thickness, Rates(torch_amps=Decimal(amps))) for amps in AMPS]
    pierces = [pierce_seconds(thickness, Rates(torch_amps=Decimal(amps))) for amps in AMPS]
    if thickness >= 3 * PER_MM:  # from where both are known
        assert feeds == sorted(feeds, key=float)
        assert feeds[0] != feeds[1]
        assert pierces == sorted(pierces, reverse=True)


def test_a_torch_between_two_columns_is_counted_at_the_weaker() -> None:
    """So that the estimate errs towards more time."""
    assert [counted_amps(Rates(torch_amps=Decimal(amps))) for amps in (45, 65, 84, 85, 125)] == [
        45,
        45,
        45,
        85,
        85,
    ]


@given(pieces=PIECES, more=PIECES, thickness=THICKNESSES, rates=TORCHES)
def test_torch_work_adds_up_over_pieces_and_sheets(
    pieces: tuple[Placed, ...], more: tuple[Placed, ...], thickness: int, rates: Rates
) -> None:
    """Two sheets are as much work as one that holds the pieces of both."""
    one, two, both = (
        torch_work(_torch(each), thickness, HOLES, rates) for each in (pieces, more, pieces + more)
    )
    assert both.pierces == one.pierces + two.pierces
    assert both.metres == pytest.approx(one.metres + two.metres, rel=1e-12)
    assert one.seconds is not None
    assert two.seconds is not None
    assert both.seconds == pytest.approx(one.seconds + two.seconds, rel=1e-12)


@given(pieces=PIECES, thickness=THICKNESSES, more=st.integers(0, 3 * PER_MM), rates=TORCHES)
def test_torch_time_grows_with_thickness(
    pieces: tuple[Placed, ...], thickness: int, more: int, rates: Rates
) -> None:
    thin, thick = (torch_work(_torch(pieces), t, HOLES, rates) for t in (thickness, thickness + more))
    assert (thin.metres, thin.pierces) == (thick.metres, thick.pierces)
    assert thin.seconds is not None
    assert thick.seconds is None or thick.seconds >= thin.seconds


def test_outlines_holes_and_parting_cuts_are_work_of_the_torch() -> None:
    """By hand, at 1000 mm a minute and 2 s a pierce. Five 8 x 6 in with two holes of 9/16: 5 x 28 + 10 pi 9/16 =
    157.671 in = 4.00486 m, 15 pierces. One 22 x 20 in and a cut over 30 in: 114 in = 2.8956 m, 2 pierces."""
    plan, rates = plate_plan(), Rates(torch_feed=Decimal(1000), pierce_seconds=Decimal(2))
    holes = torch_holes(plan)
    assert holes == {"BP": (PER_INCH * 9 // 16,) * 2}
    layouts = [sheet for each in plan.groups for sheet in each.sheets if sheet.process == "torch"]
    whole, parted, racked = (torch_work(layout, PER_INCH // 4, holes, rates) for layout in layouts)
    assert whole == TorchWork(
        metres=pytest.approx(4.004855, abs=1e-6), pierces=15, seconds=pytest.approx(270.2913)
    )
    assert (parted.metres, parted.pierces) == (pytest.approx(2.8956), 2)
    assert parted.seconds == pytest.approx(2.8956 * 60 + 4)
    assert (racked.metres, racked.pierces) == (pytest.approx(84 * 0.0254), 1)


@given(times=st.integers(1, 30))
def test_sheets_cut_alike_take_as_many_times_the_hours(times: int) -> None:
    """But for the rounding of each line."""
    once, often = _lines(plate_plan()), _lines(_changed(plate_plan(), "torch", times=times))
    one, many = once["Cutting, torch"].hours, often["Cutting, torch"].hours
    assert one is not None
    assert many is not None
    assert times * (one - Decimal("0.01")) < many <= times * one
    assert f"{3 * times} pierces of" in often["Cutting, torch"].how


def test_a_plate_too_thick_for_the_torch_is_left_out_aloud() -> None:
    """2 in plate: its metres stand in a line of its own without money; a stronger torch or a set feed mends it."""
    plan = plate_plan()
    thick = parse_material("plate 2", unit="in")
    job = replace(
        plan.job,
        offers=tuple(
            replace(offer, material=thick) if offer.id == "offer 1" else offer for offer in plan.job.offers
        ),
    )
    estimate = estimate_of(replace(plan, job=job))
    line = next(line for line in estimate.lines if line.operation == "Cutting, torch: plate 2")
    assert (line.hours, line.amount) == (None, None)
    assert line.operation in estimate.unknown
    assert line.how == (
        "13.1 ft of cut and 15 pierces: no feed is known for 45 A in that thickness; set torch_feed, or torch_amps if "
        "the torch is stronger"
    )
    shop = replace(job.shop, rates=(("torch_feed", Decimal(100)), ("pierce_seconds", Decimal(3))))
    lines = _lines(replace(plan, job=replace(job, shop=shop)))
    assert "plate 2: 13.1 ft of cut at 3.94 in/min" in lines["Cutting, torch"].how
    assert "Cutting, torch: plate 2" not in lines


def test_straight_cuts_are_as_long_as_what_they_go_through() -> None:
    """24 x 12 in, trimmed by 1/4 all round: 2 x 12 and 2 x 23.5; then 11.5, 9 and 9: 100.5 in, 7 cuts; the stop
    is set to 9 and to 5."""
    sawn = next(sheet for each in plate_plan().groups for sheet in each.sheets if sheet.process == "saw")
    work = straight_work(sawn)
    assert (work.count, work.length_mm, work.stop_moves) == (7, pytest.approx(100.5 * 25.4), 2)
    one_end = replace(sawn, trims=(PER_INCH, 0, 0, 0), cuts=())
    assert (straight_work(one_end).count, straight_work(one_end).length_mm) == (1, pytest.approx(12 * 25.4))


def test_a_sheet_that_is_sheared_counts_its_cuts() -> None:
    """The sheets of the saw, sheared instead: 7 and 5 cuts, at 20 s each 240 s = 0.0667 h, up to 0.07 h."""
    plan = _changed(plate_plan(), "saw", process="shear", saw="")
    lines = _lines(plan)
    assert lines["Cutting, shear"].how == "12 cuts × 20 s (starting value)"
    assert lines["Cutting, shear"].hours == Decimal("0.07")
    assert lines["Cutting, band saw"].how.startswith("6 cuts through 6.00 in²")
    assert "the cost of the shear" in " ".join(estimate_of(plan).notes)


def test_half_an_inch_through_three_eighths_takes_what_the_manual_says() -> None:
    """1/2 in at 90 ft/min: 687.5 rpm; x 0.006 = 4.13 in/min; 3/8 plate and 0.3 D of point: 7.6 s. Published: US Navy,
    NAVEDTRA 14345 (speeds, feeds); derived: the point of a 118 degree drill is 0.300 D."""
    assert drill_seconds(0.5, 0.375, 90, 0.006) == pytest.approx(7.6, abs=0.05)
    assert 0.5 / math.tan(math.radians(59)) == pytest.approx(0.300, abs=0.0005)


@pytest.mark.parametrize(
    ("diameter", "low", "high"),
    [(0.2, 0.002, 0.004), (0.4, 0.004, 0.007), (0.9, 0.007, 0.015), (1.5, 0.007, 0.015)],
)
def test_feeds_lie_in_the_published_ranges(diameter: float, low: float, high: float) -> None:
    """NAVEDTRA 14345: 1/8-1/4 in 0.002-0.004, 1/4-1/2 0.004-0.007, 1/2-1 0.007-0.015 in a turn; beyond, as the last."""
    assert low <= feed_inches(diameter) <= high


@pytest.mark.parametrize(
    ("family", "low", "high"),
    [(Family.CARBON, 80, 110), (Family.STAINLESS, 30, 40), (Family.ALUMINIUM, 200, 300)],
)
def test_speeds_lie_in_the_published_ranges_until_the_shop_sets_one(
    family: Family, low: float, high: float
) -> None:
    """NAVEDTRA 14345, ft/min for drills of high-speed steel; a metre a minute is 1/0.3048 ft."""
    assert low <= speed_ft_min(family, Rates()) <= high
    assert speed_ft_min(family, Rates(drill_speed=Decimal("30.48"))) == pytest.approx(100)


@given(
    diameter=st.integers(PER_MM, 50 * PER_MM),
    depth=st.integers(PER_MM, 50 * PER_MM),
    more=st.integers(PER_MM, 50 * PER_MM),
)
def test_a_deeper_hole_takes_longer(diameter: int, depth: int, more: int) -> None:
    """And a hole that goes through is as deep as the plate is thick."""
    plate = parse_material("plate 10", unit="mm")
    part = Part(mark="A", qty=1, material=plate, length=100 * PER_MM, width=100 * PER_MM)
    through = Hole(mark="A", x=0, y=0, diameter=diameter)
    blind, deeper = replace(through, depth=depth), replace(through, depth=depth + more)
    assert hole_seconds(part, deeper, Rates()) > hole_seconds(part, blind, Rates())
    assert hole_seconds(part, through, Rates()) == hole_seconds(
        part, replace(through, depth=10 * PER_MM), Rates()
    )


@pytest.mark.parametrize(
    ("finish", "is_cleaned", "is_painted"),
    [("galvanised", False, False), ("pickled", False, True), ("hot-rolled", True, True)],
)
def test_the_surface_of_plates_goes_by_the_finish_of_their_sheet(
    finish: str, is_cleaned: bool, is_painted: bool
) -> None:
    """Of the hand-made plan BP 515 in2 and LID 1772.55 in2 lie on sheets given a finish; 837.5 in2 of TAB, STRAP, RIB
    and PAD on others without one. 144 in2 to the square foot."""
    plan = plate_plan()

    def finished_as(material: Material) -> Material:
        is_thin_sheet = material.is_plate and material.thickness < PER_INCH // 2
        return replace(material, finish=finish) if is_thin_sheet else material

    job = replace(
        plan.job,
        offers=tuple(replace(offer, material=finished_as(offer.material)) for offer in plan.job.offers),
        rack=tuple(replace(piece, material=finished_as(piece.material)) for piece in plan.job.rack),
    )
    lines = _lines(replace(plan, job=job))
    rest, plates = 837.5 / 144, (515 + 1772.5496) / 144
    assert lines["Taking off mill scale"].how.startswith(f"{rest + plates * is_cleaned:.3g} ft²")
    assert lines["Painting"].how.startswith(f"{rest + plates * is_painted:.3g} ft²")


def test_bar_parts_on_a_sawn_flat_bar_are_counted_too() -> None:
    """A bar part of 6 in width laid on the ripped bar: one more piece, and its surface as a bar's: 13 x 4 in2."""
    plan = plate_plan()
    wide = parse_material("flat 1/2 x 6", unit="in", grade="A36")
    part = Part(mark="END", qty=1, material=wide, length=4 * PER_INCH)
    job = replace(plan.job, parts=(*plan.job.parts, part))
    *others, last = plan.groups
    sawn, ripped = last.sheets
    more = replace(
        ripped, pieces=(*ripped.pieces, put("END", 20.25, 0, 4, 6)), offcuts=(rect(24.375, 0, 23.625, 6),)
    )
    laid = replace(plan, job=job, groups=(*others, replace(last, sheets=(sawn, more))))
    before, after = _lines(plan), _lines(laid)
    assert "12 pieces" in before["Handling of sheets"].how
    assert "13 pieces" in after["Handling of sheets"].how
    assert after["Painting"].how.startswith(f"{(3125.0496 + 52) / 144:.3g} ft²")
