"""The sheets of a plan on paper: those for the torch first, then those that saw or shear cut straight through."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from itertools import groupby

from reportlab.platypus import Flowable, PageBreak, Spacer

from nesting.plan import Plan
from nesting.report.cautions import is_heavy
from nesting.report.sheet_list import Sheet, SheetList
from nesting.report.words import number_words, weight_words
from nesting.write.flow import BODY, TITLE, text
from nesting.write.legend import OF_SHEETS, Legend
from nesting.write.sheet_card import sheet_topic
from nesting.write.straight_leaf import straight_leaf
from nesting.write.torch_leaf import torch_leaf

_TORCH = (
    "Lay the datum corner, marked with a dot, where the bed counts from: x runs along the length of the sheet, y "
    "across it. Outlines are nominal; the controller moves the torch out by half the kerf. Cut the holes of a piece "
    "before its outline. The two distances of each piece are there to mark it out by hand as well. "
)
_STRAIGHT = (
    "Every cut goes from edge to edge of what lies on the table. Make the cuts in the order of their numbers: the stop "
    "setting is large, across or along says which way the cut goes, and the small line says what it is made in and "
    "what is left behind the cut. Trims come first. "
)
_MIND_TORCH = (
    "Hot work: keep what can burn 35 ft (11 m) away or shielded, and watch for fire for at least 30 minutes after "
    "(29 CFR 1910.252(a)(2)(iii)). Where the arc is seen: shade 8 or darker (29 CFR 1910.133(a)(5)), skin covered, "
    "bystanders screened. Exhaust the fume; pieces and skeleton stay hot. Local rules go first."
)
_MIND_STRAIGHT = (
    "Guards on and hands clear of blade and hold-down; support what falls; edges are sharp: gloves for carrying, none "
    "near a turning blade (common practice). Local rules go first."
)
_ALL = (
    "Tick each piece; on the line at the right write what the first one measures. "
    "Before the first cut, read the last leaf: Mind."
)
_NOTE = "each drawn to the scale that stands under it; a straight cut never thinner than a line"


def sheets_leaves(sheets: SheetList, plan: Plan, width: float) -> list[Flowable]:
    """All sheets that are cut, for a width in points; nothing if there are none."""
    return [
        *_leaves("Torch", (_TORCH, _MIND_TORCH), sheets.torch, torch_leaf, plan, width),
        *_leaves("Straight cuts", (_STRAIGHT, _MIND_STRAIGHT), sheets.straight, straight_leaf, plan, width),
    ]


def _leaves(
    title: str,
    said: tuple[str, str],
    sheets: Sequence[Sheet],
    leaf: Callable[[Sequence[Sheet], Plan, float], list[Flowable]],
    plan: Plan,
    width: float,
) -> list[Flowable]:
    """Sheets of a kind, those of one material on one machine together, under how to work and what to mind."""
    if not sheets:
        return []
    story: list[Flowable] = [
        PageBreak(),
        text(title, TITLE),
        text(said[0] + _ALL, BODY, None),
        Spacer(1, 4),
        *(text(caution, BODY, None) for caution in (said[1], _heavy(sheets, plan)) if caution),
        Spacer(1, 6),
        Legend(OF_SHEETS, _NOTE),
    ]
    for _, run in groupby(sheets, key=sheet_topic):
        story += leaf(list(run), plan, width)
    return story


def _heavy(sheets: Sequence[Sheet], plan: Plan) -> str:
    """The caution about sheets that one person must not lift alone."""
    heavy = [sheet for sheet in sheets if is_heavy(sheet.weight_kg, plan)]
    if not heavy:
        return ""
    numbers = number_words(sheet.run for sheet in heavy)
    most = weight_words(max(sheet.weight_kg for sheet in heavy), plan.job.shop)
    limit = weight_words(float(plan.job.shop.lift_kg), plan.job.shop)
    return (
        f"Heavy: above {limit}, up to {most}: {'sheet' if numbers.isdigit() else 'sheets'} {numbers}. Two people or "
        "lifting gear; never leave a sheet leaning loose (common practice)."
    )
