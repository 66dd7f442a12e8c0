"""Sheets on the page: drawn to true proportion, every piece named, and all that is asked of a sheet said in words."""

from __future__ import annotations

import html
import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from nesting.plan import Plan
from nesting.report.hole_list import hole_list
from nesting.report.sheet_list import Sheet, cut_steps, sheet_list
from nesting.report.words import length_words, numbered, size_words
from nesting.write.drawings import drawing_names
from nesting.write.page import page_html
from nesting.write.plate_text import label_for
from nesting.write.sheet_picture import (
    MARGIN,
    PAGE,
    PHONE,
    SheetPicture,
    View,
    detail_picture,
    marks_of,
    sheet_picture,
)
from nesting.write.sheet_words import cut_rows, spoken
from tests.nesting.made import inch_plan
from tests.nesting.made_sheets import plate_plan
from tests.nesting.write.crowded import RIB, crowded_plan

CASES = [(plan, sheet) for plan in (plate_plan(), crowded_plan()) for sheet in sheet_list(plan).cut]
SHEETS = pytest.mark.parametrize(("plan", "sheet"), CASES, ids=lambda each: str(getattr(each, "run", "")))
PLANS = pytest.mark.parametrize("plan", [plate_plan(), crowded_plan()], ids=lambda plan: plan.job.name[:12])


@SHEETS
def test_pieces_are_drawn_to_one_scale_both_ways_with_the_datum_at_the_lower_left(
    plan: Plan, sheet: Sheet
) -> None:
    """Areas of all boxes of a mark add up to that of its pieces; y runs upwards; nothing leaves the drawing."""
    picture, layout = sheet_picture(sheet, plan.job), sheet.layout
    (*grounds,) = (box for box in picture.boxes if box.shape.kind == "scrap sheet")
    scale = grounds[0].height / layout.width
    assert sum(box.width for box in grounds) == pytest.approx(layout.length * scale)
    for box in picture.boxes:
        assert MARGIN - 1e-6 <= box.x <= box.x + box.width <= picture.width - MARGIN + 1e-6
        assert MARGIN - 1e-6 <= box.y <= box.y + box.height <= picture.height - MARGIN + 1e-6
        row = next(each for each in grounds if each.y - 1e-6 <= box.y <= each.y + each.height + 1e-6)
        assert row.y + row.height - box.y - box.height == pytest.approx(box.shape.place.y * scale, abs=1e-6)
    for piece in layout.pieces:
        drawn = [box for box in picture.boxes if box.shape.place == piece.place and box.shape.text]
        assert sum(box.width for box in drawn) == pytest.approx(piece.place.length * scale)
        assert {round(box.height, 6) for box in drawn} == {round(piece.place.width * scale, 6)}
    assert picture.datum == pytest.approx((MARGIN, grounds[0].y + grounds[0].height))


@SHEETS
def test_every_piece_is_named_in_the_drawing_or_in_the_larger_one(plan: Plan, sheet: Sheet) -> None:
    """By its mark, or by the number that the mark has in the list."""
    picture = detail_picture(sheet, plan.job) or sheet_picture(sheet, plan.job)
    said = ["".join(line.text for line in label.lines if not line.is_small) for label in picture.page.labels]
    assert picture.unnamed == 0
    for mark, number in marks_of(sheet).items():
        count = sum(piece.mark == mark for piece in sheet.layout.pieces)
        assert said.count(mark) + said.count(str(number)) >= count


@SHEETS
def test_drawings_fit_a_page_and_a_phone(plan: Plan, sheet: Sheet) -> None:
    """Texts keep a readable size on both: nothing below 7 pixels, on a phone as it is shrunk."""
    picture = sheet_picture(sheet, plan.job)
    assert picture.width <= PAGE + 1e-6
    for view, factor in ((picture.page, 1.0), (picture.phone, min(1.0, PHONE / picture.width))):
        sizes = [line.size * factor for label in view.labels for line in label.lines]
        assert min(sizes, default=7.0) >= 7 - 1e-6
        assert all(disc.radius * factor >= 4.5 for disc in view.discs)
        _do_not_overlap(view)


def _do_not_overlap(view: View) -> None:
    for index, disc in enumerate(view.discs):
        for other in view.discs[:index]:
            apart = max(abs(disc.x - other.x), abs(disc.y - other.y))
            assert apart >= disc.radius + other.radius - 1e-6


def test_a_turned_piece_carries_an_arrow_and_no_other_does() -> None:
    """One of five base plates of the sample lies across its sheet."""
    plan = plate_plan()
    pictures: list[SheetPicture] = [sheet_picture(sheet, plan.job) for sheet in sheet_list(plan).cut]
    (picture,) = [each for each in pictures if each.page.arrows]
    (arrow,) = picture.page.arrows
    (turned,) = [box for box in picture.boxes if box.shape.turned]
    assert turned.x < arrow.x < turned.x + turned.width
    assert turned.y < arrow.y < arrow.low < turned.y + turned.height
    assert "turned by a quarter" in turned.shape.title


@given(
    text=st.text("ABCabc-_ 123", min_size=1, max_size=30),
    small=st.text("123 ×", max_size=12),
    width=st.floats(1, 300),
    height=st.floats(1, 300),
    factor=st.sampled_from([0.5, 1.0]),
)
def test_a_label_stays_inside_its_rectangle(
    text: str, small: str, width: float, height: float, factor: float
) -> None:
    """Whatever way it is written, by the width that letters are reckoned at."""
    label = label_for(text, small, "7", (10.0, 20.0, width, height), factor)
    if label is None:
        return
    run, depth = (height, width) if label.upright else (width, height)
    assert max(len(line.text) * line.size * 0.61 for line in label.lines) <= run + 1e-6
    assert sum(line.size for line in label.lines) <= depth + 1e-6
    assert (label.x, label.y) == pytest.approx((10 + width / 2, 20 + height / 2))


@SHEETS
def test_the_cuts_are_told_in_order_with_their_stop_settings(plan: Plan, sheet: Sheet) -> None:
    """No cut is left out where alike ones stand in one row."""
    rows = [row for row in cut_rows(sheet, plan.job) if row.number != "trim"]
    numbers: list[int] = []
    for row in rows:
        first, _, last = row.number.partition("–")
        span = range(int(first), int(last or first) + 1)
        numbers += span
        for number in span:
            step = cut_steps(sheet, plan.job)[number - 1]
            assert row.setting == length_words(step.cut.stop, plan.job.shop)
            assert row.way == step.cut.axis
            assert step.comes_off in row.comes_off
    assert numbers == list(range(1, len(sheet.layout.cuts) + 1))


def test_trims_come_first_and_the_far_ones_have_a_stop_setting() -> None:
    """24 x 12 in, a quarter of an inch off all round: 23 1/2 and 11 1/2 stay."""
    plan = plate_plan()
    sawn = next(sheet for sheet in sheet_list(plan).straight if any(sheet.layout.trims))
    trims = [row for row in cut_rows(sawn, plan.job) if row.number == "trim"]
    assert [(row.way, row.setting) for row in trims] == [
        ("across", ""),
        ("across", '23 1/2"'),
        ("along", ""),
        ("along", '11 1/2"'),
    ]


@SHEETS
def test_the_drawing_is_told_in_words_to_who_cannot_see_it(plan: Plan, sheet: Sheet) -> None:
    """Marks, sizes and places of all pieces and offcuts, as the label of the image."""
    said, shop = spoken(sheet, plan.job), plan.job.shop
    for rect in [*(piece.place for piece in sheet.layout.pieces), *sheet.layout.offcuts]:
        assert f"at {length_words(rect.x, shop)}, {length_words(rect.y, shop)}" in said
    assert f'role="img" aria-label="{said}" viewBox' in html.unescape(page_html(plan))


@PLANS
def test_the_page_names_every_sheet_its_source_and_its_process(plan: Plan) -> None:
    """Under the numbers of the sheet list; whole sheets too."""
    page = page_html(plan)
    section = page.partition('<section id="sheets">')[2].partition("</section>")[0]
    for sheet in sheet_list(plan).sheets:
        layout = sheet.layout
        assert f'<span class="number">{numbered("sheet", [sheet.run])}</span>' in section
        size = size_words(layout.length, layout.width, plan.job.shop)
        assert size in html.unescape(section)
        if layout.pieces:
            assert re.search(f"<h3>{layout.saw or layout.process}: ", section)
    assert section.count('<svg class="plate"') >= len(sheet_list(plan).cut)


def test_the_answer_counts_sticks_and_sheets_apart() -> None:
    """The sample buys two flat bars and three sheets; the bench only sticks."""
    assert "<dd>2 sticks, 3 sheets</dd>" in page_html(plate_plan())
    assert "<dd>2 sticks</dd>" in page_html(inch_plan())
    assert 'id="sheets"' not in page_html(inch_plan())


@PLANS
def test_holes_are_given_in_both_units_with_what_makes_them(plan: Plan) -> None:
    """And why some are to be drilled."""
    section = html.unescape(page_html(plan).partition('<section id="holes">')[2].partition("</section>")[0])
    for each in hole_list(plan):
        for row in each.holes:
            assert f"<b>{row.made_by}</b>" in section
            assert row.why in section
    inches = plan.job.shop.unit == "in"
    assert ('1" = 25.4 mm' in section) == inches
    assert ('100 mm = ~3 15/16"' in section) != inches


@PLANS
def test_every_drawing_of_a_sheet_can_be_opened_from_it(plan: Plan) -> None:
    """A sheet links to its own drawing and to those of its blanks, and to no other."""
    articles = page_html(plan).split('<article class="one">')
    for sheet in sheet_list(plan).cut:
        head = f'<span class="number">{numbered("sheet", [sheet.run])}</span>'
        (article,) = (each for each in articles if head in each)
        assert tuple(re.findall(r'href="(drawings/[^"]*)"', article)) == drawing_names(sheet)


def test_marks_too_long_for_their_pieces_stand_in_the_list_by_number() -> None:
    """A rib of 38 by 12 pixels cannot carry 27 letters."""
    plan = crowded_plan()
    sheet = next(each for each in sheet_list(plan).straight if RIB in marks_of(each))
    page = page_html(plan)
    assert marks_of(sheet)[RIB] == 1
    assert f'<span class="key">1</span> 80 × <b>{RIB}</b>' in page


def test_the_torch_is_told_how_much_it_cuts_on_a_sheet() -> None:
    """Five plates of 8 x 6 in: 5 x 28 in of outline, and two holes of 9/16 in each, 5 x 2 x 9/16 pi = 17.7 in, make
    157.7 in or 13.1 ft; 5 outlines and 10 holes are 15 pierces."""
    assert "13.1 ft of cut, 15 pierces." in page_html(plate_plan())
