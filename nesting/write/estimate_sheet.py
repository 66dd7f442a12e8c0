"""The estimate sheet of the workbook: change an hour, a rate or a percentage and the sum follows."""

from __future__ import annotations

from decimal import Decimal

from nesting.estimate import Estimate, Line
from nesting.estimate.material import BOUGHT
from nesting.plan import Plan
from nesting.write.sheet import Cell, Formula, Sheet


def write_estimate(sheet: Sheet, plan: Plan, estimate: Estimate, bought: str) -> None:
    """Every line with its hours, the rate it is counted at, its money, and how it came about.

    The labour rate stands once, above the lines of work; if it is blank, their money is blank until it is
    filled in.

    Parameters
    ----------
    bought
        Formula term: money of all lines of the buy sheet.
    """
    sheet.title(
        f"{plan.job.name}: what the job costs to make",
        "An estimate: no part of what the layouts make cheapest, beyond the material.",
    )
    sheet.header("Line", "Hours", "Rate", "Amount", "Values", "How it came about")
    labour = sheet.row
    rate = estimate.rates.labour_rate
    how = (
        "labour_rate of the shop table"
        if rate is not None
        else "not set: fill it in here or in the shop table"
    )
    sheet.write("Labour, an hour", None, (rate, "unit price"), None, None, how)
    first = sheet.row
    for line in estimate.lines:
        sheet.write(
            line.operation,
            (line.hours, "hours"),
            *_money(line, estimate, sheet.row, (labour, first), bought),
            "starting values" if line.is_start_value else None,
            line.how,
        )
    last = sheet.row - 1
    sheet.write(
        "Together" if not estimate.unknown else "Together, as far as known",
        (Formula(f"=SUM(B{first}:B{last})", estimate.hours), "hours sum"),
        None,
        (Formula(f"=SUM(D{first}:D{last})", estimate.total), "money sum"),
        *[None] * 2,
        style="sum",
    )
    sheet.finish(widest=90)
    sheet.remarks("To this estimate", estimate.notes)


def _money(
    line: Line, estimate: Estimate, row: int, above: tuple[int, int], bought: str
) -> tuple[Cell, Cell]:
    """The rate of a line and its amount; `above` are the rows of the labour rate and of the first line."""
    labour, first = above
    if line.operation == BOUGHT:
        return None, (Formula(f"={bought}", line.amount), "money")
    if line.kind == "work":
        shown: Decimal | str = "" if line.amount is None else line.amount
        return None, (Formula(f'=IF($C${labour}="","",ROUND(B{row}*$C${labour},2))', shown), "money")
    if line.kind in ("contingency", "tax"):
        percent = estimate.rates.contingency if line.kind == "contingency" else estimate.rates.tax
        formula = f"=ROUND(SUM(D{first}:D{row - 1})*C{row},2)"
        return (percent / 100, "rate"), (Formula(formula, line.amount), "money")
    return None, (line.amount, "money")
