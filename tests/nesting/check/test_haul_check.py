"""Yard cuts broken on purpose: every term of the yard, every segment, what may be carried, what is paid."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable
from dataclasses import replace
from decimal import Decimal
from functools import cache

import pytest
from hypothesis import given
from hypothesis import strategies as st

from nesting.check import check_plan
from nesting.check.hauling import most_segments, parted_rooms
from nesting.job import Saw
from nesting.market import make_plan
from nesting.plan import GroupPlan, Layout, Parting, Plan
from stock.offer import Yard
from tests.nesting.market.asked import COUNTED, FOOT, INCH, job, offer, part

CHOP = Saw(name="chop", kerf=INCH // 8, trim=INCH // 4)
BAND = Saw(name="band", kerf=INCH // 8, trim=INCH // 4)
TERMS = Yard(
    name="North",
    haul_limit=11 * FOOT + 4 * INCH,
    cut_charge=Decimal("2.50"),
    cut_tolerance=INCH // 4,
    cut_kerf=INCH // 8,
)


@cache
def sound() -> Plan:
    """Three of 78 in, one of 50, two of 30: two sticks, each parted by the yard, whose terms are invented."""
    parts = [part("A", 3, 78 * INCH), part("B", 1, 50 * INCH), part("C", 2, 30 * INCH)]
    asked = job(parts, [offer(1, 20 * FOOT, "60.00")], saws=(CHOP, BAND), yards=(TERMS,))
    plan = make_plan(asked, COUNTED)
    assert check_plan(plan) == ()
    assert len(plan.groups[0].partings) > 1
    return plan


def with_group(change: Callable[[GroupPlan], GroupPlan]) -> Plan:
    """The sound plan with its group changed."""
    plan = sound()
    return replace(plan, groups=(change(plan.groups[0]),))


def with_parting(change: Callable[[Parting], Parting]) -> Plan:
    """The sound plan with its first parting changed."""
    return with_group(lambda g: replace(g, partings=(change(g.partings[0]), *g.partings[1:])))


def with_segment(change: Callable[[Layout], Layout]) -> Plan:
    """The sound plan with a segment changed that holds parts, as others of its stick do."""
    layouts = sound().groups[0].layouts
    held = Counter(x.segment[0] for x in layouts if x.segment is not None and x.pieces)
    at = next(
        n for n, x in enumerate(layouts) if x.segment is not None and x.pieces and held[x.segment[0]] > 1
    )
    return with_group(
        lambda g: replace(g, layouts=(*g.layouts[:at], change(g.layouts[at]), *g.layouts[at + 1 :]))
    )


def moved(parting: Parting, ticks: int) -> Parting:
    """The first cut of the yard at another place."""
    first, second, *more = parting.segments
    return replace(parting, segments=(first + ticks, second - ticks, *more))


BROKEN: dict[str, tuple[Plan, str]] = {
    "a segment is longer, and with it the stick": (
        with_parting(lambda p: replace(p, segments=(p.segments[0] + 1, *p.segments[1:]))),
        "segments and kerfs make",
    ),
    "the cut is a tick from where the layouts have it": (
        with_parting(lambda p: moved(p, 1)),
        "(less the tolerance)",
    ),
    "a segment is longer than can be carried": (
        with_parting(lambda p: moved(p, 11 * FOOT + 4 * INCH + 1 - p.segments[0])),
        "at most can be carried home",
    ),
    "nothing is left of a segment": (with_parting(lambda p: moved(p, -p.segments[0])), "due is above zero"),
    "a segment with parts stays at the yard": (
        with_parting(lambda p: replace(p, taken=(False, *p.taken[1:]))),
        "has 1 layouts, due is 0",
    ),
    "of a segment it is not said": (
        with_parting(lambda p: replace(p, taken=p.taken[1:])),
        "of 1 is said" if len(sound().groups[0].partings[0].taken) == 2 else "of 2 is said",
    ),
    "the charge is a cent less": (
        with_parting(lambda p: replace(p, charge=p.charge - Decimal("0.01"))),
        "charge is",
    ),
    "it is parted once more than its segments are cut": (
        with_parting(lambda p: replace(p, times=p.times + 1)),
        "times, due is",
    ),
    "it is parted never": (with_parting(lambda p: replace(p, times=0)), "due is 1 or more"),
    "it is of another stick": (with_parting(lambda p: replace(p, offer="offer 9")), "no offer of the job"),
    "it is of a shorter stick": (
        with_parting(lambda p: replace(p, length=p.length - 1)),
        "length of the stick",
    ),
    "too many cuts": (
        with_parting(lambda p: replace(p, segments=(INCH,) * 8, taken=(True,) * 8)),
        "it is parted into 8, due is 3 at most",
    ),
    "a segment counts the tolerance that the yard may be off": (
        with_segment(lambda x: replace(x, length=x.length + INCH // 4, rest=x.rest + INCH // 4)),
        "(less the tolerance)",
    ),
    "an end that the yard cut is taken for clean": (with_segment(lambda x: replace(x, head=0)), "head is"),
    "a segment is of no parting": (with_segment(lambda x: replace(x, segment=(9, 0))), "of no yard cut"),
    "a segment is numbered below zero": (
        with_segment(lambda x: replace(x, segment=(0, -1))),
        "of no yard cut",
    ),
    "a segment is cut twice": (
        with_group(lambda g: replace(g, layouts=(*g.layouts, g.layouts[0]))),
        "has 2 layouts, due is 1",
    ),
    "a segment is cut on another saw": (
        with_segment(lambda x: replace(x, saw="chop" if x.saw == "band" else "band")),
        "saws",
    ),
    "no stick is parted": (with_group(lambda g: replace(g, partings=())), "of no yard cut"),
    "the cuts are not in the cost": (
        with_group(lambda g: replace(g, cost=g.cost - g.partings[0].charge)),
        "cost is",
    ),
    "the cuts are not in the total": (
        replace(sound(), total=sound().total - sound().groups[0].partings[0].charge),
        "total is",
    ),
}


@pytest.mark.parametrize("what", BROKEN)
def test_what_is_wrong_with_yard_cuts_is_said(what: str) -> None:
    plan, words = BROKEN[what]
    assert any(words in breach for breach in check_plan(plan)), check_plan(plan)


def test_a_stick_that_cannot_be_carried_is_not_taken_whole() -> None:
    """The sound plan of a yard without a limit, when there is one."""
    free = make_plan(replace(sound().job, yards=(Yard(name="North"),)), COUNTED)
    assert check_plan(free) == ()
    breaches = check_plan(replace(free, job=sound().job))
    assert any("at most can be carried home from North" in breach for breach in breaches)


def test_a_yard_that_delivers_parts_nothing() -> None:
    plan = sound()
    orders = tuple(replace(order, delivered=True, trips=0) for order in plan.orders)
    assert any("can come home whole" in breach for breach in check_plan(replace(plan, orders=orders)))


def test_a_yard_that_makes_no_cuts_parts_nothing() -> None:
    plan = sound()
    without = replace(plan.job, yards=(replace(TERMS, cut_charge=None),))
    assert any("makes no cuts" in breach for breach in check_plan(replace(plan, job=without)))


@given(st.integers(-3 * INCH, 3 * INCH).filter(bool), st.integers(0, 5))
def test_no_cut_of_the_yard_may_move_alone(ticks: int, at: int) -> None:
    """Wherever another cut stands than the layouts have it, something is said."""
    plan = sound()
    group = plan.groups[0]
    number = at % len(group.partings)
    partings = [moved(p, ticks) if n == number else p for n, p in enumerate(group.partings)]
    assert check_plan(replace(plan, groups=(replace(group, partings=tuple(partings)),)))


def test_what_a_parted_stick_has_room_for_is_reckoned_by_hand() -> None:
    """20 ft at 11' 4", yard cuts of 1/8, tolerance 1/4; saw cuts of 1/8, trims of 1/4: a segment loses 1/4 + 1/4 + 1/8.

    One segment home: 136 - 5/8. Two: 240 - 1/8 - 2 x 5/8. Three: 240 - 1/4 - 3 x 5/8. With clean ends of the stick a
    segment at its end loses 1/4 less.
    """
    eighth = INCH // 8

    def rooms(clean: int) -> list[tuple[int, int, int]]:
        found = parted_rooms(offer(1, 20 * FOOT, "60.00", clean_ends=clean), TERMS, CHOP, eighth)
        return [(r.capacity // eighth, len(r.segments), r.charge) for r in found]

    assert rooms(0) == [
        (8 * 136 - 5, 1, 25_000),
        (8 * 240 - 1 - 10, 2, 25_000),
        (8 * 240 - 2 - 15, 3, 50_000),
    ]
    assert rooms(2) == [(8 * 136 - 3, 1, 25_000), (8 * 240 - 1 - 6, 2, 25_000), (8 * 240 - 2 - 11, 3, 50_000)]
    assert most_segments(20 * FOOT, TERMS) == 3
