"""The cutting order: numbers, stop settings and slack."""

from __future__ import annotations

from dataclasses import replace
from itertools import accumulate, permutations

from hypothesis import given
from hypothesis import strategies as st

from nesting.job import Saw
from nesting.plan import Layout, Piece
from nesting.report.saw_list import cutting_order, saw_list, slack_of
from tests.nesting.made import INCH, inch_plan, metric_plan, mixed_plan
from tests.nesting.made_sheets import plate_plan


def _layout(extents: list[int], *, length: int = 10**9, head: int = 0, kerf: int = 1) -> Layout:
    starts = accumulate((extent + kerf for extent in extents[:-1]), initial=head)
    laid = zip(starts, extents, strict=True)
    pieces = tuple(Piece(mark=str(extent), start=start, extent=extent) for start, extent in laid)
    return Layout(
        source_kind="offer",
        source="offer 1",
        length=length,
        saw="saw",
        times=1,
        head=head,
        pieces=pieces,
        rest=0,
        keep=False,
    )


def _moves(layouts: list[Layout] | tuple[Layout, ...]) -> int:
    settings = [piece.extent for layout in layouts for piece in layout.pieces]
    return sum(before != after for before, after in zip([None, *settings], settings, strict=False))


def test_the_stop_is_set_as_counted_by_hand() -> None:
    """Stick 1 needs 48 then 24; stick 2 goes on at 24: two settings."""
    assert saw_list(inch_plan()).stop_moves == 2


def test_sticks_cut_alike_count_the_moves_back() -> None:
    """Layout 48 24 three times: 48 24 48 24 48 24 are six settings."""
    from dataclasses import replace

    plan = inch_plan()
    group = plan.groups[0]
    tripled = replace(plan, groups=(replace(group, layouts=(replace(group.layouts[0], times=3),)),))
    assert saw_list(tripled).stop_moves == 6


@given(st.lists(st.lists(st.integers(1, 5), min_size=1, max_size=3), min_size=1, max_size=6))
def test_no_order_needs_fewer_moves_where_lengths_fall_within_sticks(sticks: list[list[int]]) -> None:
    """Tried against every order of up to six sticks."""
    layouts = [_layout(sorted(stick, reverse=True)) for stick in sticks]
    ordered = cutting_order(list(layouts))
    assert sorted(map(id, ordered)) == sorted(map(id, layouts))
    assert _moves(ordered) == min(_moves(order) for order in permutations(layouts))


@given(st.lists(st.lists(st.integers(1, 5), min_size=1, max_size=4), min_size=1, max_size=12))
def test_every_stick_is_cut_once_whatever_the_order_within_it(sticks: list[list[int]]) -> None:
    """Layouts that rise, fall or return are all there afterwards."""
    layouts = [_layout(stick) for stick in sticks]
    assert sorted(map(id, cutting_order(list(layouts)))) == sorted(map(id, layouts))


def test_sticks_are_numbered_through_and_whole_ones_come_last() -> None:
    """Every physical stick has a number of its own, 1 to the number of sticks."""
    saws = saw_list(mixed_plan())
    numbers = [n for stick in saws.sticks for n in range(stick.first, stick.first + stick.layout.times)]
    assert numbers == list(range(1, 9))
    assert [stick.first for stick in saws.whole] == [8]
    assert saws.whole[0].steps == ()


def test_sticks_of_one_saw_and_section_stand_together() -> None:
    """Two saws and four sections make four blocks, the chop saw's first."""
    blocks = saw_list(mixed_plan()).blocks
    assert [block.saw.name for block in blocks] == ["chop saw", "chop saw", "band saw", "band saw"]
    assert len({block.material for block in blocks}) == 4


def test_steps_group_pieces_by_length_and_mark() -> None:
    """The first stick of the bench: four at 48, one at 24."""
    stick = saw_list(inch_plan()).sticks[0]
    assert [(step.setting, step.marks) for step in stick.steps] == [
        (48 * INCH, (("A1", 4),)),
        (24 * INCH, (("A2", 1),)),
    ]
    assert stick.steps[0].pieces == 4


def test_slack_as_worked_out_by_hand() -> None:
    """Stick 1 of the bench: 240 - 1/4 head - 1/4 far trim - 216 in pieces = 23 1/2 for 4 kerfs, 5 7/8 each,
    which is 5 3/4 more than 1/8."""
    assert saw_list(inch_plan()).sticks[0].slack == 5 * INCH + 3 * INCH // 4


def test_slack_with_a_grip_counts_the_last_kerf_too() -> None:
    """One piece of 1900 in a clean 2150 with 80 held: (2150 - 1900 - 80) / 1 - 1.5 = 168.5 mm."""
    first = next(stick for stick in saw_list(metric_plan()).sticks if stick.layout.source_kind == "rack")
    assert first.slack == 168_500 * 3200


def test_one_piece_without_a_grip_takes_any_kerf() -> None:
    """No kerf lies before the end of the only piece."""
    assert slack_of(_layout([5]), Saw(name="saw", kerf=1), far_end_clean=True) is None


@given(
    extents=st.lists(st.integers(1, 1000), min_size=1, max_size=8),
    spare=st.integers(0, 500),
    kerf=st.integers(0, 9),
    trim=st.integers(9, 30),
    grip=st.integers(0, 50),
    clean=st.booleans(),
)
def test_a_kerf_thicker_by_the_slack_still_fits_and_by_more_does_not(
    extents: list[int], spare: int, kerf: int, trim: int, grip: int, clean: bool
) -> None:
    """The last piece must end before the far trim, and the cut after it before the grip."""
    far = 0 if clean else trim
    tail = max(far - kerf, grip) if grip else far - kerf
    length = trim + sum(extents) + kerf * len(extents) + tail + spare
    saw = Saw(name="saw", kerf=kerf, trim=trim, grip=grip)
    slack = slack_of(_layout(extents, length=length, head=trim, kerf=kerf), saw, far_end_clean=clean)

    def fits(thicker: int) -> bool:
        end = trim + sum(extents) + (len(extents) - 1) * (kerf + thicker)
        return end <= length - far and (not grip or end + kerf + thicker <= length - grip)

    if slack is None:
        assert fits(10**9)
    else:
        assert slack >= 0
        assert fits(slack)
        assert not fits(slack + 1)


def test_plate_parts_as_wide_as_a_flat_bar_are_sawn_from_it_among_its_bar_parts() -> None:
    """Straps of 20 in, then tabs of 5 x 4 in from flat 1/4 x 4; sheets and a ripped bar are listed elsewhere."""
    saws = saw_list(plate_plan())
    (stick,) = saws.sticks
    assert [(step.setting, step.marks) for step in stick.steps] == [
        (20 * INCH, (("STRAP", 2),)),
        (5 * INCH, (("TAB", 3),)),
    ]
    assert (stick.first, saws.stop_moves, saws.whole) == (1, 2, ())


def test_a_sheet_that_stays_whole_is_no_stick() -> None:
    """It is numbered among the sheets."""
    plan = plate_plan()
    whole = replace(plan.groups[0].sheets[0], pieces=())
    group = replace(plan.groups[0], layouts=(), sheets=(whole,))
    assert saw_list(replace(plan, groups=(group,))).sticks == ()
