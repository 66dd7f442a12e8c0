"""The card of a stick or sheet: its number, its drawing, and its steps in lines that can be ticked off.

A card that does not fit on what is left of a leaf is broken between two lines and goes on, with its number,
on the next.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Protocol

from reportlab.pdfbase.pdfmetrics import stringWidth
from reportlab.pdfgen.canvas import Canvas
from reportlab.platypus import Flowable

from nesting.write.leaf import INK, Leaves
from nesting.write.lettering import BOLD, REGULAR, fitted

_HEAD, _BELOW = 27, 14
_KEPT_WHOLE = 330
"""Points of the tallest card that is never broken; it fits on any leaf."""


class Drawing(Protocol):
    """What stands between the head of a card and its lines."""

    def height(self, width: float) -> float:
        """Points that it takes at a width in points."""

    def draw(self, canvas: Canvas, width: float) -> None:
        """Draw it with its upper left corner at the origin."""


class CardLine(Protocol):
    """A line of a card, which is never broken."""

    @property
    def height(self) -> float:
        """Points."""

    @property
    def follows(self) -> bool:
        """Whether it belongs to the line before, so that no leaf begins with it."""

    @property
    def leads(self) -> bool:
        """Whether it belongs to the line after, so that no leaf ends with it."""

    def draw(self, canvas: Canvas, top: float, width: float) -> None:
        """Draw it below `top`."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Title:
    """The head of a card.

    Parameters
    ----------
    numbers
        Numbers of the sticks or sheets cut alike, or the mark of a part.
    text, aside
        What they are, at the left; their weight, at the right.
    lift
        Whether two people lift one.
    topic
        Saw and section, or what else stands at the head of the leaf.
    """

    numbers: str
    text: str
    aside: str
    lift: bool
    topic: str


class Card(Flowable):
    """A stick or sheet, or several cut alike.

    Parameters
    ----------
    drawing
        None where the card goes on from the leaf before.
    """

    def __init__(self, title: Title, drawing: Drawing | None, lines: Sequence[CardLine]) -> None:
        super().__init__()
        self.title, self.drawing, self.lines = title, drawing, lines

    def wrap(self, width: float, height: float) -> tuple[float, float]:
        """Points it takes."""
        self.width = width
        self.height = self._top(width) + sum(line.height for line in self.lines) + _BELOW
        return self.width, self.height

    def least(self, width: float) -> float:
        """Points of the leaf that its beginning takes: head, drawing and two lines, or all of it if it is small."""
        _, whole = self.wrap(width, 0)
        begun = self._top(width) + sum(line.height for line in self.lines[:2]) + _BELOW
        return whole if whole <= _KEPT_WHOLE else begun

    def split(self, width: float, height: float) -> list[Card]:
        """What fits into a height, and the rest; nothing if the card had better begin on the next leaf."""
        fits, left = 0, height - self._top(width) - _BELOW
        for line in self.lines:
            left -= line.height
            if left < 0:
                break
            fits += 1
        if fits < 2 or self.height <= _KEPT_WHOLE:
            return []
        together = fits
        while together > 1 and (self.lines[together].follows or self.lines[together - 1].leads):
            together -= 1
        fits = together if together > 1 else fits
        return [
            Card(self.title, self.drawing, self.lines[:fits]),
            Card(self.title, None, self.lines[fits:]),
        ]

    def draw(self) -> None:
        """Called by reportlab, with the origin at the lower left corner."""
        canvas = self.canv
        if isinstance(canvas, Leaves):
            canvas.topics.append(self.title.topic)
        top = self.height - 4
        self._draw_head(canvas, top)
        if self.drawing is not None:
            canvas.saveState()
            canvas.translate(0, top - _HEAD)
            self.drawing.draw(canvas, self.width)
            canvas.restoreState()
        at = self.height - self._top(self.width)
        for line in self.lines:
            line.draw(canvas, at, self.width)
            at -= line.height

    def _top(self, width: float) -> float:
        """Points of head and drawing."""
        drawing = 0.0 if self.drawing is None else self.drawing.height(width) + 6
        return 4 + _HEAD + drawing

    def _draw_head(self, canvas: Canvas, top: float) -> None:
        base = top - 16
        numbers, size = fitted(self.title.numbers, BOLD, 15, 0.4 * self.width, 9)
        wide = stringWidth(numbers, BOLD, size) + 14
        canvas.setStrokeColor(INK)
        canvas.setFillColor(INK)
        canvas.setLineWidth(1.5)
        canvas.roundRect(0.75, base - 5, wide, 21, 3)
        canvas.setFont(BOLD, size)
        canvas.drawString(7.75, base, numbers)
        end = self.width
        if self.title.lift:
            end = _draw_lift(canvas, end, base)
        canvas.setFont(REGULAR, 11)
        canvas.drawRightString(end, base, self.title.aside)
        more = "" if self.drawing is not None else ", continued"
        room = end - stringWidth(self.title.aside, REGULAR, 11) - stringWidth(more, REGULAR, 12) - wide - 24
        said, size = fitted(self.title.text, REGULAR, 12, room, 8)
        canvas.setFont(REGULAR, size)
        canvas.drawString(wide + 10, base, said + more)


def _draw_lift(canvas: Canvas, end: float, base: float) -> float:
    """The caution that two people lift; returns where it begins."""
    wide: float = stringWidth("two people", BOLD, 9) + 8
    canvas.setLineWidth(1)
    canvas.rect(end - wide, base - 4, wide, 15, fill=0)
    canvas.setFont(BOLD, 9)
    canvas.drawString(end - wide + 4, base, "two people")
    return end - wide - 8
