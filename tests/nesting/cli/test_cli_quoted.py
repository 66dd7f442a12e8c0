"""The day of a quotation: read from the offers, told with the plan, and no part of what is planned."""

from __future__ import annotations

import datetime
from pathlib import Path

import openpyxl

from nesting.report.price_age import age_words
from nesting.write import read_plan
from tests.nesting.cli.console import PARTS, SAWS, SHOP, Console, write_tables

OFFERS = "YARD,MATERIAL,LENGTH,price,per,date\nNorth yard,tube 2 x 2 x 1/8,20 ft,62.47,each,{day}\n"


def quoted_job(folder: Path, day: str) -> Path:
    """The bench with a dated price."""
    return write_tables(folder, parts=PARTS, offers=OFFERS.format(day=day), saws=SAWS, shop=SHOP)


def test_the_oldest_price_is_told_by_its_day_and_its_age(console: Console, tmp_path: Path) -> None:
    said = console("plan", quoted_job(tmp_path / "bench", "2026-10-09"), "--work", "100")
    assert "oldest price: tube 2 x 2 x 1/8 from North yard, quoted 2026-10-09" in said.out
    plan = read_plan(tmp_path / "bench.plan")
    assert age_words(plan, datetime.date(2026, 11, 25)).endswith("quoted 2026-10-09, 47 days ago")


def test_what_is_no_date_is_told_with_its_place(console: Console, tmp_path: Path) -> None:
    said = console("look", quoted_job(tmp_path / "bench", "09.10."))
    assert said.code == 2
    assert "row 2, column quoted: '09.10.' is no date; write year-month-day, as 2026-10-09" in said.err[0]


def test_a_workbook_may_hold_the_day_as_a_date(console: Console, tmp_path: Path) -> None:
    book = openpyxl.Workbook()
    tables = {"parts": PARTS, "offers": OFFERS.format(day="?"), "saws": SAWS, "shop": SHOP}
    for name, text in tables.items():
        sheet = book.create_sheet(name)
        for line in text.splitlines():
            sheet.append(line.split(","))
    book["offers"]["F2"].value = datetime.date(2026, 10, 9)
    book.save(tmp_path / "bench.xlsx")
    said = console("plan", tmp_path / "bench.xlsx", "--work", "100")
    assert "oldest price: tube 2 x 2 x 1/8 from North yard, quoted 2026-10-09" in said.out
