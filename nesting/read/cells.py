"""One cell to one value: numbers, counts, money, lengths; a value that may mean two things is refused."""

from __future__ import annotations

import re
from dataclasses import dataclass
from decimal import Decimal

from nesting.job import Unit
from nesting.read.grid import Cell
from nesting.read.sheet import HeaderUnit
from stock.errors import BadLength, BadValue
from stock.length import length_from_number, parse_length, read_length

MOST = 100_000
"""Largest count taken: more of one thing is a slip."""
_NUMBER = re.compile(r"\d+(?:[.,]\d+)?|[.,]\d+", re.ASCII)
_SIGN = r"[^\w\s.,()+/%#'\"–—−-]"
_MONEY = re.compile(
    rf"(?:[A-Z]{{0,3}}{_SIGN}|[A-Z]{{3}})?\s*([\d.,]+)\s*(?:{_SIGN}|(?!CWT|LBS|PCS|BAR)[A-Z]{{3}})?"
)
"""An amount between currency signs or codes, not between signs that would change it."""
_RANGE = re.compile(r"(.+?)\s*(?:-|–|\bto\b|\.\.)\s*(.+)")


@dataclass(frozen=True, slots=True)
class Style:
    """How the job writes values: unit of bare numbers and decimal mark."""

    unit: Unit = "in"
    decimal: str = "."


def as_number(cell: Cell, decimal: str) -> Decimal:
    """A plain number, zero or more.

    Raises
    ------
    BadValue
        For a text that is no number, or may mean two.
    """
    if cell.number is not None:
        exact = Decimal(f"{cell.number:.15g}") if isinstance(cell.number, float) else Decimal(cell.number)
        if not exact.is_finite() or exact < 0:
            raise BadValue(f"{cell.text!r} must be zero or more; write a plain number")
        return exact
    text = cell.text
    if text.startswith(("-", "−")):
        raise BadValue(f"{text!r} must be zero or more; write a plain number")
    if not _NUMBER.fullmatch(text) or len(text) > 20:
        raise BadValue(f"{text!r} is not a number; write one such as 12{decimal}5, without thousands marks")
    other = "," if decimal == "." else "."
    if other in text:
        swapped, without = text.replace(other, decimal), text.replace(other, "")
        either = f"{without} or {swapped}" if re.fullmatch(r"\d{1,3}[.,]\d{3}", text) else swapped
        raise BadValue(f"{text!r}: the decimal mark of this job is {decimal!r}; write {either}")
    return Decimal(text.replace(",", "."))


def as_positive(cell: Cell, decimal: str) -> Decimal:
    """A plain number above zero; raises BadValue for anything else."""
    number = as_number(cell, decimal)
    if not number:
        raise BadValue(f"{cell.text!r} must be above zero; write a plain number, or leave it blank")
    return number


def as_count(cell: Cell, decimal: str, least: int = 1) -> int:
    """A whole number from `least` to 100,000; raises BadValue for anything else."""
    allowed = f"write a whole number from {least} to {MOST:,}"
    try:
        number = as_number(cell, decimal)
    except BadValue as error:
        raise BadValue(f"{cell.text!r} is not a count; {allowed}") from error
    if number != number.to_integral_value() or not least <= number <= MOST:
        raise BadValue(f"{cell.text!r} is not a count; {allowed}")
    return int(number)


def as_money(cell: Cell, decimal: str) -> Decimal:
    """An amount, with or without a currency sign; raises BadValue for anything else."""
    if cell.number is None and (found := _MONEY.fullmatch(cell.text)):
        return as_number(Cell(found[1]), decimal)
    return as_number(cell, decimal)


def as_length(cell: Cell, style: Style, header_unit: HeaderUnit | None = None) -> int:
    """Ticks; a bare number counts the unit of the header, or else of the job. Raises BadLength."""
    unit: Unit = style.unit if header_unit is None else "in" if header_unit in ("in", "ft") else "mm"
    if cell.number is not None:
        if header_unit in ("ft", "cm", "m"):
            return parse_length(f"{Decimal(cell.text):f} {header_unit}", unit)
        return length_from_number(cell.number, unit)
    if header_unit in ("ft", "cm", "m") and not read_length(cell.text, unit, style.decimal).has_unit:
        return parse_length(f"{cell.text} {header_unit}", unit, style.decimal)
    return parse_length(cell.text, unit, style.decimal)


def as_range(cell: Cell, style: Style, header_unit: HeaderUnit | None = None) -> tuple[int, int]:
    """Least and greatest length of a stick, equal for a fixed one: 20 ft, 16-22 ft. Raises BadLength."""
    found = _RANGE.fullmatch(cell.text)
    try:
        length = as_length(cell, style, header_unit)
        return length, length
    except BadLength:
        if found is None or cell.number is not None:
            raise
    least, most = Cell(found[1]), Cell(found[2])
    try:
        high = as_length(most, style, header_unit)
        has_unit = read_length(least.text, style.unit, style.decimal).has_unit
        unit = re.search(r"[^\d\s./,]+$", most.text)
        if not has_unit and unit is not None:
            least = Cell(f"{least.text} {unit[0]}")
        low = as_length(least, style, header_unit)
    except BadLength as error:
        raise BadLength(f"{cell.text!r} is neither a length nor a range; write 20 ft, or 16-22 ft") from error
    if not low < high:
        raise BadLength(f"{cell.text!r} does not rise; write the least length first, as 16-22 ft")
    return low, high
