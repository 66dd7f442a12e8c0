"""What the torch does on a sheet, in words for page and workbook: how much it cuts, and how often it pierces."""

from __future__ import annotations

from collections.abc import Callable

from nesting.estimate import rates_of, torch_holes, torch_work
from nesting.estimate.figures import measures_of, number_words
from nesting.plan import Plan
from nesting.report.sheet_list import Sheet
from nesting.report.words import counted


def torch_words_of(plan: Plan) -> Callable[[Sheet], str]:
    """The words for each sheet of a plan; "" for one that the torch does not cut."""
    shop = plan.job.shop
    holes, rates, measures = torch_holes(plan), rates_of(shop), measures_of(shop)

    def said(sheet: Sheet) -> str:
        if sheet.layout.process != "torch":
            return ""
        done = torch_work(sheet.layout, sheet.material.thickness, holes, rates)
        cut = f"{number_words(done.metres / measures.run_m, shop)} {measures.run} of cut"
        return f"{cut}, {counted(done.pierces, 'pierce')}"

    return said
