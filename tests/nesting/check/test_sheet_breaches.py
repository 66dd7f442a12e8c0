"""Sheets by the rules pass, and whatever is wrong with one is said with its place and numbers."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from decimal import Decimal

import pytest

from nesting.check import check_plan
from nesting.plan import Plan
from tests.nesting.check.on_sheets import (
    INCH,
    bar_piece,
    cut_with,
    group_with,
    line_changed,
    offer_changed,
    part_changed,
    placed_with,
    plain,
    saw_changed,
    sheet_with,
    shifted,
    shop_changed,
    whole_job,
)
from tests.nesting.made_sheets import plate_plan, rect

TORCH, PARTED, RACKED, SAWN, RIPPED = (0, 0), (1, 0), (1, 1), (2, 0), (2, 1)
"""(group, sheet layout) of the sheets of `plate_plan`."""


def groups_joined(plan: Plan) -> Plan:
    """The first two groups made one, everything added up."""
    one, two, *others = plan.groups
    both = replace(
        one,
        marks=one.marks + two.marks,
        sheets=one.sheets + two.sheets,
        purchases=one.purchases + two.purchases,
        cost=one.cost + two.cost,
    )
    return replace(plan, groups=(both, *others))


def group_parted(plan: Plan) -> Plan:
    """The flat bar with what lies on it taken out of the first group."""
    one, *others = plan.groups
    sheets = replace(one, marks=("BP",), layouts=(), purchases=one.purchases[:1], cost=Decimal(58))
    bars = replace(
        one, name="flat", marks=("TAB", "STRAP"), sheets=(), purchases=one.purchases[1:], cost=Decimal("41.2")
    )
    return replace(plan, groups=(sheets, bars, *others))


Break = tuple[Callable[[Plan], Plan], str]
AT = "group plate 1/4, sheet layout 1 (offer 1): "
BREAKS: tuple[Break, ...] = (
    # Where pieces lie under the torch.
    (lambda p: placed_with(p, *TORCH, 0, x=0), AT + "piece 1, part BP, 8 x 6 at (0, 1/4), is less than 1/4 from"),
    (lambda p: placed_with(p, *TORCH, 0, y=INCH // 4 - 1), "is less than 1/4 from the edge"),
    (lambda p: placed_with(p, *TORCH, 4, x=18 * INCH - 1, y=9 * INCH), "offcut 1, 24 x 11 1/4 at"),
    (lambda p: placed_with(p, *TORCH, 4, x=17 * INCH + 3 * INCH // 4 + 1), "from the edge of what lies on the bed"),
    (lambda p: placed_with(p, *TORCH, 4, x=19 * INCH), "lies beyond the edge of the sheet"),
    (lambda p: placed_with(p, *TORCH, 4, x=-INCH), "lies beyond the edge of the sheet"),
    (
        lambda p: placed_with(p, *TORCH, 1, x=17 * INCH // 2 - 1),
        "pieces 1 and 2, parts BP and BP, 8 x 6 at (1/4, 1/4) and 8 x 6 at (~8 1/2 (690879999 ticks), 1/4)",
    ),
    (lambda p: placed_with(p, *TORCH, 2, y=6 * INCH), "are less than 1/4 apart along x and along y"),
    (lambda p: placed_with(p, *TORCH, 1, x=INCH // 4), "are less than 1/4 apart"),
    # What lies there.
    (lambda p: placed_with(p, *TORCH, 0, length=8 * INCH + 1), "part BP, is ~8 ("),
    (lambda p: placed_with(p, *TORCH, 0, width=5 * INCH), AT + "piece 1, part BP, is 8 x 5, due is 8 x 6"),
    (lambda p: placed_with(p, *TORCH, 0, length=-INCH), "is -1 x 6, due is 8 x 6"),
    (lambda p: placed_with(p, *TORCH, 0, turned=True), "piece 1, part BP, is 8 x 6, due is 6 x 8 turned"),
    (lambda p: part_changed(p, "BP", turn="half"), "piece 5, part BP, is turned by a quarter, which it may not"),
    (lambda p: part_changed(p, "BP", process="saw"), AT + "part BP is cut by torch, due is saw"),
    (lambda p: placed_with(p, *TORCH, 0, mark="LID"), AT + "part LID is not of this group"),
    (lambda p: placed_with(p, *TORCH, 0, mark="LID"), "part LID of sheet 14 ga may not be cut from plate 1/4"),
    (lambda p: placed_with(p, *TORCH, 0, mark="Z"), AT + "no part of the job has the mark Z"),
    (lambda p: placed_with(p, *TORCH, 0, mark="STRAP"), "part STRAP is a bar part: it lies on a flat bar that is"),
    (lambda p: placed_with(p, *TORCH, 0, mark="TAB"), "part TAB is made 4 times, due is 3"),
    (lambda p: sheet_with(p, *TORCH, pieces=p.groups[0].sheets[0].pieces[1:]), "part BP is made 4 times, due is 5"),
    (
        lambda p: sheet_with(p, *TORCH, pieces=p.groups[0].sheets[0].pieces * 2),
        "part BP is made 10 times, due is 5",
    ),
    # The sheet.
    (lambda p: sheet_with(p, *TORCH, source="offer 8"), "no offer of the job is called offer 8"),
    (lambda p: sheet_with(p, *TORCH, source_kind="rack"), "no rack of the job is called offer 1"),
    (lambda p: sheet_with(p, *TORCH, source="offer 2"), "size is 24 x 24, due is 240 x 4"),
    (lambda p: sheet_with(p, *TORCH, length=25 * INCH), AT + "size is 25 x 24, due is 24 x 24"),
    (lambda p: sheet_with(p, *TORCH, width=24 * INCH + 1), "due is 24 x 24"),
    (lambda p: sheet_with(p, *TORCH, times=0), AT + "times is 0, due is 1 or more"),
    (lambda p: sheet_with(p, *TORCH, times=2), "part BP is made 10 times, due is 5"),
    (lambda p: sheet_with(p, *TORCH, times=2), "offer 1, length 1950720000 ticks: 1 are bought, due is 2"),
    (lambda p: sheet_with(p, *RACKED, times=2), "times is 2, due is 1 for a piece of the rack"),
    (lambda p: group_with(p, 1, sheets=p.groups[1].sheets + p.groups[1].sheets[1:]), "rack R 3 is used in 2"),
    # Process and saw.
    (lambda p: sheet_with(p, *TORCH, process="shear"), AT + "process is shear, the shop has torch, saw"),
    (lambda p: sheet_with(p, *TORCH, saw="band saw"), AT + "saw is band saw, but its process is torch"),
    (lambda p: sheet_with(p, *SAWN, saw="old saw"), "no saw of the job is called old saw"),
    (lambda p: sheet_with(p, *SAWN, saw=""), "no saw of the job is called"),
    (lambda p: shop_changed(p, processes=("saw",)), AT + "process is torch, the shop has saw"),
    (lambda p: saw_changed(p, max_size=10 * INCH), "saw band saw takes up to 10, the shorter side is 12"),
    (lambda p: sheet_with(p, *SAWN, process="torch", saw=""), "part PAD is cut by torch, due is saw"),
    # Trims.
    (lambda p: sheet_with(p, *SAWN, trims=(0, 0, 0, 0)), "trim of the first end is 0, due is 1/4"),
    (lambda p: sheet_with(p, *SAWN, trims=(*p.groups[2].sheets[0].trims[:3], 0)), "trim of the far edge is 0"),
    (lambda p: sheet_with(p, *RIPPED, trims=(0, 0, 0, 1)), "trim of the far edge is ~0 (1 ticks), due is 0"),
    (lambda p: sheet_with(p, *TORCH, trims=(1, 0, 0, 0)), AT + "trim of the first end is"),
    (lambda p: saw_changed(p, trim=INCH), "trim of the first edge is 1/4, due is 1"),
    (lambda p: saw_changed(p, grip=INCH), "trim of the far end is 0, due is 1 1/8"),
    (lambda p: offer_changed(p, 4, clean_ends=2), "trim of the first end is 1/4, due is 0"),
    (lambda p: offer_changed(p, 5, clean_ends=1), "trim of the far end is 0, due is 1/4"),
    # Straight cuts.
    (lambda p: cut_with(p, *SAWN, 0, stop=9 * INCH + 1), "cut 2 divides 9 x 11 1/2 at (1/4, 1/4), which is no region"),
    (lambda p: cut_with(p, *SAWN, 2, stop=5 * INCH - 1), "piece 2, part PAD, 9 x 5 at (1/4, 5 3/8), is not one of"),
    (lambda p: cut_with(p, *SAWN, 0, stop=0), "cut 1 has its stop at 0, due is above 0 and below 23 1/2"),
    (lambda p: cut_with(p, *SAWN, 0, stop=47 * INCH // 2), "cut 1 has its stop at 23 1/2, due is above 0"),
    (lambda p: cut_with(p, *SAWN, 0, axis="along"), "piece 1, part PAD, 9 x 5 at (1/4, 1/4), is not one of the"),
    (lambda p: sheet_with(p, *SAWN, cuts=p.groups[2].sheets[0].cuts[:2]), "piece 2, part PAD, 9 x 5"),
    (lambda p: sheet_with(p, *SAWN, cuts=p.groups[2].sheets[0].cuts[::-1]), "cut 1 divides 9 x 6 3/8 at"),
    (lambda p: saw_changed(p, kerf=INCH // 4), "piece 2, part PAD, 9 x 5 at (1/4, 5 3/8), is not one of the"),
    (lambda p: placed_with(p, *SAWN, 1, y=INCH // 4), "piece 2, part PAD, 9 x 5 at (1/4, 1/4), is the same region"),
    (lambda p: placed_with(p, *SAWN, 0, y=INCH), "piece 1, part PAD, 9 x 5 at (1/4, 1), is not one of the regions"),
    (lambda p: sheet_with(p, *SAWN, blanks=(rect(0, 0, 24, 12),)), "it has 1 blanks, due are none"),
    # Bed and blanks.
    (lambda p: shop_changed(p, bed=(23 * INCH, 23 * INCH)), AT + "it is larger than the bed of 23 x 23"),
    (lambda p: shop_changed(p, bed=(29 * INCH, 24 * INCH)), "blank 1 is 24 x 30, the bed takes 29 x 24"),
    (lambda p: shop_changed(p, bed=None), "it lies on the bed whole, due are no cuts and no blanks"),
    (lambda p: sheet_with(p, *PARTED, blanks=()), "larger than the bed of 30 x 24 and is not parted into blanks"),
    (lambda p: sheet_with(p, *PARTED, blanks=p.groups[1].sheets[0].blanks[1:]), "lies on none of the blanks"),
    (
        lambda p: sheet_with(p, *PARTED, blanks=(rect(0, 0, 24, 30), rect(24, 0, 24, 30))),
        "blank 2, 24 x 30 at (24, 0), is not one of the regions that the cuts leave",
    ),
    (lambda p: sheet_with(p, *PARTED, blanks=p.groups[1].sheets[0].blanks[:1] * 2), "blank 2, 24 x 30 at (0, 0), is"),
    (lambda p: cut_with(p, *PARTED, 0, stop=24 * INCH - 1), "blank 1, 24 x 30 at (0, 0), is not one of the regions"),
    (lambda p: shop_changed(p, torch_kerf=INCH // 8), "blank 2, 23 15/16 x 30 at (24 1/16, 0), is not one of"),
    (lambda p: placed_with(p, *PARTED, 0, x=INCH * 5), "piece 1, part LID, 22 x 20 at (5, 1/4), lies across a cut"),
    (lambda p: placed_with(p, *PARTED, 0, x=INCH * 2), "is less than 1/4 from the edge of what lies on the bed, 24 x"),
    (lambda p: sheet_with(p, *TORCH, blanks=(rect(0, 0, 24, 24),)), "lies on the bed whole, due are no cuts"),
    # Offcuts.
    (
        lambda p: sheet_with(p, *TORCH, offcuts=(shifted(p.groups[0].sheets[0].offcuts[0], y=1),)),
        "offcut 1, 24 x 11 1/4 at (0, ~12 3/4 (1036320001 ticks)), lies beyond the edge of the sheet",
    ),
    (
        lambda p: sheet_with(p, *TORCH, offcuts=(rect(0, 12.5, 24, 11.5),)),
        "offcut 1, 24 x 11 1/2 at (0, 12 1/2), is less than 1/4 from part BP, 8 x 6 at (1/4, 6 1/2)",
    ),
    (
        lambda p: sheet_with(p, *TORCH, offcuts=(rect(0, 12.75, 24, 6), rect(0, 18, 24, 6))),
        "offcuts 1 and 2, 24 x 6 at (0, 12 3/4) and 24 x 6 at (0, 18), overlap",
    ),
    (lambda p: sheet_with(p, *TORCH, offcuts=(rect(0, 12.75, 11, 11),)), "offcut 1 is 11 x 11, worth keeping is 12 x"),
    (lambda p: sheet_with(p, *TORCH, offcuts=(rect(0, 12.75, 24, 3),)), "offcut 1 is 24 x 3, worth keeping is 12 x 4"),
    (lambda p: sheet_with(p, *PARTED, offcuts=(rect(23, 0, 20, 30),)), "offcut 1, 20 x 30 at (23, 0), lies across a"),
    (lambda p: shop_changed(p, keep_length=40 * INCH), "offcut 1 is 24 x 11 1/4, worth keeping is 40 x 4"),
    (
        lambda p: sheet_with(p, *SAWN, offcuts=(shifted(p.groups[2].sheets[0].offcuts[0], length=-1),)),
        "is not one of the regions that the cuts leave",
    ),
    (
        lambda p: sheet_with(p, *SAWN, offcuts=p.groups[2].sheets[0].offcuts * 2),
        "offcut 2, 14 3/8 x 11 1/2 at (9 3/8, 1/4), is the same region as offcut 1",
    ),
    (lambda p: sheet_with(p, *SAWN, offcuts=(rect(0.25, 0.25, 9, 5),)), "is the same region as piece 1, part PAD"),
    # A sheet that nothing is cut from.
    (lambda p: sheet_with(p, *TORCH, pieces=()), AT + "nothing is cut from it, and no quantity break asks for it"),
    # Plate parts on a bar that is sawn to length.
    (lambda p: bar_piece(p, 2, extent=4 * INCH), "extent of piece 3, part TAB, is 4, due is 5"),
    (lambda p: part_changed(p, "TAB", process="torch"), "part TAB is sawn, due is torch"),
    (lambda p: part_changed(p, "TAB", width=3 * INCH), "part TAB may lie as 5 x 3 or 3 x 5, which is not sawn"),
    (lambda p: part_changed(p, "TAB", length=4 * INCH, width=5 * INCH, turn="none"), "part TAB may lie as 4 x 5,"),
    (lambda p: bar_piece(p, 2, mark="BP"), "part BP may lie as 8 x 6 or 6 x 8, which is not sawn from flat 1/4 x 4"),
    # Stock, money and weight of both.
    (lambda p: line_changed(p, 0, 0, width=None), "offer 1: width is None ticks, due is 1950720000"),
    (lambda p: line_changed(p, 0, 1, width=4 * INCH), "offer 2: width is 325120000 ticks, due is None"),
    (lambda p: line_changed(p, 0, 0, count=2), "2 are bought, due is 1 by the layouts"),
    (lambda p: line_changed(p, 0, 0, unit_price=Decimal(57)), "offer 1: unit price is 57, due is 58.0000"),
    (lambda p: line_changed(p, 0, 0, total=Decimal(57)), "offer 1: total of the line is 57, due is 58.0000"),
    (lambda p: line_changed(p, 0, 0, weight_kg=1.0), "offer 1: weight is 1.0 kg, due is 18.5"),
    (lambda p: offer_changed(p, 1, available=0), "offer 1: 1 are bought, 0 are available"),
    (lambda p: offer_changed(p, 1, from_qty=2), "offer 1: 1 are bought, its price holds from 2"),
    (lambda p: group_with(p, 1, cost=Decimal("39.90")), "cost is 39.90, due is 46.4000"),
    (lambda p: replace(p, total=p.total - 58), "due is"),
    (lambda p: replace(p, weight_kg=0.0), "weight is 0.0 kg, due is"),
    # Groups.
    (groups_joined, "group plate 1/4: parts BP and LID have no source in common, due are two groups"),
    (group_parted, "parts BP and TAB stand in the groups plate 1/4 and flat, due is one"),
    # Jobs that cannot be.
    (lambda p: whole_job(p, rack=(replace(p.job.rack[0], width=None),)), "R 3 is of sheet 14 ga: plate has a width"),
    (lambda p: offer_changed(p, 2, width=4 * INCH), "offer 2 is of flat 1/4 x 4: bars have none"),
    (lambda p: part_changed(p, "STRAP", width=4 * INCH), "part STRAP is of flat 1/4 x 4: bars have none"),
    (lambda p: offer_changed(p, 1, width=-INCH), "offer 1: width is -81280000, but must be 1 or more"),
)  # fmt: skip


@pytest.mark.parametrize(("damage", "sentence"), BREAKS, ids=[f"{i} {b[1]}" for i, b in enumerate(BREAKS)])
def test_each_breach_of_a_sheet_is_said(damage: Callable[[Plan], Plan], sentence: str) -> None:
    """A sound plan broken in one way has a breach that names the place, what was found and what is due."""
    breaches = plain(damage(plate_plan()))
    assert any(sentence in b for b in breaches), "\n".join(breaches)


def test_sound_sheets_have_no_breach() -> None:
    """Torch, blanks, saw, flat bars sawn and ripped, rack: all by the rules."""
    assert check_plan(plate_plan()) == ()
