"""Mitres on page, paper and workbook: slanted ends to scale along the bar, and each cut with its swing."""

from __future__ import annotations

import io
import math
import re
from itertools import pairwise

import pytest
from openpyxl import load_workbook

from nesting.plan import Placed, Rect
from nesting.report.saw_list import saw_list
from nesting.write.page import page_html
from nesting.write.picture import Box, pictures_of
from nesting.write.sheet_words import part_size
from nesting.write.workbook import workbook_bytes
from stock.length import PER_INCH
from tests.nesting.made import inch_plan
from tests.nesting.made_mitres import frame_plan, mixed_mitres_plan
from tests.nesting.write.test_paper import said


def boxes(plan_boxes: tuple[Box, ...], kind: str) -> list[Box]:
    return [box for box in plan_boxes if box.kind.startswith(kind)]


def test_slanted_ends_reach_as_far_along_the_bar_as_they_do() -> None:
    """Braces at 30 degrees on 2 in tube: 2 x tan 30 = 1.1547 in of 120 in is 0.962 % of the drawing."""
    plan = mixed_mitres_plan()
    (block,) = saw_list(plan).blocks
    drawn = pictures_of(block, plan.job.shop)[1].boxes
    pieces = boxes(drawn, "piece")
    assert [box.text for box in pieces] == ["POST", "BRACE", "BRACE", "SILL", "STUB"]
    slant = 100 * 2 * math.tan(math.radians(30)) / 120
    assert pieces[1].leans == pytest.approx((slant, slant))
    assert pieces[3].leans == pytest.approx((100 * 2 / 120, -100 * 2 / 120))
    assert pieces[4].leans == pytest.approx((-100 * 2 / 120, 0))


def test_neighbours_that_share_a_cut_are_parted_by_it_alone_in_the_drawing() -> None:
    """The edges that face each other are parallel, 1/16 in x 1.41421 apart of 96 in."""
    plan = frame_plan()
    (block,) = saw_list(plan).blocks
    pieces = boxes(pictures_of(block, plan.job.shop)[1].boxes, "piece")
    for one, other in pairwise(pieces):
        upper = [
            box.left + corner * box.width
            for box, corner in ((one, one.corners[1]), (other, other.corners[0]))
        ]
        lower = [
            box.left + corner * box.width
            for box, corner in ((one, one.corners[2]), (other, other.corners[3]))
        ]
        for left, right in (upper, lower):
            assert right - left == pytest.approx(100 * math.sqrt(2) / 16 / 96, abs=1e-6)


def test_the_first_corner_of_a_piece_that_leans_right_is_the_lower_one() -> None:
    """ "/" stands further right above than below."""
    box = Box(kind="piece", left=0, width=10, text="", small="", title="", leans=(2, -3))
    assert box.corners == pytest.approx((0.2, 0.7, 1, 0))


def test_the_page_draws_mitred_pieces_as_polygons_and_says_each_cut() -> None:
    page = page_html(mixed_mitres_plan())
    assert len(re.findall(r'<polygon class="piece', page)) == 4
    text = re.sub(r"<[^>]+>|\s+", " ", page)
    assert "bar end 30° right first; cut 30° right" in text
    assert "there 30° is 60°, 45° is 45°" in text


def test_a_page_without_mitres_says_nothing_of_them() -> None:
    page = page_html(inch_plan())
    assert "<polygon" not in page
    assert "mitres" not in page.partition("</style>")[2]


def test_the_papers_for_the_saw_say_how_a_stick_begins_and_what_angles_count_from() -> None:
    joined = " ".join(said(frame_plan()))
    assert "cut the first end 45" in joined
    assert "right, to a point at its clean end" in joined
    assert "Many scales count from the length of the bar" in joined
    assert "right in turn" in joined


def test_the_workbook_has_the_cuts_in_a_column_that_is_hidden_where_there_are_none() -> None:
    for plan, cuts in ((mixed_mitres_plan(), 3), (inch_plan(), 0)):
        sheet = load_workbook(io.BytesIO(workbook_bytes(plan)))["saw"]
        column = next(cell.column_letter for cell in sheet[4] if cell.value == "Mitre cuts")
        texts = [cell.value for cell in sheet[column][4:] if cell.value]
        assert len(texts) == cuts
        assert sheet.column_dimensions[column].hidden == (not cuts)


def test_a_stop_setting_on_the_papers_is_the_extent_of_the_piece() -> None:
    """A brace measures 20 in along each edge and 21.1547 in from point to point."""
    (stick,) = saw_list(mixed_mitres_plan()).cut
    assert round(stick.steps[1].setting / PER_INCH, 4) == 21.1547


def test_a_mitred_part_that_is_cut_square_from_a_flat_bar_still_wants_its_ends() -> None:
    """On a flat bar that is ripped as well."""
    plan = mixed_mitres_plan()
    post, brace = plan.job.parts[:2]
    square = Placed(mark="POST", place=Rect(0, 0, post.extent, PER_INCH), turned=False)
    slanted = Placed(mark="BRACE", place=Rect(0, 0, 21 * PER_INCH, PER_INCH), turned=False)
    assert part_size(post, square, plan.job.shop) == '30"'
    assert part_size(brace, slanted, plan.job.shop) == '21", ends to mitre'
