"""Parts that come together, and parts that name where they come from."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from nesting.check import check_plan, check_report
from nesting.findings import InputError
from nesting.job import Assembly, Job, Part, Saw, Shop
from nesting.market import make_plan
from nesting.plan import Plan
from nesting.read.mitre import mitred_extent
from nesting.rules.sources import may_come
from nesting.rules.stick_ways import longest_extent
from stock.material import parse_material
from stock.offer import Yard
from stock.rack import RackPiece
from tests.nesting.market.asked import COUNTED, GRADED, INCH, MM, TUBE, job, jobs, metric, offer, part

FLAT = parse_material("flat 10 x 60", unit="mm")
PLATE = parse_material("plate 10", unit="mm")


def bound(mark: str, qty: int, length: int, together: str = "", **given: str) -> Part:
    """A part of so many millimetres that comes together with others, or from a named source."""
    return replace(part(mark, qty, length * MM), together=together, **given)


def planned(asked: Job) -> Plan:
    """The plan of a job, which the check finds sound."""
    plan = make_plan(asked, COUNTED)
    assert check_plan(plan) == ()
    return plan


def bought(plan: Plan) -> int:
    """How many sticks a plan buys."""
    return sum(p.count for group in plan.groups for p in group.purchases)


def stick_marks(plan: Plan) -> list[str]:
    """The marks of each stick, sorted, for each of the sticks cut alike."""
    return sorted(
        "".join(sorted(piece.mark for piece in layout.pieces))
        for group in plan.groups
        for layout in group.layouts
        for _ in range(layout.times)
    )


def test_two_short_pieces_that_come_together_cost_a_third_stick() -> None:
    """Worked by hand: 60 + 40 and 60 + 40 fill two sticks of 100; with both 40 in one, each 60 needs its own."""
    free = metric(100, [(60, 2), (40, 2)])
    assert bought(planned(free)) == 2
    tied = replace(free, parts=(free.parts[0], replace(free.parts[1], together="pair")))
    plan = planned(tied)
    assert bought(plan) == 3
    assert plan.groups[0].proved
    assert stick_marks(plan) == ["P1", "P1", "P2P2"]


@pytest.mark.parametrize(("kerf", "sticks"), [(0, 1), (2, 1), (3, 0)])
def test_a_lot_takes_a_kerf_between_its_pieces(kerf: int, sticks: int) -> None:
    """49 + 2 + 49 = 100 exactly; with a kerf of 3 no stick of 100 holds the two."""
    asked = job(
        [bound("A", 1, 49, "t"), bound("B", 1, 49, "t")],
        [offer(1, 100 * MM, "10.00", clean_ends=2)],
        kerf * MM,
        shop=Shop(unit="mm"),
    )
    if sticks:
        assert bought(planned(asked)) == sticks
    else:
        with pytest.raises(InputError, match="no place for 1 of A, B together"):
            make_plan(asked, COUNTED)


def test_each_assembly_has_its_own_lot() -> None:
    """Two assemblies with one A and two B each: sticks of 100 hold 40 + 30 + 30 each, never 40 + 40."""
    parts = [
        replace(bound("A", 1, 40, "t"), assembly="frame"),
        replace(bound("B", 2, 30, "t"), assembly="frame"),
    ]
    asked = job(
        parts, [offer(1, 100 * MM, "10.00", clean_ends=2)], assemblies=(Assembly(name="frame", qty=2),)
    )
    assert stick_marks(planned(asked)) == ["ABB", "ABB"]


def test_the_same_word_in_two_assemblies_is_two_lots() -> None:
    parts = [replace(bound(name, 1, 60, "t"), assembly=name) for name in "AB"]
    built = tuple(Assembly(name=name, qty=1) for name in "AB")
    asked = job(parts, [offer(1, 100 * MM, "10.00", clean_ends=2)], assemblies=built)
    assert stick_marks(planned(asked)) == ["A", "B"]


def test_pieces_of_a_lot_lie_longest_first_among_the_others() -> None:
    asked = job(
        [bound("A", 1, 20, "t"), bound("B", 1, 50, "t"), bound("C", 1, 30)],
        [offer(1, 100 * MM, "10.00", clean_ends=2)],
    )
    (layout,) = planned(asked).groups[0].layouts
    assert [piece.mark for piece in layout.pieces] == ["B", "C", "A"]


def test_a_lot_of_two_materials_comes_from_what_serves_both() -> None:
    parts = [bound("A", 1, 40, "t"), replace(bound("B", 1, 40, "t"), material=GRADED)]
    plain = offer(1, 100 * MM, "1.00", material=TUBE, clean_ends=2)
    graded = offer(2, 100 * MM, "10.00", material=GRADED, clean_ends=2)
    plan = planned(job(parts, [plain, graded]))
    assert [p.offer for p in plan.groups[0].purchases] == ["offer 2"]
    assert plan.groups[0].proved


def test_a_named_piece_is_used_although_a_stick_is_cheaper() -> None:
    """R1 costs 50.00 and a stick 10.00; the part that names R1 comes from it, the other from where it is cheapest."""
    rack = (RackPiece(id="R1", material=TUBE, length=100 * MM, clean_ends=2, value=Decimal(50)),)
    parts = [bound("A", 1, 60, source="R1"), bound("B", 1, 60)]
    plan = planned(job(parts, [offer(1, 100 * MM, "10.00", clean_ends=2)], rack=rack))
    assert {layout.source for layout in plan.groups[0].layouts} == {"R1", "offer 1"}
    assert plan.groups[0].cost == 60
    assert plan.groups[0].proved


def test_a_heat_is_any_piece_of_that_heat_and_no_other_one_just_like_it() -> None:
    """Four pieces alike but for the heat: three parts of heat H7 come from the two that have it."""
    rack = tuple(
        RackPiece(id=f"R{n}", material=TUBE, length=100 * MM, clean_ends=2, heat=heat)
        for n, heat in enumerate(["H5", "H7", "", "H7"], 1)
    )
    plan = planned(job([bound("A", 3, 45, source="H7")], [], rack=rack))
    assert {layout.source for layout in plan.groups[0].layouts} == {"R2", "R4"}


def test_a_scarce_named_piece_is_kept_for_the_part_that_names_it() -> None:
    """Filled by itself R1 would take B first, which is longer: then A has no place."""
    rack = (RackPiece(id="R1", material=TUBE, length=100 * MM, clean_ends=2),)
    parts = [bound("A", 1, 60, source="R1"), bound("B", 1, 90)]
    plan = planned(job(parts, [offer(1, 100 * MM, "10.00", clean_ends=2)], rack=rack))
    assert plan.groups[0].cost == 10


def test_plates_and_a_lot_share_a_flat_bar() -> None:
    """The tie plates may come from the bar, the bar parts of the lot come from one bar, never from a ripped one."""
    bars = [replace(part(mark, 1, 200 * MM), material=FLAT, together="t") for mark in "AB"]
    tie = Part(mark="P", qty=2, material=PLATE, length=60 * MM, width=40 * MM)
    offers = [
        offer(1, 500 * MM, "10.00", material=FLAT, clean_ends=2),
        offer(2, 300 * MM, "30.00", material=PLATE, width=300 * MM),
    ]
    saws = (Saw(name="fine", kerf=MM), Saw(name="coarse", kerf=2 * MM, max_size=50 * MM))
    shop = Shop(unit="mm", processes=("torch", "saw"))
    plan = planned(job([*bars, tie], offers, saws=saws, shop=shop))
    assert plan.groups[0].cost == 10
    assert "ABPP" in stick_marks(plan)


@given(
    st.lists(st.integers(10, 40), min_size=2, max_size=3),
    st.lists(st.tuples(st.integers(8, 70), st.integers(1, 4)), min_size=1, max_size=3),
    st.integers(0, 3),
    st.sampled_from([0, 1]),
)
@settings(max_examples=8, deadline=None)
def test_a_lot_costs_what_one_part_as_long_as_it_costs(
    lot: list[int], others: list[tuple[int, int]], kerf: int, safety: int
) -> None:
    """On one saw a lot is a part of its pieces and the kerfs between them; and it is never cheaper than loose parts."""
    saws = (Saw(name="saw", kerf=kerf * MM, trim=5 * MM),)
    shop = Shop(unit="mm", kerf_safety=safety * MM)
    offers = [offer(1, 150 * MM, "11.00"), offer(2, 220 * MM, "17.00")]
    rest = [bound(f"P{n}", qty, length) for n, (length, qty) in enumerate(others)]
    tied = [bound(f"L{n}", 1, length, "t") for n, length in enumerate(lot)]
    loose = [replace(each, together="") for each in tied]
    one = bound("L", 1, sum(lot) + (len(lot) - 1) * (kerf + safety))

    def cost(parts: list[Part]) -> Decimal:
        plan = planned(job([*parts, *rest], offers, saws=saws, shop=shop))
        assert plan.groups[0].proved
        return plan.groups[0].cost

    assert cost(loose) <= cost(tied) == cost([one])


def test_the_bound_of_a_lot_is_verified_by_the_check() -> None:
    """One part of a lot has the price of the lot, the others none; another split is refused."""
    asked = job(
        [bound("A", 2, 30, "t"), bound("B", 1, 40, "t"), bound("C", 3, 60)],
        [offer(1, 100 * MM, "10.00", clean_ends=2)],
    )
    plan = planned(asked)
    assert check_report(plan).groups[0].proved == plan.groups[0].bound.dual_value > 0
    (group,) = plan.groups
    prices = dict(group.bound.part_prices)
    assert prices["A"] > 0
    assert prices["B"] == 0
    split = replace(group.bound, part_prices=tuple({**prices, "B": 1}.items()))
    broken = replace(plan, groups=(replace(group, bound=split),))
    assert check_plan(broken) == (
        f"group {group.name}: the bound prices part B, due is 0: it is priced with A",
    )


def mitred(mark: str, qty: int, together: str) -> Part:
    """24 in from long point to long point, both ends 45 degrees, leaning against each other."""
    angle, length = Decimal(45), 24 * INCH
    ends = {"end_a": angle, "end_b": angle, "extent": length}
    return replace(part(mark, qty, length), **ends, together=together)  # type: ignore[arg-type]


def test_mitred_parts_that_come_together_nest() -> None:
    """By hand, kerf 1/16: the second piece lies turned in the waste of the first, 48 - 2 + 1/16 x 1.4142 = 46.0884.

    Both ends of a stick are clean, so that the last kerf may be missing.
    """
    kerf = INCH // 16

    def fits(length: int, together: str) -> bool:
        asked = job([mitred("A", 2, together)], [offer(1, length, "9.00", clean_ends=2, available=1)], kerf)
        try:
            planned(asked)
        except InputError:
            return False
        return True

    for together in ("", "t"):
        assert fits(46 * INCH + INCH // 8, together)
        assert not fits(46 * INCH + INCH // 16, together)


def test_loose_mitred_pieces_lie_between_those_of_a_lot() -> None:
    """Four sides, two of them a lot with a square piece: 90.265165 in if the last point falls on the end (as of the
    frame sides of the trade notes, 4 x 22 + 2 + 3 x 1/16 / cos 45), and a square cut with 10 in behind or before."""
    kerf = INCH // 16
    lot = [mitred("A", 2, "t"), replace(part("S", 1, 10 * INCH), together="t")]
    length = 90 * INCH + INCH * 266 // 1000 + kerf + 10 * INCH
    asked = job([*lot, mitred("B", 2, "")], [offer(1, length, "9.00", clean_ends=2)], kerf)
    plan = planned(asked)
    assert [x.times for x in plan.groups[0].layouts] == [1]
    assert plan.groups[0].proved
    shorter = replace(asked.offers[0], length=length - INCH // 500, longest=length - INCH // 500)
    assert bought(planned(replace(asked, offers=(shorter,)))) == 2


@st.composite
def mitred_lots(draw: st.DrawFn) -> Job:
    """Two assemblies of mitred parts of several angles, of which some come together, and loose ones."""
    angles = st.sampled_from(["0", "30", "45"])
    leans = st.sampled_from(["opposite", "same"])
    parts = []
    for n in range(draw(st.integers(2, 4))):
        length, lean = INCH * draw(st.integers(8, 40)), draw(leans)
        ends = (Decimal(draw(angles)), Decimal(draw(angles)))
        extent = mitred_extent(length, TUBE.depth("wide"), ends, lean, "long")
        word = draw(st.sampled_from(["", "t", "t"]))
        one = replace(part(f"P{n}", draw(st.integers(1, 2)), length), end_a=ends[0], end_b=ends[1], lean=lean)
        parts.append(replace(one, extent=extent, together=word, assembly="F" if draw(st.booleans()) else ""))
    offers = [offer(1, 200 * INCH, "20.00", clean_ends=draw(st.sampled_from([0, 2])))]
    if draw(st.booleans()):
        offers.append(offer(2, 130 * INCH, "14.00"))
    share = Decimal(draw(st.sampled_from(["0", "0.5"])))
    return job(
        parts,
        offers,
        saws=(Saw(name="chop", kerf=INCH // 8, trim=INCH // 4),),
        assemblies=(Assembly(name="F", qty=2),),
        shop=Shop(keep_length=24 * INCH, offcut_share=share),
    )


@given(mitred_lots())
@settings(max_examples=25, deadline=None)
def test_lots_of_mitred_parts_cost_no_more_than_laid_square_and_no_less_than_loose(asked: Job) -> None:
    """The plan and its bound with lots, against those of square parts as long, and of the same parts loose."""
    square, zero = [], Decimal(0)
    for one in asked.parts:
        square.append(replace(one, length=one.extent, end_a=zero, end_b=zero))
    loose = tuple(replace(one, together="") for one in asked.parts)
    plans = [planned(replace(asked, parts=parts)) for parts in (asked.parts, tuple(square), loose)]
    own, laid, free = (plan.groups[0] for plan in plans)
    assert own.bound.value <= laid.cost
    assert free.bound.value <= own.cost
    if own.proved and laid.proved:
        assert own.cost <= laid.cost
    if own.proved and free.proved:
        assert free.cost <= own.cost


def test_a_lot_comes_home_in_one_segment() -> None:
    """Sticks of 240 mm, of which 100 can be carried home at a time: 60 + 40 fill one segment, 90 lies in the other."""
    yards = (Yard(name="North", haul_limit=100 * MM, cut_charge=Decimal(1)),)
    parts = [bound("A", 1, 60, "t"), bound("B", 1, 40, "t"), bound("C", 1, 90)]
    plan = planned(job(parts, [offer(1, 240 * MM, "10.00", clean_ends=2)], yards=yards))
    assert {"AB"} < set(stick_marks(plan))
    assert plan.groups[0].cost == 10 + 2


@st.composite
def bound_jobs(draw: st.DrawFn) -> tuple[Job, Job]:
    """A random job, and the same with two parts that come together, or one that names a rack piece with room for it.

    Two pieces of at most 90 in have room in every job's plentiful stick of 20 ft or more.
    """
    asked = draw(jobs())
    parts = [replace(p, qty=1) for p in asked.parts]
    free = replace(asked, parts=tuple(parts))
    if len(parts) > 1 and draw(st.booleans()):
        parts[:2] = [replace(p, together="pair") for p in parts[:2]]
        return free, replace(free, parts=tuple(parts))
    may = may_come(asked)
    saw = asked.saws[0]
    room = [
        (n, piece)
        for n, p in enumerate(parts)
        for piece in asked.rack
        if may(p, piece) and longest_extent(asked, piece.length, piece.clean_ends, saw) >= p.extent
    ]
    if room:
        n, piece = draw(st.sampled_from(room))
        parts[n] = replace(parts[n], source=piece.id)
    return free, replace(free, parts=tuple(parts))


@given(bound_jobs())
@settings(max_examples=40, deadline=None)
def test_a_bound_job_is_planned_soundly_and_never_cheaper_than_a_free_one(asked: tuple[Job, Job]) -> None:
    """Whatever else there is; and the check verifies what the prices of lots and named parts prove."""
    free, bound = (make_plan(each, COUNTED) for each in asked)
    report = check_report(bound)
    assert report.breaches == ()
    assert all(group.proved is not None for group in report.groups)
    for loose, tied in zip(free.groups, bound.groups, strict=True):
        assert tied.cost >= loose.bound.value


def _swapped(plan: Plan, one: str, other: str) -> Plan:
    """Two marks of equal length change places in the whole plan."""
    (group,) = plan.groups
    turn = {one: other, other: one}
    layouts = tuple(
        replace(x, pieces=tuple(replace(p, mark=turn.get(p.mark, p.mark)) for p in x.pieces))
        for x in group.layouts
    )
    return replace(plan, groups=(replace(group, layouts=layouts),))


def test_a_lot_torn_apart_is_a_breach() -> None:
    asked = job(
        [bound("A", 1, 50, "t"), bound("B", 1, 40, "t"), bound("C", 1, 50), bound("D", 1, 45)],
        [offer(1, 100 * MM, "10.00", clean_ends=2)],
    )
    found = check_plan(_swapped(planned(asked), "A", "C"))
    assert sum("1 x A and 1 x B come together from one stick, found are" in breach for breach in found) == 2


def test_a_part_beside_the_piece_it_names_is_a_breach() -> None:
    rack = (RackPiece(id="R1", material=TUBE, length=100 * MM, clean_ends=2, heat="H7"),)
    parts = [bound("A", 1, 50, source="H7"), bound("B", 1, 50)]
    asked = job([*parts, bound("C", 1, 50)], [offer(1, 100 * MM, "10.00", clean_ends=2)], rack=rack)
    plan = planned(asked)
    beside = next(x.pieces[0].mark for x in plan.groups[0].layouts for p in x.pieces if x.source == "offer 1")
    found = check_plan(_swapped(plan, "A", beside))
    assert any("part A is cut from offer 1, due is what it names: H7" in breach for breach in found)
