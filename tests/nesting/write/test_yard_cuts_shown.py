"""Yard cuts on page, papers, workbook and terminal: where, what they cost, and which segment a stick of the saw is."""

from __future__ import annotations

import html
import io
import re
from decimal import Decimal
from pathlib import Path

from openpyxl import load_workbook

from nesting.cli.summary import summary_lines
from nesting.estimate import estimate_of
from nesting.write.archive import plan_text, read_plan
from nesting.write.page import page_html
from nesting.write.workbook import workbook_bytes
from tests.nesting.made_parted import parted_plan
from tests.nesting.write.test_paper import said as said_on_paper

ASKED = ("1 of them: have it cut at 10' 11\"", "2 of them: have each cut at 8' 8\"")


def test_the_terminal_says_where_and_what_it_costs() -> None:
    lines = [line.strip() for line in summary_lines(parted_plan(), Path("x"))]
    assert all(asked in lines for asked in ASKED)
    assert any(line.startswith("3 yard cuts at $2.50") and line.endswith("$7.50") for line in lines)
    assert any(line.startswith("$187.50 for 3 sticks bought") for line in lines)


def test_the_page_says_where_and_what_it_costs() -> None:
    page = html.unescape(re.sub(r"<[^>]*>", " ", page_html(parted_plan())))
    for words in (
        *ASKED,
        "3 yard cuts",
        "$7.50",
        "yard cuts included",
        "a segment of 10' 11\", counted as 10' 10 3/4\",",
    ):
        assert words in page
    assert "comes home beside what is cut from the rest of its stick" in page
    assert "bought for the price at that quantity" not in page


def test_the_papers_say_where_and_what_it_costs() -> None:
    text = " ".join(said_on_paper(parted_plan()))
    for words in (
        "cut at 10'",
        "cut at 8' 8\"",
        "3 yard cuts",
        "$7.50",
        "yard cuts included",
        "a segment of 10' 11\"",
    ):
        assert words in text
    assert "comes home beside what is cut from the rest of" in text


def test_the_workbook_adds_the_cuts_up() -> None:
    """The line of the cuts carries the group's number, so that steel of the cost tab and the estimate hold them."""
    book = load_workbook(io.BytesIO(workbook_bytes(parted_plan())), data_only=True)
    rows = list(book["buy"].iter_rows(values_only=True))
    (cuts,) = (row for row in rows if row[1] == "yard cuts")
    assert (cuts[5], cuts[6], cuts[7], cuts[11]) == (3, 2.5, 7.5, 1)
    (line,) = (row for row in rows if row[7] == 180)
    assert all(asked in str(line[13]) for asked in ASKED)
    costs = list(book["cost"].iter_rows(min_row=4, values_only=True))
    (cost,) = (dict(zip(costs[0], row, strict=True)) for row in costs if row[0] == 1)
    assert (cost["Steel"], cost["Rack value"], cost["Cost of plan"]) == (187.5, 0, 187.5)
    formulas = load_workbook(io.BytesIO(workbook_bytes(parted_plan())))
    (formula,) = (row[7].value for row in formulas["buy"].iter_rows() if row[1].value == "yard cuts")
    assert re.fullmatch(r"=ROUND\(F(\d+)\*G\1,2\)", str(formula))


def test_the_estimate_holds_the_cuts() -> None:
    bought = estimate_of(parted_plan()).lines[0]
    assert bought.amount == Decimal("187.50")
    assert bought.how.endswith("with 3 yard cuts")


def test_the_plan_is_kept_with_its_partings(tmp_path: Path) -> None:
    file = tmp_path / "plan.json"
    file.write_text(plan_text(parted_plan()), encoding="utf-8", newline="\n")
    assert read_plan(file) == parted_plan()
