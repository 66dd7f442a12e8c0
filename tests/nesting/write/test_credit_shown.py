"""What rests are worth, as it is handed over: beside what is paid, never in it."""

from __future__ import annotations

import io
from dataclasses import replace
from decimal import Decimal
from pathlib import Path

from openpyxl import load_workbook

from nesting.cli.summary import summary_lines
from nesting.plan import Plan
from nesting.report.words import left_words
from nesting.rules.credit import credit_of, credited
from nesting.write.page import page_html
from nesting.write.workbook import workbook_bytes
from tests.nesting.made import inch_plan

SAID = "what is left is worth $18.50 (offcuts at 50 % of their price, scrap by weight), not taken off what is paid"


def half_kept() -> Plan:
    """The bench at half the price for offcuts: 3.00 and 15.50 (see the estimate), and some cents for scrap."""
    plan = inch_plan()
    shop = replace(plan.job.shop, offcut_share=Decimal("0.5"), scrap_price=Decimal("0.10"))
    job, (group,) = replace(plan.job, shop=shop), plan.groups
    layouts = credited(job, group.layouts, priced=True)
    credit = credit_of(layouts)
    earning = replace(group, layouts=layouts, credit=credit, cost=group.cost - credit)
    return replace(plan, job=job, groups=(earning,))


def test_what_is_left_is_said_beside_what_is_paid() -> None:
    """124.94 is paid, 106.44 is what the plan costs after 18.50."""
    plan = half_kept()
    assert left_words(plan) == SAID
    said = " ".join(line.strip() for line in summary_lines(plan, Path("out")))
    assert SAID in said
    assert "$124.94 for 2 sticks bought" in said
    page = page_html(plan)
    assert f"<p>W{SAID[1:]}.</p>" in page
    assert "Costs $106.44, after $18.50 that what is left is worth; none can cost less" in page


def test_nothing_is_said_where_nothing_is_earned() -> None:
    plan = inch_plan()
    assert left_words(plan) == ""
    assert "what is left is worth" not in page_html(plan)


def test_the_workbook_takes_it_off_the_cost_and_not_off_what_is_paid() -> None:
    """Steel and rack value less what is left, as a formula with its value."""
    books = [load_workbook(io.BytesIO(workbook_bytes(half_kept())), data_only=only) for only in (True, False)]
    values, formulas = (list(book["cost"].iter_rows(min_row=5, values_only=True)) for book in books)
    assert values[0][2:7] == (124.94, 0, 18.5, None, 106.44)
    assert formulas[0][6] == "=C5+D5-E5+F5"
    assert [row[2] for row in values if row[1] == "To pay"] == [124.94]
