"""Rows of mitred pieces, segments, and their pricing, against trying everything."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from functools import cache
from itertools import pairwise, product

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from nesting.bars import form as form_module
from nesting.bars import mitres
from nesting.bars.enumerate import list_patterns
from nesting.bars.form import Segments
from nesting.bars.formed import FormedSticks
from nesting.bars.mitres import Mitres
from nesting.bars.pricing import Pricer
from nesting.bars.problem import Certificate, Item, Pattern, Problem, Source, Stock
from nesting.job import Part
from nesting.market.mitred import mitred_ends, mitred_stocks, ways_of
from nesting.progress import Budget, Silent
from nesting.rules.turns import gap
from tests.nesting.bars.rows import shortest
from tests.nesting.rules.test_turns import INCH, mitred

SECTIONS = (
    "tube 2 x 2 x 1/8",
    "tube 2 x 2 x 1/8",
    "tube 3 x 2 x 1/8",
    "angle 2 x 2 x 1/4",
    "C3x4.1",
    "round 1",
)


@st.composite
def some_parts(draw: st.DrawFn, most: int = 4) -> list[Part]:
    """Parts of one section with few different ends, so that some nest and some do not."""
    section = draw(st.sampled_from(SECTIONS))
    one = st.builds(
        lambda a, b, lean, plane, flip, longer: mitred_part(section, a, b, lean, plane, flip, longer),
        st.sampled_from(["0", "45", "45", "30"]),
        st.sampled_from(["0", "45", "45", "30"]),
        st.sampled_from(["opposite", "opposite", "same"]),
        st.sampled_from(["wide", "wide", "narrow"]),
        st.sampled_from([True, True, False]),
        st.integers(0, 12),
    )
    return draw(st.lists(one, min_size=1, max_size=most))


def mitred_part(section: str, a: str, b: str, lean: str, plane: str, flip: bool, longer: int) -> Part:
    """A part from 8 to 20 in between its points."""
    part = mitred(section, end_a=Decimal(a), end_b=Decimal(b), lean=lean, plane=plane, flip=flip)
    size = (8 + longer) * INCH
    return replace(part, length=size, extent=size)


def stick(parts: list[Part], cut: int, length: int = 60 * INCH) -> Stock:
    """A stick with clean ends and no tail."""
    items = tuple(range(len(parts)))
    return Stock(source=0, length=length, kerf=cut, capacity=length + cut, cost=1, ends=-cut, items=items)


@given(some_parts(3), st.data(), st.sampled_from([INCH // 16, INCH // 8]))
@settings(max_examples=60, deadline=None)
def test_the_best_row_is_that_of_trying_every_sequence_and_every_turn(
    parts: list[Part], data: st.DataObject, cut: int
) -> None:
    """Up to five pieces; the row handed out takes what the excess says, and every stock says the same of it."""
    numbers = data.draw(st.lists(st.integers(0, 2), min_size=len(parts), max_size=len(parts)))
    counts = tuple((i, n) for i, n in enumerate(numbers) if n)
    if not counts or sum(n for _, n in counts) > 5 or not any(parts[i].is_mitred for i, _ in counts):
        return
    least = shortest(parts, counts, cut)
    for stock in mitred_stocks(stick(parts, cut), {i: (part,) for i, part in enumerate(parts)}):
        if stock.form is None or any(i not in stock.items for i, _ in counts):
            continue
        assert isinstance(stock.form, Mitres)
        weights = dict(zip(stock.items, stock.weights, strict=True))
        weighed = sum(n * weights[i] for i, n in counts)
        assert weighed + stock.form.excess(counts) + stock.form.taken == least
        held = np.array([numbers, numbers], np.int64)
        assert stock.form.excesses(held).tolist() == [stock.form.excess(counts)] * 2
        row = stock.form.row(counts)
        assert sorted(i for i, *_ in row) == [i for i, n in counts for _ in range(n)]
        lying = [ways_of(parts[i])[way][0] for i, _, way in row]
        gaps = sum(gap(one[1], other[0], cut) for one, other in pairwise(lying))
        assert sum(parts[i].extent for i, *_ in row) + gaps + cut == least


@given(some_parts(3), st.lists(st.integers(0, 9), min_size=3, max_size=3))
@settings(max_examples=40, deadline=None)
def test_many_alike_take_what_their_pairs_add(parts: list[Part], numbers: list[int]) -> None:
    """Pairs of one class are taken out before the best row is sought: with them in, it takes just as much."""
    form = mitred_ends(stick(parts, INCH // 16), {i: (part,) for i, part in enumerate(parts)}).form
    if not isinstance(form, Mitres):
        return

    @cache
    def least(left: tuple[int, ...], end: int | None) -> int:
        options = [
            (0 if end is None else form.gaps[end][first])
            + least((*left[:kind], n - 1, *left[kind + 1 :]), last)
            for kind, n in enumerate(left)
            if n
            for first, last in form.classes[kind]
        ]
        return min(options, default=0)

    asked = tuple(numbers[: len(form.classes)])
    assert form.least_gaps(asked) == least(asked, None)


@given(some_parts(3), st.data())
@settings(max_examples=40, deadline=None)
def test_no_pieces_take_less_than_one_of_the_stocks_they_belong_to_allows(
    parts: list[Part], data: st.DataObject
) -> None:
    """Whatever fits the stick fits, by weights alone, one of the stocks that it stands for: the bound rests on that."""
    cut = INCH // 16
    numbers = data.draw(st.lists(st.integers(0, 2), min_size=len(parts), max_size=len(parts)))
    counts = tuple((i, n) for i, n in enumerate(numbers) if n)
    if not counts or sum(n for _, n in counts) > 5:
        return
    least = shortest(parts, counts, cut)
    plain = stick(parts, cut, least - cut)
    held = np.array(numbers, np.int64)
    fits = False
    for stock in mitred_stocks(plain, {i: (part,) for i, part in enumerate(parts)}):
        if any(i not in stock.items for i, _ in counts):
            continue
        items = np.array(stock.items, np.int64)
        weights = np.array(stock.weights or [parts[i].extent + cut for i in stock.items], np.int64)
        if stock.form is None:
            fits = fits or int(weights @ held[items]) <= stock.capacity
            continue
        ones = np.ones(items.size, np.int64)
        sticks = FormedSticks(stock.form, items, weights, ones, held[items], stock.capacity)
        fits = fits or sticks.most_worth(stock.capacity, 0).value >= held.sum()
        best = sticks.best_cut(stock.capacity, 0)
        assert best.counts is None or sticks.can_be_cut(stock.capacity, best.counts)
    assert fits


@given(some_parts(4), st.lists(st.integers(1, 9), min_size=4, max_size=4), st.integers(20, 70))
@settings(max_examples=40, deadline=None)
def test_the_best_cut_of_a_stick_is_that_of_trying_every_filling(
    parts: list[Part], worths: list[int], inches: int
) -> None:
    """Over all stocks that a stick stands for; the upper bounds are never below it."""
    cut = INCH // 16
    plain = stick(parts, cut, inches * INCH)
    best = 0
    for numbers in product(range(2), repeat=len(parts)):
        counts = tuple((i, n) for i, n in enumerate(numbers) if n)
        if counts and shortest(parts, counts, cut) <= plain.capacity:
            best = max(best, sum(worths[i] for i, _ in counts))
    found, bounds, by_weights = [0], [0], [0]
    for stock in mitred_stocks(plain, {i: (part,) for i, part in enumerate(parts)}):
        items = np.array(stock.items, np.int64)
        values = np.array([worths[i] for i in stock.items], np.int64)
        if stock.form is None:
            form, weights = None, np.array([parts[i].extent + cut for i in stock.items], np.int64)
        else:
            form, weights = stock.form, np.array(stock.weights, np.int64)
        if form is None:
            fillings = product(range(2), repeat=items.size)
            found += [int(values @ n) for n in map(np.array, fillings) if int(weights @ n) <= stock.capacity]
            bounds.append(max(found))
            by_weights.append(max(found))
            continue
        if stock.capacity <= 0:
            continue
        bounds_of = np.ones(items.size, np.int64)
        sticks = FormedSticks(form, items, weights, values, bounds_of, stock.capacity)
        filled = sticks.best_cut(stock.capacity, 0)
        if filled.counts is not None:
            assert sticks.can_be_cut(stock.capacity, filled.counts)
            found.append(int(values @ filled.counts))
        bounds.append(filled.value)
        # a stick with bridges may be filled without them; then it counts as another of the stocks
        by_weights.append(sticks.most_worth(stock.capacity, 0).value)
        for several in sticks.several(stock.capacity, 0):
            assert sticks.can_be_cut(stock.capacity, several)
    assert max(found) == best <= max(bounds)
    assert best <= max(by_weights)


@given(
    st.lists(st.integers(1, 12), min_size=1, max_size=7),
    st.lists(st.integers(4, 20), min_size=1, max_size=3),
)
@settings(max_examples=80, deadline=None)
def test_segments_hold_pieces_if_some_way_to_part_them_does(pieces: list[int], caps: list[int]) -> None:
    weights = sorted(set(pieces))
    counts = tuple((i, pieces.count(w)) for i, w in enumerate(weights))
    form = Segments(tuple(caps), tuple(enumerate(weights)))
    possible = any(
        all(
            sum(w for w, at in zip(pieces, where, strict=True) if at == n) <= cap
            for n, cap in enumerate(caps)
        )
        for where in product(range(len(caps)), repeat=len(pieces))
    )
    assert (form.excess(counts) == 0) == possible
    if not possible:
        assert form.excess(counts) is None
        with pytest.raises(ValueError, match="cannot be cut from one stick"):
            form.arrange(counts)
        return
    rows = form.arrange(counts)
    assert all(sum(weights[i] for i, *_ in row) <= cap for row, cap in zip(rows, caps, strict=True))
    assert sorted(weights[i] for row in rows for i, *_ in row) == sorted(pieces)


def test_a_segment_holds_more_pieces_than_calls_can_be_nested() -> None:
    form = Segments((1_500, 1_500), ((0, 1), (1, 2)))
    counts = ((0, 1_000), (1, 1_000))
    assert form.excess(counts) == 0
    assert sum(len(row) for row in form.arrange(counts)) == 2_000


def test_rows_too_many_to_try_are_laid_one_by_one_and_prove_nothing() -> None:
    """Five parts of angle, which does not turn: forty of each lie no longer than square, in a row as long as told."""
    cut = INCH // 16
    ends = (("45", "30"), ("30", "45"), ("15", "30"), ("45", "0"), ("30", "15"))
    parts = [mitred_part("angle 2 x 2 x 1/4", a, b, "same", "wide", True, 4) for a, b in ends]
    whole = mitred_ends(stick(parts, cut), {i: (part,) for i, part in enumerate(parts)})
    assert isinstance(whole.form, Mitres)
    weights = dict(zip(whole.items, whole.weights, strict=True))
    few, many = (tuple((i, n) for i in range(len(parts))) for n in (2, 40))
    assert whole.form.is_settled(few)
    assert not whole.form.is_settled(many)
    row = whole.form.row(many)
    assert [sum(i == item for item, *_ in row) for i in range(len(parts))] == [40] * len(parts)
    ways = [[pair for pair, _ in ways_of(one)] for one in parts]
    lain = [(parts[i].extent, *ways[i][way]) for i, _, way in row]
    gaps = sum(gap(one[2], other[1], cut) for one, other in pairwise(lain))
    taken = sum(extent for extent, *_ in lain) + gaps + cut
    assert taken == sum(weights[i] * n for i, n in many) + whole.form.excess(many)
    assert taken < sum(40 * (one.extent + cut) for one in parts)


def test_places_that_were_not_all_tried_prove_nothing(monkeypatch: pytest.MonkeyPatch) -> None:
    """Two segments of 12 hold 5, 4, 3 beside 4, 4, 4; the search by falling length tries 5, 4 beside 4, 4 and ends."""
    weights = ((0, 3), (1, 4), (2, 5))
    counts = ((0, 1), (1, 4), (2, 1))
    whole = Stock(source=0, length=24, kerf=0, capacity=24, cost=100, items=(0, 1, 2))
    certificate = Certificate(10, (125, 166, 208), (0,))
    items = tuple(Item(length=weight, demand=n) for (_, weight), (_, n) in zip(weights, counts, strict=True))
    budget = Budget(None, 100, Silent())

    def listed() -> list[Pattern] | None:
        problem = Problem(items, (Source(),), (replace(whole, form=Segments((12, 12), weights, room=24)),))
        found = list_patterns(Pricer(problem, 10), certificate, 100, 1_000, budget)
        return None if found is None else [pattern for part in found for pattern in part.patterns()]

    assert Pattern(0, counts) in (listed() or [])
    monkeypatch.setattr(form_module, "_MOST_STEPS", 3)
    assert listed() is None


@given(some_parts(3), st.data(), st.lists(st.integers(20, 50), min_size=2, max_size=2))
@settings(max_examples=30, deadline=None)
def test_mitred_pieces_in_segments_take_what_their_rows_take(
    parts: list[Part], data: st.DataObject, inches: list[int]
) -> None:
    """Each segment holds its row; the excess is the least over all ways to part the pieces."""
    cut = INCH // 16
    numbers = data.draw(st.lists(st.integers(0, 2), min_size=len(parts), max_size=len(parts)))
    counts = tuple((i, n) for i, n in enumerate(numbers) if n)
    whole = mitred_ends(stick(parts, cut), {i: (part,) for i, part in enumerate(parts)})
    if not counts or sum(n for _, n in counts) > 4 or not isinstance(whole.form, Mitres):
        return
    caps = tuple(n * INCH for n in inches)
    weights = dict(zip(whole.items, whole.weights, strict=True))
    form = Segments(caps, tuple(weights.items()), whole.form)
    best: int | None = None
    pieces = [i for i, n in counts for _ in range(n)]
    for where in product(range(2), repeat=len(pieces)):
        total, fits = 0, True
        for n, cap in enumerate(caps):
            held = [i for i, at in zip(pieces, where, strict=True) if at == n]
            part = tuple((i, held.count(i)) for i in sorted(set(held)))
            taken = shortest(parts, part, cut) if part else 0
            total, fits = total + taken, fits and taken <= cap
        if fits:
            best = total if best is None else min(best, total)
    excess = form.excess(counts)
    weighed = sum(n * weights[i] for i, n in counts)
    assert (None if excess is None else weighed + excess) == best


def test_what_is_forgotten_to_save_memory_is_found_again(monkeypatch: pytest.MonkeyPatch) -> None:
    parts = [
        mitred_part("tube 2 x 2 x 1/8", "45", "0", "opposite", "wide", True, 20),
        mitred_part("tube 2 x 2 x 1/8", "45", "30", "opposite", "wide", True, 10),
    ]
    asked = [(n, m) for n in range(4) for m in range(4)]

    def form() -> Mitres:
        found = mitred_ends(stick(parts, INCH // 16), {i: (p,) for i, p in enumerate(parts)}).form
        assert isinstance(found, Mitres)
        return found

    remembering, forgetful = form(), form()
    assert len(remembering.classes) == 2
    all_kept = [remembering.least_gaps(numbers) for numbers in asked]
    monkeypatch.setattr(mitres, "_MOST_KEPT", 2)
    assert [forgetful.least_gaps(numbers) for numbers in asked] == all_kept
    assert len(forgetful._least) <= 3 < len(remembering._least)
