"""The bound of a plan is verified, and no forged proof of it passes."""

from __future__ import annotations

import random
import time
from collections.abc import Callable
from dataclasses import replace
from decimal import Decimal
from itertools import product

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from nesting.check import check_plan, check_report, rounded_bound
from nesting.check.certificate import verify
from nesting.check.rounding import line_loss
from nesting.check.supply import Supply
from nesting.job import Job, Part, Saw, Shop
from nesting.plan import Bound, Plan
from stock.money import line_total, to_cost
from stock.offer import Basis, Offer, Yard
from stock.rack import RackPiece
from tests.nesting.check.laid_out import (
    FOOT,
    INCH,
    TUBE,
    bench_job,
    earned,
    first_fit,
    offer,
    part,
    with_bound,
    with_group,
    with_job,
)


def bench() -> Plan:
    """Two sticks at 62.47, proved by its prices (see the first test)."""
    return first_fit(bench_job())


def racked() -> Plan:
    """A rack piece of 50 in worth 5.25, which therefore has a price of its own."""
    piece = RackPiece(id="R1", material=TUBE, length=50 * INCH, clean_ends=1, value=Decimal("5.25"))
    return first_fit(bench_job(rack=(piece,)))


def test_the_bench_bound_is_as_reckoned_by_hand() -> None:
    """Room 240 - 1/4 - 1/8 = 239 5/8; A is 48 1/8 of it, B 24 1/8.

    624700 x 48.125 / 239.625 = 125461.40 and x 24.125 / 239.625 = 62893.64, so the parts come to
    4 x 125461.40 + 6 x 62893.64 = 879207.4 ten-thousandths, above one stick; in whole sticks 1249400.
    """
    bound = bench().groups[0].bound
    assert [p // bound.scale for _, p in bound.part_prices] == [125461, 62893]
    assert bound.value == Decimal("124.94")
    check = check_report(bench()).groups[0]
    assert (check.proved, check.verified) == (Decimal("124.94"), True)
    assert check.words == "The bound 124.9400 was verified from its prices by the check's own pricing."


@pytest.mark.parametrize(
    ("total", "scale", "sizes", "rack", "pieces_cut", "priced", "due"),
    [
        (1_000_000, 1, [[624_700]], [], None, True, 1_249_400),  # whole cents lose nothing
        (1_249_400, 1, [[624_700]], [], None, True, 1_249_400),  # a multiple stays
        (1_249_401, 1, [[624_700]], [], None, True, 1_874_100),  # a hair above needs one stick more
        (3_000_001, 3, [[100]], [], None, True, 1_000_100),  # 1000000.33 units: up to the next 100
        (1_000_000, 1, [[624_725]], [], None, True, 1_249_500),  # 1249450 - 25, up to the cent
        (1_000_000, 1, [[624_701]], [], None, True, 1_249_400),  # 1249402 - 49 = 1249353, up to the cent
        (1_000_000, 1, [[624_700], [300_001]], [], None, True, 1_000_000),  # step 1: 999951, up to the cent
        (1_000_000, 1, [[400_000, 300_000]], [], None, True, 1_200_000),  # the lowest row of a size counts
        (1_000_000, 1, [[300_001, 300_000]], [1], None, True, 999_952),  # the dearer row: 49 lost, 1 dearer
        (1_050_000, 1, [[400_000]], [150_000], None, True, 1_050_000),  # a rack value widens the steps
        (1_000_000, 1, [[624_701]], [1], None, True, 999_951),  # a rack value off the cent: no rounding up
        (1_000_000, 1, [], [], 3, True, 999_900),  # cut to length: 3 lines lose 147, 999853 up to the cent
        (1_000_001, 1, [[500_003]], [0], None, False, 1_000_006),  # kilograms: steps, nothing lost
        (-5, 1, [[624_700]], [], None, True, 0),
        (1, 1, [], [], 3, True, 0),
    ],
)
def test_a_sum_of_prices_is_rounded_by_the_rule(
    total: int,
    scale: int,
    sizes: list[list[int]],
    rack: list[int],
    pieces_cut: int | None,
    priced: bool,
    due: int,
) -> None:
    """The steps of the rule, each reckoned by hand."""
    assert rounded_bound(total, scale, sizes, rack, pieces_cut, priced) == due


@given(st.integers(1, 10**7), st.integers(1, 300))
def test_no_line_loses_more_than_is_taken_off(cost: int, count: int) -> None:
    """However many are bought at a price, rounding the line takes off no more than the rule does."""
    line = to_cost(line_total(count, Decimal(cost).scaleb(-4)))
    assert count * cost - line <= line_loss(cost)


purchases = st.lists(
    st.tuples(st.lists(st.integers(1, 10**6), min_size=1, max_size=3), st.integers(0, 2), st.integers(0, 50)),
    max_size=4,
)


@given(purchases, st.lists(st.sampled_from((0, 100, 250, 12_345)), max_size=2), st.integers(0, 10**6))
def test_no_purchase_costs_less_than_the_rule_says(
    lines: list[tuple[list[int], int, int]], rack: list[int], slack: int
) -> None:
    """Whatever row each size is bought at and however many: what is paid is never below the rounded bound."""
    paid = sum(rack)
    lowest = sum(rack) - slack
    for rows, row, count in lines:
        paid += to_cost(line_total(count, Decimal(rows[row % len(rows)]).scaleb(-4)))
        lowest += count * min(rows)
    assert rounded_bound(max(0, lowest), 1, [rows for rows, _, _ in lines], rack, None, True) <= paid


FORGED: tuple[tuple[Callable[[], Plan], Callable[[Bound], dict[str, object]], str], ...] = (
    (
        bench,
        lambda b: {"part_prices": ((b.part_prices[0][0], b.part_prices[0][1] * 2), b.part_prices[1])},
        "does not hold",
    ),
    (
        bench,
        lambda b: {"part_prices": (b.part_prices[0], ("B", b.part_prices[1][1] + b.scale * 20_000))},
        "does not hold",
    ),
    (
        bench,
        lambda b: {"part_prices": (*b.part_prices, ("Z", 1))},
        "prices part Z, which is not of the group",
    ),
    (bench, lambda b: {"part_prices": (*b.part_prices, b.part_prices[0])}, "prices part A twice"),
    (
        bench,
        lambda b: {"part_prices": (("A", -1), b.part_prices[1])},
        "price of part A is -1, due is 0 or more",
    ),
    (bench, lambda b: {"part_prices": b.part_prices[:1]}, "its prices prove 62.4700 at most"),
    (bench, lambda b: {"part_prices": ()}, "they prove 0.0000 at most"),
    (bench, lambda b: {"scale": b.scale // 2}, "does not hold"),
    (bench, lambda b: {"scale": b.scale * 2}, "its prices prove 62.4700 at most"),
    (bench, lambda b: {"scale": 0}, "scale of the bound is 0, due is 1 or more"),
    (bench, lambda b: {"scale": -1}, "scale of the bound is -1"),
    (
        bench,
        lambda b: {"part_prices": (("A", 2**61), ("B", 2**61))},
        "the certificate is too large to verify",
    ),
    (
        bench,
        lambda b: {"source_prices": (("offer 1", b.scale),)},
        "prices source offer 1, which is not a limited",
    ),
    (
        bench,
        lambda b: {"source_prices": (("R9", 1),)},
        "prices source R9, which is not a limited source of the job",
    ),
    (bench, lambda b: {"value": Decimal("124.95")}, "the bound is 124.95, its prices prove 124.9400 at most"),
    (
        bench,
        lambda b: {"value": Decimal("124.95")},
        "the bound is 124.95, above the cost 124.94 of this plan",
    ),
    (bench, lambda b: {"value": Decimal("124.95"), "proof": "search"}, "above the cost 124.94"),
    (
        bench,
        lambda b: {"dual_value": Decimal("124.95")},
        "the bound's prices is 124.95, they prove 124.9400 at most",
    ),
    (bench, lambda b: {"dual_value": Decimal("124.95"), "proof": "search"}, "they prove 124.9400 at most"),
    (bench, lambda b: {"value": Decimal(100), "proof": "search"}, "found by search is 100, below 124.9400"),
    (
        bench,
        lambda b: {"value": Decimal(100), "proof": "none"},
        "is 100 without a proof, due is 0 or 124.9400",
    ),
    (bench, lambda b: {"value": Decimal(-1)}, "due is 0 or more"),
    (racked, lambda b: {"source_prices": ()}, "does not hold: R1 on saw chop"),
    (
        racked,
        lambda b: {"source_prices": (("R1", b.source_prices[0][1] // 2),)},
        "does not hold: R1 on saw chop",
    ),
    (racked, lambda b: {"source_prices": (*b.source_prices, *b.source_prices)}, "prices source R1 twice"),
    (racked, lambda b: {"source_prices": (("R1", -1),)}, "price of source R1 is -1, due is 0 or more"),
    (racked, lambda b: {"source_prices": (("R1", 10**12),)}, "its prices prove"),
)


@pytest.mark.parametrize(
    ("make", "forge", "sentence"), FORGED, ids=[f"{i} {f[2]}" for i, f in enumerate(FORGED)]
)
def test_no_forged_bound_passes(
    make: Callable[[], Plan], forge: Callable[[Bound], dict[str, object]], sentence: str
) -> None:
    """A bound changed to claim more, or to rest on less, has a breach."""
    plan = make()
    breaches = check_plan(with_bound(plan, **forge(plan.groups[0].bound)))
    assert any(sentence in b for b in breaches), breaches


def test_a_cheaper_price_in_the_job_brings_the_bound_down() -> None:
    """If a row of a quantity break that can be reached is cheaper, the proof no longer holds."""
    plan = bench()
    row = replace(offer(2), price=Decimal("50"), from_qty=5)
    broken = check_plan(with_job(plan, offers=(offer(), row)))
    assert any("does not hold: offer 1 on saw chop" in b for b in broken), broken
    out_of_reach = (replace(offer(), available=4), row)
    assert not any("does not hold" in b for b in check_plan(with_job(plan, offers=out_of_reach)))


def test_a_second_saw_that_wastes_less_brings_the_bound_down() -> None:
    """A plan may use any saw, so the proof must hold on each that takes the section."""
    plan = bench()
    thin = Saw(name="thin", kerf=0, trim=0)
    assert any("on saw thin" in b for b in check_plan(with_job(plan, saws=(*plan.job.saws, thin))))
    small = replace(thin, max_size=INCH)
    assert check_plan(with_job(plan, saws=(*plan.job.saws, small))) == ()


def test_one_size_has_one_price_of_its_own() -> None:
    """The rows of a quantity break share their limit, so only one of them can carry the source price."""
    rows = (offer(1, available=9), offer(2, available=9, price=Decimal(60), from_qty=5))
    plan = first_fit(bench_job(offers=rows))
    zero = with_bound(
        plan, part_prices=(), value=Decimal(0), dual_value=Decimal(0), source_prices=(("offer 1", 7),)
    )
    assert check_plan(zero) == ()
    both = with_bound(zero, source_prices=(("offer 1", 7), ("offer 2", 7)))
    assert any("source offer 2, whose size is priced already" in b for b in check_plan(both))


def test_a_proof_by_search_is_passed_and_called_unverified() -> None:
    """A bound above what the prices verify is accepted from a search, and said to be unverified."""
    plan = with_bound(
        bench(), scale=2 * bench().groups[0].bound.scale, proof="search", dual_value=Decimal("62.47")
    )
    report = check_report(plan)
    assert report.breaches == ()
    check = report.groups[0]
    assert (check.proved, check.verified) == (Decimal("62.47"), False)
    assert check.words == (
        "The bound 124.9400 was found by search: repeatable, not verified by the check,"
        " whose own pricing verifies 62.4700."
    )


def test_no_claim_needs_no_proof() -> None:
    """A bound of zero without prices is sound, and is said to be no bound."""
    empty = {"proof": "none", "value": Decimal(0), "dual_value": Decimal(0), "part_prices": ()}
    report = check_report(with_bound(bench(), **empty))
    assert report.breaches == ()
    assert report.groups[0].words == "No bound is claimed."


def test_a_bound_that_does_not_hold_is_called_unverified() -> None:
    """Words of a broken proof never say that it was verified."""
    check = check_report(with_bound(bench(), scale=1)).groups[0]
    assert (check.proved, check.verified) == (None, False)
    assert check.words == "The bound 124.9400 was not verified."


def test_kilograms_are_proved_like_money() -> None:
    """An unpriced group counts what its sticks weigh, to 0.0001 kg, and a rack piece nothing."""
    piece = RackPiece(id="R1", material=TUBE, length=50 * INCH, clean_ends=1, value=Decimal("5.25"))
    plan = first_fit(bench_job(offers=(offer(price=None, per=None),), rack=(piece,)))
    assert check_plan(plan) == ()
    check = check_report(plan).groups[0]
    assert check.verified
    assert check.proved == plan.groups[0].bound.value > 0
    assert check.words.startswith(f"The bound {check.proved} kg was verified")


def cut_job(per_foot: str, charge: str) -> Job:
    """One part of 24 in, ten times, from material cut to length; no trim and no kerf."""
    row = offer(per=Basis.FOOT, price=Decimal(per_foot), cut_to_length=Decimal(charge))
    saw = Saw(name="shear", kerf=0)
    return bench_job(parts=(part("B", 10, 24 * INCH),), offers=(row,), saws=(saw,))


def cut_bound(price: int, value: str) -> Bound:
    """A bound with one part price, in ten-thousandths."""
    amount = Decimal(value)
    return Bound(
        value=amount, proof="duals", dual_value=amount, scale=1, part_prices=(("B", price),), source_prices=()
    )


def test_material_cut_to_length_is_priced_at_the_length_needed() -> None:
    """Ten of 2 ft at 3 a foot and 2 a stick: a full stick of 20 ft is 62.00, hence 6.20 a part, no unit more.

    The ten parts come to 62.00, less 0.0049 for each line there can be: 62.00 - 0.049 = 61.951, 61.96.
    """
    plan = first_fit(cut_job("3", "2"))
    assert plan.groups[0].cost == Decimal("62.00")
    assert check_plan(with_group(plan, bound=cut_bound(62_000, "61.96"))) == ()
    one_more = check_plan(with_group(plan, bound=cut_bound(62_001, "61.96")))
    assert any("parts worth 620010, due is 620000 at most" in b for b in one_more), one_more
    too_high = check_plan(with_group(plan, bound=cut_bound(62_000, "61.97")))
    assert any("its prices prove 61.9600 at most" in b for b in too_high), too_high


def test_rounding_of_a_cut_length_is_counted_exactly() -> None:
    """At 0.00004 a foot, 2 ft cost 0.0001 (0.00008 rounded up), 4 ft and 6 ft 0.0002 (0.00016 and 0.00024).

    So a part may be worth a third of 0.0002 only, which the exact cost of each set decides, not a line.
    """
    plan = first_fit(cut_job("0.00004", "0"))
    third = replace(cut_bound(2 * 10**6 // 3, "0"), scale=10**6)
    assert not any("does not hold" in b for b in check_plan(with_group(plan, bound=third)))
    above = replace(third, part_prices=(("B", 10**6),))
    assert any("does not hold" in b for b in check_plan(with_group(plan, bound=above)))


@st.composite
def claims(draw: st.DrawFn) -> tuple[Job, Bound]:
    """Small jobs with two offers, a limited one among them, a rack piece, and any prices at all."""
    lengths = draw(st.lists(st.integers(6, 60), min_size=1, max_size=3, unique=True))
    parts = tuple(part(f"P{n}", draw(st.integers(1, 3)), n * INCH) for n in lengths)
    cut = draw(st.booleans())
    first = offer(
        length=60 * INCH,
        price=Decimal(draw(st.integers(1, 50))) / 8,
        per=Basis.FOOT if cut else Basis.EACH,
        cut_to_length=Decimal("0.5") if cut else None,
        clean_ends=draw(st.integers(0, 2)),
    )
    second = offer(
        2, length=80 * INCH, price=Decimal(draw(st.integers(1, 50))) / 16, available=draw(st.integers(0, 3))
    )
    piece = RackPiece(
        id="R1", material=TUBE, length=40 * INCH, clean_ends=1, value=Decimal(draw(st.integers(0, 3)))
    )
    kerf = draw(st.sampled_from((0, INCH // 8)))
    saw = Saw(name="saw", kerf=kerf, trim=2 * kerf, grip=draw(st.sampled_from((0, INCH))))
    shop = Shop(
        keep_length=draw(st.sampled_from((0, 6, 30))) * INCH,
        offcut_share=draw(st.sampled_from((Decimal(0), Decimal("0.5"), Decimal("0.9")))),
        scrap_price=draw(st.sampled_from((None, Decimal("0.01"), Decimal(1)))),
    )
    job = bench_job(parts=parts, offers=(first, second), rack=(piece,), saws=(saw,), shop=shop)
    bound = Bound(
        value=Decimal(0),
        proof="duals",
        dual_value=Decimal(0),
        scale=draw(st.sampled_from((1, 10))),
        part_prices=tuple((p.mark, draw(st.integers(0, 30_000))) for p in parts),
        source_prices=tuple((n, draw(st.integers(0, 40_000))) for n in ("offer 2", "R1")),
    )
    return job, bound


def cheapest(job: Job, source: Offer | RackPiece, lot: list[Part]) -> int | None:
    """What a stick with these parts costs less what its rest earns, by the rules' text; None if they do not fit."""
    saw = job.saws[0]
    head = 0 if source.clean_ends else saw.trim
    far = 0 if source.clean_ends == 2 else saw.trim
    tail = max(far - saw.kerf, saw.grip) if saw.grip else far - saw.kerf
    needed = head + sum(p.extent + saw.kerf for p in lot) + tail
    if needed > source.length:
        return None
    rest = max(0, source.length - head - sum(p.extent + saw.kerf for p in lot))
    credit = earned(job, source, rest, 0 < rest >= job.shop.keep_length)
    if isinstance(source, RackPiece):
        return to_cost(source.value - credit)
    return to_cost(source.unit_price(needed if source.cut_to_length is not None else None) - credit)


@given(claims())
@settings(max_examples=200, deadline=None)
def test_the_proof_holds_exactly_when_every_way_to_cut_agrees(claim: tuple[Job, Bound]) -> None:
    """Any prices are accepted if and only if no way to cut any of the sticks is worth too much."""
    job, bound = claim
    prices, given_prices = dict(bound.part_prices), dict(bound.source_prices)
    overpaid = False
    for counts in product(*(range(p.qty + 1) for p in job.parts)):
        lot = [p for p, n in zip(job.parts, counts, strict=True) for _ in range(n)]
        for source in (*(o for o in job.offers if o.available != 0), *job.rack):
            cost = cheapest(job, source, lot) if lot else None
            if cost is not None:
                allowed = bound.scale * cost + given_prices.get(source.id, 0)
                overpaid |= sum(prices[p.mark] for p in lot) > allowed
    try_ = first_fit(replace(job, offers=(offer(),), rack=()))
    group = replace(try_.groups[0], bound=bound)
    found = verify(group, Supply(job))
    assert any("does not hold" in b for b in found.breaches) == overpaid, found.breaches
    assert (found.value is None) == overpaid


def test_a_large_group_is_verified_in_little_time() -> None:
    """100 lengths, 2000 pieces, five lengths of stock: within 2 s."""
    chance = random.Random(4)
    parts = tuple(part(f"P{i}", 20, chance.randrange(8 * INCH, 110 * INCH)) for i in range(100))
    offers = tuple(
        offer(n, length=feet * FOOT, price=Decimal(feet * chance.randrange(290, 310)) / 100)
        for n, feet in enumerate((20, 24, 40, 21, 10), start=1)
    )
    plan = first_fit(bench_job(parts=parts, offers=offers, yards=(Yard(name="North"),)))
    began = time.perf_counter()
    assert check_plan(plan) == ()
    assert time.perf_counter() - began < 2
