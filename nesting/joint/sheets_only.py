"""A bound on a joint problem that sees every stick as a narrow sheet: cuts by pairs of scales, in whole sheets."""

from __future__ import annotations

from dataclasses import replace

from nesting.joint.problem import JointProblem
from nesting.plates.bound import lower_bound
from nesting.plates.problem import Cutting, NoSheets, RectProblem, SheetKind
from stock.money import Cost


def sheets_bound(problem: JointProblem) -> Cost:
    """What any plan costs at the least, ten-thousandths; 0 if scales do not tell or something is cut to length.

    A stick that is sawn to length is a sheet as wide as its bar, cut from edge to edge.
    """
    if any(stock.rate[0] for stock in problem.stocks):
        return 0
    sticks = tuple(
        SheetKind(
            width=max(1, stock.capacity - stock.kerf),
            height=across,
            cost=stock.cost,
            source=stock.source,
            cutting=Cutting.GUILLOTINE,
            between=stock.kerf,
            items=tuple(sorted(forms)),
        )
        for stock, across, forms in zip(problem.sticks.stocks, problem.across, problem.forms_of, strict=True)
    )
    sheets = tuple(
        replace(kind, items=tuple(sorted(rects)))
        for kind, rects in zip(problem.sheets.kinds, problem.rects_of, strict=True)
    )
    try:
        return lower_bound(
            RectProblem(problem.outlines, sticks + sheets, tuple(s.limit for s in problem.sources))
        )
    except NoSheets:
        return 0  # scarce sources are the relaxation's to tell
