"""Sheets and holes on the papers: to scale, whole, inside the margins, and nothing left out however much there is."""

from __future__ import annotations

import re
import time
from dataclasses import replace
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from reportlab.pdfbase.pdfmetrics import stringWidth

from nesting.plan import Plan
from nesting.report.hole_list import hole_list
from nesting.report.sheet_list import sheet_list
from nesting.report.words import length_words, number_words
from nesting.write.card import Card, Title
from nesting.write.card_line import Line
from nesting.write.drawings import drawing_names, drawings_of
from nesting.write.inscription import inscription
from nesting.write.leaf import FOOT, HEAD, MARGIN, PaperSize, measures
from nesting.write.lettering import fitted, load_letters, printable
from nesting.write.paper import paper_bytes
from nesting.write.places import Place, PlacesHead, places_lines
from nesting.write.scale import Scale, scale_for
from stock.length import PER_INCH
from tests.nesting.made import INCH
from tests.nesting.made_sheets import plate_plan, rect
from tests.nesting.write.crowded import LONG_MARKS, MARKS, crowded_plan
from tests.nesting.write.ink import Ink, leaves_of
from tests.nesting.write.test_paper import said, squares

PLANS = pytest.mark.parametrize(
    "plan", [plate_plan(), crowded_plan()], ids=["all that plates can be", "crowded"]
)
SIZES = pytest.mark.parametrize("size", ["A4", "letter"])
LENGTHS = st.integers(1, 10_000 * PER_INCH)


def ink(plan: Plan, size: PaperSize = "letter") -> list[list[Ink]]:
    """What is drawn on each leaf."""
    return list(leaves_of(paper_bytes(plan, size, compressed=False)))


def leaf_with(leaves: list[list[Ink]], text: str) -> list[Ink]:
    """The first leaf that shows a text."""
    return next(leaf for leaf in leaves if any(each.text == text for each in leaf))


def title_of(plan: Plan, source: str, of_it: str = "") -> str:
    """What stands at the head of the card of the only sheet from a source."""
    (sheet,) = (sheet for sheet in sheet_list(plan).cut if sheet.layout.source == source)
    return f"sheet {sheet.first}{of_it}"


@SIZES
@PLANS
def test_everything_on_sheets_and_holes_lies_inside_the_margins(plan: Plan, size: PaperSize) -> None:
    """Paragraphs may be squeezed by up to 3 points, which their letters as counted here do not know."""
    width, height = measures(size)
    leaves = ink(plan, size)
    assert len(leaves) > 5
    for leaf in leaves:
        for each in leaf:
            assert each.left >= MARGIN - 1, each
            assert each.right <= width - MARGIN + 3, each
            assert each.low >= 20, each
            assert each.high <= height - HEAD + 20, each


@SIZES
@PLANS
def test_what_belongs_between_head_and_foot_stays_there(plan: Plan, size: PaperSize) -> None:
    """Only the head, its rule and the foot lie outside."""
    _, height = measures(size)
    for leaf in ink(plan, size)[1:]:
        above = [each for each in leaf if each.high > height - HEAD + 1]
        below = [each for each in leaf if each.low < FOOT - 1]
        assert {round(each.low - height) for each in above} <= {-36, -41}
        assert {each.low for each in below} <= {26.0}


@SIZES
@PLANS
def test_every_sheet_and_mark_and_stop_setting_stands_on_the_papers(plan: Plan, size: PaperSize) -> None:
    """The number of each sheet, each straight cut's setting, each part by its whole mark."""
    texts, sheets = said(plan, size), sheet_list(plan)
    joined = " ".join(texts)
    for sheet in sheets.cut:
        number = f"sheet {number_words([sheet.run])}"
        assert any(text.startswith(number.partition("–")[0]) for text in texts)
        for cut in sheet.layout.cuts:
            assert length_words(cut.stop, plan.job.shop) in texts
        for trim in sheet.layout.trims:
            assert not trim or length_words(trim, plan.job.shop) in joined
    tight = joined.replace(" ", "")
    for mark in plan.groups[0].marks:
        assert mark.replace(" ", "") in tight


def test_the_torch_sheet_is_drawn_to_the_scale_that_it_states() -> None:
    """24 x 24 in at 1 : 6 is 288 points; four plates of 8 x 6 in, 96 x 72 points, and one turned."""
    leaf = leaf_with(ink(plate_plan()), title_of(plate_plan(), "offer 1"))
    assert any(each.text == 'x, along the length: 24"; drawn 1 : 6' for each in leaf)
    assert sorted(_pieces_on(title_of(plate_plan(), "offer 1"))) == sorted(
        [(96.0, 72.0)] * 4 + [(72.0, 96.0)]
    )


def _pieces_on(title: str) -> list[tuple[float, float]]:
    """Sizes in points of the outlined and filled rectangles in the drawing of a sheet of `plate_plan`."""
    content = paper_bytes(plate_plan(), "letter", compressed=False)
    stream = next(
        found
        for found in re.findall(rb"stream\r?\n(.*?)endstream", content, re.DOTALL)
        if f"({title}) Tj".encode() in found
    )
    drawing = stream[stream.index(f"({title}) Tj".encode()) :]
    found = re.findall(rb"\.894118 \.933333 \.94902 rg\s+n [-\d.]+ [-\d.]+ ([\d.]+) ([\d.]+) re B", drawing)
    return [(round(float(wide), 1), round(float(high), 1)) for wide, high in found]


def test_each_piece_has_a_number_in_the_drawing_and_a_place_in_the_list() -> None:
    """The fifth base plate lies turned at 16 3/4" and 1/4" from the datum corner of its sheet."""
    texts = said(plate_plan())
    at = texts.index(title_of(plate_plan(), "offer 1"))
    listed = texts[texts.index("nearest corner of each piece, from the datum corner:", at) :]
    begin = next(at for at, text in enumerate(listed) if text == "turned") - 4
    assert listed[begin : begin + 5] == ["5", "BP", '16 3/4"', '1/4"', "turned"]


def test_places_on_a_blank_count_from_the_corner_of_the_blank() -> None:
    """A piece moved to the second blank, 24 1/16" along, lies 1/4" from that blank's corner."""
    plan = plate_plan()
    group = plan.groups[1]
    parted_sheet = group.sheets[0]
    (lid,) = parted_sheet.pieces
    moved = replace(
        parted_sheet, pieces=(replace(lid, place=rect(24.3125, 0.5, 22, 20)),), offcuts=(rect(0, 0, 24, 30),)
    )
    groups = (plan.groups[0], replace(group, sheets=(moved, *group.sheets[1:])), plan.groups[2])
    texts = said(replace(plan, groups=groups))
    after = texts[texts.index(title_of(plan, "offer 3", ", blank 2")) :]
    begin = after.index("LID", after.index("nearest corner of each piece, from the datum corner:"))
    assert after[begin : begin + 3] == ["LID", '1/4"', '1/2"']


@PLANS
def test_what_lies_under_the_torch_names_the_drawing_for_its_controller(plan: Plan) -> None:
    """A whole sheet its own, a blank that of the blank; each once, and each is handed over."""
    told = [text.removeprefix("for the controller: ") for text in said(plan) if "for the controller" in text]
    assert told == [
        name
        for sheet in sheet_list(plan).torch
        for name in drawing_names(sheet)[1 if sheet.layout.blanks else 0 :]
    ]
    assert set(told) <= set(drawings_of(plan))


def test_an_offcut_on_a_blank_without_pieces_is_kept_at_the_parting() -> None:
    """Whether it is the whole blank or a part of it; and only once."""
    plan = plate_plan()
    group = plan.groups[1]
    less = replace(group.sheets[0], offcuts=(rect(24.0625, 0, 20, 30),))
    groups = (plan.groups[0], replace(group, sheets=(less, *group.sheets[1:])), plan.groups[2])
    kept = [text for text in said(replace(plan, groups=groups)) if text.startswith("keep 20")]
    assert len(kept) == 1


@PLANS
def test_each_piece_cut_trim_offcut_and_copy_with_holes_has_a_box_to_tick(plan: Plan) -> None:
    """Of every sheet; of the sticks as ever: a box for each piece and one for the whole."""
    due = 0
    for sheet in sheet_list(plan).cut:
        layout = sheet.layout
        due += layout.times * (len(layout.cuts) + len(layout.offcuts) + sum(map(bool, layout.trims)))
        due += layout.times * len(layout.pieces) if layout.process == "torch" else 0
    for part in hole_list(plan):
        due += len(part.holes) + part.copies
    for group in plan.groups:
        due += sum(layout.times * (len(layout.pieces) + 1) for layout in group.layouts)
    assert squares(paper_bytes(plan, compressed=False)) == due


def test_straight_cuts_say_what_comes_off_and_what_is_left_behind() -> None:
    """The first cut of the ripped bar frees a strip, cuts 2 and 3 two ribs, at one stop setting."""
    texts = said(plate_plan())
    steps = texts[texts.index(title_of(plate_plan(), "offer 5")) :]
    ribs = next(text for text in steps if re.fullmatch(r"along: 2 . RIB", text))
    assert steps.index("across: strip") < steps.index(ribs)
    joined = " ".join(steps)
    assert re.search(r'10" . 2" of 10" . 6"; behind the last cut: scrap 10" . 1 3/4"', joined)
    assert re.search(r'behind the cut: keep 27 3/4" . 6"', joined)


def test_a_long_narrow_sheet_is_drawn_in_rows_that_say_which_part_they_show() -> None:
    """6 m by 100 mm: rows from 0 to 6000 mm without a gap."""
    rows = [
        match.groups()
        for text in said(crowded_plan())
        if (match := re.fullmatch(r"x, along the length: (\d+) mm to (\d+) mm; drawn 1 : 8", text))
    ]
    assert len(rows) > 2
    assert [begin for begin, _ in rows] == ["0", *(end for _, end in rows[:-1])]
    assert rows[-1][1] == "6000"


def test_pieces_too_small_for_their_marks_keep_their_numbers_and_are_drawn_once_more_larger() -> None:
    """144 pieces of 20 x 12 on a blank of 1250 mm: all numbers stand in the larger drawing."""
    title = title_of(crowded_plan(), "o4", ", blank 1, larger")
    leaf = leaf_with(ink(crowded_plan(), "A4"), title)
    assert any("drawn 1 : 2" in each.text for each in leaf)
    content = said(crowded_plan(), "A4")
    at = content.index(title)
    drawn = content[at : content.index("nearest corner of each piece, from the datum corner:", at)]
    numbers = {int(text.partition(":")[0]) for text in drawn if re.fullmatch(r"\d+(: \w+)?:?", text)}
    assert numbers == set(range(1, 145))


def test_the_buy_list_counts_sheets_and_says_how_large_they_are() -> None:
    """Three of the five things bought are sheets."""
    texts = said(plate_plan())
    assert "2 sticks, 3 sheets" in texts
    assert any(re.fullmatch(r'48" . 30"', text) for text in texts)


def test_the_hole_list_gives_both_units_and_what_makes_each_hole() -> None:
    """9/16" is torch work in a quarter inch, 1/4" is not: 1.5 thicknesses are 3/8"."""
    texts = said(plate_plan())
    after = texts[texts.index("Holes") :]
    first = after.index("1", after.index("Made by"))
    assert after[first + 1 : first + 3] == ['1"', "25.4 mm"]
    assert "6.35 mm" in after
    made = after[after.index("Made by") : after.index("copies with all holes made")]
    assert made.count("torch") == 2
    assert sum(text.startswith("drill: smaller than") for text in made) == 1


def test_offcuts_of_sheets_stand_with_size_and_weight_among_those_of_sticks() -> None:
    """The rest of the 24 x 12 sheet of half inch: 14 3/8 x 11 1/2 of 40.8 lb, 23.4 lb."""
    texts = said(plate_plan())
    kept = texts[texts.index("Offcuts to keep") : texts.index("Mind")]
    at = next(at for at, text in enumerate(kept) if re.fullmatch(r'14 3/8" . 11 1/2"', text))
    assert kept[at + 1] == "23.4 lb"
    assert kept[at + 2] == title_of(plate_plan(), "offer 4")


def test_a_plate_part_on_a_flat_bar_shows_its_size_beside_its_stop_setting() -> None:
    """A tab 5 x 4 in is sawn at 5 in; one that lies across would be told."""
    plan = plate_plan()
    assert any(re.fullmatch(r'a plate part, 5" . 4"', text) for text in said(plan))
    parts = tuple(
        replace(p, length=p.width, width=p.length) if p.mark == "TAB" else p for p in plan.job.parts
    )
    joined = " ".join(said(replace(plan, job=replace(plan.job, parts=parts))))
    assert "its length lies across the bar" in joined


def test_the_cautions_of_hot_work_and_heavy_sheets_stand_where_the_work_is_told() -> None:
    """Three sheets of 212 kg; a limit of 23 kg."""
    joined = " ".join(said(crowded_plan(), "A4"))
    assert "35 ft (11 m)" in joined[joined.index("Torch") :]
    assert "Heavy: above 23.0 kg".replace(".", ",") in joined
    assert "212 kg" in joined


def test_a_sheet_says_which_holes_its_pieces_have() -> None:
    """So that the torch cuts them before the outline, and the rest is drilled."""
    joined = " ".join(said(plate_plan()))
    assert "1 of them turned by a quarter; 3 holes each: 2 by torch, 1 to drill" in joined


def test_sheets_bought_whole_are_listed_as_not_cut() -> None:
    """Two of them, numbered last."""
    texts = said(crowded_plan())
    assert any(re.fullmatch(r"sheet 8.9", text) for text in texts[texts.index("Not cut") :])


@PLANS
def test_the_papers_with_sheets_are_the_same_each_time(plan: Plan) -> None:
    """Byte for byte."""
    assert paper_bytes(plan) == paper_bytes(plan)


@settings(max_examples=15, deadline=None)
@given(st.text(min_size=1, max_size=200))
def test_no_mark_place_or_name_breaks_the_sheets(text: str) -> None:
    """Any signs, any length, as mark of a part on a torch sheet, as place of a rack sheet, as name of the saw."""
    plan = plate_plan()
    job = plan.job
    if text in {part.mark for part in job.parts}:
        return
    parts = (replace(job.parts[0], mark=text), *job.parts[1:])
    holes = tuple(replace(hole, mark=text) if hole.mark == "BP" else hole for hole in job.holes)
    rack = tuple(replace(piece, place=text) for piece in job.rack)
    torch = plan.groups[0].sheets[0]
    renamed = replace(torch, pieces=tuple(replace(piece, mark=text) for piece in torch.pieces))
    groups = (replace(plan.groups[0], sheets=(renamed,)), *plan.groups[1:])
    content = paper_bytes(
        replace(plan, job=replace(job, parts=parts, holes=holes, rack=rack), groups=groups),
        compressed=False,
    )
    width, _ = measures("letter")
    for leaf in leaves_of(content):
        assert all(each.right <= width - MARGIN + 3 for each in leaf)


def test_twenty_full_sheets_take_less_than_two_seconds() -> None:
    """No two alike: 1600 pieces, each with its outline, its number and its place."""
    plan = crowded_plan()
    torch = plan.groups[0].sheets[0]
    twenty = tuple(replace(torch, times=1, offcuts=torch.offcuts[: n % 2]) for n in range(20))
    begun = time.process_time()
    content = paper_bytes(replace(plan, groups=(replace(plan.groups[0], sheets=twenty), *plan.groups[1:])))
    assert time.process_time() - begun < 2
    assert len(content) > 100_000


@given(
    length=LENGTHS,
    width=LENGTHS,
    across=st.floats(200, 600),
    high=st.floats(250, 500),
    enlarged=st.sampled_from([1, 2, 5]),
)
def test_a_drawing_fits_its_room_at_a_round_scale(
    length: int, width: int, across: float, high: float, enlarged: int
) -> None:
    """All rows together hold the length, none is longer than the room, and nothing is larger than allowed."""
    scale = scale_for(length, width, across, high, 30, enlarged)
    assert scale.rows * scale.row_length >= length
    assert (scale.rows - 1) * scale.row_length < length or scale.rows > length
    assert scale.points(scale.row_length) <= across
    assert scale.rows * (scale.row_height + 30) <= high
    assert scale.down * enlarged >= 1
    assert re.fullmatch(r"1 : \d+(\.\d)?|[25] : 1", scale.words)


def test_a_drawing_fills_its_room() -> None:
    """A sheet of 96 x 48 in on 500 points: 1 : 15 is 460.8 points, 1 : 12 would be 576."""
    scale = scale_for(96 * INCH, 48 * INCH, 500, 400, 30)
    assert (scale.words, scale.rows) == ("1 : 15", 1)


@given(
    text=st.text(st.characters(min_codepoint=33, max_codepoint=126) | st.just(" "), min_size=1, max_size=40),
    small=st.text(st.characters(min_codepoint=33, max_codepoint=126), max_size=10),
    width=st.floats(3, 200),
    height=st.floats(3, 200),
    torn=st.booleans(),
)
def test_what_is_written_into_a_rectangle_fits_it_and_is_whole(
    text: str, small: str, width: float, height: float, torn: bool
) -> None:
    """Else nothing is written."""
    load_letters()
    text = printable(text)
    if not text:
        return
    found = inscription(text, small, width, height, torn=torn)
    if found is None:
        return
    run, depth = (height, width) if found.upright else (width, height)
    assert found.run <= run
    assert found.depth <= depth
    shown = "".join(line for line, *_ in found.lines).replace(" ", "")
    assert shown in (text.replace(" ", ""), text.replace(" ", "") + small)


@given(text=st.text(st.characters(min_codepoint=33, max_codepoint=126), max_size=60), room=st.floats(20, 300))
def test_a_fitted_text_is_never_wider_than_its_room(text: str, room: float) -> None:
    """It shrinks first; what is cut off is shown by "…"."""
    load_letters()
    shown, size = fitted(text, "VeraBd", 14, room, 6)
    assert stringWidth(shown, "VeraBd", size) <= room + 1e-6
    assert 6 <= size <= 14
    assert shown == text or shown.endswith("…")


@given(count=st.integers(0, 60), room=st.floats(60, 700))
def test_no_leaf_ends_with_a_head_of_columns(count: int, room: float) -> None:
    """A card broken anywhere keeps the head together with its first line, and loses no line."""
    load_letters()
    place = Place(number="1", mark="BP", x='1"', y='1"', turned=False)
    plain = Line(order="", setting="", lines=("keep",), size=12)
    lines = [plain, plain, plain, replace(plain, leads=True), *places_lines([place] * count)]
    title = Title(numbers="sheet 1", text="", aside="", lift=False, topic="torch")
    card = Card(title, None, lines)
    if card.wrap(500, 700)[1] <= room:
        return
    halves = card.split(500, room)
    if not halves:
        return
    first, rest = halves
    assert [*first.lines, *rest.lines] == lines
    assert not isinstance(first.lines[-1], PlacesHead)
    assert not first.lines[-1].leads


def test_marks_of_all_lengths_stay_readable_in_the_list_of_places() -> None:
    """The whole of a mark of 24 signs, in one line or two."""
    texts = "".join(said(crowded_plan(), "A4")).replace(" ", "")
    assert all(len(mark) == 26 for mark in LONG_MARKS)
    for mark in MARKS:
        assert texts.count(mark) >= 2


def test_scales_are_written_as_on_drawings() -> None:
    """Reduced, as large as life and enlarged."""
    shown = [Scale(down=Fraction(down), length=1, width=1).words for down in ("8", "2.5", "1", "0.5")]
    assert shown == ["1 : 8", "1 : 2.5", "1 : 1", "2 : 1"]
