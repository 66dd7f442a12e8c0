"""What the yards are asked for, sheets by length and width."""

from __future__ import annotations

import csv
import io
from dataclasses import replace

from nesting.plan import Plan
from nesting.write.inquiry import inquiry_csv
from stock.length import PER_INCH
from tests.nesting.made import metric_plan
from tests.nesting.made_sheets import plate_plan


def rows_of(plan: Plan) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(inquiry_csv(plan))))


def test_the_inquiry_asks_for_a_sheet_with_its_width_and_only_yards_that_sell_that_width() -> None:
    """The sheet of 48 x 30 in of the press stand without its price; a second yard sells 48 x 36 in only."""
    plan = plate_plan()
    offers = [replace(o, price=None, per=None) if o.id == "offer 3" else o for o in plan.job.offers]
    wider = replace(offers[2], id="offer 9", yard="Elm Row", width=36 * PER_INCH)
    groups = [replace(g, priced=g.name != "sheet 14 ga") for g in plan.groups]
    plan = replace(plan, job=replace(plan.job, offers=(*offers, wider)), groups=tuple(groups))
    rows = [(r["yard"], r["length"], r["width"], r["count"]) for r in rows_of(plan)]
    assert rows == [("Dock Street", "4'", "2' 6\"", "1")]
    assert {row["width"] for row in rows_of(metric_plan())} == {""}
