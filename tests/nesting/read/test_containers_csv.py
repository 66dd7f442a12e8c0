"""A folder of .csv files is read as an editor shows it, and refused with what to do where it is none."""

from __future__ import annotations

from pathlib import Path

import pytest

from nesting.findings import InputError
from nesting.read.opening import open_tables
from nesting.read.tables import Table

KNOWN = frozenset({"parts", "offers", "rack", "saws"})


def opened(folder: Path, data: bytes, name: str = "parts.csv") -> tuple[tuple[Table, ...], list[str]]:
    """The tables of a folder with one file, and the sentences of the findings with their places."""
    (folder / name).write_bytes(data)
    tables, findings = open_tables(folder, KNOWN)
    return tables, [str(finding).replace(f"{folder}/", "").replace(f"{folder}\\", "") for finding in findings]


def texts(table: Table) -> list[tuple[str, ...]]:
    return [tuple(cell.text for cell in row.cells) for row in table.rows]


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16", "utf-16-le", "utf-16-be", "cp1252"])
@pytest.mark.parametrize("delimiter", [",", ";", "\t"])
def test_every_encoding_and_delimiter_reads_alike(tmp_path: Path, encoding: str, delimiter: str) -> None:
    text = 'MARK,QTY,note\r\n007,2,"Fuß, links"\r\n'.replace(",", delimiter)
    (table,), findings = opened(tmp_path, text.encode(encoding))
    assert findings == []
    assert table.headers == ("MARK", "QTY", "note")
    assert texts(table) == [("007", "2", f"Fuß{delimiter} links")]


def test_rows_are_numbered_as_an_editor_numbers_the_line_on_which_they_begin(tmp_path: Path) -> None:
    text = '\nMARK,note\n\nA,"two\nlines"\n   \nB,\n'
    (table,), _ = opened(tmp_path, text.encode())
    assert table.header_row == 2
    assert [(row.number, row.cells[0].text) for row in table.rows] == [(4, "A"), (7, "B")]
    assert table.rows[0].cells[1].text == "two lines"


def test_a_line_naming_the_delimiter_is_obeyed_and_counted(tmp_path: Path) -> None:
    (table,), _ = opened(tmp_path, b"sep=;\nMARK;a,b\nA;1\n")
    assert table.headers == ("MARK", "a,b")
    assert table.rows[0].number == 3


def test_lengths_in_feet_and_inches_need_no_quotes_around_them(tmp_path: Path) -> None:
    (table,), findings = opened(tmp_path, b'MARK,LENGTH\nA,5\' 3-1/2"\nB,"63 1/2"""\n')
    assert findings == []
    assert [cell for _, cell in texts(table)] == ["5' 3-1/2\"", '63 1/2"']


def test_short_rows_are_filled_and_a_surplus_of_blanks_is_dropped(tmp_path: Path) -> None:
    (table,), findings = opened(tmp_path, b"MARK,QTY,note\nA\nB,1,x,,,\n")
    assert findings == []
    assert texts(table) == [("A", "", ""), ("B", "1", "x")]


def test_a_cell_under_no_header_is_reported_with_its_row(tmp_path: Path) -> None:
    _, findings = opened(tmp_path, b"MARK,QTY\nA,1\nB,1,250\n")
    assert findings == [
        "parts.csv, row 3: cell 3 holds '250' but has no header; give the column a header, clear the cell, or, if "
        "the text of one cell was split, put quotes around it"
    ]


def test_many_ragged_rows_do_not_drown_the_other_findings(tmp_path: Path) -> None:
    _, findings = opened(tmp_path, b"MARK,QTY\n" + b"B,1,250\n" * 500)
    assert len(findings) == 11
    assert findings[-1] == "parts.csv, row 12: so it is in 490 more rows from here on"


def test_a_row_held_apart_by_another_sign_is_reported(tmp_path: Path) -> None:
    _, findings = opened(tmp_path, b"MARK,QTY,note\nA;1;x\n")
    assert findings == [
        "parts.csv, row 2: the cells are held apart by semicolons, the headers are not; use one sign in the whole file"
    ]


@pytest.mark.parametrize(
    ("data", "sentence"),
    [
        (
            b"PK\x03\x04rest",
            "this is a workbook or archive that is only named .csv; save the table as .csv text",
        ),
        (b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1", "this is a workbook or archive that is only named .csv"),
        (b"MARK\x07,QTY\n", "the file holds control characters, so it is no table"),
        (b"\x00\x01\x00", "the file"),
        (b"\xff\xfeM\x00A", "the file is broken or is no text; save the table as .csv text in UTF-8"),
        (b"MARK,QTY\n\x81\xff,1\n", "the file is broken or is no text"),
        (b'MARK,QTY\nA,1\n"B,2\nC,3\n', "the quotes do not pair up"),
        (b"MARK,QTY\n" + b"A,1\n" * 20_001, "the table has more than 20,000 rows, the most that is taken"),
        (b"MARK,QTY\n" + b"A," * 201 + b"x\n", "the row has more than 200 cells"),
        (b"MARK,QTY\n" + b"A" * 2_001 + b",1\n", "a cell has more than 2,000 characters"),
    ],
)
def test_what_is_no_table_is_refused_and_left_out(tmp_path: Path, data: bytes, sentence: str) -> None:
    tables, findings = opened(tmp_path, data)
    assert tables == ()
    assert len(findings) == 1
    assert sentence in findings[0]
    assert findings[0].startswith("parts.csv")


def test_an_open_quote_is_placed_on_the_line_where_it_stands(tmp_path: Path) -> None:
    _, findings = opened(tmp_path, b'MARK,QTY\nA,1\n"B,2\nC,3\n')
    assert findings[0].startswith("parts.csv, row 3: the quotes do not pair up")


def test_an_empty_file_is_a_table_without_headers(tmp_path: Path) -> None:
    (table,), findings = opened(tmp_path, b"\n  \n")
    assert (table.headers, table.header_row, table.rows) == ((), 0, ())
    assert findings == []


def test_files_that_are_no_tables_are_told_and_near_names_refused(tmp_path: Path) -> None:
    (tmp_path / "notes.csv").write_bytes(b"a\n")
    (tmp_path / "rack.xlsx").write_bytes(b"x")
    (tmp_path / "photo.jpg").write_bytes(b"x")
    (tmp_path / ".hidden.csv").write_bytes(b"x")
    (tmp_path / "ofers.csv").write_bytes(b"a\n")
    opened(tmp_path, b"MARK\nA\n", "Parts.csv")
    tables, findings = open_tables(tmp_path, KNOWN)
    assert [table.name for table in tables] == ["parts"]
    assert sorted((Path(f.file).name, f.severity, f.sentence.split(";")[0]) for f in findings) == [
        ("notes.csv", "notice", "'notes' is not a table of a job and is not read"),
        ("ofers.csv", "error", "'ofers' is not a table of a job"),
        ("rack.xlsx", "notice", "rack.xlsx is not read, because the tables of a folder are .csv files"),
    ]


def test_two_files_for_one_table_are_refused(tmp_path: Path) -> None:
    (tmp_path / "par ts.csv").write_bytes(b"MARK\nA\n")
    tables, findings = opened(tmp_path, b"MARK\nB\n")
    assert tables == ()
    assert len(findings) == 1
    assert "'par ts' and 'parts' are both the table parts" in findings[0]


@pytest.mark.parametrize(
    ("name", "sentence"),
    [
        ("none", "there is no file or folder of this name; check the path"),
        ("none\0", "check the path"),
        ("x" * 5_000, "is an .xlsx workbook or a folder of .csv files"),
        ("job.xls", "this is a workbook of the older .xls kind; save it as .xlsx"),
        ("job.ods", "workbooks ending in .ods are not read; save it as .xlsx"),
        ("job.numbers", "workbooks ending in .numbers are not read; export it as .xlsx"),
        ("parts.csv", "one .csv file is not a job; put it into a folder as parts.csv and name the folder"),
        (
            "job.pdf",
            "files ending in .pdf are not read; a job is an .xlsx workbook or a folder of .csv files",
        ),
        ("job", "files ending in nothing are not read"),
    ],
)
def test_a_path_that_is_no_job_is_refused(tmp_path: Path, name: str, sentence: str) -> None:
    if "." in name or name == "job":
        (tmp_path / name).write_bytes(b"x")
    with pytest.raises(InputError) as refused:
        open_tables(tmp_path / name, KNOWN)
    assert sentence in str(refused.value)


def test_a_folder_without_tables_is_refused(tmp_path: Path) -> None:
    with pytest.raises(InputError, match=r"holds no .csv file; a job needs at least parts.csv"):
        open_tables(tmp_path, KNOWN)
    (tmp_path / "job.xlsx").write_bytes(b"x")
    with pytest.raises(InputError, match=r"holds no .csv file; name the workbook job.xlsx itself"):
        open_tables(tmp_path, KNOWN)
