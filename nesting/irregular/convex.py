"""Polygons into few convex pieces."""

from __future__ import annotations

import math
from collections.abc import Sequence

import shapely
from shapely.geometry import Polygon

Point = tuple[float, float]


def convex_pieces(points: Sequence[Point]) -> list[list[Point]]:
    """Convex polygons that together make up a simple polygon.

    A constrained Delaunay triangulation, of which diagonals are taken out, the longest first, where both of their ends
    stay convex (after Hertel and Mehlhorn, 1983).

    Parameters
    ----------
    points
        Corners of a simple polygon, either way round.

    Returns
    -------
    list of corners, each counter-clockwise
    """
    solid = Polygon(points)
    triangles = [t for t in shapely.constrained_delaunay_triangles(solid).geoms if isinstance(t, Polygon)]
    pieces = {
        n: _left([(x, y) for x, y, *_ in t.exterior.coords][:-1]) for n, t in enumerate(triangles) if t.area
    }
    sides: dict[frozenset[Point], list[int]] = {}
    for number, corners in pieces.items():
        for a, b in zip(corners, [*corners[1:], corners[0]], strict=True):
            sides.setdefault(frozenset((a, b)), []).append(number)
    home = {number: number for number in pieces}

    def root(number: int) -> int:
        while home[number] != number:
            number = home[number]
        return number

    inner = [side for side, owners in sides.items() if len(owners) == 2]
    for side in sorted(inner, key=lambda side: -_long(side)):
        first, second = (root(n) for n in sides[side])
        if first == second:
            continue
        merged = _merged(pieces[first], pieces[second], side)
        if merged and _is_convex(merged):
            pieces[first] = merged
            home[second] = first
            del pieces[second]
    return list(pieces.values())


def _left(corners: list[Point]) -> list[Point]:
    return corners if _twice_area(corners) > 0 else corners[::-1]


def _twice_area(corners: Sequence[Point]) -> float:
    return sum(a[0] * b[1] - b[0] * a[1] for a, b in zip(corners, [*corners[1:], corners[0]], strict=True))


def _long(side: frozenset[Point]) -> float:
    a, b = side
    return math.dist(a, b)


def _merged(first: list[Point], second: list[Point], side: frozenset[Point]) -> list[Point] | None:
    """Both polygons as one, their common side taken out."""
    for n, a in enumerate(first):
        b = first[(n + 1) % len(first)]
        if frozenset((a, b)) == side and b in second:
            at = second.index(b)
            if second[(at + 1) % len(second)] != a:
                return None
            around = [second[(at + 2 + k) % len(second)] for k in range(len(second) - 2)]
            rest = [first[(n + 1 + k) % len(first)] for k in range(len(first))]  # from b round to a
            return [*rest, *around]
    return None


def _is_convex(corners: list[Point]) -> bool:
    """Whether every corner turns left, or hardly right."""
    count = len(corners)
    for n in range(count):
        (ax, ay), (bx, by), (cx, cy) = corners[n - 1], corners[n], corners[(n + 1) % count]
        turn = (bx - ax) * (cy - by) - (by - ay) * (cx - bx)
        if turn < -1e-12 * (math.hypot(bx - ax, by - ay) * math.hypot(cx - bx, cy - by)):
            return False
    return True
