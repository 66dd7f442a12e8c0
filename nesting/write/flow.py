"""What the running text of plan.pdf is made of: styles, paragraphs, ruled tables and boxes to tick."""

from __future__ import annotations

from collections.abc import Sequence
from xml.sax.saxutils import escape

from reportlab.lib.styles import ParagraphStyle
from reportlab.platypus import Flowable, Paragraph, Table, TableStyle

from nesting.write.leaf import INK, LINE, QUIET
from nesting.write.lettering import BOLD, LONGEST, REGULAR, printable

TITLE = ParagraphStyle(
    "title", fontName=BOLD, fontSize=18, leading=22, textColor=INK, spaceBefore=14, spaceAfter=4
)
HEADING = ParagraphStyle("heading", fontName=BOLD, fontSize=12.5, leading=16, textColor=INK, spaceBefore=10)
BODY = ParagraphStyle("body", fontName=REGULAR, fontSize=10, leading=14, textColor=INK)
RIGHT = ParagraphStyle("right", BODY, alignment=2)
SMALL = ParagraphStyle("small", BODY, fontSize=9, leading=12, textColor=QUIET)
SMALL_RIGHT = ParagraphStyle("small right", SMALL, alignment=2)


def text(words: str, style: ParagraphStyle = BODY, longest: int | None = LONGEST) -> Paragraph:
    """A text of the job as a paragraph: never markup, whatever it holds; a table's cell must not be too long."""
    return Paragraph(escape(printable(words, longest)), style)


def rows_table(
    widths: list[float],
    heads: list[str],
    rows: list[list[Flowable | str]],
    sums: int = 0,
    spans: Sequence[tuple[int, int, int]] = (),
) -> Table:
    """A ruled table; its head is repeated on every leaf.

    Parameters
    ----------
    widths
        Points of each column.
    heads
        Over a column of figures, which stand at the right, so does its head.
    sums
        How many of the last rows are sums.
    spans
        (row, first column, last column) of cells that are joined.
    """
    right = [
        index for index, cell in enumerate(rows[0]) if isinstance(cell, Paragraph) and cell.style is RIGHT
    ]
    head = [text(name, SMALL_RIGHT if index in right else SMALL) for index, name in enumerate(heads)]
    table = Table([head, *rows], colWidths=widths, repeatRows=1, hAlign="LEFT")
    body = len(rows) - sums
    rules = [
        ("VALIGN", (0, 0), (-1, -1), "TOP"),
        ("LEFTPADDING", (0, 0), (-1, -1), 0),
        ("RIGHTPADDING", (0, 0), (-1, -1), 8),
        ("LINEBELOW", (0, 0), (-1, 0), 1, INK),
        ("LINEBELOW", (0, 1), (-1, body), 0.5, LINE),
    ]
    rules += [("SPAN", (first, row + 1), (last, row + 1)) for row, first, last in spans]
    if sums:
        rules.append(("LINEABOVE", (0, body + 1), (-1, body + 1), 1, INK))
    table.setStyle(TableStyle(rules))
    return table


def strong(words: str, style: ParagraphStyle = BODY) -> Paragraph:
    """The same in bold."""
    return Paragraph(f"<b>{escape(printable(words))}</b>", style)


def with_small(words: str, small: str, style: ParagraphStyle = BODY) -> Paragraph:
    """A text with a smaller one under it, if there is one."""
    below = f'<br/><font size="9" color="{QUIET.hexval()}">{escape(printable(small))}</font>' if small else ""
    return Paragraph(escape(printable(words)) + below, style)


class TickBox(Flowable):
    """A box to tick."""

    def wrap(self, width: float, height: float) -> tuple[float, float]:
        """Points it takes."""
        return 11, 12

    def draw(self) -> None:
        """Called by reportlab, with the origin at the lower left corner."""
        self.canv.setStrokeColor(INK)
        self.canv.setLineWidth(0.8)
        self.canv.rect(0.5, 0, 10.5, 10.5, fill=0)
