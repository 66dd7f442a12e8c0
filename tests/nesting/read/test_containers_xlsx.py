"""A workbook is read by its stored values, and what a spreadsheet did to a cell is told, never guessed around."""

from __future__ import annotations

import datetime
import io
import zipfile
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from openpyxl import Workbook
from openpyxl.chart import BarChart

from nesting.findings import InputError
from nesting.read.containers import open_container
from nesting.read.grid import Cell, Grid


def made(rows: list[list[Any]], change: Callable[[Any], None] = lambda sheet: None) -> bytes:
    """A workbook with one sheet parts."""
    book = Workbook()
    sheet = book.worksheets[0]
    sheet.title = "parts"
    for row in rows:
        sheet.append(row)
    change(sheet)
    stream = io.BytesIO()
    book.save(stream)
    return stream.getvalue()


def altered(data: bytes, name: str, change: Callable[[bytes], bytes]) -> bytes:
    """The workbook with one file of its archive changed."""
    stream = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(data)) as old, zipfile.ZipFile(stream, "w", zipfile.ZIP_DEFLATED) as new:
        for entry in old.namelist():
            new.writestr(entry, change(old.read(entry)) if entry == name else old.read(entry))
    return stream.getvalue()


def opened(folder: Path, data: bytes) -> Grid:
    (folder / "job.xlsx").write_bytes(data)
    (grid,) = open_container(folder / "job.xlsx").grids
    return grid


def only_cell(folder: Path, value: Any, number_format: str = "") -> Cell:
    """What is read of a single cell."""

    def change(sheet: Any) -> None:
        if number_format:
            sheet["A2"].number_format = number_format

    grid = opened(folder, made([["MARK"], [value]], change))
    assert grid.trouble is None
    return grid.rows[1].cells[0]


def refusal(folder: Path, data: bytes) -> str:
    (folder / "job.xlsx").write_bytes(data)
    with pytest.raises(InputError) as refused:
        open_container(folder / "job.xlsx")
    return str(refused.value)


@pytest.mark.parametrize(
    ("value", "text"),
    [
        ("007", "007"),
        ("  63 1/2 ", "63 1/2"),
        (7, "7"),
        (7.0, "7"),
        (63.5, "63.5"),
        (0.1 + 0.2, "0.3"),
        (1 / 3, "0.333333333333333"),
        (1e-7, "0.0000001"),
        (1e21, "1" + "0" * 21),
        (-2.5, "-2.5"),
        (True, "yes"),
        (False, "no"),
        ("two\nlines", "two lines"),
    ],
)
def test_values_are_read_as_typed_and_numbers_at_fifteen_digits(
    tmp_path: Path, value: Any, text: str
) -> None:
    cell = only_cell(tmp_path, value)
    assert (cell.text, cell.trouble) == (text, "")


def test_a_number_shown_with_leading_zeros_keeps_them(tmp_path: Path) -> None:
    assert only_cell(tmp_path, 7, "000").text == "007"
    assert only_cell(tmp_path, 63.5, "0").text == "63.5"


@pytest.mark.parametrize(
    ("value", "shown"),
    [
        (datetime.datetime(2026, 1, 2), "2026-01-02"),
        (datetime.date(2026, 1, 2), "2026-01-02"),
        (datetime.time(3, 4), "03:04:00"),
        (datetime.timedelta(hours=30), "1 day, 6:00:00"),
    ],
)
def test_what_became_a_date_is_told_with_how_to_mend_it(tmp_path: Path, value: Any, shown: str) -> None:
    assert only_cell(tmp_path, value).trouble == (
        f"the spreadsheet took this for a date or time ({shown}); format the column as text and type the value "
        "again, for example 1 1/2"
    )


def test_a_number_under_a_date_format_is_told(tmp_path: Path) -> None:
    assert "took this for a date" in only_cell(tmp_path, 46024, "d-mmm").trouble


def test_an_error_cell_is_told(tmp_path: Path) -> None:
    assert only_cell(tmp_path, "#REF!").trouble == "the cell shows #REF!; mend it in the spreadsheet"


def test_a_formula_without_a_stored_value_is_told(tmp_path: Path) -> None:
    assert only_cell(tmp_path, "=1+1").trouble == (
        "this formula has no stored value; open the workbook in the spreadsheet program and save it there"
    )


@pytest.mark.parametrize(
    ("stored", "text"),
    [(b"<c r='A2'><f>1+1</f><v>2</v></c>", "2"), (b"<c r='A2' t='str'><f>T(B9)</f><v></v></c>", "")],
)
def test_a_formula_with_a_stored_value_is_that_value(tmp_path: Path, stored: bytes, text: str) -> None:
    data = made([["MARK", "note"], ["@", "x"]])
    with zipfile.ZipFile(io.BytesIO(data)) as archive:
        sheet = archive.read("xl/worksheets/sheet1.xml")
    begin = sheet.index(b'<c r="A2"')
    end = sheet.index(b"</c>", begin) + 4
    grid = opened(
        tmp_path, altered(data, "xl/worksheets/sheet1.xml", lambda xml: xml[:begin] + stored + xml[end:])
    )
    assert [(cell.text, cell.trouble) for cell in grid.rows[1].cells] == [(text, ""), ("x", "")]


def test_rows_keep_their_numbers_over_blank_ones(tmp_path: Path) -> None:
    def change(sheet: Any) -> None:
        sheet["A7"] = "B"

    grid = opened(tmp_path, made([["MARK"], ["A"], [None]], change))
    assert [(row.number, row.cells[0].text) for row in grid.rows] == [(1, "MARK"), (2, "A"), (7, "B")]


def test_every_sheet_is_read_under_its_title(tmp_path: Path) -> None:
    book = Workbook()
    book.worksheets[0].title = "Parts"
    book.create_sheet("offers").append(["YARD"])
    book.save(tmp_path / "job.xlsx")
    container = open_container(tmp_path / "job.xlsx")
    assert container.name == "job"
    assert [(grid.name, len(grid.rows)) for grid in container.grids] == [("Parts", 0), ("offers", 1)]


def test_a_cell_far_to_the_right_is_told(tmp_path: Path) -> None:
    def change(sheet: Any) -> None:
        sheet["GS2"] = "x"

    grid = opened(tmp_path, made([["MARK"], ["A"]], change))
    assert grid.trouble is not None
    assert grid.trouble.sentence == "the row has more than 200 cells; delete what is no table"
    assert grid.trouble.row == 2


def test_a_cell_in_the_last_corner_is_found_without_reading_a_million_blank_rows_one_by_one(
    tmp_path: Path,
) -> None:
    def change(sheet: Any) -> None:
        sheet["B2"] = "=1+1"
        sheet["A1048576"] = "x"

    grid = opened(tmp_path, made([["MARK", "QTY"]], change))
    assert [row.number for row in grid.rows] == [1, 2, 1_048_576]


def test_a_sheet_formatted_far_beyond_any_table_is_refused(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("nesting.read.guards._MAX_CELLS", 16_000)  # in earnest 20 million

    def change(sheet: Any) -> None:
        sheet["XFD3"].number_format = "@"

    grid = opened(tmp_path, made([["MARK"], ["A"]], change))
    assert grid.trouble is not None
    assert grid.trouble.sentence.startswith(
        "the sheet has far more cells than a table; delete empty formatted"
    )


def test_a_workbook_of_the_strict_kind_is_refused(tmp_path: Path) -> None:
    strict = b"http://purl.oclc.org/ooxml/spreadsheetml/main"
    usual = b"http://schemas.openxmlformats.org/spreadsheetml/2006/main"
    data = altered(made([["MARK"]]), "xl/workbook.xml", lambda xml: xml.replace(usual, strict))
    assert "this is a workbook of the strict kind; save it as an ordinary .xlsx" in refusal(tmp_path, data)


def test_sheets_of_charts_are_passed_over_and_a_workbook_without_other_sheets_is_refused(
    tmp_path: Path,
) -> None:
    book = Workbook()
    book.create_chartsheet("chart").add_chart(BarChart())
    book.save(tmp_path / "job.xlsx")
    assert [grid.name for grid in open_container(tmp_path / "job.xlsx").grids] == ["Sheet"]
    data = altered(made([["MARK"]]), "xl/workbook.xml", lambda _: b"<workbook/>")
    assert "the workbook has no sheet with cells; a job has one sheet a table" in refusal(tmp_path, data)


def test_far_too_many_rows_are_refused(tmp_path: Path) -> None:
    def change(sheet: Any) -> None:
        for number in range(2, 20_003):
            sheet.cell(number, 1, number)

    grid = opened(tmp_path, made([["MARK"]], change))
    assert grid.trouble is not None
    assert (
        grid.trouble.sentence == "the table has more than 20,000 rows, the most that is taken; split the job"
    )


def test_a_workbook_with_a_password_is_refused(tmp_path: Path) -> None:
    head = b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + bytes(600)
    encrypted = head + "EncryptedPackage".encode("utf-16-le") + bytes(100)
    assert refusal(tmp_path, encrypted).endswith(
        "job.xlsx: the workbook is protected by a password; save a copy without one"
    )
    assert "older .xls kind, whatever its name; save it as .xlsx" in refusal(tmp_path, head)


@pytest.mark.parametrize("share", [0.0, 0.3, 0.9, 0.999])
def test_a_truncated_workbook_is_refused(tmp_path: Path, share: float) -> None:
    data = made([["MARK"], ["A"]])
    assert "save it anew as .xlsx" in refusal(tmp_path, data[: int(len(data) * share)])


@pytest.mark.parametrize("name", ["xl/workbook.xml", "xl/worksheets/sheet1.xml", "xl/styles.xml"])
@pytest.mark.parametrize("content", [b"", b"<a>", b"<worksheet/>", b"\xff\xfe\x00"])
def test_a_workbook_with_a_broken_inside_never_ends_in_a_traceback(
    tmp_path: Path, name: str, content: bytes
) -> None:
    (tmp_path / "job.xlsx").write_bytes(altered(made([["MARK"], ["A"]]), name, lambda _: content))
    assert outcome(tmp_path / "job.xlsx") in (
        "rows as they are",
        "the workbook is broken or not whole",
        "the workbook has no sheet with cells",
    )


def outcome(path: Path) -> str:
    try:
        grids = open_container(path).grids
    except InputError as refused:
        return refused.findings[0].sentence.split(";")[0]
    return "rows as they are" if all(len(grid.rows) <= 2 for grid in grids) else "rows that are not there"


def test_entities_are_refused_before_they_explode(tmp_path: Path) -> None:
    bomb = b'<!DOCTYPE x [<!ENTITY a "aaaaaaaaaa"><!ENTITY b "&a;&a;&a;">]><worksheet>&b;</worksheet>'
    data = altered(made([["MARK"]]), "xl/worksheets/sheet1.xml", lambda _: bomb)
    assert "the workbook holds XML declarations that no workbook needs" in refusal(tmp_path, data)


def test_an_archive_that_unpacks_to_far_more_is_refused_unopened(tmp_path: Path) -> None:
    data = altered(made([["MARK"]]), "xl/styles.xml", lambda _: bytes(30_000_000))
    assert len(data) < 100_000
    assert "the workbook unpacks to 30 MB, far more than a job" in refusal(tmp_path, data)


def test_an_archive_that_lies_about_its_size_is_refused(tmp_path: Path) -> None:
    data = altered(made([["MARK"]]), "xl/worksheets/sheet1.xml", lambda _: b" " * 9_000_000)
    size = (9_000_000).to_bytes(4, "little")
    assert data.count(size) == 2
    assert "the workbook is broken or not whole" in refusal(
        tmp_path, data.replace(size, (500).to_bytes(4, "little"))
    )
