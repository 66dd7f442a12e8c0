"""Sheets under the torch, in plan.pdf: how a sheet is parted into blanks, and where every piece lies."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace

from reportlab.platypus import CondPageBreak, Flowable, Spacer

from nesting.plan import Plan, Rect
from nesting.report.grain import has_grain
from nesting.report.indexing import indexing_words, parting_words
from nesting.report.sheet_list import Blank, Sheet, blanks_of, holds
from nesting.report.words import length_words
from nesting.write.card import Card, CardLine
from nesting.write.drawings import drawing_name
from nesting.write.flow import BODY, SMALL, TITLE, text
from nesting.write.hole_leaf import hole_notes
from nesting.write.places import places_lines
from nesting.write.sheet_card import (
    grain_lines,
    high_enough,
    keep_lines,
    keep_shapes,
    mark_lines,
    piece_shapes,
    pieces_words,
    places_of,
    plain_line,
    rect_words,
    sheet_title,
    sheet_topic,
)
from nesting.write.sheet_drawing import SheetDrawing
from nesting.write.sheet_ink import Shape
from nesting.write.straight_leaf import cut_lines, step_lines

_HEADING = 110.0
"""Points of the heading above the first card, which never stands alone at the end of a leaf."""
_READABLE = 16.0
"""Points; the mark of a narrower piece does not fit into it."""


def torch_leaf(sheets: Sequence[Sheet], plan: Plan, width: float) -> list[Flowable]:
    """The sheets of one material, for a width in points; each begins with its drawing."""
    shop, material = plan.job.shop, sheets[0].material
    rules = (
        f"{pieces_words(sheets)}. Outlines are nominal: kerf {length_words(shop.torch_kerf, shop)} lies outside them, "
        f"half of it on each piece. Between pieces {length_words(shop.gap_between, shop)} or more, from the edge "
        f"{length_words(shop.edge_on_bed, shop)} or more."
    )
    notes = hole_notes(plan)
    cards = [card for sheet in sheets for card in _cards(sheet, plan, width, notes)]
    return [
        CondPageBreak(cards[0].least(width) + _HEADING),
        text(sheet_topic(sheets[0]), TITLE),
        text(rules, BODY, None),
        *(text(caution, SMALL, None) for caution in material.cautions),
        Spacer(1, 6),
        *cards,
    ]


def _cards(sheet: Sheet, plan: Plan, width: float, notes: Mapping[str, str]) -> list[Card]:
    """The card of a sheet; if it is parted into blanks, one of the parting and one of each blank that holds pieces."""
    blanks = blanks_of(sheet)
    if not sheet.layout.blanks:
        return list(_blank_cards(sheet, blanks[0], plan, width, notes))
    cards = [_parting_card(sheet, blanks, plan, width)]
    for blank in blanks:
        if blank.pieces:
            cards += _blank_cards(sheet, blank, plan, width, notes, f"blank {blank.number}")
    return cards


def _parting_card(sheet: Sheet, blanks: Sequence[Blank], plan: Plan, width: float) -> Card:
    """The straight cuts that part a sheet, so that each blank fits the bed."""
    shop, layout = plan.job.shop, sheet.layout
    shapes = [
        Shape(
            kind="blank", place=blank.rect, text=f"blank {blank.number}", small=rect_words(blank.rect, plan)
        )
        for blank in blanks
    ]
    used = [blank.rect for blank in blanks if blank.pieces]
    kept = [place for place in layout.offcuts if not any(holds(rect, place) for rect in used)]
    drawing = SheetDrawing(
        place=Rect(0, 0, layout.length, layout.width),
        shapes=(*shapes, *keep_shapes(kept, plan)),
        cuts=cut_lines(sheet, plan),
        shop=shop,
        high=high_enough(()),
    )
    lines: list[CardLine] = [
        plain_line(parting_words(shop)),
        *step_lines(sheet, plan, width),
        *keep_lines(sheet, kept, plan, width),
    ]
    return Card(sheet_title(sheet, plan), drawing, lines)


def _blank_cards(
    sheet: Sheet, blank: Blank, plan: Plan, width: float, notes: Mapping[str, str], name: str = ""
) -> Iterator[Card]:
    """What lies on the bed at once; small pieces are drawn once more, larger."""
    inside = [place for place in sheet.layout.offcuts if holds(blank.rect, place)]
    drawing = SheetDrawing(
        place=blank.rect,
        shapes=(*keep_shapes(inside, plan), *piece_shapes(blank.pieces, plan, numbered=True)),
        shop=plan.job.shop,
        high=high_enough(blank.pieces),
        grain=has_grain(blank.pieces, plan.job),
    )
    places: list[CardLine] = [
        plain_line("nearest corner of each piece, from the datum corner:", leads=True),
        *places_lines(places_of(blank.pieces, blank.rect, plan)),
    ]
    lines = [
        *mark_lines(sheet, blank.pieces, plan, width, notes),
        *grain_lines(blank.pieces, plan),
        *keep_lines(sheet, inside, plan, width),
        *(plain_line(said) for said in [indexing_words(blank, plan.job.shop)] if said),
        plain_line(f"for the controller: {drawing_name(sheet, blank if sheet.layout.blanks else None)}"),
    ]
    detail = _detail(blank, drawing, width)
    if detail is None:
        yield Card(sheet_title(sheet, plan, name), drawing, [*lines, *places])
        return
    yield Card(sheet_title(sheet, plan, name), drawing, lines)
    yield Card(sheet_title(sheet, plan, f"{name}, larger" if name else "larger"), detail, places)


def _detail(blank: Blank, drawing: SheetDrawing, width: float) -> SheetDrawing | None:
    """The part of a drawing where its pieces lie, if they are hard to read and become larger that way."""
    scale, rects = drawing.scale(width), [piece.place for piece in blank.pieces]
    if min(scale.points(min(rect.length, rect.width)) for rect in rects) >= _READABLE:
        return None
    x, y = min(rect.x for rect in rects), min(rect.y for rect in rects)
    length = max(rect.x + rect.length for rect in rects) - x
    wide = max(rect.y + rect.width for rect in rects) - y
    detail = replace(drawing, place=Rect(x, y, length, wide), datum=blank.rect)
    return detail if detail.scale(width).down * 3 <= scale.down * 2 else None
