"""A sheet on paper, to scale: outlines of pieces, blanks and offcuts, numbered cuts, and the datum corner.

The datum corner lies at the lower left: x runs to the right along the length of the sheet, y upwards across it.
Pieces are outlined, offcuts to keep are hatched in a dashed outline, what is lost is dotted, and straight cuts are
solid; a piece turned by a quarter carries an arrow along its own length.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from reportlab.pdfgen.canvas import Canvas

from nesting.job import Shop
from nesting.plan import Axis, Rect
from nesting.report.words import length_words
from nesting.write.bar_drawing import draw_box
from nesting.write.leaf import INK
from nesting.write.scale import Scale, scale_for
from nesting.write.sheet_ink import (
    DISC,
    Shape,
    draw_axes,
    draw_cut,
    draw_discs,
    draw_hole,
    draw_outline,
    write_in,
)

GUTTER = 24.0
"""Points at the left and below each row: the axes, and how long the sides are."""
_TOP = 8.0


@dataclass(frozen=True, slots=True, kw_only=True)
class CutLine:
    """A straight cut: the rectangle of its kerf, which way it divides, and its number."""

    place: Rect
    axis: Axis
    number: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Round:
    """A hole: its centre from the datum corner and its diameter, ticks; drilled ones carry a cross."""

    x: int
    y: int
    diameter: int
    number: str
    drilled: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetDrawing:
    """A sheet, a blank of one, or a part with holes.

    Parameters
    ----------
    place
        What is drawn.
    datum
        Of which it is a part that is drawn larger; None: of nothing, and its own nearest corner is the datum.
    shapes
        The later above the earlier.
    shop
        In whose units the sides are given.
    high
        Points of the tallest drawing.
    enlarged
        How many times as large as life it may be drawn.
    grain
        Whether the arrow along the length says that the grain runs so.
    """

    place: Rect
    datum: Rect | None = None
    shapes: tuple[Shape, ...]
    cuts: tuple[CutLine, ...] = ()
    rounds: tuple[Round, ...] = ()
    shop: Shop
    high: float = 430.0
    enlarged: int = 1
    grain: bool = False

    def scale(self, width: float) -> Scale:
        """The scale at which it is drawn in a width in points."""
        return scale_for(
            self.place.length,
            self.place.width,
            across=width - GUTTER - 1,
            high=self.high,
            between=GUTTER + _TOP,
            enlarged=self.enlarged,
        )

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

    def _row(self, canvas: Canvas, scale: Scale, row: int, shown: dict[int, int]) -> None:
        first, length = self._span(scale, row)
        wide, high = scale.points(length), scale.row_height
        draw_axes(canvas, wide, high, self._along(scale, row), self._across())
        canvas.saveState()
        frame = canvas.beginPath()
        frame.rect(-0.6, -0.6, wide + 1.2, high + 1.2)
        canvas.clipPath(frame, stroke=0)
        draw_box(canvas, "scrap", 0, 0, wide, high)
        for index, shape in enumerate(self.shapes):
            start, seen = self._seen(shape.place, scale, row)
            if seen <= 0:
                continue
            draw_outline(canvas, shape, *_box(shape.place, first, self.place.y, scale))
            if shown[index] == row:
                part = Rect(start, shape.place.y, seen, shape.place.width)
                write_in(canvas, shape, *_box(part, first, self.place.y, scale))
        discs = []
        for cut in self.cuts:
            start, seen = self._seen(cut.place, scale, row)
            if seen >= 0:
                box = _box(Rect(start, cut.place.y, seen, cut.place.width), first, self.place.y, scale)
                draw_cut(canvas, *box)
                discs.append(_disc(cut, *box))
        for hole in self.rounds:
            if first <= hole.x < first + length or (hole.x == first + length and row == scale.rows - 1):
                x, y = scale.points(hole.x - first), scale.points(hole.y - self.place.y)
                radius = scale.points(hole.diameter) / 2
                draw_hole(canvas, x, y, radius, hole.drilled)
                discs.append((hole.number, *_beside(x, y, radius, wide, high)))
        canvas.restoreState()
        draw_discs(canvas, discs)
        if not row and self.datum is None:
            canvas.setFillColor(INK)
            canvas.circle(0, 0, 3.5, stroke=0, fill=1)

    def _span(self, scale: Scale, row: int) -> tuple[int, int]:
        """Where a row begins along the length, and how much of it the row shows, ticks."""
        first = self.place.x + row * scale.row_length
        return first, min(scale.row_length, self.place.x + self.place.length - first)

    def _seen(self, place: Rect, scale: Scale, row: int) -> tuple[int, int]:
        """Where a row shows a rectangle along the length: from where, and how much of it (below 0: nothing)."""
        first, length = self._span(scale, row)
        start = max(place.x, first)
        return start, min(place.x + place.length, first + length) - start

    def _along(self, scale: Scale, row: int) -> str:
        """What stands below a row: how long it is, or which part of the length it shows."""
        first, length = self._span(scale, row)
        start = first - (self.datum or self.place).x
        name = "x, along the length and the grain" if self.grain else "x, along the length"
        return f"{name}: {self._stretch(start, length, scale.rows > 1)}; drawn {scale.words}"

    def _across(self) -> str:
        """What stands at the left: how wide it is, or which part of the width it shows."""
        return f"y: {self._stretch(self.place.y - (self.datum or self.place).y, self.place.width)}"

    def _stretch(self, start: int, length: int, is_part: bool = False) -> str:
        said = length_words(start + length, self.shop)
        return f"{length_words(start, self.shop)} to {said}" if start or is_part else said


def _box(place: Rect, x: int, y: int, scale: Scale) -> tuple[float, float, float, float]:
    """A rectangle in points of a row that begins at (x, y)."""
    corner = scale.points(place.x - x), scale.points(place.y - y)
    return (*corner, scale.points(place.length), scale.points(place.width))


def _disc(cut: CutLine, x: float, y: float, wide: float, high: float) -> tuple[str, float, float]:
    """The number of a cut and where its disc stands: at the near end of its line."""
    if cut.axis == "across":
        return cut.number, x + wide / 2, y + min(DISC + 1.5, high / 2)
    return cut.number, x + min(DISC + 1.5, wide / 2), y + high / 2


def _beside(x: float, y: float, radius: float, wide: float, high: float) -> tuple[float, float]:
    """Where the number of a hole stands: above it at the right, or at the other side where that is outside."""
    off = 0.71 * (radius + DISC + 1)
    return x + (off if x + off + DISC < wide else -off), y + (off if y + off + DISC < high else -off)
