"""The sequence of straight cuts, edge to edge, that frees the pieces of a sheet one after another."""

from __future__ import annotations

from collections.abc import Sequence
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


def straight_cuts(kind: SheetKind, layout: Layout) -> tuple[StraightCut, ...]:
    """The cuts of a layout; each region is finished before the next is taken up, the further part first.

    Raises
    ------
    NotGuillotine
        If there is no such sequence.
    """
    between, (left, low) = kind.between, kind.near
    pieces = [(p.x - left, p.y - low, p.width + between, p.height + between) for p in layout.pieces]
    cuts: list[StraightCut] = []
    stack: list[tuple[Span, list[Span]]] = [((0, 0, *kind.room), pieces)]
    while stack:
        span, held = stack.pop()
        if not held or held == [span]:
            continue
        axis, at = _division(span, held)
        near, far = _divided(span, axis, at)
        further = _nominal(far, kind)
        cuts.append(
            StraightCut(
                len(cuts) + 1,
                _nominal_or_fail(span, kind),
                "along" if axis else "across",
                at - span[axis] - between,
                _nominal_or_fail(near, kind),
                further,
            )
        )
        stack.append((near, [p for p in held if p[axis] < at]))
        stack.append((far, [p for p in held if p[axis] >= at]))
    return tuple(cuts)


def _division(span: Span, held: Sequence[Span]) -> tuple[int, int]:
    """The next cut: the one that frees most waste at the far side, else the lowest that passes between pieces."""
    best: tuple[int, int, int] | None = None
    for axis in (0, 1):
        end = 0
        for piece in sorted(held, key=lambda p: p[axis]):
            if end and piece[axis] >= end:
                best = max(best, (0, axis, end)) if best else (0, axis, end)
                break
            end = max(end, piece[axis] + piece[axis + 2])
        else:
            waste = (span[axis] + span[axis + 2] - end) * span[3 - axis]
            if waste:
                best = max(best, (waste, axis, end)) if best else (waste, axis, end)
        start = min(p[axis] for p in held)
        if best is None and start > span[axis]:
            best = (0, axis, start)
    if best is None:
        raise NotGuillotine(f"no straight cut divides {span}")
    return best[1], best[2]


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


def _nominal_or_fail(span: Span, kind: SheetKind) -> Region:
    region = _nominal(span, kind)
    if region is None:
        raise NotGuillotine(f"{span} is thinner than a cut")
    return region
