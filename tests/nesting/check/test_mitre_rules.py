"""Mitred ends in the check: its arithmetic, the turns it allows, and that every broken plan is caught."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import replace
from decimal import Decimal
from fractions import Fraction
from itertools import combinations_with_replacement, permutations, product

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from nesting.check import check_plan
from nesting.check.mitres import (
    Face,
    extent_of,
    faces,
    half_cut,
    least_gap,
    meets_itself,
    on_bar,
    tangent,
    toll,
    turns,
)
from nesting.check.outer import beside, cases, weighed
from nesting.check.pricing import Item, find_above
from nesting.job import Part
from nesting.plan import Bound, Piece, Plan
from stock.length import PER_INCH, PER_MM
from stock.material import parse_material
from tests.nesting.made import bought, finished, group
from tests.nesting.made_mitres import frame_plan, mixed_mitres_plan, with_layout, with_pieces

INCH = PER_INCH
PLANS: list[Callable[[], Plan]] = [frame_plan, mixed_mitres_plan]
ANGLES = [Decimal(text) for text in ("0", "15", "22.5", "30", "45", "60", "78.125")]
TUBE = parse_material("tube 2 x 2 x 1/8", unit="in")
ANGLE = parse_material("L 2 x 2 x 1/8", unit="in")
CHANNEL = parse_material("C 4 x 5.4", unit="in")
FLAT_TUBE = parse_material("tube 3 x 2 x 3/16", unit="in")


def mitred(**given: object) -> Part:
    """A part with its extent from coordinates in floating point, rounded up."""
    values: dict[str, object] = {"mark": "M", "qty": 2, "material": TUBE, "length": 40 * INCH, "extent": 1}
    part = Part(**(values | given))  # type: ignore[arg-type]
    return replace(part, extent=extent_of(part))


parts = st.builds(
    mitred,
    material=st.sampled_from([TUBE, FLAT_TUBE, ANGLE, CHANNEL]),
    length=st.integers(25 * INCH, 60 * INCH),
    end_a=st.sampled_from(ANGLES),
    end_b=st.sampled_from(ANGLES),
    lean=st.sampled_from(["opposite", "same"]),
    plane=st.sampled_from(["wide", "narrow"]),
    measured=st.sampled_from(["long", "short", "centre"]),
    extra_a=st.sampled_from([0, INCH // 8]),
    flip=st.booleans(),
)
kerfs = st.integers(0, INCH // 4)


def test_tangents_are_those_known_from_square_roots() -> None:
    """tan 30 is 1/sqrt 3, tan 15 is 2 - sqrt 3, tan 22.5 is sqrt 2 - 1, tan 60 is sqrt 3 (school trigonometry)."""
    tiny = Fraction(1, 10**50)
    assert abs(3 * tangent(Decimal(30)) ** 2 - 1) < tiny
    assert abs(tangent(Decimal(60)) ** 2 - 3) < tiny
    assert abs((2 - tangent(Decimal(15))) ** 2 - 3) < tiny
    assert abs((tangent(Decimal("22.5")) + 1) ** 2 - 2) < tiny
    assert (tangent(Decimal(0)), tangent(Decimal(45))) == (0, 1)


@given(st.decimals(0, Decimal("89.99"), places=4))
def test_every_tangent_is_that_of_the_maths_library(degrees: Decimal) -> None:
    assert float(tangent(degrees)) == pytest.approx(math.tan(math.radians(float(degrees))), rel=1e-9)


def test_four_frame_sides_take_the_lengths_worked_out_by_hand() -> None:
    """Trade trigonometry: 90.265 in to the last long point, 90.328 with a square cut behind it, 90.354 if that cut is
    made at 45 degrees instead; against 96.1875 + 1/16 with long points end to end."""
    last = frame_plan().groups[0].layouts[0].pieces[-1]
    end = (last.start + last.extent) / INCH
    assert round(end, 3) == 90.265
    assert round(end + 1 / 16, 3) == 90.328
    assert round(end + math.sqrt(2) / 16, 3) == 90.354
    assert check_plan(frame_plan()) == ()


def test_a_mix_of_square_and_mitred_pieces_laid_out_by_hand_is_sound() -> None:
    assert check_plan(mixed_mitres_plan()) == ()


@given(parts)
def test_extents_are_those_of_the_corners(part: Part) -> None:
    """The corners at y = -d/2 and d/2 in floating point, the part measured where it says."""
    assume(not meets_itself(part))
    depth = part.material.depth(part.plane)
    a, b = (math.tan(math.radians(float(angle))) for angle in (part.end_a, part.end_b))
    b = -b if part.lean == "opposite" else b
    edges = [(b - a) * y for y in (-depth / 2, depth / 2)]
    apart = {"long": max(edges), "short": min(edges), "centre": 0.0}[part.measured]
    centre = part.length - apart
    far = max(centre + b * y for y in (-depth / 2, depth / 2))
    near = min(a * y for y in (-depth / 2, depth / 2))
    assert -1e-3 < part.extent - (far - near + part.extra_a) < 1 + 1e-3


@given(parts, parts, kerfs, st.sampled_from([0, 1, 2, 3]), st.sampled_from("ab"))
def test_neighbours_are_as_near_as_real_cuts_allow(
    one: Part, other: Part, kerf: int, roll: int, first: str
) -> None:
    """From the outlines: nothing is nearer along the bar than a slanted cut takes, or a square cut lies between."""
    before, after = faces(one)[1], faces(other, first, roll)[0]
    gap = least_gap(before, after, kerf)
    assert gap <= kerf
    for ticks, fine in ((gap, True), (gap - 1, False)):
        assert _cuts_free(before, after, kerf, ticks) == fine


def _cuts_free(before: Face, after: Face, kerf: int, gap: int) -> bool:
    """Whether one cut, or a square cut and then both, part two faces whose points are so far apart."""
    if gap >= kerf:
        return True
    if before.plane != after.plane:
        return False
    depth = max(before.depth, after.depth)
    s, t = float(before.slope), float(after.slope)
    centres = gap + (abs(s) * before.depth + abs(t) * after.depth) / 2
    nearest = min(centres + (t - s) * y for y in (-depth / 2, depth / 2))
    return any(nearest >= kerf * math.hypot(1, slope) - 1e-4 for slope in (s, t))


def test_which_turns_are_legal_follows_from_the_section() -> None:
    """What maps each section onto itself, as (end first, quarter turns)."""

    def of(text: str, **given: object) -> set[tuple[str, int]]:
        return set(turns(mitred(material=parse_material(text, unit="in"), end_a=Decimal(30), **given)))

    every = set(product("ab", range(4)))
    halves = set(product("ab", (0, 2)))
    assert of("tube 2 x 2 x 1/8") == of("square 1") == of("round 3/4") == every
    assert of("tube 3 x 2 x 3/16") == of("flat 1/4 x 2") == halves
    assert of("L 2 x 2 x 1/8") == {("a", 0)}
    assert of("C 4 x 5.4", plane="wide") == {("a", 0), ("b", 0)}
    assert of("C 4 x 5.4", plane="narrow") == {("a", 0), ("b", 2)}
    assert of("tube 2 x 2 x 1/8", flip=False) == {("a", 0), ("b", 0)}
    assert of("C 4 x 5.4", plane="narrow", flip=False) == {("a", 0)}


def test_turns_move_the_faces_as_turning_a_bar_does() -> None:
    """End for end keeps each slope and swaps the ends; half a roll turns both slopes; four quarters change nothing."""
    part = mitred(end_a=Decimal(30), end_b=Decimal(45))
    a, b = tangent(Decimal(30)), Fraction(1)

    def slopes(first: str, roll: int) -> tuple[Fraction, Fraction, str]:
        near, far = faces(part, first, roll)
        return near.slope, far.slope, near.plane

    assert slopes("a", 0) == (a, -b, "wide")
    assert slopes("b", 0) == (-b, a, "wide")
    assert slopes("a", 2) == (-a, b, "wide")
    assert slopes("a", 1) == (a, -b, "narrow")
    assert slopes("a", 3) == (-a, b, "narrow")
    assert slopes("a", 4) == slopes("a", 0)


@pytest.mark.parametrize("plan", PLANS)
@pytest.mark.parametrize("ticks", [-1, 1])
def test_a_piece_shifted_by_a_tick_is_caught(plan: Callable[[], Plan], ticks: int) -> None:
    pieces = plan().groups[0].layouts[0].pieces
    for at, piece in enumerate(pieces):
        moved = (*pieces[:at], replace(piece, start=piece.start + ticks), *pieces[at + 1 :])
        assert any("start of piece" in breach for breach in check_plan(with_pieces(plan(), moved)))


@pytest.mark.parametrize("plan", PLANS)
def test_pieces_turned_into_the_way_of_their_neighbour_are_caught(plan: Callable[[], Plan]) -> None:
    """Each mitred piece turned by half a roll where it lies."""
    pieces = plan().groups[0].layouts[0].pieces
    parts_of = {p.mark: p for p in plan().job.parts}
    for at, piece in enumerate(pieces):
        if parts_of[piece.mark].is_mitred:
            turned = (*pieces[:at], replace(piece, roll=2 - piece.roll), *pieces[at + 1 :])
            assert any("start of piece" in breach for breach in check_plan(with_pieces(plan(), turned)))


def test_neighbours_swapped_are_caught() -> None:
    """Every two unlike neighbours of the mix, each in the place of the other."""
    plan = mixed_mitres_plan()
    pieces = plan.groups[0].layouts[0].pieces
    for at in (0, 2, 3):
        one, other = pieces[at : at + 2]
        swapped = (replace(other, start=one.start), replace(one, start=one.start + other.extent + INCH // 8))
        assert check_plan(with_pieces(plan, (*pieces[:at], *swapped, *pieces[at + 2 :])))


@pytest.mark.parametrize("plan", PLANS)
def test_a_rest_that_is_not_left_is_caught(plan: Callable[[], Plan]) -> None:
    layout = plan().groups[0].layouts[0]
    for ticks in (-1, 1, INCH):
        lied = with_layout(plan(), replace(layout, rest=layout.rest + ticks))
        assert any("rest is" in breach for breach in check_plan(lied))


def test_a_part_that_must_not_be_turned_over_is_not() -> None:
    """The frame lays every other side upside down."""
    plan = frame_plan()
    job = replace(plan.job, parts=tuple(replace(p, flip=False) for p in plan.job.parts))
    breaches = check_plan(replace(plan, job=job))
    assert any(
        "piece 2, part SIDE, lies with end a first and rolled by 2 quarter turns" in b for b in breaches
    )
    assert any("it must not be turned over" in b for b in breaches)


def test_an_extent_that_is_not_what_the_mitres_take_is_caught() -> None:
    plan = mixed_mitres_plan()
    brace = replace(plan.job.parts[1], extent=plan.job.parts[1].extent - 1)
    job = replace(plan.job, parts=(plan.job.parts[0], brace, *plan.job.parts[2:]))
    assert any("part BRACE: extent is" in breach for breach in check_plan(replace(plan, job=job)))


def test_an_angle_that_is_none_is_caught_before_it_is_reckoned_with() -> None:
    plan = frame_plan()
    job = replace(plan.job, parts=(replace(plan.job.parts[0], end_a=Decimal(90)),))
    assert check_plan(replace(plan, job=job)) == (
        "job, part SIDE: end_a is 90 degrees, but must be 0 or more and below 90",
    )


def _taken(row: tuple[tuple[Face, Face, int], ...], kerf: int) -> int:
    """Ticks from the first point of a row to the end of the cut behind its last."""
    gaps = sum(least_gap(row[n][1], row[n + 1][0], kerf) for n in range(len(row) - 1))
    return sum(extent for *_, extent in row) + gaps + kerf


@given(st.lists(parts, min_size=1, max_size=3, unique_by=lambda p: (p.end_a, p.end_b)), kerfs, st.data())
def test_no_row_of_pieces_takes_less_than_its_case_says(
    some: list[Part], kerf: int, data: st.DataObject
) -> None:
    """All sequences and turns of up to three pieces against the least that the pricing takes them to need."""
    named = [on_bar(replace(part, mark=str(n), qty=3), some[0].material) for n, part in enumerate(some)]
    marks = [str(n) for n in range(len(named))]
    chosen = data.draw(st.sampled_from(list(combinations_with_replacement(marks, 3))))
    picked = [next(p for p in named if p.mark == mark) for mark in chosen]
    ways = [[(*faces(p, *turn), p.extent) for turn in sorted(turns(p))[:4]] for p in picked]
    least = min(_taken(row, kerf) for order in permutations(ways) for row in product(*order))
    for others in (None, beside(named)):
        fits = False
        for case in cases([weighed(p, p.extent, kerf, others) for p in named]):
            items = [Item(w.weight, 1, chosen.count(w.part.mark), 1, ends) for w, ends in case.parts]
            fits = fits or find_above(items, least - case.taken, 2, None, case.ends) is not None
        assert fits


@given(st.sampled_from(ANGLES), st.integers(1, INCH), st.integers(0, INCH))
def test_no_outer_end_and_no_half_cut_takes_less_than_nothing(
    degrees: Decimal, depth: int, kerf: int
) -> None:
    face = Face(tangent(degrees), depth, "wide")
    assert toll(face, kerf) >= 0
    assert half_cut(face, kerf) >= Fraction(kerf, 2)


@given(
    st.sampled_from(ANGLES),
    st.sampled_from(ANGLES),
    st.integers(1, INCH),
    st.integers(0, INCH),
    st.booleans(),
)
def test_half_cuts_never_take_more_than_neighbours_do(
    one: Decimal, other: Decimal, depth: int, kerf: int, opposed: bool
) -> None:
    """Whatever the angles, and also where the saw is wider than the bar is deep."""
    near = Face(tangent(one), depth, "wide")
    far = Face(-tangent(other) if opposed else tangent(other), depth, "wide")
    between = least_gap(near, far, kerf) + near.half + far.half
    assert between + Fraction(1, 10**20) >= half_cut(near, kerf) + half_cut(far, kerf)


@given(
    st.lists(
        st.tuples(st.integers(1, 20), st.integers(1, 30), st.integers(1, 3), st.integers(0, 2)), max_size=4
    ),
    st.integers(0, 60),
    st.sampled_from([(0, 2**31), (1, 1), (2, 2**31)]),
)
def test_the_pricing_counts_ends_as_counting_every_set_does(
    rows: list[tuple[int, int, int, int]], room: int, ends: tuple[int, int]
) -> None:
    worth = 0
    for numbers in product(*(range(copies + 1) for _, _, copies, _ in rows)):
        totals = [sum(n * row[at] for n, row in zip(numbers, rows, strict=True)) for at in (0, 1, 3)]
        if totals[0] <= room and ends[0] <= totals[2] <= ends[1]:
            worth = max(worth, totals[1])
    items = [Item(weight, value, copies, value, counted) for weight, value, copies, counted in rows]
    assert find_above(items, room, worth, None, ends) is None
    assert worth == 0 or find_above(items, room, worth - 1, None, ends) is not None


def test_sticks_that_hold_mitred_ends_alone_are_priced_with_their_outer_ends() -> None:
    """Frame sides of 24 in: 22 + 1/16 x 1.4142 = 22.0884 each by their weights, and 2 x (1 - 0.0442 + 1/32) more.

    Four of them weigh 88.354 and the outer ends take 1.974: 90.328, as laid out by hand. In a stick of 90.3 in there
    is room for three, so that a third of its price each is a sound certificate, and a little more is none.
    """
    side = frame_plan().job.parts[0]
    one = weighed(side, side.extent, INCH // 16)
    (case,) = cases([one])
    assert round(one.weight / INCH, 4) == 22.0884
    assert round(case.taken / INCH, 3) == 1.974
    room = 903 * INCH // 10 - case.taken
    items = [Item(one.weight, 100, 4, 100, 2)]
    assert find_above(items, room, 300, None, case.ends) is None
    assert find_above(items, room, 299, None, case.ends) is not None
    assert find_above(items, 904 * INCH // 10 - case.taken, 399, None, case.ends) is not None


def test_a_mitre_seen_on_the_narrow_side_is_as_deep_as_that_side() -> None:
    """50 x 30 mm tube, both ends 45 degrees opposite on the narrow side: the short edge is 2 x 30 mm shorter."""
    flat = parse_material("RHS 50 x 30 x 3", unit="mm")
    right = Decimal(45)
    part = mitred(
        material=flat, length=400 * PER_MM, end_a=right, end_b=right, plane="narrow", measured="short"
    )
    assert part.extent == 460 * PER_MM


def test_a_piece_that_begins_before_the_trim_is_caught() -> None:
    """The kerf of the first mitre lies in its own wedge of waste, the trim does not."""
    plan = mixed_mitres_plan()
    pieces = plan.groups[0].layouts[0].pieces
    early = tuple(replace(p, start=p.start - INCH // 8) for p in pieces)
    assert any("start of piece 1 is" in breach for breach in check_plan(with_pieces(plan, early)))


def test_the_last_long_point_may_fall_on_a_clean_end_but_not_beyond() -> None:
    """A stick as long as the frame sides to their last point needs no last kerf; one tick less is too short."""
    plan = frame_plan()
    layout = plan.groups[0].layouts[0]
    last: Piece = layout.pieces[-1]
    for missing, sound in ((0, True), (1, False)):
        length = last.start + last.extent - missing
        offer = replace(plan.job.offers[0], length=length, longest=length)
        short = with_layout(plan, replace(layout, length=length, rest=0))
        breaches = check_plan(replace(short, job=replace(plan.job, offers=(offer,))))
        assert any("end at" in breach for breach in breaches) != sound


def _two_short_sticks(price: int) -> Plan:
    """Three sides and one, each from a stick of 90 in with clean ends; a certificate with a price for each side.

    By their weights four sides take 88.354 in of 90 1/16, but the two outer ends take 1.974 more: three at most.
    Prices of 104000 are a third of a stick each, 416000 together: more than one stick (312000), so two (62.40).
    """
    plan = frame_plan()
    offer = replace(plan.job.offers[0], length=90 * INCH, longest=90 * INCH)
    first = plan.groups[0].layouts[0]
    rows = (first.pieces[:3], (replace(first.pieces[0], start=0),))
    layouts = tuple(
        replace(first, length=90 * INCH, pieces=row, rest=rest, keep=rest >= 12 * INCH)
        for row in rows
        for rest in (90 * INCH - row[-1].start - row[-1].extent - INCH // 16,)
    )
    cost = Decimal("62.40")
    bound = Bound(
        value=cost,
        proof="duals",
        dual_value=cost,
        scale=1,
        part_prices=(("SIDE", price),),
        source_prices=(),
    )
    job = replace(plan.job, offers=(offer,))
    of_tube = group(TUBE.designation, layouts, (bought(offer, 2),), cost, bound)
    return finished(job, (of_tube,))


def test_a_certificate_of_mitred_sticks_holds_because_of_their_outer_ends() -> None:
    """One unit more for each side, and three of them are worth more than their stick."""
    assert check_plan(_two_short_sticks(104_000)) == ()
    breaches = check_plan(_two_short_sticks(104_001))
    assert any("can be cut to parts worth 312003, due is 312000" in breach for breach in breaches)
