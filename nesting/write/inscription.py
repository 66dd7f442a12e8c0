"""Text in a rectangle on paper: as large as it fits, on one line or several, across or upright, or not at all."""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import lru_cache

from reportlab.pdfbase.pdfmetrics import stringWidth
from reportlab.pdfgen.canvas import Canvas

from nesting.write.lettering import BOLD, REGULAR, lines_for

_SIZES = (14.0, 12.0, 10.5, 9.0, 8.0, 7.0, 6.0)
_LOW_SIZES = (8.0, 7.0, 6.0)
"""Types in which a word may be broken; larger ones are of no use for half a mark."""
_WORDS, _HYPHENS = r"(?<= )", r"(?<=[ -])"
"""Where lines may be broken."""
_MOST_LINES = 4
_LEAD, _SIDE = 1.2, 3.0


@dataclass(frozen=True, slots=True)
class Inscription:
    """Lines that fit.

    Parameters
    ----------
    lines
        (text, font, type size), from above.
    upright
        Whether they run upwards.
    """

    lines: tuple[tuple[str, str, float], ...]
    upright: bool

    @property
    def depth(self) -> float:
        """Points that the lines take together, at right angles to their run."""
        return sum(size * _LEAD for *_, size in self.lines)

    @property
    def run(self) -> float:
        """Points of the longest line."""
        wide: float = max(stringWidth(text, font, size) for text, font, size in self.lines)
        return wide

    def draw(self, canvas: Canvas, x: float, y: float) -> None:
        """Draw it centred at a point, in the colour at hand."""
        canvas.saveState()
        canvas.translate(x, y)
        if self.upright:
            canvas.rotate(90)
        at = self.depth / 2
        for text, font, size in self.lines:
            at -= size * _LEAD
            canvas.setFont(font, size)
            canvas.drawCentredString(0, at + size * (_LEAD - 0.92), text)
        canvas.restoreState()


@lru_cache(maxsize=4096)
def inscription(
    text: str, small: str, width: float, height: float, *, torn: bool = True
) -> Inscription | None:
    """The largest way to write a text into a rectangle, with a smaller one under it if there is room for that too.

    Parameters
    ----------
    text, small
        As the font can show them; `small` may be empty.
    width, height
        Points.
    torn
        Whether a word may be torn anywhere if it does not fit otherwise.

    Returns
    -------
    Inscription | None
        None if not even the smallest type fits.
    """
    ways = [(_WORDS, _SIZES), (_HYPHENS, _LOW_SIZES), *([(None, _LOW_SIZES)] if torn else [])]
    for broken, sizes in ways:
        for size in sizes:
            for upright in (False, True):
                run, depth = (height, width) if upright else (width, height)
                lines = _lines(text, size, run - 2 * _SIDE, broken)
                left = depth - len(lines) * size * _LEAD
                if lines and left >= 2:
                    written = tuple((line, BOLD, size) for line in lines)
                    return Inscription(written + _small(small, size, run, left), upright)
    return None


def _lines(text: str, size: float, run: float, broken: str | None) -> list[str]:
    """The text in few lines, none if it does not fit."""
    if run < size:
        return []
    lines = (
        lines_for(text, BOLD, size, run, _MOST_LINES + 1) if broken is None else _at(broken, text, size, run)
    )
    fits = all(stringWidth(line, BOLD, size) <= run for line in lines)
    return lines if fits and len(lines) <= _MOST_LINES else []


def _at(places: str, text: str, size: float, run: float) -> list[str]:
    """The text broken only at such places."""
    lines, line = [], ""
    for word in re.split(places, text):
        if line and stringWidth((line + word).rstrip(), BOLD, size) > run:
            lines.append(line.rstrip())
            line = ""
        line += word
    return [*lines, line.rstrip()]


def _small(small: str, size: float, run: float, left: float) -> tuple[tuple[str, str, float], ...]:
    """The smaller text, if it fits under the other."""
    for low in (min(10.0, size), 8.0, 6.5):
        fits = stringWidth(small, REGULAR, low) <= run - 2 * _SIDE and low * _LEAD <= left - 2
        if small and low <= size and fits:
            return ((small, REGULAR, low),)
    return ()
