"""What saw hand and office are told of lots, named sources, bundles, and of cuts planned wider than the kerf."""

from __future__ import annotations

import io
import re
from dataclasses import replace
from decimal import Decimal
from functools import cache
from pathlib import Path

from openpyxl import load_workbook

from nesting.check import check_plan
from nesting.cli.summary import summary_lines
from nesting.job import Part, Saw, Shop
from nesting.market import make_plan
from nesting.plan import Plan
from nesting.write.page import page_html
from nesting.write.workbook import workbook_bytes
from stock.material import parse_material
from stock.offer import Yard
from stock.rack import RackPiece
from tests.nesting.market.asked import COUNTED, INCH, TUBE, job, offer, part
from tests.nesting.write.test_paper import said

SHORT = (
    'If the saw cuts 1/64" thicker than said, the last piece of sticks 1–4 comes out short: measure the kerf on a test '
    "cut first, or plan with a kerf_safety."
)


@cache
def bound_plan(safety: int = 0) -> Plan:
    """By hand: 39 + 1/8 + 20 7/8 fill 60 of each of four sticks, slack 0; two of 20 of the piece R1 leave plenty."""
    parts = [
        replace(part("LEG", 4, 39 * INCH), assembly="", together=""),
        replace(part("PAIR", 4, 21 * INCH - INCH // 8)),
        replace(part("A", 1, 20 * INCH), together="left", source="H7"),
        replace(part("B", 1, 20 * INCH), together="left", source="R1"),
    ]
    rack = (RackPiece(id="R1", material=TUBE, length=60 * INCH, clean_ends=2, heat="H7", value=Decimal(3)),)
    saws = (Saw(name="band", kerf=INCH // 8, bundle=3),)
    asked = job(
        parts,
        [offer(1, 60 * INCH, "9.00", clean_ends=2)],
        saws=saws,
        rack=rack,
        shop=Shop(currency="$", kerf_safety=safety),
    )
    return make_plan(asked, COUNTED)


def test_sticks_without_slack_are_named_on_terminal_page_papers_and_workbook() -> None:
    plan = bound_plan()
    assert check_plan(plan) == ()
    assert SHORT in " ".join(line.strip() for line in summary_lines(plan, Path("out")))
    assert SHORT.replace('"', "&#34;") in page_html(plan)
    papers = " ".join(said(plan))
    assert all(words in papers for words in re.split(r" 1.4 ", SHORT))
    title = load_workbook(io.BytesIO(workbook_bytes(plan)))["saw"]["A2"].value
    assert title.endswith(SHORT)


def test_with_a_safety_no_stick_is_named_and_the_width_planned_is_told() -> None:
    plan = bound_plan(INCH // 64)
    assert check_plan(plan) == ()
    page = page_html(plan)
    assert "comes out short" not in page
    assert "kerf 1/8&#34;, each cut planned 9/64&#34; wide, up to 3 sticks together" in page
    assert 'Kerf 1/8", each cut planned 9/64" wide, up to 3 sticks together.' in " ".join(said(plan))


def test_cards_say_how_many_go_through_together_and_to_what_a_part_is_bound() -> None:
    plan = bound_plan()
    page, papers = page_html(plan), " ".join(said(plan))
    assert "4 alike, 3 together, 5&#39; from North" in page
    assert "4 alike, 3 together, 5' from North" in papers
    assert "from H7, together: left" in page
    assert "from R1, together: left" in papers
    rows = list(
        load_workbook(io.BytesIO(workbook_bytes(plan)))["parts"].iter_rows(min_row=4, values_only=True)
    )
    at = rows[0].index("Bound")
    assert [row[at] or "" for row in rows[1:5]] == [
        "",
        "",
        "from H7, together: left",
        "from R1, together: left",
    ]


def test_a_plate_part_comes_from_the_sheet_that_it_names() -> None:
    """The sheet of the rack costs 80.00, one of the yard 30.00."""
    plate = parse_material("plate 1/4", unit="in")
    base = Part(mark="P", qty=2, material=plate, length=8 * INCH, width=6 * INCH)
    rack = (RackPiece(id="S1", material=plate, length=24 * INCH, width=12 * INCH, value=Decimal(80)),)
    sheet = offer(1, 24 * INCH, "30.00", material=plate, width=24 * INCH)
    free = make_plan(job([base], [sheet], rack=rack, yards=(Yard(name="North"),)), COUNTED)
    named = make_plan(
        job([replace(base, source="S1")], [sheet], rack=rack, yards=(Yard(name="North"),)), COUNTED
    )
    assert check_plan(free) == check_plan(named) == ()
    assert (free.groups[0].cost, named.groups[0].cost) == (30, 80)
    (group,) = free.groups
    moved = replace(free, job=named.job)
    assert any("part P is cut from offer 1, due is what it names: S1" in b for b in check_plan(moved))
    assert group.sheets[0].source == "offer 1"
