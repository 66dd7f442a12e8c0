"""Drawing to scale on paper: the round scale that fills the room, and long flat material drawn in several rows."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from itertools import count

from stock.length import PER_INCH

_POINT = Fraction(PER_INCH, 72)
_TENFOLD = ("1", "1.2", "1.5", "1.6", "2", "2.4", "2.5", "3", "4", "5", "6", "8")
_MOST_ROWS = 6
_READABLE = 44.0
"""Points; what is drawn narrower had better be drawn larger, in one row more."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Scale:
    """How a rectangle is drawn.

    Parameters
    ----------
    down
        Ticks that one tick on paper stands for: 8 for 1 : 8, 1/2 for 2 : 1.
    length, width
        Ticks of the rectangle.
    rows
        Rows one below the other in which its length is drawn, all but the last equally long.
    """

    down: Fraction
    length: int
    width: int
    rows: int = 1

    @property
    def row_length(self) -> int:
        """Ticks along the length that a row shows."""
        return -(-self.length // self.rows)

    @property
    def row_height(self) -> float:
        """Points of one row."""
        return self.points(self.width)

    def points(self, ticks: int) -> float:
        """Points on paper."""
        return float(ticks / _POINT / self.down)

    @property
    def words(self) -> str:
        """As it is written on drawings.

        >>> Scale(down=Fraction(8), length=1, width=1).words, Scale(down=Fraction(1, 2), length=1, width=1).words
        ('1 : 8', '2 : 1')
        """
        above, below = self.down.numerator, self.down.denominator
        if above < below:
            return f"{below // above} : 1"
        return f"1 : {Decimal(above) / below:f}"


def scale_for(
    length: int, width: int, across: float, high: float, between: float, enlarged: int = 1
) -> Scale:
    """The largest round scale at which a rectangle fits; a long narrow one is drawn in rows.

    Parameters
    ----------
    length, width
        Ticks.
    across, high
        Points of the room.
    between
        Points that a row needs beside its own height.
    enlarged
        How many times as large as life it may be drawn: 1, 2 or 5.

    Returns
    -------
    Scale
        1 : 1 at most, unless it may be enlarged.
    """
    best = _in_rows(length, width, 1, across, high, between, enlarged)
    for rows in range(2, _MOST_ROWS + 1):
        if best.row_height >= _READABLE:
            break
        best = min(best, _in_rows(length, width, rows, across, high, between, enlarged), key=lambda s: s.down)
    return best


def _in_rows(
    length: int, width: int, rows: int, across: float, high: float, between: float, enlarged: int
) -> Scale:
    scales = (Scale(down=down, length=length, width=width, rows=rows) for down in _downs(enlarged))
    return next(scale for scale in scales if _fits(scale, across, high, between))


def _downs(enlarged: int) -> Iterator[Fraction]:
    """Round scales, the largest first, without end."""
    yield from (Fraction(1, times) for times in (5, 2) if times <= enlarged)
    yield from (Fraction(step) for step in ("1", "2", "2.5", "3", "4", "5", "6", "8"))
    yield from (Fraction(step) * 10**power for power in count(1) for step in _TENFOLD)


def _fits(scale: Scale, across: float, high: float, between: float) -> bool:
    tall = scale.rows * (scale.row_height + between)
    return scale.points(scale.row_length) <= across and tall <= high
