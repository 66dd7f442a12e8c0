"""A folder of .csv files is read as an editor shows it, and refused with what to do where it is none."""

from __future__ import annotations

from pathlib import Path

import pytest

from nesting.findings import InputError
from nesting.read.containers import open_container
from nesting.read.grid import Container, Grid


def opened(folder: Path, data: bytes, name: str = "parts.csv") -> Grid:
    """The only table of a folder with one file."""
    (folder / name).write_bytes(data)
    (grid,) = open_container(folder).grids
    return grid


def texts(grid: Grid) -> list[tuple[str, ...]]:
    assert grid.trouble is None
    return [tuple(cell.text for cell in row.cells) for row in grid.rows]


def trouble(grid: Grid) -> str:
    assert grid.trouble is not None
    assert grid.rows == ()
    return f"row {grid.trouble.row}: {grid.trouble.sentence}"


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16", "utf-16-le", "utf-16-be", "cp1252"])
@pytest.mark.parametrize("delimiter", [",", ";", "\t"])
def test_every_encoding_and_delimiter_reads_alike(tmp_path: Path, encoding: str, delimiter: str) -> None:
    text = 'MARK,QTY,note\r\n007,2,"Fuß, links"\r\n'.replace(",", delimiter)
    grid = opened(tmp_path, text.encode(encoding))
    assert texts(grid) == [("MARK", "QTY", "note"), ("007", "2", f"Fuß{delimiter} links")]


def test_rows_are_numbered_as_an_editor_numbers_the_line_on_which_they_begin(tmp_path: Path) -> None:
    grid = opened(tmp_path, b'\nMARK,note\n\nA,"two\nlines"\n   \nB,\n')
    assert [(row.number, row.cells[0].text) for row in grid.rows] == [(2, "MARK"), (4, "A"), (7, "B")]
    assert grid.rows[1].cells[1].text == "two lines"


def test_a_line_naming_the_delimiter_is_obeyed_and_counted(tmp_path: Path) -> None:
    grid = opened(tmp_path, b"sep=;\nMARK;a,b\nA;1\n")
    assert texts(grid) == [("MARK", "a,b"), ("A", "1")]
    assert grid.rows[1].number == 3


def test_lengths_in_feet_and_inches_need_no_quotes_around_them(tmp_path: Path) -> None:
    grid = opened(tmp_path, b'MARK,LENGTH\nA,5\' 3-1/2"\nB,"63 1/2"""\n')
    assert texts(grid)[1:] == [("A", "5' 3-1/2\""), ("B", '63 1/2"')]


def test_blank_cells_at_the_end_of_a_row_are_dropped(tmp_path: Path) -> None:
    assert texts(opened(tmp_path, b"MARK,QTY,note\nA,,\nB,1,x,,,\n")) == [
        ("MARK", "QTY", "note"),
        ("A",),
        ("B", "1", "x"),
    ]


@pytest.mark.parametrize(
    ("data", "sentence"),
    [
        (b"PK\x03\x04rest", "row 0: this is a workbook or archive that is only named .csv; save the table"),
        (b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1", "this is a workbook or archive that is only named .csv"),
        (b"MARK\x07,QTY\n", "the file holds control characters, so it is no table"),
        (b"\x00\x01\x00", "the file"),
        (b"\xff\xfeM\x00A", "the file is broken or is no text; save the table as .csv text in UTF-8"),
        (b"MARK,QTY\n\x81\xff,1\n", "the file is broken or is no text"),
        (b'MARK,QTY\nA,1\n"B,2\nC,3\n', "row 3: the quotes do not pair up"),
        (b"MARK,QTY\n" + b"A,1\n" * 20_001, "the table has more than 20,000 rows, the most that is taken"),
        (b"MARK,QTY\n" + b"A," * 201 + b"x\n", "row 2: the row has more than 200 cells"),
        (b"MARK,QTY\n" + b"A" * 2_001 + b",1\n", "row 2: a cell has more than 2,000 characters"),
        (b"MARK,QTY,note\nA;1;x\n", "row 2: the cells are held apart by semicolons, the headers are not"),
        (b"MARK;QTY\nA,1\n", "row 2: the cells are held apart by commas, the headers are not"),
    ],
)
def test_what_is_no_table_is_refused_with_what_to_do(tmp_path: Path, data: bytes, sentence: str) -> None:
    assert sentence in trouble(opened(tmp_path, data))


def test_an_empty_file_is_a_table_without_rows(tmp_path: Path) -> None:
    assert texts(opened(tmp_path, b"\n  \n")) == []


def test_a_full_table_is_read(tmp_path: Path) -> None:
    assert len(texts(opened(tmp_path, b"MARK,QTY\n" + b"A,1\n" * 20_000))) == 20_001


def test_findings_name_the_file_as_the_user_did_and_the_job_is_named_after_the_folder(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    folder = tmp_path / "stand"
    folder.mkdir()
    (folder / "parts.csv").write_bytes(b"MARK\n")
    monkeypatch.chdir(tmp_path)
    assert open_container("stand").grids[0].file == str(Path("stand") / "parts.csv")
    monkeypatch.chdir(folder)
    assert open_container(".").name == "stand"


def test_tables_of_other_kinds_in_a_folder_are_told_and_hidden_files_left_alone(tmp_path: Path) -> None:
    for name in ("parts.csv", "rack.xlsx", "photo.jpg", ".hidden.csv", "~$rack.xlsx"):
        (tmp_path / name).write_bytes(b"MARK\n")
    container: Container = open_container(tmp_path)
    assert [(grid.name, bool(grid.trouble)) for grid in container.grids] == [
        ("parts", False),
        ("rack.xlsx", True),
    ]


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
        open_container(tmp_path / name)
    assert sentence in str(refused.value)


def test_the_folder_of_a_plan_is_no_job(tmp_path: Path) -> None:
    """The results of gate.xlsx, given as a job, say what they are and name the job, if it is there."""
    results = tmp_path / "gate.plan"
    results.mkdir()
    for name in ("plan.json", "inquiry.csv"):
        (results / name).write_bytes(b"x")
    with pytest.raises(
        InputError, match=r"holds a plan \(plan.json\), not a job; name the job that it was made"
    ):
        open_container(results)
    (tmp_path / "gate.xlsx").write_bytes(b"x")
    with pytest.raises(InputError) as refused:
        open_container(results)
    assert f"name its job, {tmp_path / 'gate.xlsx'}, or look the plan over" in str(refused.value)


def test_a_folder_without_tables_is_refused(tmp_path: Path) -> None:
    with pytest.raises(InputError, match=r"holds no .csv file; a job needs at least parts.csv"):
        open_container(tmp_path)
    (tmp_path / "job.xlsx").write_bytes(b"x")
    with pytest.raises(InputError, match=r"holds no .csv file; name the workbook job.xlsx itself"):
        open_container(tmp_path)
