"""What the check finds on a sheet, against looking at every pair."""

from __future__ import annotations

from dataclasses import replace
from itertools import combinations

from hypothesis import given, settings
from hypothesis import strategies as st

from nesting.check import check_plan
from nesting.check.regions import CutUp, is_inside, near_to, too_near
from nesting.job import Shop
from nesting.plan import Placed, Rect, StraightCut
from tests.nesting.check.on_sheets import INCH, on, parts_of, plan_of, sheet_job, sheet_offer

rects = st.builds(Rect, st.integers(0, 20), st.integers(0, 20), st.integers(1, 8), st.integers(1, 8))


def is_near(one: Rect, other: Rect, apart: int) -> bool:
    """Whether two rectangles are less than `apart` from each other along both axes, by the rule's text."""
    gap_x = max(other.x - (one.x + one.length), one.x - (other.x + other.length))
    gap_y = max(other.y - (one.y + one.width), one.y - (other.y + other.width))
    return gap_x < apart and gap_y < apart


@given(st.lists(rects, max_size=12), st.integers(0, 4))
def test_a_pair_too_near_is_found_whenever_there_is_one(some: list[Rect], apart: int) -> None:
    """Every pair that is named is too near, and every rectangle too near to one before it is named."""
    due = {(a, b) for (a, one), (b, other) in combinations(enumerate(some), 2) if is_near(one, other, apart)}
    found = set(too_near(some, apart))
    assert found <= due
    assert bool(found) == bool(due)


@given(rects, st.lists(rects, max_size=8), st.integers(0, 4))
def test_the_first_that_is_too_near_to_one_is_found(one: Rect, some: list[Rect], apart: int) -> None:
    """Its number, or None if none is."""
    due = [n for n, other in enumerate(some) if is_near(one, other, apart)]
    assert near_to(one, some, apart) == (due[0] if due else None)


@given(st.data(), st.integers(0, 3))
def test_straight_cuts_leave_regions_a_kerf_apart(data: st.DataObject, kerf: int) -> None:
    """However a sheet is cut, its regions lie inside it, a kerf apart, and none is lost but by a kerf at an edge."""
    whole = Rect(0, 0, data.draw(st.integers(2, 30)), data.draw(st.integers(2, 30)))
    cuts: list[StraightCut] = []
    for _ in range(data.draw(st.integers(0, 6))):
        done = CutUp(whole, cuts, kerf, Shop())
        region = data.draw(st.sampled_from(sorted(done.left)))
        axis = data.draw(st.sampled_from(("across", "along")))
        extent = region.length if axis == "across" else region.width
        if extent > 1:
            cuts.append(StraightCut(region=region, axis=axis, stop=data.draw(st.integers(1, extent - 1))))
    done = CutUp(whole, cuts, kerf, Shop())
    assert done.breaches == []
    left = list(done.left)
    assert all(is_inside(r, whole) and min(r.length, r.width) > 0 for r in left)
    assert not any(is_near(a, b, kerf) for a, b in combinations(left, 2))
    assert len(left) <= len(cuts) + 1
    if kerf == 0:
        assert len(left) == len(cuts) + 1
        assert sum(r.length * r.width for r in left) == whole.length * whole.width


@given(
    st.lists(rects, min_size=1, max_size=5),
    st.lists(rects, max_size=2),
    st.integers(0, 3),
    st.integers(0, 2),
    st.integers(0, 2),
)
@settings(max_examples=300, deadline=None)
def test_torch_sheets_pass_exactly_if_the_rules_hold(
    places: list[Rect], kept: list[Rect], clearance: int, edge: int, kerf: int
) -> None:
    """Pieces and offcuts thrown on a sheet of 24 x 22 anyhow: a breach if and only if a pair or an edge says so."""
    unit = INCH // 4
    places, kept = (
        [Rect(*(n * unit for n in (r.x, r.y, r.length, r.width))) for r in s] for s in (places, kept)
    )
    pieces = tuple(Placed(mark=f"P{n}", place=r, turned=False) for n, r in enumerate(places))
    sheet = replace(sheet_offer(1, 1), length=24 * unit, longest=24 * unit, width=22 * unit)
    shop = Shop(
        clearance=clearance * unit,
        edge=edge * unit,
        torch_kerf=kerf * unit,
        keep_length=3 * unit,
        keep_width=2 * unit,
    )
    whole, apart = Rect(0, 0, 24 * unit, 22 * unit), max(clearance, kerf) * unit
    room = Rect(edge * unit, edge * unit, (24 - 2 * edge) * unit, (22 - 2 * edge) * unit)
    holds = all(is_inside(r, room) for r in places) and all(is_inside(r, whole) for r in kept)
    holds &= not any(is_near(a, b, apart) for a, b in combinations(places, 2))
    holds &= not any(is_near(a, b, apart) for a in places for b in kept)
    holds &= not any(is_near(a, b, 0) for a, b in combinations(kept, 2))
    holds &= all(max(r.length, r.width) >= 3 * unit and min(r.length, r.width) >= 2 * unit for r in kept)
    job = sheet_job(parts_of(pieces), (sheet,), shop=shop)
    plan = plan_of(job, (on(sheet, pieces, "torch", offcuts=tuple(kept)),))
    assert (check_plan(plan) == ()) == holds
