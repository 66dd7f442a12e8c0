"""Ellipses and splines as arcs that stay within a tolerance of them."""

from __future__ import annotations

import itertools
import math
from collections.abc import Callable, Iterator, Sequence

from nesting.outline.contour import Point, Vertex, arc_between

_DEEPEST = 18


def as_arcs(curve: Callable[[float], Point], knots: Sequence[float], tolerance: float) -> list[Vertex]:
    """Vertices of arcs that follow a curve, the last one at its end.

    Each piece becomes the arc through its ends and its middle, or is halved where that strays from the curve.

    Parameters
    ----------
    curve
        Point in mm at a parameter.
    knots
        Parameters in order, from the first to the last of the curve; between two of them it is smooth.
    tolerance
        mm.
    """
    vertices: list[Vertex] = []
    for start, end in itertools.pairwise(knots):
        vertices += _pieces(curve, start, end, tolerance, _DEEPEST)
    return [*vertices, Vertex(*curve(knots[-1]))]


def _pieces(
    curve: Callable[[float], Point], start: float, end: float, tolerance: float, depth: int
) -> Iterator[Vertex]:
    middle = (start + end) / 2
    begin, through, finish = curve(start), curve(middle), curve(end)
    vertex = Vertex(*begin, bulge_through(begin, through, finish))
    quarters = (curve(start + (end - start) * share) for share in (0.125, 0.25, 0.375, 0.625, 0.75, 0.875))
    if abs(vertex.bulge) <= 0.5 and all(_strays(vertex, finish, point) <= tolerance for point in quarters):
        if begin != finish:
            yield vertex
    elif depth:
        yield from _pieces(curve, start, middle, tolerance, depth - 1)
        yield from _pieces(curve, middle, end, tolerance, depth - 1)
    else:
        yield Vertex(*begin)


def bulge_through(start: Point, through: Point, end: Point) -> float:
    """The bulge of the arc from start to end that goes through a point; 0 if the three lie on a line.

    >>> round(bulge_through((-1, 0), (0, -1), (1, 0)), 9)
    1.0
    """
    ax, ay, bx, by = start[0] - through[0], start[1] - through[1], end[0] - through[0], end[1] - through[1]
    cross, dot = ax * by - ay * bx, ax * bx + ay * by
    if not cross and dot <= 0:
        return 0.0
    inscribed = math.atan2(
        abs(cross), dot
    )  # the angle at the middle point; the arc turns by twice what it lacks of pi
    return math.copysign(math.tan((math.pi - inscribed) / 2), -cross)


def _strays(start: Vertex, end: Point, point: Point) -> float:
    """How far a point lies from an arc or line, mm."""
    if abs(start.bulge) < 1e-9:
        length = math.dist((start.x, start.y), end)
        if not length:
            return math.dist(end, point)
        return (
            abs((end[0] - start.x) * (point[1] - start.y) - (end[1] - start.y) * (point[0] - start.x))
            / length
        )
    arc = arc_between(start, end)
    return abs(math.hypot(point[0] - arc.x, point[1] - arc.y) - arc.radius)
