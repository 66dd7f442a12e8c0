"""Curves into straight lines, to the safe side: what must not be cut is never smaller than it is drawn."""

from __future__ import annotations

import math
from collections.abc import Iterator

from nesting.outline.contour import Arc, Contour, Point, arc_between


def flattened(contour: Contour, tolerance: float, *, is_hole: bool = False) -> list[Point]:
    """The corners of a polygon that holds what a contour encloses, or for a hole lies inside of it.

    A bent edge becomes chords where they lie on the safe side, else the tangents around it, as many as keep every point
    within the tolerance of the curve. Both begin and end where the edge does.

    Parameters
    ----------
    contour
        Either way round.
    tolerance
        Greatest distance between polygon and curve, mm, above 0.
    is_hole
        Whether the polygon must lie inside instead of outside.

    Returns
    -------
    list of (x, y)
        mm, counter-clockwise.
    """
    points: list[Point] = []
    for start, end in contour.left_turning().edges():
        points.append((start.x, start.y))
        if start.bulge:
            bulges_out = start.bulge > 0
            points += _bent(arc_between(start, end), tolerance, by_tangents=bulges_out != is_hole)
    return points


def _bent(arc: Arc, tolerance: float, *, by_tangents: bool) -> Iterator[Point]:
    """The corners between the ends of an arc."""
    pieces = _pieces(arc, tolerance, by_tangents=by_tangents)
    if not by_tangents:
        yield from (arc.at(n / pieces) for n in range(1, pieces))
        return
    far = Arc(arc.x, arc.y, arc.radius / math.cos(arc.sweep / pieces / 2), arc.start, arc.sweep)
    yield from (far.at((n + 0.5) / pieces) for n in range(pieces))


def _pieces(arc: Arc, tolerance: float, *, by_tangents: bool) -> int:
    """Into how many equal pieces an arc must be parted so that chord or tangents stay within the tolerance.

    The chord of an angle a lies r (1 - cos(a/2)) inside of the arc, the corner of its tangents r (1/cos(a/2) - 1)
    outside of it.
    """
    if by_tangents:
        half = math.acos(1 / (1 + tolerance / arc.radius))
    else:
        half = math.acos(max(1 - tolerance / arc.radius, 0.0))
    least = math.ceil(abs(arc.sweep) / (2 * half))
    return max(least, math.ceil(abs(arc.sweep) / (math.pi / 2)), 1)
