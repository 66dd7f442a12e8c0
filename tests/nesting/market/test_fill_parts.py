"""Fill parts: cut where they cost nothing, as much of their worth as fits, and nothing else changes by them."""

from __future__ import annotations

import random
from collections import Counter
from dataclasses import replace
from decimal import Decimal
from itertools import product

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from nesting.check import check_plan
from nesting.job import Job, Part, Saw, Shop
from nesting.market import make_plan
from nesting.plan import Plan
from nesting.read.mitre import mitred_extent
from stock.offer import Yard
from stock.rack import RackPiece
from tests.nesting.market.asked import COUNTED, GRADED, INCH, NEAR, TUBE, job, jobs, metric, offer, part

FOOT = 12 * INCH
KEEP = Shop(keep_length=24 * INCH)


def fill(mark: str, qty: int, length: int, worth: str = "0", **given: object) -> Part:
    """A fill part."""
    values = {"material": TUBE} | given
    return Part(mark=mark, qty=qty, length=length, fill=Decimal(worth), **values)  # type: ignore[arg-type]


def planned(asked: Job) -> Plan:
    """The plan, checked."""
    plan = make_plan(asked, COUNTED)
    assert check_plan(plan) == ()
    return plan


def made(plan: Plan) -> Counter[str]:
    """How often each part is cut."""
    return Counter(
        piece.mark
        for group in plan.groups
        for layout in group.layouts
        for piece in layout.pieces
        for _ in range(layout.times)
    )


def test_scrap_is_filled_with_what_is_worth_most_worked_by_hand() -> None:
    """Five 46 in pieces and cuts of 1/8 leave 240 - 230 5/8 = 9 3/8 in of a clean 20 ft stick, below the keep length.

    Room for clips, each with its cut, at a clean far end: 9 3/8 + 1/8. C1 of 3 in (3 1/8) goes in three times (9 3/8),
    C2 of 4 1/2 in twice (9 1/4). At the price of the material two of C2 take 9 in, three of C1 as much; with C1 worth
    1.00 each and C2 1.60, the two come to 3.20 and the three to 3.00.
    """
    needed = [part("P", 5, 46 * INCH)]
    offers = [offer(1, 20 * FOOT, "60", clean_ends=2)]
    fills = [fill("C1", 9, 3 * INCH, "1.00"), fill("C2", 9, 9 * INCH // 2, "1.60")]
    plan = planned(job(needed + fills, offers, INCH // 8, shop=KEEP))
    assert made(plan) == {"P": 5, "C2": 2}
    assert plan.unfilled == (("C1", 9), ("C2", 7))
    (layout,) = plan.groups[0].layouts
    assert [p.mark for p in layout.pieces] == ["P"] * 5 + ["C2"] * 2
    assert layout.rest == INCH // 8


def test_no_more_than_is_wanted_is_cut() -> None:
    """Two sticks leave 9 3/8 in each, room for three clips of 3 in; only four are wanted."""
    offers = [offer(1, 20 * FOOT, "60", clean_ends=2)]
    plan = planned(job([part("P", 10, 46 * INCH), fill("C", 4, 3 * INCH)], offers, INCH // 8, shop=KEEP))
    assert made(plan)["C"] == 4
    assert plan.unfilled == ()


def test_a_kept_offcut_gives_fill_parts_only_if_they_are_worth_more_than_it_loses() -> None:
    """One piece of 100 in of a 20 ft stick at 60.00 leaves 139 7/8 in, which at 0.25 an inch is worth 34.97.

    A clip of 4 in and its cut of 1/8 take 1.0313 of that: at 1.03 it is not cut, at 1.04 it is, and one marked yes,
    worth its 4 in of material, never.
    """
    offers = [offer(1, 20 * FOOT, "60", clean_ends=2)]
    for worth, copies in (("0", 0), ("1.03", 0), ("1.04", 3)):
        plan = planned(
            job([part("P", 1, 100 * INCH), fill("C", 3, 4 * INCH, worth)], offers, INCH // 8, shop=KEEP)
        )
        assert made(plan)["C"] == copies


def test_an_offcut_that_would_be_too_short_to_keep_is_lost_whole() -> None:
    """The rest of 24 1/2 in is kept from 24 in on, worth 6.12; clips of 1 in at 2.00 take all of it or nothing."""
    offers = [offer(1, 20 * FOOT, "60", clean_ends=2)]
    needed = [part("P", 1, 240 * INCH - INCH * 197 // 8)]  # 240 - 24 5/8, and a cut of 1/8
    few = planned(job([*needed, fill("C", 3, INCH, "2")], offers, INCH // 8, shop=KEEP))
    assert made(few)["C"] == 0
    many = planned(job([*needed, fill("C", 4, INCH, "2")], offers, INCH // 8, shop=KEEP))
    assert made(many)["C"] == 4


def test_what_a_rest_earns_stays_as_it_was_before_fill_parts_took_from_it() -> None:
    """The rest of 139 7/8 in of a 20 ft stick at 60.00 earns half its price, 17.48; three clips at 2.00 are cut."""
    offers = [offer(1, 20 * FOOT, "60", clean_ends=2)]
    shop = replace(KEEP, offcut_share=Decimal("0.5"))
    plan = planned(job([part("P", 1, 100 * INCH), fill("C", 3, 4 * INCH, "2")], offers, INCH // 8, shop=shop))
    assert made(plan)["C"] == 3
    (group,) = plan.groups
    assert (group.credit, group.cost) == (Decimal("17.48"), Decimal("42.52"))
    assert group.proved


def test_a_rack_offcut_without_a_value_counts_at_the_price_of_new_material() -> None:
    """60 in from a rack piece of 110 in; its rest of 50 in is as good as 12.50 of new tube at 0.25 an inch."""
    rack = (RackPiece(id="R", material=TUBE, length=110 * INCH, clean_ends=2),)
    offers = [offer(1, 20 * FOOT, "60")]
    for worth, copies in (("2.00", 0), ("3.00", 1)):
        parts = [part("P", 1, 60 * INCH), fill("C", 1, 10 * INCH, worth)]
        plan = planned(job(parts, offers, rack=rack, shop=KEEP))
        assert [x.source for x in plan.groups[0].layouts] == ["R"]
        assert made(plan)["C"] == copies


def test_a_kept_rack_offcut_that_no_price_tells_the_worth_of_is_left_alone() -> None:
    rack = (RackPiece(id="R", material=TUBE, length=110 * INCH, clean_ends=2),)
    plan = planned(job([part("P", 1, 60 * INCH), fill("C", 1, INCH, "99")], [], rack=rack, shop=KEEP))
    assert made(plan)["C"] == 0


def test_without_prices_fill_parts_count_by_their_weight() -> None:
    """9 3/8 in of scrap: of one clip of 5 in and one of 9 in only one has room, and the longer weighs more."""
    parts = [part("P", 5, 46 * INCH), fill("C5", 1, 5 * INCH), fill("C9", 1, 9 * INCH)]
    plan = planned(job(parts, [offer(1, 20 * FOOT, None, clean_ends=2)], INCH // 8, shop=KEEP))
    assert made(plan)["C9"] == 1
    assert made(plan)["C5"] == 0


def test_fill_parts_alone_need_nothing_and_the_wrong_material_finds_no_place() -> None:
    parts = [part("P", 5, 46 * INCH), fill("C", 2, INCH, material=GRADED), fill("D", 1, INCH, material=NEAR)]
    plan = planned(job(parts, [offer(1, 20 * FOOT, "60", clean_ends=2)], INCH // 8, shop=KEEP))
    assert plan.unfilled == (("C", 2), ("D", 1))


def test_a_fill_part_is_not_cut_at_an_angle_that_the_saw_of_the_stick_does_not_take() -> None:
    mitred = fill("C", 1, 4 * INCH, end_a=Decimal(60), extent=4 * INCH)
    parts = [part("P", 5, 46 * INCH), mitred]
    offers = [offer(1, 20 * FOOT, "60", clean_ends=2)]
    for most, copies in ((Decimal(45), 0), (None, 1)):
        saws = (Saw(name="saw", kerf=INCH // 8, max_angle=most),)
        assert made(planned(job(parts, offers, saws=saws, shop=KEEP)))["C"] == copies


def test_a_saw_that_holds_the_tail_leaves_that_much_less_room() -> None:
    """Of 9 3/8 in behind the last cut a grip of 4 in leaves 5 3/8 for clips with their cuts."""
    saws = (Saw(name="saw", kerf=INCH // 8, grip=4 * INCH),)
    parts = [part("P", 5, 46 * INCH), fill("C", 9, 5 * INCH // 2)]
    plan = planned(job(parts, [offer(1, 20 * FOOT, "60", clean_ends=2)], saws=saws, shop=KEEP))
    assert made(plan)["C"] == 2  # 2 x 2 5/8 = 5 1/4


def test_segments_that_a_yard_cuts_alike_are_filled_alike() -> None:
    """Two sticks parted alike, since none longer than 11' 4" can be carried: of three clips one finds no partner."""
    terms = Yard(name="North", haul_limit=136 * INCH, cut_charge=Decimal("2.50"), cut_kerf=INCH // 8)
    parts = [part("A", 6, 50 * INCH), part("B", 4, 30 * INCH), fill("C", 3, 5 * INCH)]
    plan = planned(
        job(parts, [offer(1, 20 * FOOT, "60")], INCH // 8, yards=(terms,), shop=Shop(keep_length=40 * INCH))
    )
    assert [p.times for p in plan.groups[0].partings] == [2]
    assert made(plan)["C"] == 2
    assert plan.unfilled == (("C", 1),)


@pytest.mark.parametrize("seed", [1, 2, 3])
def test_fill_parts_lie_behind_mitred_pieces_too_and_may_be_mitred_themselves(seed: int) -> None:
    chance = random.Random(seed)

    def mitred(mark: str, qty: int, inches: int, worth: Decimal | None = None) -> Part:
        ends = Decimal(chance.choice([0, 30, 45])), Decimal(chance.choice([0, 22, 45]))
        extent = mitred_extent(inches * INCH, 2 * INCH, ends, "same", "long")
        return Part(
            mark=mark, qty=qty, material=TUBE, length=inches * INCH, end_a=ends[0], end_b=ends[1], lean="same",
            extent=extent, fill=worth,
        )  # fmt: skip

    needed = [mitred(f"P{n}", chance.randint(1, 6), chance.randint(10, 60)) for n in range(3)]
    saws = (
        Saw(
            name="saw", kerf=INCH // 8, trim=chance.choice([0, INCH // 4]), grip=chance.choice([0, 2 * INCH])
        ),
    )
    offers = [offer(1, 20 * FOOT, "60", clean_ends=chance.choice([0, 1, 2]))]
    plan = planned(job([*needed, mitred("C", 5, 5, Decimal(3))], offers, saws=saws, shop=KEEP))
    assert made(plan)["C"] == 5  # worth more than any offcut loses by them, and there is room


def _without(asked: Job) -> Job:
    return replace(asked, parts=asked.needed)


@st.composite
def with_fills(draw: st.DrawFn) -> Job:
    """A random job with one to three fill parts."""
    asked = draw(jobs())
    fills = [
        fill(
            f"F{n}",
            draw(st.integers(1, 6)),
            draw(st.integers(8, 400)) * INCH // 16,
            draw(st.sampled_from(["0", "0", "0.75", "4"])),
            material=draw(st.sampled_from([TUBE, GRADED, NEAR])),
        )
        for n in range(draw(st.integers(1, 3)))
    ]
    shop = replace(
        asked.shop,
        offcut_share=draw(st.sampled_from([Decimal(0), Decimal("0.5")])),
        scrap_price=draw(st.sampled_from([None, Decimal("0.20")])),
        keep_length=draw(st.sampled_from([asked.shop.keep_length, 40 * INCH])),
    )
    return replace(asked, parts=(*asked.parts, *fills), shop=shop)


@given(with_fills())
@settings(max_examples=8, deadline=None, suppress_health_check=[HealthCheck.too_slow])
def test_fill_parts_change_neither_purchases_nor_cost_nor_any_other_piece(asked: Job) -> None:
    plan, bare = planned(asked), planned(_without(asked))
    assert [(g.cost, g.purchases, g.bound, g.marks) for g in plan.groups] == [
        (g.cost, g.purchases, g.bound, g.marks) for g in bare.groups
    ]
    needed = {p.mark for p in asked.needed}

    def others(of: Plan) -> Counter[object]:
        return Counter(
            (x.source, x.length, x.saw, tuple(p for p in x.pieces if p.mark in needed))
            for group in of.groups
            for x in group.layouts
            for _ in range(x.times)
        )

    assert others(plan) == others(bare)


@given(
    st.lists(st.tuples(st.integers(20, 90), st.integers(1, 3)), min_size=1, max_size=3),
    st.lists(st.tuples(st.integers(2, 30), st.integers(1, 2), st.integers(1, 9)), min_size=1, max_size=2),
    st.integers(0, 2),
)
@settings(max_examples=40, deadline=None)
def test_no_other_filling_of_the_same_rests_is_worth_more(
    needs: list[tuple[int, int]], fills: list[tuple[int, int, int]], kerf: int
) -> None:
    """Every filling is tried for small cases, where all rests are scrap."""
    asked = metric(100, needs, kerf)
    extra = tuple(fill(f"F{n}", q, length * 3_200_000, str(w)) for n, (length, q, w) in enumerate(fills))
    plan = planned(replace(asked, parts=(*asked.parts, *extra)))
    names = {p.mark for p in extra}
    rests = []
    for layout in (x for group in plan.groups for x in group.layouts):
        end = max(p.start + p.extent for p in layout.pieces if p.mark not in names)
        rests += [layout.length // 3_200_000 - end // 3_200_000] * layout.times
    got = sum(w * made(plan)[f"F{n}"] for n, (_, _, w) in enumerate(fills))
    assert got == _most_worth(sorted(rests), fills, kerf)


def _most_worth(rests: list[int], fills: list[tuple[int, int, int]], kerf: int) -> int:
    """By trying every number of each fill part in every rest; a rest is what lies behind the last piece."""
    best = {tuple(q for _, q, _ in fills): 0}
    for rest in rests:
        after: dict[tuple[int, ...], int] = {}
        for left, worth in best.items():
            for counts in product(*(range(n + 1) for n in left)):
                if sum(n * (length + kerf) for n, (length, _, _) in zip(counts, fills, strict=True)) > rest:
                    continue
                key = tuple(a - b for a, b in zip(left, counts, strict=True))
                gained = worth + sum(n * w for n, (_, _, w) in zip(counts, fills, strict=True))
                after[key] = max(after.get(key, 0), gained)
        best = after
    return max(best.values())
