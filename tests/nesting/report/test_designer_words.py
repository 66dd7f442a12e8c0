"""Hints and spares in words, and where the papers show them."""

from __future__ import annotations

import io
from dataclasses import replace
from decimal import Decimal
from pathlib import Path

import pytest
from openpyxl import load_workbook

from nesting.check import check_plan
from nesting.cli.summary import summary_lines
from nesting.job import Hole, Shop
from nesting.market import make_plan
from nesting.plan import Hint, Plan
from nesting.report.designer_words import (
    designer_lines,
    leeway_words,
    longer_lines,
    shorter_lines,
    spare_lines,
    spare_words,
)
from nesting.report.hole_list import hole_list
from nesting.report.saw_list import saw_list
from nesting.write import read_plan, write_plan
from nesting.write.page import page_html
from nesting.write.workbook import workbook_bytes
from tests.nesting.made import INCH, inch_plan, metric_plan, tube
from tests.nesting.market.asked import COUNTED, FOOT, job, offer, part
from tests.nesting.market.asked_plates import exact_shop, plate, plate_job, sheet
from tests.nesting.market.test_fill_parts import fill
from tests.nesting.market.test_fill_sheets import spare
from tests.nesting.market.test_hints import soft
from tests.nesting.write.test_paper import said


@pytest.fixture(scope="module")
def plan() -> Plan:
    """Of two clean sticks of 240 in, four LEG and a BAR leave 1 3/8 in of scrap, the others 53 1/2 in to keep."""
    parts = [
        soft("LEG", 5, 48 * INCH, INCH),
        part("BAR", 4, 46 * INCH),
        fill("CLIP", 3, INCH),
        fill("PEG", 2, 90 * INCH),
    ]
    shop = Shop(currency="$", keep_length=24 * INCH)
    made = make_plan(job(parts, [offer(1, 20 * FOOT, "60", clean_ends=2)], INCH // 8, shop=shop), COUNTED)
    assert check_plan(made) == ()
    return made


def test_a_shortening_is_told_with_what_it_saves_and_by_what() -> None:
    hints = (
        Hint(changes=(("A1", INCH // 8),), saves=Decimal("62.47"), words="1 stick fewer"),
        Hint(changes=(("A1", INCH), ("A2", INCH // 2)), saves=Decimal("3.10"), words="cheaper sizes"),
        Hint(changes=(("A2", -INCH * 3 // 4),), saves=Decimal(0), words="could be longer at no cost"),
    )
    base = inch_plan()
    told = replace(base, groups=(replace(base.groups[0], hints=hints),))
    assert list(shorter_lines(told)) == [
        'A1 1/8" shorter: saves $62.47, 1 stick fewer',
        'A1 1" shorter and A2 1/2" shorter: saves $3.10, cheaper sizes',
    ]
    assert list(longer_lines(told)) == [
        f'Of {told.groups[0].name}, longer at no cost, each alone: A2 by 3/4"'
    ]


def test_where_nothing_has_a_price_a_hint_saves_weight() -> None:
    base = metric_plan()
    hint = Hint(changes=(("01", 3_200_000),), saves=Decimal("19.8"), words="1 stick fewer")
    told = replace(base, groups=(replace(base.groups[0], hints=(hint,)), *base.groups[1:]))
    assert list(shorter_lines(told)) == ["01 1 mm shorter: saves 19.8 kg, 1 stick fewer"]


def test_of_many_longer_parts_some_are_named_and_the_others_counted() -> None:
    base = inch_plan()
    hints = tuple(Hint(changes=((f"P{n}", -INCH),), saves=Decimal(0), words="") for n in range(7))
    told = replace(base, groups=(replace(base.groups[0], hints=hints),))
    (line,) = longer_lines(told, most=2)
    assert line == f'Of {told.groups[0].name}, longer at no cost, each alone: P0 by 1", P1 by 1" and 5 more'


def test_a_spare_is_worth_its_material_or_what_was_said() -> None:
    shop = Shop(currency="$")
    assert spare_words(fill("C", 1, INCH), shop) == "spare, worth its material"
    assert spare_words(fill("C", 1, INCH, "1.5"), shop) == "spare, worth $1.50"
    assert spare_words(part("P", 1, INCH, tube()), shop) == ""


def test_a_look_tells_what_a_part_leaves_open() -> None:
    shop = Shop(currency="$")
    assert leeway_words(soft("A", 1, INCH, INCH // 4), shop) == 'may be 1/4" shorter'
    assert leeway_words(fill("C", 1, INCH), shop) == "spare, worth its material"
    assert leeway_words(part("P", 1, INCH, tube()), shop) == ""


def test_spares_of_plate_are_marked_where_their_sheet_is_cut() -> None:
    parts = [plate("P", 1, 20 * INCH, 20 * INCH), spare("C", 2, 4 * INCH, 4 * INCH, "1.50")]
    shop = exact_shop(keep_length=30 * INCH, currency="$")
    made = make_plan(plate_job(parts, [sheet(1, 24 * INCH, 24 * INCH, "50")], shop=shop), COUNTED)
    assert "2 × <b>C</b> spare" in page_html(made)
    assert any("spare, worth $1.50" in line for line in said(made))


def test_the_terminal_tells_spares_and_hints_within_its_width(plan: Plan) -> None:
    lines = list(summary_lines(plan, Path("out")))
    assert any(line.startswith("Spares, cut from what would be scrap: ") for line in lines)
    assert any(", longer at no cost, each alone: " in line for line in lines)
    assert max(map(len, lines)) <= 80
    assert list(spare_lines(plan)) == ["Spares, cut from what would be scrap: 1 of 3 CLIP, 0 of 2 PEG"]


def test_the_terminal_keeps_drawings_to_itself_where_no_part_may_be_shortened(plan: Plan) -> None:
    drawn = tuple(replace(p, may_shorten=0) for p in plan.job.parts)
    lines = summary_lines(replace(plan, job=replace(plan.job, parts=drawn)), Path("out"))
    assert not any(line.startswith("Could be longer") for line in lines)


def test_the_page_and_the_papers_mark_spares_and_tell_what_concerns_the_drawings(plan: Plan) -> None:
    page, paper = page_html(plan), said(plan)
    assert "<b>CLIP</b> spare" in page
    assert "<b>LEG</b> spare" not in page
    assert "spare, worth its material" in page
    assert any("spare, worth its material" in line for line in paper)
    for line in designer_lines(plan):
        assert line.replace('"', "&#34;") in page
        assert any(line.startswith(shown) for shown in paper if len(shown) > 30)


def test_the_workbook_counts_spares_apart_from_what_is_needed(plan: Plan) -> None:
    book = load_workbook(io.BytesIO(workbook_bytes(plan)), data_only=True)
    rows = {row[0]: row for row in book["parts"].iter_rows(values_only=True)}
    header = next(row for row in rows.values() if "Needed" in row)
    at = {name: n for n, name in enumerate(header)}
    assert (rows["CLIP"][at["Needed"]], rows["CLIP"][at["Made"]], rows["CLIP"][at["Open"]]) == (None, 1, None)
    assert rows["CLIP"][at["Spare"]] == "spare, worth its material; 1 of 3"
    assert (rows["LEG"][at["Needed"]], rows["LEG"][at["Open"]]) == (5, 0)
    texts = [
        str(cell) for row in book["cost"].iter_rows(values_only=True) for cell in row if cell is not None
    ]
    assert set(designer_lines(plan)) <= set(texts)


def test_slack_is_that_of_the_pieces_that_must_be_made(plan: Plan) -> None:
    """Four LEG and a BAR end at 238 1/2 in of 240, with four cuts before the last end: 1 1/2 / 4, spares or not."""
    stick = next(s for s in saw_list(plan).cut if any(p.mark == "CLIP" for p in s.layout.pieces))
    assert stick.slack == INCH * 3 // 8


def test_only_spares_that_are_made_are_drilled(plan: Plan) -> None:
    holes = tuple(Hole(mark=mark, x=INCH // 2, y=INCH, diameter=INCH // 4) for mark in ("LEG", "CLIP", "PEG"))
    drilled = hole_list(replace(plan, job=replace(plan.job, holes=holes)))
    assert [(each.part.mark, each.copies) for each in drilled] == [("LEG", 5), ("CLIP", 1)]


def test_a_plan_with_spares_and_hints_is_written_and_read_back_the_same(plan: Plan, tmp_path: Path) -> None:
    write_plan(plan, tmp_path / "out")
    assert read_plan(tmp_path / "out") == plan
