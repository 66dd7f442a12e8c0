"""Plate parts that are only sawn to length from flat bars leave nothing to lay on sheets."""

from __future__ import annotations

from decimal import Decimal

from nesting.check import check_plan
from nesting.job import Job, Part, Saw
from nesting.market import make_plan
from nesting.plan import Settings
from stock.length import PER_INCH
from stock.material import parse_material
from stock.offer import Basis, Offer


def test_a_group_without_anything_to_lay_on_sheets_is_planned() -> None:
    """Three pieces of 24 in with their kerfs fill 72 3/8 of 96 in: one bar, though the shop has a torch for plates."""
    bar = Offer(
        id="offer 1",
        yard="Y",
        material=parse_material("flat 3/8 x 8", unit="in"),
        length=96 * PER_INCH,
        longest=96 * PER_INCH,
        price=Decimal(40),
        per=Basis.EACH,
    )
    part = Part(
        mark="A",
        qty=3,
        material=parse_material("plate 3/8", unit="in"),
        length=8 * PER_INCH,
        width=24 * PER_INCH,
        process="saw",
    )
    saw = Saw(name="saw", kerf=PER_INCH // 8, trim=PER_INCH // 4)
    plan = make_plan(Job(name="job", parts=(part,), offers=(bar,), saws=(saw,)), Settings(work=5))
    (group,) = plan.groups
    assert check_plan(plan) == ()
    assert (plan.total, group.proved, group.sheets) == (40, True, ())
    assert [len(layout.pieces) * layout.times for layout in group.layouts] == [3]
