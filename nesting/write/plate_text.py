"""Text in rectangles on a screen: as large as it fits, on one line or several, across or upright, or not at all.

Letters are reckoned by their number, because nobody knows the font that a browser will take.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

_SIZES = (15.0, 13.0, 12.0, 11.0, 10.0, 9.0)
_NUMBER_SIZES = (11.0, 10.0, 9.0, 8.0, 7.0)
_SMALL = (11.0, 10.0, 9.0)
_LETTER = 0.61
"""Width of a letter in type sizes."""
_LEAD, _SIDE = 1.18, 2.0
_MOST_LINES = 3


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """A line of a text, `down` from the middle of the text to its base; `size` is that of the type."""

    text: str
    size: float
    down: float
    is_small: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Label:
    """A text in a rectangle, centred at a point.

    Parameters
    ----------
    room
        The longest that a line may become.
    upright
        Whether its lines run upwards.
    hatched
        Whether it stands on a pattern and needs a halo.
    """

    x: float
    y: float
    lines: tuple[Line, ...]
    room: float
    upright: bool
    hatched: bool


def label_for(
    text: str,
    small: str,
    number: str,
    box: tuple[float, float, float, float],
    factor: float,
    hatched: bool = False,
) -> Label | None:
    """The largest way to write a text into a rectangle, with a smaller one under it if there is room for that too.

    Parameters
    ----------
    small, number
        What is written under the text, and what instead of it where it does not fit; either may be empty.
    box
        x, y, width and height in units of the drawing.
    factor
        Pixels of the screen that a unit of the drawing takes.

    Returns
    -------
    Label | None
        In units of the drawing; None if nothing fits.
    """
    x, y, width, height = box
    wide, high = width * factor, height * factor
    for words, sizes in ((text, _SIZES), (number, _NUMBER_SIZES)):
        for is_broken, upright in ((False, False), (False, True), (True, False), (True, True)):
            run, depth = (high, wide) if upright else (wide, high)
            for size in sizes if words else ():
                lines = _lines(words, size, run, is_broken)
                if lines and len(lines) * size * _LEAD <= depth:
                    return Label(
                        x=x + width / 2,
                        y=y + height / 2,
                        lines=_set(lines, size, small if words == text else "", run, depth, factor),
                        room=(run - _SIDE) / factor,
                        upright=upright,
                        hatched=hatched,
                    )
    return None


def _lines(text: str, size: float, run: float, is_broken: bool) -> list[str]:
    """The text in lines that fit, none if it does not."""
    most = int((run - 2 * _SIDE) / (size * _LETTER))
    if not is_broken:
        return [text] if len(text) <= most else []
    lines: list[str] = []
    for word in re.split(r"(?<=[ _-])", text):
        if lines and len(lines[-1] + word.rstrip()) <= most:
            lines[-1] += word
        else:
            lines.append(word)
    lines = [line.rstrip() for line in lines]
    return lines if len(lines) <= _MOST_LINES and max(map(len, lines)) <= most else []


def _set(
    lines: list[str], size: float, small: str, run: float, depth: float, factor: float
) -> tuple[Line, ...]:
    """Lines with their bases, the smaller text below if it fits."""
    sizes = [(line, size, False) for line in lines]
    left = depth - len(lines) * size * _LEAD
    for low in _SMALL:
        if small and low <= size and low * _LEAD <= left and _lines(small, low, run, False):
            sizes.append((small, low, True))
            break
    at, found = -sum(high for _, high, _ in sizes) * _LEAD / 2, []
    for text, high, is_small in sizes:
        at += high * _LEAD
        found.append(Line(text=text, size=high / factor, down=(at - high * 0.3) / factor, is_small=is_small))
    return tuple(found)
