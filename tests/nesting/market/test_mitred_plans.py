"""Plans of mitred parts: the worked example, never dearer than square, and as cheap as trying everything finds."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from functools import cache
from itertools import pairwise, product

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from nesting.check import check_plan
from nesting.job import Job, Part, Saw, Shop
from nesting.market import make_plan
from nesting.plan import GroupPlan, Plan
from nesting.read.mitre import mitred_extent
from stock.length import PER_INCH
from stock.material import Material, parse_material
from stock.offer import Basis, Yard
from stock.rack import RackPiece
from tests.nesting.bars.rows import shortest
from tests.nesting.market.asked import COUNTED, FOOT, INCH, TUBE, job, offer

SQUARE = Decimal(0)
MITRE = Decimal(45)


def mitred(mark: str, qty: int, length: int, ends: tuple[object, object] = (45, 45), **given: object) -> Part:
    """A part by its longest length."""
    values: dict[str, object] = {"material": TUBE, "lean": "opposite", "plane": "wide"} | given
    material, lean, plane = values["material"], values["lean"], values["plane"]
    assert isinstance(material, Material)
    end_a, end_b = (Decimal(str(e)) for e in ends)
    extent = mitred_extent(length, material.depth(str(plane)), (end_a, end_b), lean, "long")  # type: ignore[arg-type]
    return Part(mark=mark, qty=qty, length=length, extent=extent, end_a=end_a, end_b=end_b, **values)  # type: ignore[arg-type]


def planned(asked: Job) -> tuple[Plan, GroupPlan]:
    """A plan without breaches, and its one group."""
    plan = make_plan(asked, COUNTED)
    assert check_plan(plan) == ()
    (group,) = plan.groups
    return plan, group


def laid_square(asked: Job) -> Job:
    """The job with every part as long as its longest points, both ends square."""
    square = (replace(p, length=p.extent, end_a=SQUARE, end_b=SQUARE) for p in asked.parts)
    return replace(asked, parts=tuple(square))


@pytest.mark.parametrize(("inches", "sticks"), [("90.266", 1), ("90.265", 2)])
def test_four_frame_sides_nest_to_the_end_of_a_stick(inches: str, sticks: int) -> None:
    """Four 24 in long-point pieces of 2 in tube, both ends 45 and opposite, kerf 1/16: 90.265165 in if the last long
    point falls at the stick's end (derived in our trade notes: 4 x 22 + 2 + 3 x 1/16 / cos 45)."""
    length = int(Decimal(inches) * PER_INCH)
    side = mitred("SIDE", 4, 24 * INCH)
    _, group = planned(job([side], [offer(1, length, "10.00", clean_ends=2)], INCH // 16))
    assert sum(layout.times for layout in group.layouts) == sticks
    assert group.stopped == "proved"


def test_the_offcut_behind_a_mitred_end_counts_from_a_helping_square_cut() -> None:
    """As above in a stick of 100 in: 90.327665 in are gone, one kerf more."""
    side = mitred("SIDE", 4, 24 * INCH)
    _, group = planned(job([side], [offer(1, 100 * INCH, "10.00", clean_ends=2)], INCH // 16))
    (layout,) = group.layouts
    assert round((100 * INCH - layout.rest) / INCH, 5) == 90.32767
    assert layout.pieces[0].start == 0
    steps = {round((b.start - a.start) / INCH, 4) for a, b in pairwise(layout.pieces)}
    assert steps == {22.0884}
    assert {(a.first, a.roll) for a in layout.pieces} == {("a", 0), ("b", 0)}


def test_angle_frames_are_laid_square_as_angles_cannot_be_turned() -> None:
    angle = parse_material("angle 2 x 2 x 1/4", unit="in")
    side = mitred("SIDE", 4, 24 * INCH, material=angle)
    _, group = planned(job([side], [offer(1, 98 * INCH, "10.00", clean_ends=2, material=angle)], INCH // 16))
    (layout,) = group.layouts
    assert [piece.start for piece in layout.pieces] == [n * (24 * INCH + INCH // 16) for n in range(4)]
    assert group.bound.proof == "duals"
    assert group.stopped == "proved"


def test_a_saw_that_cannot_be_set_to_the_angle_cuts_the_other_parts_alone() -> None:
    """The chop saw stops at 45: the 60 degree brace is cut on the band saw, whose kerf is thinner and trim longer."""
    brace, rail = mitred("BRACE", 2, 30 * INCH, (60, 60)), mitred("RAIL", 2, 40 * INCH, (0, 45))
    saws = (
        Saw(name="chop", kerf=INCH // 8, trim=INCH // 8, max_angle=MITRE),
        Saw(name="band", kerf=INCH // 16, trim=2 * INCH),
    )
    _, group = planned(job([brace, rail], [offer(1, 12 * FOOT, "10.00")], saws=saws))
    for layout in group.layouts:
        if any(piece.mark == "BRACE" for piece in layout.pieces):
            assert layout.saw == "band"
    assert group.stopped == "proved"


@st.composite
def mitred_jobs(draw: st.DrawFn) -> Job:
    """Up to three kinds of parts, most of them mitred, from sticks, a rack, sticks cut to length and parted ones."""
    material = draw(st.sampled_from([TUBE, TUBE, TUBE, parse_material("angle 2 x 2 x 1/4", unit="in")]))
    angles = st.sampled_from([0, 45, 45, "22.5", 60])
    parts = []
    for n in range(draw(st.integers(1, 3))):
        ends = draw(angles), draw(angles)
        more = {"lean": draw(st.sampled_from(["opposite", "opposite", "same"]))}
        more["plane"] = draw(st.sampled_from(["wide", "wide", "narrow"]))
        size = draw(st.integers(20, 60)) * INCH
        parts.append(mitred(f"P{n}", draw(st.integers(1, 4)), size, ends, material=material, **more))
    offers = [
        offer(
            1,
            draw(st.sampled_from([8, 10, 20])) * FOOT,
            "31.00",
            clean_ends=draw(st.integers(0, 2)),
            material=material,
        )
    ]
    if draw(st.booleans()):
        price = f"{draw(st.integers(28, 42)) / 10:.2f}"
        charge = draw(st.sampled_from([None, Decimal("0.75")]))
        offers.append(
            offer(2, 12 * FOOT, price, Basis.FOOT, material=material, available=2, cut_to_length=charge)
        )
    rack = [RackPiece(id="R1", material=material, length=draw(st.integers(30, 90)) * INCH, clean_ends=2)]
    haul = draw(st.sampled_from([None, None, 7 * FOOT]))
    yard = Yard(name="North", haul_limit=haul, cut_charge=Decimal("1.50"), cut_kerf=INCH // 8)
    shop = Shop(offcut_share=Decimal(draw(st.sampled_from(["0", "0.5"]))))
    return job(
        parts, offers, INCH // 16, rack=tuple(rack[: draw(st.integers(0, 1))]), yards=(yard,), shop=shop
    )


@given(mitred_jobs())
@settings(max_examples=25, deadline=None)
def test_a_mitred_plan_is_sound_and_never_dearer_than_its_parts_laid_square(asked: Job) -> None:
    """Whatever else the job asks: rack, scarce sticks, sticks cut to length, yard cuts, offcuts with a value."""
    _, group = planned(asked)
    _, square = planned(laid_square(asked))
    assert group.bound.value <= square.cost
    if square.stopped == "proved" and group.stopped == "proved":
        assert group.cost <= square.cost


def test_pieces_worth_less_than_their_own_material_are_left_out_of_a_list_not_the_list_cut_short() -> None:
    """Too wide for a table and partly cut to length: the list of patterns once missed the cheapest plan, 42.08."""
    parts = [
        mitred("P0", 4, 49 * INCH, (0, 60)),
        mitred("P1", 1, 26 * INCH, (0, 0)),
        mitred("P2", 1, 25 * INCH, (0, 60)),
    ]
    cut = offer(2, 12 * FOOT, "2.80", Basis.FOOT, available=2, cut_to_length=Decimal("0.75"))
    yard = Yard(name="North", haul_limit=7 * FOOT, cut_charge=Decimal("1.50"), cut_kerf=INCH // 8)
    _, group = planned(job(parts, [offer(1, 20 * FOOT, "31.00"), cut], INCH // 16, yards=(yard,)))
    assert group.cost == Decimal("42.08")


@given(st.data())
@settings(max_examples=15, deadline=None)
def test_a_proved_plan_is_as_cheap_as_trying_every_way_to_share_the_pieces_out(data: st.DataObject) -> None:
    """Up to six pieces, sticks of one length: all ways to share them out, each stick by its best row."""
    angles = st.sampled_from([(45, 45), (45, 0), (0, 0), (30, 45)])
    parts = [
        mitred(f"P{n}", 1, data.draw(st.integers(20, 44)) * INCH, data.draw(angles))
        for n in range(data.draw(st.integers(2, 5)))
    ]
    length = data.draw(st.integers(60, 100)) * INCH
    _, group = planned(job(parts, [offer(1, length, "10.00", clean_ends=2)], INCH // 16))
    assert group.stopped == "proved"
    sticks = sum(layout.times for layout in group.layouts)
    assert sticks == fewest_sticks(parts, length, INCH // 16)


def fewest_sticks(parts: list[Part], length: int, cut: int) -> int:
    """The least number of sticks by trying every way to share the pieces out; the last cut need not be there."""

    @cache
    def fits(held: tuple[int, ...]) -> bool:
        return not held or shortest(parts, tuple((i, 1) for i in held), cut) - cut <= length

    for number in range(1, len(parts) + 1):
        for where in product(range(number), repeat=len(parts)):
            if all(fits(tuple(i for i, at in enumerate(where) if at == n)) for n in range(number)):
                return number
    raise AssertionError("some part fits no stick")
