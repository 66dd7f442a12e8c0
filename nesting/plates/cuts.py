"""The sequence of straight cuts, edge to edge, that frees the pieces of a sheet one after another."""

from __future__ import annotations

from collections.abc import Sequence
from contextlib import suppress
from dataclasses import dataclass
from typing import Literal

from nesting.plates.problem import Layout, Region, SheetKind

Axis = Literal["across", "along"]
"""A cut across stands upright and divides the width; one along lies flat and divides the height."""


@dataclass(frozen=True, slots=True)
class StraightCut:
    """One cut.

    Parameters
    ----------
    number
        From 1, in the order of cutting.
    region
        What is cut in two; the first is the sheet less its trim.
    axis
        Which way it is divided.
    stop
        Stop setting: length of the nearer part, from the region's near edge to the cut.
    nearer, further
        What comes of it; further is None if the cut's width takes all the rest.
    """

    number: int
    region: Region
    axis: Axis
    stop: int
    nearer: Region
    further: Region | None


class NotGuillotine(Exception):
    """The pieces cannot be freed by straight cuts from edge to edge."""


Span = tuple[int, int, int, int]
"""x, y, width, height in a room where pieces carry the width of a cut at their far sides."""
Cut = tuple[Span, int, int]
"""What is cut, across which axis (0: the width is divided), and where."""


def straight_cuts(kind: SheetKind, layout: Layout) -> tuple[StraightCut, ...]:
    """The cuts of a layout in the order of work: waste off, a region into strips, then one strip after the other.

    Raises
    ------
    NotGuillotine
        If there is no such sequence.
    """
    between, (left, low) = kind.between, kind.near
    pieces = [(p.x - left, p.y - low, p.width + between, p.height + between) for p in layout.pieces]
    cuts = []
    for number, (span, axis, at) in enumerate(_freed((0, 0, *kind.room), pieces, between), 1):
        near, far = _divided(span, axis, at)
        nearer, region = _nominal(near, kind), _nominal(span, kind)
        assert nearer is not None
        assert region is not None
        stop = at - span[axis] - between
        cuts.append(
            StraightCut(number, region, "along" if axis else "across", stop, nearer, _nominal(far, kind))
        )
    return tuple(cuts)


def _freed(span: Span, held: Sequence[Span], between: int) -> list[Cut]:
    """The cuts that make of a region the pieces it holds."""
    if not held or held == [span]:
        return []
    wastes = [(_waste(span, held, axis), axis) for axis in (0, 1)]
    waste, axis = max(wastes)
    if waste:
        at = _end(held, axis)
        places = _places(held, axis)
        with suppress(NotGuillotine):
            # strip by strip up to the waste, so that a thicker kerf eats into the waste, not the last strip; unless
            # that would part what is left beside the strips
            if places and not _waste(span, held, 1 - axis):
                return _strips(span, held, axis, [*places, at], between)
        near, _ = _divided(span, axis, at)
        return [(span, axis, at), *_freed(near, held, between)]
    for axis in (1, 0):
        places = _places(held, axis)
        start = min(p[axis] for p in held)
        if start - span[axis] > between:
            places.insert(0, start)
        with suppress(NotGuillotine):
            if places:
                return _strips(span, held, axis, places, between)
    raise NotGuillotine(f"no straight cut divides {span}")


def _strips(span: Span, held: Sequence[Span], axis: int, places: Sequence[int], between: int) -> list[Cut]:
    """Cuts at all these places, then those within each strip."""
    cuts: list[Cut] = []
    within: list[Cut] = []
    rest = span
    for at in places:
        cuts.append((rest, axis, at))
        strip, rest = _divided(rest, axis, at)
        within += _freed(strip, [p for p in held if strip[axis] <= p[axis] < at], between)
    return [*cuts, *within, *_freed(rest, [p for p in held if p[axis] >= rest[axis]], between)]


def _waste(span: Span, held: Sequence[Span], axis: int) -> int:
    """Area behind the last piece."""
    return (span[axis] + span[axis + 2] - _end(held, axis)) * span[3 - axis]


def _end(held: Sequence[Span], axis: int) -> int:
    return max(p[axis] + p[axis + 2] for p in held)


def _places(held: Sequence[Span], axis: int) -> list[int]:
    """Where cuts pass between pieces: close before the next ones, which so lie at the edge of their strip."""
    places = []
    ordered = sorted(held, key=lambda p: p[axis])
    end = ordered[0][axis] + ordered[0][axis + 2]
    for piece in ordered[1:]:
        if piece[axis] >= end:
            places.append(piece[axis])
        end = max(end, piece[axis] + piece[axis + 2])
    return places


def _divided(span: Span, axis: int, at: int) -> tuple[Span, Span]:
    x, y, w, h = span
    if axis == 0:
        return (x, y, at - x, h), (at, y, x + w - at, h)
    return (x, y, w, at - y), (x, at, w, y + h - at)


def _nominal(span: Span, kind: SheetKind) -> Region | None:
    w, h = span[2] - kind.between, span[3] - kind.between
    if w <= 0 or h <= 0:
        return None
    return Region(span[0] + kind.near[0], span[1] + kind.near[1], w, h)
