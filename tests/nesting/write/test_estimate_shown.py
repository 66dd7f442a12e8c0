"""The estimate as it is handed over: every line on the page and in the workbook, where a rate typed in counts."""

from __future__ import annotations

import html
import io
import shutil
import subprocess
from dataclasses import replace
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest
from openpyxl import load_workbook

from nesting.estimate import estimate_of
from nesting.plan import Plan
from nesting.write.page import page_html
from nesting.write.workbook import workbook_bytes
from stock.material import parse_material
from tests.nesting.made import inch_plan, metric_plan, mixed_plan
from tests.nesting.made_sheets import plate_plan

RATES = (
    ("labour_rate", Decimal("62.50")),
    ("contingency", Decimal("7.5")),
    ("tax", Decimal("8.25")),
    ("disc_price", Decimal("6.5")),
)


def _rated(plan: Plan) -> Plan:
    return replace(plan, job=replace(plan.job, shop=replace(plan.job.shop, rates=RATES)))


def _too_thick(plan: Plan) -> Plan:
    """The press stand with 2 in plate, for which no feed of the torch is known."""
    thick = parse_material("plate 2", unit="in")
    offers = tuple(
        replace(each, material=thick) if each.id == "offer 1" else each for each in plan.job.offers
    )
    return replace(plan, job=replace(plan.job, offers=offers))


PLANS = pytest.mark.parametrize(
    "plan",
    [
        *(inch_plan(), _rated(inch_plan()), metric_plan(), mixed_plan(), _rated(mixed_plan())),
        *(plate_plan(), _rated(plate_plan()), _rated(_too_thick(plate_plan()))),
    ],
    ids=[
        *("bench", "bench with rates", "trolley", "press frame", "press frame with rates"),
        *("press stand", "press stand with rates", "press stand too thick"),
    ],
)


def _rows(book: bytes | Path) -> dict[str, tuple[Any, ...]]:
    """The stored values of the sheet by line: hours, rate, amount, mark, words."""
    source = io.BytesIO(book) if isinstance(book, bytes) else book
    sheet = load_workbook(source, data_only=True)["estimate"]
    return {str(row[0]): row[1:6] for row in sheet.iter_rows(min_row=5, values_only=True) if row[0]}


@PLANS
def test_every_line_and_note_stands_on_the_page(plan: Plan) -> None:
    page, estimate = page_html(plan), estimate_of(plan)
    section = page.partition('<section id="make">')[2].partition("</section>")[0]
    assert "What the job costs to make" in section
    for text in (*(line.operation for line in estimate.lines), *(line.how for line in estimate.lines)):
        assert html.escape(text, quote=True).replace("&#x27;", "&#39;") in section
    for note in estimate.notes:
        assert note.replace("'", "&#39;") in section
    assert section.count("not known") == len(estimate.unknown)
    assert ("as far as known" in section) == bool(estimate.unknown)


@PLANS
def test_the_sheet_holds_what_the_estimate_says(plan: Plan) -> None:
    """Hours, money, mark and words of every line, and the sums."""
    rows, estimate = _rows(workbook_bytes(plan)), estimate_of(plan)
    for line in estimate.lines:
        hours, _, amount, mark, how = rows[line.operation]
        assert hours == (None if line.hours is None else pytest.approx(float(line.hours)))
        assert amount in (("", None) if line.amount is None else (pytest.approx(float(line.amount)),))
        assert (mark == "starting values") == line.is_start_value
        assert how == line.how
    together = rows["Together, as far as known" if estimate.unknown else "Together"]
    assert together[0] == pytest.approx(float(estimate.hours))
    assert together[2] == pytest.approx(float(estimate.total))


@pytest.mark.skipif(shutil.which("soffice") is None, reason="needs LibreOffice")
def test_a_labour_rate_typed_into_the_sheet_gives_what_the_shop_table_would(tmp_path: Path) -> None:
    """And percentages too: a spreadsheet program counts to the cent as the estimate does."""
    book = load_workbook(io.BytesIO(workbook_bytes(mixed_plan())))
    sheet = book["estimate"]
    at = {str(row[0].value): row[0].row for row in sheet.iter_rows(min_row=5)}
    sheet.cell(at["Labour, an hour"], 3, 62.5)
    sheet.cell(at["Contingency"], 3, 0.075)
    sheet.cell(at["Tax"], 3, 0.0825)
    sheet.cell(at["Cleaning discs"], 4, 39)
    (tmp_path / "in").mkdir()
    book.save(tmp_path / "in" / "plan.xlsx")
    command = ["soffice", f"-env:UserInstallation={(tmp_path / 'profile').as_uri()}", "--headless"]
    command += ["--convert-to", "xlsx", "--outdir", str(tmp_path), str(tmp_path / "in" / "plan.xlsx")]
    subprocess.run(command, check=True, capture_output=True, timeout=120)
    rows, wanted = _rows(tmp_path / "plan.xlsx"), estimate_of(_rated(mixed_plan()))
    for line in wanted.lines:
        if line.amount is not None:
            assert rows[line.operation][2] == pytest.approx(float(line.amount), abs=1e-9), line.operation
    assert rows["Together, as far as known"][2] == pytest.approx(float(wanted.total), abs=1e-9)
