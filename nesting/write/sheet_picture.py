"""Sheets drawn to true proportion for page and workbook, in units that are pixels on a desk screen.

The datum corner lies at the lower left: x runs to the right along the length of the sheet, y upwards across it. A long
narrow sheet is drawn in rows, one below the other. The drawing shrinks with the screen but its text must not, so that
texts are placed twice: for a page and for a phone. A piece too small for its mark carries the number that its mark has
in the list beside the drawing.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from nesting.job import Job, Shop
from nesting.plan import Rect
from nesting.report.sheet_list import Sheet, blanks_of, cut_steps
from nesting.report.words import length_words, size_words
from nesting.write.plate_text import Label, Line, label_for
from nesting.write.sheet_words import part_size

PHONE, PAGE = 318, 600
"""Pixels that a drawing gets on a small phone, and at most on a page."""
MARGIN = 8.0
"""Units around the drawing, for the datum corner and half of every line."""
_HIGH = 440.0
_BETWEEN = 24.0
_READABLE = 44.0
_MOST_ROWS = 6
THINNEST = 1.2
"""Units: no straight cut is drawn thinner."""
_DISC, _LEAST_DISC = 8.5, 4.6
_ARROW = 11.0
"""Pixels of width that an arrow takes."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Shape:
    """A rectangle in ticks, as the sheet has it.

    Parameters
    ----------
    kind
        Its look: "piece", "piece other", "keep", "scrap sheet", "trim", "blank", "kerf".
    text, small, number
        What it would like to carry, what else, and what instead if there is no room.
    title
        What it is, in words.
    """

    kind: str
    place: Rect
    title: str
    text: str = ""
    small: str = ""
    number: str = ""
    turned: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Box:
    """A shape, or what one row of the drawing shows of it, in units from the upper left corner."""

    shape: Shape
    x: float
    y: float
    width: float
    height: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Arrow:
    """Along the length of a piece that lies across: upright at x, from y to low, with heads of that size."""

    x: float
    y: float
    low: float
    head: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Disc:
    """The number of a straight cut."""

    x: float
    y: float
    radius: float
    text: str


@dataclass(frozen=True, slots=True, kw_only=True)
class View:
    """What keeps its size on the screen, placed for one width of it."""

    labels: tuple[Label, ...]
    discs: tuple[Disc, ...]
    arrows: tuple[Arrow, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetPicture:
    """A drawing.

    Parameters
    ----------
    boxes
        The later above the earlier.
    datum
        The datum corner; None if the drawing shows only a part of the sheet, without that corner.
    unnamed
        How many pieces are too small on a page even for a number.
    """

    width: float
    height: float
    boxes: tuple[Box, ...]
    datum: tuple[float, float] | None
    page: View
    phone: View
    unnamed: int


@dataclass(frozen=True, slots=True)
class _Frame:
    """Where ticks come to lie: the part of the sheet that is drawn, and its rows."""

    place: Rect
    rows: int
    scale: float

    @property
    def row_length(self) -> int:
        return -(-self.place.length // self.rows)

    @property
    def pitch(self) -> float:
        """Units from row to row."""
        return self.place.width * self.scale + _BETWEEN

    @property
    def width(self) -> float:
        return self.row_length * self.scale + 2 * MARGIN

    @property
    def height(self) -> float:
        return self.rows * self.pitch - (_BETWEEN if self.rows == 1 else 4) + 2 * MARGIN

    def boxes(self, shape: Shape) -> Iterator[Box]:
        """What each row shows of a shape."""
        rect = shape.place
        y = (self.place.y + self.place.width - rect.y - rect.width) * self.scale
        for row in range(self.rows):
            first = self.place.x + row * self.row_length
            last = min(first + self.row_length, self.place.x + self.place.length)
            start, end = max(first, rect.x), min(last, rect.x + rect.length)
            if end > start or (end == start == rect.x and not rect.length):
                yield Box(
                    shape=shape,
                    x=MARGIN + (start - first) * self.scale,
                    y=MARGIN + y + row * self.pitch,
                    width=(end - start) * self.scale,
                    height=rect.width * self.scale,
                )


def sheet_picture(sheet: Sheet, job: Job) -> SheetPicture:
    """Draw a sheet with all that lies on it and every straight cut."""
    return _picture(sheet, job, Rect(0, 0, sheet.layout.length, sheet.layout.width))


def detail_picture(sheet: Sheet, job: Job) -> SheetPicture | None:
    """Draw the part of a sheet where its pieces lie, larger; None if the whole drawing names every piece."""
    pieces = [piece.place for piece in sheet.layout.pieces]
    whole = Rect(0, 0, sheet.layout.length, sheet.layout.width)
    if not pieces or not _picture(sheet, job, whole).unnamed:
        return None
    x, y = min(rect.x for rect in pieces), min(rect.y for rect in pieces)
    far = max(rect.x + rect.length for rect in pieces), max(rect.y + rect.width for rect in pieces)
    window = Rect(x, y, far[0] - x, far[1] - y)
    return _picture(sheet, job, window) if _frame(window).scale >= 1.4 * _frame(whole).scale else None


def marks_of(sheet: Sheet) -> dict[str, int]:
    """The number of every mark in the list beside the drawing, in the order in which they lie."""
    return {
        mark: number
        for number, mark in enumerate(dict.fromkeys(piece.mark for piece in sheet.layout.pieces), 1)
    }


def _picture(sheet: Sheet, job: Job, window: Rect) -> SheetPicture:
    frame, whole = _frame(window), Rect(0, 0, sheet.layout.length, sheet.layout.width)
    boxes = [
        _clipped(box, frame)
        for shape in (*_ground(sheet, job.shop, window, whole), *_pieces(sheet, job))
        for box in frame.boxes(shape)
        if _touches(shape.place, window)
    ]
    cuts = [
        (step.number, step.cut.axis, box)
        for step in cut_steps(sheet, job)
        if _touches(step.kerf, window)
        for box in frame.boxes(
            Shape(
                kind="kerf",
                place=step.kerf,
                title=f"cut {step.number}, stop at {length_words(step.cut.stop, job.shop)}",
            )
        )
    ]
    rows = _row_words(frame, job.shop)
    datum = MARGIN, MARGIN + window.width * frame.scale
    page, phone = (
        View(
            labels=(*_labels(boxes, factor), *_rows_said(frame, rows, factor)),
            discs=_discs(cuts, factor),
            arrows=tuple(_arrows(boxes, factor)),
        )
        for factor in (1.0, min(1.0, PHONE / frame.width))
    )
    named = len(_labels([box for box in boxes if box.shape.kind.startswith("piece")], 1.0))
    return SheetPicture(
        width=frame.width,
        height=frame.height,
        boxes=(*boxes, *(box for *_, box in cuts)),
        datum=datum if (window.x, window.y) == (0, 0) else None,
        page=page,
        phone=phone,
        unnamed=len(sheet.layout.pieces) - named,
    )


def _frame(window: Rect) -> _Frame:
    """One row, or as many as make a narrow sheet readable."""
    frames = []
    for rows in range(1, _MOST_ROWS + 1):
        along = (PAGE - 2 * MARGIN) / -(-window.length // rows)
        across = ((_HIGH - 2 * MARGIN) / rows - (_BETWEEN if rows > 1 else 0)) / window.width
        frames.append(_Frame(place=window, rows=rows, scale=min(along, across)))
        if frames[-1].scale * window.width >= _READABLE:
            break
    return max(frames, key=lambda frame: frame.scale)


def _clipped(box: Box, frame: _Frame) -> Box:
    """A box without what lies above or below the part that is drawn."""
    if frame.rows > 1 or not box.height:
        return box
    top, low = max(box.y, MARGIN), min(box.y + box.height, frame.height - MARGIN)
    return Box(shape=box.shape, x=box.x, y=top, width=box.width, height=max(0.0, low - top))


def _touches(rect: Rect, window: Rect) -> bool:
    return (
        rect.x <= window.x + window.length
        and window.x <= rect.x + rect.length
        and rect.y <= window.y + window.width
        and window.y <= rect.y + rect.width
    )


def _ground(sheet: Sheet, shop: Shop, window: Rect, whole: Rect) -> Iterator[Shape]:
    """What lies under the pieces: the sheet, its trims, its blanks, and what is kept."""
    layout = sheet.layout
    yield Shape(kind="scrap sheet", place=window, title="scrap")
    end, edge, far_end, far_edge = layout.trims
    for place in (
        Rect(0, 0, end, whole.width),
        Rect(whole.length - far_end, 0, far_end, whole.width),
        Rect(0, 0, whole.length, edge),
        Rect(0, whole.width - far_edge, whole.length, far_edge),
    ):
        if place.length and place.width:
            yield Shape(kind="trim", place=place, title="trimmed off")
    for place in layout.offcuts:
        size = size_words(place.length, place.width, shop)
        yield Shape(kind="keep", place=place, title=f"keep: {size}", text="keep", small=size)
    for blank in blanks_of(sheet) if layout.blanks else ():
        size = size_words(blank.rect.length, blank.rect.width, shop)
        name = f"blank {blank.number}"
        text = name if window == whole else ""
        yield Shape(kind="blank", place=blank.rect, title=f"{name}: {size}", text=text)


def _pieces(sheet: Sheet, job: Job) -> Iterator[Shape]:
    """Neighbouring marks in two looks."""
    numbers = marks_of(sheet)
    parts = {part.mark: part for part in job.parts}
    for piece in sheet.layout.pieces:
        size, number = part_size(parts[piece.mark], piece, job.shop), numbers[piece.mark]
        yield Shape(
            kind="piece" if number % 2 else "piece other",
            place=piece.place,
            title=f"{piece.mark}: {size}{', turned by a quarter' if piece.turned else ''}",
            text=piece.mark,
            small=size,
            number=str(number),
            turned=piece.turned,
        )


def _labels(boxes: Sequence[Box], factor: float) -> list[Label]:
    """The texts that fit; of a piece that goes over rows, in the row that shows most of it."""
    largest: dict[int, Box] = {}
    for box in boxes:
        other = largest.get(id(box.shape))
        if box.shape.text and (other is None or box.width > other.width):
            largest[id(box.shape)] = box
    found: list[Label] = []
    for box in largest.values():
        shape = box.shape
        if shape.kind == "blank":
            found += _in_corner(box, factor)
            continue
        taken = _ARROW / factor if _has_arrow(box, factor) else 0.0
        room = (box.x, box.y, box.width - taken, box.height)
        label = label_for(shape.text, shape.small, shape.number, room, factor, shape.kind == "keep")
        if label is not None:
            found.append(label)
    return found


def _in_corner(box: Box, factor: float) -> Iterator[Label]:
    """The name of a blank, in its upper left corner, above whatever lies there."""
    size, text = 10.0 / factor, box.shape.text
    room = 0.61 * size * len(text)
    if room + size <= box.width and 2 * size <= box.height:
        yield Label(
            x=box.x + room / 2 + 0.5 * size,
            y=box.y + size,
            lines=(Line(text=text, size=size, down=size * 0.35, is_small=False),),
            room=room,
            upright=False,
            hatched=True,
        )


def _has_arrow(box: Box, factor: float) -> bool:
    return box.shape.turned and min(box.width, box.height) * factor >= 2 * _ARROW


def _arrows(boxes: Sequence[Box], factor: float) -> Iterator[Arrow]:
    for box in boxes:
        if _has_arrow(box, factor):
            middle, half = box.y + box.height / 2, min(box.height / 2 - 4 / factor, 28 / factor)
            x = box.x + box.width - _ARROW / 2 / factor
            yield Arrow(x=x, y=middle - half, low=middle + half, head=3.5 / factor)


def _discs(cuts: Sequence[tuple[int, str, Box]], factor: float) -> tuple[Disc, ...]:
    """Numbers at the near ends of the cuts; where two would hit each other, the later cut goes without."""
    discs: list[Disc] = []
    for number, axis, box in cuts:
        radius = _DISC / factor
        inset = radius + 2 / factor
        if axis == "across":
            x, y = box.x + box.width / 2, box.y + box.height - min(inset, box.height / 2)
        else:
            x, y = box.x + min(inset, box.width / 2), box.y + box.height / 2
        near = min((max(abs(x - d.x), abs(y - d.y)) - d.radius for d in discs), default=radius)
        if near >= _LEAST_DISC / factor:
            discs.append(Disc(x=x, y=y, radius=min(radius, near), text=str(number)))
    return tuple(discs)


def _row_words(frame: _Frame, shop: Shop) -> list[str]:
    """Which part of the length each row shows; nothing if there is one row."""
    if frame.rows == 1:
        return []
    starts = [frame.place.x + row * frame.row_length for row in range(frame.rows)]
    end = frame.place.x + frame.place.length
    return [
        f"{length_words(start, shop)} to {length_words(min(end, start + frame.row_length), shop)}"
        for start in starts
    ]


def _rows_said(frame: _Frame, rows: Sequence[str], factor: float) -> Iterator[Label]:
    """The words below each row."""
    for row, said in enumerate(rows):
        y = MARGIN + row * frame.pitch + frame.place.width * frame.scale + _BETWEEN / 2
        size = 10.0 / factor
        yield Label(
            x=frame.width / 2,
            y=y,
            lines=(Line(text=said, size=size, down=size * 0.35, is_small=True),),
            room=frame.width,
            upright=False,
            hatched=False,
        )
