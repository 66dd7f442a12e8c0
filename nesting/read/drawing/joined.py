"""Strands into closed contours: ends that meet within a tolerance are one."""

from __future__ import annotations

import math
from collections import defaultdict
from dataclasses import dataclass

from nesting.outline.contour import Contour, Point, Vertex
from nesting.read.drawing.strands import BadDrawing, Strand

_MOST_TOLD = 5


@dataclass(frozen=True, slots=True)
class Joined:
    """Closed contours, and what was mended to have them.

    Parameters
    ----------
    ends, widest
        How many gaps were closed, and the widest, mm.
    doubles, tiny
        How many strands were dropped that stood twice or had no length.
    """

    contours: tuple[Contour, ...]
    ends: int = 0
    widest: float = 0.0
    doubles: int = 0
    tiny: int = 0


def joined(strands: list[Strand], tolerance: float) -> Joined:
    """Every strand as part of a closed contour.

    Parameters
    ----------
    tolerance
        mm: ends nearer than this are one; strands shorter than this and not closed are dropped.

    Raises
    ------
    BadDrawing
        If a line ends where none goes on, or more than two meet, with the places.
    """
    whole = [strand for strand in strands if strand.is_closed]
    parts = [strand for strand in strands if not strand.is_closed]
    long = [strand for strand in parts if _extent(strand) > tolerance]
    once, doubles = _without_doubles(long)
    rings = [Contour(strand.vertices) for strand in whole]
    single = _without_double_rings(rings)
    chains, ends, widest = _chains(once, tolerance)
    return Joined(
        (*single, *chains), ends, widest, doubles + len(rings) - len(single), len(parts) - len(long)
    )


def _extent(strand: Strand) -> float:
    first = strand.vertices[0]
    return max(
        max(math.dist(first[:2], v[:2]) for v in strand.vertices),
        max(_reach(v, after) for v, after in zip(strand.vertices, strand.vertices[1:], strict=False)),
    )


def _reach(start: Vertex, end: Vertex) -> float:
    """How far an edge strays from its beginning, its height included."""
    chord = math.dist(start[:2], end[:2])
    return max(chord, chord * abs(start.bulge) / 2)


def _backwards(vertices: tuple[Vertex, ...]) -> tuple[Vertex, ...]:
    """An open run, the other way."""
    bulges = [-v.bulge for v in vertices[-2::-1]]
    return tuple(Vertex(v.x, v.y, b) for v, b in zip(vertices[::-1], [*bulges, 0.0], strict=True))


def _key(vertices: tuple[Vertex, ...]) -> tuple[tuple[float, ...], ...]:
    """The same for an open run drawn either way."""

    def rounded(run: tuple[Vertex, ...]) -> tuple[tuple[float, ...], ...]:
        return tuple((round(v.x, 3), round(v.y, 3), round(v.bulge, 5) + 0.0) for v in run)

    plain = (*vertices[:-1], vertices[-1]._replace(bulge=0.0))
    return min(rounded(plain), rounded(_backwards(plain)))


def _without_doubles(strands: list[Strand]) -> tuple[list[Strand], int]:
    once = {_key(strand.vertices): strand for strand in reversed(strands)}
    return list(once.values())[::-1], len(strands) - len(once)


def _without_double_rings(rings: list[Contour]) -> list[Contour]:
    """Each closed run once, wherever it begins and whichever way it runs."""
    once: dict[tuple[float, ...], Contour] = {}
    for ring in rings:
        x, y = ring.centre if ring.area else (ring.vertices[0].x, ring.vertices[0].y)
        once.setdefault(
            tuple(round(value, 3) for value in (*ring.bounds, ring.area, ring.length, x, y)), ring
        )
    return list(once.values())


def _chains(strands: list[Strand], tolerance: float) -> tuple[list[Contour], int, float]:
    """Open strands end to end, how many gaps there were between them, and the widest."""
    places = _places(strands, tolerance)
    _check_places(places, strands)
    follows: dict[tuple[int, bool], tuple[int, bool]] = {}
    for (a, a_end), (b, b_end) in places:
        follows[(a, a_end)], follows[(b, b_end)] = (b, b_end), (a, a_end)
    left = set(range(len(strands)))
    contours, gaps = [], []
    while left:
        first = min(left)
        run, at, at_end = list[Vertex](), first, True
        while at in left:
            left.discard(at)
            vertices = strands[at].vertices if at_end else _backwards(strands[at].vertices)
            if run:
                gaps.append(math.dist(run[-1][:2], vertices[0][:2]))
                run.pop()
            run += vertices
            at, entered_at_end = follows[(at, at_end)]
            at_end = not entered_at_end
        gaps.append(math.dist(run[-1][:2], run[0][:2]))
        contours.append(Contour(tuple(run[:-1])))
    wide = [gap for gap in gaps if gap > 1e-6]
    return contours, len(wide), max(wide, default=0.0)


def _end(strand: Strand, at_end: bool) -> Point:
    vertex = strand.vertices[-1 if at_end else 0]
    return vertex.x, vertex.y


def _places(strands: list[Strand], tolerance: float) -> list[list[tuple[int, bool]]]:
    """Ends of strands that meet, as (strand, whether its last point)."""
    cells: dict[tuple[int, int], list[int]] = defaultdict(list)
    places: list[list[tuple[int, bool]]] = []
    at: list[Point] = []
    for number, strand in enumerate(strands):
        for is_last in (False, True):
            x, y = _end(strand, is_last)
            column, row = math.floor(x / tolerance), math.floor(y / tolerance)
            near = [
                place
                for dx in (-1, 0, 1)
                for dy in (-1, 0, 1)
                for place in cells.get((column + dx, row + dy), ())
                if math.dist(at[place], (x, y)) <= tolerance
            ]
            if near:
                places[min(near, key=lambda place: math.dist(at[place], (x, y)))].append((number, is_last))
            else:
                cells[(column, row)].append(len(places))
                places.append([(number, is_last)])
                at.append((x, y))
    return places


def _check_places(places: list[list[tuple[int, bool]]], strands: list[Strand]) -> None:
    for count, what in ((1, "ends where no other goes on"), (3, "meets more than one other")):
        wrong = [ends[0] for ends in places if (len(ends) == 1 if count == 1 else len(ends) > 2)]
        if wrong:
            said = ", ".join(_place(_end(strands[number], is_last)) for number, is_last in wrong[:_MOST_TOLD])
            more = f" and {len(wrong) - _MOST_TOLD} more places" if len(wrong) > _MOST_TOLD else ""
            raise BadDrawing(f"a line {what} at {said}{more} (mm); close the contour there")


def _place(point: Point) -> str:
    return f"({point[0]:.3f}, {point[1]:.3f})"
