"""How mitred pieces are sawn, and how the papers word it."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from fractions import Fraction

from hypothesis import given
from hypothesis import strategies as st

from nesting.check.mitres import extent_of, faces, least_gap
from nesting.job import Part
from nesting.plan import Layout, Piece, Plan
from nesting.report.mitre_cuts import SQUARE, Cut, Sawn, kerf_shares, sawn
from nesting.report.mitre_words import begin_words, convention_lines, cut_words, run_words, total_words
from nesting.report.saw_list import saw_list
from stock.length import PER_INCH
from tests.nesting.made import inch_plan, tube
from tests.nesting.made_mitres import frame_plan, mixed_mitres_plan, with_layout

INCH = PER_INCH
KERF = INCH // 8


def said(plan: Plan) -> list[str]:
    """What the first stick of a plan is told, run by run."""
    parts = {part.mark: part for part in plan.job.parts}
    (stick,) = saw_list(plan).cut
    return [run_words(cuts, parts[mark]) for step in stick.steps for mark, _, cuts in step.runs]


def in_row(marks: str, parts: dict[str, Part], *, keep: bool = False, length: int = 240 * INCH) -> Layout:
    """Pieces of these parts, none turned, from a clean end and as near to each other as can be."""
    at, pieces, before = 0, [], None
    for mark in marks.split():
        near, far = faces(parts[mark])
        at += 0 if before is None else least_gap(before, near, KERF)
        pieces.append(Piece(mark=mark, start=at, extent=parts[mark].extent))
        at += parts[mark].extent
        before = far
    return Layout(
        source_kind="offer", source="offer 1", length=length, saw="s", times=1, head=0, pieces=tuple(pieces),
        rest=max(0, length - at - KERF), keep=keep,
    )  # fmt: skip


def mitred(a: str, b: str, lean: str = "opposite") -> Part:
    part = Part(
        mark="M", qty=9, material=tube(), length=20 * INCH, extent=1, end_a=Decimal(a), end_b=Decimal(b),
        lean=lean,  # type: ignore[arg-type]
    )  # fmt: skip
    return replace(part, extent=extent_of(part))


def test_frame_sides_in_a_row_share_their_cuts_and_the_saw_swings_to_and_fro() -> None:
    """Four sides need five cuts: like "/ \\ / \\ /"."""
    plan = frame_plan()
    (stick,) = saw_list(plan).cut
    assert [cut.swing for cut in stick.cuts] == ["right", "left", "right", "left", "right"]
    assert {cut.angle for cut in stick.cuts} == {45}
    assert said(plan) == ["cut 45° left and 45° right in turn"]
    assert begin_words(stick, plan.job.shop) == "cut the first end 45° right, to a point at its clean end"
    assert total_words(saw_list(plan)) == "5 mitre cuts: 45° from square"


def test_unlike_ends_are_cut_anew_and_it_is_said_which_end_is_at_the_stop() -> None:
    plan = mixed_mitres_plan()
    assert said(plan) == [
        "",
        "bar end 30° right first; cut 30° right",
        "bar end 45° right first; cut 45° left",
        "cut square (end a at the stop)",
    ]
    (stick,) = saw_list(plan).cut
    assert begin_words(stick, plan.job.shop) == 'square off 1/4"'


def test_a_stop_is_set_to_the_extent_whatever_the_angle() -> None:
    """From the foremost point of a piece to its furthest."""
    (stick,) = saw_list(mixed_mitres_plan()).cut
    pieces = stick.layout.pieces
    assert [step.setting for step in stick.steps] == [pieces[at].extent for at in (0, 1, 3, 4)]


def test_a_tight_stick_is_freed_square_and_its_mitre_cut_afterwards() -> None:
    """Ends like "\\ /" with points a square cut apart: no room for a slanted one, if every tick counts."""
    parts = {"M": mitred("45", "45")}
    layout = in_row("M M", parts)
    roomy = sawn(layout, parts, KERF, room=INCH)
    assert [one.freed.swing for one in roomy] == ["left", "left"]
    tight = sawn(layout, parts, KERF, room=0)
    assert (tight[0].freed, tight[0].far.swing, tight[1].is_ready) == (SQUARE, "left", False)
    kept = sawn(in_row("M M", parts, keep=True), parts, KERF, room=INCH)
    assert [one.freed for one in kept] == [SQUARE, SQUARE]


def test_of_two_nested_ends_the_lesser_angle_frees_the_piece_in_a_tight_stick() -> None:
    """A far end at 60 beside a near end at 30, both like "/": the cut at 30 touches the long point of the first."""
    parts = {"S": mitred("0", "60", "same"), "T": mitred("30", "0")}
    layout = in_row("S T", parts)
    tight = sawn(layout, parts, KERF, room=0)
    assert (tight[0].freed.angle, tight[0].far.angle, tight[1].is_ready) == (30, 60, True)
    roomy = sawn(layout, parts, KERF, room=INCH)
    assert (roomy[0].freed.angle, roomy[1].is_ready) == (60, False)


def test_pieces_that_cannot_be_turned_are_told_one_by_one() -> None:
    parts = {"M": mitred("45", "45")}
    pieces = sawn(in_row("M M M", parts, keep=True), parts, KERF, room=0)
    one = "cut square, then the end of the piece 45° left"
    assert run_words(pieces, parts["M"]) == f"{one}; 2 times: bar end 45° right, {one}"


def test_a_narrow_side_is_named() -> None:
    assert cut_words(Cut(Decimal("22.50"), "left", "narrow")) == "22.5° left, narrow side up"
    assert cut_words(SQUARE) == "square"


def test_where_every_cut_of_a_run_has_the_narrow_side_up_it_is_said_once() -> None:
    parts = {"M": replace(mitred("45", "45"), plane="narrow")}
    said = run_words(sawn(in_row("M M", parts), parts, KERF, room=INCH), parts["M"])
    assert said.startswith("narrow side up: ")
    assert said.count("narrow") == 1
    assert said.count("45°") >= 2


def test_the_convention_is_said_once_and_names_each_angle_on_the_other_kind_of_scale() -> None:
    """Degrees from square and from the length of the bar make 90: 60 from square is 30 (trigonometry; trade note)."""
    lines = convention_lines(saw_list(mixed_mitres_plan()))
    assert "30° is 60°, 45° is 45°" in lines[0]
    assert any("right leans like /" in line for line in lines)
    assert convention_lines(saw_list(inch_plan())) == ()


def test_slack_of_nested_pieces_counts_the_slanted_kerf() -> None:
    """Frame sides: 96 - 90.26516 = 5.73484 in behind the last point, no trim; three shared cuts move it by 1.41421
    each: 5.73484 / 4.24264 = 1.35172 in."""
    (stick,) = saw_list(frame_plan()).cut
    assert stick.slack is not None
    assert abs(stick.slack / INCH - 1.35172) < 1e-5


@given(st.integers(0, INCH))
def test_thicker_by_the_slack_the_frame_still_fits_and_by_a_hundredth_more_does_not(more: int) -> None:
    """Positions worked out again with the thicker kerf, in a stick that is longer by any piece."""
    plan = frame_plan()
    layout = replace(plan.groups[0].layouts[0], length=91 * INCH + more)
    plan = with_layout(plan, layout)
    (stick,) = saw_list(plan).cut
    assert stick.slack is not None
    side = plan.job.parts[0]
    near, far = faces(side)[1], faces(side, "a", 2)[0]

    def end(thicker: int) -> int:
        return 4 * side.extent + 3 * least_gap(near, far, INCH // 16 + thicker)

    assert end(stick.slack) <= layout.length + 3
    assert end(stick.slack + INCH // 100) > layout.length


def test_square_cuts_move_the_last_piece_by_one_each() -> None:
    plan = inch_plan()
    parts = {part.mark: part for part in plan.job.parts}
    assert kerf_shares(plan.groups[0].layouts[0], parts, KERF) == Fraction(4)


def test_a_piece_with_square_cuts_alone_is_no_mitre() -> None:
    assert not Sawn(SQUARE, True, SQUARE, SQUARE, "a").is_mitred
