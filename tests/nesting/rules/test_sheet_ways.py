"""The ways to cut a sheet or flat bar: blanks that the cuts leave and the bed takes, trims, and what may lie where."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from nesting.job import Job, Part, Process, Saw, Shop
from nesting.plan import Rect, StraightCut
from nesting.rules.sheet_ways import SheetWay, lies_ways, may_lie, sawn_extents, sheet_ways, width_of
from stock.length import PER_INCH, PER_MM
from stock.material import parse_material
from stock.offer import Basis, Offer

INCH, MM = PER_INCH, PER_MM
PLATE = parse_material("plate 1/4", unit="in")
FLAT = parse_material("flat 1/4 x 4", unit="in")
BAND = Saw(name="band", kerf=INCH // 8, trim=INCH // 4)


def plate(length: int, width: int, **given: Any) -> Part:
    """A plate part."""
    return Part(mark="A", qty=1, material=PLATE, length=length, width=width, **given)


def sheet(length: int, width: int | None, **given: Any) -> Offer:
    """A sheet, or a flat bar if it has no width."""
    material = FLAT if width is None else PLATE
    return Offer(id="o", yard="North", material=material, length=length, longest=length, width=width, **given)


def shop_of(*processes: Process, saws: Sequence[Saw] = (BAND,), **given: Any) -> Job:
    """A job of nothing but its shop."""
    return Job(name="ways", parts=(), saws=tuple(saws), shop=Shop(processes=processes, **given))


def regions_left(size: tuple[int, int], cuts: Sequence[StraightCut], kerf: int) -> list[Rect]:
    """What lies there when all cuts are made; each is made from edge to edge of a region that is there."""
    left = [Rect(0, 0, *size)]
    for cut in cuts:
        left.remove(cut.region)
        r, lost = cut.region, cut.stop + kerf
        if cut.axis == "across":
            assert 0 < cut.stop < r.length
            parts = [Rect(r.x, r.y, cut.stop, r.width), Rect(r.x + lost, r.y, r.length - lost, r.width)]
        else:
            assert 0 < cut.stop < r.width
            parts = [Rect(r.x, r.y, r.length, cut.stop), Rect(r.x, r.y + lost, r.length, r.width - lost)]
        left += [p for p in parts if p.length > 0 and p.width > 0]
    return left


def takes(bed: tuple[int, int], blank: Rect) -> bool:
    """Whether a blank lies on the bed, one way round or the other."""
    return any(blank.length <= a and blank.width <= b for a, b in (bed, bed[::-1]))


@st.composite
def beds_and_sheets(draw: st.DrawFn) -> tuple[tuple[int, int], tuple[int, int]]:
    """A bed, and a sheet of at most eight beds either way."""
    step = draw(st.sampled_from([1, MM, INCH // 8]))
    least = draw(st.integers(2, 40))
    bed = least, draw(st.integers(least, 3 * least))
    size = draw(st.tuples(*[st.integers(1, 8 * least)] * 2))
    turned = draw(st.booleans())
    return (bed[turned] * step, bed[1 - turned] * step), (size[0] * step, size[1] * step)


@given(beds_and_sheets(), st.sampled_from([0, 1, INCH // 16]), st.sampled_from(["in", "mm"]))
def test_blanks_fit_the_bed_and_are_exactly_what_the_cuts_leave(
    asked: tuple[tuple[int, int], tuple[int, int]], kerf: int, unit: str
) -> None:
    """So they lie in the sheet, and a kerf apart from each other, because regions that cuts leave do."""
    bed, size = asked
    ways = sheet_ways(shop_of("torch", bed=bed, torch_kerf=kerf, unit=unit), sheet(*size))
    assert ways
    for way in ways:
        if takes(bed, Rect(0, 0, *size)):
            assert (way.blanks, way.cuts) == ((), ())
        else:
            assert way.cuts
            assert set(way.blanks) <= set(regions_left(size, way.cuts, kerf))
            assert all(takes(bed, blank) for blank in way.blanks)


def test_without_a_bed_a_sheet_lies_whole_and_keeps_the_edge_and_the_clearance() -> None:
    (way,) = sheet_ways(shop_of("torch", edge=3, clearance=5, torch_kerf=7), sheet(999 * INCH, 99 * INCH))
    assert way == SheetWay(process="torch", saw="", between=7, near=(3, 3), far=(3, 3))


def test_a_sheet_is_parted_into_one_blank_or_blanks_as_large_as_the_bed_and_a_rest_or_blanks_alike() -> None:
    """48 x 24 for a bed of 30 x 24, kerf 1/16: 30 alone; 30 and 17 15/16; 23 31/32 each. The bed the other way round:
    24 along with 24 across alone, 24 and 23 15/16, or again 23 31/32 each.
    """
    ways = sheet_ways(
        shop_of("torch", bed=(30 * INCH, 24 * INCH), torch_kerf=INCH // 16), sheet(48 * INCH, 24 * INCH)
    )
    lengths = [tuple(Decimal(b.length) / INCH for b in way.blanks) for way in ways]
    assert lengths == [
        (Decimal(30),),
        (Decimal(30), Decimal("17.9375")),
        (Decimal("23.96875"), Decimal("23.96875")),
        (Decimal(24),),
        (Decimal(24), Decimal("23.9375")),
        (Decimal("23.96875"), Decimal("23.96875")),
    ]
    assert [[(c.axis, c.stop) for c in way.cuts] for way in ways] == [
        [("across", 30 * INCH)],
        [("across", 30 * INCH)],
        [("across", 767 * INCH // 32)],
        [("across", 24 * INCH)],
        [("across", 24 * INCH)],
        [("across", 767 * INCH // 32)],
    ]


def test_a_rest_no_wider_than_the_kerf_is_no_blank() -> None:
    """25 along for a bed of 24, kerf 1: the cut takes all that is left."""
    ways = sheet_ways(shop_of("torch", bed=(24, 24), torch_kerf=1), sheet(25, 10))
    assert ways[0].blanks == (Rect(0, 0, 24, 10),)
    assert ways[0].cuts == (StraightCut(region=Rect(0, 0, 25, 10), axis="across", stop=24),)


@pytest.mark.parametrize(("clean", "trim"), [(0, 2), (1, 2), (2, 0)])
def test_a_sheet_is_trimmed_on_all_sides_or_clean_on_all(clean: int, trim: int) -> None:
    """Trim 1/4 in at the saw, in eighths; one clean end does not say which side of a sheet it is."""
    eighth = INCH // 8
    (way,) = sheet_ways(shop_of("saw"), sheet(48 * INCH, 24 * INCH, clean_ends=clean))
    assert (way.saw, way.between) == ("band", eighth)
    assert (way.near, way.far) == ((trim * eighth, trim * eighth), (trim * eighth, trim * eighth))
    (way,) = sheet_ways(shop_of("shear", shear_trim=9), sheet(48 * INCH, 24 * INCH, clean_ends=clean))
    assert (way.saw, way.between) == ("", 0)
    assert (way.near, way.far) == (((9, 9), (9, 9)) if trim else ((0, 0), (0, 0)))


@pytest.mark.parametrize(("clean", "first", "far"), [(0, 2, 2), (1, 0, 2), (2, 0, 0)])
def test_a_flat_bar_is_trimmed_at_its_unclean_ends_and_never_along_its_edges(
    clean: int, first: int, far: int
) -> None:
    """Trim 1/4 in, in eighths; with a grip of 4 in the far end keeps 4 in and a kerf of 1/8."""
    eighth = INCH // 8
    bar = sheet(60 * INCH, None, clean_ends=clean)
    gripping = Saw(name="grip", kerf=eighth, trim=2 * eighth, grip=4 * INCH)
    plain, held = sheet_ways(shop_of("saw", saws=(BAND, gripping)), bar)
    assert (plain.near, plain.far) == ((first * eighth, 0), (far * eighth, 0))
    assert (held.near, held.far) == ((first * eighth, 0), (33 * eighth, 0))
    (sheared,) = sheet_ways(shop_of("shear", shear_trim=2 * eighth), bar)
    assert (sheared.near, sheared.far) == ((first * eighth, 0), (far * eighth, 0))


def test_a_grip_holds_no_sheet() -> None:
    gripping = Saw(name="grip", kerf=1, grip=4 * INCH)
    (way,) = sheet_ways(shop_of("saw", saws=(gripping,)), sheet(60 * INCH, 30 * INCH))
    assert way.far == (0, 0)


def test_a_saw_takes_a_sheet_whose_shorter_side_goes_through() -> None:
    small = Saw(name="small", kerf=0, max_size=24 * INCH)
    job = shop_of("saw", saws=(small,))
    assert [w.saw for w in sheet_ways(job, sheet(96 * INCH, 24 * INCH))] == ["small"]
    assert [w.saw for w in sheet_ways(job, sheet(24 * INCH, 96 * INCH))] == ["small"]
    assert sheet_ways(job, sheet(96 * INCH, 24 * INCH + 1)) == ()


def test_every_process_of_the_shop_is_a_way_and_a_bar_cut_to_length_has_none() -> None:
    job = shop_of("torch", "saw", "shear")
    assert [w.process for w in sheet_ways(job, sheet(60 * INCH, None))] == ["torch", "saw", "shear"]
    to_length = sheet(60 * INCH, None, price=Decimal(1), per=Basis.FOOT, cut_to_length=Decimal(1))
    assert sheet_ways(job, to_length) == ()


@pytest.mark.parametrize(
    ("part", "extents"),
    [
        (plate(20 * INCH, 4 * INCH), (20 * INCH,)),
        (plate(4 * INCH, 20 * INCH), (20 * INCH,)),
        (plate(4 * INCH, 20 * INCH, turn="half"), ()),
        (plate(4 * INCH, 4 * INCH), (4 * INCH,)),
        (plate(20 * INCH, 4 * INCH, process="saw"), (20 * INCH,)),
        (plate(20 * INCH, 4 * INCH, process="torch"), ()),
        (plate(20 * INCH, 3 * INCH), ()),
    ],
)
def test_a_part_is_sawn_to_length_where_a_side_is_the_width_of_the_bar(
    part: Part, extents: tuple[int, ...]
) -> None:
    """Turned only if it may be by a quarter; by the saw, or by whatever the shop has."""
    assert sawn_extents(part, 4 * INCH) == extents


def test_a_square_part_lies_one_way_only_and_a_half_turn_changes_nothing() -> None:
    assert lies_ways(plate(7, 7)) == ((7, 7),)
    assert lies_ways(plate(7, 5, turn="half")) == ((7, 5),)
    assert lies_ways(plate(7, 5)) == ((7, 5), (5, 7))


def test_a_part_as_wide_as_a_bar_may_lie_there_up_to_what_the_saw_yields() -> None:
    """60 in, trims of 1/4 at both ends: 59 1/2; the shop has a torch only, whose edge would not let it lie."""
    job, bar = shop_of("torch"), sheet(60 * INCH, None)
    most = 119 * INCH // 2
    assert may_lie(job, plate(most, 4 * INCH), bar)
    assert not may_lie(job, plate(most + 1, 4 * INCH), bar)
    assert may_lie(job, plate(4 * INCH, most), bar)
    assert not may_lie(job, plate(4 * INCH, most, turn="none"), bar)
    assert not may_lie(job, plate(most, 4 * INCH, process="torch"), bar)
    assert not may_lie(shop_of("torch", saws=()), plate(most, 4 * INCH), bar)


def test_a_narrower_part_may_lie_on_a_bar_only_by_a_process_that_leaves_it_room() -> None:
    """The torch keeps 1/4 in at each edge of 4 in; saw and shear keep none along the edges."""
    bar = sheet(60 * INCH, None)
    narrow, wider = plate(20 * INCH, 7 * INCH // 2), plate(20 * INCH, 7 * INCH // 2 + 1)
    torch, saw = shop_of("torch", edge=INCH // 4), shop_of("saw")
    assert may_lie(torch, narrow, bar)
    assert not may_lie(torch, wider, bar)
    assert may_lie(saw, wider, bar)
    assert not may_lie(saw, plate(20 * INCH, 3 * INCH, process="torch"), bar)
    assert not may_lie(shop_of("shear"), plate(61 * INCH, 3 * INCH), bar)


def test_a_part_larger_than_every_blank_may_not_lie_on_a_sheet_that_must_be_parted() -> None:
    """Bed 24 x 24, edge 1: 22 x 22 lies on a blank, 23 on none; without a bed it does."""
    source = sheet(48 * INCH, 48 * INCH)
    bedded = shop_of("torch", edge=INCH, bed=(24 * INCH, 24 * INCH))
    assert may_lie(bedded, plate(22 * INCH, 22 * INCH), source)
    assert not may_lie(bedded, plate(23 * INCH, 22 * INCH), source)
    assert may_lie(shop_of("torch", edge=INCH), plate(23 * INCH, 22 * INCH), source)


def test_the_width_of_a_flat_bar_is_its_larger_side() -> None:
    assert width_of(sheet(60 * INCH, None)) == 4 * INCH
    assert width_of(sheet(60 * INCH, 3 * MM)) == 3 * MM
