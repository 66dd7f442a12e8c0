"""What rests of sticks that the yard parts earn: by hand, and as cheap as trying everything finds."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from decimal import Decimal
from fractions import Fraction
from functools import cache
from itertools import combinations, permutations, product

from hypothesis import given, settings
from hypothesis import strategies as st

from nesting.bars.rests import Rests
from nesting.check import check_plan
from nesting.job import Job, Saw, Shop
from nesting.market import make_plan
from nesting.plan import GroupPlan
from nesting.rules.hauling import most_segments
from stock.offer import Yard
from tests.nesting.market.asked import COUNTED, INCH, job, offer, part

STICK = 240
"""Inches at 60.00: a quarter an inch, of which a kept rest earns 0.4, ten cents an inch."""
SAW = Saw(name="chop", kerf=INCH, trim=2 * INCH)
SHARE = Decimal("0.4")


def asked(lengths: Sequence[int], limit: int, charge: str = "1.00", keep: int = 24, **given: object) -> Job:
    """Parts of whole inches from such sticks, parted without a loss."""
    terms = Yard(name="North", haul_limit=limit * INCH, cut_charge=Decimal(charge))
    shop = replace(Shop(keep_length=keep * INCH, offcut_share=SHARE), **given)  # type: ignore[arg-type]
    parts = [part(f"P{n}", 1, length * INCH) for n, length in enumerate(lengths)]
    return job(parts, [offer(1, STICK * INCH, "60.00")], saws=(SAW,), yards=(terms,), shop=shop)


def planned(job: Job) -> GroupPlan:
    plan = make_plan(job, COUNTED)
    assert check_plan(plan) == ()
    return plan.groups[0]


def test_what_is_left_is_gathered_where_it_is_kept() -> None:
    """Pieces of 100 and 60 from segments of at most 130; trims of 2 and cuts of 1, so that a tail of 1 is left.

    240 less all that is 74 to spare. Where 24 are kept, both segments keep some: 7.40. Where 40 are, one of them does:
    that of the 60, which is 130 long, has 130 - 2 - 61 = 67 behind it, the other one 7, too short: 6.70.
    """
    both, one = planned(asked((100, 60), 130, keep=24)), planned(asked((100, 60), 130, keep=40))
    assert (both.cost, both.credit, both.stopped) == (Decimal("53.60"), Decimal("7.40"), "proved")
    assert (one.cost, one.credit, one.stopped) == (Decimal("54.30"), Decimal("6.70"), "proved")
    assert sorted(layout.rest // INCH for layout in one.layouts) == [7, 67]


def test_what_stays_at_the_yard_earns_nothing() -> None:
    """One piece of 50 from a segment of 90, the longest that can be carried: 90 - 2 - 51 = 37 earn 3.70."""
    group = planned(asked((50,), 90))
    assert (group.cost, group.credit) == (Decimal("57.30"), Decimal("3.70"))
    (layout,) = group.layouts
    assert (layout.length, layout.rest) == (90 * INCH, 37 * INCH)


def test_a_further_cut_is_made_where_it_brings_a_rest_home_that_is_worth_it() -> None:
    """Pieces of 80 and 10 from segments of at most 100: together in one of them nothing is kept, 2 + 81 + 11 = 94.

    With a piece each in two segments the rests are 17 and 87, of which the longer one is kept: 8.70 less a cut more. A
    stick has 240, so that a third segment of 40 stays at the yard.
    """
    dear, cheap = planned(asked((80, 10), 100, "9.00")), planned(asked((80, 10), 100, "1.00"))
    assert (dear.cost, dear.credit) == (Decimal("69.00"), 0)
    assert (cheap.cost, cheap.credit) == (Decimal("53.30"), Decimal("8.70"))


def test_a_plan_that_claims_the_rest_of_a_segment_without_parts_is_caught() -> None:
    job = asked((50,), 90)
    plan = make_plan(job, COUNTED)
    (group,) = plan.groups
    (layout,) = group.layouts
    credit = layout.credit + Decimal("0.01")
    broken = replace(
        group, layouts=(replace(layout, credit=credit),), credit=credit, cost=group.cost - Decimal("0.01")
    )
    assert any(
        "credit" in breach or "earn" in breach for breach in check_plan(replace(plan, groups=(broken,)))
    )


@settings(max_examples=25, deadline=None)
@given(
    st.lists(st.integers(20, 110), min_size=1, max_size=4),
    st.integers(121, 170),
    st.sampled_from(["0", "1.00", "4.00"]),
    st.integers(10, 60),
)
def test_no_way_to_part_sticks_and_place_pieces_is_cheaper(
    lengths: list[int], limit: int, charge: str, keep: int
) -> None:
    """Every partition into sticks, every number of cuts, every place of each piece, every set of rests kept."""
    group = planned(asked(lengths, limit, charge, keep))
    best = cheapest(tuple(sorted(lengths)), limit, int(Decimal(charge) * 100), keep)
    assert group.bound.value * 100 <= best <= group.cost * 100
    if len(set(lengths)) == len(lengths) <= 3:
        assert group.cost * 100 == best


@cache
def cheapest(lengths: tuple[int, ...], limit: int, charge: int, keep: int) -> int:
    """Cents that the pieces cost at the least."""
    if not lengths:
        return 0
    found = []
    for n in range(len(lengths)):
        for others in combinations(range(1, len(lengths)), n):
            held = (lengths[0], *(lengths[at] for at in others))
            left = tuple(x for at, x in enumerate(lengths) if at and at not in others)
            one = one_stick(held, limit, charge, keep)
            if one is not None:
                found.append(one + cheapest(left, limit, charge, keep))
    return min(found)


def one_stick(held: tuple[int, ...], limit: int, charge: int, keep: int) -> int | None:
    """Cents of one stick with these pieces; None if it cannot hold them."""
    costs = [
        6000 + (number - 1) * charge - credit
        for number in range(2, most_segments(STICK, limit, 0) + 1)
        for places in product(range(number), repeat=len(held))
        for credit in credits(_used(held, places, number), limit, keep)
    ]
    return min(costs, default=None)


def _used(held: tuple[int, ...], places: tuple[int, ...], number: int) -> list[int]:
    """Inches that the pieces of each segment take with their cuts."""
    return [sum(x + 1 for x, at in zip(held, places, strict=True) if at == n) for n in range(number)]


def credits(used: list[int], limit: int, keep: int) -> Iterator[int]:
    """Cents that the rests of segments earn, in every order in which they take what is left."""
    pieces = [n for n in used if n]
    empty = len(used) - len(pieces)
    spare = STICK * INCH - empty - sum((n + 3) * INCH for n in pieces)
    if spare < 0 or any(n + 3 > limit for n in pieces) or (not empty and len(pieces) * limit < STICK):
        return
    for order in permutations(range(len(pieces))):
        for kept in range(len(pieces) + 1):
            more = [0] * len(pieces)
            for n in order[:kept]:
                more[n] = (keep - 1) * INCH
            left = spare - sum(more)
            if left < 0 or any(x > (limit - 3 - pieces[n]) * INCH for n, x in enumerate(more)):
                continue
            for n in order:
                extra = min(left, (limit - 3 - pieces[n]) * INCH - more[n])
                more[n], left = more[n] + extra, left - extra
            rests = [INCH + x for x in more]
            yield sum(10 * rest // INCH for rest in rests if rest >= keep * INCH)


@given(
    st.lists(st.tuples(st.integers(-3, 5), st.integers(0, 40)), min_size=1, max_size=4),
    st.integers(0, 60),
    st.integers(1, 30),
    st.integers(0, 4),
    st.booleans(),
)
def test_rests_earn_no_more_than_they_can_and_fill_what_there_is(
    segments: list[tuple[int, int]], spare: int, keep: int, scrap: int, one_stays: bool
) -> None:
    """No segment is longer than it may be; all that is spare is used unless something stays; the limit holds."""
    tails, rooms = zip(*segments, strict=True)
    limit = 100
    total = sum(limit - room for room in rooms) + spare + one_stays
    rests = Rests(
        kept=Fraction(400),
        scrap=Fraction(100 * scrap),
        keep=keep,
        limit=limit,
        total=total,
        one_stays=one_stays,
        tails=tails,
    )
    earned, more = rests.best(rooms)
    assert all(0 <= x <= room for x, room in zip(more, rooms, strict=True))
    assert sum(more) == min(spare, sum(rooms))
    assert earned == rests.earned(rooms, more)
    assert earned <= rests.at_most(sum(more) + sum(max(0, tail) for tail in tails))
    every = (
        rests.earned(rooms, each)
        for each in product(*(range(0, room + 1, 5) for room in rooms))
        if sum(each) <= spare and len(rooms) <= 2
    )
    assert all(earned >= other for other in every)
