"""A joint problem seen as sheets alone: a stick that is sawn to length is a narrow sheet, cut from edge to edge."""

from __future__ import annotations

from dataclasses import replace

from nesting.joint.problem import JointProblem
from nesting.plates.bound import lower_bound
from nesting.plates.problem import Cutting, NoSheets, RectProblem, SheetKind, Turn
from stock.money import Cost


def as_sheets(problem: JointProblem, is_exact: bool) -> RectProblem:
    """One kind of sheet for each stock, over rectangles of which there is one for each item.

    Parameters
    ----------
    is_exact
        Leave out what lies on a wider bar than its rectangle says, material cut to length, and sticks that have a
        form, so that every plan of the sheets is one of the joint problem, which costs what its rests earn less; else
        every plan of the joint problem is one of the sheets, and costs no less.
    """
    sticks = tuple(
        SheetKind(
            width=max(1, stock.capacity - stock.kerf),
            height=across,
            cost=stock.cost if is_exact else _least_cost(problem, t),
            source=stock.source,
            cutting=Cutting.GUILLOTINE,
            between=stock.kerf,
            items=tuple(i for i in sorted(forms) if not is_exact or _is_plain(problem, i, t, across)),
        )
        for t, (stock, across, forms) in enumerate(
            zip(problem.sticks.stocks, problem.across, problem.forms_of, strict=True)
        )
    )
    sheets = tuple(
        replace(
            kind,
            items=tuple(
                i
                for i in sorted(rects)
                if not is_exact or (problem.is_plain(i, rects[i]) and not kind.is_outline)
            ),
        )
        for kind, rects in zip(problem.sheets.kinds, problem.rects_of, strict=True)
    )
    items = problem.outlines if is_exact else problem.least
    return RectProblem(items, sticks + sheets, tuple(s.limit for s in problem.sources))


def sheets_bound(problem: JointProblem, thorough: bool = True) -> Cost:
    """What any plan costs at the least, ten-thousandths; 0 if scales do not tell.

    Material cut to length counts its charge alone.

    Parameters
    ----------
    thorough
        See `plates.bound.lower_bound`.
    """
    try:
        return lower_bound(_outlined(as_sheets(problem, is_exact=False)), thorough)
    except NoSheets:
        return 0  # scarce sources are the relaxation's to tell


def _least_cost(problem: JointProblem, t: int) -> Cost:
    """What a stick costs at the least; material cut to length its charge."""
    stock = problem.sticks.stocks[t]
    return stock.cost if stock.rest is None else max(0, problem.worth_limit(t, 1))


def _outlined(sheets: RectProblem) -> RectProblem:
    """Without the ways to part a sheet that an outline stands for."""
    outlined = {kind.source for kind in sheets.kinds if kind.is_outline}
    kept = (k for k in sheets.kinds if k.is_outline or not k.blanks or k.source not in outlined)
    return replace(sheets, kinds=tuple(kept))


def _is_plain(problem: JointProblem, item: int, t: int, across: int) -> bool:
    """Whether an item lies as its rectangle right across the bar of a stock that is no more than its length.

    It also costs a fixed sum, but for what its rest earns; of a stick that stands twice the one that is kept is left
    out.
    """
    size, taken, stock = problem.outlines[item], problem.extent(t, item), problem.sticks.stocks[t]
    reaches = (size.height, size.width) == (across, taken)
    reaches |= size.turn == Turn.QUARTER and (size.width, size.height) == (across, taken)
    is_whole = not stock.is_cut_to_length and problem.plain(t) == t
    return reaches and is_whole and stock.form is None
