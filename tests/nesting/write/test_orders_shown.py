"""How each yard's material comes home, and what other choices of yards cost, wherever a plan is handed over."""

from __future__ import annotations

import html
import io
from dataclasses import replace
from decimal import Decimal
from pathlib import Path

from openpyxl import load_workbook

from nesting.cli.summary import summary_lines
from nesting.plan import Order, OtherChoice, Plan
from nesting.write.page import page_html
from nesting.write.paper import paper_bytes
from nesting.write.workbook import workbook_bytes
from tests.nesting.made import inch_plan, mixed_plan
from tests.nesting.write.test_paper import said

OTHER = OtherChoice(
    words="from North Yard and the yard of a very long name indeed by the river", more=Decimal("14.20")
)


def told() -> Plan:
    """The North Yard delivers, the bay is driven to five times; another choice is 14.20 dearer."""
    plan = mixed_plan()
    north, bay = plan.job.yards
    orders = (
        Order(yard=north.name, delivered=True, trips=0),
        Order(yard=bay.name, delivered=False, trips=5),
    )
    job = replace(plan.job, yards=(north, replace(bay, payload_kg=20.0)))
    return replace(plan, job=job, orders=orders, others=(OTHER,))


def _texts(plan: Plan) -> list[str]:
    """Page, papers, workbook and terminal, each as one text."""
    book = load_workbook(io.BytesIO(workbook_bytes(plan)))
    cells = [str(cell.value) for sheet in book for row in sheet.iter_rows() for cell in row if cell.value]
    return [
        html.unescape(page_html(plan)),
        " ".join(said(plan)),
        " ".join(cells),
        " ".join(" ".join(summary_lines(plan, Path("x.plan"))).split()),
    ]


def test_every_way_of_handing_over_says_how_the_material_comes_home() -> None:
    for text in _texts(told()):
        assert "delivered" in text
        assert "picked up in 5 trips" in text


def test_every_way_of_handing_over_says_what_another_choice_costs_more() -> None:
    """The long words are broken into lines; their beginning and the money stand everywhere."""
    for text in _texts(told()):
        assert "from North Yard and the" in text
        assert "+ $14.20" in text


def test_nothing_is_said_of_other_choices_where_there_are_none() -> None:
    for text in _texts(inch_plan()):
        assert "otherwise" not in text
    assert len(paper_bytes(inch_plan())) < len(paper_bytes(replace(inch_plan(), others=(OTHER,) * 9)))


def test_long_words_of_a_choice_keep_to_the_terminal() -> None:
    assert max(map(len, summary_lines(told(), Path("x.plan")))) <= 80
