"""Rectangles on one sheet: what straight cuts leave of it, and which of them come too near to each other."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

from nesting.check import say
from nesting.job import Shop
from nesting.plan import Rect, StraightCut

Ints: TypeAlias = NDArray[np.int64]


def is_inside(inner: Rect, outer: Rect, margin: int = 0) -> bool:
    """Whether a rectangle lies in another, a margin away from its edges."""
    return (
        inner.x >= outer.x + margin
        and inner.y >= outer.y + margin
        and inner.x + inner.length <= outer.x + outer.length - margin
        and inner.y + inner.width <= outer.y + outer.width - margin
    )


class CutUp:
    """A rectangle cut by one straight cut after the other.

    Parameters
    ----------
    whole
        What the first cut divides.
    cuts
        In order.
    kerf
        Of every cut.

    Attributes
    ----------
    left
        The regions that are left when all cuts are made, in no order that matters.
    breaches
        What is wrong with the cuts; such a cut is left out.
    """

    def __init__(self, whole: Rect, cuts: Sequence[StraightCut], kerf: int, shop: Shop) -> None:
        self.kerf, self.shop = kerf, shop
        self.left: dict[Rect, None] = {whole: None}
        self.breaches: list[str] = []
        for number, cut in enumerate(cuts, start=1):
            wrong = self._wrong(cut)
            if wrong:
                self.breaches.append(f"cut {number} {wrong}")
            else:
                del self.left[cut.region]
                self.left.update(dict.fromkeys(parts_of(cut, kerf)))

    def _wrong(self, cut: StraightCut) -> str:
        if cut.region not in self.left:
            return f"divides {say.place(self.shop, cut.region)}, which is no region that the cuts before it leave"
        extent = cut.region.length if cut.axis == "across" else cut.region.width
        if not 0 < cut.stop < extent:
            return (
                f"has its stop at {say.ticks(self.shop, cut.stop)}, due is above 0 and below"
                f" {say.ticks(self.shop, extent)}"
            )
        return ""


def parts_of(cut: StraightCut, kerf: int) -> tuple[Rect, ...]:
    """What a cut leaves: the nearer part, and the further one if the kerf leaves any."""
    r, beyond = cut.region, cut.stop + kerf
    if cut.axis == "across":
        nearer = Rect(r.x, r.y, cut.stop, r.width)
        further = Rect(r.x + beyond, r.y, r.length - beyond, r.width)
    else:
        nearer = Rect(r.x, r.y, r.length, cut.stop)
        further = Rect(r.x, r.y + beyond, r.length, r.width - beyond)
    return (nearer, further) if min(further.length, further.width) > 0 else (nearer,)


def too_near(rects: Sequence[Rect], apart: int) -> Iterator[tuple[int, int]]:
    """Numbers of two rectangles that are less than `apart` from each other both along x and along y.

    Each rectangle is named at most once with one before it in order of x. Sorted by x, each is compared with
    those that begin before it ends.
    """
    if len(rects) < 2:
        return
    x, y, length, width = _sides(rects)
    order = np.argsort(x, kind="stable")
    x, y, end_x, end_y = x[order], y[order], (x + length + apart)[order], (y + width + apart)[order]
    reach = np.searchsorted(x, end_x, side="left")
    named = np.zeros(len(rects), np.bool_)
    for at in range(len(rects)):
        later = slice(at + 1, int(reach[at]))
        near = (y[later] < end_y[at]) & (end_y[later] > y[at]) & (end_x[later] > x[at]) & ~named[later]
        for hit in np.flatnonzero(near) + at + 1:
            named[hit] = True
            one, other = sorted((int(order[at]), int(order[hit])))
            yield one, other


def near_to(rect: Rect, rects: Sequence[Rect], apart: int) -> int | None:
    """Number of the first of some rectangles that is less than `apart` from one, along both axes; None if none is."""
    if not rects:
        return None
    x, y, length, width = _sides(rects)
    near = (x < rect.x + rect.length + apart) & (rect.x < x + length + apart)
    near &= (y < rect.y + rect.width + apart) & (rect.y < y + width + apart)
    hits = np.flatnonzero(near)
    return int(hits[0]) if len(hits) else None


def _sides(rects: Sequence[Rect]) -> Ints:
    return np.array([(r.x, r.y, r.length, r.width) for r in rects], np.int64).T
