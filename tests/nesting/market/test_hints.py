"""Hints for the designer: what a shorter part saves is found by planning again, what a longer one costs by the plan."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from nesting.check import check_plan
from nesting.job import Job, Part, Shop
from nesting.market import make_plan
from nesting.market.group import GroupPlanner
from nesting.plan import GroupPlan, Hint, Layout, Piece, Plan
from stock.offer import Basis
from stock.rack import RackPiece
from tests.nesting.market.asked import COUNTED, FOOT, INCH, MM, TUBE, job, jobs, offer

KEEP = Shop(keep_length=24 * INCH)
CLEAN = [offer(1, 20 * FOOT, "60", clean_ends=2)]


def soft(mark: str, qty: int, length: int, may_shorten: int) -> Part:
    """A part that could be made shorter."""
    return Part(mark=mark, qty=qty, material=TUBE, length=length, may_shorten=may_shorten)


def planned(asked: Job) -> Plan:
    """The plan, checked."""
    plan = make_plan(asked, COUNTED)
    assert check_plan(plan) == ()
    return plan


def shorter(plan: Plan) -> list[Hint]:
    """The hints that save money."""
    return [hint for group in plan.groups for hint in group.hints if hint.saves]


def longer(plan: Plan) -> dict[str, int]:
    """How much longer each part could be."""
    return {h.changes[0][0]: -h.changes[0][1] for group in plan.groups for h in group.hints if not h.saves}


def test_the_least_shortening_that_saves_a_stick_worked_by_hand() -> None:
    """Five of 48 in with four cuts of 1/8 need 240 1/2 in, and a clean 20 ft stick has 240.

    A tenth of an inch on each would do; on the grid of 1/32 that is 4/32.
    """
    (hint,) = shorter(planned(job([soft("A", 5, 48 * INCH, INCH)], CLEAN, INCH // 8, shop=KEEP)))
    assert hint == Hint(changes=(("A", INCH // 8),), saves=Decimal("60.00"), words="1 stick fewer")


def test_a_group_of_parts_that_stay_as_they_are_is_planned_just_once(monkeypatch: pytest.MonkeyPatch) -> None:
    calls = []
    plan = GroupPlanner.plan

    def counted(planner: GroupPlanner) -> GroupPlan:
        calls.append(planner.group.name)
        return plan(planner)

    monkeypatch.setattr(GroupPlanner, "plan", counted)
    planned(job([soft("A", 5, 48 * INCH, 0)], CLEAN, INCH // 8, shop=KEEP))
    assert len(calls) == 1
    calls.clear()
    planned(job([soft("A", 5, 48 * INCH, INCH)], CLEAN, INCH // 8, shop=KEEP))
    assert len(calls) > 1


def test_a_shorter_part_may_come_from_a_cheaper_size() -> None:
    offers = [offer(1, 10 * FOOT, "30", clean_ends=2), offer(2, 12 * FOOT, "35", clean_ends=2)]
    (hint,) = shorter(planned(job([soft("A", 1, 121 * INCH, 2 * INCH)], offers, INCH // 8, shop=KEEP)))
    assert hint == Hint(changes=(("A", INCH),), saves=Decimal("5.00"), words="cheaper sizes")


def test_two_parts_together_save_what_neither_saves_alone() -> None:
    """120 1/4 + 120 + a cut of 1/8 are 3/8 too long for a 20 ft stick; each could give up 1/4."""
    parts = [soft("A", 1, 120 * INCH + INCH // 4, INCH // 4), soft("B", 1, 120 * INCH, INCH // 4)]
    (hint,) = shorter(planned(job(parts, CLEAN, INCH // 8, shop=KEEP)))
    assert hint.changes == (("A", INCH // 4), ("B", INCH // 8))
    assert hint.saves == 60


def test_hints_are_ranked_by_money_saved_for_each_tick_of_change() -> None:
    """Both parts come from 12 ft at 35.00 and would from 10 ft at 30.00: one needs an inch less for that, one three.

    Together they save no more than each alone, which is no hint of its own.
    """
    offers = [offer(1, 10 * FOOT, "30", clean_ends=2), offer(2, 12 * FOOT, "35", clean_ends=2)]
    parts = [soft("A", 1, 123 * INCH, 4 * INCH), soft("B", 1, 121 * INCH, 4 * INCH)]
    hints = shorter(planned(job(parts, offers, INCH // 8, shop=KEEP)))
    assert [hint.changes for hint in hints] == [(("B", INCH),), (("A", 3 * INCH),)]


def test_without_leave_nothing_is_made_shorter() -> None:
    assert shorter(planned(job([soft("A", 5, 48 * INCH, 0)], CLEAN, INCH // 8, shop=KEEP))) == []


def test_leave_that_is_too_small_gives_no_hint() -> None:
    assert shorter(planned(job([soft("A", 5, 48 * INCH, INCH * 3 // 32)], CLEAN, INCH // 8, shop=KEEP))) == []


def test_material_cut_to_length_costs_less_for_any_shorter_part_which_is_no_hint() -> None:
    offers = [offer(1, 20 * FOOT, "3", Basis.FOOT, clean_ends=2, cut_to_length=Decimal(1))]
    assert shorter(planned(job([soft("A", 2, 48 * INCH, INCH)], offers, INCH // 8, shop=KEEP))) == []


def test_in_millimetres_a_part_becomes_shorter_by_whole_ones() -> None:
    """Three of 2001 with two cuts of 2 need 6007 of 6000: 7/3 each, hence 3."""
    parts = [soft("A", 3, 2001 * MM, 10 * MM)]
    offers = [offer(1, 6000 * MM, "60", clean_ends=2)]
    (hint,) = shorter(planned(job(parts, offers, 2 * MM, shop=Shop(unit="mm"))))
    assert hint.changes == (("A", 3 * MM),)


def test_how_much_longer_a_part_could_be_worked_by_hand() -> None:
    """Five of 46 in and four cuts of 1/8 leave 9 1/2 in of a clean 20 ft stick: 1.9 in each, 1 7/8 on the grid of 1/32.

    The one of 30 in lies in a stick of its own, whose rest is kept from 24 in on: 240 - 30 1/8 - 24 = 185 7/8.
    """
    parts = [soft("A", 5, 46 * INCH, 0), soft("B", 1, 30 * INCH, 0)]
    assert longer(planned(job(parts, CLEAN, INCH // 8, shop=KEEP))) == {
        "A": INCH * 15 // 8,
        "B": 185 * INCH + INCH * 7 // 8,
    }


def test_where_a_rest_earns_money_no_part_is_longer_at_no_cost() -> None:
    shop = replace(KEEP, offcut_share=Decimal("0.5"))
    assert longer(planned(job([soft("A", 1, 46 * INCH, 0)], CLEAN, INCH // 8, shop=shop))) == {}


def _grown(plan: Plan, mark: str, ticks: int) -> Plan:
    """The plan with a longer part, everything else as it is: later pieces shifted, less left."""
    asked = plan.job
    parts = tuple(
        replace(p, length=p.length + ticks, extent=p.extent + ticks) if p.mark == mark else p
        for p in asked.parts
    )

    def stretched(layout: Layout) -> Layout:
        pieces: list[Piece] = []
        shift = 0
        for piece in layout.pieces:
            more = ticks if piece.mark == mark else 0
            pieces.append(replace(piece, start=piece.start + shift, extent=piece.extent + more))
            shift += more
        if not pieces:
            return layout
        saw = next(s for s in asked.saws if s.name == layout.saw)
        cut = saw.kerf + asked.shop.kerf_safety
        rest = max(0, layout.length - pieces[-1].start - pieces[-1].extent - cut)
        return replace(
            layout, pieces=tuple(pieces), rest=rest, keep=rest > 0 and rest >= asked.shop.keep_length
        )

    groups = tuple(replace(g, layouts=tuple(stretched(x) for x in g.layouts), hints=()) for g in plan.groups)
    return replace(plan, job=replace(asked, parts=parts), groups=groups)


@given(jobs(), st.sampled_from([Decimal(0), Decimal("0.5")]))
@settings(max_examples=8, deadline=None, suppress_health_check=[HealthCheck.too_slow])
def test_the_plan_with_any_part_longer_by_its_hint_is_sound_and_costs_the_same(
    asked: Job, share: Decimal
) -> None:
    """The check passes the changed plan, kept offcuts and money included; a part longer than that spoils something."""
    plan = planned(replace(asked, shop=replace(asked.shop, offcut_share=share)))
    for mark, ticks in longer(plan).items():
        assert ticks > 0
        grown = _grown(plan, mark, ticks)
        assert check_plan(grown) == ()
        assert _kept(grown) == _kept(plan)


def _kept(plan: Plan) -> list[bool]:
    return [layout.keep for group in plan.groups for layout in group.layouts]


@pytest.mark.parametrize("place", ["rack", "yard"])
def test_a_longer_part_would_spoil_the_offcut_or_leave_its_stick(place: str) -> None:
    """One step of the grid more than the hint, and the check finds a breach or an offcut is no longer kept."""
    rack = (RackPiece(id="R", material=TUBE, length=100 * INCH, clean_ends=2),) if place == "rack" else ()
    plan = planned(job([soft("A", 2, 40 * INCH, 0)], CLEAN, INCH // 8, rack=rack, shop=KEEP))
    for mark, ticks in longer(plan).items():
        grown = _grown(plan, mark, ticks + INCH // 32)
        assert check_plan(grown) or _kept(grown) != _kept(plan)


@given(jobs(), st.integers(1, 40))
@settings(max_examples=5, deadline=None, suppress_health_check=[HealthCheck.too_slow])
def test_a_job_drawn_as_a_hint_says_costs_as_much_less(asked: Job, sixteenths: int) -> None:
    """The job with the shorter parts, planned on its own, saves what the hint promised or more."""
    loose = tuple(replace(p, may_shorten=sixteenths * INCH // 16) for p in asked.parts)
    plan = planned(replace(asked, parts=loose))
    for hint in shorter(plan):
        cut = dict(hint.changes)
        parts = tuple(
            replace(p, length=p.length - cut.get(p.mark, 0), extent=p.extent - cut.get(p.mark, 0))
            for p in asked.parts
        )
        again = planned(replace(asked, parts=parts))
        assert _cost(again) <= _cost(plan) - hint.saves
        assert all(0 < ticks <= sixteenths * INCH // 16 for ticks in cut.values())


def _cost(plan: Plan) -> Decimal:
    return sum((g.cost for g in plan.groups), Decimal(0)) + sum(
        (money for *_, money in plan.fees), Decimal(0)
    )
