"""What is said of a saw, and of sticks that a thicker kerf would spoil."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import pytest
from hypothesis import given, settings

from nesting.check import check_plan
from nesting.estimate import estimate_of
from nesting.job import Job, Saw, Shop
from nesting.market import make_plan
from nesting.report.saw_list import saw_list
from nesting.report.saw_words import alike_words, doubt_words, falling_short, saw_rules
from stock.length import PER_INCH, PER_MM
from tests.nesting.market.asked import COUNTED, INCH, MM, job, jobs, metric, offer, part


def test_the_rules_of_a_saw_are_told_in_one_phrase() -> None:
    saw = Saw(name="band", kerf=INCH // 16, trim=INCH // 8, grip=4 * INCH, bundle=6)
    assert saw_rules(saw, Shop()) == (
        'kerf 1/16", an end that is not clean loses 1/8", the saw holds the last 4", up to 6 sticks together'
    )
    assert saw_rules(Saw(name="cold", kerf=2 * MM), Shop(unit="mm", kerf_safety=MM // 4)) == (
        "kerf 2 mm, each cut planned 2.25 mm wide"
    )


def test_sticks_cut_alike_are_told_with_how_many_go_through_together() -> None:
    saw = Saw(name="band", kerf=0, bundle=4)
    assert [alike_words(times, saw) for times in (1, 2, 9)] == [
        "",
        "2 alike, 2 together",
        "9 alike, 4 together",
    ]


def test_sticks_that_fall_short_with_a_thicker_kerf_are_named() -> None:
    """Worked by hand: 3 x 1998 + 2 x 3 fill 6000 exactly, slack 0; two of 1998 and a kerf have 2001 to spare."""
    plan = make_plan(metric(6000, [(1998, 5)], kerf=3), COUNTED)
    shop = replace(plan.job.shop, kerf_doubt=4 * PER_MM // 10)
    saws = saw_list(plan)
    (short,) = falling_short(saws, shop.kerf_doubt)
    assert len(short.layout.pieces) == 3
    assert doubt_words(saws, shop) == (
        f"If the saw cuts 0.4 mm thicker than said, the last piece of stick {short.first} comes out short: measure the "
        "kerf on a test cut first, or plan with a kerf_safety."
    )
    assert doubt_words(saws, replace(shop, kerf_doubt=0)) == ""


@pytest.mark.parametrize(("safety", "sticks"), [(0, 3), (1, 5)])
def test_one_tick_of_safety_costs_what_one_tick_of_kerf_costs(safety: int, sticks: int) -> None:
    """3 x 1998 + 2 x 3 = 6000 exactly (published/test_kerf): nine pieces take 3 sticks, with one tick more 5."""
    asked = metric(6000, [(1998, 9)], kerf=3)
    plan = make_plan(replace(asked, shop=replace(asked.shop, kerf_safety=safety)), COUNTED)
    assert check_plan(plan) == ()
    assert sum(p.count for p in plan.groups[0].purchases) == sticks


def test_a_safety_moves_pieces_and_not_the_first_cut() -> None:
    """Trim 10 at the first end stays 10; each piece begins a kerf of 3 and a safety of 1 behind the one before."""
    asked = metric(6000, [(1000, 2)], kerf=3, clean_ends=0)
    saws = (Saw(name="saw", kerf=3 * MM, trim=10 * MM),)
    plan = make_plan(replace(asked, saws=saws, shop=Shop(unit="mm", kerf_safety=MM)), COUNTED)
    (layout,) = plan.groups[0].layouts
    assert (layout.head, [p.start for p in layout.pieces]) == (10 * MM, [10 * MM, 1014 * MM])
    assert layout.rest == (6000 - 2018) * MM


@given(jobs())
@settings(max_examples=6, deadline=None)
def test_no_stick_falls_short_within_the_safety_that_was_planned(asked: Job) -> None:
    safe = replace(asked, shop=replace(asked.shop, kerf_safety=PER_INCH // 32))
    plan = make_plan(safe, COUNTED)
    assert check_plan(plan) == ()
    assert falling_short(saw_list(plan), PER_INCH // 32) == ()


def test_sticks_cut_together_are_loaded_once_and_cut_through_at_the_same_area() -> None:
    """By hand: 5 sticks alike with 2 pieces each; at 2 together 3 loads, and of the pieces 6 rows.

    Handling: 3 x 120 + 6 x 20 + stop moves x 30 s. One setting for all of them: 1 move. 360 + 120 + 30 = 510 s = 0.15 h
    rounded up to a hundredth (0.1417).
    """
    asked = job(
        [part("A", 10, 40 * INCH)], [offer(1, 90 * INCH, "9.00")], saws=(Saw(name="saw", kerf=0, bundle=2),)
    )
    plan = make_plan(asked, COUNTED)
    lines = {line.operation: line for line in estimate_of(plan).lines}
    assert lines["Handling at the saw"].how.replace(" (starting value)", "") == (
        "3 loads of sticks × 120 s, 6 rows of pieces × 20 s, 1 stop move × 30 s"
    )
    assert lines["Handling at the saw"].hours == Decimal("0.15")
    single = replace(plan, job=replace(asked, saws=(Saw(name="saw", kerf=0),)))
    alone = {line.operation: line for line in estimate_of(single).lines}
    assert alone["Handling at the saw"].how.startswith("5 sticks × 120 s")
    assert lines["Cutting, saw"].how.startswith("6 cuts through ")
    assert alone["Cutting, saw"].how.startswith("10 cuts through ")
    assert lines["Cutting, saw"].hours == alone["Cutting, saw"].hours
