"""The lines of a card: one step each, with boxes to tick and room for a measured length."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from typing import ClassVar, TypeAlias

from reportlab.pdfbase.pdfmetrics import stringWidth
from reportlab.pdfgen.canvas import Canvas

from nesting.write.leaf import INK, LINE, QUIET
from nesting.write.lettering import BOLD, REGULAR, lines_for, size_for

Tick: TypeAlias = str | None
"""A box to tick, or the number that stands before the boxes of a stick."""

_SETTING, _TEXT, _TICKS, _MEASURED = 20, 136, 300, 92
"""Where the columns begin, points from the left; of the last one, from the right."""
_LEAD, _REMARK_LEAD = 15, 13
_BOX, _BOX_STEP, _TICK_LINE = 10.5, 14.5, 18


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """One step.

    Parameters
    ----------
    order
        Its number in the sequence, or first and last of several, joined by "–".
    setting
        The stop setting, set large.
    lines, size
        What is cut, broken into lines of a type size.
    remark
        Remarks under it, broken into lines.
    ticks
        Boxes that stand in the line.
    is_measured
        Whether there is room to write down a measured length.
    aside
        A text in that place instead.
    leads
        Whether it stands over the line after it.
    """

    follows: ClassVar[bool] = False

    order: str
    setting: str
    lines: tuple[str, ...]
    size: float
    remark: tuple[str, ...] = ()
    ticks: tuple[Tick, ...] = ()
    is_measured: bool = False
    aside: str = ""
    leads: bool = False

    @property
    def height(self) -> float:
        """Points."""
        return max(27, 11 + _LEAD * len(self.lines) + _REMARK_LEAD * len(self.remark))

    def draw(self, canvas: Canvas, top: float, width: float) -> None:
        """Draw it below `top`."""
        base = top - 19
        canvas.setStrokeColor(LINE)
        canvas.setLineWidth(0.5)
        canvas.line(0, top, width, top)
        canvas.setFillColor(QUIET)
        first, dash, last = self.order.partition("–")
        for row, said in enumerate((first + dash, last)):
            canvas.setFont(REGULAR, size_for(said, REGULAR, 9, _SETTING - 2, 4))
            canvas.drawString(0, base - 9 * row, said)
        canvas.setFillColor(INK)
        canvas.setFont(BOLD, size_for(self.setting, BOLD, 19, _TEXT - _SETTING - 10, 6))
        canvas.drawString(_SETTING, base, self.setting)
        canvas.setFont(BOLD if self.setting else REGULAR, self.size)
        left = _TEXT if self.setting else _SETTING
        for row, line in enumerate(self.lines):
            canvas.drawString(left, base - _LEAD * row, line)
        canvas.setFont(REGULAR, 10)
        for row, line in enumerate(self.remark):
            canvas.drawString(left, base - _LEAD * len(self.lines) + 1 - _REMARK_LEAD * row, line)
        _draw_ticks(canvas, self.ticks, _TICKS, base - 1)
        if self.is_measured:
            canvas.setStrokeColor(QUIET)
            canvas.setLineWidth(0.7)
            canvas.line(width - _MEASURED + 8, base - 1, width, base - 1)
        canvas.setFillColor(QUIET)
        canvas.setFont(REGULAR, size_for(self.aside, REGULAR, 10, _MEASURED, 6))
        canvas.drawRightString(width, base, self.aside)


@dataclass(frozen=True, slots=True, kw_only=True)
class TickLine:
    """Boxes that found no room in the line above."""

    follows: ClassVar[bool] = True
    leads: ClassVar[bool] = False
    ticks: tuple[Tick, ...]

    @property
    def height(self) -> float:
        """Points."""
        return _TICK_LINE

    def draw(self, canvas: Canvas, top: float, width: float) -> None:
        """Draw them below `top`."""
        _draw_ticks(canvas, self.ticks, _SETTING, top - 13)


def boxes(sticks: Iterable[str], count: int, within: float) -> list[tuple[Tick, ...]]:
    """Boxes to tick, in lines.

    Parameters
    ----------
    sticks
        Numbers of the sticks, or one empty text where there is only one.
    count
        Boxes for each.
    within
        Points of a line.

    Returns
    -------
    list[tuple[Tick, ...]]
        A number never stands at the end of a line.
    """
    lines: list[tuple[Tick, ...]] = []
    line: list[Tick] = []
    used = 0.0
    for stick in sticks:
        for index in range(count):
            label = [stick] if stick and not index else []
            wide = _BOX_STEP + sum(_number_width(number) for number in label)
            if line and used + wide > within:
                lines.append(tuple(line))
                line, used = [], 0.0
            line += [*label, None]
            used += wide
    return [*lines, tuple(line)]


def with_boxes(line: Line, sticks: Iterable[str], count: int, width: float) -> list[Line | TickLine]:
    """A line with its boxes: beside its text if they all fit there, else in lines of their own.

    Parameters
    ----------
    sticks, count
        As `boxes` takes them.
    width
        Points of the card.
    """
    sticks = list(sticks)
    beside = boxes(sticks, count, width - _TICKS - _MEASURED)
    if len(beside) == 1:
        return [replace(line, ticks=beside[0])]
    return [line, *(TickLine(ticks=ticks) for ticks in boxes(sticks, count, width - _SETTING))]


def set_text(text: str, has_setting: bool) -> tuple[tuple[str, ...], float]:
    """The lines and the type size of what a step says, in the room before the boxes."""
    room, font = _TICKS - (_TEXT if has_setting else _SETTING) - 8, BOLD if has_setting else REGULAR
    size = size_for(text, font, 14 if has_setting else 12, room, 10)
    return tuple(lines_for(text, font, size, room, 4)), size


def set_remark(text: str, width: float) -> tuple[str, ...]:
    """The lines of a remark under what a step cuts, for the width of a card."""
    return tuple(lines_for(text, REGULAR, 10, width - _TEXT, 4)) if text else ()


def _draw_ticks(canvas: Canvas, ticks: tuple[Tick, ...], x: float, y: float) -> None:
    canvas.setStrokeColor(INK)
    canvas.setFillColor(QUIET)
    canvas.setLineWidth(0.8)
    canvas.setFont(REGULAR, 9)
    for tick in ticks:
        if tick is None:
            canvas.rect(x, y, _BOX, _BOX, fill=0)
            x += _BOX_STEP
        else:
            canvas.drawString(x + 3, y + 2, tick)
            x += _number_width(tick)


def _number_width(number: str) -> float:
    wide: float = stringWidth(number, REGULAR, 9)
    return wide + 7
