"""What is sent to a yard: the order, or the inquiry where prices are missing, as a workbook to fill in and as a PDF."""

from __future__ import annotations

import io
import re

from reportlab.platypus import Flowable, Spacer
from xlsxwriter import Workbook

from nesting.plan import Plan
from nesting.report.order import OrderLine, YardOrder, order_of
from nesting.report.words import money_words, shown_weight, size_words, stick_words, weight_unit, weight_words
from nesting.report.yard_cuts import yard_cut_lines
from nesting.rules.sources import material_words
from nesting.write.flow import BODY, RIGHT, SMALL, TITLE, rows_table, text
from nesting.write.paper import bound_leaves
from nesting.write.sheet import Cell, Formula, Sheet, Styles, clean

HEADS = (
    "Line", "Material", "Grade", "Finish", "Size", "Count", "Yard cuts", "Each", "All", "Price each", "Price",
    "Came count", "Came length", "Came width", "Paid each", "Heat",
)  # fmt: skip
"""Of the workbook; the last five are filled in when the material comes."""


def numbered_lines(plan: Plan) -> tuple[tuple[int, YardOrder, OrderLine], ...]:
    """Every line of the order with its number, from 1 over all yards."""
    lines = [(yard, line) for yard in order_of(plan).yards for line in yard.lines]
    return tuple((number, yard, line) for number, (yard, line) in enumerate(lines, 1))


def order_papers(plan: Plan) -> dict[str, bytes]:
    """Workbook and PDF for each yard that is bought from, by file name."""
    papers: dict[str, bytes] = {}
    for yard in order_of(plan).yards:
        name = _file_name(yard, papers)
        lines = [(number, line) for number, of, line in numbered_lines(plan) if of.yard == yard.yard]
        papers[f"{name}.xlsx"] = _workbook(plan, yard, lines)
        papers[f"{name}.pdf"] = bound_leaves(plan, "order", lambda w, y=yard, x=lines: _leaf(plan, y, x, w))  # type: ignore[misc]
    return papers


def _file_name(yard: YardOrder, known: dict[str, bytes]) -> str:
    """A name that any disk takes: letters of a to z, digits and dashes."""
    bare = re.sub(r"[^a-z0-9]+", "-", yard.yard.name.lower()).strip("-")[:40] or "yard"
    name, number = f"order-{bare}", 1
    while f"{name}.xlsx" in known:
        number += 1
        name = f"order-{bare}-{number}"
    return name


def _size(line: OrderLine, plan: Plan) -> str:
    shop = plan.job.shop
    return stick_words(line.length, shop) if line.width is None else size_words(line.length, line.width, shop)


def _asked(line: OrderLine, yard: YardOrder, plan: Plan) -> str:
    """What the yard is asked to cut, and how exactly."""
    shop, said = plan.job.shop, list(yard_cut_lines(line.partings, line.offer, plan.job.shop))
    if line.cut_by_yard:
        said.append("cut to this length")
    if said and yard.yard.cut_tolerance:
        said.append(f"tolerance {stick_words(yard.yard.cut_tolerance, shop)}")
    return "; ".join(said)


def _workbook(plan: Plan, yard: YardOrder, lines: list[tuple[int, OrderLine]]) -> bytes:
    stream = io.BytesIO()
    book = Workbook(stream, {"in_memory": True})
    book.set_properties({"title": clean(f"{plan.job.name}: order"), "comments": f"Steelyard {plan.version}"})
    sheet = Sheet(book, Styles(book, plan.job.shop), "order", plan.job.name)
    sheet.title(
        f"{plan.job.name}: {_what(yard)} {yard.yard.name}",
        f"{_coming(yard, plan)}Weights in {weight_unit(plan.job.shop)}. When it comes, fill in the last columns: a "
        "row for each length or heat, with the number of its line; a blank length is as ordered.",
    )
    sheet.header(*HEADS)
    start = sheet.row
    for number, line in lines:
        sheet.write(*_row(number, line, yard, plan, sheet.row))
    sheet.totals(start, {"I": "weight sum", "K": "money sum"})
    sheet.finish(widest=30)
    book.close()
    return stream.getvalue()


def _row(number: int, line: OrderLine, yard: YardOrder, plan: Plan, row: int) -> list[Cell]:
    material, each = line.offer.material, shown_weight(line.weight_each_kg, plan.job.shop)
    money: list[Cell] = [None, None]
    if line.unit_price is not None and line.total is not None:
        money = [(line.unit_price, "money"), (Formula(f"=ROUND(F{row}*J{row},2)", line.total), "money")]
    return [
        number,
        material.designation,
        material.grade,
        material.finish,
        _size(line, plan),
        line.count,
        _asked(line, yard, plan),
        (each, "weight"),
        (Formula(f"=F{row}*H{row}", line.count * each), "weight"),
        *money,
    ]


def _what(yard: YardOrder) -> str:
    return "order to" if yard.is_priced else "inquiry to"


def _coming(yard: YardOrder, plan: Plan) -> str:
    limit = yard.yard.haul_limit
    carried = (
        f", nothing longer than {stick_words(limit, plan.job.shop)}"
        if limit and not yard.is_delivered
        else ""
    )
    return f"To be {yard.coming}{carried}. " if yard.coming else ""


def _leaf(plan: Plan, yard: YardOrder, lines: list[tuple[int, OrderLine]], width: float) -> list[Flowable]:
    shop = plan.job.shop
    rows: list[list[Flowable | str]] = []
    for number, line in lines:
        asked = _asked(line, yard, plan)
        price = "" if line.total is None else money_words(line.total, shop)
        rows.append(
            [
                text(str(number)),
                text(f"{line.count} × {material_words(line.offer.material)}, {_size(line, plan)}"),
                text(asked, SMALL, None),
                text(weight_words(line.weight_kg, shop), RIGHT),
                text(price, RIGHT),
            ]
        )
    shares = [share * width for share in (0.06, 0.44, 0.24, 0.13, 0.13)]
    heavy = f"Together {weight_words(yard.weight_kg, shop)}"
    money = f", {money_words(yard.total, shop)} with fees and cuts as reckoned" if yard.is_priced else ""
    ask = "" if yard.is_priced else " Please quote a price for each line, and when you can deliver."
    return [
        text(f"{_what(yard).capitalize()} {yard.yard.name}", TITLE),
        text(_coming(yard, plan), BODY, None),
        Spacer(1, 6),
        rows_table(shares, ["Line", "Material", "Cuts", "Weight", "Price"], rows),
        Spacer(1, 6),
        text(f"{heavy}{money}.{ask}", BODY, None),
        text("Please mark the heat numbers and send the mill certificates along.", SMALL, None),
    ]
