"""A new job to fill in: every table with its columns explained, and example rows to overwrite."""

from __future__ import annotations

import csv
import os
import shutil
from collections.abc import Callable
from pathlib import Path
from textwrap import fill
from typing import TYPE_CHECKING, Literal

from nesting.findings import Finding, InputError, OutputError
from nesting.read.examples import EXAMPLES, Value
from nesting.read.schema import SETTINGS, SHOP, TABLES, Column, Table
from stock.offer import Basis

if TYPE_CHECKING:
    from openpyxl import Workbook
    from openpyxl.worksheet.worksheet import Worksheet

Form = Literal["workbook", "csv"]

_NUMBERS = ("count", "money", "number", "cut rate")
_LAST_ROW = 2_000
"""Row down to which drop-downs reach."""


def start_job(path: str | os.PathLike[str], form: Form = "workbook") -> Path:
    """Make a job to fill in; its example rows are a small sound job, its prices are invented.

    Parameters
    ----------
    path
        Where; a workbook gets the ending .xlsx if it has none.
    form
        One workbook with a sheet a table, or a folder of .csv files.

    Returns
    -------
    Path
        What was made.

    Raises
    ------
    InputError
        If there is something at the path already, or it has the ending of the other form.
    OutputError
        If it cannot be written; nothing of it is left then.
    """
    place = Path(path)
    if form == "workbook" and place.suffix.lower() != ".xlsx":
        place = place.with_name(f"{place.name}.xlsx")
    elif form == "csv" and place.suffix.lower() in (".xlsx", ".csv"):
        _refuse(place, f"a folder of .csv files cannot end with {place.suffix}; leave the ending away")
    if os.path.lexists(place):
        _refuse(
            place, "there is something of this name already, and it is not overwritten; choose another name"
        )
    _make(place, _write_workbook if form == "workbook" else _write_folder)
    return place


def _refuse(place: Path, sentence: str) -> None:
    raise InputError([Finding(code="exists", sentence=sentence, file=str(place))])


def _make(place: Path, write: Callable[[Path], None]) -> None:
    """Write beside the place, and give it its name when it is whole."""
    new = place.with_name(f".{place.name}.{os.getpid()}.new")
    try:
        write(new)
        new.rename(place)
    except OSError as error:
        if new.is_dir():
            shutil.rmtree(new, ignore_errors=True)
        else:
            new.unlink(missing_ok=True)
        raise OutputError(
            f"{place} cannot be written ({error.strerror}); check that its folder is there and may be written to"
        ) from error


def _columns(table: Table) -> list[Column]:
    """Those that are worth filling in."""
    return [column for column in table.columns if column.kind not in ("unused", "refused")]


def _rows(table: Table) -> list[list[Value]]:
    if table.name == SHOP.name:
        return [[s.name, s.example, s.explanation] for s in SETTINGS if s.used]
    names = [column.name for column in _columns(table)]
    return [[row.get(name, "") for name in names] for row in EXAMPLES[table.name]]


def _explained(column: Column) -> str:
    need = "Needed. " if column.required else ""
    words = _choices(column)
    return f"{need}{column.explanation}" + (f" One of: {', '.join(words)}." if words else "")


def _choices(column: Column) -> tuple[str, ...]:
    return tuple(Basis) if column.name == "per" else tuple(word for word, _ in column.choices)


def _write_folder(folder: Path) -> None:
    folder.mkdir()
    for table in TABLES:
        # With a byte order mark spreadsheet programs show every letter as it was written.
        with (folder / f"{table.name}.csv").open("w", encoding="utf-8-sig", newline="") as stream:
            csv.writer(stream).writerows([[column.name for column in _columns(table)], *_rows(table)])
    with (folder / "columns.txt").open("w", encoding="utf-8", newline="\n") as stream:
        stream.write("\n".join(map(_described, TABLES)))


def _described(table: Table) -> str:
    lines = [f"{table.name}.csv: {table.explanation}"]
    lines += [
        fill(f"{column.name}: {_explained(column)}", 100, initial_indent="  ", subsequent_indent="      ")
        for column in _columns(table)
    ]
    return "\n".join(lines) + "\n"


def _write_workbook(file: Path) -> None:
    from openpyxl import Workbook

    book = Workbook()
    book.remove(book.worksheets[0])
    for table in TABLES:
        _write_sheet(book, table)
    book.save(file)


def _write_sheet(book: Workbook, table: Table) -> None:
    from openpyxl.comments import Comment
    from openpyxl.styles import Font

    sheet = book.create_sheet(table.name)
    columns, rows = _columns(table), _rows(table)
    for at, column in enumerate(columns, 1):
        head = sheet.cell(1, at, column.name)
        head.font = Font(bold=True)
        head.comment = Comment(_explained(column), "Steelyard", width=320, height=110)
        values = [row[at - 1] for row in rows]
        _set_up_column(sheet, at, column, values)
        for number, value in enumerate(values, 2):
            if value != "":
                cell = sheet.cell(number, at, value)
                cell.number_format = _format(column)
    if table.name == SHOP.name:
        for number, setting in enumerate((s for s in SETTINGS if s.used), 2):
            # A decimal mark is offered by its name: a comma would end the word in the list.
            words = tuple(word if word.isalpha() else others[0] for word, others in setting.choices)
            _drop_down(sheet, f"B{number}", words)
    sheet.freeze_panes = "A2"


def _set_up_column(sheet: Worksheet, at: int, column: Column, values: list[Value]) -> None:
    from openpyxl.utils import get_column_letter

    letter = get_column_letter(at)
    widest = max(len(str(value)) for value in [column.name, *values])
    sheet.column_dimensions[letter].width = min(60, max(9, widest + 3))
    sheet.column_dimensions[letter].number_format = _format(column)
    _drop_down(sheet, f"{letter}2:{letter}{_LAST_ROW}", _choices(column))


def _format(column: Column) -> str:
    """Text, so that no spreadsheet turns 1-1/2 into a date or 007 into 7; numbers stay numbers."""
    return "General" if column.kind in _NUMBERS else "@"


def _drop_down(sheet: Worksheet, cells: str, words: tuple[str, ...]) -> None:
    """Offer the words; others are warned about, not refused, because the reader takes other spellings too."""
    from openpyxl.worksheet.datavalidation import DataValidation

    if words:
        rule = DataValidation(
            type="list", formula1=f'"{",".join(words)}"', allow_blank=True, errorStyle="warning"
        )
        sheet.add_data_validation(rule)
        rule.add(cells)
