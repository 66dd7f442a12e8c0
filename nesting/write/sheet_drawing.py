"""A sheet on paper, to scale: outlines of pieces, blanks and offcuts, numbered cuts, and the datum corner.

The datum corner lies at the lower left: x runs to the right along the length of the sheet, y upwards across it.
Pieces are outlined, offcuts to keep are hatched in a dashed outline, what is lost is dotted, and straight cuts are
solid; a piece turned by a quarter carries an arrow along its own length.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from math import hypot

from reportlab.lib.colors import white
from reportlab.pdfgen.canvas import Canvas

from nesting.job import Shop
from nesting.plan import Axis, Rect
from nesting.words import length_words
from nesting.write.bar_drawing import draw_box
from nesting.write.inscription import Inscription, inscription
from nesting.write.leaf import INK, QUIET
from nesting.write.lettering import BOLD, REGULAR, printable, size_for
from nesting.write.scale import Scale, scale_for

GUTTER = 24.0
"""Points at the left and below each row: the axes, and how long the sides are."""
_TOP = 8.0
_HIGH = 430.0
"""Points of the tallest drawing."""
_DISC = 7.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Shape:
    """A rectangle of the drawing.

    Parameters
    ----------
    kind
        As `draw_box` takes it, or "blank": only outlined.
    text, small
        What it would like to carry, and what else if there is room.
    number
        The number by which the lists name it; a shape too small for its text carries this alone.
    turned
        Whether it is a piece that lies with its length across.
    """

    kind: str
    place: Rect
    text: str = ""
    small: str = ""
    number: str = ""
    turned: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class CutLine:
    """A straight cut: the rectangle of its kerf, which way it divides, and its number."""

    place: Rect
    axis: Axis
    number: str


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetDrawing:
    """A sheet, or a blank of one.

    Parameters
    ----------
    place
        What is drawn; its nearest corner is the datum.
    shapes
        The later above the earlier.
    shop
        In whose units the sides are given.
    """

    place: Rect
    shapes: tuple[Shape, ...]
    cuts: tuple[CutLine, ...] = ()
    shop: Shop

    def scale(self, width: float) -> Scale:
        """The scale at which it is drawn in a width in points."""
        return scale_for(self.place.length, self.place.width, width - GUTTER - 1, _HIGH, GUTTER + _TOP)

    def height(self, width: float) -> float:
        """Points that it takes at a width in points."""
        scale = self.scale(width)
        return scale.rows * (scale.row_height + GUTTER + _TOP)

    def draw(self, canvas: Canvas, width: float) -> None:
        """Draw it with its upper left corner at the origin."""
        scale = self.scale(width)
        shown = dict(self._shown(scale))
        for row in range(scale.rows):
            canvas.saveState()
            canvas.translate(GUTTER, -(row + 1) * (scale.row_height + GUTTER + _TOP) + GUTTER)
            self._row(canvas, scale, row, shown)
            canvas.restoreState()

    def _shown(self, scale: Scale) -> Iterator[tuple[int, int]]:
        """The row that carries the text of each shape: the one that shows most of it."""
        for index, shape in enumerate(self.shapes):
            yield index, max(range(scale.rows), key=lambda row: self._seen(shape.place, scale, row)[1])

    def _seen(self, place: Rect, scale: Scale, row: int) -> tuple[int, int]:
        """Where a row shows a rectangle along the length: from where, and how much of it (not above 0: nothing)."""
        first = self.place.x + row * scale.row_length
        start = max(place.x, first)
        return start, min(place.x + place.length, first + scale.row_length) - start

    def _row(self, canvas: Canvas, scale: Scale, row: int, shown: dict[int, int]) -> None:
        first = self.place.x + row * scale.row_length
        length = min(scale.row_length, self.place.x + self.place.length - first)
        wide, high = scale.points(length), scale.row_height
        _axes(canvas, wide, high, self._along(scale, row, length), length_words(self.place.width, self.shop))
        canvas.saveState()
        frame = canvas.beginPath()
        frame.rect(-0.6, -0.6, wide + 1.2, high + 1.2)
        canvas.clipPath(frame, stroke=0)
        draw_box(canvas, "scrap", 0, 0, wide, high)
        for index, shape in enumerate(self.shapes):
            start, seen = self._seen(shape.place, scale, row)
            if seen <= 0:
                continue
            _outline(canvas, shape, *_box(shape.place, first, self.place.y, scale))
            if shown[index] == row:
                part = Rect(start, shape.place.y, seen, shape.place.width)
                _write(canvas, shape, *_box(part, first, self.place.y, scale))
        for cut in self.cuts:
            if self._seen(cut.place, scale, row)[1] >= 0:
                _cut(canvas, *_box(cut.place, first, self.place.y, scale))
        canvas.restoreState()
        here = [cut for cut in self.cuts if self._seen(cut.place, scale, row)[1] >= 0]
        _discs(canvas, [(cut, _box(cut.place, first, self.place.y, scale)) for cut in here])
        if not row:
            canvas.setFillColor(INK)
            canvas.circle(0, 0, 3.5, stroke=0, fill=1)

    def _along(self, scale: Scale, row: int, length: int) -> str:
        """What stands below a row: how long it is, or which part of the length it shows."""
        if scale.rows == 1:
            return f"x, along the length: {length_words(length, self.shop)}"
        first = row * scale.row_length
        return f"x, along the length: {length_words(first, self.shop)} to {length_words(first + length, self.shop)}"


def _box(place: Rect, x: int, y: int, scale: Scale) -> tuple[float, float, float, float]:
    """A rectangle in points of a row that begins at (x, y)."""
    corner = scale.points(place.x - x), scale.points(place.y - y)
    return (*corner, scale.points(place.length), scale.points(place.width))


def _axes(canvas: Canvas, wide: float, high: float, along: str, across: str) -> None:
    """Arrows from the datum corner along the length, below, and across it, at the left."""
    canvas.saveState()
    _axis(canvas, wide, along, -1)
    canvas.rotate(90)
    _axis(canvas, high, f"y: {across}", 1)
    canvas.restoreState()


def _axis(canvas: Canvas, long: float, said: str, side: int) -> None:
    """An arrow to the right, below the line (side -1) or above it (1), with what it says in the middle of it."""
    at = side * 11.0
    canvas.setStrokeColor(QUIET)
    canvas.setFillColor(QUIET)
    canvas.setLineWidth(0.8)
    canvas.line(0, at, long, at)
    canvas.lines([(long - 5, at + 3, long, at), (long - 5, at - 3, long, at)])
    size = size_for(said, REGULAR, 9, max(10.0, long - 14), 5)
    run = canvas.stringWidth(said, REGULAR, size)
    if run > long - 10:
        return
    canvas.setFillColor(white)
    canvas.rect((long - run) / 2 - 4, at - 5, run + 8, 10, stroke=0, fill=1)
    canvas.setFillColor(INK)
    canvas.setFont(REGULAR, size)
    canvas.drawCentredString(long / 2, at - size * 0.35, said)


def _outline(canvas: Canvas, shape: Shape, x: float, y: float, wide: float, high: float) -> None:
    if shape.kind == "keep":
        _ground(canvas, x, y, wide, high)
    if shape.kind != "blank":
        draw_box(canvas, shape.kind, x, y, wide, high)
        return
    canvas.setFillColor(white)
    canvas.setStrokeColor(INK)
    canvas.setLineWidth(1.6)
    canvas.rect(x, y, wide, high, fill=1)


def _write(canvas: Canvas, shape: Shape, x: float, y: float, wide: float, high: float) -> None:
    """What a shape carries: number and text if both fit, else the number alone, else nothing."""
    text, small, number = (printable(said) for said in (shape.text, shape.small, shape.number))
    if shape.turned and min(wide, high) >= 24:
        _arrow(canvas, x + wide - 7, y, high)
        wide -= 9
    canvas.setFillColor(INK)
    body, middle = inscription(text, small, wide, high), y + high / 2
    if number:
        above = inscription(text, small, wide, high - 11) if high >= 26 else None
        if above is not None:
            canvas.setFont(REGULAR, 8)
            canvas.drawString(x + 3, y + high - 9, number)
            body, middle = above, y + (high - 11) / 2
        else:
            body = inscription(f"{number} · {text}", "", wide, high)
    if body is None:
        _tiny(canvas, number, x, y, wide, high)
        return
    if shape.kind == "keep":
        _halo(canvas, body, x + wide / 2, middle)
    body.draw(canvas, x + wide / 2, middle)


def _halo(canvas: Canvas, body: Inscription, x: float, y: float) -> None:
    """White ground, so that what is written on a pattern can be read."""
    run, depth = body.run + 6, body.depth + 2
    wide, high = (depth, run) if body.upright else (run, depth)
    _ground(canvas, x - wide / 2, y - high / 2, wide, high)
    canvas.setFillColor(INK)


def _ground(canvas: Canvas, x: float, y: float, wide: float, high: float) -> None:
    canvas.setFillColor(white)
    canvas.rect(x, y, wide, high, stroke=0, fill=1)


def _tiny(canvas: Canvas, number: str, x: float, y: float, wide: float, high: float) -> None:
    """A number in a shape that is almost too small for it; none where it could not be read."""
    size = min(8.0, high * 0.9, 6.0 * wide / max(1.0, canvas.stringWidth(number, BOLD, 6)))
    if number and size >= 3.5:
        canvas.setFont(BOLD, size)
        canvas.drawCentredString(x + wide / 2, y + high / 2 - size * 0.36, number)


def _arrow(canvas: Canvas, x: float, y: float, high: float) -> None:
    """Along the length of a piece that lies across."""
    low, top = y + 4, y + min(high, 60) - 4
    canvas.setStrokeColor(INK)
    canvas.setLineWidth(0.9)
    heads = [(x + side, end + way * 4, x, end) for side in (-2.5, 2.5) for end, way in ((low, 1), (top, -1))]
    canvas.lines([(x, low, x, top), *heads])


def _cut(canvas: Canvas, x: float, y: float, wide: float, high: float) -> None:
    """The kerf, never thinner than a line."""
    canvas.setFillColor(INK)
    canvas.rect(x, y, max(wide, 1.1), max(high, 1.1), stroke=0, fill=1)


def _discs(canvas: Canvas, cuts: list[tuple[CutLine, tuple[float, float, float, float]]]) -> None:
    """The numbers of cuts, each in a disc at the near end of its line, smaller where they stand close."""
    places = [_disc_at(cut, *box) for cut, box in cuts]
    for (cut, _), (x, y) in zip(cuts, places, strict=True):
        near = min((hypot(x - a, y - b) for a, b in places if (a, b) != (x, y)), default=2 * _DISC)
        radius = max(3.5, min(_DISC, 0.48 * near))
        canvas.setFillColor(white)
        canvas.setStrokeColor(INK)
        canvas.setLineWidth(0.9)
        canvas.circle(x, y, radius, fill=1)
        canvas.setFillColor(INK)
        size = size_for(cut.number, BOLD, radius * 1.3, 1.7 * radius, 3)
        canvas.setFont(BOLD, size)
        canvas.drawCentredString(x, y - size * 0.36, cut.number)


def _disc_at(cut: CutLine, x: float, y: float, wide: float, high: float) -> tuple[float, float]:
    if cut.axis == "across":
        return x + wide / 2, y + min(_DISC + 1.5, high / 2)
    return x + min(_DISC + 1.5, wide / 2), y + high / 2
