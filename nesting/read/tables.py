"""What both containers are read into: tables of cells as they stand, nothing converted yet."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

MAX_ROWS = 20_000
"""Rows of one table; a job beyond that is a slip, or should be several jobs."""
MAX_COLUMNS = 200
MAX_CELL = 2_000
"""Characters of one cell."""

Problem = Literal["", "date", "formula", "error"]


@dataclass(frozen=True, slots=True)
class Cell:
    """One cell as it was found.

    Parameters
    ----------
    text
        As typed, without blanks around it; numbers of a workbook at 15 significant digits, with a decimal point
        and no exponent.
    is_number
        Whether a workbook holds it as a number: its decimal mark is then always the point.
    problem
        Why it cannot be used: a spreadsheet made it a "date", a "formula" has no stored value, or the cell shows
        an "error"; the text is then what is shown. "" if nothing is wrong.
    """

    text: str
    is_number: bool = False
    problem: Problem = ""


@dataclass(frozen=True, slots=True)
class Row:
    """One row that holds something.

    Parameters
    ----------
    number
        As a spreadsheet or an editor shows it.
    cells
        One for each header, blanks as `Cell("")`.
    """

    number: int
    cells: tuple[Cell, ...]


@dataclass(frozen=True, slots=True)
class Table:
    """One table of a job as it was found.

    Parameters
    ----------
    name
        In lower case: "parts".
    file
        The file as the user named it, for findings: "my-job/parts.csv", "my-job.xlsx".
    headers
        As written, never blank; columns without a header are left out (their cells, if any, are findings).
    header_row
        Number of the row with the headers, 0 if the table holds nothing at all.
    rows
        Blank rows left out.
    """

    name: str
    file: str
    headers: tuple[str, ...]
    header_row: int
    rows: tuple[Row, ...]
