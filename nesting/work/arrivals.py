"""What came of an order: read from its workbook or the command line, and told beside what was ordered."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from decimal import Decimal, InvalidOperation
from pathlib import Path

from nesting.findings import Finding, InputError
from nesting.plan import Plan
from nesting.read.csv_file import read_csv
from nesting.read.grid import Row, plain
from nesting.read.guards import Unreadable
from nesting.read.xlsx_file import read_workbook
from nesting.report.order import OrderLine
from nesting.report.words import length_words, money_words, size_words
from nesting.rules.sources import material_words
from nesting.work.record import Came, Entry
from nesting.write.order_papers import numbered_lines
from stock.errors import BadLength
from stock.length import parse_length

_COLUMNS = {
    "count": "Came count",
    "length": "Came length",
    "width": "Came width",
    "price": "Paid each",
    "heat": "Heat",
}
_WORD = re.compile(
    r"\s*(?P<line>\d+)\s*=\s*(?P<count>\d+)\s*(?:of\s+(?P<length>[^,;]+?)(?:\s+by\s+(?P<width>[^,;]+?))?)?\s*"
    r"(?:[,;]\s*at\s+(?P<price>[^,;]+?)\s*)?(?:[,;]\s*heat\s+(?P<heat>[^,;]+?)\s*)?"
)


class Arrivals:
    """Collects what came."""

    def __init__(self, plan: Plan) -> None:
        self.plan = plan
        self.lines = {number: line for number, _, line in numbered_lines(plan)}
        self.came: list[Came] = []
        self.found: list[Finding] = []

    def word(self, word: str) -> None:
        """ "1=3", "1=2 of 19' 6, at 61.20, heat H91"."""
        match = _WORD.fullmatch(word)
        place = Finding(code="", sentence="")
        if match is None:
            how = "write 1=3, or 1=2 of 19' 6, at 61.20, heat H91 (line, count, length, price of one, heat)"
            self._wrong(place, "unknown-word", f"{word!r} says of no line what came; {how}")
            return
        self._take({name: value or "" for name, value in match.groupdict().items()}, place)

    def file(self, path: Path) -> None:
        """A filled-in order, workbook or .csv; rows without a count did not come."""
        try:
            rows = read_csv(path) if path.suffix.lower() == ".csv" else _only(read_workbook(path))
        except Unreadable as trouble:
            raise InputError([Finding(code="unreadable", sentence=str(trouble), file=str(path))]) from trouble
        head, columns = _header(rows)
        if head is None:
            sentence = (
                "there is no row with the headers Line and Came count; fill in a workbook that `order` wrote"
            )
            raise InputError([Finding(code="missing-column", sentence=sentence, file=str(path))])
        for row in rows[head + 1 :]:
            cells = {name: row.cells[at].text if at < len(row.cells) else "" for name, at in columns.items()}
            if cells.get("line") and any(cells.get(name) for name in _COLUMNS):
                self._take(cells, Finding(code="", sentence="", file=str(path), row=row.number))

    def entry(self) -> Entry:
        """All that came. Raises InputError with everything that could not be understood."""
        if self.found:
            raise InputError(self.found)
        return Entry(came=tuple(self.came))

    def _take(self, cells: Mapping[str, str], place: Finding) -> None:
        before = len(self.found)
        line = self._line(cells["line"], place)
        count = cells.get("count", "").strip()
        if not re.fullmatch(r"\d{1,6}", count) or not int(count):
            self._wrong(
                place, "bad-count", f"{count!r} is no count of what came; write 1 or more", "Came count"
            )
        length = self._length(cells.get("length", ""), line.length if line else 0, place, "Came length")
        width = self._length(cells.get("width", ""), (line.width or 0) if line else 0, place, "Came width")
        price = self._price(cells.get("price", ""), place)
        if line is None or len(self.found) > before:
            return
        if line.width is None and width:
            self._wrong(
                place, "no-sheet", f"line {cells['line']} is of sticks, which have no width", "Came width"
            )
            return
        self.came.append(
            Came(
                offer=line.offer.id,
                ordered=line.length,
                count=int(count),
                length=length,
                width=width,
                price=price,
                heat=cells.get("heat", "").strip(),
            )
        )

    def _line(self, text: str, place: Finding) -> OrderLine | None:
        number = int(text) if re.fullmatch(r"\d{1,6}", text.strip()) else 0
        if number not in self.lines:
            there = f"lines 1 to {max(self.lines)}" if self.lines else "no lines"
            self._wrong(
                place, "unknown-line", f"there is no line {text.strip()!r}; the order has {there}", "Line"
            )
        return self.lines.get(number)

    def _length(self, text: str, ordered: int, place: Finding, column: str) -> int:
        if not text.strip():
            return ordered
        shop = self.plan.job.shop
        try:
            ticks = parse_length(text, shop.unit, shop.decimal)
        except BadLength as error:
            self._wrong(place, "bad-length", str(error), column)
            return 0
        if ticks <= 0:
            self._wrong(
                place, "bad-length", f"{text!r} is no length; leave it blank if it came as ordered", column
            )
        return ticks

    def _price(self, text: str, place: Finding) -> str:
        """Money for one, as a plain decimal; "" if it is as ordered."""
        bare = text.strip().removeprefix(self.plan.job.shop.currency).strip()
        if self.plan.job.shop.decimal == ",":
            bare = bare.replace(",", ".")
        if not bare:
            return ""
        try:
            price = Decimal(bare)
        except InvalidOperation:
            price = Decimal(-1)
        if not price.is_finite() or price < 0:
            self._wrong(
                place, "bad-money", f"{text.strip()!r} is no price of one; write a number", "Paid each"
            )
        return f"{price:f}" if price.is_finite() else ""

    def _wrong(self, place: Finding, code: str, sentence: str, column: str = "") -> None:
        self.found.append(
            Finding(
                code=code,
                sentence=sentence,
                file=place.file,
                row=place.row,
                column=column if place.file else "",
            )
        )


def difference_lines(plan: Plan, came: tuple[Came, ...]) -> Iterator[str]:
    """What came otherwise than it was ordered, line by line, and what was paid beside what was reckoned."""
    shop, paid, reckoned = plan.job.shop, Decimal(0), Decimal(0)
    for number, _, line in numbered_lines(plan):
        mine = [each for each in came if (each.offer, each.ordered) == (line.offer.id, line.length)]
        if not mine:
            continue
        what = f"line {number}, {material_words(line.offer.material)}"
        count = sum(each.count for each in mine)
        if count != line.count:
            yield f"{what}: {count} came, {line.count} were ordered"
        for each in mine:
            if (each.length, each.width) != (line.length, line.width or 0):
                size = length_words(each.length, shop)
                if each.width:
                    size = size_words(each.length, each.width, shop)
                yield f"{what}: {each.count} came as {size}"
            if line.unit_price is not None:
                paid += each.count * (Decimal(each.price) if each.price else line.unit_price)
                reckoned += each.count * line.unit_price
    if paid != reckoned:
        yield f"paid {money_words(paid, shop)} for what came, reckoned {money_words(reckoned, shop)}"


def _only(sheets: tuple[tuple[str, tuple[Row, ...] | Unreadable], ...]) -> tuple[Row, ...]:
    """The rows of the sheet "order", or of the first one."""
    found = dict(reversed(sheets)).get("order", sheets[0][1] if sheets else ())
    if isinstance(found, Unreadable):
        raise found
    return found


def _header(rows: tuple[Row, ...]) -> tuple[int | None, dict[str, int]]:
    wanted = {plain("Line"): "line", **{plain(header): name for name, header in _COLUMNS.items()}}
    for at, row in enumerate(rows[:20]):
        columns = {wanted[plain(c.text)]: n for n, c in enumerate(row.cells) if plain(c.text) in wanted}
        if {"line", "count"} <= columns.keys():
            return at, columns
    return None, {}
