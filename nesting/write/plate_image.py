"""The drawing of a sheet as a PNG file for the workbook, in the looks of the page."""

from __future__ import annotations

import io
from collections.abc import Callable
from functools import cache
from pathlib import Path

import reportlab
from PIL import Image, ImageDraw, ImageFont

from nesting.write.lettering import BOLD, REGULAR, printable
from nesting.write.plate_text import Label
from nesting.write.sheet_picture import THINNEST, Arrow, Box, Disc, SheetPicture

SHARPNESS = 2
"""Pixels a unit of the drawing."""
_INK, _PAPER, _DOT, _KEEP = "#1b2422", "#ffffff", "#77807c", "#2f6f74"
_FILLS = {"piece": "#cfe0e6", "piece other": "#f2e3bd"}
_FONTS = Path(reportlab.__file__).parent / "fonts"
_Spot = tuple[float, float, float, float]


def png_of(picture: SheetPicture) -> bytes:
    """Draw a picture with the texts that fit on a page.

    Returns
    -------
    bytes
        A PNG file, `SHARPNESS` pixels a unit.
    """
    size = round(picture.width * SHARPNESS), round(picture.height * SHARPNESS)
    image = Image.new("RGB", size, _PAPER)
    draw = ImageDraw.Draw(image)
    for box in picture.boxes:
        _draw_box(image, draw, box)
    for arrow in picture.page.arrows:
        _draw_arrow(draw, arrow)
    for label in picture.page.labels:
        _write(image, draw, label)
    for disc in picture.page.discs:
        _draw_disc(draw, disc)
    if picture.datum is not None:
        draw.circle([SHARPNESS * at for at in picture.datum], 5 * SHARPNESS, fill=_INK)
    stream = io.BytesIO()
    image.quantize(32, dither=Image.Dither.NONE).save(stream, "PNG")
    return stream.getvalue()


def _draw_box(image: Image.Image, draw: ImageDraw.ImageDraw, box: Box) -> None:
    kind = box.shape.kind
    least = THINNEST if kind == "kerf" else 0
    x, y = box.x * SHARPNESS, box.y * SHARPNESS
    spot = (
        x,
        y,
        x + max(box.width, least) * SHARPNESS,
        y + max(box.height, least) * SHARPNESS,
    )
    match kind:
        case "kerf":
            draw.rectangle(spot, fill=_INK)
        case "blank":
            draw.rectangle(spot, outline=_INK, width=2 * SHARPNESS + 1)
        case "keep":
            _fill(image, spot, _hatch)
            _dashes(draw, spot)
        case "scrap sheet" | "trim":
            _fill(image, spot, _dots)
            draw.rectangle(spot, outline=_DOT if kind == "trim" else _INK, width=SHARPNESS)
        case _:
            draw.rectangle(spot, fill=_FILLS[kind], outline=_INK, width=SHARPNESS)


def _fill(image: Image.Image, spot: _Spot, pattern: Callable[[int, int], Image.Image]) -> None:
    """Fill a rectangle with a pattern that begins at its corner."""
    left, top, right, low = (round(at) for at in spot)
    if right > left and low > top:
        image.paste(pattern(*image.size).crop((0, 0, right - left, low - top)), (left, top))


@cache
def _hatch(width: int, height: int) -> Image.Image:
    """Diagonal lines."""
    image = Image.new("RGB", (width, height), _PAPER)
    draw = ImageDraw.Draw(image)
    for at in range(0, width + height, 12 * SHARPNESS):
        draw.line((at, 0, at - height, height), fill="#a5c3c5", width=2 * SHARPNESS)
    return image


@cache
def _dots(width: int, height: int) -> Image.Image:
    """Dots on grey."""
    image = Image.new("RGB", (width, height), "#e3e3de")
    draw = ImageDraw.Draw(image)
    for x in range(2 * SHARPNESS, width, 7 * SHARPNESS):
        for y in range(2 * SHARPNESS, height, 7 * SHARPNESS):
            draw.circle((x, y), SHARPNESS, fill=_DOT)
    return image


def _dashes(draw: ImageDraw.ImageDraw, spot: _Spot) -> None:
    """The dashed outline of what is kept."""
    left, top, right, low = spot
    dash, step = 7 * SHARPNESS, 10 * SHARPNESS
    for at in range(round(left), round(right), step):
        for y in (top, low):
            draw.line((at, y, min(at + dash, right), y), fill=_KEEP, width=2 * SHARPNESS)
    for at in range(round(top), round(low), step):
        for x in (left, right):
            draw.line((x, at, x, min(at + dash, low)), fill=_KEEP, width=2 * SHARPNESS)


def _draw_arrow(draw: ImageDraw.ImageDraw, arrow: Arrow) -> None:
    x, top, low, head = (SHARPNESS * at for at in (arrow.x, arrow.y, arrow.low, arrow.head))
    draw.line((x, top, x, low), fill=_INK, width=SHARPNESS)
    for end, way in ((top, 1), (low, -1)):
        for side in (-head, head):
            draw.line((x, end, x + side, end + way * head), fill=_INK, width=SHARPNESS)


def _draw_disc(draw: ImageDraw.ImageDraw, disc: Disc) -> None:
    x, y, radius = (SHARPNESS * at for at in (disc.x, disc.y, disc.radius))
    draw.circle((x, y), radius, fill=_PAPER, outline=_INK, width=SHARPNESS)
    font = _fitted(disc.text, BOLD, 1.25 * radius, 1.5 * radius)
    draw.text((x, y), disc.text, fill=_INK, font=font, anchor="mm")


def _write(image: Image.Image, draw: ImageDraw.ImageDraw, label: Label) -> None:
    """Lines centred at a point, on white where they stand on a pattern."""
    x, y = label.x * SHARPNESS, label.y * SHARPNESS
    for line in label.lines:
        text = printable(line.text)
        font = _fitted(
            text, REGULAR if line.is_small else BOLD, line.size * SHARPNESS, label.room * SHARPNESS
        )
        down = line.down * SHARPNESS
        if label.upright:
            _write_upright(image, text, font, x + down, y)
            continue
        if label.hatched:
            left, top, right, low = draw.textbbox((x, y + down), text, font=font, anchor="ms")
            draw.rectangle((left - 5, top - 3, right + 5, low + 3), fill=_PAPER)
        draw.text((x, y + down), text, fill=_INK, font=font, anchor="ms")


def _write_upright(
    image: Image.Image, text: str, font: ImageFont.FreeTypeFont, base: float, middle: float
) -> None:
    """A line that runs upwards, its base at x and its middle at y."""
    left, top, right, low = font.getbbox(text, anchor="ls")
    mask = Image.new("L", (round(right - left) + 2, round(low - top) + 2), 0)
    ImageDraw.Draw(mask).text((-left, -top), text, fill=255, font=font, anchor="ls")
    turned = mask.rotate(90, expand=True)
    image.paste(_INK, (round(base + top), round(middle - turned.height / 2)), turned)


def _fitted(text: str, name: str, size: float, room: float) -> ImageFont.FreeTypeFont:
    """The font in a size at which a text fits."""
    font = _font(name, max(6, round(size)))
    wide = font.getlength(text)
    return font if wide <= room else _font(name, max(6, int(size * room / wide)))


@cache
def _font(name: str, size: int) -> ImageFont.FreeTypeFont:
    return ImageFont.truetype(str(_FONTS / f"{name}.ttf"), size)
