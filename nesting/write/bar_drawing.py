"""A stick on paper: the drawing of plan.html in ink, told apart by outline and pattern alone.

Pieces are outlined, saw cuts are solid, offcuts to keep are hatched in a dashed outline, and what is lost is
dotted.
"""

from __future__ import annotations

from dataclasses import dataclass

from reportlab.lib.colors import Color, HexColor, white
from reportlab.pdfgen.canvas import Canvas

from nesting.write.leaf import INK, QUIET
from nesting.write.lettering import BOLD, REGULAR, printable, size_for
from nesting.write.picture import BAR_HEIGHT, BAR_TOP, PAGE, Box, Label, Picture, Tag

_PIECE, _OTHER, _LOST = HexColor("#e4eef2"), HexColor("#faf3df"), HexColor("#f0f0ec")
_BOTTOM = -(BAR_TOP + BAR_HEIGHT)
_MOST_TAGS = 16
"""Rows of tags; a stick that would need more is drawn without any, as its steps name every mark."""
_TAG_ROW = 15


@dataclass(frozen=True, slots=True)
class BarDrawing:
    """The drawing of a stick, for the card of it."""

    picture: Picture

    def height(self, width: float) -> float:
        """Points that it takes at a width in points."""
        height = self.picture.page.height if _tags(self.picture) else BAR_TOP + BAR_HEIGHT + 1
        return height * width / PAGE

    def draw(self, canvas: Canvas, width: float) -> None:
        """Draw it with its upper left corner at the origin, as wide as the page view of the picture."""
        picture = self.picture
        canvas.saveState()
        canvas.scale(width / PAGE, width / PAGE)
        pixels = (PAGE - picture.page.margin) / 100
        for box in picture.boxes:
            if box.is_slanted:
                _draw_slanted(canvas, box, pixels)
            else:
                draw_box(canvas, box.kind, box.left * pixels, _BOTTOM, box.width * pixels, BAR_HEIGHT)
        for label in picture.page.labels:
            _label(canvas, label, picture.boxes, pixels)
        for tag in _tags(picture):
            _tag(canvas, tag, pixels)
        canvas.restoreState()


def draw_box(
    canvas: Canvas, kind: str, x: float, y: float, width: float, height: float, line: float = 1
) -> None:
    """One rectangle of a stick or sheet, in the look of its kind (`Box.kind`), outlined by a line of such a width."""
    canvas.saveState()
    canvas.setStrokeColor(INK)
    canvas.setLineWidth(line)
    match kind:
        case "kerf":
            canvas.setFillColor(INK)
            canvas.rect(x, y, width, height, fill=1)
        case "keep":
            _hatch(canvas, x, y, width, height)
            canvas.setLineWidth(2)
            canvas.setDash(7, 3)
            canvas.rect(x, y, width, height, fill=0)
        case "trim" | "scrap":
            _fill(canvas, x, y, width, height, _LOST)
            _dots(canvas, x, y, width, height)
            canvas.rect(x, y, width, height, fill=0)
        case _:
            canvas.setFillColor(_OTHER if kind.endswith("other") else _PIECE)
            canvas.rect(x, y, width, height, fill=1)
    canvas.restoreState()


def _draw_slanted(canvas: Canvas, box: Box, pixels: float) -> None:
    """A mitred piece, or the saw cut of a mitre."""
    canvas.saveState()
    canvas.setStrokeColor(INK)
    canvas.setLineWidth(1)
    looks = {"kerf": INK, "piece other": _OTHER}
    canvas.setFillColor(looks.get(box.kind, _PIECE))
    high = (_BOTTOM + BAR_HEIGHT, _BOTTOM + BAR_HEIGHT, _BOTTOM, _BOTTOM)
    outline = canvas.beginPath()
    for at, (corner, y) in enumerate(zip(box.corners, high, strict=True)):
        x = (box.left + corner * box.width) * pixels
        (outline.lineTo if at else outline.moveTo)(x, y)
    outline.close()
    canvas.drawPath(outline, stroke=1, fill=1)
    canvas.restoreState()


def _tags(picture: Picture) -> tuple[Tag, ...]:
    rows = max((tag.row for tag in picture.page.tags), default=0)
    return picture.page.tags if rows < _MOST_TAGS else ()


def _fill(canvas: Canvas, x: float, y: float, width: float, height: float, colour: Color) -> None:
    canvas.setFillColor(colour)
    canvas.rect(x, y, width, height, stroke=0, fill=1)


def _hatch(canvas: Canvas, x: float, y: float, width: float, height: float) -> None:
    """Slanted lines within a rectangle."""
    canvas.saveState()
    frame = canvas.beginPath()
    frame.rect(x, y, width, height)
    canvas.clipPath(frame, stroke=0)
    canvas.setStrokeColor(QUIET)
    at, slants = x - height, []
    while at < x + width:
        slants.append((at, y, at + height, y + height))
        at += 11
    canvas.lines(slants)
    canvas.restoreState()


def _dots(canvas: Canvas, x: float, y: float, width: float, height: float) -> None:
    """Rows of dots within a rectangle: dashes of no length with round ends."""
    canvas.saveState()
    canvas.setStrokeColor(QUIET)
    canvas.setLineCap(1)
    canvas.setLineWidth(1.7)
    canvas.setDash([0, 7], 0)
    rows = int((height - 4) // 7)
    if width > 4:
        canvas.lines([(x + 3, y + 4 + 7 * row, x + width - 1, y + 4 + 7 * row) for row in range(rows + 1)])
    canvas.restoreState()


def _label(canvas: Canvas, label: Label, boxes: tuple[Box, ...], pixels: float) -> None:
    """The mark of a piece in its box, as large as it fits, and its length under it."""
    box = min(
        (box for box in boxes if box.text), key=lambda box: abs(box.left + box.width / 2 - label.middle)
    )
    text, room = printable(label.text), (BAR_HEIGHT if label.upright else box.width * pixels) - 5
    size = size_for(text, BOLD, 14, room, 5)
    if label.upright:
        size = min(size, 11.5)
    canvas.saveState()
    canvas.translate(label.middle * pixels, _BOTTOM + BAR_HEIGHT / 2)
    if label.upright:
        canvas.rotate(90)
    small = printable(label.small)
    low = size_for(small, REGULAR, 11, room, 5) if small else 0.0
    base = 2.0 if small else -size * 0.36
    if label.hatched:
        wide = max(canvas.stringWidth(text, BOLD, size), canvas.stringWidth(small, REGULAR, low)) + 6
        _fill(canvas, -wide / 2, base - (14 if small else 3), wide, size + (15 if small else 5), white)
    canvas.setFillColor(INK)
    canvas.setFont(BOLD, size)
    canvas.drawCentredString(0, base, text)
    if small:
        canvas.setFont(REGULAR, low)
        canvas.drawCentredString(0, base - 13, small)
    canvas.restoreState()


def _tag(canvas: Canvas, tag: Tag, pixels: float) -> None:
    """A bracket under a run of pieces, and a stem down to what it says."""
    left, right, at = tag.left * pixels, tag.right * pixels, tag.at * pixels
    top, base = _BOTTOM - 4, _BOTTOM - 17 - _TAG_ROW * tag.row
    text = printable(tag.text)
    canvas.setStrokeColor(QUIET)
    canvas.setFillColor(INK)
    canvas.setLineWidth(1)
    canvas.line(left, top, right, top)
    canvas.line(at, top, at, base)
    canvas.setFont(REGULAR, size_for(text, REGULAR, 12, len(text) * 6.6, 5))
    canvas.drawString(at + 4, base, text)
