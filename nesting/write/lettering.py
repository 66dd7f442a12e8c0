"""The letters of plan.pdf: a font that travels inside the file, and what becomes of signs that it lacks.

The font is Bitstream Vera, which comes with reportlab. It holds the Latin scripts of western and much of
central Europe; any other sign is shown as `LACKING`, never left out.
"""

from __future__ import annotations

from functools import cache

from reportlab.pdfbase.pdfmetrics import getRegisteredFontNames, registerFont, registerFontFamily, stringWidth
from reportlab.pdfbase.ttfonts import TTFont

REGULAR, BOLD = "Vera", "VeraBd"
LACKING = "◊"
LONGEST = 300
"""Characters of the longest text that goes on paper; what is longer ends in "…"."""


def load_letters() -> None:
    """Make the font known to reportlab; a second call does nothing."""
    for name in (REGULAR, BOLD):
        if name not in getRegisteredFontNames():
            registerFont(TTFont(name, f"{name}.ttf"))
    registerFontFamily(REGULAR, normal=REGULAR, bold=BOLD, italic=REGULAR, boldItalic=BOLD)


def printable(text: str, longest: int | None = LONGEST) -> str:
    """A text as the font can show it, on one line, at most `longest` characters; None: however long it is.

    >>> printable("Rahmen – 2 × Ø 20")
    'Rahmen – 2 × Ø 20'
    >>> printable("梁-1")
    '◊-1'
    """
    line = " ".join(text.split())
    shown = "".join(sign if ord(sign) in _glyphs() else LACKING for sign in line)
    return shown if longest is None or len(shown) <= longest else f"{shown[: longest - 1]}…"


def is_lacking(text: str) -> bool:
    """Whether the font lacks a sign of a text."""
    return any(ord(sign) not in _glyphs() for sign in "".join(text.split()))


def size_for(text: str, font: str, size: float, width: float, least: float) -> float:
    """The largest type size up to `size` at which a text fits a width; never below `least`, even if it does not."""
    wide: float = stringWidth(text, font, size)
    return max(least, min(size, size * width / max(1.0, wide)))


def fitted(text: str, font: str, size: float, width: float, least: float) -> tuple[str, float]:
    """A text and the type size at which it fits a width; what does not fit in the least size ends in "…"."""
    low = size_for(text, font, size, width, least)
    while len(text) > 1 and stringWidth(text, font, low) > width:
        text = f"{text.removesuffix('…')[:-1]}…" if len(text) > 2 else "…"
    return text, low


def lines_for(text: str, font: str, size: float, width: float, most: int) -> list[str]:
    """A text broken into lines that fit a width, between words or, where a word is too long, within it, at a hyphen if
    there is one; the last of at most `most` lines ends in "…" if there is more."""
    lines, line = [], ""
    for word in text.split(" "):
        joined = f"{line} {word}" if line else word
        if line and stringWidth(joined, font, size) > width >= stringWidth(word, font, size):
            lines.append(line)
            joined = word
        line = joined
        while stringWidth(line, font, size) > width and len(line) > 1:
            fits = next(
                n for n in range(len(line) - 1, 0, -1) if n == 1 or stringWidth(line[:n], font, size) <= width
            )
            fits = max(line.rfind("-", fits // 2, fits) + 1, 0) or fits
            lines.append(line[:fits].rstrip())
            line = line[fits:].lstrip()
    lines.append(line)
    if len(lines) > most:
        return [*lines[: most - 1], f"{lines[most - 1][:-1]}…"]
    return lines


@cache
def _glyphs() -> frozenset[int]:
    """The signs that both weights of the font hold."""
    faces = [TTFont(name, f"{name}.ttf").face.charToGlyph for name in (REGULAR, BOLD)]
    return frozenset(faces[0]) & frozenset(faces[1])
