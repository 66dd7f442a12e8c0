"""Sheets for saw and shear, in plan.pdf: the straight cuts in order, with stop settings and what each leaves."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import groupby

from reportlab.platypus import CondPageBreak, Flowable, Spacer

from nesting.plan import Plan, Rect
from nesting.report.grain import has_grain
from nesting.report.sheet_list import CutStep, Sheet, cut_steps, kerf_of
from nesting.report.words import length_words, number_words
from nesting.write.card import Card, CardLine
from nesting.write.card_line import Line, set_remark, set_text, with_boxes
from nesting.write.flow import BODY, SMALL, TITLE, text
from nesting.write.lettering import printable
from nesting.write.sheet_card import (
    grain_lines,
    high_enough,
    keep_lines,
    keep_shapes,
    piece_shapes,
    pieces_words,
    rect_words,
    sheet_labels,
    sheet_title,
    sheet_topic,
)
from nesting.write.sheet_drawing import CutLine, SheetDrawing
from nesting.write.sheet_ink import Shape
from nesting.write.steps import mark_words

_HEADING = 110.0
"""Points of the heading above the first card, which never stands alone at the end of a leaf."""


def straight_leaf(sheets: Sequence[Sheet], plan: Plan, width: float) -> list[Flowable]:
    """The sheets of one material on one saw or shear, for a width in points; each begins with its drawing."""
    kerf = kerf_of(sheets[0], plan.job)
    rules = f"kerf {length_words(kerf, plan.job.shop)}" if kerf else "no kerf"
    cards = [_card(sheet, plan, width) for sheet in sheets]
    return [
        CondPageBreak(cards[0].least(width) + _HEADING),
        text(sheet_topic(sheets[0]), TITLE),
        text(f"{pieces_words(sheets)}. {rules.capitalize()}.", BODY, None),
        *(text(caution, SMALL, None) for caution in sheets[0].material.cautions),
        Spacer(1, 6),
        *cards,
    ]


def cut_lines(sheet: Sheet, plan: Plan) -> tuple[CutLine, ...]:
    """The straight cuts of a sheet for its drawing, numbered from 1."""
    return tuple(
        CutLine(place=step.kerf, axis=step.cut.axis, number=str(step.number))
        for step in cut_steps(sheet, plan.job)
    )


def _card(sheet: Sheet, plan: Plan, width: float) -> Card:
    layout = sheet.layout
    drawing = SheetDrawing(
        place=Rect(0, 0, layout.length, layout.width),
        shapes=(
            *_trim_shapes(sheet),
            *keep_shapes(layout.offcuts, plan),
            *piece_shapes(layout.pieces, plan, numbered=False),
        ),
        cuts=cut_lines(sheet, plan),
        shop=plan.job.shop,
        high=high_enough(layout.pieces),
        grain=has_grain(layout.pieces, plan.job),
    )
    lines: list[CardLine] = [
        *grain_lines(layout.pieces, plan),
        *_trim_lines(sheet, plan, width),
        *step_lines(sheet, plan, width),
        *keep_lines(sheet, layout.offcuts, plan, width),
    ]
    return Card(sheet_title(sheet, plan), drawing, lines)


def _trim_shapes(sheet: Sheet) -> Iterator[Shape]:
    """The strips that are taken off first."""
    layout = sheet.layout
    length, wide = layout.length, layout.width
    end, edge, far_end, far_edge = layout.trims
    for place in (
        Rect(0, 0, end, wide),
        Rect(length - far_end, 0, far_end, wide),
        Rect(0, 0, length, edge),
        Rect(0, wide - far_edge, length, far_edge),
    ):
        if place.length and place.width:
            yield Shape(kind="trim", place=place)


def _trim_lines(sheet: Sheet, plan: Plan, width: float) -> list[CardLine]:
    """Squaring off comes first; the far sides are cut to the length and width that are left."""
    shop, layout = plan.job.shop, sheet.layout
    end, edge, far_end, far_edge = layout.trims
    sides = [
        (end, "", "square off the first end, {}"),
        (far_end, length_words(layout.length - end - far_end, shop), "across: {} off the far end"),
        (edge, "", "square off the first edge, {}"),
        (far_edge, length_words(layout.width - edge - far_edge, shop), "along: {} off the far edge"),
    ]
    lines: list[CardLine] = []
    for amount, setting, said in sides:
        if amount:
            words, size = set_text(said.format(length_words(amount, shop)), bool(setting))
            line = Line(order="", setting=setting, lines=words, size=size)
            lines += with_boxes(line, sheet_labels(sheet), 1, width)
    return lines


def step_lines(sheet: Sheet, plan: Plan, width: float) -> list[CardLine]:
    """The straight cuts of a sheet in order, with a box for each; alike ones that follow each other in one line."""
    parts, lines = {part.mark: part for part in plan.job.parts}, list[CardLine]()
    for (axis, stop, off), alike in groupby(cut_steps(sheet, plan.job), key=_alike):
        run = list(alike)
        name = mark_words(parts[off]) if off in parts else off
        words, size = set_text(f"{axis}: {f'{len(run)} × ' if len(run) > 1 else ''}{name}", True)
        line = Line(
            order=number_words([(run[0].number, len(run))]),
            setting=length_words(stop, plan.job.shop),
            lines=words,
            size=size,
            remark=set_remark(printable(_about(run, plan)), width),
            is_measured=off in parts,
        )
        lines += with_boxes(line, sheet_labels(sheet), len(run), width)
    return lines


def _alike(step: CutStep) -> tuple[str, int, str]:
    """What cuts that are made alike have in common: way, stop setting, and what comes off."""
    return step.cut.axis, step.cut.stop, step.comes_off


def _about(run: Sequence[CutStep], plan: Plan) -> str:
    """How large what comes off is, what it is cut from, and what is left behind the last of several cuts."""
    first, last = run[0], run[-1]
    behind = f"{last.stays} {rect_words(last.far, plan)}" if last.stays else "nothing"
    said = "last cut" if len(run) > 1 else "cut"
    return (
        f"{rect_words(first.near, plan)} of {rect_words(first.cut.region, plan)}; behind the {said}: {behind}"
    )
