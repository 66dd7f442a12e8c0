"""The cutting order of sheets: numbers, blanks and straight cuts as they are made."""

from __future__ import annotations

from dataclasses import replace

from hypothesis import given
from hypothesis import strategies as st

from nesting.plan import Axis, Rect, StraightCut
from nesting.report.sheet_list import Sheet, blanks_of, cut_steps, kerf_of, parted, sheet_list
from tests.nesting.made import INCH, inch_plan
from tests.nesting.made_sheets import EIGHTH, plate_plan, put, rect


def sheet_from(source: str) -> Sheet:
    """The only sheet of `plate_plan` from a source."""
    (found,) = (sheet for sheet in sheet_list(plate_plan()).sheets if sheet.layout.source == source)
    return found


def test_sheets_are_numbered_from_one_torch_first_and_thin_before_thick() -> None:
    """14 gauge, bought and from the rack, then the quarter inch; then the two that are sawn."""
    listed = sheet_list(plate_plan())
    assert [sheet.layout.source for sheet in listed.torch] == ["offer 3", "R 3", "offer 1"]
    assert {sheet.layout.source for sheet in listed.straight} == {"offer 4", "offer 5"}
    assert [sheet.run for sheet in listed.sheets] == [(number, 1) for number in range(1, 6)]


def test_sheets_cut_alike_take_as_many_numbers() -> None:
    """Three alike are 1 to 3; what stays whole is numbered last."""
    plan = plate_plan()
    alike = replace(plan.groups[1].sheets[0], times=3)
    whole = replace(plan.groups[0].sheets[0], pieces=(), offcuts=(rect(0, 0, 24, 24),))
    groups = (
        replace(plan.groups[0], sheets=(whole,)),
        replace(plan.groups[1], sheets=(alike,)),
        plan.groups[2],
    )
    listed = sheet_list(replace(plan, groups=groups))
    assert [sheet.run for sheet in listed.sheets] == [(1, 3), (4, 1), (5, 1), (6, 1)]
    assert [sheet.layout.source for sheet in listed.whole] == ["offer 1"]


def test_a_plan_of_bars_has_no_sheets() -> None:
    """Sticks have numbers of their own."""
    assert sheet_list(inch_plan()).sheets == ()


def test_a_sheet_weighs_its_volume_times_its_density() -> None:
    """24 x 24 x 1/4 in at 490 lb/ft3 is 40.83 lb, 18.52 kg; a 4 ft flat of 6 x 1/2 in as much."""
    for source in ("offer 1", "offer 4", "offer 5"):
        assert abs(sheet_from(source).weight_kg - 18.52) < 0.02


def test_pieces_lie_on_their_blank_in_an_order_of_short_travel() -> None:
    """From the datum corner always the nearest next; every piece once."""
    (blank,) = blanks_of(sheet_from("offer 1"))
    assert [(piece.place.x, piece.place.y) for piece in blank.pieces[:2]] == [
        (INCH // 4, INCH // 4),
        (INCH // 4, 13 * INCH // 2),
    ]
    assert sorted(piece.place for piece in blank.pieces) == sorted(
        piece.place for piece in sheet_from("offer 1").layout.pieces
    )


def test_a_parted_sheet_has_a_blank_without_pieces_as_well() -> None:
    """The lid lies on the first, the second is kept."""
    first, second = blanks_of(sheet_from("offer 3"))
    assert [piece.mark for piece in first.pieces] == ["LID"]
    assert (second.number, second.pieces) == (2, ())


def test_steps_say_what_comes_off_and_what_stays() -> None:
    """The 24 x 12 sheet: a strip, then two pads of it, the last scrap; the rest of the sheet is kept."""
    steps = cut_steps(sheet_from("offer 4"), plate_plan().job)
    assert [(step.comes_off, step.stays) for step in steps] == [
        ("strip", "keep"),
        ("PAD", "strip"),
        ("PAD", "scrap"),
    ]
    assert [step.number for step in steps] == [1, 2, 3]


def test_a_cut_that_parts_a_sheet_frees_a_blank() -> None:
    """By the torch, with its kerf; the other side is kept."""
    (step,) = cut_steps(sheet_from("offer 3"), plate_plan().job)
    assert (step.comes_off, step.stays, step.kerf.length) == ("blank 1", "keep", INCH // 16)


def test_the_kerf_is_that_of_what_cuts() -> None:
    """Torch, saw, and none with a shear."""
    job, sawn = plate_plan().job, sheet_from("offer 4")
    sheared = replace(sawn, layout=replace(sawn.layout, process="shear", saw=""))
    assert [kerf_of(sheet, job) for sheet in (sheet_from("offer 1"), sawn, sheared)] == [
        INCH // 16,
        EIGHTH,
        0,
    ]


def test_a_cut_at_the_end_of_its_region_leaves_nothing_behind() -> None:
    """Of 10 in at 9 15/16 with a kerf of 1/8: 1/16 in of dust, and no far part."""
    sheet = sheet_from("offer 5")
    cut = StraightCut(region=rect(0, 0, 10, 6), axis="across", stop=10 * INCH - INCH // 16)
    layout = replace(sheet.layout, cuts=(cut,), pieces=(put("RIB", 0, 0, 9.9375, 6),), offcuts=())
    (step,) = cut_steps(replace(sheet, layout=layout), plate_plan().job)
    assert (step.kerf.length, step.far.length, step.stays) == (INCH // 16, 0, "")


@given(
    axis=st.sampled_from(["across", "along"]),
    length=st.integers(1, 1000),
    width=st.integers(1, 1000),
    share=st.floats(0, 1),
    kerf=st.integers(0, 50),
)
def test_a_straight_cut_makes_two_parts_and_a_kerf_of_its_region(
    axis: Axis, length: int, width: int, share: float, kerf: int
) -> None:
    """They fill it without overlap; the kerf is whole unless the region ends before."""
    region = Rect(7, 11, length, width)
    stop = max(1, round(share * (length if axis == "across" else width)))
    near, lost, far = parted(StraightCut(region=region, axis=axis, stop=stop), kerf)
    assert sum(each.length * each.width for each in (near, lost, far)) == length * width
    if axis == "across":
        assert (near.x, near.length, lost.x, far.x) == (7, stop, 7 + stop, 7 + stop + lost.length)
        assert lost.length == kerf or far.length == 0
    else:
        assert (near.y, near.width, lost.y, far.y) == (11, stop, 11 + stop, 11 + stop + lost.width)
        assert lost.width == kerf or far.width == 0


def test_sheets_of_one_material_follow_each_other() -> None:
    """Plate and flat bar of one group and thickness are not mixed, whatever the order of the plan."""
    plan = plate_plan()
    (torch,) = plan.groups[0].sheets
    bar = replace(torch, source="offer 2", length=240 * INCH, width=4 * INCH)
    group = replace(plan.groups[0], layouts=(), sheets=(torch, bar, torch))
    listed = sheet_list(replace(plan, groups=(group,)))
    assert [sheet.layout.source for sheet in listed.torch] == ["offer 2", "offer 1", "offer 1"]


@given(st.lists(st.tuples(st.integers(0, 40), st.integers(0, 40)), min_size=1, max_size=30, unique=True))
def test_the_next_piece_is_always_a_nearest_one(corners: list[tuple[int, int]]) -> None:
    """Whatever lies on a sheet, from the datum corner on, and each piece once."""
    sheet = sheet_from("offer 1")
    pieces = tuple(put("BP", x / 2, y / 2, 0.25, 0.25) for x, y in corners)
    (blank,) = blanks_of(replace(sheet, layout=replace(sheet.layout, pieces=pieces)))
    assert sorted(piece.place for piece in blank.pieces) == sorted(piece.place for piece in pieces)
    at = Rect(0, 0, 0, 0)
    for index, piece in enumerate(blank.pieces):
        away = [(each.place.x - at.x) ** 2 + (each.place.y - at.y) ** 2 for each in blank.pieces[index:]]
        assert away[0] == min(away)
        at = piece.place
