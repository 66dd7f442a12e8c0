"""One sheet of the workbook: rows written top down, with the styles and the print set-up all sheets share."""

from __future__ import annotations

import io
from collections.abc import Collection, Iterable
from dataclasses import dataclass
from decimal import Decimal
from math import ceil
from typing import Any, TypeAlias

from xlsxwriter import Workbook
from xlsxwriter.utility import xl_col_to_name

from nesting.job import Shop

_HEADER_ROW = 3
_WIDEST = 34
"""Characters, so that a long note does not push the rest off the page: it goes on in the next line."""

_AROUND = 6
"""Pixels between a picture and the sides of its cell."""
_PIXELS_A_CHARACTER = 7

_PLACES = {"money": 2, "unit price": 4, "weight": 1, "percent": 2, "rate": 3, "hours": 2}


@dataclass(frozen=True, slots=True)
class Formula:
    """A live formula and the value it comes to."""

    text: str
    value: Decimal | float | str | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Picture:
    """A picture in a cell.

    Parameters
    ----------
    png
        A PNG file, `pixels` wide.
    width, height
        Pixels of the screen that it takes; a row is at most 545 pixels high.
    said
        What it shows, in words.
    """

    png: bytes
    pixels: int
    width: int
    height: int
    said: str


Value: TypeAlias = str | int | float | Decimal | Formula | None
Cell: TypeAlias = Value | tuple[Value, str]
"""A value, or a value with the name of its style."""


class Styles:
    """The cell formats of the workbook by name."""

    def __init__(self, book: Workbook, shop: Shop) -> None:
        currency = '"' + shop.currency.replace('"', "") + (" " if shop.currency[-1:].isalnum() else "") + '"'
        money = f"{currency}#,##0.00" if shop.currency else "#,##0.00"
        line: dict[str, object] = {"valign": "vcenter", "font_name": "Arial", "font_size": 10}
        total: dict[str, object] = {"bold": True, "top": 1, "bg_color": "#EEF1EE"}
        head: dict[str, object] = {"bold": True, "bottom": 2, "text_wrap": True, "bg_color": "#DDE5E2"}
        kinds: dict[str, dict[str, object]] = {
            "": {},
            "text": {"indent": 1, "text_wrap": True},
            "money": {"num_format": money},
            "unit price": {"num_format": money + "##"},
            "weight": {"num_format": "#,##0.0"},
            "percent": {"num_format": "0.0%"},
            "rate": {"num_format": "0.0##%"},
            "hours": {"num_format": "#,##0.00"},
            "sum": total,
            "money sum": total | {"num_format": money},
            "weight sum": total | {"num_format": "#,##0.0"},
            "hours sum": total | {"num_format": "#,##0.00"},
            "header": head | {"indent": 1},
            "number header": head | {"align": "right"},
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
        self._across = 1.0
        self._titles: tuple[str, str] = ("", "")
        self._ruled: set[int] = set()
        self._cells: dict[int, list[Cell]] = {}
        self._styled: dict[int, str] = {}
        self._pictures: dict[int, tuple[int, Picture]] = {}
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

    def picture(self, column: int, picture: Picture) -> None:
        """Put a picture into a column of the row that is written next; the row becomes as high as it, the column as
        wide."""
        self._pictures[self._at] = (column, picture)

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

    def finish(self, widest: int = _WIDEST, optional: Collection[str] = ()) -> None:
        """Put everything on the sheet, each column as wide as what it shows, up to `widest` characters.

        Columns named in `optional` are hidden if they hold nothing, so that the rest is printed larger.
        """
        widths = [self._width(column, widest) for column in range(self._columns)]
        hidden = {column for column in range(self._columns) if self._is_idle(column, optional)}
        first = self._cells.get(_HEADER_ROW + 1, [])
        for column in range(min(self._columns, len(first))):
            if _is_number(first[column]):
                self._cells[_HEADER_ROW][column] = (_value(self._cells[_HEADER_ROW][column]), "number header")
        for row, cells in self._cells.items():
            self._sheet.set_row(row, max(3 + 13 * _lines(cells, widths), self._place_picture(row)))
            for column, cell in enumerate(cells):
                self._put(row, column, cell)
        for column, width in enumerate(widths):
            self._sheet.set_column(column, column, width, None, {"hidden": column in hidden})
        self._across = sum(width for column, width in enumerate(widths) if column not in hidden)
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
            self._sheet.set_row(self._at, 3 + 13 * ceil(len(text) / self._across))
        self._at += 1
        self._sheet.print_area(0, 0, self._at - 1, self._columns - 1)

    def _width(self, column: int, most: int) -> float:
        """Characters that the longest text of a column takes; of a head, which may wrap, its longest word."""
        widest = max(len(word) for word in str(_value(self._cells[_HEADER_ROW][column])).split())
        shown = [
            cells[column]
            for row, cells in self._cells.items()
            if row != _HEADER_ROW and column < len(cells) and self._styled[row] != "sum"
        ]
        widest = max([widest, *map(_shown_width, shown)])
        pictured = [each.width for at, each in self._pictures.values() if at == column]
        if pictured:
            return (max(pictured) + 2 * _AROUND) / _PIXELS_A_CHARACTER
        padding = 2 if all(isinstance(_value(cell), str | None) for cell in shown) else 3
        return min(widest, most) + padding

    def _is_idle(self, column: int, optional: Collection[str]) -> bool:
        """Whether a column may be hidden, and nothing stands in it."""
        rows = [cells for row, cells in self._cells.items() if row != _HEADER_ROW and column < len(cells)]
        return _value(self._cells[_HEADER_ROW][column]) in optional and not any(
            _value(cells[column]) not in (None, "") for cells in rows
        )

    def _place_picture(self, row: int) -> float:
        """Insert the picture of a row, if it has one; returns the points that it needs."""
        if row not in self._pictures:
            return 0.0
        column, picture = self._pictures[row]
        options = {
            "image_data": io.BytesIO(picture.png),
            "x_offset": _AROUND,
            "y_offset": _AROUND,
            "x_scale": picture.width / picture.pixels,
            "y_scale": picture.width / picture.pixels,
            "object_position": 1,
            "description": picture.said,
        }
        self._sheet.insert_image(row, column, f"{row}.png", options)
        return (picture.height + 2 * _AROUND) * 0.75

    def _put(self, row: int, column: int, cell: Cell) -> None:
        value, style = cell if isinstance(cell, tuple) else (cell, self._styled[row])
        formats = self._styles.ruled if row in self._ruled else self._styles.formats
        shape = formats["text" if isinstance(value, str) and not style else style]
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


def _value(cell: Cell) -> Decimal | float | str | None:
    """What a cell shows, a formula's value included."""
    value = cell[0] if isinstance(cell, tuple) else cell
    return value.value if isinstance(value, Formula) else value


def _is_number(cell: Cell) -> bool:
    return isinstance(_value(cell), (int, float, Decimal))


def _number(cell: Cell) -> float:
    return float(_value(cell) or 0) if _is_number(cell) else 0.0


def _lines(cells: list[Cell], widths: list[float]) -> int:
    """Lines that the longest text of a row takes in its column."""
    return max(_lines_in(cell, width - 1.5) for cell, width in zip(cells, widths, strict=False))


def _lines_in(cell: Cell, width: float) -> int:
    """Lines that a cell takes; a text may have lines of its own."""
    if _is_number(cell):
        return ceil(_shown_width(cell) / width) or 1
    return sum(ceil(len(line) / width) or 1 for line in str(_value(cell) or "").split("\n"))


def _shown_width(cell: Cell) -> int:
    """Characters a cell takes, its currency left to the margin."""
    if not _is_number(cell):
        return max(map(len, str(_value(cell) or "").split("\n")))
    style = cell[1].removesuffix(" sum") if isinstance(cell, tuple) else ""
    places = _PLACES.get(style, 0)
    return len(f"{_number(cell):,.{places}f}") + (2 if places else 0)


def clean(text: str) -> str:
    """A text that UTF-8 can hold, and a cell too."""
    return text.encode("utf-8", "replace").decode("utf-8")[:32767]
