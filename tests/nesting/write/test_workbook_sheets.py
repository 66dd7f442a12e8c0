"""The tabs about plates: the sheets of the plan, piece by piece and cut by cut, with drawings that cover no cell."""

from __future__ import annotations

import io
from typing import Any

import pytest
from openpyxl import load_workbook
from openpyxl.utils.units import pixels_to_EMU
from PIL import Image

from nesting.plan import Plan
from nesting.report.hole_list import hole_list
from nesting.report.sheet_list import blanks_of, sheet_list
from nesting.report.words import length_words, number_words, size_words
from nesting.write.plate_image import SHARPNESS, png_of
from nesting.write.sheet_picture import detail_picture, sheet_picture
from nesting.write.sheet_words import cut_rows
from nesting.write.workbook import workbook_bytes
from tests.nesting.made import mixed_plan
from tests.nesting.made_sheets import plate_plan
from tests.nesting.write.crowded import crowded_plan

PLANS = pytest.mark.parametrize("plan", [plate_plan(), crowded_plan()], ids=["press stand", "crowded"])


def _book(plan: Plan, values: bool = True) -> Any:
    return load_workbook(io.BytesIO(workbook_bytes(plan)), data_only=values)


def _rows(tab: Any) -> list[dict[str, Any]]:
    names = [cell.value for cell in tab[4]]
    rows = tab.iter_rows(min_row=5, values_only=True)
    return [dict(zip(names, row, strict=False)) for row in rows]


@PLANS
def test_the_list_holds_every_sheet_under_its_number(plan: Plan) -> None:
    """With size, source, what cuts it, and how much of it is used."""
    shop = plan.job.shop
    for row, sheet in zip(_rows(_book(plan)["sheets"]), sheet_list(plan).sheets, strict=True):
        layout = sheet.layout
        assert (row["Sheet"], row["Alike"]) == (number_words([sheet.run]), layout.times)
        assert row["Size"] == size_words(layout.length, layout.width, shop)
        assert row["Cut by"] == ((layout.saw or layout.process) if layout.pieces else "not cut")
        assert row["Pieces"] == len(layout.pieces)
        used = sum(piece.place.length * piece.place.width for piece in layout.pieces)
        assert row["Used"] == pytest.approx(used / (layout.length * layout.width))


@PLANS
def test_every_piece_has_its_place_from_its_datum_corner(plan: Plan) -> None:
    """That of its blank where there are blanks; pieces add up to what the parts need."""
    shop, rows = plan.job.shop, _rows(_book(plan)["pieces"])
    places = [
        (blank.number if sheet.layout.blanks else None, piece, blank.rect)
        for sheet in sheet_list(plan).cut
        for blank in blanks_of(sheet)
        for piece in blank.pieces
    ]
    for row, (blank, piece, rect) in zip(rows, places, strict=True):
        assert (row["Blank"], row["Mark"]) == (blank, piece.mark)
        assert row["x"] == length_words(piece.place.x - rect.x, shop)
        assert row["y"] == length_words(piece.place.y - rect.y, shop)
        assert bool(row["Lies"]) == piece.turned


@PLANS
def test_cuts_stand_in_order_with_stop_settings(plan: Plan) -> None:
    """As the page has them."""
    wanted = [row for sheet in sheet_list(plan).cut for row in cut_rows(sheet, plan.job)]
    for row, cut in zip(_rows(_book(plan)["cuts"]), wanted, strict=True):
        found = (row["Cut"], row["Way"], row["Stop at"] or "", row["Comes off"])
        assert found == (cut.number, cut.way, cut.setting, cut.comes_off)


@PLANS
def test_drawings_lie_inside_cells_of_their_own(plan: Plan) -> None:
    """In empty cells of the second column, no higher than their rows and no wider than the column."""
    tab = _book(plan)["pictures"]
    drawn = [sheet_picture(sheet, plan.job) for sheet in sheet_list(plan).cut]
    larger = [each for sheet in sheet_list(plan).cut if (each := detail_picture(sheet, plan.job))]
    assert len(tab._images) == len(drawn) + len(larger)
    room = pixels_to_EMU(7 * tab.column_dimensions["B"].width)
    for image in tab._images:
        corner, far = image.anchor._from, image.anchor.to
        assert (corner.col, far.col, far.row) == (1, 1, corner.row)
        assert tab.cell(corner.row + 1, 2).value is None
        assert far.colOff <= room
        points = tab.row_dimensions[corner.row + 1].height
        assert far.rowOff <= pixels_to_EMU(points / 0.75)
        assert (
            points <= 409
        )  # the highest row that a spreadsheet knows (published: Excel specifications and limits)


@PLANS
def test_drawings_have_the_proportions_of_their_sheets(plan: Plan) -> None:
    """The file is as large as the drawing says, and the look of pieces where they lie."""
    for sheet in sheet_list(plan).cut:
        picture = detail_picture(sheet, plan.job) or sheet_picture(sheet, plan.job)
        image = Image.open(io.BytesIO(png_of(picture)))
        assert image.format == "PNG"
        assert image.size == (round(picture.width * SHARPNESS), round(picture.height * SHARPNESS))
        box = max(
            (box for box in picture.boxes if box.shape.text and box.shape.number), key=lambda b: b.width
        )
        inside = SHARPNESS * (box.x + 0.6 * box.width), SHARPNESS * (box.y + 2.5)
        colour = image.convert("RGB").getpixel((round(inside[0]), round(inside[1])))
        assert colour in ((0xCF, 0xE0, 0xE6), (0xF2, 0xE3, 0xBD))


@PLANS
def test_made_is_counted_by_a_live_formula_over_sticks_and_sheets(plan: Plan) -> None:
    """Its stored value is what the part needs; the width of plate parts stands beside their length."""
    stored, live = _rows(_book(plan)["parts"]), _rows(_book(plan, values=False)["parts"])
    for part, row, formulas in zip(plan.job.parts, stored, live, strict=False):
        assert row["Made"] == row["Needed"] == plan.job.copies(part)
        assert "pieces!" in formulas["Made"]
        assert (row["Width"] or "") == ("" if part.width is None else length_words(part.width, plan.job.shop))


@PLANS
def test_holes_stand_in_both_units_with_what_makes_them(plan: Plan) -> None:
    """One row a hole."""
    rows = _rows(_book(plan)["holes"])
    wanted = [(each, row) for each in hole_list(plan) for row in each.holes]
    for found, (each, row) in zip(rows, wanted, strict=True):
        assert (found["Mark"], found["Hole"], found["Made by"]) == (each.part.mark, row.number, row.made_by)
        assert (found["Why"] or "") == row.why
        assert str(found["x, mm"]).endswith("mm")
        assert str(found["x, in"]).endswith('"')


def test_offcuts_of_sheets_stand_below_those_of_sticks() -> None:
    """By size and count, with the sheets that leave them."""
    found = {(row["Size"], row["From"]): row["Count"] for row in _rows(_book(plate_plan())["offcuts"])}
    assert found['184 1/8"', "stick 1"] == 1
    assert found['24" × 11 1/4"', "sheet 3"] == 1
    assert found['23 15/16" × 30"', "sheet 1"] == 1


def test_columns_that_hold_nothing_are_hidden_unless_they_wait_for_an_entry() -> None:
    """Prices, and boxes to tick, stay in sight."""
    plates, mixed = _book(plate_plan()), _book(mixed_plan())

    def hidden(tab: Any) -> set[str]:
        heads = [cell.value for cell in tab[4]]
        spans = [(column.min, column.max) for column in tab.column_dimensions.values() if column.hidden]
        return {head for first, last in spans for head in heads[first - 1 : last]}

    assert "Width" in hidden(mixed["parts"])
    assert "Extra a" not in hidden(mixed["parts"])
    assert "Width" not in hidden(plates["parts"])
    assert "Done" not in hidden(plates["pieces"])
    assert "Price each" not in hidden(plates["buy"])
    assert "Lead days" in hidden(plates["buy"])
