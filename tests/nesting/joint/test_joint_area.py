"""The worth of a sheet by area: never below that of pieces on it, exact where pieces could be cut in fractions."""

from __future__ import annotations

from fractions import Fraction
from itertools import product
from math import ceil

from hypothesis import given, settings
from hypothesis import strategies as st

from nesting.joint.area import apart, item_area, most_worth, room_area
from nesting.plates.problem import RectProblem, Region, SheetKind
from nesting.plates.propose import Proposer
from tests.nesting.plates.sound import problems

ITEMS = st.lists(st.tuples(st.integers(1, 12), st.integers(0, 30), st.integers(0, 3)), max_size=4)


def in_fractions(room: int, items: list[tuple[int, int, int]]) -> Fraction:
    """The most that pieces in fractions are worth: the densest first, by plain reasoning."""
    worth = Fraction(0)
    for area, price, number in sorted(items, key=lambda i: Fraction(-i[1], i[0])):
        part = min(Fraction(number), Fraction(room) / area)
        worth += part * price
        room -= ceil(part * area)
        if room <= 0:
            break
    return worth


@given(st.integers(0, 40), ITEMS)
@settings(max_examples=200)
def test_the_worth_by_area_bounds_every_choice_of_pieces(
    room: int, items: list[tuple[int, int, int]]
) -> None:
    areas, prices, numbers = ([i[n] for i in items] for n in range(3))
    found = most_worth(room, areas, prices, numbers)
    choices = product(*(range(n + 1) for n in numbers))
    best = max(
        sum(p * n for p, n in zip(prices, chosen, strict=True))
        for chosen in choices
        if sum(a * n for a, n in zip(areas, chosen, strict=True)) <= room
    )
    assert best <= found
    assert found == ceil(in_fractions(room, items))


@given(problems(), st.integers(0, 9))
@settings(max_examples=80, deadline=None)
def test_pieces_that_lie_on_a_sheet_have_no_more_area_than_its_room(problem: RectProblem, seed: int) -> None:
    """Enlarged by the least distance that any two keep, those on different blanks included."""
    worth, left = [1.0] * len(problem.items), [i.demand for i in problem.items]
    for layout in Proposer(problem, seed).propose(worth, left, 4):
        kind = problem.kinds[layout.kind]
        gap = apart(kind)
        assert gap <= kind.between
        areas = sum(item_area(problem.items[p.item], gap) for p in layout.pieces)
        assert areas <= room_area(kind, gap)


def test_pieces_on_neighbouring_blanks_are_a_cut_and_two_margins_apart() -> None:
    """Blanks one tick apart, margins of 1: pieces 3 apart, though those on one blank keep 5; room by 3 (derived)."""
    blanks = (Region(0, 0, 10, 10), Region(11, 0, 9, 10))
    kind = SheetKind(width=20, height=10, cost=1, between=5, near=(1, 1), far=(1, 1), blanks=blanks)
    assert apart(kind) == 3
    assert room_area(kind, 3) == (20 - 2 + 3) * (10 - 2 + 3)


def test_margins_that_leave_nothing_leave_no_room() -> None:
    kind = SheetKind(width=20, height=10, cost=1, near=(1, 6), far=(1, 6))
    assert room_area(kind, 0) == 0
