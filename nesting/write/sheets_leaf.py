"""The sheets of a plan on paper: those for the torch first, then those that saw or shear cut straight through."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from itertools import groupby

from reportlab.platypus import Flowable, PageBreak, Spacer

from nesting.plan import Plan
from nesting.sheet_list import Sheet, SheetList
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
_ALL = (
    "Tick each piece; on the line at the right write what the first one measures. "
    "Before the first cut, read the last leaf: Mind."
)
_NOTE = "each drawn to the scale that stands under it; a straight cut never thinner than a line"


def sheets_leaves(sheets: SheetList, plan: Plan, width: float) -> list[Flowable]:
    """All sheets that are cut, for a width in points; nothing if there are none."""
    return [
        *_leaves("Torch", _TORCH, sheets.torch, torch_leaf, plan, width),
        *_leaves("Straight cuts", _STRAIGHT, sheets.straight, straight_leaf, plan, width),
    ]


def _leaves(
    title: str,
    said: str,
    sheets: Sequence[Sheet],
    leaf: Callable[[Sequence[Sheet], Plan, float], list[Flowable]],
    plan: Plan,
    width: float,
) -> list[Flowable]:
    """Sheets of a kind, those of one material on one machine together."""
    if not sheets:
        return []
    story: list[Flowable] = [
        PageBreak(),
        text(title, TITLE),
        text(said + _ALL, BODY, None),
        Spacer(1, 6),
        Legend(OF_SHEETS, _NOTE),
    ]
    for _, run in groupby(sheets, key=sheet_topic):
        story += leaf(list(run), plan, width)
    return story
