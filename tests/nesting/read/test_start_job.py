"""A new job explains itself, overwrites nothing, and can be planned as it stands."""

from __future__ import annotations

import dataclasses
import os
from pathlib import Path

import pytest
from openpyxl import load_workbook

from nesting.check import check_plan
from nesting.findings import InputError, OutputError
from nesting.market import make_plan
from nesting.plan import Settings
from nesting.read import read_job, start_job
from nesting.read.schema import SETTINGS, TABLES
from nesting.read.start import Form

FORMS: tuple[Form, ...] = ("workbook", "csv")


@pytest.mark.parametrize("form", FORMS)
def test_a_new_job_is_a_sound_small_job(tmp_path: Path, form: Form) -> None:
    job = read_job(start_job(tmp_path / "stand", form))
    assert job.name == "stand"
    assert sum(job.copies(part) for part in job.parts) == 38  # two stands of 4 + 2 + 2 + 2 + 4 + 1 + 4 pieces
    assert {(part.is_plate, part.process) for part in job.parts} == {
        (False, None),
        (True, None),
        (True, "saw"),
    }
    assert any(offer.width is not None for offer in job.offers)
    assert all(offer.price is not None and offer.note.startswith("invented price") for offer in job.offers)
    assert [notice.code for notice in job.notices] == ["torch-start"]


def test_both_forms_are_the_same_job(tmp_path: Path) -> None:
    workbook, folder = (read_job(start_job(tmp_path / "stand", form)) for form in FORMS)
    assert dataclasses.replace(workbook, notices=()) == dataclasses.replace(folder, notices=())


def test_a_new_job_can_be_planned(tmp_path: Path) -> None:
    plan = make_plan(read_job(start_job(tmp_path / "stand")), Settings(work=20))
    assert check_plan(plan) == ()
    layouts = [laid for group in plan.groups for laid in (*group.layouts, *group.sheets)]
    assert sum(len(layout.pieces) * layout.times for layout in layouts) == 38


def test_the_plate_parts_of_a_new_job_come_from_a_sheet_and_from_the_flat_bar_of_the_feet(
    tmp_path: Path,
) -> None:
    plan = make_plan(read_job(start_job(tmp_path / "stand")), Settings(work=20))
    (group,) = (group for group in plan.groups if "P1" in group.marks)
    assert group.marks == ("F1", "P1", "P2")
    assert [{piece.mark for piece in sheet.pieces} for sheet in group.sheets] == [{"P1"}]
    assert [{piece.mark for piece in stick.pieces} for stick in group.layouts] == [{"F1", "P2"}]


def test_every_column_of_the_workbook_is_explained_and_choices_drop_down(tmp_path: Path) -> None:
    book = load_workbook(start_job(tmp_path / "stand"))
    assert book.sheetnames == [table.name for table in TABLES]
    for table in TABLES:
        sheet = book[table.name]
        known = {column.name: column for column in table.columns}
        lists = {str(rule.sqref): rule.formula1 for rule in sheet.data_validations.dataValidation}
        assert sheet.freeze_panes == "A2"
        assert {column.name for column in table.columns if column.required} <= {
            cell.value for cell in sheet[1]
        }
        for cell in sheet[1]:
            column = known[str(cell.value)]
            assert cell.comment is not None
            assert column.explanation in cell.comment.text
            if column.choices:
                words = ",".join(word for word, _ in column.choices)
                assert lists[f"{cell.column_letter}2:{cell.column_letter}2000"] == f'"{words}"'


def test_lengths_and_marks_stand_in_columns_of_text_so_that_no_date_comes_of_them(tmp_path: Path) -> None:
    sheet = load_workbook(start_job(tmp_path / "stand"))["parts"]
    formats = {cell.value: sheet.column_dimensions[cell.column_letter].number_format for cell in sheet[1]}
    assert (formats["MARK"], formats["LENGTH"], formats["QTY"]) == ("@", "@", "General")


def test_the_folder_explains_every_column_and_every_setting(tmp_path: Path) -> None:
    folder = start_job(tmp_path / "stand", "csv")
    words = " ".join((folder / "columns.txt").read_text(encoding="utf-8").split())
    shop = (folder / "shop.csv").read_text(encoding="utf-8-sig")
    for table in TABLES:
        assert f"{table.name}.csv: {table.explanation}" in words
        assert (folder / f"{table.name}.csv").is_file()
    assert all(setting.name in shop for setting in SETTINGS if setting.used)


@pytest.mark.parametrize("form", FORMS)
def test_nothing_is_overwritten(tmp_path: Path, form: Form) -> None:
    made = start_job(tmp_path / "stand", form)
    before = sorted(tmp_path.rglob("*"))
    with pytest.raises(
        InputError, match="there is something of this name already, and it is not overwritten"
    ):
        start_job(made, form)
    assert sorted(tmp_path.rglob("*")) == before


@pytest.mark.parametrize("form", FORMS)
def test_what_cannot_be_written_leaves_nothing(tmp_path: Path, form: Form) -> None:
    with pytest.raises(OutputError, match="cannot be written"):
        start_job(tmp_path / "missing" / "stand", form)
    assert os.listdir(tmp_path) == []


def test_endings_follow_the_form(tmp_path: Path) -> None:
    assert start_job(tmp_path / "job.v2").name == "job.v2.xlsx"
    assert start_job(tmp_path / "other.XLSX").name == "other.XLSX"
    with pytest.raises(
        InputError, match=r"a folder of .csv files cannot end with .xlsx; leave the ending away"
    ):
        start_job(tmp_path / "third.xlsx", "csv")
