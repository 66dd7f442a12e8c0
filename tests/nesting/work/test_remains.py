"""What is left when work is broken off, worked by hand."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import pytest

from nesting.findings import InputError
from nesting.job import Assembly, Shop
from nesting.market import make_plan
from nesting.work.record import Came, Cut, Entry, Left
from nesting.work.remains import material_left
from nesting.work.replan import job_left, replan
from nesting.work.said import Saying
from nesting.work.standing import Standing, standing
from stock.rack import RackPiece
from tests.nesting.made import INCH, inch_plan
from tests.nesting.made_sheets import plate_plan
from tests.nesting.market.asked import COUNTED, MM, TUBE, job, metric, offer, part
from tests.nesting.market.test_mitred_plans import mitred
from tests.nesting.work.worked import kept


def said(work: Standing, *words: str, **more: tuple[str, ...]) -> Standing:
    """Where the work stands after what is said."""
    saying = Saying(work)
    for word in words:
        saying.done(word)
    for take, each in more.items():
        for word in each:
            getattr(saying, take)(word)
    return standing(work.plan, (), saying.entry())


def left(work: Standing) -> dict[str, int]:
    """Ticks of what is left, by name."""
    return {piece.id: piece.length for piece in material_left(work, "A").pieces}


def test_what_is_left_of_a_stick_begins_behind_its_last_kerf() -> None:
    """Stick 1 of the bench: trimmed 1/4, two pieces of 48 and their kerfs of 1/8 are 96 1/2 of 240; its first end is
    clean then. Stick 2 came with the same order, whole, both ends rough."""
    work = said(standing(inch_plan()), "1:2")
    assert left(work) == {"A1": 240 * INCH - 96 * INCH - INCH // 2, "A2": 240 * INCH}
    assert [piece.clean_ends for piece in material_left(work, "A").pieces] == [1, 0]
    assert work.taken_as_bought == ("North Yard",)


def test_what_is_measured_goes_before_what_was_planned_and_later_cuts_come_off_it() -> None:
    """Measured 140 after two pieces; the third takes 48 1/8 more."""
    work = said(standing(inch_plan()), "1:2", left=("1=140",))
    assert left(work)["A1"] == 140 * INCH
    both = standing(
        work.plan,
        kept(
            Entry(cut=said_cut(work, 2)),
            Entry(left=(Left(kind="stick", number=1, sizes=((140 * INCH, 0),)),)),
            Entry(cut=said_cut(work, 3)),
        ),
    )
    assert left(both)["A1"] == 140 * INCH - 48 * INCH - INCH // 8


def said_cut(work: Standing, pieces: int) -> tuple[Cut, ...]:
    """So many pieces of stick 1."""
    saying = Saying(standing(work.plan))
    saying.done(f"1:{pieces}")
    return saying.entry().cut


def test_a_lost_stick_leaves_nothing_and_a_broken_one_two_rests() -> None:
    work = said(standing(inch_plan()), left=("1=0", "2=100 + 90"))
    assert left(work) == {"A2": 100 * INCH, "A2.2": 90 * INCH}


def test_a_thicker_kerf_shortens_what_is_left_of_sticks_that_are_cut() -> None:
    """Two cuts, each 1/16 wider than the 1/8 planned; the trim of 1/4 grows by that in the new plan."""
    work = said(standing(inch_plan()), "1:2", kerf=("3/16",))
    assert left(work)["A1"] == 240 * INCH - 96 * INCH - INCH // 2 - INCH // 8
    (saw,) = job_left(work).job.saws
    assert (saw.kerf, saw.trim) == (3 * INCH // 16, 5 * INCH // 16)


def test_behind_a_mitred_cut_the_rest_counts_from_the_short_point() -> None:
    """A side of 24 in, both ends 45, from 100 in, both ends clean: freed at 24 by a cut of 1/16 at 45 degrees, which
    takes 1/16 x 1.41421356 along the bar: 75.911612 are left behind its short point (derived)."""
    plan = make_plan(
        job([mitred("SIDE", 3, 24 * INCH)], [offer(1, 100 * INCH, "10", clean_ends=2)], INCH // 16), COUNTED
    )
    work = said(standing(plan), "1:1")
    (rest,) = material_left(work, "A").pieces
    assert round(rest.length / INCH, 6) == 75.911612
    assert rest.clean_ends == 2


def test_what_is_left_of_a_rack_piece_keeps_its_name_and_its_share_of_the_value() -> None:
    """R1 of 100 mm at 10.00: 40 are cut with no kerf, 60 are worth 6.00."""
    rack = (RackPiece(id="R1", material=TUBE, length=100 * MM, clean_ends=2, value=Decimal(10), heat="H7"),)
    plan = make_plan(job([part("P", 2, 40 * MM)], [], rack=rack), COUNTED)
    (rest,) = material_left(said(standing(plan), "1:1"), "A").pieces
    assert (rest.id, rest.length, rest.value, rest.heat) == ("R1", 60 * MM, Decimal(6), "H7")


def test_bought_material_costs_what_it_would_be_worth_as_an_offcut() -> None:
    """Half of 62.47 for a whole stick where rests earn half, nothing where they earn nothing."""
    plan = inch_plan()
    (free, _) = material_left(said(standing(plan), bought=("all",)), "A").pieces
    earning = replace(plan, job=replace(plan.job, shop=Shop(offcut_share=Decimal("0.5"))))
    (half, _) = material_left(said(standing(earning), bought=("all",)), "A").pieces
    assert (free.value, half.value) == (0, Decimal("31.2350"))


def test_a_sheet_that_is_cut_leaves_the_rectangles_of_its_plan() -> None:
    """And one that is not begun is there whole."""
    plan = plate_plan()
    work = said(standing(plan), "s1")
    kept_rects = {(r.length, r.width) for g in plan.groups for x in g.sheets for r in x.offcuts}
    rests = [p for p in material_left(work, "A").pieces if p.id.startswith("A-s1")]
    assert {(p.length, p.width) for p in rests} <= kept_rects


def test_material_beyond_the_order_and_other_lengths_are_on_hand_as_they_came() -> None:
    """Two sticks of 20 ft were ordered; 238, 239 and 240 in came, of heat H1."""
    came = tuple(
        Came(offer="offer 1", ordered=240 * INCH, count=1, length=n * INCH, heat="H1")
        for n in (238, 239, 240)
    )
    work = standing(inch_plan(), (), Entry(came=came))
    assert left(work) == {"A1": 238 * INCH, "A2": 239 * INCH, "A-x1": 240 * INCH}
    assert {piece.heat for piece in material_left(work, "A").pieces} == {"H1"}


def test_what_is_cut_and_left_is_held_against_the_length_that_came() -> None:
    """A 20 ft stick came 10 ft long: neither all its pieces nor 11 ft come of it; a longer one may leave more."""
    entry = Came(offer="offer 1", ordered=240 * INCH, count=1, length=120 * INCH, heat="")
    short = standing(inch_plan(), (), Entry(came=(entry,)))
    pieces = len(short.items["stick", 1].marks)
    cut = Cut(kind="stick", number=1, pieces=pieces, marks=short.items["stick", 1].marks)
    with pytest.raises(InputError, match='stick 1 came 120" long, which holds'):
        standing(inch_plan(), (), Entry(came=(entry,), cut=(cut,)))
    much = Left(kind="stick", number=1, sizes=((132 * INCH, 0),))
    with pytest.raises(InputError, match='stick 1 is 120" long, so 132" cannot be left'):
        standing(inch_plan(), (), Entry(came=(entry,), left=(much,)))
    longer = replace(entry, length=242 * INCH)
    whole = Left(kind="stick", number=1, sizes=((241 * INCH, 0),))
    assert standing(inch_plan(), (), Entry(came=(longer,), left=(whole,))).progress["stick", 1].left


def test_what_a_lot_was_begun_on_gives_the_rest_of_the_lot() -> None:
    """Two frames with two stiles each, kept together; one stile of one frame is cut, the other comes from its stick."""
    stile = replace(part("G", 2, 40 * MM), together="t", assembly="frame")
    asked = job(
        [stile], [offer(1, 100 * MM, "10", clean_ends=2)], assemblies=(Assembly(name="frame", qty=2),),
        shop=Shop(unit="mm"),
    )  # fmt: skip
    work = said(standing(make_plan(asked, COUNTED)), "1:1")
    new = replan(job_left(work), COUNTED)
    parts = {p.mark: (p.qty, p.together, p.source) for p in new.plan.job.parts}
    assert parts == {"G": (2, "t", ""), "G of A1": (1, "", "A1")}
    assert new.same == (("G of A1", "G"),)
    assert new.plan.total == 0


def test_without_buying_the_least_is_left_out() -> None:
    """60 mm are left of the first stick of 100 and the second is lost: of 40, 40, 60 and 30 the 60 is made, as no two
    fit and it weighs most."""
    plan = make_plan(metric(100, [(40, 2), (60, 1), (30, 1)]), COUNTED)
    work = said(standing(plan), left=("1=60", "2=0"))
    new = replan(job_left(work), COUNTED, buying=False)
    made = sum(p.length * new.plan.job.copies(p) for p in new.plan.job.parts)
    assert made == 60 * MM
    assert new.plan.total == 0
    assert sum(count for _, count in new.missing) == 4 - sum(
        new.plan.job.copies(p) for p in new.plan.job.parts
    )


@pytest.mark.parametrize(
    ("words", "more", "sentence"),
    [
        (("9",), {}, "there is no stick 9; the plan has sticks 1 to 2"),
        (("s1",), {}, "there is no sheet 1; the plan has no sheets"),
        (("1:7",), {}, "stick 1 has 5 pieces, so piece 7 of it cannot be done"),
        (("first",), {}, "'first' names no stick or sheet"),
        ((), {"need": ("A3=+1",)}, "no part of the plan is called 'A3'; perhaps A2 or A1 is meant"),
        (("1",), {"need": ("A1=-1",)}, "part A1: 4 are made, so no fewer can be wanted"),
        ((), {"need": ("A1=2",)}, "'A1=2' changes no number; write G4=.2 or G4=-1"),
        ((), {"left": ("1=30 ft",)}, 'stick 1 is 240" long, so 360" cannot be left of it'),
        ((), {"left": ("1=3 x 4",)}, "'3 x 4' is not one length"),
        (
            (),
            {"bought": ("South",)},
            "no yard bought from of the plan is called 'South'; there is North Yard",
        ),
        ((), {"kerf": ("band saw=1/16",)}, "no saw of the plan is called 'band saw'; perhaps chop saw"),
        ((), {"spoiled": ("1",)}, "'1' names no piece; write 3:2"),
    ],
)
def test_what_the_plan_does_not_know_is_refused(
    words: tuple[str, ...], more: dict[str, tuple[str, ...]], sentence: str
) -> None:
    with pytest.raises(InputError, match=sentence):
        said(standing(inch_plan()), *words, **more)


def test_a_record_of_another_plan_is_refused() -> None:
    """The second stick holds five A2, and no plan with other pieces on it goes with this record."""
    plan = inch_plan()
    entry = Saying(standing(plan))
    entry.done("2:1")
    other = make_plan(replace(plan.job, parts=plan.job.parts[:1]), COUNTED)
    with pytest.raises(InputError, match=r"the plan has sticks 1 to 1|the record is of another plan"):
        standing(other, kept(entry.entry()))


def test_less_cannot_be_said_to_be_done_than_was_done() -> None:
    plan = inch_plan()
    first, second = Saying(standing(plan)), Saying(standing(plan))
    first.done("1:3")
    second.done("1:2")
    with pytest.raises(InputError, match="3 pieces of stick 1 are recorded as cut, more than the 2 said now"):
        standing(plan, kept(first.entry()), second.entry())
