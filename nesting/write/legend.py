"""What the outlines and patterns of the drawings on paper stand for."""

from __future__ import annotations

from collections.abc import Sequence

from reportlab.pdfbase.pdfmetrics import stringWidth
from reportlab.platypus import Flowable

from nesting.write.bar_drawing import draw_box
from nesting.write.leaf import INK
from nesting.write.lettering import REGULAR
from nesting.write.sheet_ink import draw_arrow, draw_discs, draw_hole

OF_BARS = (
    ("piece", "piece"),
    ("trim", "squared off"),
    ("kerf", "saw cut"),
    ("keep", "keep"),
    ("scrap", "scrap"),
)
OF_SHEETS = (
    ("piece", "piece"),
    ("turned", "turned"),
    ("cut", "straight cut"),
    ("keep", "keep"),
    ("scrap", "scrap"),
    ("datum", "datum corner"),
)
OF_HOLES = (("round", "cut by torch"), ("drilled", "drill"), ("datum", "datum corner"))
"""(look, what it stands for)."""
_SIZE = 10


class Legend(Flowable):
    """Looks side by side, each with a word, and a sentence under them.

    Parameters
    ----------
    looks
        One of the tuples of this module.
    note
        The sentence.
    """

    def __init__(self, looks: Sequence[tuple[str, str]], note: str) -> None:
        super().__init__()
        self._looks, self._note = looks, note

    def wrap(self, width: float, height: float) -> tuple[float, float]:
        """Points it takes."""
        self.width, self.height = width, 34.0
        return self.width, self.height

    def draw(self) -> None:
        """Called by reportlab, with the origin at the lower left corner."""
        at = 0.0
        for look, said in self._looks:
            wide = self._look(look, at)
            self.canv.setFillColor(INK)
            self.canv.setFont(REGULAR, _SIZE)
            self.canv.drawString(at + wide + 6, 21, said)
            at += wide + 22 + stringWidth(said, REGULAR, _SIZE)
        self.canv.setFont(REGULAR, 9)
        self.canv.drawString(0, 3, self._note)

    def _look(self, look: str, at: float) -> float:
        """Draw one; returns how wide it is."""
        match look:
            case "turned":
                draw_box(self.canv, "piece", at + 0.5, 18, 14, 14)
                draw_arrow(self.canv, at + 7.5, 15, 20)
                return 14
            case "cut":
                draw_box(self.canv, "kerf", at + 14, 18, 1, 14)
                draw_discs(self.canv, [("1", at + 8, 25)])
                return 16
            case "datum":
                self.canv.setFillColor(INK)
                self.canv.circle(at + 4, 25, 3.5, stroke=0, fill=1)
                return 8
            case "round" | "drilled":
                draw_hole(self.canv, at + 8, 25, 5, look == "drilled")
                return 16
            case _:
                wide = 4 if look == "kerf" else 28
                draw_box(self.canv, look, at + 0.5, 18, wide, 14)
                return wide
