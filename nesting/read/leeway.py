"""What a part leaves open: whether it must be made at all, and how much shorter it could be."""

from __future__ import annotations

from decimal import Decimal

from nesting.job import Part
from nesting.read.cells import as_money
from nesting.read.grid import plain
from nesting.read.line import Line
from nesting.read.mitre import mitred_extent
from stock.errors import BadLength, BadValue
from stock.length import show_length

_YES, _NO = ("yes", "y", "true", "x"), ("no", "n", "false")


def read_fill(line: Line) -> Decimal | None:
    """What one piece of a fill part is worth, 0: as much as its material; None: the part must be made."""
    cell = line.cell("fill")
    if not line.text("fill") or plain(cell.text) in _NO:
        return None
    if plain(cell.text) in _YES:
        worth = Decimal(0)
    else:
        try:
            worth = as_money(cell, line.style.decimal).normalize()
        except BadValue:
            worth = Decimal(0)
        if not worth or worth != worth.quantize(Decimal("0.0001")):
            line.report(
                "bad-fill",
                f"{cell.text!r}: write yes (worth its material), no, or the money that one piece is worth, "
                "above zero and to 0.0001 at most",
                "fill",
            )
            return None
    if plain(line.cell("together").text) not in ("", "no"):
        line.report(
            "fill-together",
            f"{line.cell('together').text!r}: a fill part may not be made at all, so it cannot be promised from one "
            "stick with others; clear this cell or fill",
            "together",
        )
    if line.cell("may_shorten"):
        line.report(
            "fill-shorten",
            "a fill part costs nothing, so no hint says what a shorter one saves: may_shorten has no effect here",
            "may_shorten",
            "notice",
        )
    return worth


def read_may_shorten(line: Line, length: int | None) -> int:
    """Ticks by which a part of this length could be made shorter; 0 if the cell is blank or cannot be taken."""
    ticks = line.length("may_shorten", 0) or 0
    if length is not None and ticks >= length > 0:
        was = show_length(length, line.style.unit)
        _too_short(line, f"nothing is left of its {was}; write less than that")
        return 0
    return ticks


def check_shortened(line: Line, part: Part, ticks: int) -> None:
    """Report a mitred part that cannot be made shorter by so much, because its mitres would meet."""
    try:
        if ticks and part.is_mitred:
            ends = part.end_a, part.end_b
            depth = part.material.depth(part.plane)
            mitred_extent(part.length - ticks, depth, ends, part.lean, part.measured)
    except BadLength as error:
        _too_short(line, str(error))


def _too_short(line: Line, why: str) -> None:
    text = line.cell("may_shorten").text
    line.report("bad-shorten", f"{text!r}: made shorter by that, {why}", "may_shorten")


def check_needed(lines: list[Line], parts: tuple[Part, ...]) -> None:
    """Refuse a table in which no part must be made: fill parts are cut from what the others leave."""
    if parts and all(part.is_fill for part in parts) and not any(line.failed for line in lines):
        line = next(line for line in lines if line.row.number == parts[0].row)
        line.report(
            "all-fill",
            "every part is a fill part, and those are cut from what the others leave: clear fill where a part must be "
            "made",
            "fill",
        )
