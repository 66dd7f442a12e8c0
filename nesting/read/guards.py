"""What must not be opened, or not be read on: told before it can do harm, with what to do about it."""

from __future__ import annotations

import zipfile
from collections.abc import Sequence
from pathlib import Path

from nesting.read.grid import MAX_CELL, MAX_COLUMNS, MAX_ROWS
from stock.errors import SteelyardError

_OLE = b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1"
_ENCRYPTED = "EncryptedPackage".encode("utf-16-le")
_ZIP = b"PK\x03\x04"
_MAX_FILE = 50_000_000
_MAX_UNPACKED = 200_000_000
_MAX_RATIO = 200
"""Sheets of text shrink to a twentieth or so; only files made to do harm shrink to less than a two-hundredth."""
_SMALL = 10_000_000
"""Bytes unpacked below which any ratio is harmless."""
_MB = 1_000_000
_MAX_CELLS = 20_000_000
_STRICT = b"http://purl.oclc.org/ooxml/spreadsheetml/main"
"""Namespace of the strict kind of .xlsx, which the library does not read."""
_OTHER_KINDS = {
    ".xls": "this is a workbook of the older .xls kind; save it as .xlsx",
    ".xlsb": "workbooks ending in .xlsb are not read; save it as .xlsx",
    ".xltx": "this is a template, not a workbook; open it and save the job as .xlsx",
    ".ods": "workbooks ending in .ods are not read; save it as .xlsx",
    ".fods": "workbooks ending in .fods are not read; save it as .xlsx",
    ".numbers": "workbooks ending in .numbers are not read; export it as .xlsx",
}
CONTAINERS = "a job is an .xlsx workbook or a folder of .csv files"


class Unreadable(SteelyardError):
    """Something that is no table of a job; the text says why and what to do.

    Parameters
    ----------
    row
        Where reading stopped, 0 if nowhere in particular.
    """

    def __init__(self, sentence: str, row: int = 0) -> None:
        super().__init__(sentence)
        self.row = row


def other_kind(path: Path) -> str:
    """What to say of a file that is not an .xlsx workbook, by its ending."""
    suffix = path.suffix.lower()
    if suffix == ".csv":
        return f"one .csv file is not a job; put it into a folder as parts.csv and name the folder ({CONTAINERS})"
    return _OTHER_KINDS.get(suffix, f"files ending in {suffix or 'nothing'} are not read; {CONTAINERS}")


def read_bytes(path: Path) -> bytes:
    """The whole of a file, as long as it can be a table or a workbook of a job.

    Raises
    ------
    Unreadable
        If the file is too large or the system does not hand it over.
    """
    try:
        if path.stat().st_size > _MAX_FILE:
            raise Unreadable(
                f"the file is larger than {_MAX_FILE // _MB} MB, far more than a job; delete what is no table"
            )
        return path.read_bytes()
    except OSError as error:
        raise Unreadable(
            f"the file cannot be opened ({error.strerror}); close it elsewhere and check its permissions"
        ) from error


def check_workbook_head(data: bytes) -> None:
    """Refuse what is named .xlsx but is protected, of an older kind, or no archive at all.

    Raises
    ------
    Unreadable
        With what to do.
    """
    if data.startswith(_OLE):
        if _ENCRYPTED in data:
            raise Unreadable("the workbook is protected by a password; save a copy without one")
        raise Unreadable("this is a workbook of the older .xls kind, whatever its name; save it as .xlsx")
    if not data.startswith(_ZIP):
        raise Unreadable("this is no .xlsx workbook, whatever its name; save it anew as .xlsx")


def check_unpacked_size(archive: zipfile.ZipFile) -> None:
    """Refuse a workbook that would unpack to far more than a job; the sizes it declares bind the unpacking.

    Raises
    ------
    Unreadable
        With how large it would be.
    """
    entries = archive.infolist()
    unpacked = sum(entry.file_size for entry in entries)
    packed = sum(entry.compress_size for entry in entries)
    if unpacked > _MAX_UNPACKED or (unpacked > _SMALL and unpacked > _MAX_RATIO * packed):
        raise Unreadable(
            f"the workbook unpacks to {unpacked // _MB:,} MB, far more than a job; "
            "delete pictures and empty formatted rows, or save the tables as .csv files"
        )


def check_xml(data: bytes) -> None:
    """Refuse XML of the strict kind, or with entities, which can be made to explode and which nobody needs.

    Raises
    ------
    Unreadable
        If it does.
    """
    if b"<!DOCTYPE" in data or b"<!ENTITY" in data:
        raise Unreadable("the workbook holds XML declarations that no workbook needs; save it anew as .xlsx")
    if _STRICT in data:
        raise Unreadable("this is a workbook of the strict kind; save it as an ordinary .xlsx workbook")


def check_text_head(data: bytes) -> None:
    """Refuse a workbook that is only named .csv.

    Raises
    ------
    Unreadable
        With what to do.
    """
    if data.startswith((_ZIP, _OLE)):
        raise Unreadable("this is a workbook or archive that is only named .csv; save the table as .csv text")


def check_text(text: str) -> None:
    """Refuse text with control characters: it is the inside of some other kind of file.

    Raises
    ------
    Unreadable
        If it holds any.
    """
    if any(sign < " " and sign not in "\t\r\n\f" for sign in text):
        raise Unreadable(
            "the file holds control characters, so it is no table; save it as .csv text in UTF-8"
        )


def check_count(rows: int) -> None:
    """Refuse a table with more rows, the header counted, than a job can have; called while reading.

    Raises
    ------
    Unreadable
        If there are too many.
    """
    if rows > MAX_ROWS + 1:
        raise Unreadable(f"the table has more than {MAX_ROWS:,} rows, the most that is taken; split the job")


def check_cells(cells: int) -> None:
    """Refuse a sheet with more cells, blank ones included, than any table has; called while reading.

    Raises
    ------
    Unreadable
        If there are too many.
    """
    if cells > _MAX_CELLS:
        raise Unreadable(
            "the sheet has far more cells than a table; delete empty formatted rows and columns, "
            "or copy the table to a new sheet"
        )


def check_row(number: int, texts: Sequence[str]) -> None:
    """Refuse a row that is wider, or has a longer cell, than any table of a job.

    Raises
    ------
    Unreadable
        If it is.
    """
    if len(texts) > MAX_COLUMNS:
        raise Unreadable(f"the row has more than {MAX_COLUMNS} cells; delete what is no table", number)
    if any(len(text) > MAX_CELL for text in texts):
        raise Unreadable(
            f"a cell has more than {MAX_CELL:,} characters; shorten it, or look for a quote that is not closed",
            number,
        )
