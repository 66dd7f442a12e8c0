"""Plans of jobs with plate parts: sound by the independent check, and as simple reasoning says they must be."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from nesting.check import check_plan
from nesting.findings import InputError
from nesting.job import Job, Process, Saw, Shop
from nesting.market import make_plan
from nesting.plan import GroupPlan, Plan, Rect, Settings
from stock.offer import Basis, Yard
from stock.rack import RackPiece
from tests.nesting.market.asked import FOOT, INCH, offer, part
from tests.nesting.market.asked_plates import (
    FLAT_4,
    FLAT_6,
    GRADED_PLATE,
    PLATE,
    exact_shop,
    plate,
    plate_job,
    plate_jobs,
    sheet,
)

COUNTED = Settings(time_s=None, work=60)
RANDOM = settings(max_examples=30, deadline=None, suppress_health_check=[HealthCheck.too_slow])
BED = (30 * INCH, 24 * INCH)


class StopsAfter:
    """Progress that asks to end after some questions."""

    def __init__(self, questions: int) -> None:
        self.questions, self.asked = questions, 0

    def begin(self, group: str, number: int, of: int, priced: bool) -> None:
        """Show nothing."""

    def report(self, doing: str, cost: int | None, bound: int | None) -> None:
        """Show nothing."""

    def interrupted(self) -> bool:
        """From one question on, for good."""
        self.asked += 1
        return self.asked > self.questions


def only(asked: Job) -> GroupPlan:
    """The one group of the plan, checked."""
    plan = make_plan(asked, COUNTED)
    assert check_plan(plan) == ()
    (group,) = plan.groups
    return group


def bought(group: GroupPlan) -> dict[str, int]:
    """How many sticks and sheets of each offer."""
    return {line.offer: line.count for line in group.purchases}


@given(plate_jobs())
@RANDOM
def test_the_independent_check_passes_the_plan_of_any_job_with_plates(asked: Job) -> None:
    """Turns, processes, beds, breaks, scarce sheets, rack, bar parts beside, allowed stock, no prices, both units."""
    plan = make_plan(asked, COUNTED)
    assert check_plan(plan) == ()
    for group in plan.groups:
        assert group.bound.dual_value <= group.bound.value <= group.cost
        assert group.proved == (group.stopped == "proved")


@given(plate_jobs())
@settings(parent=RANDOM, max_examples=8)
def test_the_same_job_with_plates_seed_and_work_give_the_same_plan(asked: Job) -> None:
    short = Settings(time_s=None, work=40, seed=3)
    assert make_plan(asked, short) == make_plan(asked, short)


@given(plate_jobs(), st.integers(0, 12))
@settings(parent=RANDOM, max_examples=20)
def test_an_interrupted_solve_with_plates_hands_over_a_sound_plan(asked: Job, questions: int) -> None:
    stop = StopsAfter(questions)
    plan: Plan = make_plan(asked, COUNTED, stop)
    assert check_plan(plan) == ()
    if stop.asked > questions:
        assert {g.stopped for g in plan.groups} <= {"proved", "finished", "settled", "interrupted"}


def test_an_interrupted_solve_beside_parted_sticks_proves_only_what_weights_prove() -> None:
    """Prices that only the places of cuts keep below the cost of a parted stick are not those of a certificate."""
    parts = [
        plate("P0", 1, INCH, 4 * INCH, turn="none"),
        plate("P1", 6, 13 * INCH // 8, 4 * INCH, turn="none"),
    ]
    bar = part("B0", 5, 25 * INCH // 2, FLAT_4)
    offers = [sheet(1, 48 * INCH, 24 * INCH, "37.05"), offer(2, 240 * INCH, "30.87", material=FLAT_4)]
    asked = replace(
        plate_job([*parts, bar], offers),
        saws=(Saw(name="chop", kerf=INCH // 8, trim=INCH // 4),),
        yards=(Yard(name="North", haul_limit=75 * INCH, cut_charge=Decimal(0)),),
        shop=Shop(torch_kerf=0, clearance=0, edge=0),
    )
    assert check_plan(make_plan(asked, COUNTED, StopsAfter(0))) == ()


@given(plate_jobs(), st.integers(4, 60), st.integers(4, 40), st.integers(0, 2000))
@settings(parent=RANDOM, max_examples=12)
def test_one_more_rack_sheet_never_makes_a_proved_best_worse(
    asked: Job, length: int, width: int, cents: int
) -> None:
    """The plan without it is a plan still, so a bound above its cost would be wrong."""
    more = RackPiece(
        id="NEW",
        material=GRADED_PLATE,
        length=length * INCH,
        width=width * INCH,
        value=Decimal(cents) / 100,
    )
    before = make_plan(asked, COUNTED)
    after = {g.marks: g for g in make_plan(replace(asked, rack=(*asked.rack, more)), COUNTED).groups}
    for group in before.groups:
        if group.marks in after:
            assert after[group.marks].bound.value <= group.cost
            if after[group.marks].proved:
                assert after[group.marks].cost <= group.cost + asked.shop.tie


# flat bar or sheet


def strips(bar_price: str, qty: int = 12) -> Job:
    """Straps of 4 x 20 in; a bar of 20 ft holds twelve, a sheet of 24 x 20 in six."""
    straps = [plate("S", qty, 20 * INCH, 4 * INCH)]
    return plate_job(
        straps, [offer(1, 20 * FOOT, bar_price, material=FLAT_4), sheet(2, 24 * INCH, 20 * INCH, "40.00")]
    )


def test_a_flat_bar_is_taken_where_it_is_cheaper_and_each_part_is_sawn_once() -> None:
    """One bar at 79 against two sheets at 40; the pieces lie one after the other, 20 in each."""
    group = only(strips("79.00"))
    assert bought(group) == {"offer 1": 1}
    assert (group.cost, group.proved, group.sheets) == (Decimal("79.00"), True, ())
    (layout,) = group.layouts
    assert [(p.start, p.extent) for p in layout.pieces] == [(20 * n * INCH, 20 * INCH) for n in range(12)]


def test_a_flat_bar_is_left_where_it_is_dearer() -> None:
    """Two sheets at 40 against one bar at 81."""
    group = only(strips("81.00"))
    assert bought(group) == {"offer 2": 2}
    assert (group.cost, group.proved, group.layouts) == (Decimal("80.00"), True, ())


def test_bar_and_sheet_are_mixed_where_the_mix_is_cheapest() -> None:
    """Eighteen: a bar for twelve and a sheet for six are 119; two bars are 158, three sheets 120."""
    group = only(strips("79.00", 18))
    assert bought(group) == {"offer 1": 1, "offer 2": 1}
    assert group.proved


def test_a_part_drawn_across_is_sawn_from_the_bar_only_if_it_may_turn() -> None:
    """4 x 20 drawn as 4 long and 20 wide: as wide as the bar is its length, which lies across when turned."""
    asked = strips("1.00")
    for turn, taken in (("quarter", {"offer 1": 1}), ("none", {"offer 2": 2}), ("half", {"offer 2": 2})):
        upright = plate("S", 12, 4 * INCH, 20 * INCH, turn=turn)
        assert bought(only(replace(asked, parts=(upright,)))) == taken


def test_a_flat_bar_is_sawn_to_length_whatever_the_shop_cuts_plates_with() -> None:
    """Process blank or saw: yes; torch asked for: from the sheet, or by torch from the bar as a narrow sheet."""
    asked = strips("1.00")
    (strap,) = asked.parts
    assert only(asked).layouts != ()
    torched = only(replace(asked, parts=(replace(strap, process="torch"),)))
    assert bought(torched) == {"offer 1": 1}
    assert torched.layouts == ()
    assert [s.process for s in torched.sheets] == ["torch"]


def narrow(*processes: Process) -> Job:
    """Two 3 x 20 in; a bar of 4 in at 5.00, a sheet of 24 x 20 in at 40.00; the saw takes up to 4 in."""
    return plate_job(
        [plate("N", 2, 20 * INCH, 3 * INCH)],
        [offer(1, 5 * FOOT, "5.00", material=FLAT_4), sheet(2, 24 * INCH, 20 * INCH, "40.00")],
        saws=(Saw(name="saw", kerf=0, max_size=4 * INCH),),
        shop=exact_shop(processes=processes),
    )


@pytest.mark.parametrize("process", ["torch", "saw", "shear"])
def test_a_narrower_part_is_ripped_from_a_bar_by_a_process_of_the_shop(process: Process) -> None:
    group = only(narrow(process))
    assert bought(group) == {"offer 1": 1}
    (layout,) = group.sheets
    assert (layout.process, layout.width, len(layout.pieces)) == (process, 4 * INCH, 2)
    assert group.layouts == ()


def test_a_narrower_part_is_not_ripped_by_a_process_that_the_shop_lacks() -> None:
    """The shop has only a torch; the part asks for the saw, so no plan can be made; torch-only bars do it by torch."""
    asked = narrow("torch")
    (one,) = asked.parts
    group = only(replace(asked, shop=exact_shop(processes=("torch", "shear"), edge=INCH), saws=asked.saws))
    # an edge of 1 in leaves 2 in of a 4 in bar to the torch: the shear rips it
    assert [s.process for s in group.sheets] == ["shear"]
    with pytest.raises(InputError):
        make_plan(replace(asked, parts=(replace(one, process="saw"),)), COUNTED)


def test_plate_parts_that_only_bars_can_give_are_proved_like_bar_parts() -> None:
    """Bars of 30 for 15, twice 10 and four times 6: three, though 59/30 bars would hold the length.

    Source: Fieldhouse 1990 (data from memory), the linear bound rounded up is 2.
    """
    sizes = ((15, 1), (10, 2), (6, 4))
    for material in (PLATE, FLAT_4):
        parts = [
            plate(f"P{n}", qty, n * INCH, 4 * INCH, turn="none")
            if material is PLATE
            else part(f"P{n}", qty, n * INCH, FLAT_4)
            for n, qty in sizes
        ]
        group = only(
            plate_job(parts, [offer(1, 30 * INCH, "9.00", material=FLAT_4)], shop=exact_shop(edge=1))
        )
        assert (group.cost, group.proved, group.sheets) == (Decimal("27.00"), True, ())


def test_plate_parts_from_a_bar_cut_to_length_are_done_at_once() -> None:
    """Five of 20 in are 100 in at 2.00 a foot and 1.00 for the cut: 17.67; only cents are left to search for."""
    row = offer(1, 20 * FOOT, "2.00", Basis.FOOT, material=FLAT_4, cut_to_length=Decimal(1))
    group = only(plate_job([plate("P", 5, 20 * INCH, 4 * INCH)], [row]))
    assert group.cost == Decimal("17.67")
    assert group.stopped in ("proved", "finished")


# limits and rack pieces shared between bar parts and plate parts


def test_one_scarce_bar_is_shared_by_bar_parts_and_plate_parts() -> None:
    """The only bar of 10 ft holds a bar part of 60 in and three straps of 20; the fourth is cut from a sheet."""
    parts = [part("B", 1, 60 * INCH, FLAT_4), plate("S", 4, 20 * INCH, 4 * INCH)]
    rows = [
        offer(1, 10 * FOOT, "10.00", material=FLAT_4, available=1),
        sheet(2, 24 * INCH, 20 * INCH, "40.00"),
    ]
    group = only(plate_job(parts, rows))
    assert bought(group) == {"offer 1": 1, "offer 2": 1}
    (bar,) = group.layouts
    assert sorted(p.mark for p in bar.pieces) == ["B", "S", "S", "S"]
    assert bar.rest == 0
    assert [p.mark for s in group.sheets for p in s.pieces] == ["S"]
    assert group.proved


def test_one_rack_bar_is_shared_by_bar_parts_and_plate_parts() -> None:
    """The rack bar of 80 in holds the bar part and one strap; used once, paid once."""
    parts = [part("B", 1, 60 * INCH, FLAT_4), plate("S", 1, 20 * INCH, 4 * INCH)]
    rows = [
        offer(1, 10 * FOOT, "50.00", material=FLAT_4),
        sheet(2, 24 * INCH, 20 * INCH, "40.00"),
    ]
    rack = (RackPiece(id="R1", material=FLAT_4, length=80 * INCH, value=Decimal("7.00")),)
    group = only(plate_job(parts, rows, rack=rack))
    assert (group.purchases, group.cost, group.proved) == ((), Decimal("7.00"), True)
    assert [(x.source, x.times) for x in group.layouts] == [("R1", 1)]


def test_a_rack_piece_is_not_used_both_as_a_stick_and_as_a_sheet() -> None:
    """The rack bar of 40 in holds the strap sawn, or the narrow part by torch with it; the bar part needs a new bar."""
    parts = [
        part("B", 1, 40 * INCH, FLAT_4),
        plate("N", 1, 20 * INCH, 3 * INCH, process="torch"),
    ]
    rows = [offer(1, 40 * INCH, "50.00", material=FLAT_4)]
    rack = (RackPiece(id="R1", material=FLAT_4, length=40 * INCH),)
    group = only(plate_job(parts, rows, rack=rack))
    used = [x.source for x in group.layouts] + [s.source for s in group.sheets]
    assert sorted(used) == ["R1", "offer 1"]
    assert group.cost == Decimal("50.00")


# beds, last sheets, breaks, straight cuts, weight


def test_a_sheet_larger_than_the_bed_is_parted_and_each_blank_fits_it() -> None:
    """48 x 24 under a bed of 30 x 24: at least one cut, blanks with kerf between, pieces 1/4 from their edges."""
    shop = Shop(bed=BED, edge=INCH // 4, clearance=INCH // 4, torch_kerf=INCH // 16)
    asked = plate_job(
        [plate("A", 4, 11 * INCH, 23 * INCH)], [sheet(1, 48 * INCH, 24 * INCH, "90.00")], shop=shop
    )
    (layout,) = only(asked).sheets
    assert layout.blanks
    assert all(sorted((b.length, b.width)) <= sorted(BED) for b in layout.blanks)
    assert [cut.axis for cut in layout.cuts] == ["across"]
    assert len(layout.pieces) == 4


def test_a_sheet_that_fits_the_bed_the_other_way_round_is_not_parted() -> None:
    asked = plate_job(
        [plate("A", 1, 11 * INCH, 9 * INCH)],
        [sheet(1, 24 * INCH, 30 * INCH, "90.00")],
        shop=exact_shop(bed=BED),
    )
    (layout,) = only(asked).sheets
    assert (layout.blanks, layout.cuts) == ((), ())


def test_the_last_sheet_leaves_one_rectangle() -> None:
    """Five 20 x 10 on sheets of 40 x 20: four fill one; of the other the fifth leaves 30 x 20, standing at an end.

    Two of 16 x 10 that may not turn lie above each other there and leave 24 x 20; side by side it were 40 x 10.
    """
    rows = [sheet(1, 40 * INCH, 20 * INCH, "50.00")]
    turned = only(plate_job([plate("A", 5, 20 * INCH, 10 * INCH)], rows))
    drawn = only(plate_job([plate("A", 6, 16 * INCH, 10 * INCH, turn="none")], rows))
    for group, number, along in ((turned, 1, 30 * INCH), (drawn, 2, 24 * INCH)):
        assert bought(group) == {"offer 1": 2}
        (last,) = [s for s in group.sheets if len(s.pieces) == number]
        (offcut,) = last.offcuts
        assert (offcut.length, offcut.width) == (along, 20 * INCH)


def broken(second: str) -> Job:
    """Two sheets at 50 do; three or more cost the second price each."""
    rows = [
        sheet(1, 40 * INCH, 20 * INCH, "50.00"),
        sheet(2, 40 * INCH, 20 * INCH, second, from_qty=3),
    ]
    return plate_job([plate("A", 8, 20 * INCH, 10 * INCH)], rows)


def test_a_quantity_break_of_sheets_is_taken_when_it_pays_and_the_spare_sheet_stays_whole() -> None:
    """Three at 33 are 99, two at 50 are 100."""
    group = only(broken("33.00"))
    assert (bought(group), group.cost, group.proved) == ({"offer 2": 3}, Decimal("99.00"), True)
    (spare,) = [s for s in group.sheets if not s.pieces]
    assert (spare.times, spare.offcuts) == (1, (Rect(0, 0, 40 * INCH, 20 * INCH),))
    assert (spare.trims, spare.cuts) == ((0, 0, 0, 0), ())


def test_a_quantity_break_of_sheets_is_left_when_it_does_not_pay() -> None:
    """Three at 34 are 102."""
    group = only(broken("34.00"))
    assert (bought(group), group.cost, group.proved) == ({"offer 1": 2}, Decimal("100.00"), True)


def test_a_sawn_sheet_has_its_cuts_in_order_with_their_stops() -> None:
    """24 x 12, trim 1/4 all round, kerf 1/8: two 9 x 5. Waste off at 9, then one piece after the other at 5.

    The region is 23.5 x 11.5; 11.5 - 5 - 1/8 = 6 3/8 is left above the first piece, 1 1/4 above the second, so that
    a thicker kerf eats into what is left, not into a piece.
    """
    eighth = INCH // 8
    asked = plate_job(
        [plate("PAD", 2, 9 * INCH, 5 * INCH, turn="none")],
        [sheet(1, 24 * INCH, 12 * INCH, "44.00")],
        saws=(Saw(name="band", kerf=eighth, trim=2 * eighth),),
        shop=Shop(processes=("saw",)),
    )
    (layout,) = only(asked).sheets
    assert (layout.process, layout.saw, layout.trims) == ("saw", "band", (2 * eighth,) * 4)
    rim = 2 * eighth
    whole = Rect(rim, rim, 188 * eighth, 92 * eighth)
    assert [(c.region, c.axis, c.stop) for c in layout.cuts] == [
        (whole, "across", 9 * INCH),
        (Rect(rim, rim, 9 * INCH, 92 * eighth), "along", 5 * INCH),
        (Rect(rim, rim + 41 * eighth, 9 * INCH, 51 * eighth), "along", 5 * INCH),
    ]
    assert {p.place for p in layout.pieces} == {
        Rect(rim, rim, 9 * INCH, 5 * INCH),
        Rect(rim, rim + 41 * eighth, 9 * INCH, 5 * INCH),
    }
    assert layout.offcuts == (Rect(rim + 73 * eighth, rim, 115 * eighth, 92 * eighth),)


def test_without_prices_sheets_and_bars_are_counted_in_kilograms() -> None:
    """Two straps: 40 in of flat bar weigh less than a 24 x 20 sheet."""
    rows = [offer(1, 40 * INCH, None, material=FLAT_4), sheet(2, 24 * INCH, 20 * INCH, None)]
    group = only(plate_job([plate("S", 2, 20 * INCH, 4 * INCH)], rows))
    assert not group.priced
    assert bought(group) == {"offer 1": 1}
    assert group.cost == rows[0].unit_weight()
    assert group.proved


def test_bar_parts_and_narrower_plate_parts_share_a_sawn_bar() -> None:
    """Bar 6 in x 40 in, sawn: the bar part takes 20 in, two strips of 3 x 20 the rest; no second bar."""
    parts = [part("B", 1, 20 * INCH, FLAT_6), plate("N", 2, 20 * INCH, 3 * INCH, process="saw")]
    rows = [offer(1, 40 * INCH, "30.00", material=FLAT_6)]
    group = only(plate_job(parts, rows, shop=exact_shop(processes=("saw",))))
    assert bought(group) == {"offer 1": 1}
    (layout,) = group.sheets
    assert sorted(p.mark for p in layout.pieces) == ["B", "N", "N"]


def test_parts_that_no_sheet_is_left_for_are_refused_by_name() -> None:
    """One sheet there is, for four of five parts."""
    asked = plate_job(
        [plate("A", 5, 20 * INCH, 10 * INCH)], [sheet(1, 40 * INCH, 20 * INCH, "50.00", available=1)]
    )
    with pytest.raises(InputError) as caught:
        make_plan(asked, COUNTED)
    (finding,) = caught.value.findings
    assert finding.code == "stock-runs-out"
    assert """1 of A (20" x 10")""" in finding.sentence
    assert PLATE.designation in finding.sentence
