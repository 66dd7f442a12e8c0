"""The workbook: its stored values are the plan's, its formulas come to them, and texts stay texts."""

from __future__ import annotations

import io
import re
import shutil
import subprocess
from dataclasses import replace
from decimal import Decimal
from itertools import takewhile
from pathlib import Path
from typing import Any

import pytest
from openpyxl import load_workbook

from nesting.plan import Plan
from nesting.report.saw_list import saw_list
from nesting.report.sheet_list import sheet_list
from nesting.report.words import number_words
from nesting.write.workbook import workbook_bytes
from tests.nesting.made import inch_plan, metric_plan, mixed_plan
from tests.nesting.made_mitres import mixed_mitres_plan
from tests.nesting.made_parted import parted_plan
from tests.nesting.made_sheets import plate_plan
from tests.nesting.write.crowded import crowded_plan

PLANS = pytest.mark.parametrize(
    "plan",
    [
        inch_plan(),
        metric_plan(),
        mixed_plan(),
        plate_plan(),
        crowded_plan(),
        mixed_mitres_plan(),
        parted_plan(),
    ],
    ids=lambda plan: plan.job.name[:12],
)
PLATES = ("sheets", "pieces", "cuts", "pictures")


def _book(plan: Plan, values: bool) -> Any:
    return load_workbook(io.BytesIO(workbook_bytes(plan)), data_only=values)


def _rows(sheet: Any, header: int = 4) -> list[dict[str, Any]]:
    names = [cell.value for cell in sheet[header]]
    return [
        dict(zip(names, [cell.value for cell in row], strict=False))
        for row in sheet.iter_rows(min_row=header + 1)
    ]


@PLANS
def test_the_sheets_are_there_and_set_up_for_print(plan: Plan) -> None:
    """One page wide, heads repeated and frozen, the job's name on every page."""
    book = _book(plan, values=False)
    tabs = {"buy": True, "saw": saw_list(plan).sticks, **dict.fromkeys(PLATES, sheet_list(plan).sheets)}
    tabs |= {"parts": True, "holes": plan.job.holes, "offcuts": True, "cost": True, "estimate": True}
    assert book.sheetnames == [name for name, is_there in tabs.items() if is_there]
    for sheet in book:
        assert sheet.freeze_panes == "B5"
        assert sheet.print_title_rows == "$4:$4"
        assert (sheet.page_setup.fitToHeight, sheet.sheet_properties.pageSetUpPr.fitToPage) == (0, True)
        assert plan.job.name[:80] in sheet.oddHeader.right.text


@PLANS
def test_stored_values_are_those_of_the_plan(plan: Plan) -> None:
    """Line by line and in the sums, to the cent."""
    book = _book(plan, values=True)
    grouped = [row for row in _rows(book["buy"]) if row["Group"] and not str(row["Yard"]).startswith("rack ")]
    bought = [row for row in grouped if row["Material"] != "yard cuts"]
    lines = [line for group in plan.groups for line in group.purchases]
    assert sorted(row["Count"] for row in bought) == sorted(line.count for line in lines)
    assert sorted(row["Total"] for row in bought if isinstance(row["Total"], float | int)) == sorted(
        float(line.total) for line in lines if line.total is not None
    )
    for sheet, name, column in (("buy", "Yard", "Total"), ("cost", "Material", "Steel")):
        (paid,) = [row[column] for row in _rows(book[sheet]) if row[name] == "To pay"]
        assert Decimal(str(paid)) == plan.total
    made = {row["Mark"]: (row["Needed"], row["Made"], row["Open"]) for row in _rows(book["parts"])}
    for part in plan.job.parts:
        copies = plan.job.copies(part)
        assert made[part.mark] == (copies, copies, 0)


@PLANS
def test_stick_numbers_are_those_of_the_saw_list(plan: Plan) -> None:
    """In its order."""
    if not saw_list(plan).sticks:
        assert "saw" not in _book(plan, values=True).sheetnames
        return
    rows = takewhile(lambda row: row["Stick"], _rows(_book(plan, values=True)["saw"]))
    numbers = [row["Stick"] for row in rows]
    assert list(dict.fromkeys(numbers)) == [number_words([stick.run]) for stick in saw_list(plan).sticks]


def test_texts_that_look_like_formulas_are_texts() -> None:
    """Marks, notes, yards and carried columns that begin with = + - @."""
    found = set()
    for sheet in _book(mixed_plan(), values=False):
        for row in sheet.iter_rows():
            for cell in row:
                if cell.value in (
                    "=red",
                    "+5",
                    "@pads",
                    "=Bay & Sons <steel>",
                    "=ask for straight ones",
                    "007",
                ):
                    assert cell.data_type == "s"
                    found.add(cell.value)
    assert len(found) == 6


def test_heads_and_numbers_follow_the_shop() -> None:
    """Kilograms and A4 in a metric shop, pounds and letter in an inch shop; the currency in the format."""
    metric, inch = _book(metric_plan(), values=True), _book(inch_plan(), values=True)
    assert metric["buy"]["I4"].value == "Each kg"
    assert inch["buy"]["I4"].value == "Each lb"
    assert int(metric["buy"].page_setup.paperSize) == 9
    assert int(inch["buy"].page_setup.paperSize) == 1
    assert inch["buy"]["H5"].number_format == '"$"#,##0.00'


def test_an_unpriced_line_takes_a_price_that_is_typed_in() -> None:
    """Its total is a formula that stays empty until then."""
    book = _book(metric_plan(), values=False)
    assert book["buy"]["H5"].value == '=IF(G5="","",ROUND(F5*G5,2))'
    assert book["buy"]["G5"].value is None


@PLANS
def test_odd_names_do_not_stop_the_workbook(plan: Plan) -> None:
    """A job named with &, a currency with quotes, a lone surrogate as file systems give them."""
    job = replace(plan.job, name='A & B "x" \udc80', shop=replace(plan.job.shop, currency='"€'))
    assert _book(replace(plan, job=job), values=True)["buy"]["A1"].value.startswith('A & B "x" ?')


@pytest.mark.skipif(shutil.which("soffice") is None, reason="needs LibreOffice")
@PLANS
def test_a_spreadsheet_program_comes_to_the_same_numbers(plan: Plan, tmp_path: Path) -> None:
    """LibreOffice recalculates every formula from nothing: the stored values are taken out first."""
    stored = _book(plan, values=True)
    bare = _book(plan, values=False)
    (tmp_path / "in").mkdir()
    bare.save(tmp_path / "in" / "plan.xlsx")
    profile = f"-env:UserInstallation={(tmp_path / 'profile').as_uri()}"
    command = ["soffice", profile, "--headless", "--convert-to", "xlsx", "--outdir", str(tmp_path)]
    subprocess.run(
        [*command, str(tmp_path / "in" / "plan.xlsx")], check=True, capture_output=True, timeout=120
    )
    again = load_workbook(tmp_path / "plan.xlsx", data_only=True)
    formulas = 0
    for sheet in bare:
        for row in sheet.iter_rows():
            for cell in row:
                if cell.data_type == "f":
                    formulas += 1
                    here, there = (
                        stored[sheet.title][cell.coordinate].value,
                        again[sheet.title][cell.coordinate].value,
                    )
                    if isinstance(here, str) or here is None:
                        assert (there or "") == (here or "")
                    else:
                        assert there == pytest.approx(here, abs=1e-9), f"{sheet.title}!{cell.coordinate}"
    assert formulas > 10


@PLANS
def test_every_formula_refers_to_cells_that_hold_something(plan: Plan) -> None:
    """No formula of a line points at a head or beyond the table."""
    book = _book(plan, values=False)
    for sheet in book:
        for row in sheet.iter_rows(min_row=5):
            for cell in row:
                if cell.data_type == "f":
                    rows = [int(found) for found in re.findall(r"\$?[A-Z]\$?(\d+)", cell.value)]
                    assert rows
                    assert min(rows) >= 5
