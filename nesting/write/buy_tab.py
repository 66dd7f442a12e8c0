"""The tab of the workbook that says what to buy and what to take from the rack; other tabs refer to its sums."""

from __future__ import annotations

from decimal import Decimal

from nesting.job import Shop
from nesting.plan import Plan
from nesting.report.cautions import is_heavy
from nesting.report.order import Order, OrderLine
from nesting.report.words import (
    length_words,
    plan_proof_words,
    shown_weight,
    size_words,
    stick_words,
    weight_unit,
)
from nesting.report.yard_cuts import yard_cut_lines
from nesting.write.sheet import Cell, Formula, Sheet
from stock.material import Material
from stock.rack import RackPiece


class Buy:
    """The sheet of what to buy; remembers where its lines, fees and totals stand."""

    def __init__(self, sheet: Sheet, plan: Plan, order: Order) -> None:
        self.sheet, self.plan, self.order = sheet, plan, order
        unit = weight_unit(plan.job.shop)
        sheet.title(f"{plan.job.name}: what to buy", plan_proof_words(plan))
        sheet.header(
            "Yard",
            "Material",
            "Grade",
            "Finish",
            "Size",
            "Count",
            "Price each",
            "Total",
            f"Each {unit}",
            f"All {unit}",
            "Lift",
            "Group",
            "Lead days",
            "Note",
        )
        self.first = sheet.row
        totals, weights, sums = [], [], Decimal(0)
        for yard in order.yards:
            start = sheet.row
            for line in yard.lines:
                self._line(line, yard.yard.lead_days)
            for what, fee in yard.fees:
                sheet.write(yard.yard.name, what, *[None] * 5, (fee, "money"))
            end, name = sheet.row - 1, ", ".join(filter(None, (yard.yard.name, yard.coming, "together")))
            total = Formula(f"=SUM(H{start}:H{end})", yard.total)
            weight = Formula(f"=SUM(J{start}:J{end})", self._shown(yard.weight_kg))
            sheet.write(name, *[None] * 6, (total, "money sum"), None, (weight, "weight sum"), style="sum")
            totals.append(f"H{sheet.row - 1}")
            weights.append(f"J{sheet.row - 1}")
            sums += yard.total
        self.last = sheet.row - 1
        if order.yards:
            all_money = Formula("=" + "+".join(totals), sums)
            all_weight = Formula("=" + "+".join(weights), self._shown(order.weight_kg))
            sheet.write(
                "To pay", *[None] * 6, (all_money, "money sum"), None, (all_weight, "weight sum"), style="sum"
            )
        self._rack()
        sheet.finish(optional=("Grade", "Finish", "Lift", "Lead days", "Note"))

    def _line(self, line: OrderLine, lead_days: int | None) -> None:
        row, offer = self.sheet.row, line.offer
        if line.unit_price is None:
            total: Cell = (Formula(f'=IF(G{row}="","",ROUND(F{row}*G{row},2))', ""), "money")
        else:
            total = (Formula(f"=ROUND(F{row}*G{row},2)", line.total), "money")
        each = self._shown(line.weight_each_kg)
        self.sheet.write(
            offer.yard,
            *named(offer.material),
            _stick_text(line, self.plan),
            line.count,
            (line.unit_price, "unit price"),
            total,
            (each, "weight"),
            (Formula(f"=F{row}*I{row}", line.count * each), "weight"),
            "two people" if is_heavy(line.weight_each_kg, self.plan) else None,
            line.group,
            lead_days,
            "; ".join(filter(None, (*yard_cut_lines(line.partings, offer, self.plan.job.shop), offer.note))),
        )
        if line.cut_total:
            self._cuts(line)

    def _cuts(self, line: OrderLine) -> None:
        row, charge = self.sheet.row, line.cut_total / line.yard_cuts
        total = (Formula(f"=ROUND(F{row}*G{row},2)", line.cut_total), "money")
        name = line.offer.yard
        self.sheet.write(
            name,
            "yard cuts",
            *[None] * 3,
            line.yard_cuts,
            (charge, "unit price"),
            total,
            *[None] * 3,
            line.group,
        )

    def _rack(self) -> None:
        sheet = self.sheet
        self.rack_first = self.rack_last = sheet.row
        if not self.order.rack:
            return
        sheet.skip()
        sheet.write("From the rack", *[None] * 13, style="sum")
        self.rack_first = sheet.row
        for take in self.order.rack:
            piece = take.piece
            weight = self._shown(take.weight_kg)
            sheet.write(
                f"rack {piece.id}",
                *named(piece.material),
                _rack_size(piece, self.plan.job.shop),
                1,
                (piece.value, "unit price"),
                None,
                (weight, "weight"),
                None,
                "two people" if is_heavy(take.weight_kg, self.plan) else None,
                take.group,
                None,
                ", ".join(text for text in (piece.place, piece.heat and f"heat {piece.heat}") if text),
            )
        self.rack_last = sheet.row - 1

    def _shown(self, kg: float) -> float:
        return shown_weight(kg, self.plan.job.shop)

    def steel(self, group: int) -> str:
        """Formula term: money of all lines and yard cuts of a group."""
        return self._sumif(self.first, self.last, group, "H")

    def all_steel(self) -> str:
        """Formula term: money of all lines and yard cuts, fees left out."""
        return self._sumif(self.first, self.last, '">0"', "H")

    def rack(self, group: int) -> str:
        """Formula term: value of all rack pieces of a group."""
        return self._sumif(self.rack_first, self.rack_last, group, "G")

    def _sumif(self, first: int, last: int, group: int | str, column: str) -> str:
        return f"SUMIF(buy!$L${first}:$L${last},{group},buy!${column}${first}:${column}${last})"


def named(material: Material) -> tuple[str, str, str]:
    """Designation, grade and finish, each for a column."""
    return material.designation, material.grade, str(material.finish)


def _rack_size(piece: RackPiece, shop: Shop) -> str:
    if piece.width is None:
        return length_words(piece.length, shop)
    return size_words(piece.length, piece.width, shop)


def _stick_text(line: OrderLine, plan: Plan) -> str:
    shop = plan.job.shop
    if line.offer.width is not None:
        return size_words(line.length, line.offer.width, shop)
    if line.cut_by_yard:
        return f"cut to {length_words(line.length, shop)}"
    text = stick_words(line.length, shop)
    return f"{text} to {stick_words(line.offer.longest, shop)}" if line.offer.is_random else text
