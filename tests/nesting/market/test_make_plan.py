"""Plans of whole jobs: sound by the independent check, and no dearer than simple reasoning says they must be."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from nesting.check import check_plan
from nesting.findings import InputError
from nesting.job import Allow, Job, Saw
from nesting.market import make_plan
from nesting.plan import GroupPlan, Plan, Settings
from stock.money import Cost
from stock.offer import Basis, Offer
from stock.rack import RackPiece
from tests.nesting.market.asked import COUNTED, FOOT, GRADED, INCH, MM, NEAR, TUBE, job, jobs, offer, part

RANDOM = settings(max_examples=30, deadline=None, suppress_health_check=[HealthCheck.too_slow])


class StopsAfter:
    """Progress that asks to end after some questions."""

    def __init__(self, questions: int) -> None:
        self.questions = questions
        self.asked = 0

    def begin(self, group: str, number: int, of: int, priced: bool) -> None:
        """Show nothing."""

    def report(self, doing: str, cost: Cost | None, bound: Cost | None) -> None:
        """Show nothing."""

    def interrupted(self) -> bool:
        """From one question on, for good."""
        self.asked += 1
        return self.asked > self.questions


def planned(asked: Job) -> Plan:
    """The plan, checked."""
    plan = make_plan(asked, COUNTED)
    assert check_plan(plan) == ()
    return plan


def only(plan: Plan) -> GroupPlan:
    """Its one group."""
    (group,) = plan.groups
    return group


def bought(plan: Plan) -> dict[str, int]:
    """How many sticks of each offer."""
    counts: dict[str, int] = {}
    for group in plan.groups:
        for line in group.purchases:
            counts[line.offer] = counts.get(line.offer, 0) + line.count
    return counts


@given(jobs())
@RANDOM
def test_the_independent_check_passes_the_plan_of_any_job(asked: Job) -> None:
    """Rack pieces, breaks, cut to length, several saws, allowed stock, grades, no prices, inches and millimetres."""
    plan = planned(asked)
    for group in plan.groups:
        assert group.bound.dual_value <= group.bound.value <= group.cost


@given(jobs())
@settings(parent=RANDOM, max_examples=5)
def test_the_same_job_seed_and_work_give_the_same_plan(asked: Job) -> None:
    short = Settings(time_s=None, work=60, seed=3)
    assert make_plan(asked, short) == make_plan(asked, short)


@given(jobs(), st.integers(0, 12))
@settings(parent=RANDOM, max_examples=30)
def test_an_interrupted_solve_hands_over_a_sound_plan(asked: Job, questions: int) -> None:
    stop = StopsAfter(questions)
    plan = make_plan(asked, COUNTED, stop)
    assert check_plan(plan) == ()
    if stop.asked > questions:
        assert {g.stopped for g in plan.groups} <= {"proved", "finished", "settled", "interrupted"}


def objective(plan: Plan) -> Decimal:
    """Cost of all that has a price, with the fees."""
    return sum((g.cost for g in plan.groups if g.priced), Decimal(0)) + sum(fee for *_, fee in plan.fees)


@given(jobs(), st.integers(8, 200), st.integers(0, 3000))
@settings(parent=RANDOM, max_examples=6)
def test_more_stock_never_makes_a_proved_best_worse(asked: Job, inches: int, cents: int) -> None:
    """One more piece on the rack, or one more offer: what the smaller choice costs is a bound no longer, but a plan.

    Fees of the yards are part of it, as one more source may make another choice of yards the best.
    """
    before = planned(asked)
    more = RackPiece(id="NEW", material=GRADED, length=inches * INCH, value=Decimal(cents) / 100)
    extra = offer(9, inches * INCH + 20 * FOOT, "77.70", material=GRADED)
    if asked.offers[0].price is None:
        extra = replace(extra, price=None, per=None)
    for wider in (replace(asked, rack=(*asked.rack, more)), replace(asked, offers=(*asked.offers, extra))):
        after = planned(wider)
        if after.bound is not None and objective(after) <= after.bound:
            assert objective(after) <= objective(before) + asked.shop.tie * len(before.groups)
        costs = {group.marks: group for group in after.groups if not group.priced}
        for group in before.groups:
            if group.marks in costs and costs[group.marks].proved:
                assert costs[group.marks].cost <= group.cost


def test_a_proved_group_says_so_and_has_no_gap() -> None:
    group = only(planned(job([part("A", 10, 48 * INCH)], [offer(1, 240 * INCH, "62.47")], INCH // 8)))
    assert group.stopped == "proved"
    assert group.proved
    assert group.gap == 0.0
    assert group.cost == Decimal("62.47") * 3


# quantity breaks


def breaks(qty: int, second: str, available: int | None = None) -> Job:
    """Parts of which two make a stick of 20 ft; one price, and a lower one from 5 sticks."""
    rows = [
        offer(1, 20 * FOOT, "60.00", available=available),
        offer(2, 20 * FOOT, second, from_qty=5, available=available),
    ]
    return job([part("A", qty, 10 * FOOT)], rows)


def test_a_break_is_taken_when_it_pays_and_the_spare_stick_is_bought() -> None:
    """Four sticks at 60 are 240; five at 40 are 200, one of them left whole."""
    plan = planned(breaks(8, "40.00"))
    group = only(plan)
    assert bought(plan) == {"offer 2": 5}
    assert group.cost == Decimal(200)
    assert group.proved
    spare = [x for x in group.layouts if not x.pieces]
    assert [(x.times, x.rest, x.keep, x.head) for x in spare] == [(1, 20 * FOOT, True, 0)]


def test_a_break_is_left_when_it_does_not_pay() -> None:
    """Four at 60 are 240; five at 50 are 250."""
    plan = planned(breaks(8, "50.00"))
    assert bought(plan) == {"offer 1": 4}
    assert only(plan).cost == Decimal(240)
    assert only(plan).proved


def test_a_break_that_is_reached_anyway_is_taken() -> None:
    plan = planned(breaks(14, "59.00"))
    assert bought(plan) == {"offer 2": 7}
    assert only(plan).cost == Decimal(413)


def test_a_break_beyond_what_is_available_is_not_taken() -> None:
    """Four sticks are all there are: the price from five cannot be had."""
    plan = planned(breaks(8, "40.00", available=4))
    assert bought(plan) == {"offer 1": 4}
    assert only(plan).proved


# cut to length


def test_material_cut_to_length_is_chosen_when_cheaper() -> None:
    """One piece of 3 ft: 6 ft at 2.00/ft and 1.50 for the cut against 40.00 for a stick."""
    rows = [
        offer(1, 20 * FOOT, "40.00"),
        offer(2, 20 * FOOT, "2.00", Basis.FOOT, cut_to_length=Decimal("1.50")),
    ]
    group = only(planned(job([part("A", 2, 3 * FOOT)], rows)))
    (line,) = group.purchases
    assert (line.offer, line.length, line.count) == ("offer 2", 6 * FOOT, 1)
    assert group.cost == Decimal("13.50")
    assert group.proved


def test_material_cut_to_length_is_left_when_dearer() -> None:
    """Six pieces of 3 ft: 18 ft at 2.50 and 1.50 are 46.50 against 40.00."""
    rows = [
        offer(1, 20 * FOOT, "40.00"),
        offer(2, 20 * FOOT, "2.50", Basis.FOOT, cut_to_length=Decimal("1.50")),
    ]
    plan = planned(job([part("A", 6, 3 * FOOT)], rows))
    assert bought(plan) == {"offer 1": 1}
    assert only(plan).stopped in ("proved", "finished")  # lines cut to length may round by cents


# the rack, saws, grades, prices


def test_a_rack_piece_is_used_when_it_costs_less_than_a_stick_and_left_when_it_costs_more() -> None:
    parts, rows = [part("A", 1, 5 * FOOT)], [offer(1, 20 * FOOT, "40.00")]
    piece = RackPiece(id="R1", material=TUBE, length=5 * FOOT, clean_ends=2, value=Decimal("39.99"))
    cheap = only(planned(job(parts, rows, rack=(piece,))))
    assert (cheap.layouts[0].source, cheap.purchases, cheap.cost) == ("R1", (), Decimal("39.99"))
    dear = only(planned(job(parts, rows, rack=(replace(piece, value=Decimal("40.01")),))))
    assert (dear.layouts[0].source, dear.cost) == ("offer 1", Decimal("40.00"))


def test_rack_pieces_alone_serve_a_job_without_offers() -> None:
    piece = RackPiece(id="R1", material=TUBE, length=6 * FOOT, clean_ends=2)
    plan = planned(job([part("A", 2, 3 * FOOT)], [], rack=(piece,)))
    assert only(plan).cost == 0
    assert plan.total == 0
    assert plan.fees == ()


def test_a_saw_too_small_for_the_section_is_not_used() -> None:
    """The small saw loses less, but does not take 2 in."""
    saws = (Saw(name="small", kerf=0, max_size=INCH), Saw(name="chop", kerf=INCH // 8))
    plan = planned(job([part("A", 10, 48 * INCH)], [offer(1, 240 * INCH, "10.00")], saws=saws))
    assert {x.saw for x in only(plan).layouts} == {"chop"}


def test_each_stick_goes_to_the_saw_that_saves_most() -> None:
    """The band saw's thin kerf lets five of 47.9 in and a grip of 0 fit; the chop saw's does not."""
    saws = (Saw(name="chop", kerf=INCH // 4), Saw(name="band", kerf=INCH // 8))
    asked = job([part("A", 10, 479 * INCH // 10)], [offer(1, 240 * INCH, "10.00", clean_ends=2)], saws=saws)
    plan = planned(asked)
    assert bought(plan) == {"offer 1": 2}
    assert {x.saw for x in only(plan).layouts} == {"band"}


def test_a_grade_asked_for_is_cut_from_that_grade_only() -> None:
    """The plain stick is cheaper, but its grade is not known."""
    rows = [offer(1, 20 * FOOT, "10.00"), offer(2, 20 * FOOT, "60.00", material=GRADED)]
    plan = planned(job([part("A", 1, 5 * FOOT, GRADED)], rows))
    assert bought(plan) == {"offer 2": 1}


def test_near_stock_serves_only_where_it_is_allowed() -> None:
    rows = [offer(1, 20 * FOOT, "60.00"), offer(2, 20 * FOOT, "10.00", material=NEAR)]
    asked = job([part("A", 1, 5 * FOOT)], rows)
    assert bought(planned(asked)) == {"offer 1": 1}
    assert bought(planned(replace(asked, allow=(Allow(part=TUBE, offer=NEAR),)))) == {"offer 2": 1}


def test_without_prices_the_lightest_purchase_is_the_goal() -> None:
    """Two pieces of 9 ft: one stick of 20 ft is heavier than two of 9 1/2 ft."""
    rows = [offer(1, 20 * FOOT, None), offer(2, 19 * FOOT // 2, None)]
    plan = planned(job([part("A", 2, 9 * FOOT)], rows))
    group = only(plan)
    assert bought(plan) == {"offer 2": 2}
    assert not group.priced
    assert group.cost == 2 * rows[1].unit_weight()
    assert plan.total == 0


def test_inch_parts_come_out_of_metric_sticks_to_the_tick() -> None:
    """Three of 78 in and three of 40 mm are 6063.6 mm: one tick less and they do not fit."""
    parts = [part("A", 3, 78 * INCH), part("B", 3, 40 * MM)]
    exact = 3 * 78 * INCH + 3 * 40 * MM
    assert bought(planned(job(parts, [offer(1, exact, "10.00")]))) == {"offer 1": 1}
    assert bought(planned(job(parts, [offer(1, exact - 1, "10.00")]))) == {"offer 1": 2}


def test_delivery_and_minimum_order_are_paid_once_a_yard_is_bought_from() -> None:
    asked = job([part("A", 1, 5 * FOOT)], [offer(1, 20 * FOOT, "40.00")])
    yard = replace(asked.yards[0], delivery=Decimal(35), minimum_order=Decimal(100))
    plan = planned(replace(asked, yards=(yard,)))
    assert [f[2] for f in plan.fees] == [Decimal(35), Decimal(60)]
    assert plan.total == Decimal(135)


# refusals


def test_stock_that_runs_out_is_refused_and_what_is_missing_is_named() -> None:
    asked = job(
        [part("LEG", 3, 12 * FOOT), part("RAIL", 1, 4 * FOOT)], [offer(1, 20 * FOOT, "40.00", available=2)]
    )
    with pytest.raises(InputError) as caught:
        make_plan(asked, COUNTED)
    (finding,) = caught.value.findings
    assert finding.code == "stock-runs-out"
    assert "1 of LEG" in finding.sentence
    assert "tube 2 x 2 x 1/8" in finding.sentence
    assert "available" in finding.sentence


def test_all_groups_that_run_short_are_named_at_once() -> None:
    rows = [
        offer(1, 20 * FOOT, "40.00", available=1),
        offer(2, 20 * FOOT, "40.00", available=1, material=NEAR),
    ]
    parts = [part("A", 2, 12 * FOOT), part("B", 2, 12 * FOOT, NEAR)]
    with pytest.raises(InputError) as caught:
        make_plan(job(parts, rows), COUNTED)
    assert len(caught.value.findings) == 2


def test_rows_of_one_size_share_what_is_available() -> None:
    """Offers that differ in price and quantity only are one size: 3 sticks in all, not 3 of each."""
    rows: list[Offer] = [
        offer(1, 20 * FOOT, "60.00", available=3),
        offer(2, 20 * FOOT, "50.00", from_qty=3, available=3),
    ]
    assert bought(planned(job([part("A", 3, 12 * FOOT)], rows))) == {"offer 2": 3}
    with pytest.raises(InputError):
        make_plan(job([part("A", 4, 12 * FOOT)], rows), COUNTED)
