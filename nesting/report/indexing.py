"""On a torch bed that is open: how what overhangs it is moved along, and how a sheet is parted for a bed, in words."""

from __future__ import annotations

from nesting.job import Shop
from nesting.plan import Rect
from nesting.report.sheet_list import Blank
from nesting.report.words import length_words


def parting_words(shop: Shop) -> str:
    """How a sheet that is larger than the bed is parted."""
    kerf = length_words(shop.parting_kerf - shop.blank_allowance, shop)
    said = f"larger than the bed: part it first, by straight cuts, kerf {kerf}"
    if shop.blank_allowance:
        said += f" and {length_words(shop.blank_allowance, shop)} to stray"
    return said


def indexing_words(blank: Blank, shop: Shop) -> str:
    """Where what lies on an open bed is moved to; "" if it need not be moved."""
    along, stops = settings_of(blank, shop)
    if not stops:
        return ""
    axis = "x" if along else "y"
    places = ", ".join(length_words(at, shop) for at in stops)
    if len(stops) == 1:
        return f"overhangs the bed: lay it so that the bed begins at {axis} {places}"
    return f"overhangs the bed: move it along, so that the bed begins at {axis} {places} in turn"


def settings_of(blank: Blank, shop: Shop) -> tuple[bool, tuple[int, ...]]:
    """Whether a blank, or a sheet that lies whole, is moved along x (else y), and where the near end of the bed is.

    Ticks from the datum corner of the blank; none if it lies on the bed without overhanging. Each time all pieces are
    cut that the torch reaches all round, beginning with the nearest that is left.
    """
    if shop.bed is None or not shop.bed_open:
        return True, ()
    reach, across = shop.bed
    edge = shop.edge_on_bed
    for along in (True, False):
        around = [_spans(piece.place, blank.rect, along, edge) for piece in blank.pieces]
        length, width = (
            (blank.rect.length, blank.rect.width) if along else (blank.rect.width, blank.rect.length)
        )
        if width > across or any(end - start > reach for start, end in around):
            continue
        stops = []
        left = sorted(around) if length > reach else []
        while left:
            stops.append(left[0][0])
            left = [span for span in left if span[1] > stops[-1] + reach]
        return along, tuple(stops)
    return True, ()


def _spans(place: Rect, blank: Rect, along: bool, edge: int) -> tuple[int, int]:
    """From where to where a piece with its edges reaches, from the datum corner of its blank."""
    start = place.x - blank.x if along else place.y - blank.y
    return start - edge, start + (place.length if along else place.width) + edge
