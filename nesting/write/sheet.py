"""One sheet of the workbook: rows written top down, with the styles and the print set-up all sheets share."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal
from typing import Any, TypeAlias

from xlsxwriter import Workbook
from xlsxwriter.utility import xl_col_to_name

from nesting.job import Shop

_HEADER_ROW = 3
_WIDEST = 420
"""Pixels, so that a long note does not push the rest off the page."""


@dataclass(frozen=True, slots=True)
class Formula:
    """A live formula and the value it comes to."""

    text: str
    value: Decimal | float | str | None


Value: TypeAlias = str | int | float | Decimal | Formula | None
Cell: TypeAlias = Value | tuple[Value, str]
"""A value, or a value with the name of its style."""


class Styles:
    """The cell formats of the workbook by name."""

    def __init__(self, book: Workbook, shop: Shop) -> None:
        currency = '"' + shop.currency.replace('"', "") + (" " if shop.currency[-1:].isalnum() else "") + '"'
        money = f"{currency}#,##0.00" if shop.currency else "#,##0.00"
        line: dict[str, object] = {"valign": "top", "font_name": "Calibri", "font_size": 10}
        total: dict[str, object] = {"bold": True, "top": 1, "bg_color": "#EEF1EE"}
        kinds: dict[str, dict[str, object]] = {
            "": {},
            "money": {"num_format": money},
            "unit price": {"num_format": money + "##"},
            "weight": {"num_format": "#,##0.0"},
            "percent": {"num_format": "0.0%"},
            "sum": total,
            "money sum": total | {"num_format": money},
            "weight sum": total | {"num_format": "#,##0.0"},
            "header": {"bold": True, "bottom": 2, "text_wrap": True, "bg_color": "#DDE5E2"},
            "title": {"bold": True, "font_size": 14},
            "remark": {"text_wrap": True},
        }
        self.formats = {name: book.add_format(line | extra) for name, extra in kinds.items()}
        self.ruled = {name: book.add_format(line | extra | {"top": 1}) for name, extra in kinds.items()}
        self.paper = 1 if shop.unit == "in" else 9


class Sheet:
    """Writes rows one below the other.

    Parameters
    ----------
    name
        Of the sheet.
    job
        Name of the job, for the head of each printed page.
    """

    def __init__(self, book: Workbook, styles: Styles, name: str, job: str) -> None:
        self._styles = styles
        self._sheet: Any = book.add_worksheet(name)
        self._at = _HEADER_ROW
        self._columns = 0
        self._titles: tuple[str, str] = ("", "")
        self._ruled: set[int] = set()
        self._cells: dict[int, list[Cell]] = {}
        self._styled: dict[int, str] = {}
        self._set_up_print(job)

    @property
    def row(self) -> int:
        """Number of the row that is written next, as the spreadsheet shows it."""
        return self._at + 1

    def title(self, title: str, subtitle: str) -> None:
        """What stands above the table."""
        self._titles = (title, subtitle)

    def header(self, *names: str) -> None:
        """The heads of the columns; they stay in sight and head every printed page."""
        self._columns = len(names)
        self.write(*names, style="header")
        self._sheet.freeze_panes(_HEADER_ROW + 1, 1)
        self._sheet.repeat_rows(_HEADER_ROW)

    def write(self, *cells: Cell, style: str = "") -> None:
        """The next row."""
        self._cells[self._at] = list(cells)
        self._styled[self._at] = style
        self._at += 1

    def skip(self) -> None:
        """Leave a row empty."""
        self._at += 1

    def rule_above(self, row: int) -> None:
        """Draw a line above a row that is written already, given by its number."""
        self._ruled.add(row - 1)

    def totals(self, start: int, columns: dict[str, str | None]) -> None:
        """A row of sums over the rows from `start` to here, for columns given by letter with their style."""
        end = self.row - 1
        if end < start:
            return
        cells: list[Cell] = ["Together", *[None] * (self._columns - 1)]
        for index in range(1, self._columns):
            letter = xl_col_to_name(index)
            if letter in columns:
                found = sum((_number(self._cells[row - 1][index]) for row in range(start, end + 1)), 0.0)
                cells[index] = (
                    Formula(f"=SUM({letter}{start}:{letter}{end})", found),
                    columns[letter] or "sum",
                )
        self.write(*cells, style="sum")

    def finish(self) -> None:
        """Put everything on the sheet; the titles last, so that they do not widen the first column."""
        for row, cells in self._cells.items():
            for column, cell in enumerate(cells):
                self._put(row, column, cell)
        self._sheet.autofit(_WIDEST)
        self._sheet.write_string(0, 0, clean(self._titles[0]), self._styles.formats["title"])
        self._sheet.write_string(1, 0, clean(self._titles[1]), self._styles.formats[""])
        self._sheet.print_area(0, 0, max(self._at - 1, _HEADER_ROW), max(self._columns - 1, 0))

    def remarks(self, heading: str, texts: Iterable[str]) -> None:
        """Sentences under the table, each across its whole width; only after `finish`."""
        texts = list(texts)
        if not texts:
            return
        self._at += 1
        self._sheet.write_string(self._at, 0, heading, self._styles.formats["title"])
        for text in texts:
            self._at += 1
            self._sheet.merge_range(
                self._at, 0, self._at, self._columns - 1, "", self._styles.formats["remark"]
            )
            self._sheet.write_string(self._at, 0, clean(text), self._styles.formats["remark"])
            self._sheet.set_row(self._at, 14 * (1 + len(text) // 130))
        self._at += 1
        self._sheet.print_area(0, 0, self._at - 1, self._columns - 1)

    def _put(self, row: int, column: int, cell: Cell) -> None:
        value, style = cell if isinstance(cell, tuple) else (cell, self._styled[row])
        formats = self._styles.ruled if row in self._ruled else self._styles.formats
        shape = formats[style]
        match value:
            case None | "":
                self._sheet.write_blank(row, column, None, shape)
            case Formula():
                found = float(value.value) if isinstance(value.value, Decimal) else value.value
                self._sheet.write_formula(row, column, value.text, shape, found)
            case str():
                self._sheet.write_string(row, column, clean(value), shape)
            case _:
                self._sheet.write_number(row, column, float(value), shape)

    def _set_up_print(self, job: str) -> None:
        name = clean(job)[:80].replace("&", "&&")
        self._sheet.set_landscape()
        self._sheet.set_paper(self._styles.paper)
        self._sheet.set_margins(left=0.4, right=0.4, top=0.7, bottom=0.6)
        self._sheet.fit_to_pages(1, 0)
        self._sheet.set_header(f"&L&A&R{name}")
        self._sheet.set_footer("&LSteelyard: no strength is computed&RPage &P of &N")


def _number(cell: Cell) -> float:
    value = cell[0] if isinstance(cell, tuple) else cell
    if isinstance(value, Formula):
        value = value.value
    return float(value) if isinstance(value, (int, float, Decimal)) else 0.0


def clean(text: str) -> str:
    """A text that UTF-8 can hold, and a cell too."""
    return text.encode("utf-8", "replace").decode("utf-8")[:32767]
