"""The hole list on paper: each part that has holes, drawn to scale with its holes numbered, and a table of them."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from reportlab.pdfgen.canvas import Canvas
from reportlab.platypus import Flowable, PageBreak, Spacer

from nesting.job import Part, Shop
from nesting.plan import Plan, Rect
from nesting.report.hole_list import ListedHole, PartHoles, hole_list
from nesting.report.words import counted, length_words, size_words
from nesting.write.card import Card, CardLine, Title
from nesting.write.card_line import Line, set_text, with_boxes
from nesting.write.flow import BODY, TITLE, text
from nesting.write.leaf import INK, LINE, QUIET
from nesting.write.legend import OF_HOLES, Legend
from nesting.write.lettering import BOLD, REGULAR, fitted, lines_for, printable
from nesting.write.sheet_drawing import Round, SheetDrawing
from nesting.write.sheet_ink import Shape
from nesting.write.steps import mark_words, material_words
from stock.length import Unit, show_length

_SAID = (
    "x runs along the length of the part, y across it, both from the datum corner, which is marked with a dot. Tick "
    "a hole when its place is marked out or the torch has cut it, and a copy when all its holes are made. Drilling: "
    "clamp the work, protect your eyes, wear no gloves near a turning drill."
)
_HIGH = 250.0
"""Points of the tallest drawing."""
_COLUMNS = (0.0, 0.06, 0.25, 0.44, 0.61)
"""Where number, x, y, diameter and tool begin, as shares of the width."""


@dataclass(frozen=True, slots=True)
class HoleHead:
    """The head of the columns."""

    follows: ClassVar[bool] = False
    leads: ClassVar[bool] = True
    height: float = 17.0

    def draw(self, canvas: Canvas, top: float, width: float) -> None:
        """Draw it below `top`."""
        canvas.setFillColor(QUIET)
        canvas.setFont(REGULAR, 9)
        for share, said in zip(_COLUMNS, ("No.", "x", "y", "Diameter", "Made by"), strict=True):
            canvas.drawString(share * width, top - 12, said)


@dataclass(frozen=True, slots=True, kw_only=True)
class HoleLine:
    """One hole: its place and diameter in both units, how it is made, and a box to tick.

    Parameters
    ----------
    measures
        x, y and diameter, each in the unit of the shop and in the other.
    made_by
        The tool, and why.
    """

    follows: ClassVar[bool] = False
    leads: ClassVar[bool] = False
    number: str
    measures: tuple[tuple[str, str], ...]
    made_by: str
    height: float = 31.0

    def draw(self, canvas: Canvas, top: float, width: float) -> None:
        """Draw it below `top`."""
        canvas.setStrokeColor(LINE)
        canvas.setLineWidth(0.5)
        canvas.line(0, top, width, top)
        canvas.setFillColor(INK)
        canvas.setFont(BOLD, 11)
        canvas.drawString(0, top - 14, self.number)
        for (main, other), left, right in zip(self.measures, _COLUMNS[1:], _COLUMNS[2:], strict=False):
            room = (right - left) * width - 6
            for said, font, most, below in ((main, BOLD, 13, 15), (other, REGULAR, 10, 27)):
                shown, size = fitted(said, font, most, room, 6)
                canvas.setFont(font, size)
                canvas.drawString(left * width, top - below, shown)
        canvas.setFont(REGULAR, 9.5)
        for row, line in enumerate(lines_for(self.made_by, REGULAR, 9.5, (1 - _COLUMNS[-1]) * width - 20, 2)):
            canvas.drawString(_COLUMNS[-1] * width, top - 14 - 12 * row, line)
        canvas.setStrokeColor(INK)
        canvas.setLineWidth(0.8)
        canvas.rect(width - 11.5, top - 19, 10.5, 10.5, fill=0)


def hole_leaves(plan: Plan, width: float) -> list[Flowable]:
    """The hole list for a width in points; nothing if no part has holes."""
    parts = hole_list(plan)
    if not parts:
        return []
    return [
        PageBreak(),
        text("Holes", TITLE),
        text(_SAID, BODY, None),
        Spacer(1, 6),
        Legend(OF_HOLES, "each drawn to the scale that stands under it"),
        Spacer(1, 8),
        *(_card(each, plan.job.shop, width) for each in parts),
    ]


def hole_notes(plan: Plan) -> dict[str, str]:
    """By mark, how many holes the torch cuts in a part and how many are to be drilled."""
    notes = {}
    for each in hole_list(plan):
        drilled = sum(hole.made_by == "drill" for hole in each.holes)
        counts = [(len(each.holes) - drilled, "by torch"), (drilled, "to drill")]
        said = ", ".join(f"{count} {how}" for count, how in counts if count)
        notes[each.part.mark] = f"{counted(len(each.holes), 'hole')} each: {said}"
    return notes


def _card(each: PartHoles, shop: Shop, width: float) -> Card:
    part = each.part
    outline = Rect(0, 0, part.length, _across(part))
    drawing = SheetDrawing(
        place=outline,
        shapes=(Shape(kind="piece", place=outline),),
        rounds=tuple(_round(row) for row in each.holes),
        shop=shop,
        high=_HIGH,
        enlarged=2,
    )
    said, size = set_text("copies with all holes made", False)
    copies = Line(order="", setting="", lines=said, size=size)
    lines: list[CardLine] = [
        HoleHead(),
        *(_line(row, shop) for row in each.holes),
        *with_boxes(copies, [""], each.copies, width),
    ]
    dimensions = (
        size_words(part.length, _across(part), shop) if part.is_plate else length_words(part.length, shop)
    )
    title = Title(
        numbers=mark_words(part),
        text=printable(f"{dimensions}, {material_words(part.material)}", 100),
        aside=counted(each.copies, "copy", "copies"),
        lift=False,
        topic="holes",
    )
    return Card(title, drawing, lines)


def _across(part: Part) -> int:
    """Width of a plate part; of a bar the side on which holes are seen."""
    return part.material.largest_side if part.width is None else part.width


def _round(row: ListedHole) -> Round:
    hole = row.hole
    return Round(
        x=hole.x, y=hole.y, diameter=hole.diameter, number=str(row.number), drilled=row.made_by == "drill"
    )


def _line(row: ListedHole, shop: Shop) -> HoleLine:
    hole = row.hole
    said = f"{row.made_by}: {row.why}" if row.why else row.made_by
    said += f"; {hole.face}" if hole.face else ""
    said += "" if hole.depth is None else f"; {' = '.join(_both(hole.depth, shop))} deep"
    return HoleLine(
        number=str(row.number),
        measures=(_both(hole.x, shop), _both(hole.y, shop), _both(hole.diameter, shop)),
        made_by=printable(said, 120),
    )


def _both(ticks: int, shop: Shop) -> tuple[str, str]:
    """A length in the unit of the shop and in the other; inches to its denominator, "~" where that is rounded."""
    other: Unit = "mm" if shop.unit == "in" else "in"
    return length_words(ticks, shop), show_length(ticks, other, shop.denominator)
