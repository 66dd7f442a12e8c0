"""The sheets of an .xlsx workbook, as the values stored in it."""

from __future__ import annotations

import datetime
import io
import re
import warnings
import zipfile
from collections.abc import Iterator
from decimal import Context, Decimal
from pathlib import Path
from typing import Any
from xml.etree import ElementTree

from nesting.read.grid import EMPTY, Cell, Row
from nesting.read.guards import (
    Unreadable,
    check_cells,
    check_count,
    check_row,
    check_unpacked_size,
    check_workbook_head,
    check_xml,
    read_bytes,
)

_FIFTEEN_DIGITS = Context(prec=15)
"""As many as a spreadsheet shows and keeps of a number; what binary fractions add behind them is dropped."""
_BROKEN = "the workbook is broken or not whole; open it in the spreadsheet program and save it anew as .xlsx"
_FORMULA = re.compile(rb"<(?:\w+:)?f[\s/>]")
_DATE = (
    "the spreadsheet took this for a date or time ({value}); format the column as text and type the value again, "
    "for example 1 1/2"
)
_NO_VALUE = "this formula has no stored value; open the workbook in the spreadsheet program and save it there"
_ERROR = "the cell shows {value}; mend it in the spreadsheet"

Sheet = tuple[str, tuple[Row, ...] | Unreadable]
"""Its title, and the rows that hold something (or why they cannot be read)."""


def read_workbook(path: Path) -> tuple[Sheet, ...]:
    """Every sheet of a workbook, in order; each row as wide as it is filled.

    Raises
    ------
    Unreadable
        If the workbook as a whole cannot be read: protected, of an older kind, broken or too large.
    """
    data = read_bytes(path)
    check_workbook_head(data)
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as archive:
            check_unpacked_size(archive)
            for name in archive.namelist():
                if name.endswith((".xml", ".rels")):
                    check_xml(archive.read(name))
            sheets = tuple(_sheets(data, archive))
    except Unreadable:
        raise
    except Exception as error:  # what the libraries raise on a broken file is not bounded
        raise Unreadable(_BROKEN) from error
    if not sheets:
        raise Unreadable("the workbook has no sheet with cells; a job has one sheet a table")
    return sheets


def _sheets(data: bytes, archive: zipfile.ZipFile) -> Iterator[Sheet]:
    from openpyxl import load_workbook

    with warnings.catch_warnings():
        # The library warns of drop-downs and formats that it would not write back; nothing is written back here.
        warnings.simplefilter("ignore")
        workbook: Any = load_workbook(io.BytesIO(data), read_only=True, data_only=True)
        for sheet in workbook.worksheets:
            try:
                yield sheet.title, _rows(sheet, _unvalued(archive, sheet._worksheet_path))
            except Unreadable as trouble:
                yield sheet.title, trouble
        workbook.close()


def _rows(sheet: Any, unvalued: frozenset[str]) -> tuple[Row, ...]:
    sheet.reset_dimensions()  # what the file claims of its size may be wrong
    rows: list[Row] = []
    touched = 0
    for number, found in enumerate(sheet.iter_rows(), 1):
        touched += len(found)
        check_cells(touched)
        cells = [EMPTY if cell.value is None and not unvalued else _cell(cell, unvalued) for cell in found]
        while cells and cells[-1] == EMPTY:
            cells.pop()
        if cells:
            check_row(number, [cell.text for cell in cells])
            rows.append(Row(number, tuple(cells)))
            check_count(len(rows))
    return tuple(rows)


def _cell(cell: Any, unvalued: frozenset[str]) -> Cell:
    value = cell.value
    if value is None:
        # Filler between filled cells has no place of its own, and no formula either.
        place = getattr(cell, "coordinate", "")
        return Cell("", trouble=_NO_VALUE) if place in unvalued else EMPTY
    if cell.data_type == "e":
        return Cell(str(value), trouble=_ERROR.format(value=value))
    if isinstance(value, bool):
        return Cell("yes" if value else "no")
    if isinstance(value, int | float):
        return _number(value, cell.number_format)
    if isinstance(value, datetime.date | datetime.time | datetime.timedelta):
        return _date(value)
    return Cell(" ".join(str(value).splitlines()).strip())


def _number(value: int | float, number_format: str) -> Cell:
    number = _FIFTEEN_DIGITS.create_decimal(str(value))
    if not number.is_finite():
        return Cell(str(value), trouble=_ERROR.format(value=value))
    text = _plain(number)
    if set(number_format) == {"0"} and text.isdigit():
        text = text.zfill(len(number_format))  # a mark 007 that the sheet keeps as 7 and shows with its zeros
    return Cell(text, value)


def _plain(number: Decimal) -> str:
    """Without exponent and without zeros behind the point.

    >>> _plain(Decimal("63.50")), _plain(Decimal("1E+3")), _plain(Decimal("-0.0"))
    ('63.5', '1000', '0')
    """
    text = f"{number:f}"
    text = text.rstrip("0").rstrip(".") if "." in text else text
    return "0" if text == "-0" else text


def _date(value: datetime.date | datetime.time | datetime.timedelta) -> Cell:
    if isinstance(value, datetime.datetime) and value.time() == datetime.time():
        value = value.date()
    return Cell(str(value), trouble=_DATE.format(value=value))


def _unvalued(archive: zipfile.ZipFile, name: str) -> frozenset[str]:
    """Cells ("B3") whose formula has no stored value; a formula that ends in an empty text has one."""
    data = archive.read(name)
    if not _FORMULA.search(data):
        return frozenset()
    missing = []
    for _, element in ElementTree.iterparse(io.BytesIO(data)):
        if _tag(element) == "c":
            children = {_tag(child): child for child in element}
            value = children.get("v")
            if "f" in children and (value is None or (not value.text and element.get("t") != "str")):
                missing.append(element.get("r", ""))
        elif _tag(element) == "row":
            element.clear()
    return frozenset(missing)


def _tag(element: ElementTree.Element) -> str:
    return element.tag.rpartition("}")[2]
