"""One row of a table: each cell converted by the column it stands in, every failure a finding."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from functools import cache, lru_cache
from typing import TypeVar

from nesting.findings import Severity
from nesting.read.cells import Style, as_count, as_length, as_money, as_number, as_positive, as_range
from nesting.read.grid import EMPTY, Cell, Row, lookup, plain
from nesting.read.sheet import Findings, Sheet
from stock.errors import BadLength, BadMaterial, BadValue
from stock.material import Material, parse_material

_T = TypeVar("_T")


@lru_cache(maxsize=4096)
def _material(text: str, style: Style, grade: str, finish: str) -> Material:
    """Long tables repeat a few materials."""
    return parse_material(text, unit=style.unit, decimal=style.decimal, grade=grade, finish=finish)


@cache
def _words(choices: tuple[tuple[str, tuple[str, ...]], ...]) -> dict[str, str]:
    return lookup(dict(choices))


@dataclass(slots=True)
class Line:
    """A row being read; `failed` once any of its cells could not be taken."""

    sheet: Sheet
    row: Row
    style: Style
    findings: Findings
    failed: bool = False

    def cell(self, column: str) -> Cell:
        """The cell of a column, empty if the column is not there."""
        at = self.sheet.places.get(column)
        return EMPTY if at is None or at >= len(self.row.cells) else self.row.cells[at]

    def report(self, code: str, sentence: str, column: str = "", severity: Severity = "error") -> None:
        """Keep a finding about this row."""
        self.failed = self.failed or severity == "error"
        self.findings.add(
            code,
            sentence,
            file=self.sheet.file,
            table=self.sheet.table.name,
            row=self.row.number,
            column=column,
            severity=severity,
        )

    def text(self, column: str) -> str:
        """The text of a cell, "" if it is empty."""
        return self._convert(column, lambda cell: cell.text, "", "bad-cell")

    def day(self, column: str) -> str:
        """A date as ISO text, "" if the cell is empty; a workbook may hold it as a date."""
        cell = self.cell(column)
        if not cell.text:
            return ""
        try:
            return date.fromisoformat(cell.text).isoformat()
        except ValueError:
            self.report("bad-date", f"{cell.text!r} is no date; write year-month-day, as 2026-10-09", column)
            return ""

    def length(self, column: str, default: int | None = None, *, positive: bool = False) -> int | None:
        """Ticks, `default` if the cell is empty."""

        def convert(cell: Cell) -> int:
            ticks = as_length(cell, self.style, self.sheet.units.get(column))
            if positive and ticks == 0:
                raise BadLength(f"{cell.text!r} must be above zero; write the length")
            return ticks

        return self._convert(column, convert, default, "bad-length")

    def length_range(self, column: str) -> tuple[int, int] | None:
        """Least and greatest length in ticks."""

        def convert(cell: Cell) -> tuple[int, int]:
            found = as_range(cell, self.style, self.sheet.units.get(column))
            if found[0] == 0:
                raise BadLength(f"{cell.text!r} must be above zero; write the length")
            return found

        return self._convert(column, convert, None, "bad-length")

    def count(self, column: str, default: int | None = None, least: int = 1) -> int | None:
        """A whole number, `default` if the cell is empty."""
        return self._convert(
            column, lambda cell: as_count(cell, self.style.decimal, least), default, "bad-count"
        )

    def money(self, column: str) -> Decimal | None:
        """An amount, None if the cell is empty."""
        return self._convert(column, lambda cell: as_money(cell, self.style.decimal), None, "bad-money")

    def positive(self, column: str) -> Decimal | None:
        """A number above zero, None if the cell is empty."""
        return self._convert(column, lambda cell: as_positive(cell, self.style.decimal), None, "bad-number")

    def angle(self, column: str) -> Decimal | None:
        """Degrees from a square cut, 0 to below 90; None if the cell is empty."""

        def convert(cell: Cell) -> Decimal:
            bare = Cell(cell.text.removesuffix("°").removesuffix("deg").strip(), cell.number)
            try:
                degrees = as_number(bare, self.style.decimal)
            except BadValue as error:
                raise BadValue(
                    f"{cell.text!r} is not an angle; write degrees from a square cut, 0 to below 90"
                ) from error
            if degrees >= 90:
                raise BadValue(
                    f"{cell.text!r} is no mitre; write degrees from a square cut, 0 (square) to below 90"
                )
            return degrees

        return self._convert(column, convert, None, "bad-angle")

    def choice(self, column: str, default: str) -> str:
        """The canonical word of a choice column."""
        choices = self.sheet.table.column(column).choices
        words = _words(choices)

        def convert(cell: Cell) -> str:
            if plain(cell.text) not in words:
                raise BadValue(
                    f"{cell.text!r} is not known; write {' or '.join(name for name, _ in choices)}"
                )
            return words[plain(cell.text)]

        return self._convert(column, convert, default, "bad-choice")

    def material(self, column: str) -> Material | None:
        """The material of a cell, with the grade and finish columns where the table has them."""
        grade, finish = self.text("grade"), self.text("finish")

        def convert(cell: Cell) -> Material:
            try:
                return _material(cell.text, self.style, grade, finish)
            except BadMaterial as error:
                near = f"; near it: {', '.join(error.near[:4])}" if error.near else ""
                raise BadMaterial(f"{error}{near}", error.near) from error

        return self._convert(column, convert, None, "bad-material")

    def clean_ends(self) -> int:
        """How many ends need no trim; none if the cell is empty."""
        return {"both": 2, "one": 1, "none": 0}[self.choice("clean_ends", "none")]

    def check_once(self, column: str, name: str, seen: dict[str, int]) -> None:
        """Report a name that an earlier row has; `seen` holds the row of each name so far."""
        if name and name in seen:
            self.report(
                "name-twice",
                f"{self.text(column)!r} stands in row {seen[name]} too; give each its own, or keep one row",
                column,
            )
        seen.setdefault(name, self.row.number)

    def carried(self) -> tuple[tuple[str, str], ...]:
        """The user's own columns that this row fills."""
        filled = (
            (header, self.row.cells[at]) for header, at in self.sheet.extras if at < len(self.row.cells)
        )
        return tuple((header, cell.text) for header, cell in filled if cell.text)

    def check_shape(self) -> None:
        """Report cells under no header, required cells left empty, and rules that would be ignored."""
        width = self.sheet.width
        beyond = [cell.text for cell in self.row.cells[width:] if cell]
        if beyond:
            self.report(
                "ragged-row",
                f"the row has {len(self.row.cells)} cells but the header {width}; look for a stray or decimal comma, "
                f"or put quotes around the cell (beyond the header: {', '.join(map(repr, beyond[:4]))})",
            )
            return
        for at in self.sheet.unnamed:
            if at < len(self.row.cells) and self.row.cells[at]:
                found = self.row.cells[at].text
                self.report(
                    "no-header", f"{found!r} stands in a column without a header; name it or clear it"
                )
        for column in self.sheet.table.columns:
            cell = self.cell(column.name)
            if column.required and not column.may_be_blank and not cell:
                self.report(
                    "empty-cell",
                    f"the cell is empty; fill it in ({column.explanation.rstrip('.')})",
                    column.name,
                )
            elif column.kind == "refused" and cell and plain(cell.text) not in column.idle:
                why = column.explanation[0].lower() + column.explanation[1:].rstrip(".")
                self.report("not-supported", f"{cell.text!r}: {why}", column.name)

    def _convert(self, column: str, convert: Callable[[Cell], _T], default: _T, code: str) -> _T:
        cell = self.cell(column)
        if cell.trouble:
            self.report("bad-cell", cell.trouble, column)
            return default
        if not cell.text:
            return default
        try:
            return convert(cell)
        except BadValue as error:
            self.report(code, str(error), column)
            return default
