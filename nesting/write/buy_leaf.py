"""The first leaf of plan.pdf: what to buy, what it costs, how good that is, and what the rack gives."""

from __future__ import annotations

from xml.sax.saxutils import escape

from reportlab.lib.styles import ParagraphStyle
from reportlab.platypus import CondPageBreak, Flowable, Paragraph, Table, TableStyle

from nesting.job import Shop
from nesting.plan import Plan
from nesting.report.cautions import is_heavy
from nesting.report.order import Order, OrderLine, YardOrder
from nesting.report.words import (
    best_possible_words,
    counted,
    goods_words,
    included_words,
    length_words,
    money_words,
    other_words,
    others_heading,
    plan_proof_words,
    size_words,
    stick_words,
    weight_words,
)
from nesting.report.yard_cuts import cuts_words, yard_cut_lines
from nesting.write.flow import BODY, HEADING, RIGHT, TITLE, TickBox, rows_table, strong, text, with_small
from nesting.write.leaf import INK, QUIET
from nesting.write.lettering import BOLD, printable, size_for
from nesting.write.steps import material_words
from stock.rack import RackPiece

_ANSWER = ParagraphStyle("answer", BODY, fontName=BOLD, fontSize=21, leading=25)
_JOB = ParagraphStyle("job", BODY, fontSize=13, leading=17, spaceBefore=6, spaceAfter=8)
_QUESTION = ParagraphStyle("question", BODY, textColor=QUIET)


class Beam(Flowable):
    """A beam with notches, as on the arm of a steelyard."""

    def wrap(self, width: float, height: float) -> tuple[float, float]:
        """Points it takes."""
        self.width, self.height = width, 20.0
        return self.width, self.height

    def draw(self) -> None:
        """Called by reportlab, with the origin at the lower left corner."""
        canvas = self.canv
        canvas.setFillColor(INK)
        canvas.setStrokeColor(INK)
        canvas.rect(0, 14, self.width, 4.5, stroke=0, fill=1)
        canvas.setLineWidth(0.6)
        for notch in range(int(self.width // 8) + 1):
            canvas.line(8 * notch, 14, 8 * notch, 4 if notch % 10 == 0 else 9)


def buy_leaf(plan: Plan, order: Order, width: float) -> list[Flowable]:
    """The answers, the buy list yard by yard, and what to take from the rack; for a width in points."""
    story: list[Flowable] = [Beam(), text(plan.job.name, _JOB), _answers(plan, order, width)]
    story.append(text("Buy", TITLE))
    if not order.yards:
        story.append(text("Nothing: the rack has it all."))
    for yard in order.yards:
        story += _yard(yard, plan, width)
    if order.rack:
        story += _rack(order, plan, width)
    if plan.others:
        story += _others(plan, width)
    return story


def _others(plan: Plan, width: float) -> list[Flowable]:
    """Other choices of yards, and what each costs more."""
    rows: list[list[Flowable | str]] = [[text(what), text(more, RIGHT)] for what, more in other_words(plan)]
    return [
        CondPageBreak(90),
        text(others_heading(plan), HEADING),
        rows_table([0.82 * width, 0.18 * width], ["Choice", "More"], rows),
    ]


def _answers(plan: Plan, order: Order, width: float) -> Table:
    """The three answers; worded as on the page."""
    shop = plan.job.shop
    bought = f"{counted(len(order.yards), 'yard')}, {weight_words(plan.weight_kg, shop)}"
    if order.rack:
        bought += f"; {counted(len(order.rack), 'piece')} from the rack"
    answers = [
        ("Buy", goods_words(order.sticks, order.sheets), bought),
        ("Pay", *_pay(plan, order)),
        ("Best possible?", best_possible_words(plan), plan_proof_words(plan)),
    ]
    wide = [0.32 * width, 0.3 * width, 0.38 * width]
    size = min(
        size_for(printable(answer), BOLD, 21, room - 10, 12)
        for (_, answer, _), room in zip(answers, wide, strict=True)
    )
    style = ParagraphStyle("fitted answer", _ANSWER, fontSize=size)
    cells = [[text(what, _QUESTION), text(answer, style), text(more)] for what, answer, more in answers]
    table = Table([cells], colWidths=wide, hAlign="LEFT")
    table.setStyle(
        TableStyle(
            [("VALIGN", (0, 0), (-1, -1), "TOP"), ("LEFTPADDING", (0, 0), (-1, -1), 0)],
        )
    )
    return table


def _pay(plan: Plan, order: Order) -> tuple[str, str]:
    if all(yard.is_priced for yard in order.yards):
        return money_words(plan.total, plan.job.shop), included_words(plan)
    if plan.total:
        return money_words(plan.total, plan.job.shop), "and what still has no price: see inquiry.csv"
    return "no prices yet", "ask with inquiry.csv"


def _yard(yard: YardOrder, plan: Plan, width: float) -> list[Flowable]:
    shop, name = plan.job.shop, ", ".join(filter(None, (yard.yard.name, yard.coming)))
    if yard.yard.lead_days is not None:
        name = f"{name}, {counted(yard.yard.lead_days, 'day')} from order"
    rows = [_line(line, plan) for line in yard.lines]
    cuts = [(cuts_words(line.yard_cuts), line.cut_total) for line in yard.lines if line.cut_total]
    for what, money in (*cuts, *yard.fees):
        rows.append(["", "", text(what), "", "", "", text(money_words(money, shop), RIGHT)])
    spans = [(row, 2, 5) for row in range(len(yard.lines), len(rows))] + [(len(rows), 2, 4)]
    together = "together" if yard.is_priced else "together, as far as priced"
    weight, total = weight_words(yard.weight_kg, shop), money_words(yard.total, shop)
    rows.append(["", "", strong(together), "", "", strong(weight, RIGHT), strong(total, RIGHT)])
    shares = [0.04, 0.08, 0.24, 0.19, 0.14, 0.13, 0.18]
    heads = ["", "Count", "Material", "Size", "Each", "Weight", "Total"]
    table = rows_table([share * width for share in shares], heads, rows, sums=1, spans=spans)
    return [CondPageBreak(90), text(name, HEADING), table]


def _line(line: OrderLine, plan: Plan) -> list[Flowable | str]:
    shop, offer = plan.job.shop, line.offer
    material: Flowable = strong(material_words(offer.material))
    if offer.note:
        material = Paragraph(
            f"<b>{escape(printable(material_words(offer.material)))}</b><br/>{escape(printable(offer.note))}",
            BODY,
        )
    weight = f"{weight_words(line.weight_each_kg, shop)} each" if line.count > 1 else ""
    lift = "two people" if is_heavy(line.weight_each_kg, plan) else ""
    return [
        TickBox(),
        strong(f"{line.count} ×"),
        material,
        with_small(length_text(line, shop), "; ".join(yard_cut_lines(line.partings, offer, shop))),
        text("no price" if line.unit_price is None else money_words(line.unit_price, shop), RIGHT),
        with_small(weight_words(line.weight_kg, shop), ", ".join(filter(None, (weight, lift))), RIGHT),
        text("–" if line.total is None else money_words(line.total, shop), RIGHT),
    ]


def length_text(line: OrderLine, shop: Shop) -> str:
    """The length of a stick that is ordered, or length and width of a sheet."""
    if line.offer.width is not None:
        return size_words(line.length, line.offer.width, shop)
    if line.cut_by_yard:
        return f"cut to {length_words(line.length, shop)}"
    said = stick_words(line.length, shop)
    return f"{said} to {stick_words(line.offer.longest, shop)}" if line.offer.is_random else said


def _piece_size(piece: RackPiece, shop: Shop) -> str:
    if piece.width is None:
        return length_words(piece.length, shop)
    return size_words(piece.length, piece.width, shop)


def _rack(order: Order, plan: Plan, width: float) -> list[Flowable]:
    shop = plan.job.shop
    rows: list[list[Flowable | str]] = []
    for take in order.rack:
        lift = "two people" if is_heavy(take.weight_kg, plan) else ""
        rows.append(
            [
                TickBox(),
                strong(take.piece.id),
                strong(material_words(take.piece.material)),
                text(_piece_size(take.piece, shop)),
                text(
                    ", ".join(
                        said
                        for said in (take.piece.place, take.piece.heat and f"heat {take.piece.heat}")
                        if said
                    )
                ),
                with_small(weight_words(take.weight_kg, shop), lift, RIGHT),
                text(money_words(take.piece.value, shop), RIGHT),
            ]
        )
    shares = [0.04, 0.1, 0.23, 0.19, 0.15, 0.14, 0.15]
    heads = ["", "Piece", "Material", "Size", "Place", "Weight", "Value"]
    return [
        CondPageBreak(90),
        text("From the rack", HEADING),
        rows_table([s * width for s in shares], heads, rows),
    ]
