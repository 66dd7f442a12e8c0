"""Lines of a card that say where pieces lie: number, mark and the two distances from the datum corner."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import ClassVar

from reportlab.pdfgen.canvas import Canvas

from nesting.write.leaf import INK, LINE, QUIET
from nesting.write.lettering import BOLD, REGULAR, fitted, lines_for, size_for

_COLUMNS = 2
_NUMBER, _MARK, _X, _Y, _TURNED = 0.0, 0.09, 0.42, 0.63, 0.83
"""Where they begin, as shares of a column."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Place:
    """Where a piece lies.

    Parameters
    ----------
    number, mark
        As in the drawing.
    x, y
        Distances of its nearest corner from the datum corner, in words.
    turned
        Whether its length lies across the sheet.
    """

    number: str
    mark: str
    x: str
    y: str
    turned: bool


@dataclass(frozen=True, slots=True)
class PlacesHead:
    """The head of so many columns."""

    follows: ClassVar[bool] = True
    leads: ClassVar[bool] = True
    columns: int
    height: float = 17.0

    def draw(self, canvas: Canvas, top: float, width: float) -> None:
        """Draw it below `top`."""
        canvas.setFillColor(QUIET)
        canvas.setFont(REGULAR, 9)
        for left, wide in _columns(width)[: self.columns]:
            for share, said in ((_NUMBER, "No."), (_MARK, "Piece"), (_X, "x"), (_Y, "y")):
                canvas.drawString(left + share * wide, top - 12, said)


@dataclass(frozen=True, slots=True)
class PlacesLine:
    """As many places as stand beside each other."""

    follows: ClassVar[bool] = False
    leads: ClassVar[bool] = False
    places: tuple[Place, ...]
    height: float = 17.0

    def draw(self, canvas: Canvas, top: float, width: float) -> None:
        """Draw them below `top`."""
        canvas.setStrokeColor(LINE)
        canvas.setLineWidth(0.5)
        base = top - 12.5
        for place, (left, wide) in zip(self.places, _columns(width), strict=False):
            canvas.line(left, top, left + wide, top)
            _draw(canvas, place.number, REGULAR, 9, left, (_MARK - _NUMBER) * wide, base)
            _draw_mark(canvas, place.mark, left + _MARK * wide, (_X - _MARK) * wide - 4, base)
            _draw(canvas, place.x, BOLD, 11, left + _X * wide, (_Y - _X) * wide, base)
            _draw(canvas, place.y, BOLD, 11, left + _Y * wide, (_TURNED - _Y) * wide, base)
            said = "turned" if place.turned else ""
            _draw(canvas, said, REGULAR, 9, left + _TURNED * wide, (1 - _TURNED) * wide, base)


def places_lines(places: Sequence[Place]) -> list[PlacesHead | PlacesLine]:
    """The places in lines under a head; they run from left to right, so that a card can be broken at any line."""
    if not places:
        return []
    starts = range(0, len(places), _COLUMNS)
    return [
        PlacesHead(min(_COLUMNS, len(places))),
        *(PlacesLine(tuple(places[at : at + _COLUMNS])) for at in starts),
    ]


def _columns(width: float) -> list[tuple[float, float]]:
    """(left, width) of each column, points."""
    gap = 18.0
    wide = (width - gap * (_COLUMNS - 1)) / _COLUMNS
    return [(index * (wide + gap), wide) for index in range(_COLUMNS)]


def _draw(canvas: Canvas, said: str, font: str, size: float, x: float, room: float, base: float) -> None:
    shown, size = fitted(said, font, size, room - 8, 6)
    canvas.setFillColor(INK if font == BOLD else QUIET)
    canvas.setFont(font, size)
    canvas.drawString(x, base, shown)


def _draw_mark(canvas: Canvas, mark: str, x: float, room: float, base: float) -> None:
    """A mark, a long one in two small lines."""
    canvas.setFillColor(INK)
    size = size_for(mark, BOLD, 11, room, 7.5)
    if canvas.stringWidth(mark, BOLD, size) <= room:
        canvas.setFont(BOLD, size)
        canvas.drawString(x, base, mark)
        return
    canvas.setFont(BOLD, 6.5)
    for row, line in enumerate(lines_for(mark, BOLD, 6.5, room, 2)):
        canvas.drawString(x, base + 5 - 7.5 * row, line)
