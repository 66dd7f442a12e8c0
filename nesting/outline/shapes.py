"""Outlines from a few dimensions, for people without drawings; all lengths in mm, the datum corner at (0, 0)."""

from __future__ import annotations

import math
from collections.abc import Sequence

from nesting.outline.contour import Contour, Point, Vertex, circle, polygon
from nesting.outline.outline import Outline

_QUARTER = math.tan(math.pi / 8)
"""The bulge of a quarter of a circle."""


def rectangle(length: float, width: float, radius: float = 0, chamfer: float = 0) -> Contour:
    """A rectangle, its corners round or cut off.

    Parameters
    ----------
    radius, chamfer
        Of all four corners, along the edges; one of them at most.
    """
    cut, bulge = (radius, _QUARTER) if radius else (chamfer, 0.0)
    if not cut:
        return polygon([(0, 0), (length, 0), (length, width), (0, width)])
    corners: list[Vertex] = []
    for (x, y), (along, across) in zip(
        [(0.0, 0.0), (length, 0.0), (length, width), (0.0, width)],
        [(0, 1), (-1, 0), (0, -1), (1, 0)],
        strict=True,
    ):
        before = Vertex(x + cut * along, y + cut * across, bulge)
        after = Vertex(x + cut * across, y - cut * along)
        corners += [before, after]
    return _without_repeats(corners)


def disc(od: float) -> Outline:
    """A full disc."""
    return Outline(circle(od / 2, od / 2, od))


def ring(od: float, inside: float) -> Outline:
    """A disc with a round hole in the middle; od outside, `inside` the diameter of the hole."""
    return Outline(circle(od / 2, od / 2, od), (circle(od / 2, od / 2, inside),))


def gusset(length: float, width: float, clip: float = 0, nose: float = 0) -> Outline:
    """A right-angled triangle.

    Parameters
    ----------
    length, width
        Its two legs.
    clip
        Cut off the right-angled corner, along each leg, so that a weld runs through there.
    nose
        Height of the blunt ends left at the two sharp corners.
    """
    corner: list[Point] = [(0, clip), (clip, 0)] if clip else [(0, 0)]
    sharp: list[Point] = (
        [(length, 0), (length, nose), (nose, width), (0, width)] if nose else [(length, 0), (0, width)]
    )
    return Outline(polygon([*corner, *sharp] if clip else [(0, 0), *sharp]))


def isosceles(base: float, height: float, clip: float = 0) -> Outline:
    """A triangle with two equal sides, its tip over the middle of the base; clip: how wide the tip is cut off."""
    tip: list[Point] = [(base / 2, height)]
    if clip:
        down = height * clip / base
        tip = [((base + clip) / 2, height - down), ((base - clip) / 2, height - down)]
    return Outline(polygon([(0, 0), (base, 0), *tip]))


def trapezoid(base: float, top: float, height: float) -> Outline:
    """Two parallel edges, the shorter over the middle of the longer one."""
    reach = max(base, top)
    low, high = (reach - base) / 2, (reach - top) / 2
    return Outline(polygon([(low, 0), (reach - low, 0), (reach - high, height), (high, height)]))


def ell(length: float, width: float, leg: float) -> Outline:
    """An L: both legs as broad as `leg`."""
    return Outline(polygon([(0, 0), (length, 0), (length, leg), (leg, leg), (leg, width), (0, width)]))


def tee(length: float, width: float, leg: float) -> Outline:
    """A T: a bar of `length` along the top, a stem in its middle down to `width` below the top edge."""
    left, right, under = (length - leg) / 2, (length + leg) / 2, width - leg
    return Outline(
        polygon(
            [
                (left, 0),
                (right, 0),
                (right, under),
                (length, under),
                (length, width),
                (0, width),
                (0, under),
                (left, under),
            ]
        )
    )


def you(length: float, width: float, leg: float) -> Outline:
    """A U: a bar of `length` along the bottom, a leg up to `width` at each end."""
    return Outline(
        polygon(
            [
                (0, 0),
                (length, 0),
                (length, width),
                (length - leg, width),
                (length - leg, leg),
                (leg, leg),
                (leg, width),
                (0, width),
            ]
        )
    )


def obround(length: float, width: float) -> Contour:
    """A slot with round ends, `length` from end to end."""
    half = width / 2
    if length == width:
        return circle(half, half, width)
    return Contour(
        (
            Vertex(half, 0),
            Vertex(length - half, 0, 1.0),
            Vertex(length - half, width),
            Vertex(half, width, 1.0),
        )
    )


def holes_in_rows(
    length: float, width: float, columns: int, rows: int, apart: Point, diameter: float
) -> tuple[Contour, ...]:
    """Round holes in rows and columns about the middle of a rectangle.

    Parameters
    ----------
    apart
        From the first to the last column, and from the first to the last row.
    """
    xs = _spread(length / 2, apart[0], columns)
    ys = _spread(width / 2, apart[1], rows)
    return tuple(circle(x, y, diameter) for y in ys for x in xs)


def bolt_circle(
    middle: Point, pitch_circle: float, count: int, diameter: float, first: float = 0
) -> tuple[Contour, ...]:
    """Round holes on a circle, the first at an angle in degrees from the x axis, evenly apart."""
    angles = (math.radians(first + 360 * n / count) for n in range(count))
    return tuple(
        circle(
            middle[0] + pitch_circle / 2 * math.cos(a), middle[1] + pitch_circle / 2 * math.sin(a), diameter
        )
        for a in angles
    )


def _spread(middle: float, apart: float, count: int) -> Sequence[float]:
    if count == 1:
        return [middle]
    return [middle - apart / 2 + apart * n / (count - 1) for n in range(count)]


def _without_repeats(vertices: list[Vertex]) -> Contour:
    """Without corners of no length, where two round corners meet."""
    following = [*vertices[1:], vertices[0]]
    kept = [v for v, after in zip(vertices, following, strict=True) if (v.x, v.y) != (after.x, after.y)]
    return Contour(tuple(kept))
