"""What the drawings of plates are made of: outlines, text in them, axes from the datum corner, numbers in discs."""

from __future__ import annotations

from dataclasses import dataclass
from math import hypot

from reportlab.lib.colors import white
from reportlab.pdfgen.canvas import Canvas

from nesting.plan import Rect
from nesting.write.bar_drawing import draw_box
from nesting.write.inscription import Inscription, inscription
from nesting.write.leaf import INK, QUIET
from nesting.write.lettering import BOLD, REGULAR, printable, size_for

DISC = 7.0
"""Points: the radius of a disc."""


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


def draw_axes(canvas: Canvas, wide: float, high: float, along: str, across: str) -> None:
    """Arrows from the datum corner along the length, below, and across it, at the left."""
    canvas.saveState()
    _axis(canvas, wide, along, -1)
    canvas.rotate(90)
    _axis(canvas, high, across, 1)
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


def draw_outline(canvas: Canvas, shape: Shape, x: float, y: float, wide: float, high: float) -> None:
    if shape.kind == "keep":
        _ground(canvas, x, y, wide, high)
    if shape.kind != "blank":
        draw_box(canvas, shape.kind, x, y, wide, high, 0.4 if min(wide, high) < 12 else 1)
        return
    canvas.setFillColor(white)
    canvas.setStrokeColor(INK)
    canvas.setLineWidth(1.6)
    canvas.rect(x, y, wide, high, fill=1)


def write_in(canvas: Canvas, shape: Shape, x: float, y: float, wide: float, high: float) -> None:
    """What a shape carries: number and text if both fit, else the number alone, else nothing."""
    text, small, number = (printable(said) for said in (shape.text, shape.small, shape.number))
    if shape.turned and min(wide, high) >= 24:
        draw_arrow(canvas, x + wide - 7, y, high)
        wide -= 9
    canvas.setFillColor(INK)
    body, middle = inscription(text, small, wide, high), y + high / 2
    if number:
        above = inscription(text, small, wide, high - 11, torn=False) if high >= 26 else None
        if above is not None:
            canvas.setFont(REGULAR, 8)
            canvas.drawString(x + 3, y + high - 9, number)
            body, middle = above, y + (high - 11) / 2
        else:
            body = inscription(f"{number}: {text}", "", wide, high, torn=False)
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


def draw_arrow(canvas: Canvas, x: float, y: float, high: float) -> None:
    """Along the length of a piece that lies across."""
    low, top = y + 4, y + min(high, 60) - 4
    canvas.setStrokeColor(INK)
    canvas.setLineWidth(0.9)
    heads = [(x + side, end + way * 4, x, end) for side in (-2.5, 2.5) for end, way in ((low, 1), (top, -1))]
    canvas.lines([(x, low, x, top), *heads])


def draw_cut(canvas: Canvas, x: float, y: float, wide: float, high: float) -> None:
    """The kerf, never thinner than a line."""
    canvas.setFillColor(INK)
    canvas.rect(x, y, max(wide, 1.1), max(high, 1.1), stroke=0, fill=1)


def draw_hole(canvas: Canvas, x: float, y: float, radius: float, drilled: bool) -> None:
    """A hole, with a cross through its middle if it is drilled."""
    canvas.setStrokeColor(INK)
    canvas.setFillColor(white)
    canvas.setLineWidth(0.9)
    canvas.circle(x, y, max(radius, 1.5), fill=1)
    if drilled:
        arm = max(radius, 1.5) + 3
        canvas.setLineWidth(0.6)
        canvas.lines([(x - arm, y, x + arm, y), (x, y - arm, x, y + arm)])


def draw_discs(canvas: Canvas, discs: list[tuple[str, float, float]]) -> None:
    """Numbers in discs, given with their middles; smaller where they stand close."""
    for number, x, y in discs:
        near = min((hypot(x - a, y - b) for _, a, b in discs if (a, b) != (x, y)), default=2 * DISC)
        radius = max(3.5, min(DISC, 0.48 * near))
        canvas.setFillColor(white)
        canvas.setStrokeColor(INK)
        canvas.setLineWidth(0.9)
        canvas.circle(x, y, radius, fill=1)
        canvas.setFillColor(INK)
        size = size_for(number, BOLD, radius * 1.3, 1.7 * radius, 3)
        canvas.setFont(BOLD, size)
        canvas.drawCentredString(x, y - size * 0.36, number)
