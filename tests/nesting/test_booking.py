"""A plan as the ledger books it: every stick and sheet once, every part from one of them, nothing ordered twice."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable
from dataclasses import replace
from decimal import Decimal
from pathlib import Path

import pytest

from nesting.booking import _plate_of, fingerprint, finish, rests_of, uses_of
from nesting.plan import Plan
from nesting.report.order import order_of
from nesting.report.saw_list import saw_list
from nesting.report.sheet_list import sheet_list
from stock.material import fits_flat, parse_material
from stock.rack.acts import put
from stock.rack.booking import book, booking_of, traced, unbook
from stock.rack.ledger import Ledger
from stock.rack.record import NewPiece
from stock.rack.verify import verify
from tests.nesting.made import inch_plan, metric_plan, mixed_plan
from tests.nesting.made_mitres import frame_plan, mixed_mitres_plan
from tests.nesting.made_parted import parted_plan
from tests.nesting.made_sheets import plate_plan

PLANS = [inch_plan, metric_plan, mixed_plan, frame_plan, mixed_mitres_plan, parted_plan, plate_plan]


def _laid(plan: Plan) -> Counter[str]:
    """How many copies of each part the layouts hold."""
    found: Counter[str] = Counter()
    for group in plan.groups:
        for layout in (*group.layouts, *group.sheets):
            for piece in layout.pieces:
                found[piece.mark] += layout.times
    return found


@pytest.mark.parametrize("make", PLANS)
def test_every_part_comes_from_a_piece_and_every_piece_has_its_number_once(make: Callable[[], Plan]) -> None:
    plan = make()
    uses = uses_of(plan)
    marks: Counter[str] = Counter()
    for use in uses:
        marks.update(dict(use.marks))
    assert marks == _laid(plan)
    assert len({(use.kind, use.number) for use in uses}) == len(uses)
    for kind in ("stick", "sheet"):
        numbers = sorted(use.number for use in uses if use.kind == kind)
        assert numbers == list(range(1, len(numbers) + 1))
    taken = [use.takes.id for use in uses if use.takes]
    assert sorted(taken) == sorted(take.piece.id for take in order_of(plan).rack)


@pytest.mark.parametrize(
    "make", [inch_plan, metric_plan, mixed_plan, frame_plan, mixed_mitres_plan, plate_plan]
)
def test_what_is_ordered_is_what_is_bought_at_its_price(make: Callable[[], Plan]) -> None:
    plan = make()
    ordered = [use.orders for use in uses_of(plan) if use.orders]
    bought = {(line.offer.material, line.length, line.width): line for line in order_of(plan).lines}
    assert len(ordered) == sum(line.count for line in bought.values())
    for new in ordered:
        line = bought[new.material, new.length, new.width]
        assert new.value == (line.unit_price or Decimal(0))


def test_each_segment_that_is_carried_home_is_a_piece_with_its_share_of_the_price() -> None:
    plan = parted_plan()
    (group,) = plan.groups
    ordered = [use.orders for use in uses_of(plan) if use.orders]
    taken = [
        (segment, parting.length)
        for parting in group.partings
        for segment, is_taken in zip(parting.segments, parting.taken, strict=True)
        if is_taken
        for _ in range(parting.times)
    ]
    uncut = Counter({p.length: p.count for p in group.purchases})
    for parting in group.partings:
        uncut[parting.length] -= parting.times
    assert Counter(new.length for new in ordered) == Counter(segment for segment, _ in taken) + uncut
    whole = {p.length: p.unit_price for p in group.purchases}
    assert taken
    for segment, length in taken:
        price = whole[length]
        assert price is not None
        share = [new.value for new in ordered if new.length == segment]
        assert all(0 <= price * segment / length - value < Decimal("0.01") for value in share)


@pytest.mark.parametrize("make", PLANS)
def test_any_plan_is_booked_and_unbooked_whole(make: Callable[[], Plan], tmp_path: Path) -> None:
    plan = make()
    with Ledger(tmp_path / "rack.sqlite", create=True) as ledger:
        if plan.job.rack:
            put(ledger, [_new(plan, at) for at in range(len(plan.job.rack))])
        version, shelf = ledger.shelf()
        plan = replace(plan, job=replace(plan.job, rack_at=version))
        uses = uses_of(plan)
        booking = book(ledger, fingerprint(plan), plan.job.name, plan.job.rack_at, uses)
        assert booking_of(ledger, fingerprint(plan)) == booking
        assert len(booking.pieces) == len(set(booking.pieces.values())) == len(uses)
        assert Counter({row.mark: 0 for row in traced(ledger)}).keys() == _laid(plan).keys()
        unbook(ledger, fingerprint(plan))
        assert ledger.shelf()[1] == shelf
        assert verify(ledger).faults == ()


@pytest.mark.parametrize("make", PLANS)
def test_what_is_kept_comes_back_once_when_all_is_cut(make: Callable[[], Plan], tmp_path: Path) -> None:
    plan = make()
    with Ledger(tmp_path / "rack.sqlite", create=True) as ledger:
        if plan.job.rack:
            put(ledger, [_new(plan, at) for at in range(len(plan.job.rack))])
        plan = replace(plan, job=replace(plan.job, rack_at=ledger.version()))
        rests = rests_of(plan)
        assert finish(ledger, plan, rests) == ()
        booking = book(ledger, fingerprint(plan), plan.job.name, plan.job.rack_at, uses_of(plan))
        ids = finish(ledger, plan, rests)
        uncut = sum(not use.marks for use in uses_of(plan))
        kept = sum(stick.layout.times for stick in saw_list(plan).cut if stick.layout.keep)
        kept += sum(sheet.layout.times * len(sheet.layout.offcuts) for sheet in sheet_list(plan).cut)
        assert len(ids) == kept
        assert Counter(held.state.length for held in ledger.find(ids)) == Counter(
            rest.length for of_one in rests.values() for rest in of_one
        )
        assert finish(ledger, plan, rests) == ()
        assert len(ledger.held(("taken",))) == len(booking.pieces) - uncut
        assert verify(ledger).faults == ()


def test_a_strip_of_a_flat_bar_is_plate_of_its_thickness() -> None:
    for text, unit in (("flat 3/8 x 8", "in"), ("stainless flat 1/4 x 2", "in"), ("flat 40 x 5", "mm")):
        flat = parse_material(text, unit=unit)
        plate = _plate_of(flat, unit)
        assert plate.is_plate
        assert fits_flat(plate, flat)


def _new(plan: Plan, at: int) -> NewPiece:
    piece = plan.job.rack[at]
    return NewPiece(
        material=piece.material,
        unit=plan.job.shop.unit,
        length=piece.length,
        width=piece.width,
        clean_ends=piece.clean_ends,
        place=piece.place,
        heat=piece.heat,
        value=piece.value,
        id=piece.id,
    )


def test_a_plan_has_one_fingerprint_and_another_plan_another() -> None:
    plan = inch_plan()
    assert fingerprint(plan) == fingerprint(inch_plan())
    assert fingerprint(plan) != fingerprint(replace(plan, weight_kg=plan.weight_kg + 1))
