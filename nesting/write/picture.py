"""Sticks drawn to scale: shapes in percent of the drawing's width, so that one drawing fits page and phone. Mitred
ends slant as far along the bar as they do, seen with their side up and the stop at the left.

Text keeps its size while the rectangles stretch, so labels are placed twice: for a phone and for a page. A
piece carries its mark inside if it is wide enough there, across or upright; otherwise its run of equal
pieces carries it below, on a stem. Stems never cross labels: they are placed from right to left, and each
label takes the first row that is free.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import groupby

from nesting.job import Shop
from nesting.report.mitre_cuts import Cut
from nesting.report.saw_list import Block, Stick
from nesting.report.words import length_words

PHONE, PAGE = 318, 640
"""Pixels that a drawing gets at least on a small phone, and on a printed page or a desk screen."""

BAR_TOP, BAR_HEIGHT = 1, 44
_ROW = 15
_LETTER, _SMALL_LETTER, _UPRIGHT_LETTER = 7.6, 6.6, 6.8
_UPRIGHT_WIDTH = 13
_LONGEST_TAG = 22


@dataclass(frozen=True, slots=True, kw_only=True)
class Box:
    """A rectangle: a piece, a saw cut, trim, an offcut or scrap.

    Parameters
    ----------
    kind
        "piece", "piece other", "kerf", "trim", "keep", "scrap": its look.
    left, width
        Percent of the drawing, from its first to its last point.
    leans
        Percent by which its left and its right edge slant, above zero like "/".
    text, small
        What it would like to carry: a mark, and a length under it.
    title
        What it is, in words.
    """

    kind: str
    left: float
    width: float
    text: str
    small: str
    title: str
    leans: tuple[float, float] = (0.0, 0.0)

    @property
    def is_slanted(self) -> bool:
        """Whether it is no rectangle."""
        return any(self.leans)

    @property
    def corners(self) -> tuple[float, float, float, float]:
        """Where its corners lie, as shares of its width: upper left, upper right, lower right, lower left."""
        left, right = (lean / self.width for lean in self.leans)
        return max(0, left), 1 + min(0, right), 1 - max(0, right), max(0, -left)


@dataclass(frozen=True, slots=True, kw_only=True)
class Label:
    """A text inside a rectangle, centred at `middle` percent; `small` is empty if only the text fits.

    `hatched` says that it stands on a pattern and needs a halo.
    """

    middle: float
    text: str
    small: str
    upright: bool
    hatched: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Tag:
    """A label below the stick: a bracket over the run from `left` to `right`, a stem at `at`, percent; row
    from 0."""

    left: float
    right: float
    at: float
    text: str
    row: int


@dataclass(frozen=True, slots=True, kw_only=True)
class View:
    """The labels of a stick for one width of screen.

    Parameters
    ----------
    height
        Pixels of the whole drawing.
    margin
        Pixels right of the drawing that its tags may need; one for all sticks of a block, which share a
        scale.
    """

    labels: tuple[Label, ...]
    tags: tuple[Tag, ...]
    height: int
    margin: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Picture:
    """One stick, with its labels for a phone and for a page."""

    boxes: tuple[Box, ...]
    phone: View
    page: View


def pictures_of(block: Block, shop: Shop) -> dict[int, Picture]:
    """Draw the sticks of a block, all to one scale.

    Returns
    -------
    dict[int, Picture]
        By first stick number.
    """
    scale = max(stick.layout.length for stick in block.sticks)
    boxes = {stick.first: tuple(_boxes(stick, scale, block.saw.kerf, shop)) for stick in block.sticks}
    phone, page = (_views(block, boxes, scale, width) for width in (PHONE, PAGE))
    return {
        stick.first: Picture(boxes=boxes[stick.first], phone=phone[stick.first], page=page[stick.first])
        for stick in block.sticks
    }


def _boxes(stick: Stick, scale: int, kerf: int, shop: Shop) -> list[Box]:
    layout = stick.layout
    boxes: list[Box] = []

    def add(
        kind: str,
        start: float,
        length: float,
        title: str,
        text: str = "",
        small: str = "",
        leans: tuple[float, float] = (0.0, 0.0),
    ) -> None:
        if length > 0:
            left, width, slants = 100 * start / scale, 100 * length / scale, [100 * x / scale for x in leans]
            boxes.append(
                Box(
                    kind=kind,
                    left=left,
                    width=width,
                    text=text,
                    small=small,
                    title=title,
                    leans=(slants[0], slants[1]),
                )
            )

    add("trim", 0, layout.head, f"squared off: {length_words(layout.head, shop)}")
    sawn = [one for step in stick.steps for one in step.sawn]
    if any(one.is_mitred for one in sawn):
        last = layout.pieces[-1]
        add("scrap", layout.head, last.start + last.extent - layout.head, "waste beside mitres")
    pairs = groupby(zip(layout.pieces, sawn, strict=True), key=lambda pair: pair[0].mark)
    for index, (mark, run) in enumerate(pairs):
        for piece, one in run:
            near, far = _lean(one.near, stick), _lean(one.far, stick)
            end, length = piece.start + piece.extent, length_words(piece.extent, shop)
            wide = kerf * _longer(one.near)
            if near and not one.is_ready:
                add("kerf", piece.start - wide, wide + abs(near), "saw cut", leans=(near, near))
            kind = "piece other" if index % 2 else "piece"
            add(kind, piece.start, piece.extent, f"{mark}: {length}", mark, length, (near, far))
            wide = min(kerf * _longer(one.far), layout.length - end)
            if wide:
                add("kerf", end - abs(far), wide + abs(far), "saw cut", leans=(far, far))
    rest, word = length_words(layout.rest, shop), "keep" if layout.keep else "scrap"
    add(word, layout.length - layout.rest, layout.rest, f"{word}: {rest}", word, rest)
    return boxes


def _lean(cut: Cut, stick: Stick) -> float:
    """Ticks by which a cut slants across its side of the bar, above zero like "/"."""
    wide = math.tan(math.radians(float(cut.angle))) * stick.material.section.depth(cut.side)
    return -wide if cut.swing == "left" else wide


def _longer(cut: Cut) -> float:
    """How many times as long along the bar a cut is as a square one."""
    return 1 / math.cos(math.radians(float(cut.angle)))


def _views(block: Block, boxes: dict[int, tuple[Box, ...]], scale: int, width: int) -> dict[int, View]:
    """The labels of all sticks of a block for a width; a margin for tags leaves less for the sticks."""
    margin = max(
        (_margin(run, scale, width) for stick in block.sticks for run in _runs(stick, scale, 0.75 * width)),
        default=0,
    )
    views = {}
    for stick in block.sticks:
        tags = _placed(_runs(stick, scale, width - margin), scale, width - margin)
        depth = 1 + max((tag.row for tag in tags), default=-1)
        views[stick.first] = View(
            labels=tuple(_labels(boxes[stick.first], width - margin)),
            tags=tags,
            height=BAR_TOP + BAR_HEIGHT + 1 + (6 + depth * _ROW if depth else 0),
            margin=margin,
        )
    return views


def _margin(run: tuple[int, int, str], scale: int, width: int) -> int:
    """Pixels to leave free at the right, so that the tag of a run ends within the width."""
    start, end, text = run
    return max(0, round(width - (width - _reach(text)) * 2 * scale / (start + end)))


def _reach(text: str) -> float:
    """Pixels from the stem to the end of a tag."""
    return 6 + len(text) * _SMALL_LETTER


def _labels(boxes: tuple[Box, ...], width: float) -> list[Label]:
    labels = []
    for box in boxes:
        pixels = box.width / 100 * width
        fits, upright = _way(box.text, pixels)
        if box.text and fits:
            room = not upright and len(box.small) * _SMALL_LETTER + 6 <= pixels
            middle, small = box.left + box.width / 2, box.small if room else ""
            hatched = box.kind in ("keep", "scrap")
            labels.append(Label(middle=middle, text=box.text, small=small, upright=upright, hatched=hatched))
    return labels


def _way(text: str, pixels: float) -> tuple[bool, bool]:
    """Whether a text fits into a box of that width, and whether it has to stand upright."""
    if len(text) * _LETTER + 4 <= pixels:
        return True, False
    upright = pixels >= _UPRIGHT_WIDTH and len(text) * _UPRIGHT_LETTER + 4 <= BAR_HEIGHT
    return upright, upright


def _runs(stick: Stick, scale: int, width: float) -> list[tuple[int, int, str]]:
    """Runs of equal pieces whose mark does not fit inside: first tick, last tick, what the tag says."""
    found = []
    for mark, run in groupby(stick.layout.pieces, key=lambda piece: piece.mark):
        pieces = list(run)
        fits, _ = _way(mark, pieces[0].extent / scale * width)
        if not fits:
            short = mark if len(mark) <= _LONGEST_TAG else f"{mark[: _LONGEST_TAG - 1]}…"
            text = f"{len(pieces)} × {short}" if len(pieces) > 1 else short
            found.append((pieces[0].start, pieces[-1].start + pieces[-1].extent, text))
    return found


def _placed(runs: list[tuple[int, int, str]], scale: int, width: float) -> tuple[Tag, ...]:
    """Tags in rows, from right to left; a text begins at its stem."""
    tags: list[Tag] = []
    taken: list[float] = []
    for start, end, text in reversed(runs):
        at = (start + end) / 2 / scale * width
        reach = at + _reach(text)
        row = next((row for row, left in enumerate(taken) if reach <= left), len(taken))
        if row == len(taken):
            taken.append(at)
        taken[: row + 1] = [min(left, at) for left in taken[: row + 1]]
        tags.append(
            Tag(left=100 * start / scale, right=100 * end / scale, at=100 * at / width, text=text, row=row)
        )
    return tuple(reversed(tags))
