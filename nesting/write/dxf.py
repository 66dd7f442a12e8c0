"""A sheet or a blank as a DXF drawing in true size, with nominal outlines, for the torch controller and for the screen.

The origin is the datum corner of what is drawn, x along the length of the sheet, y across it; units are those of the
shop. A piece turned by a quarter is turned to the left, so that its own x runs along the y of the sheet; its mark
reads along its own length.
"""

from __future__ import annotations

import io
from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING

from nesting.job import Part, Shop
from nesting.plan import Placed, Plan, Rect
from nesting.report.hole_list import ListedHole, hole_list
from nesting.report.sheet_list import Blank, Sheet, blanks_of, holds
from nesting.report.words import number_words, size_words
from nesting.rules.sources import material_words
from stock.length import PER_INCH, PER_MM

if TYPE_CHECKING:
    from ezdxf.layouts.layout import Modelspace

LAYERS = {
    "SHEET": "outline of the sheet",
    "BLANK": "outline of a blank",
    "PART": "outlines of parts, closed",
    "HOLE": "holes that the torch cuts",
    "DRILL": "centres of holes to drill, as crosses inside the hole",
    "KEEP": "outline of an offcut worth keeping",
    "MARK": "marks of parts, as text inside their outline",
    "NOTE": "which sheet this is, as text above it",
}
"""Every layer of a drawing and what lies on it."""

_COLOURS = dict(zip(LAYERS, (7, 4, 3, 1, 6, 5, 2, 8), strict=True))
"""Colour numbers of the format: grey to the eye, apart on the screen; a layer is known by its name, not by these."""
_UNITS = {"in": 1, "mm": 4}
"""Codes of $INSUNITS."""
_TALLEST = 25 * PER_MM
"""Of a letter, ticks."""


def sheet_dxf(sheet: Sheet, plan: Plan, blank: Blank | None = None) -> bytes:
    """The drawing of a sheet, or of one of its blanks with the corner of the blank as origin.

    Returns
    -------
    bytes
        A DXF file of the release 2000: closed polylines, circles, lines and text, units stated in $INSUNITS.
    """
    import ezdxf  # late: it looks through the fonts of the machine when it is first loaded

    shop, layout = plan.job.shop, sheet.layout
    document = ezdxf.new("R2000", units=_UNITS[shop.unit])  # type: ignore[attr-defined]
    for layer, colour in _COLOURS.items():
        document.layers.add(layer, color=colour)
    whole = Rect(0, 0, layout.length, layout.width)
    pen = _Pen(document.modelspace(), blank.rect if blank else whole, shop)
    if blank is None:
        pen.outline("SHEET", whole)
    for rect in [blank.rect] if blank else layout.blanks:
        pen.outline("BLANK", rect)
    for rect in layout.offcuts:
        if blank is None or holds(blank.rect, rect):
            pen.outline("KEEP", rect)
    _draw_pieces(pen, blank.pieces if blank else layout.pieces, plan)
    pen.title(_title(sheet, shop, blank))
    text = io.StringIO(newline="")
    document.write(text)
    return text.getvalue().replace("\n", "\r\n").encode(document.output_encoding, "dxfreplace")


class _Pen:
    """Draws on layers, from a corner of the sheet, in the unit of the shop."""

    def __init__(self, space: Modelspace, place: Rect, shop: Shop) -> None:
        self._space, self._place = space, place
        self._unit = PER_INCH if shop.unit == "in" else PER_MM

    def outline(self, layer: str, rect: Rect) -> None:
        """A rectangle of the sheet as a closed polyline."""
        left, low = self._at(rect.x, rect.y)
        right, high = self._at(rect.x + rect.length, rect.y + rect.width)
        corners = [(left, low), (right, low), (right, high), (left, high)]
        self._space.add_lwpolyline(corners, close=True, dxfattribs={"layer": layer})

    def hole(self, x: int, y: int, diameter: int) -> None:
        """A hole that the torch cuts."""
        self._space.add_circle(self._at(x, y), diameter / 2 / self._unit, dxfattribs={"layer": "HOLE"})

    def cross(self, x: int, y: int, diameter: int) -> None:
        """The centre of a hole to drill: a cross that the drill takes away, half as wide as the hole."""
        (across, up), arm = self._at(x, y), diameter / 4 / self._unit
        for ends in (((across - arm, up), (across + arm, up)), ((across, up - arm), (across, up + arm))):
            self._space.add_line(*ends, dxfattribs={"layer": "DRILL"})

    def mark(self, text: str, rect: Rect, is_turned: bool) -> None:
        """A text in the middle of a rectangle and inside it, along the length or, turned, along the width."""
        along, across = (rect.width, rect.length) if is_turned else (rect.length, rect.width)
        middle = self._at(rect.x, rect.y)
        middle = middle[0] + rect.length / 2 / self._unit, middle[1] + rect.width / 2 / self._unit
        height = min(0.4 * across, 0.9 * along / len(text), _TALLEST) / self._unit
        self._write("MARK", text, middle, height, rotation=90 if is_turned else 0, centred=True)

    def title(self, text: str) -> None:
        """A text above what is drawn, no longer than it."""
        height = min(_TALLEST, 0.9 * self._place.length / len(text)) / self._unit
        high = self._place.width / self._unit + height / 2
        self._write("NOTE", text, (0.0, high), height)

    def _at(self, x: int, y: int) -> tuple[float, float]:
        return (x - self._place.x) / self._unit, (y - self._place.y) / self._unit

    def _write(
        self,
        layer: str,
        text: str,
        at: tuple[float, float],
        height: float,
        rotation: float = 0,
        centred: bool = False,
    ) -> None:
        from ezdxf.enums import TextEntityAlignment

        attributes = {"layer": layer, "rotation": rotation}
        entity = self._space.add_text(_plain(text), height=height, dxfattribs=attributes)
        alignment = TextEntityAlignment.MIDDLE_CENTER if centred else TextEntityAlignment.LEFT
        entity.set_placement(at, align=alignment)


def _draw_pieces(pen: _Pen, pieces: Iterable[Placed], plan: Plan) -> None:
    parts = {part.mark: part for part in plan.job.parts}
    holes = {listed.part.mark: listed.holes for listed in hole_list(plan)}
    for piece in pieces:
        pen.outline("PART", piece.place)
        pen.mark(piece.mark, piece.place, piece.turned)
        _draw_holes(pen, piece, parts[piece.mark], holes.get(piece.mark, ()))


def _draw_holes(pen: _Pen, piece: Placed, part: Part, holes: Sequence[ListedHole]) -> None:
    """The holes of a piece where they lie; one to be drilled into a face of its own is left to the hole list."""
    for listed in holes:
        hole = listed.hole
        along, across = part.extra_a + hole.x, hole.y
        x = piece.place.x + (piece.place.length - across if piece.turned else along)
        y = piece.place.y + (along if piece.turned else across)
        if listed.made_by == "torch":
            pen.hole(x, y, hole.diameter)
        elif not hole.face:
            pen.cross(x, y, hole.diameter)


def _title(sheet: Sheet, shop: Shop, blank: Blank | None) -> str:
    """Which sheets these are, how many, and of what."""
    place = blank.rect if blank else Rect(0, 0, sheet.layout.length, sheet.layout.width)
    said = [f"sheet {number_words([sheet.run])}"]
    if blank:
        said.append(f"blank {blank.number} of {len(blanks_of(sheet))}")
    if sheet.layout.times > 1:
        said.append(f"{sheet.layout.times} alike")
    return ", ".join([*said, material_words(sheet.material), size_words(place.length, place.width, shop)])


def _plain(text: str) -> str:
    """A text without what the format takes for a code: line ends, %% and ^."""
    visible = "".join(sign if sign.isprintable() else " " for sign in text)
    return (visible.replace("%", "%%%") if "%%" in visible else visible).replace("^", "^ ")
