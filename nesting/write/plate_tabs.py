"""The tabs of the workbook that are about plates: sheets, the pieces on them, straight cuts, pictures and holes."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from math import ceil

from nesting.job import Part
from nesting.plan import Plan
from nesting.report.cautions import is_heavy
from nesting.report.hole_list import PartHoles
from nesting.report.sheet_list import Sheet as Plate
from nesting.report.sheet_list import SheetList, blanks_of
from nesting.report.words import length_words, number_words, shown_weight, size_words, weight_unit
from nesting.write.plate_image import SHARPNESS, png_of
from nesting.write.sheet import Cell, Picture, Sheet
from nesting.write.sheet_picture import SheetPicture, detail_picture, marks_of, sheet_picture
from nesting.write.sheet_words import (
    cut_rows,
    origin_words,
    part_size,
    sheet_size,
    spoken,
    tool_words,
    used_share,
)
from nesting.write.torch_words import torch_words_of
from stock.length import Unit, show_length

_LINES_BESIDE = 28
"""Lines that stand beside a picture; a list that is longer goes on below it."""
_CHARACTERS_BESIDE = 44

Tab = Callable[[str], Sheet]
"""Makes the tab of that name."""


@dataclass(frozen=True, slots=True)
class PieceRows:
    """The first and last row of the tab that counts the pieces on sheets."""

    first: int
    last: int

    def count(self, mark_cell: str) -> str:
        """Formula term: the pieces that carry the mark in a cell."""
        rows = f"${self.first}", f"${self.last}"
        marks, counts = (f"pieces!${column}{rows[0]}:${column}{rows[1]}" for column in "EB")
        return f"SUMPRODUCT(EXACT({marks},{mark_cell})*{counts})"


def write_plates(tab: Tab, plan: Plan, sheets: SheetList) -> PieceRows | None:
    """All tabs about sheets; None, and no tab, if the plan has none."""
    if not sheets.sheets:
        return None
    _write_sheets(tab("sheets"), plan, sheets)
    if not sheets.cut:
        return None
    rows = _write_pieces(tab("pieces"), plan, sheets)
    if any(cut_rows(sheet, plan.job) for sheet in sheets.cut):
        _write_cuts(tab("cuts"), plan, sheets)
    _write_pictures(tab("pictures"), plan, sheets)
    return rows


def _write_sheets(tab: Sheet, plan: Plan, sheets: SheetList) -> None:
    """One row for sheets that are cut alike."""
    shop = plan.job.shop
    tab.title(
        f"{plan.job.name}: sheets",
        "Pieces in one sheet, and the share of its area that they use. More in the tabs pieces, cuts and pictures.",
    )
    tab.header(
        "Sheet", "Alike", "Cut by", "Material", "Grade", "Finish", "From", "Size", "Pieces", "Blanks",
        "Cuts", "Used", "Keep", f"Sheet {weight_unit(shop)}", "Lift", "Done",
    )  # fmt: skip
    for sheet in sheets.sheets:
        layout, material = sheet.layout, sheet.material
        keep = "; ".join(size_words(place.length, place.width, shop) for place in layout.offcuts)
        tab.write(
            number_words([sheet.run]),
            layout.times,
            tool_words(sheet) if layout.pieces else "not cut",
            material.designation,
            material.grade,
            str(material.finish),
            origin_words(sheet),
            sheet_size(sheet, shop),
            len(layout.pieces),
            len(layout.blanks) or None,
            len(layout.cuts) or None,
            (used_share(sheet), "percent"),
            keep,
            (shown_weight(sheet.weight_kg, shop), "weight"),
            "two people" if is_heavy(sheet.weight_kg, plan) else None,
            None,
        )
    tab.finish(optional=("Grade", "Finish", "Blanks", "Cuts", "Keep", "Lift"))


def _write_pieces(tab: Sheet, plan: Plan, sheets: SheetList) -> PieceRows:
    """Every piece in cutting order, with its nearest corner."""
    job, shop = plan.job, plan.job.shop
    parts = {part.mark: part for part in job.parts}
    tab.title(
        f"{job.name}: where the pieces lie",
        "From the datum corner of the sheet or its blank to the nearest corner of the piece: x along the length of "
        "the sheet, y across it.",
    )
    tab.header(
        "Sheet", "Alike", "Blank", "Piece", "Mark", "Size", "x", "y", "Along x", "Along y", "Lies", "Done"
    )
    first = tab.row
    for sheet in sheets.cut:
        start = tab.row
        for blank in blanks_of(sheet):
            for number, piece in enumerate(blank.pieces, 1):
                place = piece.place
                tab.write(
                    number_words([sheet.run]),
                    sheet.layout.times,
                    blank.number if sheet.layout.blanks else None,
                    number,
                    piece.mark,
                    part_size(parts[piece.mark], piece, shop),
                    length_words(place.x - blank.rect.x, shop),
                    length_words(place.y - blank.rect.y, shop),
                    length_words(place.length, shop),
                    length_words(place.width, shop),
                    "turned by a quarter" if piece.turned else None,
                    None,
                )
        tab.rule_above(start)
    tab.finish(optional=("Blank", "Lies"))
    return PieceRows(first, tab.row - 1)


def _write_cuts(tab: Sheet, plan: Plan, sheets: SheetList) -> None:
    """Straight cuts in order, trims first."""
    tab.title(
        f"{plan.job.name}: straight cuts of sheets",
        "In order, each from edge to edge of what lies on the table. Across: the cut stands at right angles to the "
        "length of the sheet.",
    )
    tab.header("Sheet", "Alike", "Cut by", "Cut", "Way", "Stop at", "Comes off", "Left behind it", "Done")
    for sheet in sheets.cut:
        start = tab.row
        for row in cut_rows(sheet, plan.job):
            cells: tuple[Cell, ...] = (row.number, row.way, row.setting, row.comes_off, row.behind)
            tab.write(number_words([sheet.run]), sheet.layout.times, tool_words(sheet), *cells, None)
        if tab.row > start:
            tab.rule_above(start)
    tab.finish(widest=60)


def _write_pictures(tab: Sheet, plan: Plan, sheets: SheetList) -> None:
    """A drawing of each sheet that is cut, with what lies on it beside it."""
    tab.title(
        f"{plan.job.name}: drawings of the sheets",
        "To true proportion. The dot is the datum corner; an arrow means turned by a quarter; hatched: keep; dotted: "
        "scrap.",
    )
    tab.header("Sheet", "Drawing", "On it")
    torch_words = torch_words_of(plan)
    for sheet in sheets.cut:
        lines = _on_it(sheet, plan, torch_words(sheet))
        detail = detail_picture(sheet, plan.job)
        name = number_words([sheet.run])
        _write_picture(tab, name, sheet_picture(sheet, plan.job), spoken(sheet, plan.job), lines)
        if detail is not None:
            _write_picture(
                tab, name, detail, f"The pieces of sheet {name} once more, larger", ["once more, larger"]
            )
    tab.finish(widest=_CHARACTERS_BESIDE)


def _write_picture(tab: Sheet, name: str, drawn: SheetPicture, said: str, lines: Sequence[str]) -> None:
    picture = Picture(
        png=png_of(drawn),
        pixels=round(drawn.width * SHARPNESS),
        width=round(drawn.width),
        height=round(drawn.height),
        said=said,
    )
    tab.picture(1, picture)
    first, *more = _stacks(lines)
    tab.write(name, None, first)
    tab.rule_above(tab.row - 1)
    for stack in more:
        tab.write(name, None, stack)


def _stacks(lines: Sequence[str]) -> list[str]:
    """Lines in as many cells as they need, because a row can only be so high."""
    stacks: list[list[str]] = [[]]
    left = _LINES_BESIDE
    for line in lines:
        needs = ceil(len(line) / _CHARACTERS_BESIDE) or 1
        if needs > left:
            stacks.append([])
            left = _LINES_BESIDE
        stacks[-1].append(line)
        left -= needs
    return ["\n".join(stack) for stack in stacks]


def _on_it(sheet: Plate, plan: Plan, work: str) -> list[str]:
    """Facts about a sheet, then what its pieces are, with the numbers that small ones carry in the drawing."""
    shop, layout = plan.job.shop, sheet.layout
    parts = {part.mark: part for part in plan.job.parts}
    lines = [
        f"{sheet.material.designation}, {sheet_size(sheet, shop)}",
        f"{tool_words(sheet)}, {origin_words(sheet)}",
        *([work] if work else []),
        "",
    ]
    for mark, number in marks_of(sheet).items():
        same = [piece for piece in layout.pieces if piece.mark == mark]
        turned = sum(piece.turned for piece in same)
        said = f"{number}: {len(same)} × {mark}, {part_size(parts[mark], same[0], shop)}"
        lines.append(f"{said}, {turned} turned" if turned else said)
    return [*lines, *(f"keep {size_words(place.length, place.width, shop)}" for place in layout.offcuts)]


def write_holes(tab: Tab, plan: Plan, holes: Sequence[PartHoles]) -> None:
    """Every hole in both units, and what makes it; no tab if there are none."""
    if not holes:
        return
    shop = plan.job.shop
    units: tuple[Unit, Unit] = ("in", "mm") if shop.unit == "in" else ("mm", "in")
    sheet = tab("holes")
    sheet.title(
        f"{plan.job.name}: holes", "From the datum corner of the part: x along its length, y across it."
    )
    heads = [f"{what}, {unit}" for what in ("x", "y", "Diameter") for unit in units]
    sheet.header("Mark", "Copies", "Part", "Hole", *heads, "Made by", "Why", "Face", "Depth", "Done")
    for each in holes:
        start = sheet.row
        for row in each.holes:
            hole = row.hole
            both = [
                show_length(ticks, unit, shop.denominator)
                for ticks in (hole.x, hole.y, hole.diameter)
                for unit in units
            ]
            depth = "through" if hole.depth is None else length_words(hole.depth, shop)
            sheet.write(
                each.part.mark, each.copies, _part_words(each.part, plan), row.number, *both,
                row.made_by, row.why, hole.face, depth, None,
            )  # fmt: skip
        sheet.rule_above(start)
    sheet.finish(optional=("Why", "Face"))


def _part_words(part: Part, plan: Plan) -> str:
    shop = plan.job.shop
    if part.width is None:
        return f"{part.material.designation}, {length_words(part.length, shop)}"
    return f"{part.material.designation}, {size_words(part.length, part.width, shop)}"
