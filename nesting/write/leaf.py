"""The leaves of plan.pdf: paper sizes, what stands at the head and foot of each, and "page 2 of 5"."""

from __future__ import annotations

from typing import Any, Literal

from reportlab.lib.colors import HexColor
from reportlab.lib.pagesizes import A4, letter
from reportlab.pdfgen.canvas import Canvas

from nesting.job import Shop
from nesting.write.lettering import REGULAR, size_for

PaperSize = Literal["A4", "letter"]

INK, QUIET, LINE = HexColor("#1b2422"), HexColor("#4a5451"), HexColor("#a9b0ab")
"""The colours of plan.html, a little darker for print; nothing is told by colour alone."""

MARGIN, HEAD, FOOT = 40, 52, 44
"""Points at the sides, and above and below the part of a leaf that is written on."""


def paper_size(shop: Shop) -> PaperSize:
    """The paper of a shop: letter where inches are read, else A4."""
    return "letter" if shop.unit == "in" else "A4"


def measures(size: PaperSize) -> tuple[float, float]:
    """Width and height of a paper, points."""
    width, height = A4 if size == "A4" else letter
    return width, height


class Leaves(Canvas):
    """A canvas that keeps its pages until it knows how many there are, then heads and numbers them.

    Parameters
    ----------
    job, made
        What stands at the head and the foot of each leaf.
    """

    def __init__(self, *args: Any, job: str, made: str, **named: Any) -> None:
        super().__init__(*args, **named)
        self._job, self._made = job, made
        self._kept: list[dict[str, Any]] = []
        self.topics: list[str] = []
        """What is on the leaf at hand; whoever draws on it adds to the list."""

    def showPage(self) -> None:  # noqa: N802  (reportlab's name)
        """Keep the leaf and begin the next."""
        self._kept.append(dict(self.__dict__))
        self._startPage()
        self.topics = []

    def save(self) -> None:
        """Put head and foot on every leaf and write the file."""
        for number, leaf in enumerate(self._kept, 1):
            self.__dict__.update(leaf)
            self._frame(number)
            super().showPage()
        super().save()

    def _frame(self, number: int) -> None:
        """The first leaf has a head of its own."""
        width, height = self._pagesize
        left, right = MARGIN, width - MARGIN
        self.setFillColor(QUIET)
        self.setStrokeColor(INK)
        if number > 1:
            self._head(left, right, height - 36)
        self.setFont(REGULAR, 9)
        self.drawString(left, 26, self._made)
        self.drawRightString(right, 26, f"page {number} of {len(self._kept)}")

    def _head(self, left: float, right: float, base: float) -> None:
        topics = ", ".join(dict.fromkeys(self.topics))
        self.setFont(REGULAR, 9)
        self.drawString(left, base, self._job)
        room = right - left - self.stringWidth(self._job, REGULAR, 9) - 20
        self.setFont(REGULAR, size_for(topics, REGULAR, 9, room, 4))
        self.drawRightString(right, base, topics)
        self.setLineWidth(1.5)
        self.line(left, base - 5, right, base - 5)
