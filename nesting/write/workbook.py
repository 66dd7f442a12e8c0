"""plan.xlsx: what the page says in tabs, with live formulas that carry their computed values."""

from __future__ import annotations

import io
from collections.abc import Callable, Sequence
from decimal import ROUND_CEILING, Decimal
from typing import TypeAlias

from xlsxwriter import Workbook

from nesting.estimate import estimate_of
from nesting.job import Part, Shop
from nesting.plan import Plan
from nesting.report.cautions import cautions_of, is_heavy
from nesting.report.designer_words import designer_lines, spare_words
from nesting.report.hole_list import hole_list
from nesting.report.mitre_words import begin_words, convention_lines, run_words
from nesting.report.offcuts import Use, area_use_of, offcuts_of, sheet_offcuts_of, use_of
from nesting.report.order import order_of
from nesting.report.saw_list import SawList, Stick, saw_list
from nesting.report.saw_words import doubt_words
from nesting.report.sheet_list import SheetList, sheet_list
from nesting.report.words import (
    blank_cost_of,
    bound_words,
    is_of_yards,
    length_words,
    number_words,
    numbered,
    other_words,
    others_heading,
    part_of_stick_words,
    plan_proof_words,
    proof_words,
    shown_weight,
    size_words,
    slack_words,
    stopped_words,
    weight_unit,
)
from nesting.write.buy_tab import Buy, named
from nesting.write.estimate_sheet import write_estimate
from nesting.write.plate_tabs import write_holes, write_plates
from nesting.write.sheet import Cell, Formula, Sheet, Styles, Value, clean
from nesting.write.sheet_words import made_of, origins_of
from stock.material import Material

_SHARES = (
    "Sticks used", "Sticks kept", "Sticks lost", "Sheets used", "Sheets kept", "Sheets lost",
)  # fmt: skip
"""Shares of the length of sticks and of the area of sheets."""


def workbook_bytes(plan: Plan) -> bytes:
    """The plan as an Excel workbook.

    Returns
    -------
    bytes
        An .xlsx file. Texts of the job are never formulas, whatever they begin with.
    """
    order, saws = order_of(plan), saw_list(plan)
    stream = io.BytesIO()
    book = Workbook(stream, {"in_memory": True})
    book.set_properties({"title": clean(f"{plan.job.name}: plan"), "comments": f"Steelyard {plan.version}"})
    styles = Styles(book, plan.job.shop)

    def tab(name: str) -> Sheet:
        return Sheet(book, styles, name, plan.job.name)

    sheets = sheet_list(plan)
    buy = Buy(tab("buy"), plan, order)
    made = [_write_saw(tab("saw"), plan, saws)] if saws.sticks else []
    rows = write_plates(tab, plan, sheets)
    made += [rows.count] if rows else []
    _write_parts(tab("parts"), plan, saws, sheets, made)
    write_holes(tab, plan, hole_list(plan))
    _write_offcuts(tab("offcuts"), plan, saws, sheets)
    _write_cost(tab("cost"), plan, buy)
    write_estimate(tab("estimate"), plan, estimate_of(plan), buy.all_steel())
    book.close()
    return stream.getvalue()


Counting: TypeAlias = Callable[[str], str]
"""Formula term: how many pieces of a tab carry the mark in a cell."""


def _write_saw(sheet: Sheet, plan: Plan, saws: SawList) -> Counting:
    """Every stick with its stop settings; returns how its pieces are counted."""
    shop, parts = plan.job.shop, {part.mark: part for part in plan.job.parts}
    sheet.title(
        f"{plan.job.name}: saw list",
        "Square the first end, then cut piece after piece against the stop. "
        f"Stop settings in this order: {saws.stop_moves}. {doubt_words(saws, shop)}".strip(),
    )
    sheet.header(
        "Stick", "Alike", "Saw", "Material", "From", "Length", "Square off", "Stop at", "Mark", "In one",
        "Pieces", "Mitre cuts", "Left", "Then", "Slack of kerf", f"Stick {weight_unit(shop)}", "Done",
    )  # fmt: skip
    first = sheet.row
    for stick in saws.sticks:
        facts = _stick_facts(stick, plan)
        rows: list[tuple[str, str, int, str]] = [
            (length_words(step.setting, shop), mark, count, run_words(cuts, parts[mark]))
            for step in stick.steps
            for mark, count, cuts in step.runs
        ] or [("not cut", "", 0, "")]
        for setting, mark, count, said in rows:
            row = sheet.row
            pieces = Formula(f"=B{row}*J{row}", stick.layout.times * count)
            sheet.write(
                number_words([stick.run]),
                stick.layout.times,
                *facts[:5],
                setting,
                mark,
                count,
                pieces,
                said,
                *facts[5:],
            )
            facts = [None] * len(facts)
        sheet.rule_above(row - len(rows) + 1)
    sheet.finish(optional=("Mitre cuts",))
    sheet.remarks("Mitres", convention_lines(saws))
    marks, counts = (f"saw!${column}${first}:${column}${sheet.row - 1}" for column in "IK")
    return lambda cell: f"SUMPRODUCT(EXACT({marks},{cell})*{counts})"


def _stick_facts(stick: Stick, plan: Plan) -> list[Cell]:
    """Columns from the saw to the square end, and from the rest to the weight."""
    shop, layout = plan.job.shop, stick.layout
    where = f"rack {layout.source}" if layout.source_kind == "rack" else getattr(stick.source, "yard", "")
    return [
        layout.saw,
        stick.material.designation,
        where,
        part_of_stick_words(layout.length, stick.asked, shop).removesuffix(","),
        _square_text(stick, shop),
        length_words(layout.rest, shop) if layout.rest else "nothing",
        "keep" if layout.keep else "scrap",
        slack_words(stick.slack, shop),
        (shown_weight(stick.weight_kg, shop), "weight"),
    ]


def _square_text(stick: Stick, shop: Shop) -> str:
    if not stick.steps:
        return ""
    if stick.begin is not None and stick.begin.is_square:
        return length_words(stick.layout.head, shop)
    return begin_words(stick, shop)


def _write_parts(
    sheet: Sheet, plan: Plan, saws: SawList, sheets: SheetList, counting: Sequence[Counting]
) -> None:
    """Every mark: how many are needed and made, and which sticks and sheets they come from."""
    job, shop = plan.job, plan.job.shop
    carried = list(dict.fromkeys(name for part in job.parts for name, _ in part.carried))
    sheet.title(
        f"{job.name}: parts",
        "Made counts the pieces of the tabs before; change a count there and it follows.",
    )
    optional = (
        "Grade",
        "Finish",
        "Width",
        "Ends",
        "Extra a",
        "Extra b",
        "Assembly",
        "Note",
        "Spare",
        "Bound",
    )
    sheet.header(
        "Mark", "Material", "Grade", "Finish", "Length", "Width", "Ends", "Extra a", "Extra b", "Needed",
        "Made", "Open", f"Each {weight_unit(shop)}", f"All {weight_unit(shop)}", "From", "Assembly", "Note", "Spare",
        "Bound", *carried,
    )  # fmt: skip
    made, origins, start = made_of(plan, saws, sheets), origins_of(saws, sheets), sheet.row
    for part in job.parts:
        row, needed, done = sheet.row, job.copies(part), made[part.mark]
        each, texts = shown_weight(part.material.weight_kg(part.extent, part.width), shop), dict(part.carried)
        sheet.write(
            part.mark,
            *named(part.material),
            length_words(part.length, shop),
            None if part.width is None else length_words(part.width, shop),
            _ends_text(part),
            *(length_words(extra, shop) if extra else None for extra in (part.extra_a, part.extra_b)),
            needed if not part.is_fill else None,
            Formula("=" + "+".join(count(f"A{row}") for count in counting), done),
            Formula(f"=J{row}-K{row}", needed - done) if not part.is_fill else None,
            (each, "weight"),
            (Formula(f"=J{row}*M{row}", needed * each), "weight")
            if not part.is_fill
            else (Formula(f"=K{row}*M{row}", done * each), "weight"),
            origins.get(part.mark, ""),
            part.assembly,
            part.note,
            f"{spare_words(part, shop)}; {done} of {needed}" if part.is_fill else None,
            bound_words(part),
            *(texts.get(name, "") for name in carried),
        )
    sheet.totals(start, {"J": None, "K": None, "L": None, "N": "weight sum"})
    sheet.finish(optional=optional)


def _write_offcuts(sheet: Sheet, plan: Plan, saws: SawList, sheets: SheetList) -> None:
    """What is worth keeping."""
    shop = plan.job.shop
    unit = weight_unit(shop)
    kept = f"Rests of {length_words(shop.keep_length, shop)} and longer are kept"
    wide = f", of sheets if {length_words(shop.keep_width, shop)} wide" if sheets.sheets else ""
    sheet.title(f"{plan.job.name}: offcuts", f"{kept}{wide}.")
    sheet.header(
        "Material", "Grade", "Finish", "Size", "Count", "Clean ends", "From", f"Each {unit}", f"All {unit}", "Lift"
    )  # fmt: skip
    start = sheet.row

    def write(
        material: Material, size: str, count: int, clean_ends: int | None, origin: str, kg: float
    ) -> None:
        row, each = sheet.row, shown_weight(kg, shop)
        sheet.write(
            *named(material),
            size,
            count,
            clean_ends,
            origin,
            (each, "weight"),
            (Formula(f"=E{row}*H{row}", count * each), "weight"),
            "two people" if is_heavy(kg, plan) else None,
        )

    for rest in offcuts_of(saws):
        size, origin = length_words(rest.length, shop), numbered("stick", rest.runs)
        write(rest.material, size, rest.count, rest.clean_ends, origin, rest.weight_kg)
    for rect in sheet_offcuts_of(sheets):
        size, origin = size_words(rect.length, rect.width, shop), numbered("sheet", rect.runs)
        write(rect.material, size, rect.count, None, origin, rect.weight_kg)
    sheet.totals(start, {"E": None, "I": "weight sum"})
    sheet.finish(optional=("Grade", "Finish", "Lift"))


def _write_cost(sheet: Sheet, plan: Plan, buy: Buy) -> None:
    """What each group costs and how good that is, the sum to pay, and what to mind."""
    sheet.title(f"{plan.job.name}: cost", plan_proof_words(plan))
    sheet.header(
        "Group", "Material", "Steel", "Rack value", "Left, worth", "Blanks handled", "Cost of plan",
        "Best possible, at least", "Above it", "In", "How good", "Search", *_SHARES,
    )  # fmt: skip
    start = sheet.row
    for number, group in enumerate(plan.groups, 1):
        row = sheet.row
        steel = sum((line.total or Decimal(0) for line in group.purchases), Decimal(0)) + group.charges
        blanks = blank_cost_of(group, plan.job.shop)
        money: list[Cell] = [
            (Formula("=" + buy.steel(number), steel), "money"),
            (Formula("=" + buy.rack(number), group.cost - steel + group.credit - blanks), "money"),
            (group.credit, "money") if group.credit else None,
            (blanks, "money") if blanks else None,
            (Formula(f"=C{row}+D{row}-E{row}+F{row}", group.cost), "money"),
            (group.bound.value, "money"),
        ]
        kilograms: list[Cell] = [
            None,
            None,
            None,
            None,
            (group.cost, "weight"),
            (group.bound.value, "weight"),
        ]
        gap: Value = None
        if group.bound.value > 0:
            gap = Formula(
                f"=IF(G{row}<=H{row},0,ROUNDUP((G{row}-H{row})/H{row},3))",
                _gap_up(group.cost, group.bound.value),
            )
        sheet.write(
            number,
            group.name,
            *(money if group.priced else kilograms),
            (gap, "percent"),
            plan.job.shop.currency or "money" if group.priced else "kg",
            proof_words(group, is_of_yards(plan.job)),
            stopped_words(group),
            *(cell for use in (use_of(group), area_use_of(group)) for cell in _shares(use)),
        )
    for yard, what, fee in plan.fees:
        sheet.write(None, f"{yard}: {what}", (fee, "money"))
    to_pay = Formula(f"=SUM(C{start}:C{sheet.row - 1})", plan.total)
    sheet.write(None, "To pay", (to_pay, "money sum"), *[None] * (9 + len(_SHARES)), style="sum")
    sheet.finish(widest=24, optional=("Left, worth", "Blanks handled", *_SHARES))
    sheet.remarks(others_heading(plan), [f"{what}: {more}" for what, more in other_words(plan)])
    sheet.remarks("For the drawings", designer_lines(plan))
    sheet.remarks("What this version found in the job", [str(notice) for notice in plan.job.notices])
    sheet.remarks("Mind", [f"{each.topic}: {each.text} ({each.source})" for each in cautions_of(plan)])


def _shares(use: Use) -> list[Cell]:
    """What becomes parts, is kept and is lost; blank where there is nothing to share."""
    return [(share / use.total, "percent") if use.total else None for share in (use.used, use.kept, use.lost)]


def _gap_up(cost: Decimal, bound: Decimal) -> float:
    """The gap as a share, rounded up to a tenth of a percent as the formula does."""
    if cost <= bound:
        return 0.0
    return float(((cost - bound) / bound).quantize(Decimal("0.001"), ROUND_CEILING))


def _ends_text(part: Part) -> str:
    """The mitres of a part, in degrees from square."""
    if not part.is_mitred:
        return ""
    return f"{part.end_a.normalize():f}° / {part.end_b.normalize():f}°, {part.lean}, {part.measured}"
