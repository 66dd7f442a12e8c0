"""What both containers are read into: tables of cells, nothing converted yet."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from nesting.findings import Finding

MAX_ROWS = 20_000
"""Rows of one table; a job beyond that is a slip or should be several jobs."""
MAX_COLUMNS = 200
MAX_CELL = 2_000
"""Characters of one cell."""


@dataclass(frozen=True, slots=True)
class Cell:
    """One cell as it was found.

    Parameters
    ----------
    text
        As text, without blanks around it.
    number
        What a workbook holds as a number; None if it holds text.
    trouble
        Why the cell cannot be taken as it stands, as a sentence; "" if it can.
    """

    text: str
    number: int | float | None = None
    trouble: str = ""

    def __bool__(self) -> bool:
        return bool(self.text or self.trouble)


EMPTY = Cell("")


@dataclass(frozen=True, slots=True)
class Row:
    """Cells in the order of the columns; `number` is the row or line that the user's program shows."""

    number: int
    cells: tuple[Cell, ...]


@dataclass(frozen=True, slots=True)
class Grid:
    """A table as it was found.

    Parameters
    ----------
    name
        As the sheet or file is called, without ending.
    file
        File name for findings.
    rows
        Rows that hold something; the first is the header.
    trouble
        What stopped the reading of this table alone; None if nothing did.
    """

    name: str
    file: str
    rows: tuple[Row, ...]
    trouble: Finding | None = None


@dataclass(frozen=True, slots=True)
class Container:
    """All tables of a job.

    Parameters
    ----------
    name
        Of the job.
    file
        File name for findings that belong to no table.
    grids
        In the order of the sheets or files.
    """

    name: str
    file: str
    grids: tuple[Grid, ...]


def plain(text: str) -> str:
    """A name without case, blanks, underscores and marks, for comparing: "Cut length" and "cut_length" are one.

    >>> plain("Cut_Length #"), plain("")
    ('cutlength', '')
    """
    return "".join(sign for sign in text.casefold() if sign.isalnum())


def lookup(names: Mapping[str, tuple[str, ...]]) -> dict[str, str]:
    """From every plain spelling to its name; each name spells itself."""
    return {plain(word): name for name, others in names.items() for word in (name, *others)}
